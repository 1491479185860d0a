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
    /// No portfolio; a sign for why, and the words, if there are any.
    None(char, &'static str),
}

impl Place {
    fn letter(&self) -> String {
        match self {
            Place::Portfolio(_, letter) => letter.clone(),
            Place::None(sign, _) => sign.to_string(),
        }
    }

    /// The words that say more than the letter, if there are any.
    fn words(&self) -> Option<&str> {
        match self {
            Place::Portfolio(..) => None,
            Place::None(_, words) => (!words.is_empty()).then_some(words),
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
                    Place::None(..) => (Ink::Paper, 1.0),
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

/// A letter in the middle of every field; where fields are too narrow, in the middle of one
/// field of every stretch of a row with the same portfolio, again and again where it is long;
/// none where there is no room. Why there is no portfolio is said in words where they fit.
fn letters(
    drawing: &mut Drawing,
    fields: &[Field],
    corner: impl Fn(usize) -> Point,
    [width, row]: [f64; 2],
) {
    const AGAIN: f64 = 60.0;
    const ROOM: f64 = 4.0;
    let size = LETTERS.min(row - 2.0);
    let fits = |words: &str, size: f64, room: f64| text_width(words, size, false) + ROOM < room;
    let mut first = 0;
    for stretch in fields.chunk_by(|one, next| one.place == next.place) {
        let place = &stretch[0].place;
        let all = stretch.len() as f64 * width;
        let mut add = |middle: f64, words: &str, size: f64, ink: Ink| {
            let left = corner(first);
            let at = Point::new(left.x + middle, left.y + row / 2.0 + 0.36 * size);
            let text = Mark::text(at, words, size).anchored(Anchor::Middle);
            drawing.add(text.filled(ink));
        };
        let letter = place.letter();
        let words_size = SMALL.min(size);
        match place.words() {
            Some(words) if fits(words, words_size, all) => {
                add(all / 2.0, words, words_size, Ink::Quiet);
            }
            _ if fits(&letter, size, all) => {
                let times = match fits(&letter, size, width) {
                    true => stretch.len(),
                    false => ((all / AGAIN) as usize).max(1),
                };
                for time in 0..times {
                    let share = (time as f64 + 0.5) / times as f64;
                    let field = (share * stretch.len() as f64).floor();
                    add((field + 0.5) * width, &letter, size, Ink::Text);
                }
            }
            _ => {}
        }
        first += stretch.len();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn map(columns: usize, place: impl Fn(usize) -> Place) -> Drawing {
        let fields = (0..columns).map(|column| Field {
            place: place(column),
            title: String::new(),
        });
        let map = Map {
            across: "power".to_owned(),
            up: "volume".to_owned(),
            columns: vec![String::new(); columns],
            rows: vec![(String::new(), fields.collect())],
        };
        map.draw().unwrap()
    }

    fn middles(drawing: &Drawing, wanted: &str) -> Vec<f64> {
        let labels = drawing.labels().into_iter();
        labels
            .filter(|(words, _)| *words == wanted)
            .map(|(_, bounds)| (bounds.left + bounds.right) / 2.0)
            .collect()
    }

    fn fields(drawing: &Drawing) -> Vec<f64> {
        let boxes = drawing.marks.iter().filter(|mark| mark.title.is_some());
        boxes
            .filter_map(Mark::bounds)
            .map(|bounds| (bounds.left + bounds.right) / 2.0)
            .collect()
    }

    #[test]
    fn every_field_that_is_wide_enough_has_its_letter_in_its_middle() {
        let drawing = map(9, |column| {
            Place::Portfolio(usize::from(column > 3), "B".to_owned())
        });
        let (letters, fields) = (middles(&drawing, "B"), fields(&drawing));
        assert_eq!(letters.len(), 9);
        for (letter, field) in letters.iter().zip(&fields) {
            assert!((letter - field).abs() < 1e-9, "{letter} in {field}");
        }
    }

    #[test]
    fn in_narrow_fields_letters_stand_in_the_middle_of_some() {
        let drawing = map(200, |_| Place::Portfolio(0, "B".to_owned()));
        let (letters, fields) = (middles(&drawing, "B"), fields(&drawing));
        assert!((5..20).contains(&letters.len()), "{}", letters.len());
        for letter in letters {
            let near = fields.iter().any(|field| (letter - field).abs() < 1e-9);
            assert!(near, "{letter}");
        }
    }

    #[test]
    fn why_there_is_no_portfolio_is_said_where_there_is_room() {
        let none = |_| Place::None('-', "no balance");
        assert_eq!(middles(&map(3, none), "no balance").len(), 1);
        // Fields are narrow here, and every other one is a portfolio's.
        let drawing = map(40, |column| match column % 2 {
            0 => none(column),
            _ => Place::Portfolio(0, "A".to_owned()),
        });
        assert_eq!(middles(&drawing, "no balance").len(), 0);
        assert_eq!(middles(&drawing, "-").len(), 20);
    }
}
