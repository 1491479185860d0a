//! A basis of a linear program with bounded columns: where every column stands,
//! and the factors of those in the basis.

use std::rc::Rc;

use fixedbitset::FixedBitSet;

use super::algebra::Tableau;
use super::factors::Factors;
use super::mixed::{Mixed, Row};
use super::scaling::{Scales, slack_bounds};
use super::tighten::Bounds;

/// Where a column stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum At {
    /// In the basis, at this place.
    Basic(usize),
    /// At its lower bound.
    Lower,
    /// At its upper bound.
    Upper,
}

/// Rows as given in scaled numbers, `A x + s = b`, with bounded columns (those
/// of the program, then one slack per row), and the factors of the columns in
/// the basis.
#[derive(Clone, Debug)]
pub(super) struct Basis {
    /// Columns without slacks.
    pub columns: usize,
    /// The entries of the program's columns, row by row.
    pub by_row: Vec<Vec<(usize, f64)>>,
    /// The same, column by column.
    pub by_column: Vec<Vec<(usize, f64)>>,
    /// `b`.
    pub right: Vec<f64>,
    /// The factors of `B`.
    pub factors: Factors,
    /// The column at every place.
    pub basis: Vec<usize>,
    /// Squared length of every place's row of `B⁻¹`, as far as pivots have told:
    /// how far a step along the dual edge of the place goes.
    pub steepness: Vec<f64>,
    /// Where every column stands, slacks included.
    pub at: Vec<At>,
    /// Bounds, slacks included.
    pub lower: Vec<f64>,
    /// See `lower`.
    pub upper: Vec<f64>,
    /// Bounds of the program's columns that the rows imply.
    pub implied: Bounds,
    /// Costs, slacks included.
    pub cost: Vec<f64>,
    /// Reduced costs, slacks included.
    pub reduced: Vec<f64>,
    /// Values of the basic columns, place by place.
    pub values: Vec<f64>,
    /// Scaled numbers and those of the program.
    pub scales: Scales,
    /// The row and column looked at last.
    pub tableau: Tableau,
}

/// Where the columns of a basis stood, to come back to.
#[derive(Clone, Debug)]
pub(super) struct Standing {
    basis: Vec<u32>,
    /// By column, whether it stood at its upper bound.
    upper: FixedBitSet,
    steepness: Vec<f32>,
}

/// Where the columns of a basis stood, with what has been worked out of it.
#[derive(Clone, Debug)]
pub(super) struct Checkpoint {
    /// Where they stood.
    pub standing: Rc<Standing>,
    factors: Factors,
    reduced: Vec<f64>,
}

impl Standing {
    /// Whether it is one of a program with so many rows and columns.
    pub fn fits(&self, rows: usize, columns: usize) -> bool {
        self.basis.len() == rows && self.upper.len() == rows + columns
    }
}

impl Basis {
    /// Where the columns stand.
    pub fn standing(&self) -> Standing {
        Standing {
            basis: self.basis.iter().map(|&column| column as u32).collect(),
            upper: self.at_upper(),
            steepness: self.steepness.iter().map(|&length| length as f32).collect(),
        }
    }

    fn at_upper(&self) -> FixedBitSet {
        let mut upper = FixedBitSet::with_capacity(self.width());
        let places = self.at.iter().enumerate();
        upper.extend(
            places
                .filter(|(_, at)| **at == At::Upper)
                .map(|(column, _)| column),
        );
        upper
    }

    /// Where the columns stand, with the factors and reduced costs of now.
    pub fn checkpoint(&self) -> Checkpoint {
        Checkpoint {
            standing: Rc::new(self.standing()),
            factors: self.factors.clone(),
            reduced: self.reduced.clone(),
        }
    }

    /// Goes back to where the columns stood, with the same rows; factors and reduced
    /// costs are worked out anew.
    pub fn stand(&mut self, standing: &Standing) {
        self.place(standing);
        self.factorise();
        self.price(None);
    }

    /// Goes back to where the columns stood, with the same rows.
    pub fn return_to(&mut self, checkpoint: &Checkpoint) {
        self.place(&checkpoint.standing);
        self.factors.clone_from(&checkpoint.factors);
        self.reduced.clone_from(&checkpoint.reduced);
    }

    fn place(&mut self, standing: &Standing) {
        self.at.fill(At::Lower);
        for column in standing.upper.ones() {
            self.at[column] = At::Upper;
        }
        for (place, &column) in standing.basis.iter().enumerate() {
            self.basis[place] = column as usize;
            self.at[column as usize] = At::Basic(place);
        }
        for (length, &known) in self.steepness.iter_mut().zip(&standing.steepness) {
            *length = f64::from(known);
        }
    }

    /// The basis of all slacks, for a program whose rows imply these bounds.
    pub fn new(mixed: &Mixed, implied: &Bounds) -> Self {
        let columns = mixed.columns.len();
        let scales = Scales::of(mixed);
        let mut basis = Basis {
            columns,
            by_row: Vec::new(),
            by_column: vec![Vec::new(); columns],
            right: Vec::new(),
            factors: Factors::default(),
            basis: Vec::new(),
            steepness: Vec::new(),
            at: vec![At::Lower; columns],
            lower: Vec::new(),
            upper: Vec::new(),
            implied: implied.clone(),
            cost: Vec::new(),
            reduced: Vec::new(),
            values: Vec::new(),
            scales,
            tableau: Tableau::default(),
        };
        for (column, &scale) in mixed.columns.iter().zip(&basis.scales.column) {
            basis.cost.push(column.cost * scale);
            basis.lower.push(column.lower / scale);
            basis.upper.push(column.upper / scale);
        }
        for list in [&mut basis.implied.lower, &mut basis.implied.upper] {
            for (bound, scale) in list.iter_mut().zip(&basis.scales.column) {
                *bound /= scale;
            }
        }
        basis.reduced.clone_from(&basis.cost);
        basis.append(&mixed.rows);
        basis
    }

    /// Rows, and places in the basis.
    pub fn rows(&self) -> usize {
        self.basis.len()
    }

    /// Columns with slacks.
    pub fn width(&self) -> usize {
        self.at.len()
    }

    /// Adds rows; their slacks are basic.
    pub fn append(&mut self, rows: &[Row]) {
        for row in rows {
            let index = self.rows();
            let scale = self.scales.row_of(index, row);
            let entries: Vec<(usize, f64)> = row
                .terms
                .iter()
                .map(|&(column, factor)| (column, factor * scale * self.scales.column[column]))
                .collect();
            for &(column, entry) in &entries {
                self.by_column[column].push((index, entry));
            }
            self.right.push(row.right * scale);
            self.by_row.push(entries);
            let (least, most) = slack_bounds(row.sense);
            self.lower.push(least);
            self.upper.push(most);
            self.cost.push(0.0);
            self.reduced.push(0.0);
            self.values.push(0.0);
            self.steepness.push(1.0);
            self.at.push(At::Basic(index));
            self.basis.push(self.columns + index);
        }
        self.factorise();
    }

    /// Drops those of the rows marked whose slacks are basic, and takes the marks
    /// of the others away.
    pub fn drop_rows(&mut self, drop: &mut [bool]) {
        let mut places = vec![false; self.rows()];
        for (row, drop) in drop.iter_mut().enumerate() {
            match self.at[self.columns + row] {
                At::Basic(place) if *drop => places[place] = true,
                _ => *drop = false,
            }
        }
        let gone = |column: usize| column >= self.columns && drop[column - self.columns];
        let mut number = vec![usize::MAX; self.width()];
        let mut width = 0;
        for (column, number) in number.iter_mut().enumerate() {
            if !gone(column) {
                *number = width;
                width += 1;
            }
        }
        self.values = keep(&self.values, |place| places[place]);
        self.steepness = keep(&self.steepness, |place| places[place]);
        let basis = keep(&self.basis, |place| places[place]);
        self.right = keep(&self.right, |row| drop[row]);
        self.scales.row = keep(&self.scales.row, |row| drop[row]);
        self.by_row = keep(&self.by_row, |row| drop[row]);
        self.lower = keep(&self.lower, gone);
        self.upper = keep(&self.upper, gone);
        self.cost = keep(&self.cost, gone);
        self.reduced = keep(&self.reduced, gone);
        self.at = keep(&self.at, gone);
        self.basis = basis.into_iter().map(|column| number[column]).collect();
        for (place, &column) in self.basis.iter().enumerate() {
            self.at[column] = At::Basic(place);
        }
        let columns = self.columns;
        for entries in &mut self.by_column {
            entries.retain(|&(row, _)| !drop[row]);
            for (row, _) in entries {
                *row = number[columns + *row] - columns;
            }
        }
        self.factorise();
    }

    /// Sets the bounds of the program's columns. A column that is the better the
    /// farther it goes to a side where it has no bound gets the one that the rows
    /// imply: the basis of all slacks is then dual feasible.
    pub fn set_bounds(&mut self, lower: &[f64], upper: &[f64]) {
        for (column, (&least, &most)) in lower.iter().zip(upper).enumerate() {
            self.lower[column] = least / self.scales.column[column];
            self.upper[column] = most / self.scales.column[column];
            let cost = self.cost[column];
            if cost < 0.0 && most == f64::INFINITY {
                self.upper[column] = self.implied.upper[column];
            } else if cost > 0.0 && least == f64::NEG_INFINITY {
                self.lower[column] = self.implied.lower[column];
            }
        }
    }

    /// Value of a column that is not basic.
    pub fn rest(&self, column: usize) -> f64 {
        match self.at[column] {
            At::Upper => self.upper[column],
            _ => self.lower[column],
        }
    }

    /// Value of a column.
    pub fn value(&self, column: usize) -> f64 {
        match self.at[column] {
            At::Basic(place) => self.values[place],
            _ => self.rest(column),
        }
    }

    /// What the present values cost, the constant left out.
    pub fn present_cost(&self) -> f64 {
        let costs = self.cost[..self.columns].iter().enumerate();
        costs.map(|(column, cost)| cost * self.value(column)).sum()
    }

    /// Puts every column that is not basic at a bound that exists, by the sign
    /// of its reduced cost where both do; says whether reduced costs and bounds
    /// then agree.
    pub fn settle(&mut self, slack: f64) -> bool {
        let mut agree = true;
        for column in 0..self.width() {
            if let At::Basic(_) = self.at[column] {
                continue;
            }
            let reduced = self.reduced[column];
            let below = self.lower[column].is_finite();
            let above = self.upper[column].is_finite();
            let fixed = self.lower[column] == self.upper[column];
            self.at[column] = match (below, above) {
                (true, true) if reduced < 0.0 => At::Upper,
                (true, _) => At::Lower,
                (false, _) => At::Upper,
            };
            if !fixed {
                let wrong = match self.at[column] {
                    At::Lower => reduced < -slack,
                    _ => reduced > slack,
                };
                agree &= !wrong;
            }
        }
        agree
    }

    /// Values of the program's columns, unscaled.
    pub fn solution(&self) -> Vec<f64> {
        (0..self.columns)
            .map(|column| {
                let value = match self.at[column] {
                    At::Basic(place) => self.values[place]
                        .max(self.lower[column])
                        .min(self.upper[column]),
                    _ => self.rest(column),
                };
                value * self.scales.column[column]
            })
            .collect()
    }
}

fn keep<T: Clone>(list: &[T], leave: impl Fn(usize) -> bool) -> Vec<T> {
    list.iter()
        .enumerate()
        .filter(|&(index, _)| !leave(index))
        .map(|(_, value)| value.clone())
        .collect()
}
