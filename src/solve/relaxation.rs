//! One linear relaxation, by the pure-Rust back-end.

use good_lp::solvers::SolutionStatus;
use good_lp::solvers::microlp::microlp;
use good_lp::{
    Expression, ProblemVariables, ResolutionError, Solution as _, SolverModel, Variable,
    WithTimeLimit, variable,
};

use super::Fault;
use super::mixed::{Mixed, Row};
use crate::program::Sense;

/// A relaxation takes milliseconds; one that takes so long goes round in circles, s.
const LONGEST_SECONDS: f64 = 10.0;

/// What came of a relaxation. Status first; values only with an optimum.
#[derive(Clone, Debug)]
pub(super) enum Relaxed {
    /// Solved.
    Optimal {
        /// Objective, constant included.
        objective: f64,
        /// Value of every column.
        values: Vec<f64>,
    },
    /// Nothing satisfies the rows and bounds.
    Infeasible,
}

/// Solves the linear program with the bounds given, whole numbers relaxed.
pub(super) fn relax(mixed: &Mixed, lower: &[f64], upper: &[f64]) -> Result<Relaxed, Fault> {
    for (&lower, &upper) in lower.iter().zip(upper) {
        if lower > upper {
            return Ok(Relaxed::Infeasible);
        }
    }
    let mut variables = ProblemVariables::new();
    // Fixed columns are numbers, not variables: fewer columns, and no bases
    // that hang on a column without room.
    let columns: Vec<Option<Variable>> = lower
        .iter()
        .zip(upper)
        .map(|(&lower, &upper)| {
            (lower < upper).then(|| variables.add(variable().min(lower).max(upper)))
        })
        .collect();
    let mut objective = Expression::from(mixed.constant);
    for ((column, variable), &fixed) in mixed.columns.iter().zip(&columns).zip(lower) {
        match variable {
            Some(variable) => objective.add_mul(column.cost, variable),
            None => objective += column.cost * fixed,
        }
    }
    let model = variables.minimise(objective.clone()).using(microlp);
    let mut model = model.with_time_limit(LONGEST_SECONDS);
    for row in &mixed.rows {
        let mut sum = Expression::with_capacity(row.terms.len());
        let mut fixed = 0.0;
        let mut free = false;
        for &(column, factor) in &row.terms {
            match columns[column] {
                Some(variable) => {
                    sum.add_mul(factor, variable);
                    free = true;
                }
                None => fixed += factor * lower[column],
            }
        }
        if free {
            let right = row.right - fixed;
            model.add_constraint(match row.sense {
                Sense::Equal => sum.eq(right),
                Sense::AtMost => sum.leq(right),
                Sense::AtLeast => sum.geq(right),
            });
        } else if !satisfied(row, fixed) {
            return Ok(Relaxed::Infeasible);
        }
    }
    match model.solve() {
        Ok(solution) if !matches!(solution.status(), SolutionStatus::Optimal) => Err(
            Fault::Backend("the library did not come to an end".to_owned()),
        ),
        Ok(solution) => Ok(Relaxed::Optimal {
            objective: solution.eval(&objective),
            values: columns
                .iter()
                .zip(lower)
                .map(|(variable, &fixed)| variable.map_or(fixed, |one| solution.value(one)))
                .collect(),
        }),
        Err(ResolutionError::Infeasible) => Ok(Relaxed::Infeasible),
        Err(ResolutionError::Unbounded) => Err(Fault::Unbounded),
        Err(error) => Err(Fault::Backend(error.to_string())),
    }
}

fn satisfied(row: &Row, sum: f64) -> bool {
    let slack = ROW_SLACK * (1.0 + row.right.abs());
    match row.sense {
        Sense::Equal => (sum - row.right).abs() <= slack,
        Sense::AtMost => sum <= row.right + slack,
        Sense::AtLeast => sum >= row.right - slack,
    }
}

/// How far a row may be off, as a share of its largest term.
const ROW_SLACK: f64 = 1e-8;

/// Whether values satisfy every row of a program.
pub(super) fn holds(mixed: &Mixed, values: &[f64]) -> bool {
    mixed.rows.iter().all(|row| {
        let mut sum = 0.0;
        let mut scale = row.right.abs().max(1.0);
        for &(column, factor) in &row.terms {
            let term = factor * values[column];
            sum += term;
            scale = scale.max(term.abs());
        }
        let slack = ROW_SLACK * scale;
        match row.sense {
            Sense::Equal => (sum - row.right).abs() <= slack,
            Sense::AtMost => sum <= row.right + slack,
            Sense::AtLeast => sum >= row.right - slack,
        }
    })
}
