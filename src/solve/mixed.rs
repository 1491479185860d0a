//! A mixed-integer linear program without words: what the search works on.

use crate::program::Sense;

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
