//! Levels over the calendar: a strip for everything that is kept, one below the other.

use super::axis::Axis;
use super::frame::LINE;
use super::legend::{Legend, Sample};
use super::{LETTERS, SMALL, WIDTH};
use crate::report::drawing::{Anchor, Dash, Drawing, Ink, Mark, Point, Step, clipped, text_width};

/// Height of a strip, and of the line with its name above it, px.
const HEIGHT: f64 = 46.0;
const NAME: f64 = 17.0;
/// Room between strips, px.
const BETWEEN: f64 = 9.0;

/// Strips over the same days.
pub(in crate::report) struct Levels {
    /// The axis of days.
    pub days: Axis,
    /// Days on which flights arrive, with their names.
    pub arrivals: Vec<(f64, String)>,
    /// Days on which something goes wrong.
    pub faults: Vec<(f64, String)>,
    /// The strips from top to bottom.
    pub strips: Vec<Strip>,
}

/// A strip.
pub(in crate::report) struct Strip {
    /// Its name.
    pub name: String,
    /// The name of its top and of its foot.
    pub ends: [String; 2],
    /// The level at its top.
    pub most: f64,
    /// The levels, the first filled below its line.
    pub levels: Vec<Level>,
}

/// A level over the days.
pub(in crate::report) struct Level {
    /// Its name in the legend; empty if the strip has but one.
    pub name: String,
    /// Days and levels, joined by straight lines; two of one day are a jump.
    pub points: Vec<(f64, f64)>,
}

impl Levels {
    /// The picture; none without strips.
    pub fn draw(&self) -> Option<Drawing> {
        let first = self.strips.first()?;
        let named = first.levels.iter().enumerate();
        let entries: Vec<(Sample, String)> = named
            .filter(|(_, level)| !level.name.is_empty())
            .map(|(at, level)| (line(at), level.name.clone()))
            .collect();
        let legend = Legend::of(entries);
        let told = if self.faults.is_empty() { 1.0 } else { 2.0 };
        let top = legend.height() + told * LINE + 4.0;
        let strip = NAME + HEIGHT + BETWEEN;
        let bottom = top + strip * self.strips.len() as f64;
        let mut drawing = Drawing::new(WIDTH, bottom + 2.0 * LINE + 8.0);
        legend.draw(&mut drawing, 0.0);
        self.calendar(&mut drawing, top, bottom);
        for (number, one) in self.strips.iter().enumerate() {
            self.strip(&mut drawing, one, top + number as f64 * strip);
        }
        Some(drawing)
    }

    /// Where strips begin: room for their numbers is on the left.
    fn left(&self) -> f64 {
        let words = self.strips.iter().flat_map(|strip| &strip.ends);
        let widths = words.map(|words| text_width(words, SMALL, false));
        widths.fold(0.0, f64::max).ceil() + 10.0
    }

    fn x(&self, day: f64) -> f64 {
        let left = self.left();
        left + self.days.share(day) * (WIDTH - left - 14.0)
    }

    fn calendar(&self, drawing: &mut Drawing, top: f64, bottom: f64) {
        for (day, name) in &self.days.ticks {
            let x = self.x(*day);
            let mark = Mark::line(Point::new(x, top), Point::new(x, bottom), Ink::Grid);
            drawing.add(mark);
            let half = text_width(name, SMALL, false) / 2.0;
            let at = Point::new(x.min(WIDTH - half), bottom + 14.0);
            let label = Mark::text(at, name.as_str(), SMALL).filled(Ink::Quiet);
            drawing.add(label.anchored(Anchor::Middle));
        }
        let at = Point::new((self.left() + WIDTH) / 2.0, bottom + 14.0 + LINE);
        let name = Mark::text(at, self.days.name.as_str(), LETTERS).filled(Ink::Quiet);
        drawing.add(name.anchored(Anchor::Middle));
        let rows = [
            (&self.arrivals, Ink::Quiet, Dash::Short, 1.0, 7.0),
            (&self.faults, Ink::Warning, Dash::Solid, 2.0, 7.0 + LINE),
        ];
        for (days, ink, dash, width, above) in rows {
            let mut free = 0.0;
            for (day, name) in days {
                let x = self.x(*day);
                let from = Point::new(x, top - above + 4.0);
                let mark = Mark::line(from, Point::new(x, bottom), ink);
                drawing.add(mark.wide(width).dashed(dash).titled(name.as_str()));
                let half = text_width(name, SMALL, false) / 2.0;
                let middle = x.clamp(half, WIDTH - half);
                if middle - half < free {
                    continue;
                }
                free = middle + half + 8.0;
                let at = Point::new(middle, top - above);
                let label = Mark::text(at, name.as_str(), SMALL).filled(ink).haloed();
                drawing.add(label.anchored(Anchor::Middle));
            }
        }
    }

    fn strip(&self, drawing: &mut Drawing, strip: &Strip, above: f64) {
        let (top, bottom) = (above + NAME, above + NAME + HEIGHT);
        let name = clipped(&strip.name, LETTERS, false, WIDTH - self.left() - 20.0);
        let at = Point::new(self.left() + 4.0, above + NAME - 6.0);
        let share = |level: f64| match strip.most > 0.0 {
            true => (level / strip.most).clamp(0.0, 1.0),
            false => 0.0,
        };
        let place =
            |&(day, level): &(f64, f64)| Point::new(self.x(day), bottom - share(level) * HEIGHT);
        if let Some(level) = strip.levels.first() {
            let mut steps = Vec::new();
            if let (Some(first), Some(last)) = (level.points.first(), level.points.last()) {
                steps.push(Step::Move(Point::new(self.x(first.0), bottom)));
                steps.extend(level.points.iter().map(|point| Step::Line(place(point))));
                steps.push(Step::Line(Point::new(self.x(last.0), bottom)));
                steps.push(Step::Close);
            }
            drawing.add(Mark::area(steps, Ink::Series(0)).opaque_by(0.16));
        }
        let end = Point::new(self.x(self.days.high), bottom);
        drawing.add(Mark::line(Point::new(self.left(), bottom), end, Ink::Quiet));
        for (number, level) in strip.levels.iter().enumerate().rev() {
            let steps = level.points.iter().enumerate();
            let steps = steps.map(|(index, point)| match index {
                0 => Step::Move(place(point)),
                _ => Step::Line(place(point)),
            });
            let mark = Mark::path(steps.collect(), Ink::Series(number)).wide(1.6);
            drawing.add(mark.dashed(Dash::of_series(number)));
        }
        for (words, base) in strip.ends.iter().zip([top + 9.0, bottom]) {
            let at = Point::new(self.left() - 6.0, base);
            let label = Mark::text(at, words.as_str(), SMALL).filled(Ink::Quiet);
            drawing.add(label.anchored(Anchor::End));
        }
        drawing.add(Mark::text(at, name, LETTERS).haloed());
    }
}

fn line(number: usize) -> Sample {
    Sample::Line(Ink::Series(number), Dash::of_series(number))
}
