//! The dual simplex: from a basis whose reduced costs are right to one within its bounds.

use super::{End, Kernel, PIVOT, STALL};
use crate::solve::algebra::Pivot;
use crate::solve::basis::At;

/// Rounding of a scaled number, as a share of it. More slack than this is used:
/// over a mission, a flow of nothing but slack adds up to cargo that nobody brought.
const ROUNDING: f64 = 1e-12;
/// How far a reduced cost may pass zero for the sake of a larger pivot; the
/// primal simplex puts it right.
const ALLOWED: f64 = 1e-8;
/// By how much they are moved apart, relative to the cost.
const APART: f64 = 1e-6;
/// Rounding of what pivots have added up to, as a share of it.
const SURE: f64 = 1e-9;

impl Kernel {
    /// Pivots until no basic column is outside its bounds, or the multipliers prove that
    /// nothing costs less than the limit: as long as reduced costs and bounds agree, a
    /// basis costs no more than any values do, and every pivot adds to that.
    pub(super) fn dual(&mut self, limit: f64) -> End {
        let most = 4 * self.basis.width() + 1000;
        let mut enough = limit + SURE * (1.0 + limit.abs());
        let mut cost = if limit.is_finite() {
            self.basis.present_cost()
        } else {
            f64::NEG_INFINITY
        };
        for count in 0..most {
            if cost >= enough {
                let proof = self.basis.certificate();
                if let Some(proof) = proof.filter(|proof| proof.bound >= limit) {
                    return End::Beyond(proof.bound);
                }
                // Rounding got the better of it: the optimum will tell.
                enough = f64::INFINITY;
            }
            if count > 0 && count % STALL == 0 {
                self.move_apart(count / STALL);
            }
            let Some((row, below)) = self.leaving_row() else {
                return End::Optimal;
            };
            self.basis.look_along(row);
            let Some(column) = self.dual_entering(below) else {
                return End::Infeasible(row);
            };
            self.basis.look_down(column);
            let basis = &self.basis;
            let leaving = basis.basis[row];
            let (bound, leaves_at) = if below {
                (basis.lower[leaving], At::Lower)
            } else {
                (basis.upper[leaving], At::Upper)
            };
            let outside = basis.values[row] - bound;
            let step = outside / basis.tableau.row.value[column];
            cost += step * basis.reduced[column];
            let pivot = Pivot {
                place: row,
                entering: column,
                leaves_at,
            };
            if !self.step(step, pivot) {
                return End::Lost;
            }
        }
        End::Lost
    }

    /// Moves every reduced cost a little away from zero, each by another amount,
    /// the same in every run.
    fn move_apart(&mut self, round: usize) {
        let basis = &mut self.basis;
        for column in 0..basis.width() {
            // A fixed sequence that looks like chance (a linear congruence).
            let mixed = (column as u64 + 1)
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add((round as u64).wrapping_mul(1_442_695_040_888_963_407));
            let share = 0.5 + (mixed >> 40) as f64 / (1_u64 << 25) as f64;
            let step = APART * share * (1.0 + basis.cost[column].abs());
            match basis.at[column] {
                At::Basic(_) => {}
                At::Lower => basis.reduced[column] = basis.reduced[column].max(0.0) + step,
                At::Upper => basis.reduced[column] = basis.reduced[column].min(0.0) - step,
            }
        }
    }

    /// The basic column outside its bounds whose way back promises most.
    fn leaving_row(&self) -> Option<(usize, bool)> {
        let basis = &self.basis;
        let mut best: Option<(f64, usize, bool)> = None;
        for row in 0..basis.rows() {
            let column = basis.basis[row];
            let value = basis.values[row];
            let below = basis.lower[column] - value;
            let above = value - basis.upper[column];
            let (outside, is_below) = if below > above {
                (below, true)
            } else {
                (above, false)
            };
            let slack = self.feasible + ROUNDING * value.abs();
            if outside <= slack {
                continue;
            }
            let gain = outside * outside / basis.steepness[row];
            let better = match best {
                None => true,
                Some((most, ..)) => gain > most,
            };
            if better {
                best = Some((gain, row, is_below));
            }
        }
        best.map(|(_, row, below)| (row, below))
    }

    /// The column that keeps reduced costs right within a small allowance: the
    /// largest pivot among the ratios that the allowance cannot tell apart.
    fn dual_entering(&mut self, below: bool) -> Option<usize> {
        let basis = &self.basis;
        let row = &basis.tableau.row;
        let candidates = &mut self.candidates;
        candidates.clear();
        let mut least = f64::INFINITY;
        for &column in &row.touched {
            let entry = row.value[column];
            if entry.abs() < PIVOT || basis.lower[column] == basis.upper[column] {
                continue;
            }
            // To raise the leaving column the entering one moves so that
            // entry × move is negative.
            let helps = match basis.at[column] {
                At::Basic(_) => continue,
                At::Lower => (entry < 0.0) == below,
                At::Upper => (entry > 0.0) == below,
            };
            if !helps {
                continue;
            }
            let reduced = basis.reduced[column].abs();
            least = least.min((reduced + ALLOWED) / entry.abs());
            candidates.push((column, reduced / entry.abs(), entry.abs()));
        }
        candidates
            .iter()
            .filter(|&&(_, ratio, _)| ratio <= least)
            .fold(
                None,
                |best: Option<(usize, f64)>, &(column, _, size)| match best {
                    Some((_, known)) if known >= size => best,
                    _ => Some((column, size)),
                },
            )
            .map(|(column, _)| column)
    }
}
