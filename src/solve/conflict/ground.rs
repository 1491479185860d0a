//! The ground that statements stand on: who gives and who takes a substance
//! along its streams, and how far nodes are from each other.

use std::collections::VecDeque;

use petgraph::Direction;

use super::statement::What;
use crate::catalogue::SubstanceId;
use crate::kinds::{Activity, Level, Portion, Role, Stock};
use crate::network::{Network, NodeId};

/// Streams from one node to every other, whichever way they run; nothing is
/// far from a limit on the whole design.
pub(super) fn distances(network: &Network, from: Option<NodeId>) -> Vec<usize> {
    let far = network.graph.node_count();
    let Some(from) = from else {
        return vec![0; far];
    };
    let mut away = vec![far; far];
    let mut queue = VecDeque::from([from]);
    away[from.index()] = 0;
    while let Some(node) = queue.pop_front() {
        for next in network.graph.neighbors_undirected(node) {
            if away[next.index()] == far {
                away[next.index()] = away[node.index()] + 1;
                queue.push_back(next);
            }
        }
    }
    away
}

/// Nodes at which a substance ends (`Outgoing`) or begins (`Incoming`), followed
/// from a node along its streams through what hands it on, nearest first.
pub(super) fn ends(
    network: &Network,
    node: NodeId,
    substance: SubstanceId,
    way: Direction,
) -> Vec<NodeId> {
    let mut seen = vec![node];
    let mut queue = VecDeque::from([node]);
    let mut found = Vec::new();
    while let Some(at) = queue.pop_front() {
        let streams = match way {
            Direction::Incoming => network.inflows(at, substance),
            Direction::Outgoing => network.outflows(at, substance),
        };
        for stream in streams {
            let (from, to) = network.ends(stream);
            let next = match way {
                Direction::Incoming => from,
                Direction::Outgoing => to,
            };
            if seen.contains(&next) {
                continue;
            }
            seen.push(next);
            let duties = network.duties(next);
            let ends_here = duties.activities.iter().any(|activity| {
                let portions = match way {
                    Direction::Incoming => &activity.gives,
                    Direction::Outgoing => &activity.takes,
                };
                amount(portions, substance) > 0.0
            });
            if ends_here {
                found.push(next);
            }
            if duties.passes.contains(&substance) {
                queue.push_back(next);
            }
        }
    }
    found
}

/// kg/d of a substance per unit of level.
pub(super) fn amount(portions: &[Portion], substance: SubstanceId) -> f64 {
    portions
        .iter()
        .filter(|portion| portion.substance == substance)
        .map(|portion| portion.amount)
        .sum()
}

/// What one more kilogram a day without a way out costs at a place, so that the
/// place named is where a person would give it one: something people use, in a
/// store or on its way to them, rather than what it is made from or turned into.
pub(super) fn outlet_weight(network: &Network, what: What) -> f64 {
    let (node, substance, place) = match what {
        What::Outlet {
            node,
            substance,
            made,
            ..
        } => {
            let duties = network.duties(node);
            let place = match duties.stock {
                Some(Stock::Kept { .. }) => 0.97,
                _ if duties.passes.contains(&substance) => 0.98,
                _ if made => 1.0,
                _ => 1.02,
            };
            (node, substance, place)
        }
        What::Product {
            node, substance, ..
        } => (node, substance, 1.01),
        _ => return 0.0,
    };
    let mut makers = ends(network, node, substance, Direction::Incoming);
    makers.push(node);
    let mut converted = makers
        .into_iter()
        .flat_map(|maker| &network.duties(maker).activities)
        .filter(|activity| amount(&activity.gives, substance) > 0.0)
        .filter(|activity| activity.role == Role::Convert)
        .peekable();
    let derived = converted.peek().is_some()
        && converted.all(|activity| {
            let mut takes = activity.takes.iter();
            takes.any(|portion| is_used(network, portion.substance))
        });
    let tier = match (is_used(network, substance), derived) {
        (_, true) => 100.0,
        (true, false) => 1.0,
        (false, false) => 10.0,
    };
    tier * place
}

/// Whether people or their equipment use a substance.
fn is_used(network: &Network, substance: SubstanceId) -> bool {
    let uses = |activity: &Activity| {
        activity.role == Role::Use
            && matches!(activity.level, Level::Fixed(_))
            && amount(&activity.takes, substance) > 0.0
    };
    network
        .nodes()
        .any(|node| network.duties(node).activities.iter().any(uses))
}
