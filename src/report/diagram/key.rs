//! The key below a picture: what its inks stand for.

use crate::catalogue::Family;
use crate::report::drawing::{Dash, Drawing, Ink, Mark, Point, text_width};

/// Size of the words, px.
const SIZE: f64 = 11.0;
/// Height of a line, px.
const LINE: f64 = 20.0;
/// Length of a sample, px.
const SAMPLE: f64 = 26.0;

/// A line of the key.
#[derive(Clone, Debug)]
pub(super) struct Entry {
    /// What it stands for.
    pub words: String,
    /// How it is drawn; a remark has no sample.
    pub ink: Option<Ink>,
    /// Its pattern.
    pub dash: Dash,
    /// Width of its line, px.
    pub width: f64,
    /// How much of what lies below it hides, in [0, 1].
    pub opacity: f64,
}

impl Entry {
    /// A family of substances.
    pub fn family(family: Family, dash: Dash, width: f64) -> Entry {
        Entry {
            words: family.words().to_owned(),
            ink: Some(Ink::Family(family)),
            dash,
            width,
            opacity: 1.0,
        }
    }

    /// A line of another ink.
    pub fn line(words: impl Into<String>, ink: Ink, dash: Dash, width: f64) -> Entry {
        Entry {
            words: words.into(),
            ink: Some(ink),
            dash,
            width,
            opacity: 1.0,
        }
    }

    /// Words alone.
    pub fn remark(words: String) -> Entry {
        Entry {
            words,
            ink: None,
            dash: Dash::Solid,
            width: 0.0,
            opacity: 1.0,
        }
    }

    /// The same, drawn so that what lies below shows.
    pub fn opaque_by(self, opacity: f64) -> Entry {
        Entry { opacity, ..self }
    }

    /// How far the words stand from the beginning, px.
    fn indent(&self) -> f64 {
        self.ink.map_or(0.0, |_| SAMPLE + 6.0)
    }

    fn length(&self) -> f64 {
        self.indent() + text_width(&self.words, SIZE, false)
    }
}

/// Draws the key from a point down, no wider than the drawing; gives the height it takes.
pub(super) fn draw(drawing: &mut Drawing, entries: &[Entry], left: f64, top: f64) -> f64 {
    let right = drawing.width - left;
    let (mut x, mut y) = (left, top + LINE / 2.0);
    for entry in entries {
        let width = entry.length();
        if x > left && x + width > right {
            x = left;
            y += LINE;
        }
        if let Some(ink) = entry.ink {
            let sample = Mark::line(Point::new(x, y), Point::new(x + SAMPLE, y), ink);
            drawing.add(
                sample
                    .wide(entry.width)
                    .dashed(entry.dash)
                    .opaque_by(entry.opacity),
            );
        }
        let at = Point::new(x + entry.indent(), y + 4.0);
        drawing.add(Mark::text(at, entry.words.as_str(), SIZE));
        x += width + 22.0;
    }
    match entries.is_empty() {
        true => 0.0,
        false => y + LINE / 2.0 - top,
    }
}

/// The widest entry, px: a drawing must not be narrower.
pub(super) fn least_width(entries: &[Entry]) -> f64 {
    entries.iter().map(Entry::length).fold(0.0, f64::max)
}
