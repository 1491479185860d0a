//! Linear programs of anyone's making: columns within bounds, rows, a cost.

use super::mixed::{Column, Mixed, Row};
use super::relaxation::Relaxed;
use super::search::solve_linear;
use super::tighten::reduce_with_bounds;
use super::{Backend, Fault, kernel::Kernel};
use crate::program::Sense;

/// A linear program: minimise `Σ cost · column` within bounds and rows.
#[derive(Clone, Debug, Default)]
pub struct LinearProgram {
    mixed: Mixed,
}

/// What came of a linear program.
#[derive(Clone, Debug, PartialEq)]
pub enum LinearOutcome {
    /// The least cost, and the value of every column.
    Optimal {
        /// `Σ cost · column`.
        cost: f64,
        /// By column.
        values: Vec<f64>,
    },
    /// Nothing satisfies the rows within the bounds.
    Infeasible,
}

impl LinearProgram {
    /// Adds a column between two bounds; gives its number.
    pub fn column(&mut self, lower: f64, upper: f64, cost: f64) -> usize {
        self.mixed.columns.push(Column {
            lower,
            upper,
            whole: false,
            kept: false,
            integral: false,
            cost,
        });
        self.mixed.columns.len() - 1
    }

    /// Adds a row `Σ factor · column  sense  right`.
    pub fn row(&mut self, terms: Vec<(usize, f64)>, sense: Sense, right: f64) {
        self.mixed.rows.push(Row {
            terms,
            sense,
            right,
        });
    }

    /// Lets nothing but one column count: the more of it, the better.
    pub fn maximise(&mut self, column: usize) {
        for (index, data) in self.mixed.columns.iter_mut().enumerate() {
            data.cost = if index == column { -1.0 } else { 0.0 };
        }
    }

    /// Solves it.
    ///
    /// ```
    /// use loopwright::program::Sense;
    /// use loopwright::solve::{Backend, LinearOutcome, LinearProgram};
    /// let mut program = LinearProgram::default();
    /// let one = program.column(0.0, 4.0, 1.0);
    /// let other = program.column(0.0, f64::INFINITY, 3.0);
    /// program.row(vec![(one, 1.0), (other, 1.0)], Sense::AtLeast, 6.0);
    /// let found = program.solve(Backend::Kernel).unwrap();
    /// assert_eq!(found, LinearOutcome::Optimal { cost: 10.0, values: vec![4.0, 2.0] });
    /// ```
    ///
    /// # Errors
    ///
    /// A [`Fault`] of the back-end, or a cost that can fall without end.
    pub fn solve(&self, backend: Backend) -> Result<LinearOutcome, Fault> {
        let Ok((reduced, implied)) = reduce_with_bounds(&self.mixed) else {
            return Ok(LinearOutcome::Infeasible);
        };
        let program = &reduced.program;
        let lower: Vec<f64> = program.columns.iter().map(|column| column.lower).collect();
        let upper: Vec<f64> = program.columns.iter().map(|column| column.upper).collect();
        let mut kernel = Kernel::new(program, &implied);
        let relaxed = solve_linear(&mut kernel, program, &lower, &upper, backend)?;
        Ok(match relaxed {
            Relaxed::Infeasible => LinearOutcome::Infeasible,
            Relaxed::Optimal { objective, values } => LinearOutcome::Optimal {
                cost: objective,
                values: reduced.expand(&values),
            },
        })
    }
}
