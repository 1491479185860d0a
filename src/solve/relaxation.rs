//! One linear relaxation, by the pure-Rust back-end.

use microlp::{ComparisonOp, Error, OptimizationDirection, Problem};

use super::Fault;
use super::mixed::Mixed;
use crate::program::Sense;

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
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let variables: Vec<microlp::Variable> = mixed
        .columns
        .iter()
        .zip(lower.iter().zip(upper))
        .map(|(column, (&lower, &upper))| problem.add_var(column.cost, (lower, upper)))
        .collect();
    for row in &mixed.rows {
        let terms: Vec<(microlp::Variable, f64)> = row
            .terms
            .iter()
            .map(|&(column, factor)| (variables[column], factor))
            .collect();
        let operator = match row.sense {
            Sense::Equal => ComparisonOp::Eq,
            Sense::AtMost => ComparisonOp::Le,
            Sense::AtLeast => ComparisonOp::Ge,
        };
        problem.add_constraint(terms, operator, row.right);
    }
    match problem.solve() {
        Ok(outcome) => match outcome.solution() {
            Some(solution) => Ok(Relaxed::Optimal {
                objective: solution.objective() + mixed.constant,
                values: variables
                    .iter()
                    .map(|&variable| solution.var_value_raw(variable))
                    .collect(),
            }),
            None => Err(Fault::Interrupted),
        },
        Err(Error::Infeasible) => Ok(Relaxed::Infeasible),
        Err(Error::Unbounded) => Err(Fault::Unbounded),
        Err(error) => Err(Fault::Backend(error.to_string())),
    }
}
