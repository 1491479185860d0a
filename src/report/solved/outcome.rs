//! How it ended, how much comes back, and what it is compared with.

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
    let (mass, bound) = match &answer.equivalents {
        Some(equivalents) => (
            format!(
                "{} kg equivalent system mass, {launch}",
                fixed(equivalents.equivalent_system_mass_kg, 2)
            ),
            format!("Nothing this design allows has an equivalent system mass below {bound} kg"),
        ),
        None => (
            launch,
            format!("Nothing this design allows weighs less than {bound} kg"),
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
    let mut table = Table::new(&[
        ("", ""),
        ("launch mass", "kg"),
        ("flights", ""),
        ("proof", ""),
    ]);
    table.rows.push(vec![
        Cell::text("this plan"),
        Cell::kg(plan.answer().launch_mass_kg),
        Cell::Whole(plan.flights() as u64),
        Cell::text(status_words(plan.answer().proof.status)),
    ]);
    table.rows.push(vec![
        Cell::text(name),
        Cell::kg(mass),
        Cell::Whole(flights as u64),
        Cell::text(reference.status()),
    ]);
    page.table(table);
    if let Some(saving) = plan.saving_kg() {
        let (word, kg) = match saving >= 0.0 {
            true => ("saves", saving),
            false => ("costs another", -saving),
        };
        let part = match mass > 0.0 {
            true => format!(" ({})", share(kg / mass)),
            false => String::new(),
        };
        page.paragraph(format!("This plan {word} {} kg{part}.", fixed(kg, 2)));
    }
}
