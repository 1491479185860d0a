//! The least value of one column of a program.

use super::mixed::{Mixed, Row};
use super::portfolio::{Portfolio, rewrite};
use super::{Clock, Fault, Options, Outcome, search};
use crate::program::{ColumnId, Program, Sense};

/// The least value that a column of a program can have in any answer. The
/// objective of the outcome is that value, in the column's own unit; ties are not
/// decided.
///
/// # Errors
///
/// A [`Fault`] of the back-end.
pub fn least(program: &Program, column: ColumnId, options: &Options) -> Result<Outcome, Fault> {
    let mut program = program.clone();
    program.constant_kg = 0.0;
    for (index, other) in program.columns.iter_mut().enumerate() {
        other.cost = f64::from(u8::from(index == column.0));
    }
    // The lightest spares for some units need not be the best for the column: each
    // number of spares is a column like any other.
    let mut portfolio = rewrite(&program, None);
    portfolio.weighed.clear();
    search::run(portfolio, options, &Clock::start(options))
}

/// The least value that a column of a program can have with some columns held at
/// values and, if `at_most_kg` is given, a mass of no more than that. The
/// objective of the outcome is that value, in the column's own unit.
///
/// # Errors
///
/// A [`Fault`] of the back-end.
pub fn least_holding(
    program: &Program,
    column: ColumnId,
    held: &[(ColumnId, f64)],
    at_most_kg: Option<f64>,
    options: &Options,
) -> Result<Outcome, Fault> {
    let mut mixed = Mixed::of(program, |other| f64::from(u8::from(other == column.0)));
    for &(held, value) in held {
        let held = &mut mixed.columns[held.0];
        held.lower = value;
        held.upper = value;
    }
    if let Some(most) = at_most_kg {
        let costs = program.columns.iter().enumerate();
        mixed.rows.push(Row {
            terms: costs
                .filter(|(_, column)| column.cost != 0.0)
                .map(|(index, column)| (index, column.cost))
                .collect(),
            sense: Sense::AtMost,
            right: most - program.constant_kg,
        });
    }
    let clock = Clock::start(options);
    search::run(Portfolio::plain(program, mixed), options, &clock)
}
