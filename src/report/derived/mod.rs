//! The page of a derivation: enough to put on a board.

mod data;
mod equations;
mod why;

use crate::answer::Status;
use crate::audit::Plan;
use crate::kinds::DutyCard;
use crate::network::NodeId;
use crate::study::derivation::{Derivation, Item};

use super::findings::Origin;
use super::number::fixed;
use super::page::{Block, Cell, Column, Fact, Page, Table, Tone};
use super::solved::CAUTION;

/// The page of what a plan says of an item.
pub fn derived(plan: &Plan, derivation: &Derivation, origin: &Origin) -> Page {
    let network = plan.network();
    let mut page = Page::new(network.title.as_str());
    let proved = plan.answer().proof.status == Status::Optimal;
    page.blocks.push(Block::Outcome {
        tone: if proved { Tone::Good } else { Tone::Doubtful },
        words: outcome(plan, derivation, proved),
    });
    page.blocks.push(Block::Title(network.title.clone()));
    if let Item::Node(node) = derivation.item {
        page.heading("What it does");
        page.verbatim(card(plan, node));
        flows(&mut page, plan, node);
    }
    equations::equations(&mut page, &derivation.equations);
    ledger(&mut page, plan, derivation);
    if let Item::Node(node) = derivation.item {
        why::spares(&mut page, plan, node);
        why::count(&mut page, plan, node, &derivation.counts);
    }
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.data = data::data(plan, derivation, origin);
    page
}

fn outcome(plan: &Plan, derivation: &Derivation, proved: bool) -> String {
    let network = plan.network();
    let answer = plan.answer();
    let mass = fixed(answer.launch_mass_kg, 2);
    let of_a_plan = format!(
        "in a plan of {}, {}.",
        match answer.equivalents {
            None => format!("{mass} kg at launch"),
            Some(_) => format!(
                "{} kg equivalent system mass, {mass} kg at launch",
                fixed(answer.minimised_kg(), 2)
            ),
        },
        if proved {
            "proved the lightest"
        } else {
            "not proved the lightest"
        }
    );
    match derivation.item {
        Item::Node(node) if network.duties(node).hardware.is_some() => {
            let units = answer.decisions.counts[node.index()];
            let count = network.duties(node).count;
            let allowed = match count.installed {
                true => format!("{count} installed"),
                false => format!("{count} allowed"),
            };
            format!(
                "{}: {} ({allowed}) {of_a_plan}",
                network.name(node),
                super::counted(units as usize, "unit")
            )
        }
        Item::Node(node) => format!(
            "{}: {} {of_a_plan}",
            network.name(node),
            network.graph[node].kind
        ),
        Item::Limit(limited) => format!("{}, a limit {of_a_plan}", limited.words().0),
        Item::Flight(flight) => format!("flight {flight} {of_a_plan}"),
    }
}

/// What the node says of itself.
fn card(plan: &Plan, node: NodeId) -> String {
    let network = plan.network();
    DutyCard {
        node: network.name(node),
        kind: network.graph[node].kind,
        duties: network.duties(node),
        substances: &network.substances,
        phases: &network.calendar.phases,
    }
    .to_string()
}

/// Streams in and out by phase.
fn flows(page: &mut Page, plan: &Plan, node: NodeId) {
    let network = plan.network();
    let mut table = Table::new(&[("substance", ""), ("from", ""), ("to", "")]);
    let phases = network.calendar.phases.iter();
    table.columns.extend(phases.map(|phase| Column {
        heading: phase.name.clone(),
        unit: "",
    }));
    for stream in network.streams() {
        let (from, to) = network.ends(stream);
        if from != node && to != node {
            continue;
        }
        let mut row = vec![
            Cell::text(network.substances.name(network.graph[stream].substance)),
            Cell::text(network.name(from)),
            Cell::text(network.name(to)),
        ];
        let by_phase = &plan.answer().decisions.flows[stream.index()];
        row.extend(by_phase.iter().map(|flow| Cell::rate(*flow)));
        table.rows.push(row);
    }
    if !table.rows.is_empty() {
        page.heading("Flows");
        page.paragraph("In kg/d, by phase:");
        page.table(table);
    }
}

fn ledger(page: &mut Page, plan: &Plan, derivation: &Derivation) {
    if derivation.ledger.is_empty() {
        return;
    }
    page.heading("Ledger");
    let flights = &plan.network().calendar.flights;
    let mut table = Table::new(&[
        ("flight", ""),
        ("day", ""),
        ("item", ""),
        ("category", ""),
        ("mass", "kg"),
        ("gear ratio", ""),
        ("how it came about", ""),
    ]);
    let mut sum = 0.0;
    for line in &derivation.ledger {
        let flight = &flights[line.flight];
        sum += line.kg * flight.gear_ratio;
        table.rows.push(vec![
            Cell::Whole(line.flight as u64),
            Cell::Plain(flight.day),
            Cell::text(&line.item),
            Cell::text(line.category.words()),
            Cell::kg(line.kg),
            match flight.gear_ratio == 1.0 {
                true => Cell::Blank,
                false => Cell::Plain(flight.gear_ratio),
            },
            Cell::text(&line.how),
        ]);
    }
    page.table(table.without_blank_columns());
    page.facts(vec![Fact {
        name: "launch mass of these lines".to_owned(),
        value: Cell::kg(sum),
        unit: "kg",
        definition: None,
    }]);
}
