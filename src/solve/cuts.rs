//! Cuts: rows that every whole answer satisfies and a fractional one does not,
//! by mixed-integer rounding.
//!
//! From any combination `Σ a x ≤ b` of the rows as given, with every column
//! measured from one of its bounds so that `x ≥ 0`, whole `x` in `I`, others in
//! `C`, a divisor `δ > 0`, `β = b/δ` and `f = β − ⌊β⌋`, every answer satisfies
//!
//! ```text
//! Σ_I (⌊a/δ⌋ + max(0, frac(a/δ) − f)/(1 − f)) x + Σ_C min(0, a/δ)/(1 − f) x ≤ ⌊β⌋
//! ```
//!
//! (mixed-integer rounding; Nemhauser and Wolsey, "A recursive procedure to
//! generate all cuts for 0–1 mixed integer programs", Mathematical Programming
//! 46, 1990; from memory). It holds for any multipliers, so those that rounding
//! has blurred give a weaker cut, never a wrong one.

use super::mixed::{Column, Mixed, Row};
use super::tighten::Bounds;
use crate::program::Sense;

/// A fraction nearer than this to a whole number is not cut at.
const FRACTION: f64 = 5e-3;
/// Largest ratio of factors within a cut.
const RANGE: f64 = 1e4;
/// Factors of a combination below this share of the largest are rounding.
const NOISE: f64 = 1e-11;
/// Cuts are loosened by this share, so that rounding cannot cut an answer off.
const LOOSEN: f64 = 1e-9;
/// Divisors tried for one combination.
const DIVISORS: usize = 8;

/// A cut and how far the fractional answer is beyond it.
#[derive(Clone, Debug)]
pub(super) struct Cut {
    /// `Σ a x ≤ right`.
    pub row: Row,
    /// Distance of the fractional answer beyond the cut.
    pub depth: f64,
}

/// A combination of rows: multiplier by row.
pub(super) type Combination = Vec<(usize, f64)>;

/// Makes cuts for one fractional answer.
pub(super) struct Cutter<'a> {
    mixed: &'a Mixed,
    bounds: &'a Bounds,
    values: &'a [f64],
    /// Working room: factor by column, nothing between two sums.
    sum: Vec<f64>,
    /// Columns of the present sum, some of them twice.
    touched: Vec<usize>,
}

/// A column of a combination, measured from one of its bounds.
struct Part {
    what: What,
    factor: f64,
    value: f64,
}

enum What {
    /// A column from its lower or (true) upper bound.
    Column { column: usize, from_upper: bool },
    /// What a row leaves, which is not negative.
    Slack { row: usize },
}

impl<'a> Cutter<'a> {
    /// For the fractional answer `values`, within `bounds` that every answer obeys.
    pub fn new(mixed: &'a Mixed, bounds: &'a Bounds, values: &'a [f64]) -> Self {
        Cutter {
            mixed,
            bounds,
            values,
            sum: vec![0.0; mixed.columns.len()],
            touched: Vec::new(),
        }
    }

    fn add(&mut self, column: usize, more: f64) {
        let sum = &mut self.sum[column];
        if *sum == 0.0 {
            self.touched.push(column);
        }
        *sum += more;
    }

    /// The sum by column, in order of columns; the next one begins from nothing.
    fn take_sum(&mut self) -> Vec<(usize, f64)> {
        self.touched.sort_unstable();
        self.touched.dedup();
        let touched = self.touched.drain(..);
        touched
            .map(|column| (column, std::mem::take(&mut self.sum[column])))
            .collect()
    }

    /// The deepest cut from a combination of rows, read both ways.
    pub fn cut(&mut self, combination: &Combination) -> Option<Cut> {
        let mut best: Option<Cut> = None;
        for sign in [1.0, -1.0] {
            let Some((parts, right)) = self.measure(combination, sign) else {
                continue;
            };
            for divisor in divisors(&parts, &self.mixed.columns) {
                if let Some(cut) = self.round(&parts, right, divisor)
                    && best.as_ref().is_none_or(|best| cut.depth > best.depth)
                {
                    best = Some(cut);
                }
            }
        }
        best
    }

    /// Adds the rows up and measures every column from the bound that is nearer.
    fn measure(&mut self, combination: &Combination, sign: f64) -> Option<(Vec<Part>, f64)> {
        let mixed = self.mixed;
        let mut right = 0.0;
        let mut parts = Vec::new();
        for &(index, multiplier) in combination {
            let row = &mixed.rows[index];
            let multiplier = sign * multiplier;
            right += multiplier * row.right;
            for &(column, factor) in &row.terms {
                self.add(column, multiplier * factor);
            }
            let factor = match row.sense {
                Sense::Equal => continue,
                Sense::AtMost => multiplier,
                Sense::AtLeast => -multiplier,
            };
            let used: f64 = row
                .terms
                .iter()
                .map(|&(column, factor)| factor * self.values[column])
                .sum();
            parts.push(Part {
                what: What::Slack { row: index },
                factor,
                value: (row.right - used).abs(),
            });
        }
        let sum = self.take_sum();
        let largest = largest(&sum);
        let mut sound = largest > 0.0;
        for (column, factor) in sum {
            let (lower, upper) = (self.bounds.lower[column], self.bounds.upper[column]);
            let value = self.values[column];
            if factor.abs() <= NOISE * largest {
                // Left out at the bound that makes the row weakest.
                let at = if factor > 0.0 { lower } else { upper };
                if factor != 0.0 {
                    right -= factor * at;
                }
                continue;
            }
            let from_upper = upper - value < value - lower;
            let bound = if from_upper { upper } else { lower };
            if !bound.is_finite() {
                sound = false;
                continue;
            }
            right -= factor * bound;
            parts.push(Part {
                what: What::Column { column, from_upper },
                factor: if from_upper { -factor } else { factor },
                value: (value - bound).abs(),
            });
        }
        (sound && right.is_finite()).then_some((parts, right))
    }

    /// Rounds a measured row for one divisor.
    fn round(&mut self, parts: &[Part], right: f64, divisor: f64) -> Option<Cut> {
        let beta = right / divisor;
        let whole = beta.floor();
        let fraction = beta - whole;
        if !(FRACTION..=1.0 - FRACTION).contains(&fraction) {
            return None;
        }
        // First how deep it would be, then the row itself.
        let mut beyond = -whole;
        let mixed = self.mixed;
        let rounded = |part: &Part| -> f64 {
            let factor = part.factor / divisor;
            match part.what {
                What::Column { column, .. } if mixed.columns[column].integral => {
                    let below = factor.floor();
                    below + (factor - below - fraction).max(0.0) / (1.0 - fraction)
                }
                _ => factor.min(0.0) / (1.0 - fraction),
            }
        };
        for part in parts {
            beyond += rounded(part) * part.value;
        }
        if beyond < 1e-6 {
            return None;
        }
        let mut right = whole;
        for part in parts {
            let factor = rounded(part);
            if factor == 0.0 {
                continue;
            }
            match part.what {
                What::Column { column, from_upper } => {
                    let (bound, factor) = if from_upper {
                        (self.bounds.upper[column], -factor)
                    } else {
                        (self.bounds.lower[column], factor)
                    };
                    right += factor * bound;
                    self.add(column, factor);
                }
                What::Slack { row } => {
                    let row = &mixed.rows[row];
                    // AtMost leaves right − Σ, AtLeast leaves Σ − right.
                    let factor = if row.sense == Sense::AtMost {
                        factor
                    } else {
                        -factor
                    };
                    right -= factor * row.right;
                    for &(column, entry) in &row.terms {
                        self.add(column, -factor * entry);
                    }
                }
            }
        }
        let terms = self.take_sum();
        self.finish(terms, right)
    }

    /// Drops factors that are rounding, loosens, and refuses what is not safe.
    fn finish(&self, terms: Vec<(usize, f64)>, right: f64) -> Option<Cut> {
        let largest = largest(&terms);
        let mut right = right;
        let mut kept = Vec::with_capacity(terms.len());
        let mut scale = right.abs();
        for (column, factor) in terms {
            if factor.abs() < largest / RANGE {
                let at = if factor > 0.0 {
                    self.bounds.lower[column]
                } else {
                    self.bounds.upper[column]
                };
                if factor != 0.0 {
                    right -= factor * at;
                }
            } else {
                scale = scale.max((factor * self.values[column]).abs());
                kept.push((column, factor));
            }
        }
        if kept.is_empty() || !right.is_finite() {
            return None;
        }
        right += LOOSEN * (1.0 + scale);
        let used: f64 = kept
            .iter()
            .map(|&(column, factor)| factor * self.values[column])
            .sum();
        let length = kept
            .iter()
            .map(|&(_, factor)| factor * factor)
            .sum::<f64>()
            .sqrt();
        let depth = (used - right) / length;
        (depth > 1e-5).then_some(Cut {
            row: Row {
                terms: kept,
                sense: Sense::AtMost,
                right,
            },
            depth,
        })
    }
}

/// Size of the largest factor.
fn largest(terms: &[(usize, f64)]) -> f64 {
    let factors = terms.iter().map(|&(_, factor)| factor.abs());
    factors.fold(0.0, f64::max)
}

/// Divisors worth trying: one, and the factors of whole columns strictly between
/// their bounds, the largest first, with halves, quarters and eighths of each.
fn divisors(parts: &[Part], columns: &[Column]) -> Vec<f64> {
    let mut found: Vec<f64> = parts
        .iter()
        .filter(|part| match part.what {
            What::Column { column, .. } => columns[column].integral && part.value > 1e-6,
            What::Slack { .. } => false,
        })
        .map(|part| part.factor.abs())
        .collect();
    found.sort_by(|a, b| b.total_cmp(a));
    found.dedup_by(|a, b| (*a - *b).abs() <= 1e-9 * b.abs());
    found.truncate(DIVISORS);
    let halves: Vec<f64> = found
        .iter()
        .take(2)
        .flat_map(|&factor| [factor / 2.0, factor / 4.0])
        .collect();
    found.extend(halves);
    found.push(1.0);
    found
}
