//! How it ended, how much comes back, and what it is compared with.

use super::mass::cost_heading;
use crate::answer::Status;
use crate::audit::Plan;
use crate::report::findings::{Findings, status_words};
use crate::report::number::{counted, fixed, share};

use crate::report::page::{Block, Cell, Fact, Page, Table, Tone};

/// A larger gap than this, asked for by the user, is said beside "optimal".
const WORTH_SAYING: f64 = 1e-6;

/// Status and launch mass in the first line; then what was planned.
pub(in crate::report) fn outcome(page: &mut Page, findings: &Findings) {
    let plan = findings.plan;
    let (network, answer) = (plan.network(), plan.answer());
    let proof = &answer.proof;
    let launch = format!("{} kg at launch", fixed(answer.launch_mass_kg, 2));
    let bound = fixed(proof.bound_kg, 2);
    let allowed = match findings.origin.held {
        true => "with the units held",
        false => "this design allows",
    };
    let (mass, bound) = match &answer.equivalents {
        Some(equivalents) => (
            format!(
                "{} kg equivalent system mass, {launch}",
                fixed(equivalents.equivalent_system_mass_kg, 2)
            ),
            format!("Nothing {allowed} has an equivalent system mass below {bound} kg"),
        ),
        None => (
            launch,
            format!("Nothing {allowed} weighs less than {bound} kg"),
        ),
    };
    let gap = share(proof.gap);
    let (tone, words) = match proof.status {
        Status::Optimal if proof.gap > WORTH_SAYING => (
            Tone::Good,
            format!("Optimal within {gap}: {mass}. {bound}."),
        ),
        Status::Optimal => (Tone::Good, format!("Optimal: {mass}. {bound}.")),
        Status::Feasible => (
            Tone::Doubtful,
            format!(
                "Not proved optimal: {mass}, is the best found before the search was stopped. \
                 {bound} (gap {gap})."
            ),
        ),
    };
    page.blocks.push(Block::Outcome { tone, words });
    page.blocks.push(Block::Title(network.title.clone()));
    if let Some(summary) = &network.summary {
        page.paragraph(summary.as_str());
    }
    let calendar = &network.calendar;
    page.paragraph(format!(
        "{} days in {}, {}.",
        crate::quantity::shown_number(calendar.mission_days()),
        counted(calendar.phases.len(), "phase"),
        counted(calendar.flights.len(), "flight"),
    ));
    let origin = findings.origin;
    let mut changes = Vec::new();
    if let Some(variant) = &origin.variant {
        changes.push(format!("variant \"{variant}\""));
    }
    changes.extend(origin.edits.iter().map(|edit| format!("set {edit}")));
    page.points(changes);
}

/// Recovery figures with their definitions.
pub(super) fn recovery(page: &mut Page, plan: &Plan) {
    let recovery = &plan.answer().recovery;
    let figures = [
        (
            "water recovery",
            recovery.water_recovery,
            "1 − (water drawn from cargo − G) / water taken by people and equipment",
        ),
        (
            "water lost",
            recovery.water_lost_share,
            "water content of what is disposed of / of what people and equipment give back",
        ),
        (
            "oxygen closure",
            recovery.oxygen_closure,
            "1 − (oxygen drawn from cargo + 0.888093 G) / oxygen taken by people and equipment",
        ),
        (
            "loop closure by mass",
            recovery.loop_closure_by_mass,
            "1 − cargo drawn / everything taken by people and equipment",
        ),
    ];
    let facts: Vec<Fact> = figures
        .into_iter()
        .filter_map(|(name, value, definition)| {
            Some(Fact {
                name: name.to_owned(),
                value: Cell::Share(value?),
                unit: "",
                definition: Some(definition.to_owned()),
            })
        })
        .collect();
    if !facts.is_empty() {
        page.heading("Recovery");
        page.facts(facts);
        page.paragraph(
            "Over the whole mission. Water drawn and taken is any substance that is water alone; \
             G is water split into hydrogen less water made from hydrogen. Water recovery may pass \
             100 %, because food brings water and people make some.",
        );
    }
}

/// The reference, and what is saved against it.
pub(super) fn reference(page: &mut Page, plan: &Plan) {
    let Some(reference) = plan.reference() else {
        return;
    };
    page.heading("Against the reference");
    let name = reference.name();
    let (Some(mass), Some(flights)) = (reference.launch_mass_kg(), reference.flights()) else {
        let why = match reference.status() {
            "infeasible" => "has no balance",
            "bad input" => "has mistakes of its own",
            _ => "was not solved before the search was stopped",
        };
        page.paragraph(format!(
            "The reference, {name}, {why}, so no saving can be stated."
        ));
        return;
    };
    let price = plan.network().launch_price.as_ref();
    let cost = price.map_or_else(String::new, cost_heading);
    let mut table = Table::new(&[
        ("", ""),
        ("launch mass", "kg"),
        (&cost, ""),
        ("flights", ""),
        ("payload used", ""),
        ("proof", ""),
    ]);
    let money = |cost: Option<f64>| match cost {
        Some(value) => Cell::Number { value, decimals: 2 },
        None => Cell::Blank,
    };
    table.rows.push(vec![
        Cell::text("this plan"),
        Cell::kg(plan.answer().launch_mass_kg),
        money(plan.launch_cost()),
        Cell::Whole(plan.flights() as u64),
        plan.payload_used().map_or(Cell::Blank, Cell::Share),
        Cell::text(status_words(plan.answer().proof.status)),
    ]);
    // In another currency it has no place in the column.
    let in_this_money = plan.saving_cost().and(reference.launch_cost());
    table.rows.push(vec![
        Cell::text(name),
        Cell::kg(mass),
        money(in_this_money.map(|(cost, _)| cost)),
        Cell::Whole(flights as u64),
        reference.payload_used().map_or(Cell::Blank, Cell::Share),
        Cell::text(reference.status()),
    ]);
    table.rows.push(vec![
        Cell::text("saving"),
        plan.saving_kg().map_or(Cell::Blank, Cell::kg),
        money(plan.saving_cost()),
        plan.saving_flights()
            .map_or(Cell::Blank, |flights| Cell::Number {
                value: flights as f64,
                decimals: 0,
            }),
        Cell::Blank,
        Cell::Blank,
    ]);
    page.table(table.without_blank_columns());
    page.paragraph(saving(plan, mass));
    if plan.network().calendar.flights.len() > 1 {
        page.paragraph(
            "Flights are those that carry something or take waste away; any other need not fly. \
             The plan is the lightest, not the one with the fewest flights: what is needed late \
             comes late, so a flight may fly for little.",
        );
    }
    if let (Some(here), Some(there)) = (plan.flights_by_mass(), reference.flights_by_mass()) {
        page.paragraph(format!(
            "By mass alone, what the flights with a payload limit carry would fit into {here} of \
             them, and in the reference into {there}."
        ));
    }
}

/// What is saved, in kilograms, flights and money.
fn saving(plan: &Plan, reference_kg: f64) -> String {
    let mut words = Vec::new();
    if let Some(saving) = plan.saving_kg() {
        let part = match reference_kg > 0.0 {
            true => format!(" ({})", share(saving.abs() / reference_kg)),
            false => String::new(),
        };
        words.push(format!(
            "This plan {} {} kg{part}",
            saves(saving),
            fixed(saving.abs(), 2)
        ));
    }
    if let (Some(saving), Some(price)) = (plan.saving_cost(), &plan.network().launch_price) {
        let money = format!("{} {}", fixed(saving.abs(), 2), price.currency);
        words.push(format!("{} {money} of launch cost", saves(saving)));
    }
    match plan.saving_flights() {
        Some(0) | None => {}
        Some(1) => words.push("one flight need not fly".to_owned()),
        Some(saved) if saved > 0 => words.push(format!("{saved} flights need not fly")),
        Some(more) => words.push(format!(
            "needs {}",
            counted(more.unsigned_abs() as usize, "more flight")
        )),
    }
    words.join("; ") + "."
}

fn saves(saving: f64) -> &'static str {
    match saving >= 0.0 {
        true => "saves",
        false => "costs another",
    }
}
