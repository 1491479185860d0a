//! A row of the program with a plan's numbers put in.

use crate::diagnostic::Place;
use crate::program::{ColumnId, Family, Program, Sense};

/// A row of the program with both sides as a person writes them, every term with
/// a sign of plus, and the values of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Equation {
    /// What it speaks of: "capacity of drum still, operations".
    pub label: String,
    /// Its family.
    pub family: Family,
    /// Where in the design it comes from.
    pub place: Option<Place>,
    /// The left side.
    pub left: Side,
    /// How the sides compare.
    pub sense: Sense,
    /// The right side.
    pub right: Side,
}

/// One side of an equation.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Side {
    /// Factor × column.
    pub terms: Vec<Term>,
    /// A number given by the design.
    pub constant: f64,
}

/// A factor times something chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct Term {
    /// The factor, above zero.
    pub factor: f64,
    /// What is chosen, in words: "level of drum still: urine, operations".
    pub words: String,
    /// Its value in the plan.
    pub value: f64,
}

/// An inequality whose sides are this near, as a share of the larger, binds.
const BINDS: f64 = 1e-6;

impl Side {
    /// What the side comes to.
    pub fn value(&self) -> f64 {
        let terms = self.terms.iter().map(|term| term.factor * term.value);
        terms.sum::<f64>() + self.constant
    }
}

impl Equation {
    /// How far the sides are apart: what is left of an inequality, and rounding of
    /// an equality.
    pub fn slack(&self) -> f64 {
        match self.sense {
            Sense::AtMost => self.right.value() - self.left.value(),
            Sense::AtLeast => self.left.value() - self.right.value(),
            Sense::Equal => (self.left.value() - self.right.value()).abs(),
        }
    }

    /// Whether it is an inequality with nothing left.
    pub fn binds(&self) -> bool {
        let scale = self.left.value().abs().max(self.right.value().abs());
        self.sense != Sense::Equal && self.slack() <= BINDS * scale.max(BINDS)
    }

    /// Whether it holds anything back: a choice among nodes always binds, and
    /// nothing is no more than nothing.
    pub(super) fn says_something(&self) -> bool {
        let most = self.left.value().abs().max(self.right.value().abs());
        self.family != Family::Exclusives && most > 0.0
    }

    /// Every column with a positive factor on one side, the others on the other;
    /// several on a side that are not among `own` as one term, unless there are few.
    pub(super) fn of(
        program: &Program,
        values: &[f64],
        row: usize,
        own: impl Fn(ColumnId) -> bool,
    ) -> Self {
        let row = &program.rows[row];
        let many = row.terms.len() > MOST_TERMS;
        // A choice of spares is one of hundreds; what is not chosen says nothing.
        let said = |value: f64| value != 0.0 || !(many || row.family == Family::Spares);
        let foreign = |positive: bool| {
            let terms = row.terms.iter();
            terms
                .filter(|&&(column, factor)| (factor > 0.0) == positive && !own(column))
                .count()
        };
        let together = [foreign(false), foreign(true)].map(|columns| many && columns > 1);
        let (mut left, mut right) = (Side::default(), Side::default());
        let (mut others_left, mut others_right) = (0.0, 0.0);
        for &(column, factor) in &row.terms {
            let value = values[column.0];
            let (side, others) = match factor > 0.0 {
                true => (&mut left, &mut others_left),
                false => (&mut right, &mut others_right),
            };
            if together[usize::from(factor > 0.0)] && !own(column) {
                *others += factor.abs() * value;
            } else if said(value) {
                side.terms.push(Term {
                    factor: factor.abs(),
                    words: program.columns[column.0].label.clone(),
                    value,
                });
            }
        }
        for (side, others) in [(&mut left, others_left), (&mut right, others_right)] {
            if others != 0.0 {
                side.terms.push(Term {
                    factor: 1.0,
                    words: "everything else".to_owned(),
                    value: others,
                });
            }
        }
        match row.right >= 0.0 {
            true => right.constant = row.right,
            false => left.constant = -row.right,
        }
        Equation {
            label: row.label.clone(),
            family: row.family,
            place: row.place,
            left,
            sense: row.sense,
            right,
        }
    }
}

/// Rows with more terms than this name only those of the item.
const MOST_TERMS: usize = 8;
