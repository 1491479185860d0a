//! A tornado: what each number does to the mass at its two ends.

use super::axis::Axis;
use super::frame::LINE;
use super::legend::{Legend, Sample};
use super::{LETTERS, SMALL, WIDTH};
use crate::report::drawing::{Anchor, Drawing, Ink, Mark, Point, clipped, text_width};

/// Room for names at most, and for numbers on either side, px.
const NAMES: f64 = 300.0;
const NUMBER: f64 = 58.0;
/// Height of a bar, px.
const BAR: f64 = 10.0;
/// Height of a row, px.
const ROW: f64 = 28.0;

/// Rows, the longest first.
pub(in crate::report) struct Tornado {
    /// What changes, with its unit.
    pub axis: String,
    /// What the lower and the upper end are called.
    pub ends: [String; 2],
    /// The rows.
    pub rows: Vec<Moved>,
}

/// A number that was moved.
pub(in crate::report) struct Moved {
    /// Its name.
    pub name: String,
    /// The change at each end with its words; none where there is no plan.
    pub changes: [Option<(f64, String)>; 2],
}

impl Tornado {
    /// The picture; none without a change.
    pub fn draw(&self) -> Option<Drawing> {
        let changes = || {
            self.rows
                .iter()
                .flat_map(|row| row.changes.iter().flatten())
        };
        let (low, high) = changes().fold((0.0_f64, 0.0_f64), |(low, high), (change, _)| {
            (low.min(*change), high.max(*change))
        });
        if low == high {
            return None;
        }
        let names: Vec<String> = self
            .rows
            .iter()
            .map(|row| clipped(&row.name, SMALL, false, NAMES))
            .collect();
        let widths = names.iter().map(|name| text_width(name, SMALL, false));
        let left = widths.fold(0.0, f64::max).ceil() + 10.0;
        let axis = Axis::around(self.axis.as_str(), low, high, 5);
        let [field, end] = [left + NUMBER, WIDTH - NUMBER];
        let x = |value: f64| field + axis.share(value) * (end - field);
        let legend = Legend::of(
            self.ends
                .iter()
                .enumerate()
                .map(|(end, name)| (Sample::Fill(Ink::Series(end), 1.0), name.clone())),
        );
        let first = legend.height() + 8.0;
        let bottom = first + ROW * self.rows.len() as f64;
        let mut drawing = Drawing::new(WIDTH, bottom + 2.0 * LINE + 8.0);
        legend.draw(&mut drawing, 0.0);
        for (value, name) in &axis.ticks {
            let ink = if *value == 0.0 { Ink::Quiet } else { Ink::Grid };
            let (top, foot) = (
                Point::new(x(*value), first - 4.0),
                Point::new(x(*value), bottom),
            );
            drawing.add(Mark::line(top, foot, ink));
            let label = Mark::text(Point::new(x(*value), bottom + 14.0), name.as_str(), SMALL);
            drawing.add(label.filled(Ink::Quiet).anchored(Anchor::Middle));
        }
        let at = Point::new((field + end) / 2.0, bottom + 14.0 + LINE);
        let name = Mark::text(at, axis.name.as_str(), LETTERS).filled(Ink::Quiet);
        drawing.add(name.anchored(Anchor::Middle));
        for (number, (row, name)) in self.rows.iter().zip(names).enumerate() {
            let top = first + number as f64 * ROW;
            let at = Point::new(left - 8.0, top + BAR + 5.0);
            drawing.add(Mark::text(at, name, SMALL).anchored(Anchor::End));
            for (end, change) in row.changes.iter().enumerate() {
                let top = top + 1.0 + end as f64 * (BAR + 1.0);
                let (to, words) = match change {
                    Some((change, words)) => (x(*change), words.as_str()),
                    None => (x(0.0), "no plan"),
                };
                let (from, to) = (x(0.0), to);
                let bar = Mark::rect(from.min(to), top, (to - from).abs(), BAR, Ink::Series(end));
                drawing.add(bar.titled(format!("{}, {}: {words}", row.name, self.ends[end])));
                let (at, anchor) = match to < from {
                    true => (to - 5.0, Anchor::End),
                    false => (to + 5.0, Anchor::Start),
                };
                let label = Mark::text(Point::new(at, top + BAR - 1.0), words, 10.0);
                drawing.add(label.anchored(anchor).haloed());
            }
        }
        Some(drawing)
    }
}
