//! The algebra of a basis: what follows from its factors for rows, columns,
//! values and reduced costs, and the pivot to the next one.

use super::basis::{At, Basis};
use super::factors::{Factored, Factors};

/// Pivots between two fresh factors.
const FRESH_AFTER: usize = 100;
/// Least squared length that a row of the inverse is given.
const SHORTEST: f64 = 1e-4;

/// A column that enters the basis and the one that leaves it.
#[derive(Clone, Debug)]
pub(super) struct Pivot {
    /// The place of the one that leaves.
    pub place: usize,
    /// The column that enters.
    pub entering: usize,
    /// See [`Basis::inverse_row`], for the place.
    pub inverse: Vec<f64>,
    /// See [`Basis::combined_row`], for `inverse`.
    pub row: Vec<f64>,
    /// See [`Basis::combined_column`], for the column that enters.
    pub column: Vec<f64>,
    /// Where the other goes.
    pub leaves_at: At,
}

impl Basis {
    /// A row of the inverse: the combination of the rows as given that has one at
    /// the basic column of this place and nothing at the others.
    pub fn inverse_row(&self, place: usize) -> Vec<f64> {
        let mut unit = vec![0.0; self.rows()];
        unit[place] = 1.0;
        self.factors.solve_left(unit)
    }

    /// A combination of the rows as given at every column, slacks included.
    pub fn combined_row(&self, multipliers: &[f64]) -> Vec<f64> {
        let mut combined = vec![0.0; self.width()];
        for (row, &multiplier) in multipliers.iter().enumerate() {
            if multiplier != 0.0 {
                for &(column, entry) in &self.by_row[row] {
                    combined[column] += multiplier * entry;
                }
                combined[self.columns + row] = multiplier;
            }
        }
        combined
    }

    /// How the basic columns must give way when a column moves: `B⁻¹ a`.
    pub fn combined_column(&self, column: usize) -> Vec<f64> {
        let mut right = vec![0.0; self.rows()];
        self.take(column, -1.0, &mut right);
        self.factors.solve(right)
    }

    /// Replaces reduced costs by those of other costs, or of the program's own.
    pub fn price(&mut self, cost: Option<&[f64]>) {
        let cost: &[f64] = cost.unwrap_or(&self.cost);
        let wanted: Vec<f64> = self.basis.iter().map(|&basic| cost[basic]).collect();
        let mut multipliers = self.factors.solve_left(wanted);
        // What rounding has left of the basic columns' reduced costs is priced
        // once more.
        let left: Vec<f64> = self
            .basis
            .iter()
            .map(|&basic| cost[basic] - self.across(basic, &multipliers))
            .collect();
        for (multiplier, more) in multipliers.iter_mut().zip(self.factors.solve_left(left)) {
            *multiplier += more;
        }
        let mut reduced = cost.to_vec();
        for (row, &multiplier) in multipliers.iter().enumerate() {
            if multiplier != 0.0 {
                for &(column, entry) in &self.by_row[row] {
                    reduced[column] -= multiplier * entry;
                }
                reduced[self.columns + row] -= multiplier;
            }
        }
        for &basic in &self.basis {
            reduced[basic] = 0.0;
        }
        self.reduced = reduced;
    }

    /// The sum of a column's entries, each times a number of its row.
    fn across(&self, column: usize, numbers: &[f64]) -> f64 {
        match self.by_column.get(column) {
            Some(entries) => entries
                .iter()
                .map(|&(row, entry)| entry * numbers[row])
                .sum(),
            None => numbers[column - self.columns],
        }
    }

    /// Takes a value of a column off the right side.
    fn take(&self, column: usize, value: f64, right: &mut [f64]) {
        if value == 0.0 {
            return;
        }
        match self.by_column.get(column) {
            Some(entries) => {
                for &(row, entry) in entries {
                    right[row] -= entry * value;
                }
            }
            None => right[column - self.columns] -= value,
        }
    }

    /// Works out the values of the basic columns, to their last digits if wanted.
    pub fn evaluate(&mut self, exactly: bool) {
        let mut right = self.right.clone();
        for column in 0..self.width() {
            if !matches!(self.at[column], At::Basic(_)) {
                self.take(column, self.rest(column), &mut right);
            }
        }
        if !exactly {
            self.values = self.factors.solve(right);
            return;
        }
        let mut values = self.factors.solve(right.clone());
        // What rounding has left of the rows is solved once more.
        for (&column, &value) in self.basis.iter().zip(&values) {
            self.take(column, value, &mut right);
        }
        for (value, more) in values.iter_mut().zip(self.factors.solve(right)) {
            *value += more;
        }
        self.values = values;
    }

    /// Changes the basis by a pivot; the values of basic columns have moved already.
    pub fn pivot(&mut self, pivot: Pivot) {
        let Pivot {
            place,
            entering,
            inverse,
            row,
            column,
            leaves_at,
        } = pivot;
        let leaving = self.basis[place];
        let factor = self.reduced[entering] / row[entering];
        if factor != 0.0 {
            for (reduced, entry) in self.reduced.iter_mut().zip(&row) {
                *reduced -= factor * entry;
            }
        }
        self.reduced[entering] = 0.0;
        self.lengthen(place, inverse, &column);
        self.factors.replace(place, &column);
        self.at[leaving] = leaves_at;
        self.at[entering] = At::Basic(place);
        self.basis[place] = entering;
    }

    /// Lets what is known of the lengths of the inverse's rows follow a pivot
    /// (dual steepest edge; Forrest and Goldfarb, "Steepest-edge simplex
    /// algorithms for linear programming", Mathematical Programming 57, 1992; from
    /// memory).
    fn lengthen(&mut self, place: usize, inverse: Vec<f64>, column: &[f64]) {
        let length: f64 = inverse.iter().map(|entry| entry * entry).sum();
        let across = self.factors.solve(inverse);
        let pivot = column[place];
        for (other, &entry) in column.iter().enumerate() {
            if entry != 0.0 && other != place {
                let share = entry / pivot;
                let longer = self.steepness[other] + share * (share * length - 2.0 * across[other]);
                self.steepness[other] = longer.max(share * share + SHORTEST);
            }
        }
        self.steepness[place] = (length / (pivot * pivot)).max(SHORTEST);
    }

    /// Whether enough pivots have passed that new factors pay.
    pub fn is_stale(&self) -> bool {
        self.factors.changes() >= FRESH_AFTER || self.factors.is_heavy()
    }

    /// Factors of the present basis, without columns that depend on others, or, if
    /// wanted, of all slacks.
    pub fn refresh(&mut self, from_slacks: bool) {
        if from_slacks {
            for at in &mut self.at {
                if let At::Basic(_) = at {
                    *at = At::Lower;
                }
            }
            for place in 0..self.rows() {
                self.basis[place] = self.columns + place;
                self.at[self.columns + place] = At::Basic(place);
            }
            self.steepness.fill(1.0);
        }
        self.factorise();
    }

    /// Factors of the present basis; where columns depend on others, slacks stand
    /// in for them, and the answer is false.
    pub fn factorise(&mut self) -> bool {
        let units: Vec<(usize, f64)> = (0..self.rows()).map(|row| (row, 1.0)).collect();
        let columns: Vec<&[(usize, f64)]> = self
            .basis
            .iter()
            .map(|&column| match self.by_column.get(column) {
                Some(entries) => entries.as_slice(),
                None => std::slice::from_ref(&units[column - self.columns]),
            })
            .collect();
        let Factored { factors, replaced } = Factors::of(&columns);
        self.factors = factors;
        for &(place, row) in &replaced {
            self.at[self.basis[place]] = At::Lower;
            self.basis[place] = self.columns + row;
            self.at[self.columns + row] = At::Basic(place);
            self.steepness[place] = 1.0;
        }
        replaced.is_empty()
    }
}
