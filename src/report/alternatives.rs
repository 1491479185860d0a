//! The page of alternatives.

use serde_json::{Map, Value, json};

use crate::answer::Category;
use crate::audit::Plan;
use crate::network::{Network, NodeId};
use crate::study::alternatives::{Alternative, Alternatives, Ended};

use super::findings::{Origin, minimised, status_words};
use super::number::{counted, fixed};
use super::page::{Block, Cell, Page, Table, Tone};
use super::plots::{Part, Stack, Stacks};
use super::solved::CAUTION;

/// Less than this is nothing with two decimals, kg.
const SHOWN_KG: f64 = 0.005;

/// The page of the lightest portfolios of a plan's design.
pub fn alternatives(best: &Plan, found: &Alternatives, origin: &Origin) -> Page {
    let network = best.network();
    let mut page = Page::new(network.title.as_str());
    let proved = found.ended != Ended::Stopped && found.found.iter().all(|one| one.proved);
    page.blocks.push(Block::Outcome {
        tone: if proved { Tone::Good } else { Tone::Doubtful },
        words: outcome(found, proved),
    });
    page.blocks.push(Block::Title(network.title.clone()));
    page.paragraph(format!(
        "Each line is another portfolio of hardware counts, at the lightest plan that its counts \
         allow, in order of {}. {}",
        minimised(best),
        why_no_more(found.ended)
    ));
    let flown = best.units_by_name().into_iter();
    let flown = flown.filter(|(_, units)| *units > 0);
    let flown: Vec<String> = flown
        .map(|(name, units)| format!("{name} {units}"))
        .collect();
    if !flown.is_empty() {
        page.paragraph(format!("The first has these units: {}.", flown.join(", ")));
    }
    let rows = table(best, found, proved);
    page.table(rows.clone().without_blank_columns());
    draw(&mut page, network, found);
    page.records = Some(rows);
    let others = found.found.iter().enumerate().skip(1);
    let points: Vec<String> = others
        .map(|(index, one)| (index + 1, by_category(&one.by_category)))
        .filter(|(_, words)| !words.is_empty())
        .map(|(number, words)| format!("{number}: {words}"))
        .collect();
    if !points.is_empty() {
        page.heading("Where the launch mass differs");
        page.paragraph("Against the first, by category:");
        page.points(points);
    }
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.data = data(best, found, origin);
    page
}

/// The ledger of each, one below the other.
fn draw(page: &mut Page, network: &Network, found: &Alternatives) {
    let ledgers: Vec<Vec<(Category, f64)>> = found
        .found
        .iter()
        .map(|one| one.plan.by_category())
        .collect();
    let flown = |category: &Category| {
        let mut all = ledgers.iter().flatten();
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
    let rows = found.found.iter().zip(&ledgers).enumerate();
    let stacks = Stacks {
        axis: "launch mass, kg".to_owned(),
        parts: categories
            .iter()
            .map(|one| one.words().to_owned())
            .collect(),
        rows: rows
            .map(|(index, (one, ledger))| Stack {
                name: match index {
                    0 => "1: the lightest".to_owned(),
                    _ => format!("{}: {}", index + 1, units(network, &one.units)),
                },
                parts: ledger.iter().map(part).collect(),
                all: format!("{} kg", fixed(one.plan.answer().launch_mass_kg, 0)),
                limit: None,
            })
            .collect(),
        limit: String::new(),
    };
    page.plot(
        "Launch mass of each by category.",
        format!(
            "Bars of launch mass, one for each of {}, divided by category; the table above has \
             the masses.",
            counted(found.found.len(), "portfolio")
        ),
        stacks.draw(),
        None,
    );
}

fn outcome(found: &Alternatives, proved: bool) -> String {
    let many = counted(found.found.len(), "portfolio");
    match proved {
        true => format!("{many}, proved: none lighter is missing between them."),
        false => format!("{many}, not all proved: stopped before it was certain."),
    }
}

fn why_no_more(ended: Ended) -> &'static str {
    match ended {
        Ended::Enough => "There may be more behind the last.",
        Ended::OutsideMargin => "Every other one is heavier than asked for, or has no balance.",
        Ended::NoOther => "There are no others: no other counts have a balance.",
        Ended::Stopped => "Stopped: others may be missing.",
    }
}

fn table(best: &Plan, found: &Alternatives, proved: bool) -> Table {
    let mut table = Table::new(&[
        ("", ""),
        (minimised(best), "kg"),
        ("heavier by", "kg"),
        ("share", ""),
        ("units that differ from the first", ""),
        ("how sure", ""),
    ]);
    let network = best.network();
    let least = best.answer().minimised_kg();
    for (index, one) in found.found.iter().enumerate() {
        table.rows.push(vec![
            Cell::Whole(index as u64 + 1),
            Cell::kg(one.plan.answer().minimised_kg()),
            Cell::kg(one.heavier_kg),
            Cell::Share(one.heavier_kg / least.max(f64::MIN_POSITIVE)),
            match index {
                0 => Cell::Blank,
                _ => Cell::text(units(network, &one.units)),
            },
            match (proved, one.proved) {
                (true, _) => Cell::Blank,
                (false, true) => Cell::text("proved"),
                (false, false) => Cell::text("not proved"),
            },
        ]);
    }
    table
}

fn units(network: &Network, units: &[(NodeId, u32, u32)]) -> String {
    let words = units
        .iter()
        .map(|(node, before, after)| format!("{} {before} → {after}", network.name(*node)));
    words.collect::<Vec<_>>().join(", ")
}

fn by_category(categories: &[(Category, f64)]) -> String {
    let shown = categories.iter().filter(|(_, kg)| kg.abs() >= SHOWN_KG);
    let words = shown.map(|(category, kg)| {
        let sign = if *kg > 0.0 { "+" } else { "" };
        format!("{} {sign}{} kg", category.words(), fixed(*kg, 2))
    });
    words.collect::<Vec<_>>().join(", ")
}

fn data(best: &Plan, found: &Alternatives, origin: &Origin) -> Value {
    let network = best.network();
    let rows = found.found.iter().map(|one| row(network, one));
    let mut data = json!({
        "title": network.title,
        "minimised": minimised(best),
        "ended": match found.ended {
            Ended::Enough => "as many as asked for",
            Ended::OutsideMargin => "all others are heavier than asked for or have no balance",
            Ended::NoOther => "all others have no balance",
            Ended::Stopped => "stopped",
        },
        "alternatives": rows.collect::<Vec<_>>(),
    });
    origin.sign(&mut data);
    data
}

fn row(network: &Network, one: &Alternative) -> Value {
    let answer = one.plan.answer();
    let differing = one.units.iter().map(|(node, before, after)| {
        let counts = json!({"first": before, "here": after});
        (network.name(*node).to_owned(), counts)
    });
    let categories = one
        .by_category
        .iter()
        .map(|(category, kg)| (category.words().to_owned(), json!(kg)));
    json!({
        "status": status_words(answer.proof.status),
        "proved": one.proved,
        "minimised_kg": answer.minimised_kg(),
        "launch_mass_kg": answer.launch_mass_kg,
        "heavier_kg": one.heavier_kg,
        "units": one.plan.units_by_name().into_iter().collect::<Value>(),
        "units_that_differ": Value::Object(differing.collect::<Map<_, _>>()),
        "launch_mass_differences_kg": Value::Object(categories.collect::<Map<_, _>>()),
    })
}
