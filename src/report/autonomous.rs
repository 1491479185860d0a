//! The page of days of autonomy.

use serde_json::{Value, json};

use super::findings::{Findings, status_words};
use super::number::fixed;
use super::page::{Block, Cell, Page, Table, Tone};
use super::solved::CAUTION;
use super::timed::faults::{cover_words, short_words};
use super::timed::{lacks, shortfall};
use crate::answer::Status;
use crate::network::Network;
use crate::timeline::{Autonomy, OutOfAction, Row, Shortfall};

/// Of what would have covered a shortfall, so many things are told in the table; data
/// have all.
const TOLD: usize = 2;

/// The page of what the crew can do without, and for how long.
pub fn autonomous(findings: &Findings, autonomy: &Autonomy) -> Page {
    let plan = findings.plan;
    let network = plan.network();
    let mut page = Page::new(network.title.as_str());
    let kg = fixed(plan.answer().launch_mass_kg, 2);
    let proved = plan.answer().proof.status == Status::Optimal;
    page.blocks.push(Block::Outcome {
        tone: if proved { Tone::Good } else { Tone::Doubtful },
        words: match proved {
            true => format!("Days of autonomy of the lightest plan, {kg} kg at launch, proved."),
            false => format!("Days of autonomy of a plan not proved the lightest: {kg} kg."),
        },
    });
    page.blocks.push(Block::Title(network.title.clone()));
    entries(&mut page, network, autonomy);
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.records = Some(records(network, autonomy));
    page.data = data(findings, autonomy);
    page
}

/// What each can be done without, and for how long.
pub(super) fn entries(page: &mut Page, network: &Network, autonomy: &Autonomy) {
    page.paragraph(
        "Each thing in turn is out of action for good, everything else works. Days count from the \
         day on which it matters to the first need that is not met in full, or the first matter \
         without a way out. Nobody reacts: units run no harder than planned, stores and cargo aboard \
         are used as they are missed. Best reaction: any unit up to its capacity, any cargo, from \
         that day on. People: the same, if everything that is not people's own need is rationed from that day on. Blank: nothing falls short to the end of the mission. What has no way out is \
         short at once, because no volume that could take it is part of a design.",
    );
    let worst = worst(network, autonomy);
    page.points(worst.into_iter().collect());
    if !autonomy.left_out.is_empty() {
        let left_out = autonomy.left_out.iter().map(|what| words(network, what));
        page.blocks.push(Block::Outcome {
            tone: Tone::Doubtful,
            words: format!(
                "Stopped early; not looked at: {}.",
                left_out.collect::<Vec<_>>().join(", ")
            ),
        });
    }
    page.table(table(network, autonomy));
}

/// What is missed soonest whatever is done.
fn worst(network: &Network, autonomy: &Autonomy) -> Option<String> {
    let rows = autonomy.rows.iter();
    let of = rows.filter_map(|row| Some((row, row.best.as_ref()?)));
    let (row, short) = of.reduce(|worst, next| match next.1.after_days < worst.1.after_days {
        true => next,
        false => worst,
    })?;
    Some(format!(
        "Soonest, whatever is done: without {}, {} after {} days.",
        words(network, &row.what),
        short_words(network, short),
        fixed(short.after_days, 1)
    ))
}

fn words(network: &Network, what: &OutOfAction) -> String {
    match what {
        OutOfAction::Node(node) => network.name(*node).to_owned(),
        OutOfAction::Flight(flight) => format!("flight {flight}"),
        OutOfAction::BadDays(name) => format!("\"{name}\""),
    }
}

fn key(what: &OutOfAction) -> &'static str {
    match what {
        OutOfAction::Node(_) => "node",
        OutOfAction::Flight(_) => "flight",
        OutOfAction::BadDays(_) => "named",
    }
}

fn days(short: Option<&Shortfall>) -> Cell {
    short.map_or(Cell::Blank, |short| Cell::Number {
        value: short.after_days,
        decimals: 1,
    })
}

fn table(network: &Network, autonomy: &Autonomy) -> Table {
    let mut table = Table::new(&[
        ("out of action", ""),
        ("from day", ""),
        ("nobody reacts", "d"),
        ("best reaction", "d"),
        ("people", "d"),
        ("first", ""),
        ("would have covered it", ""),
    ]);
    for row in &autonomy.rows {
        let first = row.best.as_ref().or(row.nobody_reacts.as_ref());
        table.rows.push(vec![
            Cell::text(words(network, &row.what)),
            Cell::Plain(row.from_day),
            days(row.nobody_reacts.as_ref()),
            days(row.best.as_ref()),
            row.people_until.map_or(Cell::Blank, |day| Cell::Number {
                value: day - row.from_day,
                decimals: 1,
            }),
            first.map_or(Cell::Blank, |short| Cell::text(short_words(network, short))),
            match row.cover.is_empty() {
                true => Cell::Blank,
                false => Cell::text(cover_words(network, &row.cover, TOLD)),
            },
        ]);
    }
    table
}

/// A row for each, with headings that stay.
fn records(network: &Network, autonomy: &Autonomy) -> Table {
    let mut table = Table::new(&[
        ("kind", ""),
        ("out_of_action", ""),
        ("from_day", ""),
        ("nobody_reacts_d", ""),
        ("nobody_reacts_short_of", ""),
        ("best_reaction_d", ""),
        ("best_reaction_day", ""),
        ("best_reaction_short_of", ""),
        ("people_d", ""),
        ("cover", ""),
    ]);
    let plain = |value: Option<f64>| value.map_or(Cell::Blank, Cell::Plain);
    let short = |row: Option<&Shortfall>| {
        row.map_or(Cell::Blank, |short| Cell::text(short_words(network, short)))
    };
    for row in &autonomy.rows {
        let Row {
            nobody_reacts,
            best,
            ..
        } = row;
        table.rows.push(vec![
            Cell::text(key(&row.what)),
            Cell::text(words(network, &row.what)),
            Cell::Plain(row.from_day),
            plain(nobody_reacts.as_ref().map(|short| short.after_days)),
            short(nobody_reacts.as_ref()),
            plain(best.as_ref().map(|short| short.after_days)),
            plain(best.as_ref().map(|short| short.day)),
            short(best.as_ref()),
            plain(row.people_until.map(|day| day - row.from_day)),
            Cell::text(cover_words(network, &row.cover, usize::MAX)),
        ]);
    }
    table
}

pub(super) fn data(findings: &Findings, autonomy: &Autonomy) -> Value {
    let plan = findings.plan;
    let network = plan.network();
    let rows = autonomy.rows.iter().map(|row| {
        let mut value = json!({
            "kind": key(&row.what),
            "out_of_action": words(network, &row.what),
            "from_day": row.from_day,
        });
        if let Some(short) = &row.nobody_reacts {
            value["nobody_reacts"] = shortfall(network, short);
        }
        if let Some(short) = &row.best {
            value["best_reaction"] = shortfall(network, short);
        }
        if let Some(day) = row.people_until {
            value["people_until_day"] = json!(day);
        }
        if !row.cover.is_empty() {
            value["cover"] = lacks(network, &row.cover);
        }
        value
    });
    let mut data = json!({
        "status": status_words(plan.answer().proof.status),
        "title": network.title,
        "launch_mass_kg": plan.answer().launch_mass_kg,
        "days": network.calendar.mission_days(),
        "rows": rows.collect::<Value>(),
    });
    if !autonomy.left_out.is_empty() {
        let left_out = autonomy.left_out.iter().map(|what| words(network, what));
        data["left_out"] = left_out.collect();
    }
    findings.origin.sign(&mut data);
    data
}
