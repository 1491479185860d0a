//! Points of a frontier, with the step that holds between them.

use super::LETTERS;
use super::axis::Axis;
use super::frame::Frame;
use crate::report::drawing::{Anchor, Drawing, Ink, Mark, Step, text_width};

/// Height of the field, px.
const HEIGHT: f64 = 320.0;

/// Points in a frame.
pub(in crate::report) struct Scatter {
    /// Across.
    pub x: Axis,
    /// Upwards.
    pub y: Axis,
    /// In order along the frontier.
    pub points: Vec<Point>,
}

/// A point.
pub(in crate::report) struct Point {
    /// Across.
    pub x: f64,
    /// Upwards.
    pub y: f64,
    /// Its portfolio by number.
    pub portfolio: usize,
    /// The letter of the portfolio.
    pub letter: String,
    /// What a reader sees who points at it.
    pub title: String,
}

impl Scatter {
    /// The picture; none with fewer than two points.
    pub fn draw(&self) -> Option<Drawing> {
        let [_, _, ..] = self.points[..] else {
            return None;
        };
        let mut frame = Frame::new(&self.x, &self.y, HEIGHT, 0.0, 4.0);
        let mut steps = Vec::new();
        for pair in self.points.windows(2) {
            let (from, to) = (&pair[0], &pair[1]);
            if steps.is_empty() {
                steps.push(Step::Move(frame.at(from.x, from.y)));
            }
            // Short of the next point, only what stands further on will do.
            steps.push(Step::Line(frame.at(from.x, to.y)));
            steps.push(Step::Line(frame.at(to.x, to.y)));
        }
        frame.add(Mark::path(steps, Ink::Faint).wide(1.5));
        for point in &self.points {
            let at = frame.at(point.x, point.y);
            let mark = Mark::circle(at, 4.0, Ink::Series(point.portfolio));
            frame.add(mark.outlined(Ink::Paper, 1.0).titled(point.title.as_str()));
        }
        self.letters(&mut frame);
        Some(frame.drawing)
    }

    /// A letter beside every point, where no other letter and no other point is.
    fn letters(&self, frame: &mut Frame) {
        let dots: Vec<_> = self
            .points
            .iter()
            .map(|point| frame.at(point.x, point.y))
            .collect();
        let mut taken = Vec::new();
        for (point, at) in self.points.iter().zip(&dots) {
            let half = text_width(&point.letter, LETTERS, true) / 2.0;
            for (dx, dy) in [
                (0.0, -9.0),
                (half + 9.0, 4.0),
                (-half - 9.0, 4.0),
                (0.0, 18.0),
            ] {
                let place = crate::report::drawing::Point::new(at.x + dx, at.y + dy);
                let label = Mark::text(place, point.letter.as_str(), LETTERS)
                    .bold()
                    .anchored(Anchor::Middle);
                let Some(bounds) = label.bounds() else {
                    continue;
                };
                let covers = |dot: &crate::report::drawing::Point| {
                    dot.x > bounds.left - 4.0
                        && dot.x < bounds.right + 4.0
                        && dot.y > bounds.top - 4.0
                        && dot.y < bounds.bottom + 4.0
                };
                let outside = bounds.left < frame.left
                    || bounds.right > frame.right + 12.0
                    || bounds.top < frame.top
                    || bounds.bottom > frame.bottom;
                let hits = taken.iter().any(|other| bounds.overlaps(other));
                if outside || hits || dots.iter().any(covers) {
                    continue;
                }
                taken.push(bounds);
                frame.add(label.haloed());
                break;
            }
        }
    }
}
