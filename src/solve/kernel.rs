//! The linear-programming kernel of the search: a dense simplex with bounded
//! columns that goes on from wherever it stands.
//!
//! Moving from one part of the search to another changes bounds only, and
//! reduced costs do not depend on bounds, so the dual simplex usually restarts
//! a few pivots from the next optimum. Where it cannot, costs are shifted until
//! the basis is dual feasible, and the primal simplex finishes with the true
//! costs.

use super::mixed::Mixed;
use super::relaxation::{Relaxed, holds};
use super::tableau::{At, Tableau};

/// Feasibility in scaled numbers.
const FEASIBLE: f64 = 1e-9;
/// Rounding of a scaled number, as a share of it. More slack than this is used:
/// over a mission, a flow of nothing but slack adds up to cargo that nobody brought.
const ROUNDING: f64 = 1e-12;
/// Optimality in scaled numbers.
const OPTIMAL: f64 = 1e-9;
/// Smallest pivot.
const PIVOT: f64 = 1e-8;
/// Pivots of one run before reduced costs are moved apart, so that ties cannot
/// make the dual simplex go round in circles.
const STALL: usize = 100;
/// By how much they are moved apart, relative to the cost.
const APART: f64 = 1e-6;

/// How a simplex run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum End {
    Optimal,
    /// This row cannot be brought within its bounds.
    Infeasible(usize),
    Unbounded,
    /// Too many pivots, or no safe pivot left.
    Lost,
}

/// A linear program that is solved again and again under changing bounds.
#[derive(Clone, Debug)]
pub(super) struct Kernel {
    tableau: Tableau,
    constant: f64,
}

/// The kernel could not make sure of its result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Doubt {
    /// The program can be lightened without end.
    Unbounded,
    /// Rounding got the better of it.
    Lost,
}

impl Kernel {
    /// A kernel for a program.
    pub fn new(mixed: &Mixed) -> Self {
        Kernel {
            tableau: Tableau::new(mixed),
            constant: mixed.constant,
        }
    }

    /// Solves under the bounds given. What it returns is proved from the rows as
    /// given, not from the tableau: an optimum satisfies the rows and meets a
    /// bound by multipliers; infeasibility is a combination of rows that no
    /// values within the bounds can satisfy.
    ///
    /// # Errors
    ///
    /// A [`Doubt`] where the result could not be made sure of.
    pub fn solve(&mut self, mixed: &Mixed, lower: &[f64], upper: &[f64]) -> Result<Relaxed, Doubt> {
        for (&lower, &upper) in lower.iter().zip(upper) {
            if lower > upper {
                return Ok(Relaxed::Infeasible);
            }
        }
        self.tableau.set_bounds(lower, upper);
        for attempt in 0..3 {
            if attempt > 0 || self.tableau.is_stale() {
                self.fresh(attempt == 2);
            }
            match self.run() {
                End::Optimal => {
                    self.tableau.evaluate();
                    let values = self.tableau.solution();
                    let objective: f64 = mixed
                        .columns
                        .iter()
                        .zip(&values)
                        .map(|(column, value)| column.cost * value)
                        .sum();
                    if holds(mixed, &values) && self.tableau.proves_optimal(objective) {
                        return Ok(Relaxed::Optimal {
                            objective: objective + self.constant,
                            values,
                        });
                    }
                }
                End::Infeasible(row) if self.tableau.proves_infeasible(row) => {
                    return Ok(Relaxed::Infeasible);
                }
                End::Unbounded if attempt > 0 => return Err(Doubt::Unbounded),
                End::Infeasible(_) | End::Unbounded | End::Lost => {}
            }
        }
        Err(Doubt::Lost)
    }

    fn fresh(&mut self, from_slacks: bool) {
        if from_slacks {
            self.tableau.basis = (self.tableau.columns..self.tableau.width).collect();
        }
        self.tableau.refresh();
        self.tableau.price(None);
    }

    fn run(&mut self) -> End {
        let agree = self.tableau.settle(OPTIMAL);
        self.tableau.evaluate();
        if agree {
            return match self.dual() {
                // What a long dual run leaves of reduced costs is cleaned up.
                End::Optimal => self.primal(),
                other => other,
            };
        }
        // Shift the costs that disagree, so that the dual simplex can find a
        // feasible basis.
        let mut shifted = self.tableau.cost().to_vec();
        let places = self.tableau.at.iter().zip(&self.tableau.reduced);
        for (cost, (at, reduced)) in shifted.iter_mut().zip(places) {
            let wrong = match at {
                At::Basic(_) => false,
                At::Lower => *reduced < 0.0,
                At::Upper => *reduced > 0.0,
            };
            if wrong {
                *cost -= reduced;
            }
        }
        self.tableau.price(Some(&shifted));
        let end = self.dual();
        self.tableau.price(None);
        match end {
            End::Optimal => self.primal(),
            other => other,
        }
    }

    /// Pivots until no basic column is outside its bounds.
    fn dual(&mut self) -> End {
        let most = 4 * (self.tableau.rows + self.tableau.columns) + 1000;
        let mut apart = false;
        for count in 0..most {
            if count > 0 && count % STALL == 0 {
                self.move_apart(count / STALL);
                apart = true;
            }
            let Some((row, below)) = self.leaving_row() else {
                if apart {
                    self.tableau.price(None);
                }
                return End::Optimal;
            };
            let Some(column) = self.dual_entering(row, below) else {
                if apart {
                    self.tableau.price(None);
                }
                return End::Infeasible(row);
            };
            let tableau = &mut self.tableau;
            let leaving = tableau.basis[row];
            let (bound, leaves_at) = if below {
                (tableau.lower[leaving], At::Lower)
            } else {
                (tableau.upper[leaving], At::Upper)
            };
            let step = (tableau.values[row] - bound) / tableau.entry(row, column);
            self.step(row, column, step, leaves_at);
        }
        End::Lost
    }

    /// Moves the entering column by a step and pivots.
    fn step(&mut self, row: usize, column: usize, step: f64, leaves_at: At) {
        let tableau = &mut self.tableau;
        let entering = tableau.rest(column) + step;
        for other in 0..tableau.rows {
            let entry = tableau.entry(other, column);
            if entry != 0.0 {
                tableau.values[other] -= entry * step;
            }
        }
        tableau.values[row] = entering;
        tableau.pivot(row, column, leaves_at);
    }

    /// Moves every reduced cost a little away from zero, each by another amount,
    /// the same in every run.
    fn move_apart(&mut self, round: usize) {
        let tableau = &mut self.tableau;
        for column in 0..tableau.width {
            // A fixed sequence that looks like chance (a linear congruence).
            let mixed = (column as u64 + 1)
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add((round as u64).wrapping_mul(1_442_695_040_888_963_407));
            let share = 0.5 + (mixed >> 40) as f64 / (1_u64 << 25) as f64;
            let step = APART * share * (1.0 + tableau.cost()[column].abs());
            match tableau.at[column] {
                At::Basic(_) => {}
                At::Lower => tableau.reduced[column] = tableau.reduced[column].max(0.0) + step,
                At::Upper => tableau.reduced[column] = tableau.reduced[column].min(0.0) - step,
            }
        }
    }

    /// The basic column farthest outside its bounds.
    fn leaving_row(&self) -> Option<(usize, bool)> {
        let tableau = &self.tableau;
        let mut best: Option<(f64, usize, bool)> = None;
        for row in 0..tableau.rows {
            let column = tableau.basis[row];
            let value = tableau.values[row];
            let below = tableau.lower[column] - value;
            let above = value - tableau.upper[column];
            let (outside, is_below) = if below > above {
                (below, true)
            } else {
                (above, false)
            };
            let slack = FEASIBLE + ROUNDING * value.abs();
            if outside <= slack {
                continue;
            }
            let better = match best {
                None => true,
                Some((most, ..)) => outside > most,
            };
            if better {
                best = Some((outside, row, is_below));
            }
        }
        best.map(|(_, row, below)| (row, below))
    }

    /// The column that keeps reduced costs right within a small allowance: the
    /// largest pivot among the ratios that the allowance cannot tell apart.
    fn dual_entering(&self, row: usize, below: bool) -> Option<usize> {
        let tableau = &self.tableau;
        let body = tableau.row(row);
        let mut candidates: Vec<(usize, f64, f64)> = Vec::new();
        let mut least = f64::INFINITY;
        for (column, &entry) in body.iter().enumerate() {
            if entry.abs() < PIVOT || tableau.lower[column] == tableau.upper[column] {
                continue;
            }
            // To raise the leaving column the entering one moves so that
            // entry × move is negative.
            let helps = match tableau.at[column] {
                At::Basic(_) => continue,
                At::Lower => (entry < 0.0) == below,
                At::Upper => (entry > 0.0) == below,
            };
            if !helps {
                continue;
            }
            let reduced = tableau.reduced[column].abs();
            least = least.min((reduced + OPTIMAL) / entry.abs());
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

    /// Pivots until no reduced cost promises an improvement.
    fn primal(&mut self) -> End {
        let most = 4 * (self.tableau.rows + self.tableau.columns) + 1000;
        for count in 0..most {
            let Some((column, up)) = self.primal_entering(count > 10 * STALL) else {
                return End::Optimal;
            };
            match self.primal_leaving(column, up) {
                Blocked::Nowhere => return End::Unbounded,
                Blocked::ByItself(step) => {
                    let tableau = &mut self.tableau;
                    for row in 0..tableau.rows {
                        let entry = tableau.entry(row, column);
                        if entry != 0.0 {
                            tableau.values[row] -= entry * step;
                        }
                    }
                    tableau.at[column] = if up { At::Upper } else { At::Lower };
                }
                Blocked::ByRow(row, step, leaves_at) => {
                    self.step(row, column, step, leaves_at);
                }
            }
        }
        End::Lost
    }

    /// The column whose reduced cost promises most; against cycling, the first.
    fn primal_entering(&self, first: bool) -> Option<(usize, bool)> {
        let tableau = &self.tableau;
        let mut best: Option<(f64, usize, bool)> = None;
        for column in 0..tableau.width {
            if tableau.lower[column] == tableau.upper[column] {
                continue;
            }
            let reduced = tableau.reduced[column];
            let (gain, up) = match tableau.at[column] {
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
        let tableau = &self.tableau;
        let direction = if up { 1.0 } else { -1.0 };
        let span = tableau.upper[column] - tableau.lower[column];
        let mut blocked = if span.is_finite() {
            Blocked::ByItself(direction * span)
        } else {
            Blocked::Nowhere
        };
        let mut least = span;
        let mut size = 0.0;
        for row in 0..tableau.rows {
            // The basic column of the row moves by −entry × direction per step.
            let rate = -tableau.entry(row, column) * direction;
            if rate.abs() < PIVOT {
                continue;
            }
            let basic = tableau.basis[row];
            let (bound, leaves_at) = if rate < 0.0 {
                (tableau.lower[basic], At::Lower)
            } else {
                (tableau.upper[basic], At::Upper)
            };
            if !bound.is_finite() {
                continue;
            }
            let step = ((bound - tableau.values[row]) / rate).max(0.0);
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
