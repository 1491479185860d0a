//! The manifest as one table for programs: a row per item, headings that stay.

use crate::report::page::{Cell, Table};
use crate::timeline::{Item, Leaving, Load, Loading, Manifest};

/// Every item of every flight, and all waste that is taken away.
pub(super) fn rows(manifest: &Manifest) -> Table {
    let mut table = Table::new(&[
        ("flight", ""),
        ("day", ""),
        ("until_day", ""),
        ("direction", ""),
        ("item", ""),
        ("load", ""),
        ("substance", ""),
        ("pieces", ""),
        ("kg_each", ""),
        ("content_kg_each", ""),
        ("tare_kg_each", ""),
        ("kg", ""),
        ("gear_ratio", ""),
        ("launch_mass_kg", ""),
    ]);
    for loading in &manifest.flights {
        let items = loading.items.iter();
        table.rows.extend(items.map(|item| brought(loading, item)));
        let leaving = loading.leaving.iter();
        let flight = Cell::Whole(loading.flight as u64);
        table
            .rows
            .extend(leaving.map(|waste| taken_away(flight.clone(), loading.day, waste)));
    }
    if let Some(last) = manifest.flights.last() {
        let leaving = manifest.leaving_at_end.iter();
        table
            .rows
            .extend(leaving.map(|waste| taken_away(Cell::Blank, last.until_day, waste)));
    }
    table
}

fn brought(loading: &Loading, item: &Item) -> Vec<Cell> {
    let (content, tare) = match &item.load {
        Load::Container {
            content_kg,
            tare_kg,
            ..
        } => (Cell::Plain(*content_kg), Cell::Plain(*tare_kg)),
        _ => (Cell::Blank, Cell::Blank),
    };
    let (pieces, each) = match item.pieces {
        Some(pieces) => (Cell::Whole(pieces.number), Cell::Plain(pieces.kg_each)),
        None => (Cell::Blank, Cell::Blank),
    };
    vec![
        Cell::Whole(loading.flight as u64),
        Cell::Plain(loading.day),
        Cell::Plain(loading.until_day),
        Cell::text("brought"),
        Cell::text(&item.name),
        Cell::text(item.load.key()),
        item.load.substance().map_or(Cell::Blank, Cell::text),
        pieces,
        each,
        content,
        tare,
        Cell::Plain(item.kg),
        Cell::Plain(loading.gear_ratio),
        Cell::Plain(item.kg * loading.gear_ratio),
    ]
}

fn taken_away(flight: Cell, day: f64, waste: &Leaving) -> Vec<Cell> {
    let mut row = vec![
        flight,
        Cell::Plain(day),
        Cell::Blank,
        Cell::text("taken away"),
        Cell::text(&waste.name),
        Cell::text("waste"),
        Cell::text(&waste.substance),
    ];
    row.resize(11, Cell::Blank);
    row.push(Cell::Plain(waste.kg));
    row.resize(14, Cell::Blank);
    row
}
