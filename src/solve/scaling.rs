//! Scales of rows and columns, powers of two so that scaling itself does not
//! round.

use super::mixed::{Mixed, Row};
use crate::program::Sense;

/// Scaled row = row × scale; value = scaled value × scale of its column.
#[derive(Clone, Debug)]
pub(super) struct Scales {
    /// By row.
    pub row: Vec<f64>,
    /// By column.
    pub column: Vec<f64>,
}

impl Scales {
    /// Scales that bring the entries of every row and column near one.
    pub fn of(mixed: &Mixed) -> Self {
        let mut scales = Scales {
            row: vec![1.0; mixed.rows.len()],
            column: vec![1.0; mixed.columns.len()],
        };
        for _ in 0..3 {
            let mut column_range = vec![Range::default(); mixed.columns.len()];
            for (index, row) in mixed.rows.iter().enumerate() {
                let scale = scales.fitting(row);
                scales.row[index] = scale;
                for &(column, factor) in &row.terms {
                    column_range[column].add(factor.abs() * scale);
                }
            }
            for (range, scale) in column_range.iter().zip(&mut scales.column) {
                *scale = range.scale();
            }
        }
        scales
    }

    /// The scale of a row, found now if it is new.
    pub fn row_of(&mut self, index: usize, row: &Row) -> f64 {
        if let Some(&scale) = self.row.get(index) {
            return scale;
        }
        let scale = self.fitting(row);
        self.row.push(scale);
        scale
    }

    fn fitting(&self, row: &Row) -> f64 {
        let mut range = Range::default();
        for &(column, factor) in &row.terms {
            range.add(factor.abs() * self.column[column]);
        }
        range.scale()
    }
}

/// Smallest and largest size that is not zero.
#[derive(Clone, Copy, Debug, Default)]
struct Range(Option<(f64, f64)>);

impl Range {
    fn add(&mut self, size: f64) {
        if size > 0.0 {
            let (least, most) = self.0.unwrap_or((size, size));
            self.0 = Some((least.min(size), most.max(size)));
        }
    }

    fn scale(self) -> f64 {
        self.0.map_or(1.0, |(least, most)| {
            power_of_two(1.0 / (least * most).sqrt())
        })
    }
}

fn power_of_two(value: f64) -> f64 {
    value.log2().round().clamp(-60.0, 60.0).exp2()
}

/// Bounds of the slack of a row, `a x + s = b`.
pub(super) fn slack_bounds(sense: Sense) -> (f64, f64) {
    match sense {
        Sense::Equal => (0.0, 0.0),
        Sense::AtMost => (0.0, f64::INFINITY),
        Sense::AtLeast => (f64::NEG_INFINITY, 0.0),
    }
}
