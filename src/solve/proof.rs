//! What a basis proves, from the rows as given and not from its inverse: any
//! multipliers give a true bound, so rounding can spoil a proof but not fake one.

use super::basis::{At, Basis};

/// A reduced cost that is rounding, where no bound tells how much it matters.
const NOTHING: f64 = 1e-8;

/// A bound on the objective, and what it costs to move a column from the bound
/// that its reduced cost prefers.
#[derive(Clone, Debug)]
pub(super) struct Certificate {
    /// No values within the bounds cost less.
    pub bound: f64,
    /// Reduced cost of every column, per unit.
    pub reduced: Vec<f64>,
}

impl Basis {
    /// What the multipliers of the present basis prove: no values within the
    /// bounds cost less than `y·b + Σ_j min over bounds of (c − yA)_j x_j`, where a
    /// column without a bound has the one that the rows imply. None if it has
    /// none.
    pub fn certificate(&self) -> Option<Certificate> {
        let slacks = self.columns..self.width();
        // A multiplier of the wrong sign is rounding; nothing in its place is as
        // good a multiplier as any.
        let multipliers = slacks.map(|slack| {
            let multiplier = -self.reduced[slack];
            match (self.lower[slack].is_finite(), self.upper[slack].is_finite()) {
                (true, false) => multiplier.min(0.0),
                (false, true) => multiplier.max(0.0),
                _ => multiplier,
            }
        });
        let mut reduced = self.cost[..self.columns].to_vec();
        let mut bound = 0.0;
        for (row, multiplier) in multipliers.enumerate() {
            if multiplier != 0.0 {
                bound += multiplier * self.right[row];
                for &(column, entry) in &self.by_row[row] {
                    reduced[column] -= multiplier * entry;
                }
            }
        }
        for (column, &reduced) in reduced.iter().enumerate() {
            if reduced == 0.0 {
                continue;
            }
            let (given, implied) = if reduced > 0.0 {
                (self.lower[column], self.implied.lower[column])
            } else {
                (self.upper[column], self.implied.upper[column])
            };
            let limit = if given.is_finite() { given } else { implied };
            if limit.is_finite() {
                bound += reduced * limit;
            } else if reduced.abs() > NOTHING * (1.0 + self.cost[column].abs()) {
                return None;
            } else {
                // Rounding of a reduced cost that is nothing.
                bound += reduced * self.value(column);
            }
        }
        for (reduced, scale) in reduced.iter_mut().zip(&self.scales.column) {
            *reduced /= scale;
        }
        Some(Certificate { bound, reduced })
    }

    /// Whether the combination of rows behind a place of the basis cannot be
    /// satisfied within the bounds: `π A x + π s = π b` with `π b` outside what
    /// the left side can be.
    pub fn proves_infeasible(&mut self, place: usize) -> bool {
        self.look_along(place);
        let combined = &self.tableau.row;
        let right: f64 = self
            .tableau
            .inverse
            .iter()
            .zip(&self.right)
            .map(|(multiplier, right)| multiplier * right)
            .sum();
        let entries = || {
            let touched = combined.touched.iter();
            touched.map(|&column| (column, combined.value[column]))
        };
        let largest = entries().fold(0.0_f64, |most, (_, entry)| most.max(entry.abs()));
        let mut least = 0.0;
        let mut most = 0.0;
        let mut scale = right.abs();
        for (column, entry) in entries() {
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

    /// The combination of the rows as given, unscaled, whose factor at a basic
    /// column is one and at all other basic columns nothing; none if the column
    /// is not basic.
    pub fn combination(&self, column: usize) -> Option<Vec<(usize, f64)>> {
        let At::Basic(place) = self.at[column] else {
            return None;
        };
        let multipliers = self.inverse_row(place);
        let largest = multipliers
            .iter()
            .fold(0.0_f64, |most, multiplier| most.max(multiplier.abs()));
        let own = self.scales.column[column];
        let all = multipliers.iter().zip(&self.scales.row).enumerate();
        Some(
            all.filter(|(_, (multiplier, _))| multiplier.abs() > 1e-9 * largest)
                .map(|(row, (multiplier, scale))| (row, multiplier * scale * own))
                .collect(),
        )
    }
}
