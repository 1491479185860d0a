//! The checked network: a directed multigraph of duties, the calendar, and
//! what the whole design asks for.

mod build;
mod calendar;
mod calendar_of;
mod checks;
mod equivalents_of;
mod exclusive_of;
mod faults_of;
mod held;
mod lasting;
mod links;
mod pieces_in_reach;
mod pools;
mod price_of;
mod service;
mod spares_in_reach;
mod substances_of;
mod water_round;

pub use crate::kinds::Phase;
pub use build::{Checked, check};
pub use calendar::{Calendar, Flight, Interval};
pub use equivalents_of::{Equivalents, PhaseFactors};
pub use faults_of::{BadDays, Fault, Window};
pub use lasting::lasting;
pub use pools::Pool;
pub use price_of::LaunchPrice;
pub use water_round::{
    Cells, Coil, CoilKnown, Dispenser, Drink, PressedTank, WaterLine, WaterRound,
};

use petgraph::Direction;
use petgraph::graph::{DiGraph, EdgeIndex, NodeIndex};
use petgraph::visit::EdgeRef;

use crate::catalogue::{SubstanceId, Substances};
use crate::diagnostic::Place;
use crate::kinds::{Activity, Duties};

/// A node of the network; ids follow the order of the file.
pub type NodeId = NodeIndex<u32>;
/// A stream of the network; ids follow the order of the file.
pub type StreamId = EdgeIndex<u32>;

/// A checked design: everything later reads this and nothing earlier.
#[derive(Clone, Debug)]
pub struct Network {
    /// Title of the design.
    pub title: String,
    /// What the design is, in a sentence.
    pub summary: Option<String>,
    /// Phases, flights, intervals.
    pub calendar: Calendar,
    /// Every substance, built in and declared.
    pub substances: Substances,
    /// Nodes with their duties, streams with their substances.
    pub graph: DiGraph<Node, Stream>,
    /// Groups of which at most one node may be chosen.
    pub exclusive: Vec<Exclusive>,
    /// Limits on the whole design.
    pub limits: Limits,
    /// Which spares are asked for.
    pub spares: Option<SparesPolicy>,
    /// What power, cooling, volume and crew time weigh, if they are asked for.
    pub equivalents: Option<Equivalents>,
    /// What a kilogram of launch mass costs, if the design says.
    pub launch_price: Option<LaunchPrice>,
    /// Bad days that the design names.
    pub bad_days: Vec<BadDays>,
    /// What is worked out of the water round beside the plan, if the design asks.
    pub water_round: Option<WaterRound>,
    /// Remarks a reader should see, such as a rescaled crew profile.
    pub notes: Vec<String>,
}

/// A node and what it does.
#[derive(Clone, Debug)]
pub struct Node {
    /// Its name in the file.
    pub name: String,
    /// Where it is written.
    pub place: Place,
    /// The name of its kind, for readers and for what is about one kind alone.
    pub kind: &'static str,
    /// What it does.
    pub duties: Duties,
}

/// A stream: one substance from one node to another.
#[derive(Clone, Debug)]
pub struct Stream {
    /// What flows.
    pub substance: SubstanceId,
    /// Where it is written.
    pub place: Place,
}

/// At most one of these nodes may have units.
#[derive(Clone, Debug)]
pub struct Exclusive {
    /// The nodes.
    pub nodes: Vec<NodeId>,
    /// Where the group is written.
    pub place: Place,
}

/// A limit and where it is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// The largest value allowed, in the unit of its kind.
    pub value: f64,
    /// Where it is written.
    pub place: Place,
}

/// Limits on the whole design; none means no limit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Limits {
    /// Electric power in any phase, W.
    pub power_w: Option<Limit>,
    /// Heat to the coolant in any phase, W.
    pub heat_w: Option<Limit>,
    /// Volume of all units, m³.
    pub volume_m3: Option<Limit>,
    /// Crew time in any phase, h/d.
    pub crew_time_h_per_day: Option<Limit>,
    /// All waste stowed aboard over the mission, kg.
    pub stowage_kg: Option<Limit>,
}

/// Which spares are asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SparesPolicy {
    /// Every part reaches this confidence by itself.
    EachNode {
        /// Probability that the spares of a part suffice.
        confidence: f64,
    },
    /// All parts together reach this confidence.
    WholeSystem {
        /// Probability that the spares of every part suffice.
        confidence: f64,
    },
}

impl Network {
    /// Node ids in file order.
    pub fn nodes(&self) -> impl Iterator<Item = NodeId> + use<> {
        self.graph.node_indices()
    }

    /// Stream ids in file order.
    pub fn streams(&self) -> impl Iterator<Item = StreamId> + use<> {
        self.graph.edge_indices()
    }

    /// A node's duties.
    pub fn duties(&self, node: NodeId) -> &Duties {
        &self.graph[node].duties
    }

    /// A node's name.
    pub fn name(&self, node: NodeId) -> &str {
        &self.graph[node].name
    }

    /// The two ends of a stream.
    pub fn ends(&self, stream: StreamId) -> (NodeId, NodeId) {
        self.graph
            .edge_endpoints(stream)
            .unwrap_or((NodeId::end(), NodeId::end()))
    }

    /// Streams of a substance into a node, in file order.
    pub fn inflows(&self, node: NodeId, substance: SubstanceId) -> Vec<StreamId> {
        self.streams_of(node, substance, Direction::Incoming)
    }

    /// Streams of a substance out of a node, in file order.
    pub fn outflows(&self, node: NodeId, substance: SubstanceId) -> Vec<StreamId> {
        self.streams_of(node, substance, Direction::Outgoing)
    }

    fn streams_of(&self, node: NodeId, substance: SubstanceId, way: Direction) -> Vec<StreamId> {
        let mut found: Vec<StreamId> = self
            .graph
            .edges_directed(node, way)
            .filter(|edge| edge.weight().substance == substance)
            .map(|edge| edge.id())
            .collect();
        found.sort();
        found
    }

    /// Every substance that a node takes, gives or hands through, by id.
    pub fn substances_at(&self, node: NodeId) -> Vec<SubstanceId> {
        let duties = self.duties(node);
        let mut found: Vec<SubstanceId> = duties.passes.clone();
        for activity in &duties.activities {
            found.extend(activity.takes.iter().map(|portion| portion.substance));
            found.extend(activity.gives.iter().map(|portion| portion.substance));
        }
        found.extend(
            self.graph
                .edges_directed(node, Direction::Incoming)
                .chain(self.graph.edges_directed(node, Direction::Outgoing))
                .map(|edge| edge.weight().substance),
        );
        found.sort();
        found.dedup();
        found
    }

    /// Whether a node works in a phase.
    pub fn works(&self, node: NodeId, phase: usize) -> bool {
        phase >= self.duties(node).starts_in_phase
    }

    /// Whether a stream may carry something in a phase.
    pub fn carries(&self, stream: StreamId, phase: usize) -> bool {
        let (from, to) = self.ends(stream);
        self.works(from, phase) && self.works(to, phase)
    }

    /// The day on which a node starts to work.
    pub fn start_day(&self, node: NodeId) -> f64 {
        self.calendar.phase_start(self.duties(node).starts_in_phase)
    }

    /// Days from a node's start to the end of the mission.
    pub fn service_days(&self, node: NodeId) -> f64 {
        self.calendar.mission_days() - self.start_day(node)
    }

    /// Words for a level: "urine still: urine".
    pub fn activity_words(&self, node: NodeId, activity: &Activity) -> String {
        if activity.label.is_empty() {
            self.name(node).to_owned()
        } else {
            format!("{}: {}", self.name(node), activity.label)
        }
    }
}
