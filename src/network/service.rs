//! When hardware flies and how often it is replaced; what a store feeds.

use petgraph::Direction;
use petgraph::visit::EdgeRef;

use super::{Network, NodeId, StreamId};
use crate::catalogue::SubstanceId;
use crate::kinds::{Role, Stock, Transfer};

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

    /// How many replacements of one unit each flight carries: the last flight
    /// not after a replacement is due.
    ///
    /// A unit of life `L` in service for `D` days is replaced
    /// `⌈D / L − 1e-9⌉ − 1` times, after `L`, `2 L`, … days.
    pub fn replacements_by_flight(&self, node: NodeId) -> Vec<f64> {
        let flights = self.calendar.flights.len();
        let life = self
            .duties(node)
            .hardware
            .as_ref()
            .and_then(|hardware| hardware.life_days);
        let Some(life) = life else {
            return vec![0.0; flights];
        };
        let start = self.start_day(node);
        let all = ((self.service_days(node) / life - 1e-9).ceil() - 1.0).max(0.0);
        // Those due before a day, in closed form: a short life must not count
        // them one by one.
        let due_before = |day: f64| ((day - start) / life).ceil().clamp(1.0, all + 1.0) - 1.0;
        let mut before = 0.0;
        (0..flights)
            .map(|flight| {
                let until = match self.calendar.flights.get(flight + 1) {
                    Some(next) => due_before(next.day - super::calendar::SAME_DAY),
                    None => all,
                };
                let carried = until - before;
                before = until;
                carried
            })
            .collect()
    }

    /// Streams out of a store that its reserve in days must cover: all but those
    /// to stores, disposals and junctions through which the substance reaches
    /// nothing else.
    pub fn fed_by_store(&self, store: NodeId) -> Vec<StreamId> {
        let mut fed: Vec<StreamId> = self
            .graph
            .edges_directed(store, Direction::Outgoing)
            .filter(|edge| !self.is_sink(edge.target(), edge.weight().substance, &mut Vec::new()))
            .map(|edge| edge.id())
            .collect();
        fed.sort();
        fed
    }

    /// Whether a substance that reaches a node can only end in stores and
    /// disposals.
    fn is_sink(&self, node: NodeId, substance: SubstanceId, seen: &mut Vec<NodeId>) -> bool {
        let duties = self.duties(node);
        let is_store = matches!(duties.stock, Some(Stock::Kept { .. }));
        let used = duties.activities.iter().filter(|activity| {
            activity
                .takes
                .iter()
                .any(|portion| portion.substance == substance)
        });
        let mut used_otherwise = false;
        let mut left = false;
        for activity in used {
            match activity.role {
                Role::Leave(_) => left = true,
                _ => used_otherwise = true,
            }
        }
        if is_store || (left && !used_otherwise) {
            return true;
        }
        if used_otherwise || !duties.passes.contains(&substance) {
            return false;
        }
        if seen.contains(&node) {
            return true;
        }
        seen.push(node);
        self.outflows(node, substance)
            .into_iter()
            .all(|stream| self.is_sink(self.ends(stream).1, substance, seen))
    }

    /// What it takes to transfer a kilogram of a cargo, if that is described.
    pub fn transfer(&self, cargo: NodeId) -> Option<Transfer> {
        match &self.duties(cargo).stock {
            Some(Stock::Delivered { transfer, .. }) => *transfer,
            _ => None,
        }
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
