//! Which equations decide which variables, and in which order they can be worked out.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

use petgraph::algo::tarjan_scc;
use petgraph::graph::{DiGraph, NodeIndex};

use super::equations::{Equation, Variable};

/// A factor this small is rounding.
const NOTHING: f64 = 1e-9;
/// Flows and levels above this are more than rounding, kg/d.
const RUNNING: f64 = 1e-7;
/// A limit this close is reached, as a share of its terms.
const TIGHT: f64 = 1e-7;

/// How a system is worked out.
#[derive(Clone, Debug, Default)]
pub(super) struct Order {
    /// Groups in the order in which they can be worked out: each variable with its
    /// equation; a group of several depends on itself.
    pub groups: Vec<Vec<(Variable, usize)>>,
    /// Variables that no equation decides.
    pub free: Vec<Variable>,
}

/// The numbers of an equation.
pub(super) struct Numbers {
    /// Factors by variable.
    pub factors: BTreeMap<Variable, f64>,
    /// What is given.
    pub given: f64,
}

/// Chooses as many equations as there are variables to decide, balances first,
/// then limits that are reached while something is left to decide.
pub(super) fn order(
    equations: &[Equation],
    numbers: &[Numbers],
    planned: &BTreeMap<Variable, f64>,
) -> Order {
    let runs = |variable: &Variable| planned.get(variable).is_some_and(|rate| *rate > RUNNING);
    // Rows reduced so far, each with the variable that it decides.
    let mut reduced: Vec<(Variable, BTreeMap<Variable, f64>)> = Vec::new();
    let mut chosen: Vec<usize> = Vec::new();
    let mut decided: BTreeSet<Variable> = BTreeSet::new();
    let mut position: BTreeMap<Variable, usize> = BTreeMap::new();
    for always in [true, false] {
        for (index, (equation, row)) in equations.iter().zip(numbers).enumerate() {
            if equation.always != always || (!always && !is_tight(row, planned)) {
                continue;
            }
            let mut row = row.factors.clone();
            loop {
                // The earliest decided variable first: its row has none before it.
                let next = row
                    .iter()
                    .filter(|(_, factor)| factor.abs() > NOTHING)
                    .filter_map(|(variable, factor)| Some((*position.get(variable)?, *factor)))
                    .min_by_key(|(place, _)| *place);
                let Some((place, factor)) = next else { break };
                let (pivot, known) = &reduced[place];
                let share = factor / known[pivot];
                for (variable, own) in known {
                    *row.entry(*variable).or_insert(0.0) -= share * own;
                }
                row.remove(pivot);
            }
            row.retain(|_, factor| factor.abs() > NOTHING);
            let largest = |running: bool| {
                let candidates = row.iter().filter(|(variable, _)| runs(variable) == running);
                candidates
                    .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
                    .map(|(variable, _)| *variable)
            };
            let pivot = largest(true).or(if always { largest(false) } else { None });
            let Some(pivot) = pivot else { continue };
            position.insert(pivot, reduced.len());
            decided.insert(pivot);
            reduced.push((pivot, row));
            chosen.push(index);
        }
    }
    let free = planned
        .keys()
        .filter(|variable| runs(variable) && !decided.contains(variable));
    Order {
        free: free.copied().collect(),
        groups: groups(&chosen, numbers, &decided),
    }
}

fn is_tight(row: &Numbers, planned: &BTreeMap<Variable, f64>) -> bool {
    let mut left = 0.0;
    let mut size = row.given.abs();
    for (variable, factor) in &row.factors {
        let term = factor * planned.get(variable).copied().unwrap_or(0.0);
        left += term;
        size = size.max(term.abs());
    }
    (left - row.given).abs() <= TIGHT * size.max(1e-3)
}

/// Gives every variable an equation of its own and puts them in order.
fn groups(
    chosen: &[usize],
    numbers: &[Numbers],
    decided: &BTreeSet<Variable>,
) -> Vec<Vec<(Variable, usize)>> {
    let own = |equation: usize| {
        let factors = numbers[equation].factors.iter();
        factors
            .filter(|(variable, factor)| factor.abs() > NOTHING && decided.contains(variable))
            .map(|(variable, _)| *variable)
    };
    let mut owner: BTreeMap<Variable, usize> = BTreeMap::new();
    for &equation in chosen {
        let mut seen = BTreeSet::new();
        assign(equation, &own, &mut owner, &mut seen);
    }
    let mut graph: DiGraph<(Variable, usize), ()> = DiGraph::new();
    let places: BTreeMap<Variable, NodeIndex> = owner
        .iter()
        .map(|(&variable, &equation)| (variable, graph.add_node((variable, equation))))
        .collect();
    for (variable, &equation) in &owner {
        for other in own(equation) {
            if let (Some(&from), Some(&to)) = (places.get(variable), places.get(&other))
                && from != to
            {
                graph.add_edge(from, to, ());
            }
        }
    }
    let components = tarjan_scc(&graph).into_iter();
    components
        .map(|mut component| {
            component.sort();
            component.into_iter().map(|place| graph[place]).collect()
        })
        .collect()
}

/// Gives an equation a variable, moving others along if need be.
fn assign<I: Iterator<Item = Variable>>(
    equation: usize,
    own: &impl Fn(usize) -> I,
    owner: &mut BTreeMap<Variable, usize>,
    seen: &mut BTreeSet<Variable>,
) -> bool {
    let variables: Vec<Variable> = own(equation).collect();
    for &variable in &variables {
        if let Entry::Vacant(free) = owner.entry(variable) {
            free.insert(equation);
            return true;
        }
    }
    for variable in variables {
        if !seen.insert(variable) {
            continue;
        }
        let Some(&before) = owner.get(&variable) else {
            continue;
        };
        if assign(before, own, owner, seen) {
            owner.insert(variable, equation);
            return true;
        }
    }
    false
}
