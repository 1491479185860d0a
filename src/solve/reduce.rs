//! Reduction: equalities are used up to substitute columns, so that the linear
//! program left for every node of the search is a few rows.

use std::collections::{BTreeMap, BTreeSet};

use super::mixed::{Column, Mixed, Row};
use crate::program::Sense;

/// Largest number of entries that one substitution may add.
const FILL: usize = 150;
/// Factors below this are rounding left over from a substitution.
const NOISE: f64 = 1e-12;

/// A reduced program and the way back.
#[derive(Clone, Debug)]
pub(super) struct Reduced {
    /// What is left; its columns are numbered anew.
    pub program: Mixed,
    /// For every column left, the column it was.
    pub origin: Vec<usize>,
    /// For every original column, its place among those left.
    pub left: Vec<Option<usize>>,
    substitutions: Vec<Substitution>,
    columns: usize,
}

/// `column = constant + Σ factor · other`.
#[derive(Clone, Debug)]
struct Substitution {
    column: usize,
    constant: f64,
    terms: Vec<(usize, f64)>,
}

/// The rows contradict each other before anything is chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Contradiction;

impl Reduced {
    /// Values of all original columns from those of the columns left.
    pub fn expand(&self, values: &[f64]) -> Vec<f64> {
        let mut all = vec![0.0; self.columns];
        for (&column, &value) in self.origin.iter().zip(values) {
            all[column] = value;
        }
        for substitution in self.substitutions.iter().rev() {
            let mut value = substitution.constant;
            for &(column, factor) in &substitution.terms {
                value += factor * all[column];
            }
            all[substitution.column] = value;
        }
        all
    }
}

impl Reduced {
    /// Carries rows after the first `own_rows` and narrower bounds of whole
    /// columns back into the program that was reduced.
    pub fn carry_back(&self, own_rows: usize, lower: &[f64], upper: &[f64], mixed: &mut Mixed) {
        for (index, &column) in self.origin.iter().enumerate() {
            if self.program.columns[index].integral {
                mixed.columns[column].lower = lower[index];
                mixed.columns[column].upper = upper[index];
            }
        }
        for row in self.program.rows.iter().skip(own_rows) {
            mixed.rows.push(Row {
                terms: row
                    .terms
                    .iter()
                    .map(|&(column, factor)| (self.origin[column], factor))
                    .collect(),
                sense: row.sense,
                right: row.right,
            });
        }
    }
}

struct Work {
    columns: Vec<Column>,
    rows: Vec<Option<WorkRow>>,
    uses: Vec<BTreeSet<usize>>,
    constant: f64,
    substitutions: Vec<Substitution>,
    gone: Vec<bool>,
}

#[derive(Clone, Debug)]
struct WorkRow {
    terms: BTreeMap<usize, f64>,
    sense: Sense,
    right: f64,
}

/// Reduces a mixed program.
pub(super) fn reduce(mixed: &Mixed) -> Result<Reduced, Contradiction> {
    let mut work = Work::new(mixed);
    for column in 0..work.columns.len() {
        let data = work.columns[column];
        // A choice that is ruled out goes too.
        let ruled_out = data.integral && data.upper == 0.0;
        if data.lower == data.upper && (!data.kept || ruled_out) {
            work.substitute(column, data.lower, Vec::new());
        }
    }
    let mut queue: BTreeSet<usize> = (0..work.rows.len()).collect();
    while let Some(row) = queue.pop_first() {
        work.look_at(row, &mut queue)?;
    }
    Ok(work.finish())
}

impl Work {
    fn new(mixed: &Mixed) -> Self {
        let mut uses = vec![BTreeSet::new(); mixed.columns.len()];
        let rows: Vec<Option<WorkRow>> = mixed
            .rows
            .iter()
            .enumerate()
            .map(|(index, row)| {
                let mut terms = BTreeMap::new();
                for &(column, factor) in &row.terms {
                    *terms.entry(column).or_insert(0.0) += factor;
                    uses[column].insert(index);
                }
                Some(WorkRow {
                    terms,
                    sense: row.sense,
                    right: row.right,
                })
            })
            .collect();
        Work {
            columns: mixed.columns.clone(),
            rows,
            gone: vec![false; mixed.columns.len()],
            uses,
            constant: mixed.constant,
            substitutions: Vec::new(),
        }
    }

    fn look_at(&mut self, index: usize, queue: &mut BTreeSet<usize>) -> Result<(), Contradiction> {
        let Some(row) = self.rows[index].clone() else {
            return Ok(());
        };
        if row.terms.is_empty() {
            let slack = 1e-9 * (1.0 + row.right.abs());
            let holds = match row.sense {
                Sense::Equal => row.right.abs() <= slack,
                Sense::AtMost => row.right >= -slack,
                Sense::AtLeast => row.right <= slack,
            };
            self.rows[index] = None;
            return if holds { Ok(()) } else { Err(Contradiction) };
        }
        if row.terms.len() == 1 {
            self.bound_by(index, &row)?;
            return Ok(());
        }
        if row.sense != Sense::Equal {
            return Ok(());
        }
        if let Some(column) = self.pivot(&row) {
            let factor = row.terms[&column];
            let terms: Vec<(usize, f64)> = row
                .terms
                .iter()
                .filter(|&(&other, _)| other != column)
                .map(|(&other, &value)| (other, -value / factor))
                .collect();
            self.drop_row(index);
            let constant = row.right / factor;
            self.keep_bounds(column, constant, &terms);
            queue.extend(self.uses[column].iter().copied());
            self.substitute(column, constant, terms);
        }
        Ok(())
    }

    /// A row of one column is a bound.
    fn bound_by(&mut self, index: usize, row: &WorkRow) -> Result<(), Contradiction> {
        let Some((&column, &factor)) = row.terms.iter().next() else {
            return Ok(());
        };
        let data = &mut self.columns[column];
        if data.whole || data.kept {
            return Ok(());
        }
        let value = row.right / factor;
        let at_most = match row.sense {
            Sense::Equal => None,
            Sense::AtMost => Some(factor > 0.0),
            Sense::AtLeast => Some(factor < 0.0),
        };
        if at_most != Some(false) {
            data.upper = data.upper.min(value);
        }
        if at_most != Some(true) {
            data.lower = data.lower.max(value);
        }
        let slack = 1e-9 * (1.0 + value.abs());
        if data.lower > data.upper + slack {
            return Err(Contradiction);
        }
        data.upper = data.upper.max(data.lower);
        let fixed = (data.lower == data.upper).then_some(data.lower);
        self.drop_row(index);
        if let Some(value) = fixed {
            self.substitute(column, value, Vec::new());
        }
        Ok(())
    }

    /// The column that an equality is best used up for.
    fn pivot(&self, row: &WorkRow) -> Option<usize> {
        let largest = row
            .terms
            .values()
            .fold(0.0_f64, |so_far, factor| so_far.max(factor.abs()));
        row.terms
            .iter()
            .filter(|&(&column, factor)| {
                let data = &self.columns[column];
                !data.whole && !data.kept && factor.abs() >= 1e-3 * largest
            })
            .map(|(&column, _)| {
                let fill = (row.terms.len() - 1) * (self.uses[column].len() - 1);
                (fill, column)
            })
            .filter(|&(fill, _)| fill <= FILL)
            .min()
            .map(|(_, column)| column)
    }

    /// Bounds of a substituted column that the others do not already imply
    /// stay as rows.
    fn keep_bounds(&mut self, column: usize, constant: f64, terms: &[(usize, f64)]) {
        let mut least = constant;
        let mut most = constant;
        for &(other, factor) in terms {
            let data = &self.columns[other];
            if factor > 0.0 {
                least += factor * data.lower;
                most += factor * data.upper;
            } else {
                least += factor * data.upper;
                most += factor * data.lower;
            }
        }
        let data = self.columns[column];
        if data.lower.is_finite() && (least.is_nan() || least < data.lower) {
            self.add_row(terms, Sense::AtLeast, data.lower - constant);
        }
        if data.upper.is_finite() && (most.is_nan() || most > data.upper) {
            self.add_row(terms, Sense::AtMost, data.upper - constant);
        }
    }

    fn add_row(&mut self, terms: &[(usize, f64)], sense: Sense, right: f64) {
        let index = self.rows.len();
        for &(column, _) in terms {
            self.uses[column].insert(index);
        }
        self.rows.push(Some(WorkRow {
            terms: terms.iter().copied().collect(),
            sense,
            right,
        }));
    }

    fn drop_row(&mut self, index: usize) {
        if let Some(row) = self.rows[index].take() {
            for column in row.terms.keys() {
                self.uses[*column].remove(&index);
            }
        }
    }

    /// Replaces a column everywhere.
    fn substitute(&mut self, column: usize, constant: f64, terms: Vec<(usize, f64)>) {
        let cost = self.columns[column].cost;
        self.constant += cost * constant;
        for &(other, factor) in &terms {
            self.columns[other].cost += cost * factor;
        }
        for index in std::mem::take(&mut self.uses[column]) {
            let Some(row) = &mut self.rows[index] else {
                continue;
            };
            let Some(value) = row.terms.remove(&column) else {
                continue;
            };
            row.right -= value * constant;
            for &(other, factor) in &terms {
                let entry = row.terms.entry(other).or_insert(0.0);
                *entry += value * factor;
                if entry.abs() < NOISE {
                    row.terms.remove(&other);
                    self.uses[other].remove(&index);
                } else {
                    self.uses[other].insert(index);
                }
            }
        }
        self.gone[column] = true;
        self.substitutions.push(Substitution {
            column,
            constant,
            terms,
        });
    }

    fn finish(self) -> Reduced {
        let mut left = vec![None; self.columns.len()];
        let mut origin = Vec::new();
        let mut program = Mixed {
            constant: self.constant,
            ..Mixed::default()
        };
        for (column, data) in self.columns.iter().enumerate() {
            if !self.gone[column] {
                left[column] = Some(origin.len());
                origin.push(column);
                program.columns.push(*data);
            }
        }
        for row in self.rows.into_iter().flatten() {
            let terms: Vec<(usize, f64)> = row
                .terms
                .iter()
                .filter_map(|(&column, &factor)| Some((left[column]?, factor)))
                .collect();
            program.rows.push(Row {
                terms,
                sense: row.sense,
                right: row.right,
            });
        }
        Reduced {
            program,
            origin,
            left,
            substitutions: self.substitutions,
            columns: self.columns.len(),
        }
    }
}
