//! Pools of spares: which nodes draw from which, and how often they fail.

use super::{Network, NodeId, SparesPolicy};
use crate::kinds::SparePart;

/// Nodes that draw the same spare part.
#[derive(Clone, Debug, PartialEq)]
pub struct Pool {
    /// The shared name, or the node's.
    pub name: String,
    /// The nodes, in file order.
    pub nodes: Vec<NodeId>,
    /// The part; duty and mean time between failures are each node's own.
    pub part: SparePart,
}

impl SparesPolicy {
    /// The probability asked for.
    pub fn confidence(&self) -> f64 {
        match self {
            SparesPolicy::EachNode { confidence } | SparesPolicy::WholeSystem { confidence } => {
                *confidence
            }
        }
    }
}

impl Network {
    /// Every pool of spares, by its first node in file order.
    pub fn pools(&self) -> Vec<Pool> {
        let mut pools: Vec<Pool> = Vec::new();
        for node in self.nodes() {
            let Some(part) = self.spare_part(node) else {
                continue;
            };
            let shared = part.part.as_ref().map(|name| name.text.as_str());
            let known = pools.iter_mut().find(|pool| {
                shared.is_some() && pool.part.part.as_ref().map(|name| name.text.as_str()) == shared
            });
            match known {
                Some(pool) => pool.nodes.push(node),
                None => pools.push(Pool {
                    name: shared.unwrap_or(self.name(node)).to_owned(),
                    nodes: vec![node],
                    part: part.clone(),
                }),
            }
        }
        pools
    }

    fn spare_part(&self, node: NodeId) -> Option<&SparePart> {
        self.duties(node)
            .hardware
            .as_ref()
            .and_then(|hardware| hardware.spares.as_ref())
    }

    /// Every combination of unit counts of some nodes within their bounds.
    pub fn unit_combinations(&self, nodes: &[NodeId]) -> Vec<Vec<u32>> {
        let mut combinations = vec![Vec::new()];
        for &node in nodes {
            let count = self.duties(node).count;
            combinations = combinations
                .into_iter()
                .flat_map(|combination: Vec<u32>| {
                    (count.lower..=count.upper).map(move |units| {
                        let mut longer = combination.clone();
                        longer.push(units);
                        longer
                    })
                })
                .collect();
        }
        combinations
    }

    /// Mean number of failures of a pool:
    /// `Σ a · duty · (days from the node's start to the end) / MTBF`.
    ///
    /// Two units at a duty of 1 for 720 days with a mean time between failures
    /// of 26 000 h fail 1.3292 times on average.
    pub fn mean_failures(&self, nodes: &[NodeId], counts: &[u32]) -> f64 {
        nodes
            .iter()
            .zip(counts)
            .filter_map(|(&node, &units)| {
                let part = self.spare_part(node)?;
                Some(f64::from(units) * part.duty * self.service_days(node) / part.mtbf_days)
            })
            .sum()
    }

    /// The flight that carries a pool's spares: with the earliest hardware of
    /// its nodes that have units.
    pub fn spares_flight(&self, nodes: &[NodeId], counts: &[u32]) -> usize {
        nodes
            .iter()
            .zip(counts)
            .filter(|&(_, &units)| units > 0)
            .map(|(&node, _)| self.hardware_flight(node))
            .min()
            .unwrap_or(0)
    }
}
