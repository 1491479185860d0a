//! A dense simplex tableau with bounded columns: rows, basis, values and
//! reduced costs, and the pivot that moves from one basis to the next.

use super::mixed::Mixed;
use crate::program::Sense;

/// Pivots between two fresh starts from the rows as given.
const FRESH_AFTER: usize = 150;
/// Entries below this are rounding.
const NOISE: f64 = 1e-13;

/// Where a column stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum At {
    /// In the basis, in this row.
    Basic(usize),
    /// At its lower bound.
    Lower,
    /// At its upper bound.
    Upper,
}

/// `B⁻¹ [A I]` with reduced costs, in scaled numbers. Columns are those of the
/// program, then one slack per row: `A x + s = b`.
#[derive(Clone, Debug)]
pub(super) struct Tableau {
    /// Rows.
    pub rows: usize,
    /// Columns with slacks.
    pub width: usize,
    /// Columns without slacks.
    pub columns: usize,
    /// Row by row.
    body: Vec<f64>,
    /// `B⁻¹ b`.
    right: Vec<f64>,
    /// Reduced costs.
    pub reduced: Vec<f64>,
    /// Costs of the columns, slacks included.
    cost: Vec<f64>,
    /// The basic column of every row.
    pub basis: Vec<usize>,
    /// Where every column stands.
    pub at: Vec<At>,
    /// Bounds, slacks included.
    pub lower: Vec<f64>,
    /// See `lower`.
    pub upper: Vec<f64>,
    /// Values of the basic columns.
    pub values: Vec<f64>,
    /// Pivots since the last fresh start.
    pivots: usize,
    /// Scale of every column: value = scaled value × scale.
    column_scale: Vec<f64>,
    original: Vec<f64>,
    original_right: Vec<f64>,
    /// The entries of the program's columns, row by row, scaled.
    sparse: Vec<Vec<(usize, f64)>>,
}

impl Tableau {
    /// The tableau of a program with all slacks basic.
    pub fn new(mixed: &Mixed) -> Self {
        let rows = mixed.rows.len();
        let columns = mixed.columns.len();
        let width = columns + rows;
        let (row_scale, column_scale) = scales(mixed);
        let mut original = vec![0.0; rows * width];
        let mut original_right = vec![0.0; rows];
        let mut lower = vec![0.0; width];
        let mut upper = vec![0.0; width];
        for (index, row) in mixed.rows.iter().enumerate() {
            for &(column, factor) in &row.terms {
                original[index * width + column] +=
                    factor * row_scale[index] * column_scale[column];
            }
            original[index * width + columns + index] = 1.0;
            original_right[index] = row.right * row_scale[index];
            let (least, most) = match row.sense {
                Sense::Equal => (0.0, 0.0),
                Sense::AtMost => (0.0, f64::INFINITY),
                Sense::AtLeast => (f64::NEG_INFINITY, 0.0),
            };
            lower[columns + index] = least;
            upper[columns + index] = most;
        }
        let sparse = (0..rows)
            .map(|row| {
                (0..columns)
                    .map(|column| (column, original[row * width + column]))
                    .filter(|&(_, entry)| entry != 0.0)
                    .collect()
            })
            .collect();
        let mut cost = vec![0.0; width];
        for (index, column) in mixed.columns.iter().enumerate() {
            cost[index] = column.cost * column_scale[index];
            lower[index] = column.lower / column_scale[index];
            upper[index] = column.upper / column_scale[index];
        }
        let mut at = vec![At::Lower; width];
        for (row, at) in at.iter_mut().skip(columns).enumerate() {
            *at = At::Basic(row);
        }
        Tableau {
            rows,
            width,
            columns,
            body: original.clone(),
            right: original_right.clone(),
            reduced: cost.clone(),
            cost,
            basis: (columns..width).collect(),
            at,
            lower,
            upper,
            values: vec![0.0; rows],
            pivots: 0,
            column_scale,
            original,
            original_right,
            sparse,
        }
    }

    /// A row of the body.
    pub fn row(&self, row: usize) -> &[f64] {
        &self.body[row * self.width..(row + 1) * self.width]
    }

    /// An entry of the body.
    pub fn entry(&self, row: usize, column: usize) -> f64 {
        self.body[row * self.width + column]
    }

    /// Sets the bounds of the program's columns.
    pub fn set_bounds(&mut self, lower: &[f64], upper: &[f64]) {
        for (column, (&least, &most)) in lower.iter().zip(upper).enumerate() {
            self.lower[column] = least / self.column_scale[column];
            self.upper[column] = most / self.column_scale[column];
        }
    }

    /// Replaces reduced costs by those of other costs, or of the program's own.
    pub fn price(&mut self, cost: Option<&[f64]>) {
        let cost: &[f64] = cost.unwrap_or(&self.cost);
        let mut reduced = cost.to_vec();
        for (row, &basic) in self.basis.iter().enumerate() {
            let factor = cost[basic];
            if factor != 0.0 {
                let body = &self.body[row * self.width..(row + 1) * self.width];
                for (reduced, entry) in reduced.iter_mut().zip(body) {
                    *reduced -= factor * entry;
                }
            }
        }
        for &basic in &self.basis {
            reduced[basic] = 0.0;
        }
        self.reduced = reduced;
    }

    /// The program's own costs, scaled.
    pub fn cost(&self) -> &[f64] {
        &self.cost
    }

    /// Value of a column that is not basic.
    pub fn rest(&self, column: usize) -> f64 {
        match self.at[column] {
            At::Upper => self.upper[column],
            _ => self.lower[column],
        }
    }

    /// Puts every column that is not basic at a bound that exists, by the sign
    /// of its reduced cost where both do; says whether reduced costs and bounds
    /// then agree.
    pub fn settle(&mut self, slack: f64) -> bool {
        let mut agree = true;
        for column in 0..self.width {
            if let At::Basic(_) = self.at[column] {
                continue;
            }
            let reduced = self.reduced[column];
            let below = self.lower[column].is_finite();
            let above = self.upper[column].is_finite();
            let fixed = self.lower[column] == self.upper[column];
            self.at[column] = match (below, above) {
                (true, true) if reduced < 0.0 => At::Upper,
                (true, _) => At::Lower,
                (false, _) => At::Upper,
            };
            if !fixed {
                let wrong = match self.at[column] {
                    At::Lower => reduced < -slack,
                    _ => reduced > slack,
                };
                agree &= !wrong;
            }
        }
        agree
    }

    /// Works out the values of the basic columns.
    pub fn evaluate(&mut self) {
        let resting: Vec<(usize, f64)> = (0..self.width)
            .filter(|&column| !matches!(self.at[column], At::Basic(_)))
            .map(|column| (column, self.rest(column)))
            .filter(|&(_, value)| value != 0.0)
            .collect();
        for row in 0..self.rows {
            let body = &self.body[row * self.width..(row + 1) * self.width];
            let mut value = self.right[row];
            for &(column, at) in &resting {
                value -= body[column] * at;
            }
            self.values[row] = value;
        }
    }

    /// Lets a column enter the basis in a row; the leaving column goes to a
    /// bound.
    pub fn pivot(&mut self, row: usize, column: usize, leaves_at: At) {
        let leaving = self.basis[row];
        self.eliminate(row, column);
        self.at[leaving] = leaves_at;
        self.at[column] = At::Basic(row);
        self.basis[row] = column;
        self.pivots += 1;
    }

    fn eliminate(&mut self, row: usize, column: usize) {
        let width = self.width;
        let start = row * width;
        let factor = 1.0 / self.body[start + column];
        let mut entries: Vec<(usize, f64)> = Vec::with_capacity(width);
        for (index, entry) in self.body[start..start + width].iter_mut().enumerate() {
            *entry *= factor;
            if entry.abs() < NOISE {
                *entry = 0.0;
            } else {
                entries.push((index, *entry));
            }
        }
        self.body[start + column] = 1.0;
        self.right[row] *= factor;
        let right = self.right[row];
        for other in 0..self.rows {
            if other == row {
                continue;
            }
            let start = other * width;
            let factor = self.body[start + column];
            if factor == 0.0 {
                continue;
            }
            let body = &mut self.body[start..start + width];
            for &(index, entry) in &entries {
                body[index] -= factor * entry;
            }
            body[column] = 0.0;
            self.right[other] -= factor * right;
        }
        let factor = self.reduced[column];
        if factor != 0.0 {
            for &(index, entry) in &entries {
                self.reduced[index] -= factor * entry;
            }
            self.reduced[column] = 0.0;
        }
    }

    /// Whether enough pivots have passed that rounding may have gathered.
    pub fn is_stale(&self) -> bool {
        self.pivots >= FRESH_AFTER
    }

    /// Rebuilds the tableau from the rows as given, with the present basis;
    /// false if the basis turns out to be singular, and then all slacks are basic.
    pub fn refresh(&mut self) -> bool {
        let wanted: Vec<usize> = self.basis.clone();
        self.body.clone_from(&self.original);
        self.right.clone_from(&self.original_right);
        self.reduced = vec![0.0; self.width];
        let mut free: Vec<bool> = vec![true; self.rows];
        let mut basis = vec![usize::MAX; self.rows];
        let mut waiting = Vec::new();
        for column in wanted {
            if column >= self.columns {
                let row = column - self.columns;
                free[row] = false;
                basis[row] = column;
            } else {
                waiting.push(column);
            }
        }
        let mut sound = true;
        for column in waiting {
            let mut best = (0.0, 0);
            for row in (0..self.rows).filter(|&row| free[row]) {
                let size = self.entry(row, column).abs();
                if size > best.0 {
                    best = (size, row);
                }
            }
            if best.0 < 1e-9 {
                sound = false;
                break;
            }
            self.eliminate(best.1, column);
            free[best.1] = false;
            basis[best.1] = column;
        }
        if !sound {
            self.body.clone_from(&self.original);
            self.right.clone_from(&self.original_right);
            basis = (self.columns..self.width).collect();
        }
        for at in &mut self.at {
            if let At::Basic(_) = at {
                *at = At::Lower;
            }
        }
        for (row, &column) in basis.iter().enumerate() {
            self.at[column] = At::Basic(row);
        }
        self.basis = basis;
        self.pivots = 0;
        sound
    }

    /// Whether the multipliers of the present basis prove, from the rows as
    /// given, that no values within the bounds cost less than `objective`:
    /// `y·b + Σ_j min over bounds of (c − yA)_j x_j ≥ objective`.
    pub fn proves_optimal(&self, objective: f64) -> bool {
        let multipliers: Vec<f64> = self.reduced[self.columns..].iter().map(|d| -d).collect();
        let mut reduced = self.cost.clone();
        let mut bound = 0.0;
        for (row, &multiplier) in multipliers.iter().enumerate() {
            if multiplier != 0.0 {
                bound += multiplier * self.original_right[row];
                for &(column, entry) in &self.sparse[row] {
                    reduced[column] -= multiplier * entry;
                }
                reduced[self.columns + row] -= multiplier;
            }
        }
        for (column, &reduced) in reduced.iter().enumerate() {
            let limit = if reduced > 0.0 {
                self.lower[column]
            } else {
                self.upper[column]
            };
            if limit.is_finite() {
                bound += reduced * limit;
            } else if reduced.abs() > 1e-8 * (1.0 + self.cost[column].abs()) {
                return false;
            } else {
                // Rounding of a reduced cost that is nothing.
                let value = match self.at[column] {
                    At::Basic(row) => self.values[row],
                    _ => self.rest(column),
                };
                bound += reduced * value;
            }
        }
        bound >= objective - 1e-9 * (1.0 + objective.abs())
    }

    /// Whether a row of the tableau, as a combination of the rows as given,
    /// cannot be satisfied within the bounds: `π A x + π s = π b` with `π b`
    /// outside what the left side can be.
    pub fn proves_infeasible(&self, row: usize) -> bool {
        let multipliers = &self.row(row)[self.columns..];
        let mut combined = vec![0.0; self.width];
        let mut right = 0.0;
        for (row, &multiplier) in multipliers.iter().enumerate() {
            if multiplier != 0.0 {
                right += multiplier * self.original_right[row];
                for &(column, entry) in &self.sparse[row] {
                    combined[column] += multiplier * entry;
                }
                combined[self.columns + row] += multiplier;
            }
        }
        let largest = combined
            .iter()
            .fold(0.0_f64, |most, entry| most.max(entry.abs()));
        let mut least = 0.0;
        let mut most = 0.0;
        let mut scale = right.abs();
        for (column, &entry) in combined.iter().enumerate() {
            if entry.abs() <= 1e-11 * largest {
                continue;
            }
            let (low, high) = (entry * self.lower[column], entry * self.upper[column]);
            least += low.min(high);
            most += low.max(high);
            for end in [low, high] {
                if end.is_finite() {
                    scale = scale.max(end.abs());
                }
            }
        }
        let slack = 1e-9 * scale.max(largest);
        right > most + slack || right < least - slack
    }

    /// Values of the program's columns, unscaled.
    pub fn solution(&self) -> Vec<f64> {
        (0..self.columns)
            .map(|column| {
                let value = match self.at[column] {
                    At::Basic(row) => self.values[row]
                        .max(self.lower[column])
                        .min(self.upper[column]),
                    _ => self.rest(column),
                };
                value * self.column_scale[column]
            })
            .collect()
    }
}

/// Scales of rows and columns, powers of two, so that the largest entry of each
/// is near one.
fn scales(mixed: &Mixed) -> (Vec<f64>, Vec<f64>) {
    let mut row_scale = vec![1.0; mixed.rows.len()];
    let mut column_scale = vec![1.0; mixed.columns.len()];
    for _ in 0..3 {
        let mut column_range = vec![(f64::INFINITY, 0.0_f64); mixed.columns.len()];
        for (row, scale) in mixed.rows.iter().zip(&mut row_scale) {
            let mut range = (f64::INFINITY, 0.0_f64);
            for &(column, factor) in &row.terms {
                let size = factor.abs() * column_scale[column];
                if size > 0.0 {
                    range = (range.0.min(size), range.1.max(size));
                }
            }
            if range.1 > 0.0 {
                *scale = power_of_two(1.0 / (range.0 * range.1).sqrt());
            }
            for &(column, factor) in &row.terms {
                let size = factor.abs() * *scale;
                if size > 0.0 {
                    let range = &mut column_range[column];
                    *range = (range.0.min(size), range.1.max(size));
                }
            }
        }
        for (range, scale) in column_range.iter().zip(&mut column_scale) {
            if range.1 > 0.0 {
                *scale = power_of_two(1.0 / (range.0 * range.1).sqrt());
            }
        }
    }
    (row_scale, column_scale)
}

fn power_of_two(value: f64) -> f64 {
    value.log2().round().clamp(-60.0, 60.0).exp2()
}
