//! A mixed-integer linear program without words: what the search works on.

use crate::program::{Program, Sense};

/// A column of a mixed program.
#[derive(Clone, Copy, Debug)]
pub(super) struct Column {
    /// Least value.
    pub lower: f64,
    /// Largest value.
    pub upper: f64,
    /// Whether it must be whole.
    pub whole: bool,
    /// Whether the search bounds it, so that it must not be substituted.
    pub kept: bool,
    /// Whether it is whole in every complete answer: it must be, or it is the
    /// weight of a choice.
    pub integral: bool,
    /// Objective coefficient.
    pub cost: f64,
}

/// A row of a mixed program; every column once.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// Columns and factors.
    pub terms: Vec<(usize, f64)>,
    /// Comparison.
    pub sense: Sense,
    /// Right side.
    pub right: f64,
}

impl Mixed {
    /// A whole program with the costs given, nothing rewritten.
    pub fn of(program: &Program, cost: impl Fn(usize) -> f64) -> Self {
        Mixed {
            columns: program
                .columns
                .iter()
                .enumerate()
                .map(|(index, column)| Column {
                    lower: column.lower,
                    upper: column.upper,
                    whole: column.whole,
                    kept: false,
                    integral: column.whole,
                    cost: cost(index),
                })
                .collect(),
            rows: program
                .rows
                .iter()
                .map(|row| Row {
                    terms: row
                        .terms
                        .iter()
                        .map(|&(column, factor)| (column.0, factor))
                        .collect(),
                    sense: row.sense,
                    right: row.right,
                })
                .collect(),
            constant: 0.0,
        }
    }
}

/// Minimise `constant + Σ cost · column`.
#[derive(Clone, Debug, Default)]
pub(super) struct Mixed {
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows.
    pub rows: Vec<Row>,
    /// Constant of the objective.
    pub constant: f64,
}
