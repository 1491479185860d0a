//! Curves over one number, with uprights where something changes.

use super::SMALL;
use super::axis::Axis;
use super::frame::{Frame, LINE};
use super::legend::{Legend, Sample};
use crate::report::drawing::{Anchor, Dash, Drawing, Ink, Mark, Point, Step, text_width};

/// Height of the field, px.
const HEIGHT: f64 = 320.0;

/// Curves in a frame.
pub(in crate::report) struct Lines {
    /// The number that moves.
    pub x: Axis,
    /// What comes of it.
    pub y: Axis,
    /// From back to front.
    pub lines: Vec<Line>,
    /// What changes where.
    pub uprights: Vec<Upright>,
}

/// A curve.
pub(in crate::report) struct Line {
    /// Its name in the legend; empty for one without an entry.
    pub name: String,
    /// What it is drawn in.
    pub ink: Ink,
    /// Its pattern.
    pub dash: Dash,
    /// Its width, px.
    pub width: f64,
    /// Stretches of points, joined by straight lines; what lies between stretches is
    /// unknown.
    pub stretches: Vec<Vec<(f64, f64)>>,
    /// Whether every point has a dot.
    pub dots: bool,
}

/// A line upright across the field.
pub(in crate::report) struct Upright {
    /// Where.
    pub at: f64,
    /// What it is called, at its top, where there is room.
    pub name: String,
    /// What it is drawn in.
    pub ink: Ink,
    /// Its pattern.
    pub dash: Dash,
    /// What a reader sees who points at it.
    pub title: String,
}

impl Lines {
    /// The picture; none where no curve has a point.
    pub fn draw(&self) -> Option<Drawing> {
        self.lines
            .iter()
            .flat_map(|line| &line.stretches)
            .flatten()
            .next()?;
        let named = self.lines.iter().filter(|line| !line.name.is_empty());
        let legend = Legend::of(named.map(|line| {
            let sample = match line.dots {
                true => Sample::Dot(line.ink),
                false => Sample::Line(line.ink, line.dash),
            };
            (sample, line.name.clone())
        }));
        let above = if self.uprights.iter().any(|one| !one.name.is_empty()) {
            LINE
        } else {
            0.0
        };
        let mut frame = Frame::new(&self.x, &self.y, HEIGHT, 0.0, legend.height() + 6.0);
        self.uprights(&mut frame, above);
        for line in &self.lines {
            self.line(&mut frame, line);
        }
        let below = frame.below() + 6.0;
        legend.draw(&mut frame.drawing, below);
        Some(frame.drawing)
    }

    fn line(&self, frame: &mut Frame, line: &Line) {
        let inside = |value: f64| (self.y.low..=self.y.high).contains(&value);
        for stretch in &line.stretches {
            for steps in steps(frame, &clipped(stretch, self.y.low, self.y.high)) {
                frame.add(
                    Mark::path(steps, line.ink)
                        .wide(line.width)
                        .dashed(line.dash),
                );
            }
            for &(x, y) in stretch.iter().filter(|(_, y)| inside(*y)) {
                if line.dots || stretch.len() == 1 {
                    frame.add(Mark::circle(frame.at(x, y), line.width + 0.8, line.ink));
                }
            }
        }
    }

    /// Names stand in the field, below its upper edge, and only where they have room.
    fn uprights(&self, frame: &mut Frame, above: f64) {
        let mut free = frame.left + 4.0;
        for one in &self.uprights {
            let x = frame.x(one.at);
            let (top, foot) = (Point::new(x, frame.top), Point::new(x, frame.bottom));
            let mark = Mark::line(top, foot, one.ink).dashed(one.dash);
            frame.add(mark.titled(one.title.as_str()));
            let half = text_width(&one.name, SMALL, false) / 2.0;
            if one.name.is_empty() || x - half < free || x + half > frame.right {
                continue;
            }
            free = x + half + 6.0;
            let at = Point::new(x, frame.top + above - 5.0);
            let label = Mark::text(at, one.name.as_str(), SMALL).anchored(Anchor::Middle);
            frame.add(label.haloed());
        }
    }
}

/// A stretch, cut where it leaves the field.
fn clipped(stretch: &[(f64, f64)], low: f64, high: f64) -> Vec<Vec<(f64, f64)>> {
    let mut pieces: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
    let inside = |y: f64| (low..=high).contains(&y);
    for pair in stretch.windows(2) {
        let [(x0, y0), (x1, y1)] = [pair[0], pair[1]];
        let cross = |y: f64| (x0 + (y - y0) / (y1 - y0) * (x1 - x0), y);
        let bounded = |y: f64| y.clamp(low, high);
        if (y0 < low && y1 < low) || (y0 > high && y1 > high) {
            continue;
        }
        let from = if inside(y0) {
            (x0, y0)
        } else {
            cross(bounded(y0))
        };
        let to = if inside(y1) {
            (x1, y1)
        } else {
            cross(bounded(y1))
        };
        match pieces.last_mut() {
            Some(piece) if piece.last() == Some(&from) => piece.push(to),
            Some(piece) if piece.is_empty() => piece.extend([from, to]),
            _ => pieces.push(vec![from, to]),
        }
    }
    pieces.retain(|piece| piece.len() > 1);
    pieces
}

fn steps(frame: &Frame, pieces: &[Vec<(f64, f64)>]) -> Vec<Vec<Step>> {
    let step = |(index, &(x, y)): (usize, &(f64, f64))| match index {
        0 => Step::Move(frame.at(x, y)),
        _ => Step::Line(frame.at(x, y)),
    };
    let pieces = pieces.iter();
    pieces
        .map(|piece| piece.iter().enumerate().map(step).collect())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::clipped;

    #[test]
    fn a_line_is_cut_where_it_leaves_the_field() {
        let line = [(0.0, 5.0), (10.0, 15.0), (20.0, 5.0), (30.0, 5.0)];
        let pieces = clipped(&line, 0.0, 10.0);
        assert_eq!(
            pieces,
            [
                vec![(0.0, 5.0), (5.0, 10.0)],
                vec![(15.0, 10.0), (20.0, 5.0), (30.0, 5.0)]
            ]
        );
        assert!(clipped(&[(0.0, 20.0), (1.0, 30.0)], 0.0, 10.0).is_empty());
    }
}
