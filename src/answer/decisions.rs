//! What an answer decides: counts, levels, flows, and what flies when.

use crate::network::NodeId;

/// What was decided, by node, stream, phase and flight; everything else about
/// an answer follows from this and the network.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Decisions {
    /// Units of every node, by node index (1 for a node without hardware).
    pub counts: Vec<u32>,
    /// Units running, by node index and phase; only where a turndown is given.
    pub running: Vec<Option<Vec<u32>>>,
    /// Level of every activity: node, activity, phase.
    pub levels: Vec<Vec<Vec<f64>>>,
    /// Flow of every stream: stream, phase, kg/d.
    pub flows: Vec<Vec<f64>>,
    /// Cargo by node that delivers, in file order.
    pub cargo: Vec<CargoPlan>,
    /// Cartridges by node that uses them, in file order.
    pub cartridges: Vec<CartridgePlan>,
    /// Expendables and upkeep by node that uses them, kg per flight.
    pub consumables: Vec<ConsumablePlan>,
    /// Spares by part, in file order of their first node.
    pub spares: Vec<SparesPlan>,
    /// Reserve and tank of every store, in file order.
    pub stores: Vec<StorePlan>,
}

/// What a cargo node delivers on each flight.
#[derive(Clone, Debug, PartialEq)]
pub struct CargoPlan {
    /// The cargo node.
    pub node: NodeId,
    /// Content by flight, kg.
    pub kg: Vec<f64>,
    /// Whole containers by flight, where it is carried in containers.
    pub containers: Option<Vec<u32>>,
}

/// Cartridges of a node by flight.
#[derive(Clone, Debug, PartialEq)]
pub struct CartridgePlan {
    /// The node.
    pub node: NodeId,
    /// Cartridges by flight.
    pub by_flight: Vec<u32>,
}

/// Expendables or upkeep of a node by flight.
#[derive(Clone, Debug, PartialEq)]
pub struct ConsumablePlan {
    /// The node.
    pub node: NodeId,
    /// Expendables (per kilogram of feed) by flight, kg.
    pub expendables_kg: Vec<f64>,
    /// Upkeep (per unit and day) by flight, kg.
    pub upkeep_kg: Vec<f64>,
}

/// Spares of one part.
#[derive(Clone, Debug, PartialEq)]
pub struct SparesPlan {
    /// Name of the part: the shared name, or the node's.
    pub part: String,
    /// The nodes that draw from the pool.
    pub nodes: Vec<NodeId>,
    /// Spares carried.
    pub spares: u32,
    /// Probability that they suffice.
    pub confidence: f64,
}

/// Reserve and tank of a store.
#[derive(Clone, Debug, PartialEq)]
pub struct StorePlan {
    /// The store.
    pub node: NodeId,
    /// Reserve launched with the departure, kg.
    pub reserve_kg: f64,
    /// What the store must be able to hold, kg.
    pub holds_kg: f64,
    /// Whole tanks, where it has whole tanks.
    pub tanks: Option<u32>,
}
