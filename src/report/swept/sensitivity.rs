//! The page of a sensitivity study: a tornado, and where the portfolio switches.

use serde_json::{Value, json};

use super::super::findings::{Origin, minimised_by};
use super::super::number::{counted, fixed, share};
use super::super::page::{Block, Cell, Page, Table, Tone};
use super::super::plots::{self, Tornado};
use super::super::solved::CAUTION;
use super::{cell_data, picture};
use crate::network::Network;
use crate::quantity::shown;
use crate::study::cell::Cell as Planned;
use crate::study::sensitivity::{End, Found, Moved, SEARCHED, Sensitivity, Threshold};

/// Bars of the tornado at most.
const BARS: usize = 20;
/// Changes below this are none, kg.
const NONE_KG: f64 = 1e-6;

/// The page of a sensitivity study of a design; `minimised` is what is lightest, in
/// words.
pub fn sensitivity(network: &Network, found: &Sensitivity, origin: &Origin) -> Page {
    let (title, minimised) = (network.title.as_str(), minimised_by(network));
    let mut page = Page::new(title);
    page.blocks.push(Block::Outcome {
        tone: match (found.today.planned(), found.is_complete()) {
            (None, _) => Tone::Bad,
            (Some(_), true) => Tone::Good,
            (Some(_), false) => Tone::Doubtful,
        },
        words: outcome(found),
    });
    page.blocks.push(Block::Title(title.to_owned()));
    if let Some((kg, portfolio)) = found.today.planned() {
        page.paragraph(format!(
            "Today: {minimised} {} kg with {}. Each number moves by itself: to the 5th and 95th \
             percentile of its spread, a whole number by one, any other by {}; a yield against the \
             largest other yield of its feed. Every change is the difference of two plans.",
            fixed(kg, 2),
            portfolio.words(),
            share(found.by)
        ));
    }
    let (moving, still): (Vec<&Moved>, Vec<&Moved>) = found
        .moved
        .iter()
        .partition(|one| one.largest_change_kg() > NONE_KG || has_remark(one));
    if !moving.is_empty() {
        page.heading("Change of mass with hardware free");
        page.plot(
            format!("What each number does to the {minimised} at its two ends, hardware free."),
            format!(
                "Bars of the change of {minimised} for {}, the largest first; the table below has \
                 the values.",
                counted(moving.len().min(BARS), "number")
            ),
            picture_of(&moving, minimised).draw(),
            Some(tornado(&moving)),
        );
        page.heading("Numbers by the larger change");
        page.table(table(&moving).without_blank_columns());
    }
    if !still.is_empty() {
        page.paragraph(format!(
            "{} more change nothing, held or free.",
            counted(still.len(), "number")
        ));
    }
    if !found.thresholds.is_empty() {
        page.heading("Where the portfolio switches");
        page.paragraph(format!(
            "The nearest switch found by steps outwards and bisection within {} of a number, every \
             step a full solve; a switch there and back within one step may be missed.",
            share(SEARCHED)
        ));
        page.table(thresholds(found));
    }
    let unmoved = found.unmoved.iter();
    let unmoved: Vec<String> = unmoved
        .map(|(address, why)| format!("{address}: {why}"))
        .collect();
    if !unmoved.is_empty() {
        page.heading("Not moved");
        page.points(unmoved);
    }
    page.records = Some(records(found));
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.data = data(title, minimised, found, origin);
    page
}

fn has_remark(moved: &Moved) -> bool {
    let mut ends = moved.ends.iter();
    ends.any(|end| !end.free.remark().is_empty() || !end.held.remark().is_empty())
}

fn outcome(found: &Sensitivity) -> String {
    if found.today.planned().is_none() {
        return format!(
            "The design as it stands has no plan: {}.",
            found.today.remark()
        );
    }
    let mut words = format!("{} moved", counted(found.moved.len(), "number"));
    if let Some(first) = found.moved.first() {
        words += &format!(
            "; the most, {} kg, comes of {}",
            fixed(first.largest_change_kg(), 2),
            first.number.address
        );
    }
    let cells = found.cells();
    let open = cells.iter().filter(|cell| !cell.is_certain()).count();
    if open > 0 {
        words += &format!(
            "; partial: {} not proved, failed or not reached",
            counted(open, "cell")
        );
    }
    words + "."
}

fn tornado(moving: &[&Moved]) -> String {
    let bars: Vec<(String, [Option<f64>; 2])> = moving
        .iter()
        .take(BARS)
        .map(|one| {
            let changes = one.ends.each_ref().map(|end| end.free_change_kg);
            (one.number.address.clone(), changes)
        })
        .collect();
    picture::tornado(&bars)
}

fn picture_of(moving: &[&Moved], minimised: &str) -> Tornado {
    let rows = moving.iter().take(BARS).map(|one| plots::Moved {
        name: one.number.address.clone(),
        changes: one.ends.each_ref().map(|end| {
            let change = end.free_change_kg?;
            let sign = if change > 0.0 { "+" } else { "" };
            let words = format!("{sign}{}", fixed(change, 1));
            Some((change, words))
        }),
    });
    Tornado {
        axis: format!("change of {minimised}, kg"),
        ends: ["at the lower value", "at the higher value"].map(str::to_owned),
        rows: rows.collect(),
    }
}

fn table(moving: &[&Moved]) -> Table {
    let mut table = Table::new(&[
        ("number", ""),
        ("from", ""),
        ("to", ""),
        ("free", "kg"),
        ("held", "kg"),
        ("units that change", ""),
        ("remark", ""),
    ]);
    for one in moving {
        for end in &one.ends {
            let dimension = one.number.dimension;
            table.rows.push(vec![
                Cell::text(&one.number.address),
                Cell::text(shown(one.number.value, dimension)),
                Cell::text(shown(end.value, dimension)),
                end.free_change_kg.map_or(Cell::Blank, Cell::kg),
                end.held_change_kg.map_or(Cell::Blank, Cell::kg),
                Cell::text(units_that_change(end)),
                remark(end),
            ]);
        }
    }
    table
}

/// Against the portfolio that is held.
fn units_that_change(end: &End) -> String {
    match (end.free.planned(), end.held.planned()) {
        (Some((_, free)), Some((_, held))) => free.changes_from(held),
        _ => String::new(),
    }
}

fn remark(end: &End) -> Cell {
    let (free, held) = (end.free.remark(), end.held.remark());
    match (free.is_empty(), held.is_empty()) {
        (true, true) => Cell::Blank,
        (true, false) => Cell::text(format!("held: {held}")),
        (false, _) if free == held => Cell::text(free),
        (false, true) => Cell::text(format!("free: {free}")),
        (false, false) => Cell::text(format!("free: {free}; held: {held}")),
    }
}

fn thresholds(found: &Sensitivity) -> Table {
    let mut table = Table::new(&[
        ("number", ""),
        ("today", ""),
        ("", ""),
        ("same up to", ""),
        ("other at", ""),
        ("what changes", ""),
    ]);
    for one in &found.thresholds {
        let number = &found.moved[one.number].number;
        let words = |value: f64| Cell::text(shown(value, number.dimension));
        let Found { same_at, other, .. } = &one.found;
        table.rows.push(vec![
            Cell::text(&number.address),
            words(number.value),
            Cell::text(if one.upwards { "up" } else { "down" }),
            words(*same_at),
            match other {
                Some((value, _)) => words(*value),
                None => Cell::Blank,
            },
            Cell::text(what_changes(found, one)),
        ]);
    }
    table
}

fn what_changes(found: &Sensitivity, threshold: &Threshold) -> String {
    let changes = match &threshold.found.other {
        None if threshold.found.certain => return "no switch found".to_owned(),
        None => return "search not finished".to_owned(),
        Some((_, cell)) => match (cell.planned(), found.today.planned()) {
            (Some((_, other)), Some((_, todays))) => other.changes_from(todays),
            _ => cell.remark(),
        },
    };
    match threshold.found.certain {
        true => changes,
        false => format!("{changes} (search not finished)"),
    }
}

fn records(found: &Sensitivity) -> Table {
    let mut table = Table::new(&[
        ("number", ""),
        ("unit", ""),
        ("today", ""),
        ("moved to", ""),
        ("free", "kg"),
        ("change, free", "kg"),
        ("held", "kg"),
        ("change, held", "kg"),
        ("units that change", ""),
        ("remark", ""),
    ]);
    let mass = |cell: &Planned| {
        cell.planned()
            .map_or(Cell::Blank, |(kg, _)| Cell::Plain(kg))
    };
    for one in &found.moved {
        for end in &one.ends {
            table.rows.push(vec![
                Cell::text(&one.number.address),
                Cell::text(one.number.dimension.unit()),
                Cell::Plain(one.number.value),
                Cell::Plain(end.value),
                mass(&end.free),
                end.free_change_kg.map_or(Cell::Blank, Cell::Plain),
                mass(&end.held),
                end.held_change_kg.map_or(Cell::Blank, Cell::Plain),
                Cell::text(units_that_change(end)),
                remark(end),
            ]);
        }
    }
    for (address, why) in &found.unmoved {
        let mut row = vec![Cell::text(address)];
        row.resize(9, Cell::Blank);
        row.push(Cell::text(format!("not moved: {why}")));
        table.rows.push(row);
    }
    table
}

fn data(title: &str, minimised: &str, found: &Sensitivity, origin: &Origin) -> Value {
    let numbers = found.moved.iter().map(|one| {
        let ends = one.ends.each_ref().map(|end| {
            json!({
                "at": end.value,
                "free": cell_data(&end.free, None),
                "held": cell_data(&end.held, None),
                "free_change_kg": end.free_change_kg,
                "held_change_kg": end.held_change_kg,
                "units_that_change": units_that_change(end),
            })
        });
        let mut data = json!({
            "address": one.number.address,
            "unit": one.number.dimension.unit(),
            "value": one.number.value,
            "by_spread": one.by_spread,
            "largest_change_kg": one.largest_change_kg(),
            "ends": ends,
        });
        if let Some(taker) = &one.number.taker {
            data["against"] = json!(taker.address);
        }
        data
    });
    let thresholds = found.thresholds.iter().map(|one| {
        let other = one.found.other.as_ref();
        json!({
            "address": found.moved[one.number].number.address,
            "direction": if one.upwards { "up" } else { "down" },
            "same_up_to": one.found.same_at,
            "other_at": other.map(|(value, _)| value),
            "what_changes": what_changes(found, one),
            "finished": one.found.certain,
        })
    });
    let unmoved = found.unmoved.iter();
    let unmoved = unmoved.map(|(address, why)| json!({"address": address, "remark": why}));
    let portfolio = found
        .today
        .planned()
        .map(|(_, portfolio)| portfolio.words());
    let mut data = json!({
        "title": title,
        "minimised": minimised,
        "complete": found.is_complete(),
        "by_share": found.by,
        "today": cell_data(&found.today, None),
        "todays_units": portfolio,
        "numbers": numbers.collect::<Vec<_>>(),
        "not_moved": unmoved.collect::<Vec<_>>(),
        "thresholds": thresholds.collect::<Vec<_>>(),
    });
    origin.sign(&mut data);
    data
}
