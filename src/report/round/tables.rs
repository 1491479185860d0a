//! The tables of a water round.

use super::{heading, verdict};
use crate::report::number::fixed;
use crate::report::page::{Cell, Column, Table};
use crate::study::water_round::{Budget, Round, Sheet, Value};

/// More cases than this go down the page, not across it.
const ACROSS: usize = 5;

/// Whether all its figures hold throughout.
pub(super) fn is_one_case(sheet: &Sheet) -> bool {
    matches!(sheet.cases.as_slice(), [only] if only.is_empty())
}

/// Values and equations side by side.
pub(super) fn one_case(sheet: &Sheet) -> Table {
    let mut table = Table::new(&[
        ("figure", ""),
        ("unit", ""),
        ("value", ""),
        ("equation", ""),
        ("mass budget", ""),
    ]);
    for figure in &sheet.figures {
        table.rows.push(vec![
            Cell::text(figure.name),
            unit(figure.unit),
            figure.values.first().map_or(Cell::Blank, cell),
            Cell::text(figure.equation),
            Cell::text(verdict(&figure.budget)),
        ]);
    }
    table
}

/// The values of a sheet.
pub(super) fn values(sheet: &Sheet) -> Table {
    match sheet.cases.len() <= ACROSS {
        true => across(sheet),
        false => down(sheet),
    }
}

fn across(sheet: &Sheet) -> Table {
    let mut table = Table::new(&[("figure", ""), ("unit", "")]);
    for case in &sheet.cases {
        table.columns.push(column(case, ""));
    }
    for figure in &sheet.figures {
        let mut row = vec![Cell::text(figure.name), unit(figure.unit)];
        row.extend(figure.values.iter().map(cell));
        table.rows.push(row);
    }
    table
}

fn down(sheet: &Sheet) -> Table {
    let mut table = Table::new(&[("", "")]);
    for figure in &sheet.figures {
        table.columns.push(column(figure.name, figure.unit));
    }
    for (index, case) in sheet.cases.iter().enumerate() {
        let mut row = vec![Cell::text(case)];
        let figures = sheet.figures.iter();
        row.extend(figures.map(|figure| figure.values.get(index).map_or(Cell::Blank, cell)));
        table.rows.push(row);
    }
    table
}

fn column(heading: &str, unit: &'static str) -> Column {
    Column {
        heading: heading.to_owned(),
        unit,
    }
}

fn unit(unit: &'static str) -> Cell {
    match unit {
        "" => Cell::Blank,
        unit => Cell::text(unit),
    }
}

fn cell(value: &Value) -> Cell {
    match value {
        Value::Number(value) => Cell::Number {
            value: *value,
            decimals: decimals(*value),
        },
        Value::No(why) => Cell::text(why),
    }
}

/// Decimals for five significant digits; a whole number has none.
fn decimals(value: f64) -> usize {
    let magnitude = value.abs();
    if magnitude < 1e-12 || !magnitude.is_finite() || value.fract() == 0.0 {
        return 0;
    }
    (4 - magnitude.log10().floor() as i32).clamp(0, 12) as usize
}

/// A number with up to five significant digits.
pub(super) fn significant(value: f64) -> String {
    let text = fixed(value, decimals(value));
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

/// Every figure with its equation and what the mass budget makes of it.
pub(super) fn equations(sheet: &Sheet) -> Table {
    let mut table = Table::new(&[("figure", ""), ("equation", ""), ("mass budget", "")]);
    for figure in &sheet.figures {
        table.rows.push(vec![
            Cell::text(figure.name),
            Cell::text(figure.equation),
            Cell::text(verdict(&figure.budget)),
        ]);
    }
    table
}

/// Everything in one table, a row for every value.
pub(super) fn records(round: &Round) -> Table {
    let mut table = Table::new(&[
        ("station", ""),
        ("figure", ""),
        ("unit", ""),
        ("case", ""),
        ("value", ""),
        ("equation", ""),
        ("mass budget", ""),
        ("how", ""),
    ]);
    for station in &round.stations {
        for sheet in &station.sheets {
            for figure in &sheet.figures {
                for (case, value) in sheet.cases.iter().zip(&figure.values) {
                    let how = match &figure.budget {
                        Budget::Counted(how) | Budget::NotCounted(how) => Cell::text(how),
                        Budget::Information => Cell::Blank,
                    };
                    table.rows.push(vec![
                        Cell::text(heading(station)),
                        Cell::text(figure.name),
                        unit(figure.unit),
                        Cell::text(case),
                        cell(value),
                        Cell::text(figure.equation),
                        Cell::text(verdict(&figure.budget)),
                        how,
                    ]);
                }
            }
        }
    }
    table
}

#[cfg(test)]
mod tests {
    use super::significant;

    #[test]
    fn five_digits_say_enough() {
        for (value, words) in [
            (101_325.0, "101,325"),
            (0.0015, "0.0015"),
            (3.429_51, "3.4295"),
            (998.207_15, "998.21"),
            (0.0, "0"),
            (-2.5, "-2.5"),
        ] {
            assert_eq!(significant(value), words);
        }
    }
}
