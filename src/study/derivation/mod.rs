//! Derivations: what a plan says of one item, with the equations behind it and
//! what another count of its units would weigh.

mod equation;
mod item;

pub use equation::{Equation, Side, Term};
pub use item::Item;

use crate::answer::{Category, LedgerLine, column_values};
use crate::audit::Plan;
use crate::design::Design;
use crate::network::NodeId;
use crate::program::{Form, Program, formulate};
use crate::solve::Options;
use crate::study::differences;
use crate::{Hints, Planned, Refusal, plan};

/// What a plan says of an item.
#[derive(Clone, Debug)]
pub struct Derivation {
    /// The item.
    pub item: Item,
    /// Rows that speak of it, family by family, with the plan's numbers.
    pub equations: Vec<Equation>,
    /// Its ledger lines.
    pub ledger: Vec<LedgerLine>,
    /// What one unit less and one unit more would do, where it has units.
    pub counts: Vec<Count>,
}

/// What another count of units would do.
#[derive(Clone, Debug, PartialEq)]
pub struct Count {
    /// The count.
    pub units: u32,
    /// What comes of it.
    pub outcome: Outcome,
}

/// What comes of a count.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// It is the plan's own.
    Chosen,
    /// Another plan.
    Plan(Box<Other>),
    /// The design does not allow it; why.
    NotAllowed(String),
    /// Nothing balances then; why.
    NoBalance(Vec<String>),
    /// Stopped before it was known.
    Unknown,
}

/// A plan with another count.
#[derive(Clone, Debug, PartialEq)]
pub struct Other {
    /// Its launch mass, kg.
    pub launch_mass_kg: f64,
    /// What is minimised, kg: equivalent system mass where the design asks for it.
    pub minimised_kg: f64,
    /// Whether it is proved the lightest with that count.
    pub proved: bool,
    /// Launch mass by category less the plan's, kg; what does not change is left out.
    pub by_category: Vec<(Category, f64)>,
    /// Other units that change: node, before, after.
    pub units: Vec<(NodeId, u32, u32)>,
    /// Inequalities about the item that bind then.
    pub binding: Vec<String>,
}

/// Derives what a plan of a design says of an item.
///
/// # Errors
///
/// A failure of the solver or the audit.
pub fn derive(
    design: &Design,
    plan: &Plan,
    item: Item,
    options: &Options,
) -> Result<Derivation, Refusal> {
    let network = plan.network();
    let program = formulate(network, Form::PerFlight);
    let answer = plan.answer();
    let parts: Vec<&str> = match item {
        Item::Node(node) => answer
            .decisions
            .spares
            .iter()
            .filter(|part| part.nodes.contains(&node))
            .map(|part| part.part.as_str())
            .collect(),
        _ => Vec::new(),
    };
    let is_of_item = |line: &&LedgerLine| match item {
        Item::Node(node) => {
            line.item == network.name(node)
                || (line.category == Category::Spares && parts.contains(&line.item.as_str()))
        }
        Item::Flight(flight) => line.flight == flight,
        Item::Limit(_) => false,
    };
    let counts = match item {
        Item::Node(node) if network.duties(node).hardware.is_some() => {
            counts(design, plan, node, options)?
        }
        _ => Vec::new(),
    };
    Ok(Derivation {
        item,
        equations: equations(plan, &program, item),
        ledger: answer.ledger.iter().filter(is_of_item).cloned().collect(),
        counts,
    })
}

fn equations(plan: &Plan, program: &Program, item: Item) -> Vec<Equation> {
    let values = column_values(program, plan.answer());
    let own = item.columns(plan.network(), program);
    item.rows(plan.network(), program)
        .into_iter()
        .map(|row| Equation::of(program, &values, row, |column| own.contains(&column)))
        .collect()
}

/// The plan's count between one less and one more.
fn counts(
    design: &Design,
    plan: &Plan,
    node: NodeId,
    options: &Options,
) -> Result<Vec<Count>, Refusal> {
    let chosen = plan.answer().decisions.counts[node.index()];
    let mut counts = Vec::new();
    for units in chosen.saturating_sub(1)..=chosen + 1 {
        let outcome = match units == chosen {
            true => Outcome::Chosen,
            false => outcome(design, plan, node, units, options)?,
        };
        counts.push(Count { units, outcome });
    }
    Ok(counts)
}

fn outcome(
    design: &Design,
    before: &Plan,
    node: NodeId,
    units: u32,
    options: &Options,
) -> Result<Outcome, Refusal> {
    let network = before.network();
    let count = network.duties(node).count;
    if units < count.lower || units > count.upper {
        let words = match count.installed {
            true => format!("the design has {count} installed"),
            false => format!("the design allows {count}"),
        };
        return Ok(Outcome::NotAllowed(words));
    }
    let hints = Hints {
        counts: [(network.name(node).to_owned(), units..=units)].into(),
        reference: false,
        ..options.clone().into()
    };
    Ok(match plan(design, &hints)? {
        Planned::Plan(after) => Outcome::Plan(Box::new(other(before, &after, node))),
        Planned::NoBalance(why) => {
            let causes = why.causes.into_iter();
            Outcome::NoBalance(causes.map(|cause| cause.diagnostic.headline).collect())
        }
        Planned::Unknown { .. } => Outcome::Unknown,
    })
}

fn other(before: &Plan, after: &Plan, node: NodeId) -> Other {
    let program = formulate(after.network(), Form::PerFlight);
    let binding = equations(after, &program, Item::Node(node))
        .into_iter()
        .filter(|equation| equation.binds() && equation.says_something())
        .map(|equation| equation.label)
        .collect();
    let units = differences::units(before, after).into_iter();
    let units = units.filter(|(other, ..)| *other != node).collect();
    Other {
        launch_mass_kg: after.answer().launch_mass_kg,
        minimised_kg: after.answer().minimised_kg(),
        proved: after.answer().proof.status == crate::answer::Status::Optimal,
        by_category: differences::by_category(before, after),
        units,
        binding,
    }
}
