//! Pages of studies that move numbers: sweeps, maps, break-evens.

mod break_even;
mod cadence;
mod compare;
mod curves;
mod picture;
mod sensitivity;
mod sweep;
mod uncertainty;

pub use break_even::break_even;
pub use cadence::cadence;
pub use compare::compare;
pub use sensitivity::sensitivity;
pub use sweep::sweep;
pub use uncertainty::uncertainty;

use serde_json::{Map, Value, json};

use super::page::{Cell, Table};
use crate::quantity::shown;
use crate::study::axis::Axis;
use crate::study::cell::{Cell as Planned, Portfolio};

/// A name for a portfolio by its number: A to Z, a to z, then A2, B2 and so on.
fn letter(portfolio: usize) -> String {
    let within = (portfolio % 52) as u8;
    let letter = match within {
        0..26 => char::from(b'A' + within),
        _ => char::from(b'a' + within - 26),
    };
    match portfolio / 52 {
        0 => letter.to_string(),
        round => format!("{letter}{}", round + 1),
    }
}

/// Portfolios with how many cells have each; the first in full, the others by what
/// differs from it.
fn portfolio_table(portfolios: &[Portfolio], cells: impl Fn(usize) -> usize) -> Table {
    let mut table = Table::new(&[("portfolio", ""), ("values", ""), ("units", "")]);
    for (index, portfolio) in portfolios.iter().enumerate() {
        table.rows.push(vec![
            Cell::text(letter(index)),
            Cell::Whole(cells(index) as u64),
            Cell::text(portfolio.words()),
        ]);
    }
    table
}

/// A value of an axis with its unit.
fn value_words(axis: &Axis, value: f64) -> String {
    shown(value, axis.dimension)
}

fn axis_data(axis: &Axis) -> Value {
    json!({
        "address": axis.address,
        "unit": axis.dimension.unit(),
        "values": axis.values,
    })
}

fn portfolio_data(portfolios: &[Portfolio]) -> Value {
    let named = portfolios.iter().enumerate().map(|(index, portfolio)| {
        let units = portfolio
            .0
            .iter()
            .map(|(name, units)| (name.clone(), json!(units)));
        (letter(index), Value::Object(units.collect()))
    });
    Value::Object(named.collect::<Map<String, Value>>())
}

fn cell_data(cell: &Planned, portfolio: Option<usize>) -> Map<String, Value> {
    let mut data = Map::new();
    let status = match cell {
        Planned::Planned { proved: true, .. } => "optimal",
        Planned::Planned { .. } => "feasible",
        Planned::NoBalance => "no balance",
        Planned::NotAllowed(_) => "not allowed",
        Planned::Unknown { .. } => "unknown",
        Planned::Failed(_) => "failed",
        Planned::NotReached => "not reached",
    };
    data.insert("status".to_owned(), json!(status));
    if let Planned::Planned { kg, bound_kg, .. } = cell {
        data.insert("kg".to_owned(), json!(kg));
        data.insert("bound_kg".to_owned(), json!(bound_kg));
    }
    if let Some(portfolio) = portfolio {
        data.insert("portfolio".to_owned(), json!(letter(portfolio)));
    }
    let remark = cell.remark();
    if !remark.is_empty() {
        data.insert("remark".to_owned(), json!(remark));
    }
    data
}

/// One letter for a cell of a picture.
fn sign(cell: &Planned, portfolio: Option<usize>) -> char {
    match (cell, portfolio) {
        (Planned::Planned { proved: true, .. }, Some(index)) if index < 52 => {
            letter(index).chars().next().unwrap_or('#')
        }
        (Planned::Planned { proved: true, .. }, _) => '#',
        (Planned::Planned { .. } | Planned::Unknown { .. }, _) => '?',
        (Planned::NoBalance, _) => '-',
        (Planned::NotAllowed(_), _) => 'x',
        (Planned::Failed(_), _) => '!',
        (Planned::NotReached, _) => '.',
    }
}

/// Why a cell has no letter of a portfolio; none where it may have one.
fn reason(cell: &Planned) -> Option<&'static str> {
    match cell {
        Planned::Planned { proved: true, .. } => None,
        Planned::Planned { .. } | Planned::Unknown { .. } => Some("not proved"),
        Planned::NoBalance => Some("no balance"),
        Planned::NotAllowed(_) => Some("not allowed by the design"),
        Planned::Failed(_) => Some("failed"),
        Planned::NotReached => Some("not reached before the study was stopped"),
    }
}

/// What the signs of a picture mean beside the letters of portfolios.
fn signs<'a>(cells: impl Iterator<Item = &'a Planned>) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for cell in cells {
        if let Some(reason) = reason(cell) {
            let words = format!("{} {reason}", sign(cell, None));
            if !found.contains(&words) {
                found.push(words);
            }
        }
    }
    found
}
