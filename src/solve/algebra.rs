//! The algebra of a basis: what follows from its factors for rows, columns,
//! values and reduced costs, and the pivot to the next one.

use super::basis::{At, Basis};
use super::factors::{Factored, Factors, NEXT_TO_NOTHING};

/// Pivots between two fresh factors.
const FRESH_AFTER: usize = 100;
/// Least squared length that a row of the inverse is given.
const SHORTEST: f64 = 1e-4;

/// Numbers by column of which few are not nothing.
#[derive(Clone, Debug, Default)]
pub(super) struct Sparse {
    /// By column.
    pub value: Vec<f64>,
    /// Columns that are not nothing.
    pub touched: Vec<usize>,
}

impl Sparse {
    fn clear(&mut self, width: usize) {
        for &column in &self.touched {
            self.value[column] = 0.0;
        }
        self.touched.clear();
        self.value.resize(width, 0.0);
    }

    fn add(&mut self, column: usize, more: f64) {
        let value = &mut self.value[column];
        if *value == 0.0 {
            self.touched.push(column);
        }
        *value += more;
        if *value == 0.0 {
            // Nothing, but touched.
            *value = NEXT_TO_NOTHING;
        }
    }
}

/// What a basis makes of one row and of one column, and room to work it out in.
#[derive(Clone, Debug, Default)]
pub(super) struct Tableau {
    /// A row of the inverse: the combination of the rows as given that has one at
    /// the basic column of the place looked along and nothing at the others.
    pub inverse: Vec<f64>,
    /// That combination at every column, slacks included.
    pub row: Sparse,
    /// How the basic columns must give way when the column looked down moves: `B⁻¹ a`.
    pub column: Vec<f64>,
    /// What the factors work on.
    given: Vec<f64>,
    /// What else they have made of it.
    made: Vec<f64>,
}

/// A column that enters the basis, the place that it takes, and where the one that
/// leaves it goes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pivot {
    /// Looked along.
    pub place: usize,
    /// Looked down.
    pub entering: usize,
    /// Where the other goes.
    pub leaves_at: At,
}

impl Basis {
    /// A row of the inverse; see [`Tableau::inverse`].
    pub fn inverse_row(&self, place: usize) -> Vec<f64> {
        let mut unit = vec![0.0; self.rows()];
        unit[place] = 1.0;
        let mut inverse = Vec::new();
        self.factors.solve_left(&mut unit, &mut inverse);
        inverse
    }

    /// Works out the row of the inverse at a place, and that combination of rows.
    pub fn look_along(&mut self, place: usize) {
        let rows = self.rows();
        let width = self.width();
        let Tableau {
            inverse,
            row,
            given,
            ..
        } = &mut self.tableau;
        given.clear();
        given.resize(rows, 0.0);
        given[place] = 1.0;
        self.factors.solve_left(given, inverse);
        row.clear(width);
        for (index, &multiplier) in inverse.iter().enumerate() {
            if multiplier != 0.0 {
                for &(column, entry) in &self.by_row[index] {
                    row.add(column, multiplier * entry);
                }
                row.add(self.columns + index, multiplier);
            }
        }
    }

    /// Works out how the basic columns must give way when a column moves.
    pub fn look_down(&mut self, column: usize) {
        let mut given = std::mem::take(&mut self.tableau.given);
        given.clear();
        given.resize(self.rows(), 0.0);
        self.take(column, -1.0, &mut given);
        self.factors.solve(&mut given, &mut self.tableau.column);
        self.tableau.given = given;
    }

    /// Replaces reduced costs by those of other costs, or of the program's own.
    pub fn price(&mut self, cost: Option<&[f64]>) {
        let cost: &[f64] = cost.unwrap_or(&self.cost);
        let mut wanted: Vec<f64> = self.basis.iter().map(|&basic| cost[basic]).collect();
        let mut multipliers = Vec::new();
        self.factors.solve_left(&mut wanted, &mut multipliers);
        // What rounding has left of the basic columns' reduced costs is priced
        // once more.
        for (left, &basic) in wanted.iter_mut().zip(&self.basis) {
            *left = cost[basic] - self.across(basic, &multipliers);
        }
        let mut more = Vec::new();
        self.factors.solve_left(&mut wanted, &mut more);
        for (multiplier, more) in multipliers.iter_mut().zip(more) {
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

    /// Works out the values of the basic columns.
    pub fn evaluate(&mut self) {
        self.values.fill(0.0);
        self.refine();
    }

    /// Solves once more for what the values of the basic columns leave of the rows.
    pub fn refine(&mut self) {
        let mut left = std::mem::take(&mut self.tableau.given);
        left.clone_from(&self.right);
        for column in 0..self.width() {
            self.take(column, self.value(column), &mut left);
        }
        self.factors.solve(&mut left, &mut self.tableau.made);
        for (value, more) in self.values.iter_mut().zip(&self.tableau.made) {
            *value += more;
        }
        self.tableau.given = left;
    }

    /// Lets the basic columns give way to a step of the column looked down.
    pub fn give_way(&mut self, step: f64) {
        for (value, entry) in self.values.iter_mut().zip(&self.tableau.column) {
            *value -= entry * step;
        }
    }

    /// Changes the basis by a pivot on the row and column looked at last; the values
    /// of basic columns have moved already.
    pub fn pivot(&mut self, pivot: Pivot) {
        let Pivot {
            place,
            entering,
            leaves_at,
        } = pivot;
        let leaving = self.basis[place];
        let row = &self.tableau.row;
        let factor = self.reduced[entering] / row.value[entering];
        if factor != 0.0 {
            for &column in &row.touched {
                self.reduced[column] -= factor * row.value[column];
            }
        }
        self.reduced[entering] = 0.0;
        self.lengthen(place);
        self.factors.replace(place, &self.tableau.column);
        self.at[leaving] = leaves_at;
        self.at[entering] = At::Basic(place);
        self.basis[place] = entering;
    }

    /// Lets what is known of the lengths of the inverse's rows follow a pivot
    /// (dual steepest edge; Forrest and Goldfarb, "Steepest-edge simplex
    /// algorithms for linear programming", Mathematical Programming 57, 1992; from
    /// memory).
    fn lengthen(&mut self, place: usize) {
        let Tableau {
            inverse,
            column,
            made,
            ..
        } = &mut self.tableau;
        let length: f64 = inverse.iter().map(|entry| entry * entry).sum();
        self.factors.solve(inverse, made);
        let pivot = column[place];
        for (other, &entry) in column.iter().enumerate() {
            if entry != 0.0 && other != place {
                let share = entry / pivot;
                let longer = self.steepness[other] + share * (share * length - 2.0 * made[other]);
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
