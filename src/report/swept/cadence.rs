//! The page of cadences: fewer, fuller flights or more, emptier ones.

use serde_json::{Value, json};

use super::super::findings::{Origin, minimised_by};
use super::super::number::{counted, fixed};
use super::super::page::{Block, Cell, Page, Table, Tone};
use super::super::solved::CAUTION;
use super::{cell_data, curves, letter, portfolio_data, portfolio_table, value_words};
use crate::network::Network;
use crate::study::cadence::{Cadence, CadenceCell};
use crate::study::cell::Cell as Planned;

/// The page of a design at several cadences.
pub fn cadence(network: &Network, found: &Cadence, origin: &Origin) -> Page {
    let (title, minimised) = (network.title.as_str(), minimised_by(network));
    let mut page = Page::new(title);
    let certain = found.cells.iter().all(|one| one.cell.is_certain());
    page.blocks.push(Block::Outcome {
        tone: if certain { Tone::Good } else { Tone::Doubtful },
        words: outcome(found, minimised),
    });
    page.blocks.push(Block::Title(title.to_owned()));
    page.paragraph(format!(
        "The design at each cadence, solved by itself. Longer intervals want more stock and more \
         full tanks; shorter ones split cargo into more part-full pieces. What a flight costs \
         beside its load is no part of the {minimised}."
    ));
    let table = table(found, minimised);
    page.table(table.clone().without_blank_columns());
    let cells: Vec<&Planned> = found.cells.iter().map(|one| &one.cell).collect();
    let of = |index: usize| portfolio(found, &found.cells[index]);
    page.plot(
        format!("The lightest {minimised} at every cadence; every dot is solved."),
        format!(
            "A curve of {minimised} over the days between flights, {}.",
            curves::in_words(&found.axis, &cells)
        ),
        match cells.len() {
            0..3 => None,
            _ => curves::of_cells(&found.axis, minimised, &cells, of).draw(),
        },
        None,
    );
    page.records = Some(table);
    page.heading("Portfolios");
    page.paragraph("Cargo is with its containers and packaging.");
    page.table(portfolio_table(&found.portfolios, |index| {
        let cells = found.cells.iter();
        cells
            .filter(|one| portfolio(found, one) == Some(index))
            .count()
    }));
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.data = data(title, minimised, found, origin);
    page
}

fn outcome(found: &Cadence, minimised: &str) -> String {
    let cells = found.cells.iter().zip(&found.axis.values);
    let planned = cells.filter_map(|(one, &days)| Some((one.cell.planned()?.0, days)));
    let lightest = planned.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let open = found
        .cells
        .iter()
        .filter(|one| !one.cell.is_certain())
        .count();
    let mut words = match lightest {
        Some((kg, days)) => format!(
            "Lightest with a flight every {}: {} kg {minimised}",
            value_words(&found.axis, days),
            fixed(kg, 2)
        ),
        None => "No cadence has a plan".to_owned(),
    };
    if open > 0 {
        words += &format!(
            "; partial: {} not proved or not reached",
            counted(open, "cadence")
        );
    }
    words + "."
}

fn table(found: &Cadence, minimised: &str) -> Table {
    let mut table = Table::new(&[
        ("every", "d"),
        (minimised, "kg"),
        ("flights", ""),
        ("departure", "kg"),
        ("heaviest arrival", "kg"),
        ("cargo", "kg"),
        ("tanks", "kg"),
        ("reserves", "kg"),
        ("portfolio", ""),
        ("remark", ""),
    ]);
    for (one, &days) in found.cells.iter().zip(&found.axis.values) {
        let mut row = vec![Cell::Plain(days)];
        row.extend(planned(one));
        row.push(portfolio(found, one).map_or(Cell::Blank, |index| Cell::text(letter(index))));
        row.push(match one.cell.remark() {
            words if words.is_empty() => Cell::Blank,
            words => Cell::text(words),
        });
        table.rows.push(row);
    }
    table
}

fn portfolio(found: &Cadence, one: &CadenceCell) -> Option<usize> {
    let (_, portfolio) = one.cell.planned()?;
    found.portfolios.iter().position(|known| known == portfolio)
}

fn planned(one: &CadenceCell) -> Vec<Cell> {
    let (Some((kg, _)), Some(flown)) = (one.cell.planned(), &one.flown) else {
        return vec![Cell::Blank; 7];
    };
    let arrivals = flown.carried_kg.get(1..).unwrap_or(&[]);
    let heaviest = arrivals.iter().copied().fold(0.0, f64::max);
    let departure = flown.carried_kg.first();
    vec![
        Cell::kg(kg),
        Cell::Whole(flown.carried_kg.len() as u64),
        departure.map_or(Cell::Blank, |&kg| Cell::kg(kg)),
        Cell::kg(heaviest),
        Cell::kg(flown.cargo_kg),
        Cell::kg(flown.tanks_kg),
        Cell::kg(flown.reserves_kg),
    ]
}

fn data(title: &str, minimised: &str, found: &Cadence, origin: &Origin) -> Value {
    let cells = found
        .cells
        .iter()
        .zip(&found.axis.values)
        .map(|(one, &days)| {
            let mut data = cell_data(&one.cell, None);
            data.insert("every_d".to_owned(), json!(days));
            if let Some((_, portfolio)) = one.cell.planned() {
                let units = portfolio_data(std::slice::from_ref(portfolio));
                data.insert("units".to_owned(), units["A"].clone());
            }
            if let Some(flown) = &one.flown {
                data.insert("carried_kg".to_owned(), json!(flown.carried_kg));
                data.insert("payload_kg".to_owned(), json!(flown.payload_kg));
                data.insert("cargo_and_packaging_kg".to_owned(), json!(flown.cargo_kg));
                data.insert("tanks_kg".to_owned(), json!(flown.tanks_kg));
                data.insert("reserves_kg".to_owned(), json!(flown.reserves_kg));
                data.insert("flights_by_mass".to_owned(), json!(flown.flights_by_mass));
            }
            Value::Object(data)
        });
    let mut data = json!({
        "title": title,
        "minimised": minimised,
        "complete": found.cells.iter().all(|one| one.cell.is_certain()),
        "portfolios": portfolio_data(&found.portfolios),
        "cadences": cells.collect::<Vec<_>>(),
    });
    origin.sign(&mut data);
    data
}
