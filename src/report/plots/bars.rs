//! Bars that lie: side by side to compare kinds, or one behind the other to make a sum.

use super::axis::Axis;
use super::frame::LINE;
use super::legend::{Legend, Sample};
use super::{LETTERS, SMALL, WIDTH};
use crate::report::drawing::{Anchor, Drawing, Ink, Mark, Point, clipped, text_width};

/// Room for the names of rows at most, px.
const NAMES: f64 = 240.0;
/// Room for a number behind the longest bar, px.
const NUMBER: f64 = 84.0;
/// Height of one of several bars of a row, px.
const THIN: f64 = 14.0;
/// Height of the bar of a stack, px.
const THICK: f64 = 20.0;
/// Room between rows, px.
const BETWEEN: f64 = 9.0;

/// Rows of bars, one for each series.
pub(in crate::report) struct Bars {
    /// What the numbers are, with their unit.
    pub axis: String,
    /// Names of the series.
    pub series: Vec<String>,
    /// Rows from top to bottom.
    pub rows: Vec<Bar>,
}

/// A row.
pub(in crate::report) struct Bar {
    /// Its name.
    pub name: String,
    /// A value with its words for each series; none where there is none.
    pub values: Vec<Option<(f64, String)>>,
}

/// Rows of bars, each a sum of parts.
pub(in crate::report) struct Stacks {
    /// What the numbers are, with their unit.
    pub axis: String,
    /// Names of the parts, in the order in which they lie.
    pub parts: Vec<String>,
    /// Rows from top to bottom.
    pub rows: Vec<Stack>,
    /// What a limit is called, where rows have one.
    pub limit: String,
}

/// A row.
pub(in crate::report) struct Stack {
    /// Its name.
    pub name: String,
    /// Its parts, in order.
    pub parts: Vec<Part>,
    /// The sum in words.
    pub all: String,
    /// What the sum may not pass.
    pub limit: Option<f64>,
}

/// A part of a sum.
pub(in crate::report) struct Part {
    /// Which of the parts.
    pub part: usize,
    /// How much.
    pub value: f64,
    /// The same in words.
    pub words: String,
}

impl Bars {
    /// The picture; none without rows.
    pub fn draw(&self) -> Option<Drawing> {
        let values = self.rows.iter().flat_map(|row| row.values.iter().flatten());
        let most = values.map(|(value, _)| *value).reduce(f64::max)?;
        let sample = |series: usize| Sample::Fill(Ink::Series(series), 1.0);
        let entries = self.series.iter().enumerate();
        let legend = Legend::of(match self.series.len() {
            1 => Vec::new(),
            _ => entries
                .map(|(at, name)| (sample(at), name.clone()))
                .collect(),
        });
        let height = THIN * self.series.len().max(1) as f64;
        let names = self.rows.iter().map(|row| row.name.as_str()).collect();
        let mut sheet = Sheet::new(names, &self.axis, most, height.max(14.0), &legend);
        for (number, row) in self.rows.iter().enumerate() {
            for (series, value) in row.values.iter().enumerate() {
                let Some((value, words)) = value else {
                    continue;
                };
                let top = sheet.top(number) + series as f64 * THIN;
                let end = sheet.x(*value);
                let bar = Mark::rect(
                    sheet.left,
                    top,
                    (end - sheet.left).max(0.5),
                    THIN - 3.0,
                    Ink::Series(series),
                );
                sheet
                    .drawing
                    .add(bar.titled(format!("{}: {words}", row.name)));
                sheet.number(end, top + THIN - 4.5, words);
            }
        }
        Some(sheet.drawing)
    }
}

impl Stacks {
    /// The picture; none without rows.
    pub fn draw(&self) -> Option<Drawing> {
        let sum = |row: &Stack| row.parts.iter().map(|part| part.value).sum::<f64>();
        let ends = self
            .rows
            .iter()
            .map(|row| sum(row).max(row.limit.unwrap_or(0.0)));
        let most = ends.reduce(f64::max)?;
        let entries = self.parts.iter().enumerate();
        let mut entries: Vec<(Sample, String)> = entries
            .map(|(at, name)| (Sample::Fill(Ink::Series(at), shade(at)), name.clone()))
            .collect();
        if self.rows.iter().any(|row| row.limit.is_some()) {
            entries.push((
                Sample::Line(Ink::Warning, Default::default()),
                self.limit.clone(),
            ));
        }
        let legend = Legend::of(entries);
        let names = self.rows.iter().map(|row| row.name.as_str()).collect();
        let mut sheet = Sheet::new(names, &self.axis, most, THICK, &legend);
        for (number, row) in self.rows.iter().enumerate() {
            let top = sheet.top(number);
            let mut before = 0.0;
            for part in &row.parts {
                let (from, to) = (sheet.x(before), sheet.x(before + part.value));
                before += part.value;
                let bar = Mark::rect(from, top, to - from, THICK, Ink::Series(part.part));
                let words = format!("{}: {} {}", row.name, self.parts[part.part], part.words);
                // A line of paper keeps neighbours apart whatever their colours.
                let bar = bar.opaque_by(shade(part.part)).titled(words);
                sheet.drawing.add(bar);
                let edge = Mark::line(Point::new(to, top), Point::new(to, top + THICK), Ink::Paper);
                sheet.drawing.add(edge.wide(1.0));
            }
            let mut end = sheet.x(before);
            if let Some(limit) = row.limit {
                let x = sheet.x(limit);
                let mark = Mark::line(
                    Point::new(x, top - 4.0),
                    Point::new(x, top + THICK + 4.0),
                    Ink::Warning,
                );
                sheet.drawing.add(mark.wide(3.0));
                // The sum keeps clear of the mark.
                let width = text_width(&row.all, SMALL, false) + 10.0;
                if x > end - 4.0 && x < end + width {
                    end = x;
                }
            }
            sheet.number(end, top + THICK / 2.0 + 4.0, &row.all);
        }
        Some(sheet.drawing)
    }
}

/// After the seventh, colours come again, paler.
fn shade(part: usize) -> f64 {
    if part < 7 { 1.0 } else { 0.5 }
}

/// A sheet with names of rows on the left and an axis below.
struct Sheet {
    drawing: Drawing,
    left: f64,
    first: f64,
    row: f64,
    axis: Axis,
}

impl Sheet {
    fn new(names: Vec<&str>, axis: &str, most: f64, row: f64, legend: &Legend) -> Sheet {
        let clipped: Vec<String> = names
            .into_iter()
            .map(|name| clipped(name, LETTERS, false, NAMES))
            .collect();
        let widths = clipped.iter().map(|name| text_width(name, LETTERS, false));
        let left = widths.fold(0.0, f64::max).ceil() + 10.0;
        let first = legend.height() + 8.0;
        let bottom = first + clipped.len() as f64 * (row + BETWEEN);
        let mut sheet = Sheet {
            drawing: Drawing::new(WIDTH, bottom + 2.0 * LINE + 8.0),
            left,
            first,
            row,
            axis: Axis::from_zero(axis, most, 5),
        };
        legend.draw(&mut sheet.drawing, 0.0);
        sheet.lines(bottom);
        for (number, name) in clipped.into_iter().enumerate() {
            let middle = sheet.top(number) + row / 2.0;
            let at = Point::new(left - 8.0, middle + 4.0);
            let name = Mark::text(at, name, LETTERS).anchored(Anchor::End);
            sheet.drawing.add(name);
        }
        sheet
    }

    fn lines(&mut self, bottom: f64) {
        for (value, name) in self.axis.ticks.clone() {
            let x = self.x(value);
            let (top, foot) = (Point::new(x, self.first - 4.0), Point::new(x, bottom));
            self.drawing.add(Mark::line(top, foot, Ink::Grid));
            let at = Point::new(x, bottom + 14.0);
            let label = Mark::text(at, name, SMALL).filled(Ink::Quiet);
            self.drawing.add(label.anchored(Anchor::Middle));
        }
        let middle = (self.left + WIDTH - NUMBER) / 2.0;
        let at = Point::new(middle, bottom + 14.0 + LINE);
        let name = Mark::text(at, self.axis.name.clone(), LETTERS).filled(Ink::Quiet);
        self.drawing.add(name.anchored(Anchor::Middle));
    }

    fn top(&self, row: usize) -> f64 {
        self.first + row as f64 * (self.row + BETWEEN)
    }

    fn x(&self, value: f64) -> f64 {
        self.left + self.axis.share(value) * (WIDTH - NUMBER - self.left)
    }

    /// Words behind the end of a bar.
    fn number(&mut self, end: f64, base: f64, words: &str) {
        let at = Point::new(end + 6.0, base);
        self.drawing.add(Mark::text(at, words, SMALL).haloed());
    }
}
