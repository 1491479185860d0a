//! The page of a sweep over one or two numbers.

use serde_json::{Value, json};

use super::super::findings::{Origin, minimised_by};
use super::super::number::{counted, fixed};
use super::super::page::{Block, Cell, Page, Table, Tone};
use super::super::plots::{Field, Map, Place};
use super::super::solved::CAUTION;
use super::{
    axis_data, cell_data, curves, letter, picture, portfolio_data, portfolio_table, reason, sign,
    signs, value_words,
};
use crate::network::Network;
use crate::study::axis::Axis;
use crate::study::cell::Cell as Planned;
use crate::study::sweep::Sweep;

/// The page of a sweep of a design.
pub fn sweep(network: &Network, found: &Sweep, origin: &Origin) -> Page {
    let (title, minimised) = (network.title.as_str(), minimised_by(network));
    let mut page = Page::new(title);
    let certain = found.cells.iter().all(Planned::is_certain);
    page.blocks.push(Block::Outcome {
        tone: if certain { Tone::Good } else { Tone::Doubtful },
        words: outcome(found),
    });
    page.blocks.push(Block::Title(title.to_owned()));
    page.paragraph(format!(
        "Every cell is the lightest {minimised} of the design with {}, solved by itself. Cells \
         with the same units are one portfolio, named by a letter.",
        moved(found)
    ));
    draw(&mut page, found, minimised);
    if !found.portfolios.is_empty() {
        page.heading("Portfolios");
        let cells = |index: usize| {
            let cells = 0..found.cells.len();
            cells
                .filter(|&cell| found.portfolio(cell) == Some(index))
                .count()
        };
        page.table(portfolio_table(&found.portfolios, cells));
    }
    let table = table(found, minimised);
    page.heading("Cells");
    page.table(table.without_blank_columns());
    page.records = Some(records(found));
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.data = data(title, minimised, found, origin);
    page
}

fn moved(found: &Sweep) -> String {
    let names = found.axes.iter().map(|axis| axis.address.as_str());
    names.collect::<Vec<_>>().join(" and ")
}

fn outcome(found: &Sweep) -> String {
    let planned = found
        .cells
        .iter()
        .filter(|cell| cell.planned().is_some())
        .count();
    let open = found.cells.iter().filter(|cell| !cell.is_certain()).count();
    let mut words = format!(
        "{} of {} planned, {}",
        fixed(planned as f64, 0),
        counted(found.cells.len(), "cell"),
        counted(found.portfolios.len(), "portfolio")
    );
    if open > 0 {
        words += &format!(
            "; partial: {} not proved, failed or not reached",
            counted(open, "cell")
        );
    }
    words + "."
}

fn draw(page: &mut Page, found: &Sweep, minimised: &str) {
    let cell_sign = |cell: usize| sign(&found.cells[cell], found.portfolio(cell));
    let across = &found.axes[0];
    let ends = [across.values.first(), across.values.last()];
    let [first, last] =
        ends.map(|value| value.map_or(String::new(), |&value| value_words(across, value)));
    let cells: Vec<&Planned> = found.cells.iter().collect();
    let portfolio = |cell: usize| found.portfolio(cell);
    let (terminal, drawing, caption, description) = match found.axes.get(1) {
        None if found.cells.len() > 2 => {
            let points: Vec<(Option<f64>, char)> = (0..found.cells.len())
                .map(|cell| {
                    (
                        found.cells[cell].planned().map(|(kg, _)| kg),
                        cell_sign(cell),
                    )
                })
                .collect();
            (
                picture::curve(&points, &first, &last),
                curves::of_cells(across, minimised, &cells, portfolio).draw(),
                format!("The lightest {minimised}; every dot is solved."),
                format!(
                    "A curve of {minimised} over {}, {}.",
                    across.address,
                    curves::in_words(across, &cells)
                ),
            )
        }
        None => return,
        Some(up) => {
            let rows: Vec<(String, Vec<char>)> = up
                .values
                .iter()
                .enumerate()
                .map(|(row, &value)| {
                    let cells =
                        (0..across.values.len()).map(|column| column * up.values.len() + row);
                    (value_words(up, value), cells.map(cell_sign).collect())
                })
                .collect();
            (
                picture::grid(&rows, &first, &last),
                map(found, up).draw(),
                "Which portfolio is lightest where: colour and letter for each.".to_owned(),
                format!(
                    "A map of {} over {} and {}; the table of cells below has the portfolio of each.",
                    counted(found.portfolios.len(), "portfolio"),
                    across.address,
                    up.address
                ),
            )
        }
    };
    page.heading(match found.axes.len() {
        1 => "Mass, kg, by value",
        _ => "Which portfolio is lightest where",
    });
    let terminal = terminal + &picture::left_out(across.values.len());
    page.plot(caption, description, drawing, Some(terminal));
    page.points(signs(found.cells.iter()));
}

/// A field for every cell.
fn map(found: &Sweep, up: &Axis) -> Map {
    let across = &found.axes[0];
    let field = |column: usize, row: usize| {
        let index = column * up.values.len() + row;
        let cell = &found.cells[index];
        let place = match (cell.planned(), found.portfolio(index)) {
            (Some(_), Some(portfolio)) if cell.is_certain() => {
                Place::Portfolio(portfolio, letter(portfolio))
            }
            _ => Place::None(sign(cell, None), reason(cell).unwrap_or_default()),
        };
        let what = match cell.planned() {
            Some((kg, portfolio)) => format!("{} kg: {}", fixed(kg, 2), portfolio.words()),
            None => cell.remark(),
        };
        Field {
            place,
            title: format!(
                "{}, {}: {what}",
                value_words(across, across.values[column]),
                value_words(up, up.values[row])
            ),
        }
    };
    let columns = 0..across.values.len();
    Map {
        across: across.address.clone(),
        up: up.address.clone(),
        columns: across
            .values
            .iter()
            .map(|&value| value_words(across, value))
            .collect(),
        rows: up
            .values
            .iter()
            .enumerate()
            .map(|(row, &value)| {
                let fields = columns.clone().map(|column| field(column, row));
                (value_words(up, value), fields.collect())
            })
            .collect(),
    }
}

fn table(found: &Sweep, minimised: &str) -> Table {
    let mut columns: Vec<(&str, &'static str)> = found
        .axes
        .iter()
        .map(|axis| (axis.address.as_str(), axis.dimension.unit()))
        .collect();
    columns.extend([(minimised, "kg"), ("portfolio", ""), ("remark", "")]);
    let mut table = Table::new(&columns);
    for (index, cell) in found.cells.iter().enumerate() {
        let mut row: Vec<Cell> = found.values(index).into_iter().map(Cell::Plain).collect();
        row.extend([
            cell.planned().map_or(Cell::Blank, |(kg, _)| Cell::kg(kg)),
            found
                .portfolio(index)
                .map_or(Cell::Blank, |one| Cell::text(letter(one))),
            remark(cell),
        ]);
        table.rows.push(row);
    }
    table
}

fn remark(cell: &Planned) -> Cell {
    let words = cell.remark();
    match words.is_empty() {
        true => Cell::Blank,
        false => Cell::text(words),
    }
}

fn records(found: &Sweep) -> Table {
    let mut table = Table::new(&[
        ("first", ""),
        ("second", ""),
        ("mass", "kg"),
        ("bound", "kg"),
        ("portfolio", ""),
        ("units", ""),
        ("remark", ""),
    ]);
    for (index, cell) in found.cells.iter().enumerate() {
        let values = found.values(index);
        let value = |axis: usize| {
            values
                .get(axis)
                .map_or(Cell::Blank, |&value| Cell::Plain(value))
        };
        let (kg, bound, units) = match cell {
            Planned::Planned {
                kg,
                bound_kg,
                portfolio,
                ..
            } => (
                Cell::Plain(*kg),
                Cell::Plain(*bound_kg),
                Cell::text(portfolio.words()),
            ),
            _ => (Cell::Blank, Cell::Blank, Cell::Blank),
        };
        table.rows.push(vec![
            value(0),
            value(1),
            kg,
            bound,
            found
                .portfolio(index)
                .map_or(Cell::Blank, |one| Cell::text(letter(one))),
            units,
            remark(cell),
        ]);
    }
    table
}

fn data(title: &str, minimised: &str, found: &Sweep, origin: &Origin) -> Value {
    let cells = found.cells.iter().enumerate().map(|(index, cell)| {
        let mut data = cell_data(cell, found.portfolio(index));
        data.insert("at".to_owned(), json!(found.values(index)));
        Value::Object(data)
    });
    let mut data = json!({
        "title": title,
        "minimised": minimised,
        "complete": found.cells.iter().all(Planned::is_certain),
        "numbers": found.axes.iter().map(axis_data).collect::<Vec<_>>(),
        "portfolios": portfolio_data(&found.portfolios),
        "cells": cells.collect::<Vec<_>>(),
    });
    origin.sign(&mut data);
    data
}
