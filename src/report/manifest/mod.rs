//! The page of a manifest, for the person who loads the vehicles.

mod record;
mod rows;
mod words;

pub(super) use record::record;

use super::findings::Findings;
use super::number::fixed;
use super::page::{Block, Cell, Page, Table};
use super::plots::{Part, Stack, Stacks};
use super::solved::{CAUTION, closing, mass, outcome};
use super::totals;
use crate::answer::Category;
use crate::audit::Plan;
use crate::timeline::{Leaving, Loading, Manifest};

/// The page of a plan's manifest: outcome, all flights, then what each carries
/// and takes away.
///
/// # Errors
///
/// If the manifest cannot be written as data, which would be a fault of this tool.
pub fn manifest(findings: &Findings) -> Result<Page, serde_json::Error> {
    let plan = findings.plan;
    let mut page = Page::new(plan.network().title.as_str());
    outcome::outcome(&mut page, findings);
    let manifest = flights(&mut page, plan);
    closing::audit(&mut page, plan);
    closing::timings(&mut page, findings);
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.records = Some(rows::rows(&manifest));
    page.data = serde_json::to_value(record(findings, &manifest))?;
    Ok(page)
}

/// All flights, then what each carries and takes away.
pub(super) fn flights(page: &mut Page, plan: &Plan) -> Manifest {
    let manifest = Manifest::of(plan);
    if manifest.flights.len() > 1 {
        page.heading("All flights");
        mass::by_flight(page, plan);
        draw(page, plan, &manifest);
    }
    page.paragraph(
        "Of cargo, the first number is the content, the one after the + what it is packed in.",
    );
    for (index, loading) in manifest.flights.iter().enumerate() {
        let is_last = index + 1 == manifest.flights.len();
        flight(page, loading, is_last);
    }
    if !manifest.leaving_at_end.is_empty() {
        page.heading("At the end of the mission");
        page.table(leaving(&manifest.leaving_at_end, "Taken away:"));
    }
    manifest
}

/// What every flight carries, by category, with what it may carry.
fn draw(page: &mut Page, plan: &Plan, manifest: &Manifest) {
    let flights = manifest.flights.iter();
    let loads: Vec<(&Loading, Vec<(Category, f64)>)> = flights
        .map(|loading| (loading, totals::of_flight(plan, loading.flight)))
        .collect();
    let flown = |category: &Category| {
        let mut all = loads.iter().flat_map(|(_, load)| load);
        all.any(|(one, _)| one == category)
    };
    let categories: Vec<Category> = Category::ALL.into_iter().filter(flown).collect();
    let part = |&(category, kg): &(Category, f64)| Part {
        part: categories
            .iter()
            .position(|one| *one == category)
            .unwrap_or(0),
        value: kg,
        words: format!("{} kg", fixed(kg, 2)),
    };
    let rows = loads.iter().map(|(loading, load)| Stack {
        name: words::heading(loading),
        parts: load.iter().map(part).collect(),
        all: format!("{} kg", fixed(loading.kg, 0)),
        limit: loading.payload_kg,
    });
    let stacks = Stacks {
        axis: "carried, kg".to_owned(),
        parts: categories
            .iter()
            .map(|one| one.words().to_owned())
            .collect(),
        rows: rows.collect(),
        limit: "payload limit".to_owned(),
    };
    page.plot(
        "What every flight carries, by category, and what it may carry.",
        "Bars of the mass that every flight carries, divided by category, with its payload limit \
         where it has one; the table above has the masses.",
        stacks.draw(),
        None,
    );
}

fn flight(page: &mut Page, loading: &Loading, is_last: bool) {
    page.heading(words::heading(loading));
    page.paragraph(words::opening(loading, is_last));
    let mut table = Table::new(&[
        ("for", ""),
        ("pieces", ""),
        ("load", ""),
        ("each", "kg"),
        ("all", "kg"),
    ]);
    for item in &loading.items {
        let (pieces, each) = match item.pieces {
            Some(pieces) => (Cell::Whole(pieces.number), Cell::kg(pieces.kg_each)),
            None => (Cell::Blank, Cell::Blank),
        };
        table.rows.push(vec![
            Cell::text(&item.name),
            pieces,
            Cell::text(words::load(item)),
            each,
            Cell::kg(item.kg),
        ]);
    }
    table.total = Some(vec![
        Cell::text("in all"),
        Cell::Blank,
        Cell::Blank,
        Cell::Blank,
        Cell::kg(loading.kg),
    ]);
    page.table(table);
    page.table(leaving(&loading.leaving, "Leaves with this flight:"));
}

fn leaving(waste: &[Leaving], caption: &str) -> Table {
    let mut table = Table::new(&[("from", ""), ("waste", ""), ("all", "kg")]).captioned(caption);
    for leaving in waste {
        table.rows.push(vec![
            Cell::text(&leaving.name),
            Cell::text(&leaving.substance),
            Cell::kg(leaving.kg),
        ]);
    }
    table.total = Some(vec![
        Cell::text("in all"),
        Cell::Blank,
        Cell::kg(waste.iter().map(|leaving| leaving.kg).sum()),
    ]);
    table
}
