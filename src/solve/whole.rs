//! The whole program in one piece through `good_lp`: slow on real designs, and
//! therefore only a referee for small ones.

use good_lp::solvers::microlp::microlp;
use good_lp::{
    Expression, ProblemVariables, ResolutionError, Solution as _, SolverModel, Variable,
    WithTimeLimit, variable,
};

use super::{Fault, Options, Outcome, Solution};
use crate::program::{Program, Sense};

/// Largest whole number given to a column without an upper bound: the back-end
/// wants bounded whole numbers.
const MANY: f64 = 1e6;

/// Solves the whole program as one mixed-integer program, to the same optimum
/// as [`super::solve`] but without deciding ties.
///
/// # Errors
///
/// A [`Fault`] where the back-end fails or says that the program is unbounded.
pub fn solve_whole(program: &Program, options: &Options) -> Result<Outcome, Fault> {
    let mut variables = ProblemVariables::new();
    let columns: Vec<Variable> = program
        .columns
        .iter()
        .map(|column| {
            let upper = if column.whole {
                column.upper.min(MANY)
            } else {
                column.upper
            };
            let definition = variable().min(column.lower).max(upper);
            variables.add(if column.whole {
                definition.integer()
            } else {
                definition
            })
        })
        .collect();
    let mut objective = Expression::from(program.constant_kg);
    for (column, &variable) in program.columns.iter().zip(&columns) {
        if column.cost != 0.0 {
            objective.add_mul(column.cost, variable);
        }
    }
    let mut model = variables.minimise(objective).using(microlp);
    for row in &program.rows {
        let mut sum = Expression::with_capacity(row.terms.len());
        for &(column, factor) in &row.terms {
            sum.add_mul(factor, columns[column.0]);
        }
        model.add_constraint(match row.sense {
            Sense::Equal => sum.eq(row.right),
            Sense::AtMost => sum.leq(row.right),
            Sense::AtLeast => sum.geq(row.right),
        });
    }
    if let Some(limit) = options.time_limit {
        model = model.with_time_limit(limit.as_secs_f64());
    }
    match model.solve() {
        Ok(found) => {
            let values: Vec<f64> = columns.iter().map(|&column| found.value(column)).collect();
            let objective_kg = program.constant_kg
                + program
                    .columns
                    .iter()
                    .zip(&values)
                    .map(|(column, value)| column.cost * value)
                    .sum::<f64>();
            let proved = matches!(found.status(), good_lp::solvers::SolutionStatus::Optimal);
            Ok(Outcome::Solved(Solution {
                alike: None,
                values,
                objective_kg,
                bound_kg: if proved { objective_kg } else { 0.0 },
                proved,
                relaxations: 0,
            }))
        }
        Err(ResolutionError::Infeasible) => Ok(Outcome::Infeasible),
        Err(ResolutionError::Unbounded) => Err(Fault::Unbounded),
        Err(ResolutionError::Other(words)) if words.contains("Time limit") => {
            Ok(Outcome::Unknown { bound_kg: 0.0 })
        }
        Err(error) => Err(Fault::Backend(error.to_string())),
    }
}
