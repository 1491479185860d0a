//! The primal simplex: from a basis within its bounds to one whose reduced costs are right.

use super::{End, Kernel, OPTIMAL, PIVOT, STALL};
use crate::solve::algebra::Pivot;
use crate::solve::basis::At;

impl Kernel {
    /// Pivots until no reduced cost promises an improvement.
    pub(super) fn primal(&mut self) -> End {
        let most = 4 * self.basis.width() + 1000;
        for count in 0..most {
            let Some((column, up)) = self.primal_entering(count > 10 * STALL) else {
                return End::Optimal;
            };
            self.basis.look_down(column);
            match self.primal_leaving(column, up) {
                Blocked::Nowhere => return End::Unbounded,
                Blocked::ByItself(step) => {
                    let basis = &mut self.basis;
                    basis.give_way(step);
                    basis.at[column] = if up { At::Upper } else { At::Lower };
                }
                Blocked::ByRow(row, step, leaves_at) => {
                    self.basis.look_along(row);
                    let pivot = Pivot {
                        place: row,
                        entering: column,
                        leaves_at,
                    };
                    if !self.step(step, pivot) {
                        return End::Lost;
                    }
                }
            }
        }
        End::Lost
    }

    /// The column whose reduced cost promises most; against cycling, the first.
    fn primal_entering(&self, first: bool) -> Option<(usize, bool)> {
        let basis = &self.basis;
        let mut best: Option<(f64, usize, bool)> = None;
        for column in 0..basis.width() {
            if basis.lower[column] == basis.upper[column] {
                continue;
            }
            let reduced = basis.reduced[column];
            let (gain, up) = match basis.at[column] {
                At::Basic(_) => continue,
                At::Lower => (-reduced, true),
                At::Upper => (reduced, false),
            };
            if gain <= OPTIMAL {
                continue;
            }
            if first {
                return Some((column, up));
            }
            if best.is_none_or(|(most, ..)| gain > most) {
                best = Some((gain, column, up));
            }
        }
        best.map(|(_, column, up)| (column, up))
    }

    /// How far a column can move before something reaches a bound.
    fn primal_leaving(&self, column: usize, up: bool) -> Blocked {
        let basis = &self.basis;
        let direction = if up { 1.0 } else { -1.0 };
        let span = basis.upper[column] - basis.lower[column];
        let mut blocked = if span.is_finite() {
            Blocked::ByItself(direction * span)
        } else {
            Blocked::Nowhere
        };
        let mut least = span;
        let mut size = 0.0;
        for (row, entry) in basis.tableau.column.iter().enumerate() {
            // The basic column moves by −entry × direction per step.
            let rate = -entry * direction;
            if rate.abs() < PIVOT {
                continue;
            }
            let basic = basis.basis[row];
            let (bound, leaves_at) = if rate < 0.0 {
                (basis.lower[basic], At::Lower)
            } else {
                (basis.upper[basic], At::Upper)
            };
            if !bound.is_finite() {
                continue;
            }
            let step = ((bound - basis.values[row]) / rate).max(0.0);
            let slack = 1e-12 * (1.0 + least.min(1e12));
            if step < least - slack || (step <= least + slack && rate.abs() > size) {
                least = step;
                size = rate.abs();
                blocked = Blocked::ByRow(row, direction * step, leaves_at);
            }
        }
        blocked
    }
}

/// What stops a column that enters the basis.
enum Blocked {
    /// Nothing.
    Nowhere,
    /// Its own other bound, after this step.
    ByItself(f64),
    /// The basic column of a row, after this step, at this bound.
    ByRow(usize, f64, At),
}
