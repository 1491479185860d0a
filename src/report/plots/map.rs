//! A map of which portfolio is lightest where: a field for every cell, with a letter for
//! its portfolio and a line where portfolios meet.

use super::frame::LINE;
use super::{LETTERS, SMALL, WIDTH};
use crate::report::drawing::{Anchor, Drawing, Ink, Mark, Point, clipped, text_width};

/// Room for the names of rows at most, px.
const NAMES: f64 = 130.0;
/// Height of a row, px.
const TALLEST: f64 = 34.0;
const LOWEST: f64 = 15.0;
/// Height of all rows at most, px.
const HEIGHT: f64 = 420.0;
/// How much of a colour a field shows, so that letters on it are read.
const TINT: f64 = 0.30;

/// Columns and rows of fields.
pub(in crate::report) struct Map {
    /// The number across, with its unit.
    pub across: String,
    /// The number upwards, with its unit.
    pub up: String,
    /// Names of the columns.
    pub columns: Vec<String>,
    /// Names of the rows, the lowest first, and their fields.
    pub rows: Vec<(String, Vec<Field>)>,
}

/// A field.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::report) struct Field {
    /// Its portfolio; none without a plan.
    pub place: Place,
    /// What a reader sees who points at it.
    pub title: String,
}

/// What is in a field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::report) enum Place {
    /// A portfolio by its number, with its letter.
    Portfolio(usize, String),
    /// No portfolio; a sign for why.
    None(char),
}

impl Place {
    fn letter(&self) -> String {
        match self {
            Place::Portfolio(_, letter) => letter.clone(),
            Place::None(sign) => sign.to_string(),
        }
    }
}

impl Map {
    /// The picture; none without fields.
    pub fn draw(&self) -> Option<Drawing> {
        let columns = self.columns.len();
        if columns == 0 || self.rows.is_empty() {
            return None;
        }
        let names: Vec<String> = self
            .rows
            .iter()
            .map(|(name, _)| clipped(name, SMALL, false, NAMES))
            .collect();
        let widest = names.iter().map(|name| text_width(name, SMALL, false));
        let left = widest.fold(0.0, f64::max).ceil() + 10.0;
        let top = LINE + 4.0;
        let row = (HEIGHT / self.rows.len() as f64)
            .clamp(LOWEST, TALLEST)
            .floor();
        // Whole pixels, so that no seams show between fields.
        let width = match (WIDTH - left - 8.0) / columns as f64 {
            narrow if narrow < 4.0 => narrow,
            width => width.floor(),
        };
        let bottom = top + row * self.rows.len() as f64;
        let mut drawing = Drawing::new(WIDTH, bottom + 2.0 * LINE + 8.0);
        let name = Mark::text(Point::new(2.0, LETTERS), self.up.as_str(), LETTERS);
        drawing.add(name.filled(Ink::Quiet));
        let corner = |column: usize, line: usize| {
            Point::new(
                left + column as f64 * width,
                bottom - (line + 1) as f64 * row,
            )
        };
        for (line, (_, fields)) in self.rows.iter().enumerate() {
            for (column, field) in fields.iter().enumerate() {
                let at = corner(column, line);
                let (ink, tint) = match field.place {
                    Place::Portfolio(portfolio, _) => (Ink::Series(portfolio), TINT),
                    Place::None(_) => (Ink::Paper, 1.0),
                };
                let mark = Mark::rect(at.x, at.y, width, row, ink).opaque_by(tint);
                drawing.add(mark.titled(field.title.as_str()));
            }
        }
        for (line, (_, fields)) in self.rows.iter().enumerate() {
            self.borders(&mut drawing, line, fields, corner, [width, row]);
            letters(
                &mut drawing,
                fields,
                |column| corner(column, line),
                [width, row],
            );
        }
        for (line, name) in names.into_iter().enumerate() {
            let at = Point::new(left - 6.0, corner(0, line).y + row / 2.0 + 4.0);
            let label = Mark::text(at, name, SMALL).filled(Ink::Quiet);
            drawing.add(label.anchored(Anchor::End));
        }
        self.below(&mut drawing, left, bottom, width);
        Some(drawing)
    }

    /// Lines where a field differs from the one on its left or the one below.
    fn borders(
        &self,
        drawing: &mut Drawing,
        line: usize,
        fields: &[Field],
        corner: impl Fn(usize, usize) -> Point,
        [width, row]: [f64; 2],
    ) {
        let below = line.checked_sub(1).map(|below| &self.rows[below].1);
        for (column, field) in fields.iter().enumerate() {
            let at = corner(column, line);
            let differs = |other: Option<&Field>| other.is_none_or(|one| one.place != field.place);
            let foot = Point::new(at.x, at.y + row);
            let mut edge = |from: Point, to: Point| {
                drawing.add(Mark::line(from, to, Ink::Text));
            };
            if differs(column.checked_sub(1).and_then(|before| fields.get(before))) {
                edge(at, foot);
            }
            if differs(below.and_then(|fields| fields.get(column))) {
                edge(foot, Point::new(at.x + width, at.y + row));
            }
            if column + 1 == fields.len() {
                edge(
                    Point::new(at.x + width, at.y),
                    Point::new(at.x + width, at.y + row),
                );
            }
            if line + 1 == self.rows.len() {
                edge(at, Point::new(at.x + width, at.y));
            }
        }
    }

    fn below(&self, drawing: &mut Drawing, left: f64, bottom: f64, width: f64) {
        let widths = self
            .columns
            .iter()
            .map(|name| text_width(name, SMALL, false));
        let widest = widths.fold(0.0, f64::max);
        let every = ((widest + 10.0) / width).ceil().max(1.0) as usize;
        for (column, name) in self.columns.iter().enumerate().step_by(every) {
            let middle = left + (column as f64 + 0.5) * width;
            if middle + widest / 2.0 > WIDTH {
                continue;
            }
            let at = Point::new(middle, bottom + 14.0);
            let label = Mark::text(at, name.as_str(), SMALL).filled(Ink::Quiet);
            drawing.add(label.anchored(Anchor::Middle));
        }
        let middle = left + self.columns.len() as f64 * width / 2.0;
        let at = Point::new(middle, bottom + 14.0 + LINE);
        let name = Mark::text(at, self.across.as_str(), LETTERS).filled(Ink::Quiet);
        drawing.add(name.anchored(Anchor::Middle));
    }
}

/// A letter in the middle of every stretch of a row with the same portfolio, again and
/// again where it is long; none where there is no room.
fn letters(
    drawing: &mut Drawing,
    fields: &[Field],
    corner: impl Fn(usize) -> Point,
    [width, row]: [f64; 2],
) {
    const AGAIN: f64 = 60.0;
    let size = LETTERS.min(row - 2.0);
    let mut first = 0;
    for stretch in fields.chunk_by(|one, next| one.place == next.place) {
        let letter = stretch[0].place.letter();
        let all = stretch.len() as f64 * width;
        let times = (all / AGAIN).floor().max(1.0);
        if text_width(&letter, size, false) < all - 1.0 {
            for time in 0..times as usize {
                let at = corner(first);
                let x = at.x + (time as f64 + 0.5) / times * all;
                let at = Point::new(x, at.y + row / 2.0 + 0.36 * size);
                drawing.add(Mark::text(at, letter.as_str(), size).anchored(Anchor::Middle));
            }
        }
        first += stretch.len();
    }
}
