//! The linear-programming kernel of the search: a simplex with bounded columns that goes on from wherever it stands.
//!
//! Moving from one part of the search to another changes bounds only, and
//! reduced costs do not depend on bounds, so the dual simplex usually restarts
//! a few pivots from the next optimum. Where it cannot, costs are shifted until
//! the basis is dual feasible, and the primal simplex finishes with the true
//! costs.

mod dual;
mod primal;

use super::algebra::Pivot;
use super::basis::{At, Basis, Checkpoint, Standing};
use super::mixed::{Mixed, Row};
use super::proof::Certificate;
use super::relaxation::{Relaxed, holds};
use super::tighten::Bounds;

/// Feasibility in scaled numbers, at first and where that was not enough: what is
/// little in scaled numbers may be more in a row as given.
const FEASIBLE: [f64; 2] = [1e-10, 1e-12];
/// Optimality in scaled numbers.
const OPTIMAL: f64 = 1e-11;
/// A pivot worked out along its row and along its column may differ by this.
const BLURRED: f64 = 1e-6;
/// Smallest pivot.
const PIVOT: f64 = 1e-7;
/// Pivots of one run before reduced costs are moved apart, so that ties cannot
/// make the dual simplex go round in circles.
const STALL: usize = 100;
/// Pivots up to which reduced costs need not be worked out anew.
const SHORT: usize = 20;

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
            match self.run(limit - self.constant) {
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

    /// From where the basis stands to an optimum, or to where it costs as much as the
    /// limit, the constant left out.
    fn run(&mut self, limit: f64) -> End {
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
        let end = self.dual(if agree { limit } else { f64::INFINITY });
        if !agree || self.pivots > SHORT {
            // With the true costs, and without what a long run leaves in them.
            self.basis.price(None);
        }
        match end {
            End::Optimal => self.primal(),
            other => other,
        }
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
}

#[cfg(test)]
mod tests;
