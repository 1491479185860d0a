//! The algebra of a basis: its inverse, what follows from it for rows, columns,
//! values and reduced costs, and the pivot to the next one.

use super::basis::{At, Basis};

/// Pivots between two fresh starts from the rows as given.
const FRESH_AFTER: usize = 150;
/// A column with no entry above this depends on the others.
const SINGULAR: f64 = 1e-7;
/// Entries below this are rounding.
const NOISE: f64 = 1e-13;

impl Basis {
    /// A row of the inverse: the combination of the rows as given that has one at
    /// the basic column of this place and nothing at the others.
    pub fn inverse_row(&self, place: usize) -> &[f64] {
        let size = self.basis.len();
        &self.inverse[place * size..(place + 1) * size]
    }

    /// That combination at every column, slacks included.
    pub fn combined_row(&self, place: usize) -> Vec<f64> {
        let multipliers = self.inverse_row(place);
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
        let size = self.rows();
        match self.by_column.get(column) {
            Some(entries) => (0..size)
                .map(|place| {
                    let inverse = self.inverse_row(place);
                    entries
                        .iter()
                        .map(|&(row, entry)| inverse[row] * entry)
                        .sum()
                })
                .collect(),
            None => {
                let row = column - self.columns;
                (0..size)
                    .map(|place| self.inverse_row(place)[row])
                    .collect()
            }
        }
    }

    /// Replaces reduced costs by those of other costs, or of the program's own.
    pub fn price(&mut self, cost: Option<&[f64]>) {
        let cost: &[f64] = cost.unwrap_or(&self.cost);
        let mut multipliers = vec![0.0; self.rows()];
        let wanted: Vec<f64> = self.basis.iter().map(|&basic| cost[basic]).collect();
        self.add_combined(&wanted, &mut multipliers);
        // What rounding has left of the basic columns' reduced costs is priced
        // once more.
        let left: Vec<f64> = self
            .basis
            .iter()
            .map(|&basic| cost[basic] - self.across(basic, &multipliers))
            .collect();
        self.add_combined(&left, &mut multipliers);
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

    /// Adds `factors · B⁻¹`.
    fn add_combined(&self, factors: &[f64], sum: &mut [f64]) {
        for (place, &factor) in factors.iter().enumerate() {
            if factor != 0.0 {
                for (sum, entry) in sum.iter_mut().zip(self.inverse_row(place)) {
                    *sum += factor * entry;
                }
            }
        }
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
        let mut right = self.right.clone();
        for column in 0..self.width() {
            if !matches!(self.at[column], At::Basic(_)) {
                self.take(column, self.rest(column), &mut right);
            }
        }
        let mut values = self.solve(&right);
        // What rounding has left of the rows is solved once more.
        for (&column, &value) in self.basis.iter().zip(&values) {
            self.take(column, value, &mut right);
        }
        for (value, more) in values.iter_mut().zip(self.solve(&right)) {
            *value += more;
        }
        self.values = values;
    }

    /// `B⁻¹ · right`.
    fn solve(&self, right: &[f64]) -> Vec<f64> {
        (0..self.rows())
            .map(|place| {
                let inverse = self.inverse_row(place).iter();
                inverse.zip(right).map(|(entry, right)| entry * right).sum()
            })
            .collect()
    }

    /// Lets a column enter the basis at a place; the leaving column goes to a
    /// bound. `row` and `column` are what [`Self::combined_row`] and
    /// [`Self::combined_column`] say of them.
    pub fn pivot(&mut self, place: usize, entering: usize, row: &[f64], column: &[f64], to: At) {
        let leaving = self.basis[place];
        let factor = self.reduced[entering] / row[entering];
        if factor != 0.0 {
            for (reduced, entry) in self.reduced.iter_mut().zip(row) {
                *reduced -= factor * entry;
            }
        }
        self.reduced[entering] = 0.0;
        self.eliminate(place, column);
        self.at[leaving] = to;
        self.at[entering] = At::Basic(place);
        self.basis[place] = entering;
        self.pivots += 1;
    }

    fn eliminate(&mut self, place: usize, column: &[f64]) {
        let size = column.len();
        let factor = 1.0 / column[place];
        let mut entries: Vec<(usize, f64)> = Vec::with_capacity(size);
        let own = &mut self.inverse[place * size..(place + 1) * size];
        for (row, entry) in own.iter_mut().enumerate() {
            *entry *= factor;
            if entry.abs() < NOISE {
                *entry = 0.0;
            } else {
                entries.push((row, *entry));
            }
        }
        for (other, &factor) in column.iter().enumerate() {
            if other == place || factor == 0.0 {
                continue;
            }
            let inverse = &mut self.inverse[other * size..(other + 1) * size];
            for &(row, entry) in &entries {
                inverse[row] -= factor * entry;
            }
        }
    }

    /// Whether enough pivots have passed that rounding may have gathered.
    pub fn is_stale(&self) -> bool {
        self.pivots >= FRESH_AFTER
    }

    /// Works the inverse out again from the rows as given, for the present basis
    /// without columns that depend on others or, if wanted, for all slacks.
    pub fn refresh(&mut self, from_slacks: bool) {
        let size = self.rows();
        let wanted: Vec<usize> = if from_slacks {
            Vec::new()
        } else {
            self.basis.clone()
        };
        self.identity();
        let mut free = vec![true; size];
        let mut basis: Vec<usize> = (self.columns..self.width()).collect();
        let mut waiting = Vec::new();
        for column in wanted {
            if column >= self.columns {
                free[column - self.columns] = false;
            } else {
                waiting.push(column);
            }
        }
        waiting.sort_by_key(|&column| (self.by_column[column].len(), column));
        for column in waiting {
            let combined = self.combined_column(column);
            let best =
                (0..size)
                    .filter(|&row| free[row])
                    .fold((0.0, 0), |best: (f64, usize), row| {
                        let entry = combined[row].abs();
                        if entry > best.0 { (entry, row) } else { best }
                    });
            if best.0 < SINGULAR {
                // It depends on the others: the slack of its row stays instead.
                continue;
            }
            self.eliminate(best.1, &combined);
            free[best.1] = false;
            basis[best.1] = column;
        }
        for at in &mut self.at {
            if let At::Basic(_) = at {
                *at = At::Lower;
            }
        }
        for (place, &column) in basis.iter().enumerate() {
            self.at[column] = At::Basic(place);
        }
        self.basis = basis;
        self.pivots = 0;
    }

    fn identity(&mut self) {
        let size = self.rows();
        self.inverse.fill(0.0);
        for place in 0..size {
            self.inverse[place * size + place] = 1.0;
        }
    }
}
