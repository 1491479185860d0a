//! The page of variants side by side.

use serde_json::{Map, Value, json};

use super::super::findings::{Origin, minimised};
use super::super::number::fixed;
use super::super::page::{Block, Cell, Page, Table, Tone};
use super::super::solved::CAUTION;
use super::super::solved::mass::{categories_in_words, category_bars};
use super::cell_data;
use crate::answer::Category;
use crate::audit::Plan;
use crate::network::Network;
use crate::study::compare::Compared;

/// What the design as it stands is called.
const AS_IT_STANDS: &str = "as it stands";

/// The page of variants of a design side by side.
pub fn compare(network: &Network, found: &[Compared], origin: &Origin) -> Page {
    let title = network.title.as_str();
    let mut page = Page::new(title);
    let certain = found.iter().all(|one| one.cell.is_certain());
    page.blocks.push(Block::Outcome {
        tone: if certain { Tone::Good } else { Tone::Doubtful },
        words: outcome(found),
    });
    page.blocks.push(Block::Title(title.to_owned()));
    page.paragraph(
        "The design as it stands and its variants, each at its own lightest plan. Masses are \
         launch mass, gear ratios included.",
    );
    page.table(masses(found));
    draw(&mut page, found);
    let units = units(found);
    if !units.rows.is_empty() {
        page.heading("Units");
        page.table(units);
    }
    page.points(
        found
            .iter()
            .filter(|one| !one.cell.remark().is_empty())
            .map(|one| format!("{}: {}", name(one), one.cell.remark()))
            .collect(),
    );
    page.records = Some(records(found));
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.data = data(title, found, origin);
    page
}

/// Launch mass by category, one bar for each variant.
fn draw(page: &mut Page, found: &[Compared]) {
    let plans = found
        .iter()
        .filter_map(|one| Some((name(one), one.plan.as_deref()?)));
    let plans: Vec<(&str, Vec<(Category, f64)>)> = plans
        .map(|(name, plan)| (name, plan.by_category()))
        .collect();
    let plans: Vec<(&str, &[(Category, f64)])> = plans
        .iter()
        .map(|(name, categories)| (*name, categories.as_slice()))
        .collect();
    page.plot(
        "Launch mass by category, side by side.",
        categories_in_words(&plans),
        category_bars(&plans).draw(),
        None,
    );
}

fn name(one: &Compared) -> &str {
    one.name.as_deref().unwrap_or(AS_IT_STANDS)
}

fn planned(found: &[Compared]) -> Vec<(f64, &Compared)> {
    let planned = found.iter();
    planned
        .filter_map(|one| Some((one.cell.planned()?.0, one)))
        .collect()
}

fn outcome(found: &[Compared]) -> String {
    let mut masses = planned(found);
    masses.sort_by(|a, b| a.0.total_cmp(&b.0));
    let what = found
        .iter()
        .find_map(|one| one.plan.as_deref())
        .map_or("launch mass", minimised);
    match masses.as_slice() {
        [] => "None has a plan.".to_owned(),
        [(kg, one)] => format!(
            "Only \"{}\" has a plan: {} kg {what}.",
            name(one),
            fixed(*kg, 2)
        ),
        [(kg, one), (next, other), ..] => format!(
            "Lightest: \"{}\" with {} kg {what}, {} kg lighter than \"{}\".",
            name(one),
            fixed(*kg, 2),
            fixed(next - kg, 2),
            name(other)
        ),
    }
}

/// One line per category, one column per variant, and the difference against the
/// first.
fn masses(found: &[Compared]) -> Table {
    let mut columns = vec![("", "")];
    columns.extend(found.iter().map(|one| (name(one), "kg")));
    let mut table = Table::new(&columns);
    let by: Vec<Option<Vec<(Category, f64)>>> = found
        .iter()
        .map(|one| one.plan.as_deref().map(Plan::by_category))
        .collect();
    let mass_of = |lines: &Option<Vec<(Category, f64)>>, category: Category| {
        let lines = lines.as_ref()?;
        lines
            .iter()
            .find(|(known, _)| *known == category)
            .map(|(_, kg)| *kg)
    };
    for category in Category::ALL {
        let cells: Vec<Option<f64>> = by.iter().map(|lines| mass_of(lines, category)).collect();
        if cells.iter().any(Option::is_some) {
            let mut row = vec![Cell::text(category.words())];
            row.extend(cells.into_iter().map(|kg| kg.map_or(Cell::Blank, Cell::kg)));
            table.rows.push(row);
        }
    }
    let launch = |one: &Compared| one.plan.as_ref().map(|plan| plan.answer().launch_mass_kg);
    let line = |words: &str, value: &dyn Fn(&Compared) -> Option<f64>| {
        let mut row = vec![Cell::text(words)];
        row.extend(
            found
                .iter()
                .map(|one| value(one).map_or(Cell::text("no plan"), Cell::kg)),
        );
        row
    };
    table.rows.push(line("launch mass", &launch));
    let weighed = found.iter().filter_map(|one| one.plan.as_ref());
    if weighed
        .clone()
        .any(|plan| plan.answer().equivalents.is_some())
    {
        let esm = |one: &Compared| one.cell.planned().map(|(kg, _)| kg);
        table.rows.push(line("equivalent system mass", &esm));
    }
    let first = found
        .first()
        .and_then(|one| one.cell.planned())
        .map(|(kg, _)| kg);
    if let Some(first) = first {
        let beside = |one: &Compared| one.cell.planned().map(|(kg, _)| kg - first);
        table.rows.push(line("against the first", &beside));
    }
    table
}

/// Units that are not the same in all of them.
fn units(found: &[Compared]) -> Table {
    let mut columns = vec![("node", "")];
    columns.extend(found.iter().map(|one| (name(one), "")));
    let mut table = Table::new(&columns);
    let units: Vec<Option<Vec<(String, u32)>>> = found
        .iter()
        .map(|one| one.plan.as_ref().map(|plan| plan.units_by_name()))
        .collect();
    let mut nodes: Vec<&str> = Vec::new();
    for (node, _) in units.iter().flatten().flatten() {
        if !nodes.contains(&node.as_str()) {
            nodes.push(node);
        }
    }
    for node in nodes {
        let counts: Vec<Option<u32>> = units
            .iter()
            .map(|units| {
                let units = units.as_ref()?;
                units
                    .iter()
                    .find(|(known, _)| known == node)
                    .map(|(_, count)| *count)
            })
            .collect();
        if counts.windows(2).any(|pair| pair[0] != pair[1]) {
            let mut row = vec![Cell::text(node)];
            let cells = counts.into_iter();
            row.extend(
                cells.map(|count| count.map_or(Cell::Blank, |count| Cell::Whole(count.into()))),
            );
            table.rows.push(row);
        }
    }
    table
}

fn records(found: &[Compared]) -> Table {
    let mut table = Table::new(&[
        ("variant", ""),
        ("mass", "kg"),
        ("launch mass", "kg"),
        ("units", ""),
        ("remark", ""),
    ]);
    for one in found {
        let planned = one.cell.planned();
        table.rows.push(vec![
            Cell::text(name(one)),
            planned.map_or(Cell::Blank, |(kg, _)| Cell::Plain(kg)),
            one.plan.as_ref().map_or(Cell::Blank, |plan| {
                Cell::Plain(plan.answer().launch_mass_kg)
            }),
            planned.map_or(Cell::Blank, |(_, portfolio)| Cell::text(portfolio.words())),
            Cell::text(one.cell.remark()),
        ]);
    }
    table
}

fn data(title: &str, found: &[Compared], origin: &Origin) -> Value {
    let first = found
        .first()
        .and_then(|one| one.cell.planned())
        .map(|(kg, _)| kg);
    let variants = found.iter().map(|one| {
        let mut data = cell_data(&one.cell, None);
        data.insert("variant".to_owned(), json!(one.name));
        if let Some(plan) = &one.plan {
            data.insert(
                "launch_mass_kg".to_owned(),
                json!(plan.answer().launch_mass_kg),
            );
            let lines = plan.by_category().into_iter();
            let lines: Map<String, Value> = lines
                .map(|(category, kg)| (category.words().to_owned(), json!(kg)))
                .collect();
            data.insert("by_category".to_owned(), Value::Object(lines));
            let units = plan.units_by_name().into_iter();
            let units: Map<String, Value> =
                units.map(|(name, count)| (name, json!(count))).collect();
            data.insert("units".to_owned(), Value::Object(units));
        }
        if let (Some(first), Some((kg, _))) = (first, one.cell.planned()) {
            data.insert("against_first_kg".to_owned(), json!(kg - first));
        }
        Value::Object(data)
    });
    let mut data = json!({
        "title": title,
        "complete": found.iter().all(|one| one.cell.is_certain()),
        "variants": variants.collect::<Vec<_>>(),
    });
    origin.sign(&mut data);
    data
}
