//! The page of a break-even: every switch of a range.

use serde_json::{Value, json};

use super::super::findings::{Origin, minimised_by};
use super::super::number::{counted, fixed};
use super::super::page::{Block, Cell, Page, Table, Tone};
use super::super::solved::CAUTION;
use super::{
    axis_data, cell_data, curves, letter, picture, portfolio_data, portfolio_table, sign, signs,
    value_words,
};
use crate::network::Network;
use crate::quantity::Dimension;
use crate::study::axis::Axis;
use crate::study::break_even::{BreakEven, Switch};
use crate::study::cell::Cell as Planned;

/// The page of a break-even of a design.
pub fn break_even(network: &Network, found: &BreakEven, origin: &Origin) -> Page {
    let (title, minimised) = (network.title.as_str(), minimised_by(network));
    let mut page = Page::new(title);
    let complete = found.is_complete();
    page.blocks.push(Block::Outcome {
        tone: if complete { Tone::Good } else { Tone::Doubtful },
        words: outcome(found),
    });
    page.blocks.push(Block::Title(title.to_owned()));
    page.paragraph(format!(
        "The lightest {minimised} at every one of {} of {}, each solved to proof by itself: {}.",
        counted(found.cells.len(), "value"),
        found.axis.address,
        match goes_by_one(&found.axis) {
            true => "between the first and the last value no switch is missed",
            false => "between two of them there may be more switches",
        }
    ));
    page.points(beside_baseline(found));
    draw(&mut page, found, minimised);
    page.heading("Portfolios");
    page.table(portfolio_table(&found.portfolios, |index| {
        let runs = found.runs.iter().filter(|run| run.portfolio == Some(index));
        runs.map(|run| run.last - run.first + 1).sum()
    }));
    page.heading("Stretches");
    page.table(stretches(found).without_blank_columns());
    page.heading("Switches");
    page.paragraph(
        "At the last value before a switch and at the first one after it, the mass of the \
         portfolio that is lightest there and of the other one, held.",
    );
    page.table(switches(found));
    page.records = Some(records(found));
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.data = data(title, minimised, found, origin);
    page
}

/// Whether every day, or every whole number, between the ends is there.
fn goes_by_one(axis: &Axis) -> bool {
    let counted = matches!(axis.dimension, Dimension::Time | Dimension::Whole);
    let mut pairs = axis.values.windows(2);
    counted && pairs.all(|pair| pair[1] - pair[0] <= 1.0 + 1e-9)
}

fn outcome(found: &BreakEven) -> String {
    let words = format!(
        "{}, {} over {}",
        counted(found.portfolios.len(), "portfolio"),
        match found.switches.len() {
            1 => "1 switch".to_owned(),
            many => format!("{} switches", fixed(many as f64, 0)),
        },
        counted(found.cells.len(), "value")
    );
    let open = found.cells.iter().filter(|cell| !cell.is_certain()).count();
    match open {
        0 => words + ", every one proved.",
        _ => format!(
            "{words}; partial: {} not proved or not reached.",
            counted(open, "value")
        ),
    }
}

/// Where the baseline is as light as the lightest, and where it stops.
fn beside_baseline(found: &BreakEven) -> Vec<String> {
    let name = &found.baseline.name;
    let value = |index: usize| value_words(&found.axis, found.axis.values[index]);
    let stretches = found.baseline_is_lightest();
    let mut points: Vec<String> = stretches
        .iter()
        .map(|&(first, last)| match first == last {
            true => format!("\"{name}\" is lightest at {}.", value(first)),
            false => format!(
                "\"{name}\" is lightest from {} to {}.",
                value(first),
                value(last)
            ),
        })
        .collect();
    if stretches.is_empty() {
        points.push(format!("\"{name}\" is nowhere the lightest."));
    }
    let without = found
        .baseline
        .cells
        .iter()
        .filter(|cell| cell.planned().is_none())
        .count();
    if without > 0 {
        points.push(format!(
            "\"{name}\" has no plan at {}.",
            counted(without, "value")
        ));
    }
    points
}

fn draw(page: &mut Page, found: &BreakEven, minimised: &str) {
    if found.cells.len() < 3 {
        return;
    }
    let axis = &found.axis;
    let portfolio_at = |index: usize| {
        let mut runs = found.runs.iter();
        runs.find(|run| run.first <= index && index <= run.last)
            .and_then(|run| run.portfolio)
    };
    let points: Vec<(Option<f64>, char)> = found
        .cells
        .iter()
        .enumerate()
        .map(|(index, cell)| {
            let kg = cell.planned().map(|(kg, _)| kg);
            (kg, sign(cell, portfolio_at(index)))
        })
        .collect();
    let ends = [axis.values.first(), axis.values.last()];
    let [first, last] =
        ends.map(|value| value.map_or(String::new(), |&value| value_words(axis, value)));
    page.heading("Mass, kg, by value");
    let cells: Vec<&Planned> = found.cells.iter().collect();
    page.plot(
        format!(
            "The lightest {minimised}, every portfolio and {}. Dots are portfolios held and solved; \
             between dots lines are straight, not solved. Uprights are switches.",
            found.baseline.name
        ),
        format!(
            "Curves of {minimised} over {}. The lightest goes {}; {}",
            found.axis.address,
            curves::in_words(&found.axis, &cells),
            beside_baseline(found).join(" ")
        ),
        curves::of_portfolios(found, minimised).draw(),
        Some(picture::curve(&points, &first, &last) + &picture::left_out(points.len())),
    );
    page.points(signs(found.cells.iter()));
    if found.portfolios.len() > 1 {
        page.plot(
            "How much heavier every portfolio is than the lightest; dots as above.",
            format!(
                "Curves of what {} weigh beyond the lightest over {}; each touches nothing where it \
                 is lightest, as the table of stretches says.",
                counted(found.portfolios.len(), "portfolio"),
                found.axis.address
            ),
            curves::beyond_lightest(found, minimised).draw(),
            None,
        );
    }
}

fn stretches(found: &BreakEven) -> Table {
    let unit = found.axis.dimension.unit();
    let mut table = Table::new(&[
        ("from", unit),
        ("to", unit),
        ("portfolio", ""),
        ("mass at the first", "kg"),
        ("mass at the last", "kg"),
        ("remark", ""),
    ]);
    for run in &found.runs {
        let mass = |index: usize| {
            let planned = found.cells[index].planned();
            planned.map_or(Cell::Blank, |(kg, _)| Cell::kg(kg))
        };
        let remarks = (run.first..=run.last).map(|index| found.cells[index].remark());
        let remark = remarks.into_iter().find(|words| !words.is_empty());
        table.rows.push(vec![
            Cell::Plain(found.axis.values[run.first]),
            Cell::Plain(found.axis.values[run.last]),
            run.portfolio
                .map_or(Cell::Blank, |one| Cell::text(letter(one))),
            mass(run.first),
            mass(run.last),
            remark.map_or(Cell::Blank, Cell::text),
        ]);
    }
    table
}

fn switches(found: &BreakEven) -> Table {
    let unit = found.axis.dimension.unit();
    let mut table = Table::new(&[
        ("switch", ""),
        ("last", unit),
        ("before", "kg"),
        ("other", "kg"),
        ("first", unit),
        ("other", "kg"),
        ("after", "kg"),
        ("units that change", ""),
    ]);
    let mass = |kg: Option<f64>| kg.map_or(Cell::text("no plan"), Cell::kg);
    for switch in &found.switches {
        table.rows.push(vec![
            Cell::text(letters(switch)),
            Cell::Plain(found.axis.values[switch.before]),
            mass(switch.before_kg[0]),
            mass(switch.before_kg[1]),
            Cell::Plain(found.axis.values[switch.before + 1]),
            mass(switch.after_kg[0]),
            mass(switch.after_kg[1]),
            Cell::text(changes(found, switch)),
        ]);
    }
    table
}

fn letters(switch: &Switch) -> String {
    let [before, after] = switch.portfolios.map(letter);
    format!("{before} → {after}")
}

fn changes(found: &BreakEven, switch: &Switch) -> String {
    let [before, after] = switch.portfolios;
    found.portfolios[after].changes_from(&found.portfolios[before])
}

fn records(found: &BreakEven) -> Table {
    let mut table = Table::new(&[
        ("value", ""),
        ("mass", "kg"),
        ("portfolio", ""),
        ("units", ""),
        ("baseline mass", "kg"),
        ("remark", ""),
    ]);
    for run in &found.runs {
        for index in run.first..=run.last {
            let cell = &found.cells[index];
            let mass = |planned: Option<(f64, _)>| {
                planned.map_or(Cell::Blank, |(kg, _): (f64, &_)| Cell::Plain(kg))
            };
            table.rows.push(vec![
                Cell::Plain(found.axis.values[index]),
                mass(cell.planned()),
                run.portfolio
                    .map_or(Cell::Blank, |one| Cell::text(letter(one))),
                cell.planned()
                    .map_or(Cell::Blank, |(_, portfolio)| Cell::text(portfolio.words())),
                mass(found.baseline.cells[index].planned()),
                Cell::text(cell.remark()),
            ]);
        }
    }
    table
}

fn data(title: &str, minimised: &str, found: &BreakEven, origin: &Origin) -> Value {
    let mut cells = Vec::with_capacity(found.cells.len());
    for run in &found.runs {
        for index in run.first..=run.last {
            let mut data = cell_data(&found.cells[index], run.portfolio);
            data.insert("at".to_owned(), json!(found.axis.values[index]));
            let baseline = cell_data(&found.baseline.cells[index], None);
            data.insert("baseline".to_owned(), Value::Object(baseline));
            cells.push(Value::Object(data));
        }
    }
    let switches = found.switches.iter().map(|switch| {
        let [before, after] = switch.portfolios.map(letter);
        json!({
            "last_before": found.axis.values[switch.before],
            "first_after": found.axis.values[switch.before + 1],
            "before": before,
            "after": after,
            "kg_before": {"before": switch.before_kg[0], "after": switch.before_kg[1]},
            "kg_after": {"before": switch.after_kg[0], "after": switch.after_kg[1]},
        })
    });
    let held = found.held.iter().enumerate().map(|(portfolio, held)| {
        let points = held.iter();
        let points = points.map(|one| json!({"at": found.axis.values[one.index], "kg": one.kg}));
        (letter(portfolio), points.collect::<Value>())
    });
    let lightest = found
        .baseline_is_lightest()
        .into_iter()
        .map(|(first, last)| json!([found.axis.values[first], found.axis.values[last]]));
    let mut data = json!({
        "title": title,
        "minimised": minimised,
        "complete": found.is_complete(),
        "number": axis_data(&found.axis),
        "baseline": {
            "name": found.baseline.name,
            "lightest": lightest.collect::<Vec<_>>(),
        },
        "portfolios": portfolio_data(&found.portfolios),
        "switches": switches.collect::<Vec<_>>(),
        "held": Value::Object(held.collect()),
        "cells": cells,
    });
    origin.sign(&mut data);
    data
}
