//! Bounds that the rows imply: each row bounds each of its columns by the
//! least and largest the others can make.

use crate::program::{Program, Sense};

/// Passes over all rows; loops tighten geometrically, so a few are enough.
const PASSES: usize = 12;
/// Implied bounds are loosened by this share, so that rounding cannot cut.
const LOOSEN: f64 = 1e-9;

/// Lower and upper bounds of every column that follow from the rows.
pub(super) fn implied(program: &Program) -> (Vec<f64>, Vec<f64>) {
    let mut lower: Vec<f64> = program.columns.iter().map(|column| column.lower).collect();
    let mut upper: Vec<f64> = program.columns.iter().map(|column| column.upper).collect();
    for _ in 0..PASSES {
        let mut moved = false;
        for row in &program.rows {
            if row.sense != Sense::AtLeast {
                moved |= tighten(&row.terms, row.right, 1.0, &mut lower, &mut upper);
            }
            if row.sense != Sense::AtMost {
                moved |= tighten(&row.terms, row.right, -1.0, &mut lower, &mut upper);
            }
        }
        if !moved {
            break;
        }
    }
    (lower, upper)
}

/// Reads `sign · Σ a x ≤ sign · right` and tightens the bounds of its columns.
fn tighten(
    terms: &[(crate::program::ColumnId, f64)],
    right: f64,
    sign: f64,
    lower: &mut [f64],
    upper: &mut [f64],
) -> bool {
    let mut least = 0.0;
    let mut unbounded = 0_usize;
    let mut unbounded_at = usize::MAX;
    for &(column, factor) in terms {
        let factor = sign * factor;
        let bound = if factor > 0.0 {
            factor * lower[column.0]
        } else {
            factor * upper[column.0]
        };
        if bound.is_finite() {
            least += bound;
        } else {
            unbounded += 1;
            unbounded_at = column.0;
        }
    }
    if unbounded > 1 {
        return false;
    }
    let mut moved = false;
    for &(column, factor) in terms {
        let factor = sign * factor;
        let column = column.0;
        if unbounded == 1 && unbounded_at != column {
            continue;
        }
        let own = if factor > 0.0 {
            factor * lower[column]
        } else {
            factor * upper[column]
        };
        let others = if unbounded == 1 { least } else { least - own };
        let room = sign * right - others;
        let bound = room / factor;
        let slack = LOOSEN * (1.0 + bound.abs());
        if factor > 0.0 {
            let bound = (bound + slack).max(lower[column]);
            if bound < upper[column] - 1e-6 * (1.0 + bound.abs()) {
                upper[column] = bound;
                moved = true;
            }
        } else {
            let bound = (bound - slack).min(upper[column]);
            if bound > lower[column] + 1e-6 * (1.0 + bound.abs()) {
                lower[column] = bound;
                moved = true;
            }
        }
    }
    moved
}
