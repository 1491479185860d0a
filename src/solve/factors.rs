//! The factors of a basis, `B = L U` with rows and columns in another order,
//! and one change of a column after the other.
//!
//! A *place* is a column of the basis, a *row* one of its rows. Columns and rows
//! with a single entry left are taken first and leave nothing behind; the rest is
//! eliminated column by column. A column that replaces another is kept as what
//! it is in the basis before it (the product form of the inverse; Dantzig and
//! Orchard-Hays, 1954; from memory).

mod order;

use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::rc::Rc;

use order::Order;

/// A column with no entry above this depends on the others.
const SINGULAR: f64 = 1e-7;
/// Stands for a sum that has become nothing, so that it is known to have been
/// something; its products are no subnormal numbers, which are slow.
pub(super) const NEXT_TO_NOTHING: f64 = 1e-200;
/// Entries below this are rounding.
const NOISE: f64 = 1e-14;
/// A pivot may be smaller than the largest entry by this factor if its row is
/// emptier.
const THRESHOLD: f64 = 0.1;

/// Lists of entries, one behind the other.
#[derive(Clone, Debug)]
struct Lists {
    starts: Vec<usize>,
    entries: Vec<(usize, f64)>,
}

impl Default for Lists {
    fn default() -> Self {
        Lists {
            starts: vec![0],
            entries: Vec::new(),
        }
    }
}

impl Lists {
    fn close(&mut self) {
        self.starts.push(self.entries.len());
    }

    fn list(&self, index: usize) -> &[(usize, f64)] {
        &self.entries[self.starts[index]..self.starts[index + 1]]
    }
}

/// One elimination.
#[derive(Clone, Copy, Debug)]
struct Step {
    row: usize,
    place: usize,
    pivot: f64,
}

/// What [`Factors::of`] found.
pub(super) struct Factored {
    /// The factors.
    pub factors: Factors,
    /// Places whose columns depend on others, and the rows whose unit columns
    /// stand there instead.
    pub replaced: Vec<(usize, usize)>,
}

/// The factors of a basis. To copy them is cheap.
#[derive(Clone, Debug, Default)]
pub(super) struct Factors {
    fixed: Rc<Fixed>,
    /// Places replaced since, with the pivot.
    changes: Vec<(usize, f64)>,
    /// The other entries of the columns that replaced them.
    changed: Lists,
}

/// The factors as they were made.
#[derive(Debug, Default)]
struct Fixed {
    steps: Vec<Step>,
    /// Steps with something below their pivot.
    below: Vec<usize>,
    /// That, row by row and divided by the pivot, for every one of `below`.
    lower: Lists,
    /// What stands over every step's pivot: row and entry.
    over: Lists,
    /// What stands beside every step's pivot: place and entry.
    beside: Lists,
}

impl Factors {
    /// Factors of the columns given, place by place.
    pub fn of(columns: &[&[(usize, f64)]]) -> Factored {
        let size = columns.len();
        let order = Order::of(columns);
        let mut work = Work {
            value: vec![0.0; size],
            touched: Vec::new(),
            reached: BinaryHeap::new(),
        };
        let mut factors = Fixed::default();
        factors.steps.reserve(size);
        factors.over.starts.reserve(size);
        factors
            .over
            .entries
            .reserve(columns.iter().map(|column| column.len()).sum());
        // The step that a row is the pivot of, and its place among `below`.
        let mut step_of_row = vec![usize::MAX; size];
        let mut below_of_row = vec![usize::MAX; size];
        let mut left_over = Vec::new();
        for &(place, wanted) in &order.steps {
            factors.eliminate(columns[place], &below_of_row, &mut work);
            let pivot = choose(&work, wanted, &step_of_row, &order.filled);
            let Some(row) = pivot else {
                work.clear();
                left_over.push(place);
                continue;
            };
            let step = factors.steps.len();
            let pivot = work.value[row];
            let start = factors.lower.entries.len();
            for &other in &work.touched {
                let value = work.value[other];
                if other == row || value.abs() < NOISE {
                    continue;
                }
                if step_of_row[other] == usize::MAX {
                    factors.lower.entries.push((other, value / pivot));
                } else {
                    factors.over.entries.push((other, value));
                }
            }
            factors.over.close();
            if factors.lower.entries.len() > start {
                factors.lower.close();
                below_of_row[row] = factors.below.len();
                factors.below.push(step);
            }
            step_of_row[row] = step;
            factors.steps.push(Step { row, place, pivot });
            work.clear();
        }
        let free = (0..size).filter(|&row| step_of_row[row] == usize::MAX);
        let replaced: Vec<(usize, usize)> = left_over.into_iter().zip(free).collect();
        for &(place, row) in &replaced {
            factors.over.close();
            step_of_row[row] = factors.steps.len();
            factors.steps.push(Step {
                row,
                place,
                pivot: 1.0,
            });
        }
        factors.turn(&step_of_row);
        let factors = Factors {
            fixed: Rc::new(factors),
            ..Factors::default()
        };
        Factored { factors, replaced }
    }

    /// Columns replaced since the factors were made.
    pub fn changes(&self) -> usize {
        self.changes.len()
    }

    /// Whether the changes have become so many entries that new factors pay.
    pub fn is_heavy(&self) -> bool {
        self.changed.entries.len() > self.fixed.over.entries.len() + self.fixed.steps.len()
    }

    /// Solves `B x = right`, right by row, x by place; what was in `right` is lost.
    pub fn solve(&self, right: &mut [f64], solved: &mut Vec<f64>) {
        let fixed = &*self.fixed;
        for (below, &step) in fixed.below.iter().enumerate() {
            let value = right[fixed.steps[step].row];
            if value != 0.0 {
                for &(row, entry) in fixed.lower.list(below) {
                    right[row] -= entry * value;
                }
            }
        }
        solved.clear();
        solved.resize(right.len(), 0.0);
        for (index, step) in fixed.steps.iter().enumerate().rev() {
            let value = right[step.row];
            if value != 0.0 {
                let value = value / step.pivot;
                solved[step.place] = value;
                for &(row, entry) in fixed.over.list(index) {
                    right[row] -= entry * value;
                }
            }
        }
        for (change, &(place, pivot)) in self.changes.iter().enumerate() {
            let value = solved[place];
            if value != 0.0 {
                let value = value / pivot;
                solved[place] = value;
                for &(other, entry) in self.changed.list(change) {
                    solved[other] -= entry * value;
                }
            }
        }
    }

    /// Solves `y B = left`, left by place, y by row; what was in `left` is lost.
    pub fn solve_left(&self, left: &mut [f64], solved: &mut Vec<f64>) {
        let fixed = &*self.fixed;
        for (change, &(place, pivot)) in self.changes.iter().enumerate().rev() {
            let others = self.changed.list(change).iter();
            let sum: f64 = others.map(|&(other, entry)| entry * left[other]).sum();
            left[place] = (left[place] - sum) / pivot;
        }
        solved.clear();
        solved.resize(left.len(), 0.0);
        for (index, step) in fixed.steps.iter().enumerate() {
            let value = left[step.place];
            if value != 0.0 {
                let value = value / step.pivot;
                solved[step.row] = value;
                for &(place, entry) in fixed.beside.list(index) {
                    left[place] -= entry * value;
                }
            }
        }
        for (below, &step) in fixed.below.iter().enumerate().rev() {
            let others = fixed.lower.list(below).iter();
            let sum: f64 = others.map(|&(row, entry)| entry * solved[row]).sum();
            solved[fixed.steps[step].row] -= sum;
        }
    }

    /// Replaces the column at a place by one that is `column` in the present
    /// basis.
    pub fn replace(&mut self, place: usize, column: &[f64]) {
        for (other, &entry) in column.iter().enumerate() {
            if other != place && entry.abs() > NOISE {
                self.changed.entries.push((other, entry));
            }
        }
        self.changed.close();
        self.changes.push((place, column[place]));
    }
}

impl Fixed {
    /// Brings a column to what is left of it after the steps so far.
    fn eliminate(&self, column: &[(usize, f64)], below_of_row: &[usize], work: &mut Work) {
        for &(row, entry) in column {
            work.add(row, entry, below_of_row[row]);
        }
        while let Some(Reverse(below)) = work.reached.pop() {
            let factor = work.value[self.steps[self.below[below]].row];
            for &(row, entry) in self.lower.list(below) {
                work.add(row, -factor * entry, below_of_row[row]);
            }
        }
    }

    /// Writes what stands over pivots once more as what stands beside them.
    fn turn(&mut self, step_of_row: &[usize]) {
        let size = self.steps.len();
        let mut starts = vec![0; size + 1];
        for &(row, _) in &self.over.entries {
            starts[step_of_row[row] + 1] += 1;
        }
        for step in 0..size {
            starts[step + 1] += starts[step];
        }
        let mut next = starts.clone();
        let mut entries = vec![(0, 0.0); self.over.entries.len()];
        for (step, at) in self.steps.iter().enumerate() {
            for &(row, entry) in self.over.list(step) {
                let slot = &mut next[step_of_row[row]];
                entries[*slot] = (at.place, entry);
                *slot += 1;
            }
        }
        self.beside = Lists { starts, entries };
    }
}

/// A column on its way through the steps.
struct Work {
    value: Vec<f64>,
    touched: Vec<usize>,
    /// Steps with something below that still have to be taken.
    reached: BinaryHeap<Reverse<usize>>,
}

impl Work {
    fn add(&mut self, row: usize, entry: f64, below: usize) {
        if self.value[row] == 0.0 {
            self.touched.push(row);
            if below != usize::MAX {
                self.reached.push(Reverse(below));
            }
        }
        self.value[row] += entry;
        if self.value[row] == 0.0 {
            // Nothing, but touched.
            self.value[row] = NEXT_TO_NOTHING;
        }
    }

    fn clear(&mut self) {
        for row in self.touched.drain(..) {
            self.value[row] = 0.0;
        }
    }
}

/// The row to eliminate a column with: the one wanted, or the emptiest among
/// those with a large entry.
fn choose(
    work: &Work,
    wanted: Option<usize>,
    step_of_row: &[usize],
    filled: &[usize],
) -> Option<usize> {
    if let Some(row) = wanted {
        return (work.value[row].abs() >= SINGULAR).then_some(row);
    }
    let free = || {
        let touched = work.touched.iter().copied();
        touched.filter(|&row| step_of_row[row] == usize::MAX)
    };
    let largest = free().fold(0.0_f64, |most, row| most.max(work.value[row].abs()));
    if largest < SINGULAR {
        return None;
    }
    free()
        .filter(|&row| work.value[row].abs() >= THRESHOLD * largest)
        .min_by_key(|&row| (filled[row], row))
}

#[cfg(test)]
mod tests;
