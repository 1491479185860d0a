//! Legends: a sample and a name for everything, in rows that are as wide as the plot.

use super::{SMALL, WIDTH};
use crate::report::drawing::{Dash, Drawing, Ink, Mark, Point, clipped, text_width};

/// Width of a sample and of the room behind it, px.
const SAMPLE: f64 = 24.0;
const BEHIND: f64 = 6.0;
/// Room between entries, px.
const BETWEEN: f64 = 18.0;
/// Height of a row, px.
const ROW: f64 = 19.0;

/// What an entry shows.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Sample {
    /// A filled box, and how much it hides.
    Fill(Ink, f64),
    /// A line.
    Line(Ink, Dash),
    /// A dot.
    Dot(Ink),
}

/// The entries of a legend in rows.
pub(super) struct Legend {
    rows: Vec<Vec<(Sample, String)>>,
}

impl Legend {
    /// Entries in order, a new row wherever the one before is full.
    pub fn of(entries: impl IntoIterator<Item = (Sample, String)>) -> Legend {
        let mut rows: Vec<Vec<(Sample, String)>> = Vec::new();
        let mut used = f64::INFINITY;
        for (sample, name) in entries {
            let name = clipped(&name, SMALL, false, WIDTH - SAMPLE - BEHIND - BETWEEN);
            let width = width(&name);
            if used + width > WIDTH {
                rows.push(Vec::new());
                used = 0.0;
            }
            used += width;
            if let Some(row) = rows.last_mut() {
                row.push((sample, name));
            }
        }
        Legend { rows }
    }

    /// The height that it takes, px.
    pub fn height(&self) -> f64 {
        self.rows.len() as f64 * ROW
    }

    /// Draws it from a height downwards.
    pub fn draw(&self, drawing: &mut Drawing, top: f64) {
        for (number, row) in self.rows.iter().enumerate() {
            let middle = top + (number as f64 + 0.5) * ROW;
            let mut left = 2.0;
            for (sample, name) in row {
                drawing.add(match *sample {
                    Sample::Fill(ink, opacity) => {
                        Mark::rect(left, middle - 5.0, SAMPLE, 10.0, ink).opaque_by(opacity)
                    }
                    Sample::Dot(ink) => {
                        Mark::circle(Point::new(left + SAMPLE / 2.0, middle), 3.5, ink)
                    }
                    Sample::Line(ink, dash) => {
                        let end = Point::new(left + SAMPLE, middle);
                        Mark::line(Point::new(left, middle), end, ink)
                            .wide(2.0)
                            .dashed(dash)
                    }
                });
                let at = Point::new(left + SAMPLE + BEHIND, middle + 4.0);
                drawing.add(Mark::text(at, name.as_str(), SMALL));
                left += width(name);
            }
        }
    }
}

fn width(name: &str) -> f64 {
    SAMPLE + BEHIND + text_width(name, SMALL, false) + BETWEEN
}
