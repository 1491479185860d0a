//! One or two numbers moved through their values, every cell planned anew.

use super::axis::Axis;
use super::cell::{Cell, Ground, Portfolio};
use super::many::{Effort, Keepable, Trouble, answers};
use crate::design::Design;
use crate::quantity::Dimension;

impl Keepable for Cell {
    fn is_certain(&self) -> bool {
        Cell::is_certain(self)
    }
}

/// A design through the values of one or two numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct Sweep {
    /// The numbers that move.
    pub axes: Vec<Axis>,
    /// Every cell; the values of the last number change fastest.
    pub cells: Vec<Cell>,
    /// Portfolios in the order in which they are met.
    pub portfolios: Vec<Portfolio>,
}

impl Sweep {
    /// The values of the numbers in a cell, by axis.
    pub fn values(&self, cell: usize) -> Vec<f64> {
        let mut rest = cell;
        let mut values: Vec<f64> = Vec::with_capacity(self.axes.len());
        for axis in self.axes.iter().rev() {
            values.push(axis.values[rest % axis.values.len()]);
            rest /= axis.values.len();
        }
        values.reverse();
        values
    }

    /// Which of the portfolios a cell has.
    pub fn portfolio(&self, cell: usize) -> Option<usize> {
        let (_, portfolio) = self.cells[cell].planned()?;
        self.portfolios.iter().position(|known| known == portfolio)
    }

    /// The lightest cell.
    pub fn lightest(&self) -> Option<usize> {
        let planned = self.cells.iter().enumerate();
        let masses = planned.filter_map(|(index, cell)| cell.planned().map(|(kg, _)| (index, kg)));
        masses
            .min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)))
            .map(|(index, _)| index)
    }
}

/// Plans a design at every combination of the values of its axes.
///
/// # Errors
///
/// A file of kept cells that is of no use.
pub fn sweep(design: &Design, axes: Vec<Axis>, effort: &mut Effort<'_>) -> Result<Sweep, Trouble> {
    let cells = axes.iter().map(|axis| axis.values.len()).product();
    let mut sweep = Sweep {
        axes,
        cells: Vec::new(),
        portfolios: Vec::new(),
    };
    let questions: Vec<Vec<f64>> = (0..cells).map(|cell| sweep.values(cell)).collect();
    let axes = &sweep.axes;
    let found = answers(&questions, effort, |values, trail, options| {
        let numbers: Vec<(&str, f64, Dimension)> = axes
            .iter()
            .zip(values)
            .map(|(axis, &value)| (axis.address.as_str(), value, axis.dimension))
            .collect();
        Ground::new(design, options).cell_in_turn(&numbers, trail)
    })?;
    sweep.cells = reached(found);
    sweep.portfolios = portfolios(&sweep.cells);
    Ok(sweep)
}

/// Cells, with those that were not reached said to be so.
pub(super) fn reached(found: Vec<Option<Cell>>) -> Vec<Cell> {
    let cells = found.into_iter();
    cells.map(|cell| cell.unwrap_or(Cell::NotReached)).collect()
}

/// Every portfolio once, in the order in which they are met.
pub(super) fn portfolios<'a>(cells: impl IntoIterator<Item = &'a Cell>) -> Vec<Portfolio> {
    let mut found: Vec<Portfolio> = Vec::new();
    for (_, portfolio) in cells.into_iter().filter_map(Cell::planned) {
        if !found.contains(portfolio) {
            found.push(portfolio.clone());
        }
    }
    found
}
