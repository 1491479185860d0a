//! What the rows imply before anything is solved: bounds of their columns, and
//! factors of whole columns that can be smaller without changing any answer.

use super::mixed::{Mixed, Row};
use super::reduce::{Contradiction, Reduced, reduce};
use crate::program::Sense;

/// Passes over all rows; loops tighten geometrically, so a few are enough.
const PASSES: usize = 12;
/// Implied bounds are loosened by this share, so that rounding cannot cut.
const LOOSEN: f64 = 1e-9;
/// A bound on a whole number this close to the next one is that one.
const NEARLY: f64 = 1e-6;
/// What differences of numbers may be off by, as a share of them.
const ROUNDING: f64 = 1e-12;
/// Least share of a factor that may be left of it, unless nothing is.
const SAFE: f64 = 1e-6;
/// Least factor beside numbers of its row, unless it is nothing.
const NOISE: f64 = 1e-9;

/// Bounds of every column.
#[derive(Clone, Debug, Default)]
pub(super) struct Bounds {
    /// Least values.
    pub lower: Vec<f64>,
    /// Largest values.
    pub upper: Vec<f64>,
}

impl Bounds {
    /// The bounds of a program's columns as given.
    pub fn of(mixed: &Mixed) -> Self {
        Bounds {
            lower: mixed.columns.iter().map(|column| column.lower).collect(),
            upper: mixed.columns.iter().map(|column| column.upper).collect(),
        }
    }

    /// The same for some of the columns, numbered anew, no wider than the others.
    pub fn within(&self, origin: &[usize], own: Bounds) -> Bounds {
        let pairs = |known: &[f64], own: Vec<f64>, narrower: fn(f64, f64) -> f64| {
            let known = origin.iter().map(|&column| known[column]);
            known
                .zip(own)
                .map(|(known, own)| narrower(known, own))
                .collect()
        };
        Bounds {
            lower: pairs(&self.lower, own.lower, f64::max),
            upper: pairs(&self.upper, own.upper, f64::min),
        }
    }

    /// Each row bounds each of its columns by the least and largest the others
    /// can make; whole numbers are rounded.
    pub fn imply(&mut self, mixed: &Mixed) -> Result<(), Contradiction> {
        let mut readings = Readings::of(mixed);
        for _ in 0..PASSES {
            let before = readings.number;
            for (index, row) in mixed.rows.iter().enumerate() {
                if !readings.has_news(index, row) {
                    continue;
                }
                readings.begin(index);
                if row.sense != Sense::AtLeast {
                    self.read(mixed, row, 1.0, &mut readings)?;
                }
                if row.sense != Sense::AtMost {
                    self.read(mixed, row, -1.0, &mut readings)?;
                }
            }
            if readings.number == before {
                break;
            }
        }
        Ok(())
    }

    /// Reads `sign · Σ a x ≤ sign · right` and tightens the bounds of its columns.
    fn read(
        &mut self,
        mixed: &Mixed,
        row: &Row,
        sign: f64,
        readings: &mut Readings,
    ) -> Result<(), Contradiction> {
        let mut least = 0.0;
        let mut unbounded = 0_usize;
        let mut unbounded_at = usize::MAX;
        for &(column, factor) in &row.terms {
            let bound = self.least_of(column, sign * factor);
            if bound.is_finite() {
                least += bound;
            } else {
                unbounded += 1;
                unbounded_at = column;
            }
        }
        if unbounded > 1 {
            return Ok(());
        }
        for &(column, factor) in &row.terms {
            let factor = sign * factor;
            if unbounded == 1 && unbounded_at != column {
                continue;
            }
            let others = if unbounded == 1 {
                least
            } else {
                least - self.least_of(column, factor)
            };
            let bound = (sign * row.right - others) / factor;
            if !bound.is_finite() {
                continue;
            }
            let slack = LOOSEN * (1.0 + bound.abs());
            let moves = if factor > 0.0 {
                self.at_most(mixed, column, bound + slack)?
            } else {
                self.at_least(mixed, column, bound - slack)?
            };
            if moves {
                readings.moved[column] = readings.number;
            }
        }
        Ok(())
    }

    fn least_of(&self, column: usize, factor: f64) -> f64 {
        if factor > 0.0 {
            factor * self.lower[column]
        } else {
            factor * self.upper[column]
        }
    }

    fn most_of(&self, column: usize, factor: f64) -> f64 {
        -self.least_of(column, -factor)
    }

    fn at_most(&mut self, mixed: &Mixed, column: usize, bound: f64) -> Result<bool, Contradiction> {
        let (bound, margin) = if mixed.columns[column].integral {
            let bound = (bound + NEARLY).floor();
            if bound < self.lower[column] {
                return Err(Contradiction);
            }
            (bound, 0.5)
        } else {
            (bound.max(self.lower[column]), 1e-6 * (1.0 + bound.abs()))
        };
        let moves = bound < self.upper[column] - margin;
        if moves {
            self.upper[column] = bound;
        }
        Ok(moves)
    }

    fn at_least(
        &mut self,
        mixed: &Mixed,
        column: usize,
        bound: f64,
    ) -> Result<bool, Contradiction> {
        let (bound, margin) = if mixed.columns[column].integral {
            let bound = (bound - NEARLY).ceil();
            if bound > self.upper[column] {
                return Err(Contradiction);
            }
            (bound, 0.5)
        } else {
            (bound.min(self.upper[column]), 1e-6 * (1.0 + bound.abs()))
        };
        let moves = bound > self.lower[column] + margin;
        if moves {
            self.lower[column] = bound;
        }
        Ok(moves)
    }
}

/// Which rows have been read since the bounds of their columns moved.
struct Readings {
    /// Of all rows together.
    number: usize,
    /// By row, the number of its last reading.
    of_row: Vec<usize>,
    /// By column, the reading that has moved its bounds last.
    moved: Vec<usize>,
}

impl Readings {
    /// No row has been read.
    fn of(mixed: &Mixed) -> Self {
        Readings {
            number: 0,
            of_row: vec![0; mixed.rows.len()],
            moved: vec![0; mixed.columns.len()],
        }
    }

    /// Whether a bound that a row reads has moved since, if only by the row itself.
    fn has_news(&self, index: usize, row: &Row) -> bool {
        let last = self.of_row[index];
        let mut terms = row.terms.iter();
        terms.any(|&(column, _)| self.moved[column] >= last)
    }

    fn begin(&mut self, index: usize) {
        self.number += 1;
        self.of_row[index] = self.number;
    }
}

/// Reduces a program, with the bounds that the rows imply: those of the program as
/// given too, because a substitution hides what its row has told of a column.
///
/// # Errors
///
/// A [`Contradiction`] where no value is left for a column.
pub(super) fn reduce_with_bounds(mixed: &Mixed) -> Result<(Reduced, Bounds), Contradiction> {
    let mut whole = Bounds::of(mixed);
    whole.imply(mixed)?;
    let reduced = reduce(mixed)?;
    let mut bounds = whole.within(&reduced.origin, Bounds::of(&reduced.program));
    bounds.imply(&reduced.program)?;
    Ok((reduced, bounds))
}

/// Tightens a program: whole columns get the bounds that the rows imply, and
/// factors of whole columns in inequalities become the smallest that still say
/// the same. Goes on from bounds that are known and gives the implied bounds of all
/// columns.
///
/// With `a x + (the rest) ≤ b`, `x` whole between `l` and `u`, and `M` the
/// largest the rest can be: for `a > 0` and `d = b − M − a (u − 1) > 0`,
/// `(a − d) x + (the rest) ≤ b − d u` holds for the same whole `x`; likewise for
/// `a < 0` at `l`.
///
/// # Errors
///
/// A [`Contradiction`] where no whole number is left for a column.
pub(super) fn tighten(mixed: &mut Mixed, known: Bounds) -> Result<Bounds, Contradiction> {
    let mut bounds = known;
    bounds.imply(mixed)?;
    for (index, column) in mixed.columns.iter_mut().enumerate() {
        if column.integral {
            column.lower = bounds.lower[index];
            column.upper = bounds.upper[index];
        }
    }
    let integral: Vec<bool> = mixed.columns.iter().map(|column| column.integral).collect();
    for row in &mut mixed.rows {
        lower_factors(row, &integral, &bounds);
    }
    Ok(bounds)
}

fn lower_factors(row: &mut Row, integral: &[bool], bounds: &Bounds) {
    let sign = match row.sense {
        Sense::Equal => return,
        Sense::AtMost => 1.0,
        Sense::AtLeast => -1.0,
    };
    let mut most: f64 = row
        .terms
        .iter()
        .map(|&(column, factor)| bounds.most_of(column, sign * factor))
        .sum();
    if !most.is_finite() {
        return;
    }
    for (column, factor) in &mut row.terms {
        let (least, largest) = (bounds.lower[*column], bounds.upper[*column]);
        if !integral[*column] || least == largest {
            continue;
        }
        let signed = sign * *factor;
        let own = bounds.most_of(*column, signed);
        let rest = most - own;
        let right = sign * row.right;
        // Where the row says nothing in any case, it is left to the reduction.
        let (change, at) = if signed > 0.0 {
            (right - rest - signed * (largest - 1.0), largest)
        } else {
            (right - rest - signed * (least + 1.0), least)
        };
        let change = change.min(signed.abs());
        if change <= 1e-7 * (1.0 + signed.abs()) {
            continue;
        }
        let left = signed.abs() - change;
        let moved = -signed.signum() * change;
        let scale = right.abs() + (signed * at).abs();
        if left > ROUNDING * signed.abs() && left < (SAFE * signed.abs()).max(NOISE * scale) {
            // So small a factor would let rounding decide about a whole number.
            continue;
        }
        let (lowered, moved) = if left <= ROUNDING * signed.abs() {
            (0.0, -signed)
        } else {
            (signed + moved, moved)
        };
        row.right = sign * (right + moved * at + ROUNDING * scale);
        *factor = sign * lowered;
        most = rest + bounds.most_of(*column, lowered);
    }
    row.terms.retain(|&(_, factor)| factor != 0.0);
}
