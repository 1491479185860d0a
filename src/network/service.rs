//! When hardware flies and how often it is replaced; what a store feeds.

use petgraph::Direction;
use petgraph::visit::EdgeRef;

use super::{Network, NodeId, StreamId};
use crate::kinds::{Role, Stock};

impl Network {
    /// The same network with every count at its lower bound.
    #[must_use]
    pub fn at_lower_bounds(&self) -> Network {
        let mut network = self.clone();
        for node in network.graph.node_weights_mut() {
            node.duties.count.upper = node.duties.count.lower;
        }
        network
    }

    /// The flight that carries a node's first units: the last not after its start.
    pub fn hardware_flight(&self, node: NodeId) -> usize {
        self.calendar.last_flight_by(self.start_day(node))
    }

    /// The flight of every replacement of one unit: the last not after it is due.
    ///
    /// A unit of life `L` in service for `D` days is replaced
    /// `⌈D / L − 1e-9⌉ − 1` times, after `L`, `2 L`, … days.
    pub fn replacement_flights(&self, node: NodeId) -> Vec<usize> {
        let Some(life) = self
            .duties(node)
            .hardware
            .as_ref()
            .and_then(|hardware| hardware.life_days)
        else {
            return Vec::new();
        };
        let start = self.start_day(node);
        let sets = (self.service_days(node) / life - 1e-9).ceil() as u32;
        (1..sets)
            .map(|set| self.calendar.last_flight_by(start + f64::from(set) * life))
            .collect()
    }

    /// Streams out of a store that its reserve in days must cover: all but those
    /// to stores, disposals and junctions that lead to nothing else.
    pub fn fed_by_store(&self, store: NodeId) -> Vec<StreamId> {
        let mut fed: Vec<StreamId> = self
            .graph
            .edges_directed(store, Direction::Outgoing)
            .filter(|edge| !self.is_sink(edge.target(), &mut Vec::new()))
            .map(|edge| edge.id())
            .collect();
        fed.sort();
        fed
    }

    /// Whether what reaches a node can only end in stores and disposals.
    fn is_sink(&self, node: NodeId, seen: &mut Vec<NodeId>) -> bool {
        let duties = self.duties(node);
        if matches!(duties.stock, Some(Stock::Kept { .. })) {
            return true;
        }
        if duties
            .activities
            .iter()
            .any(|activity| matches!(activity.role, Role::Leave(_)))
        {
            return true;
        }
        if duties.passes.is_empty() || !duties.activities.is_empty() {
            return false;
        }
        if seen.contains(&node) {
            return true;
        }
        seen.push(node);
        self.graph
            .edges_directed(node, Direction::Outgoing)
            .all(|edge| self.is_sink(edge.target(), seen))
    }

    /// Cargo nodes transferred into a store on arrival, in file order.
    pub fn transferred_into(&self, store: NodeId) -> Vec<NodeId> {
        self.nodes()
            .filter(|&node| {
                matches!(
                    &self.duties(node).stock,
                    Some(Stock::Delivered { into: Some(into), .. }) if into.text == self.name(store)
                )
            })
            .collect()
    }

    /// Whether any tank of a stated size or tare must hold transferred cargo.
    pub fn tanks_hold_cargo(&self) -> bool {
        self.nodes().any(|node| {
            matches!(
                self.duties(node).stock,
                Some(Stock::Kept { tank: Some(_), .. })
            ) && !self.transferred_into(node).is_empty()
        })
    }
}
