//! The linear-programming kernel of the search: a simplex with bounded columns that goes on from wherever it stands.
//!
//! Moving from one part of the search to another changes bounds only, and
//! reduced costs do not depend on bounds, so the dual simplex usually restarts
//! a few pivots from the next optimum. Where it cannot, costs are shifted until
//! the basis is dual feasible, and the primal simplex finishes with the true
//! costs.

use super::algebra::Pivot;
use super::basis::{At, Basis, Checkpoint, Standing};
use super::mixed::{Mixed, Row};
use super::proof::Certificate;
use super::relaxation::{Relaxed, holds};
use super::tighten::Bounds;

/// Feasibility in scaled numbers, at first and where that was not enough: what is
/// little in scaled numbers may be more in a row as given.
const FEASIBLE: [f64; 2] = [1e-10, 1e-12];
/// Rounding of a scaled number, as a share of it. More slack than this is used:
/// over a mission, a flow of nothing but slack adds up to cargo that nobody brought.
const ROUNDING: f64 = 1e-12;
/// Optimality in scaled numbers.
const OPTIMAL: f64 = 1e-11;
/// A pivot worked out along its row and along its column may differ by this.
const BLURRED: f64 = 1e-6;
/// How far a reduced cost may pass zero for the sake of a larger pivot; the
/// primal simplex puts it right.
const ALLOWED: f64 = 1e-8;
/// Smallest pivot.
const PIVOT: f64 = 1e-7;
/// Pivots of one run before reduced costs are moved apart, so that ties cannot
/// make the dual simplex go round in circles.
const STALL: usize = 100;
/// Pivots up to which reduced costs need not be worked out anew.
const SHORT: usize = 20;
/// By how much they are moved apart, relative to the cost.
const APART: f64 = 1e-6;

/// How a simplex run ended.
#[derive(Clone, Copy, Debug, PartialEq)]
enum End {
    Optimal,
    /// This row cannot be brought within its bounds.
    Infeasible(usize),
    /// Nothing costs less than this, which is beyond the limit.
    Beyond(f64),
    Unbounded,
    /// Too many pivots, or no safe pivot left.
    Lost,
}

/// A linear program that is solved again and again under changing bounds.
#[derive(Clone, Debug)]
pub(super) struct Kernel {
    basis: Basis,
    constant: f64,
    certificate: Option<Certificate>,
    /// Of the present run.
    pivots: usize,
    /// See [`FEASIBLE`], of the present run.
    feasible: f64,
    /// What costs as much or more is of no interest, the constant left out.
    limit: f64,
    /// Of one ratio test: column, ratio and size of the pivot.
    candidates: Vec<(usize, f64, f64)>,
}

/// What came of a program of which only what costs less than a limit is of interest.
#[derive(Clone, Debug)]
pub(super) enum Limited {
    /// Nothing costs less than this, which is the limit or more.
    Beyond(f64),
    /// As without a limit.
    Relaxed(Relaxed),
}

/// The kernel could not make sure of its result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Doubt;

impl Kernel {
    /// A kernel for a program whose rows imply these bounds.
    pub fn new(mixed: &Mixed, implied: &Bounds) -> Self {
        Kernel {
            basis: Basis::new(mixed, implied),
            constant: mixed.constant,
            certificate: None,
            pivots: 0,
            feasible: FEASIBLE[0],
            limit: f64::INFINITY,
            candidates: Vec::new(),
        }
    }

    /// Adds rows that the program has got since.
    pub fn append(&mut self, rows: &[Row]) {
        self.basis.append(rows);
    }

    /// Drops those of the rows marked that do not hold the last optimum up, and
    /// takes the marks of the others away.
    pub fn drop_rows(&mut self, drop: &mut [bool]) {
        self.basis.drop_rows(drop);
    }

    /// Where the last program has left the basis.
    pub fn standing(&self) -> Standing {
        self.basis.standing()
    }

    /// The same, with what has been worked out of it.
    pub fn checkpoint(&self) -> Checkpoint {
        self.basis.checkpoint()
    }

    /// Begins from there.
    pub fn stand(&mut self, standing: &Standing) {
        self.basis.stand(standing);
    }

    /// Begins from there.
    pub fn return_to(&mut self, checkpoint: &Checkpoint) {
        self.basis.return_to(checkpoint);
    }

    /// The combination of rows behind the value of a basic column, after an
    /// optimum; see [`Basis::combination`].
    pub fn combination(&self, column: usize) -> Option<Vec<(usize, f64)>> {
        self.basis.combination(column)
    }

    /// What proves the optimum just found; the program's constant is part of the
    /// bound. None if the last program was not solved here to an optimum.
    pub fn certificate(&self) -> Option<&Certificate> {
        self.certificate.as_ref()
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
        match self.solve_below(mixed, lower, upper, f64::INFINITY)? {
            Limited::Relaxed(relaxed) => Ok(relaxed),
            Limited::Beyond(_) => Err(Doubt),
        }
    }

    /// The same where what costs `limit` or more is of no interest: it ends as soon as
    /// a bound by multipliers says so.
    ///
    /// # Errors
    ///
    /// See [`Kernel::solve`].
    pub fn solve_below(
        &mut self,
        mixed: &Mixed,
        lower: &[f64],
        upper: &[f64],
        limit: f64,
    ) -> Result<Limited, Doubt> {
        self.certificate = None;
        self.limit = limit - self.constant;
        for (&lower, &upper) in lower.iter().zip(upper) {
            if lower > upper {
                return Ok(Limited::Relaxed(Relaxed::Infeasible));
            }
        }
        self.basis.set_bounds(lower, upper);
        for attempt in 0..3 {
            if attempt > 0 || self.basis.is_stale() {
                self.fresh(attempt == 2);
            }
            self.feasible = FEASIBLE[usize::from(attempt > 0)];
            match self.run() {
                End::Optimal => {
                    self.basis.refine();
                    let values = self.basis.solution();
                    let objective: f64 = mixed
                        .columns
                        .iter()
                        .zip(&values)
                        .map(|(column, value)| column.cost * value)
                        .sum();
                    let proof = self
                        .basis
                        .certificate()
                        .filter(|proof| proof.bound >= objective - 1e-9 * (1.0 + objective.abs()));
                    if let (Some(mut proof), true) = (proof, holds(mixed, &values)) {
                        proof.bound += self.constant;
                        self.certificate = Some(proof);
                        return Ok(Limited::Relaxed(Relaxed::Optimal {
                            objective: objective + self.constant,
                            values,
                        }));
                    }
                }
                End::Infeasible(row) if self.basis.proves_infeasible(row) => {
                    return Ok(Limited::Relaxed(Relaxed::Infeasible));
                }
                End::Beyond(bound) => return Ok(Limited::Beyond(bound + self.constant)),
                End::Infeasible(_) | End::Unbounded | End::Lost => {}
            }
        }
        Err(Doubt)
    }

    fn fresh(&mut self, from_slacks: bool) {
        self.basis.refresh(from_slacks);
        self.basis.price(None);
    }

    fn run(&mut self) -> End {
        let agree = self.basis.settle(OPTIMAL);
        self.basis.evaluate();
        if !agree {
            // Shift the costs that disagree, so that the dual simplex can find a
            // feasible basis.
            let mut shifted = self.basis.cost.clone();
            let places = self.basis.at.iter().zip(&self.basis.reduced);
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
            self.basis.price(Some(&shifted));
        }
        self.pivots = 0;
        let limit = if agree { self.limit } else { f64::INFINITY };
        let end = self.dual(limit);
        if !agree || self.pivots > SHORT {
            // With the true costs, and without what a long run leaves in them.
            self.basis.price(None);
        }
        match end {
            End::Optimal => self.primal(),
            other => other,
        }
    }

    /// Pivots until no basic column is outside its bounds, or the multipliers prove that
    /// nothing costs less than the limit: as long as reduced costs and bounds agree, a
    /// basis costs no more than any values do, and every pivot adds to that.
    fn dual(&mut self, limit: f64) -> End {
        let most = 4 * self.basis.width() + 1000;
        let mut enough = limit + 1e-9 * (1.0 + limit.abs());
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

    /// Moves the entering column by a step and pivots. Where row and column of the
    /// pivot do not agree there are fresh factors instead, to look again; false if
    /// fresh ones do not agree, or columns of the basis depend on each other,
    /// because rounding got the better of them.
    fn step(&mut self, step: f64, pivot: Pivot) -> bool {
        let Pivot {
            place, entering, ..
        } = pivot;
        let basis = &mut self.basis;
        let by_row = basis.tableau.row.value[entering];
        let by_column = basis.tableau.column[place];
        if (by_row - by_column).abs() > BLURRED * by_column.abs() {
            if basis.factors.changes() == 0 || !basis.factorise() {
                return false;
            }
            basis.refine();
            return true;
        }
        let value = basis.rest(entering) + step;
        basis.give_way(step);
        basis.values[place] = value;
        basis.pivot(pivot);
        self.pivots += 1;
        if basis.is_stale() {
            if !basis.factorise() {
                return false;
            }
            basis.refine();
        }
        true
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

    /// Pivots until no reduced cost promises an improvement.
    fn primal(&mut self) -> End {
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
