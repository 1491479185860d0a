//! Units, which the plan holds, and the units that replace them.

use super::Draft;
use super::book::{Entry, Sheet, Show, Table};
use super::calendar::Days;
use super::facts::{Fact, UnitFact};
use super::formula::{CellId, Formula, Function, call, difference, product, quotient, sum};
use crate::network::NodeId;

/// Two days closer than this are the same day.
const SAME_DAY: f64 = 1e-6;

/// Units of every node.
pub(super) struct Units {
    names: Vec<String>,
    /// Units by node; nothing where there are none.
    units: Vec<Formula>,
    /// Units running by node and phase, where a turndown is given.
    running: Vec<Option<Vec<Formula>>>,
}

impl Units {
    /// Units of a node: a cell, or nothing.
    pub fn of(&self, node: usize) -> Formula {
        self.units[node].clone()
    }

    /// Name of a node.
    pub fn name(&self, node: usize) -> &str {
        &self.names[node]
    }

    fn at_work(&self, node: usize, phase: usize) -> Formula {
        match &self.running[node] {
            Some(running) => running[phase].clone(),
            None => self.of(node),
        }
    }

    /// The most that the units of a node can take in a phase, kg/d; none where that
    /// is without limit or the node does not work.
    pub fn most(&self, draft: &mut Draft, node: NodeId, phase: usize) -> Option<Formula> {
        let index = node.index();
        let fact = Fact::Unit(index, UnitFact::Capacity);
        if !draft.has(fact) || !draft.network.works(node, phase) {
            return None;
        }
        let capacity = draft.fact(fact);
        let availability = draft.fact(Fact::Unit(index, UnitFact::Availability));
        Some(product([
            self.at_work(index, phase),
            capacity,
            availability,
        ]))
    }

    /// The least that the running units of a node can take in a phase, kg/d.
    pub fn least(&self, draft: &mut Draft, node: NodeId, phase: usize) -> Option<Formula> {
        let index = node.index();
        let fact = Fact::Unit(index, UnitFact::Turndown);
        if !draft.has(fact) || !draft.network.works(node, phase) {
            return None;
        }
        let turndown = draft.fact(fact);
        let capacity = draft.fact(Fact::Unit(index, UnitFact::Capacity));
        let least = product([self.at_work(index, phase), capacity, turndown]);
        (!least.is_number(0.0)).then_some(least)
    }
}

/// Writes the units that the plan holds.
pub(super) fn units(draft: &mut Draft) -> Units {
    let network = draft.network;
    let mut table = Table::new(
        Sheet::Hardware,
        "Units",
        &[
            ("node", Show::Words),
            ("units, held", Show::Whole),
            ("mass each, kg", Show::Plain),
            ("capacity each, kg/d", Show::Plain),
            ("availability", Show::Plain),
            ("already there", Show::Short),
        ],
    );
    let mut without = Vec::new();
    let mut units = Vec::new();
    let mut running = Vec::new();
    for node in network.nodes() {
        let index = node.index();
        let duties = network.duties(node);
        let count = draft.answer.decisions.counts[index];
        if duties.hardware.is_none() {
            units.push(Formula::Number(1.0));
            running.push(None);
            continue;
        }
        if count == 0 {
            without.push(network.name(node));
            units.push(Formula::Number(0.0));
            running.push(None);
            continue;
        }
        let cell = draft.book.held(f64::from(count));
        let shown = |draft: &mut Draft, fact: UnitFact| -> Entry {
            let fact = Fact::Unit(index, fact);
            match draft.has(fact) {
                true => {
                    let formula = draft.fact(fact);
                    draft.book.formula(formula).into()
                }
                false => Entry::Blank,
            }
        };
        table.rows.push(vec![
            network.name(node).into(),
            cell.into(),
            shown(draft, UnitFact::Mass),
            shown(draft, UnitFact::Capacity),
            shown(draft, UnitFact::Availability),
            if duties.count.installed {
                "yes".into()
            } else {
                Entry::Blank
            },
        ]);
        units.push(cell.into());
        let at_work = draft.answer.decisions.running[index].as_ref();
        running.push(at_work.map(|running| {
            running
                .iter()
                .map(|&running| match running {
                    0 => Formula::Number(0.0),
                    running if running == count => cell.into(),
                    running => draft.book.held(f64::from(running)).into(),
                })
                .collect()
        }));
    }
    table.note = match without.is_empty() {
        true => "Held at the plan's numbers: the formulas do not choose hardware.".to_owned(),
        false => format!(
            "Held at the plan's numbers: the formulas do not choose hardware. Not chosen: {}.",
            without.join(", ")
        ),
    };
    draft.book.table(table);
    Units {
        names: network
            .nodes()
            .map(|node| network.name(node).to_owned())
            .collect(),
        units,
        running,
    }
}

/// Units that replace worn-out ones, all units of a node together: node, flight,
/// how many.
pub(super) fn replacements(
    draft: &mut Draft,
    days: &Days,
    units: &Units,
) -> Vec<(NodeId, usize, CellId)> {
    let network = draft.network;
    let mut table = Table::new(
        Sheet::Hardware,
        "Units that replace worn-out ones",
        &[("node", Show::Words), ("flight", Show::Whole), ("needed by then", Show::Whole), ("units on the flight", Show::Whole)],
    )
    .noted("A unit in service for longer than its life is replaced on the last flight not after that day.");
    let mut found = Vec::new();
    for node in network.nodes() {
        let index = node.index();
        let fact = Fact::Unit(index, UnitFact::Life);
        if !draft.has(fact) || units.of(index).is_number(0.0) {
            continue;
        }
        let life = draft.fact(fact);
        let start = days.starts[network.duties(node).starts_in_phase];
        let lives = |until: Formula, slack: Formula| {
            let served = quotient(difference(until, start.into()), life.clone());
            let whole = call(Function::RoundUp, [difference(served, slack)]);
            call(Function::Max, [0.0.into(), difference(whole, 1.0.into())])
        };
        let all = draft.book.formula(lives(days.end.into(), 1e-9.into()));
        let mut before: Option<CellId> = None;
        for flight in 0..days.flights.len() {
            let due: Formula = match flight + 1 == days.flights.len() {
                true => all.into(),
                false => {
                    let next = difference(days.next[flight].into(), SAME_DAY.into());
                    call(Function::Min, [all.into(), lives(next, 0.0.into())])
                }
            };
            let due = draft.book.formula(due);
            let here = match before {
                Some(before) => difference(due.into(), before.into()),
                None => due.into(),
            };
            let here = draft.book.formula(product([units.of(index), here]));
            table.rows.push(vec![
                network.name(node).into(),
                flight.to_string().into(),
                due.into(),
                here.into(),
            ]);
            found.push((node, flight, here));
            before = Some(due);
        }
    }
    draft.book.table(table);
    found
}

/// `Σ units · what each has` over nodes, with further terms.
pub(super) fn over_units(
    draft: &mut Draft,
    units: &Units,
    works: impl Fn(NodeId) -> bool,
    fact: UnitFact,
) -> Vec<Formula> {
    let nodes: Vec<NodeId> = draft.network.nodes().filter(|&node| works(node)).collect();
    let mut terms = Vec::new();
    for node in nodes {
        let index = node.index();
        let fact = Fact::Unit(index, fact);
        if draft.has(fact) && !units.of(index).is_number(0.0) {
            let each = draft.fact(fact);
            terms.push(product([units.of(index), each]));
        }
    }
    terms
}

/// A sum as a cell of its own, unless it is nothing.
pub(super) fn total(draft: &mut Draft, terms: Vec<Formula>) -> Formula {
    match sum(terms) {
        nothing if nothing.is_number(0.0) => nothing,
        terms => draft.book.formula(terms).into(),
    }
}
