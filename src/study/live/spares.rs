//! Spares: mean failures, and how many suffice.

use super::Draft;
use super::book::{Content, Entry, Sheet, Show, Table};
use super::calendar::Days;
use super::facts::{Fact, UnitFact, WholeFact};
use super::formula::{CellId, Formula, Function, Value, call, difference, product, quotient, sum};
use super::hardware::Units;
use crate::network::{NodeId, SparesPolicy};
use crate::physics::gamma_rate::shape_of_error_factor;

/// More spares than the plan has that the table looks at.
const BEYOND: u32 = 6;

/// Spares of a part.
pub(super) struct Part {
    /// Its name.
    pub name: String,
    /// The first node that draws on it.
    pub node: NodeId,
    /// How many fly.
    pub spares: CellId,
    /// The flight.
    pub flight: usize,
    /// Whether their number is beyond the table.
    pub counted: Option<u32>,
}

/// Spares of all parts.
pub(super) struct Spares {
    /// By part.
    pub parts: Vec<Part>,
    /// Probability that all of them suffice, where the whole system has a target.
    pub system: Option<CellId>,
}

/// Writes the spares.
pub(super) fn spares(draft: &mut Draft, days: &Days, units: &Units) -> Spares {
    let network = draft.network;
    let answer = draft.answer;
    let each_node = matches!(network.spares, Some(SparesPolicy::EachNode { .. }));
    let most = answer
        .decisions
        .spares
        .iter()
        .map(|plan| plan.spares)
        .max()
        .unwrap_or(0);
    let columns = if each_node { most + BEYOND } else { 0 };
    let mut table = Table::new(
        Sheet::Spares,
        "Spares",
        &[
            ("part", Show::Words),
            ("mean failures", Show::Rate),
            ("spares", Show::Whole),
            ("they suffice with", Show::Probability),
        ],
    )
    .noted(if each_node {
        "As many as reach the confidence asked for: those with a lower probability are counted (0, 1, 2, …)."
    } else {
        "Held at the plan's numbers, which together reach the confidence asked for at the lowest mass."
    });
    for spares in 0..columns {
        table.column(format!("with {spares}"), Show::Probability);
    }
    let mut parts = Vec::new();
    let mut probabilities = Vec::new();
    for plan in &answer.decisions.spares {
        let mut terms = Vec::new();
        for &node in &plan.nodes {
            let index = node.index();
            if units.of(index).is_number(0.0) {
                continue;
            }
            let start = days.starts[network.duties(node).starts_in_phase];
            let served = difference(days.end.into(), start.into());
            let duty = draft.fact(Fact::Unit(index, UnitFact::Duty));
            let mtbf = draft.fact(Fact::Unit(index, UnitFact::Mtbf));
            terms.push(quotient(product([units.of(index), duty, served]), mtbf));
        }
        let Some(&node) = plan.nodes.first().filter(|_| !terms.is_empty()) else {
            continue;
        };
        let mean = draft.book.formula(sum(terms));
        let factor = Fact::Unit(node.index(), UnitFact::ErrorFactor);
        let factor = draft.facts.numbers.get(&factor).copied().unwrap_or(1.0);
        let shape = (factor > 1.0).then(|| {
            let shape = Value::Number(shape_of_error_factor(factor));
            draft.book.add(Content::Given, shape, None)
        });
        let suffices = |spares: Formula| match shape {
            None => call(Function::Poisson, [spares, mean.into()]),
            Some(shape) => {
                let point = quotient(shape.into(), sum([shape.into(), mean.into()]));
                call(
                    Function::Beta,
                    [point, shape.into(), sum([spares, 1.0.into()])],
                )
            }
        };
        let mut row: Vec<Entry> = vec![plan.part.as_str().into(), mean.into()];
        let mut shown = Vec::new();
        for spares in 0..columns {
            shown.push(draft.book.formula(suffices(f64::from(spares).into())));
        }
        let spares = match each_node {
            true => {
                let confidence = draft.fact(Fact::Whole(WholeFact::Confidence));
                let below = shown.iter().map(|&cell| cell.into()).chain([confidence]);
                let count = call(Function::CountBelow, below);
                let words = format!("spares of {}", plan.part);
                draft.book.planned(&words, count, f64::from(plan.spares))
            }
            false => draft.book.held(f64::from(plan.spares)),
        };
        let words = format!("confidence of {}", plan.part);
        let probability = draft
            .book
            .planned(&words, suffices(spares.into()), plan.confidence);
        probabilities.push(probability);
        row.push(spares.into());
        row.push(probability.into());
        row.extend(shown.into_iter().map(Entry::Cell));
        table.rows.push(row);
        if let Some(shape) = shape {
            draft.rates.rows.push(vec![
                format!("{}: shape of the uncertain failure rate", plan.part).into(),
                shape.into(),
                Entry::Blank,
            ]);
        }
        let counts: Vec<u32> = plan
            .nodes
            .iter()
            .map(|node| answer.decisions.counts[node.index()])
            .collect();
        parts.push(Part {
            name: plan.part.clone(),
            node,
            spares,
            flight: network.spares_flight(&plan.nodes, &counts),
            counted: each_node.then_some(columns),
        });
    }
    draft.book.table(table);
    let system = (!each_node && !probabilities.is_empty()).then(|| {
        let all = product(probabilities.into_iter().map(Formula::Cell));
        draft.book.formula(all)
    });
    Spares { parts, system }
}
