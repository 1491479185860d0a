//! Statements: what a design says, each by the row or bound that says it.

use crate::catalogue::SubstanceId;
use crate::network::NodeId;

/// What a statement says, by handle.
///
/// That mass is conserved and moves along streams only is no statement: it is
/// the ground on which statements conflict. Where a substance piles up, that
/// there is no other way out of that place is one ([`What::Outlet`]).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// A node takes a given rate of a substance in a phase, no less and no more.
    Need {
        /// The node.
        node: NodeId,
        /// The substance.
        substance: SubstanceId,
        /// The phase.
        phase: usize,
    },
    /// A node gives a given rate of a substance in a phase, and all of it leaves.
    Product {
        /// The node.
        node: NodeId,
        /// The substance.
        substance: SubstanceId,
        /// The phase.
        phase: usize,
    },
    /// A substance that reaches or is made at a node leaves by its streams and
    /// uses only.
    Outlet {
        /// The node.
        node: NodeId,
        /// The substance.
        substance: SubstanceId,
        /// The phase.
        phase: usize,
        /// Whether the node makes it, rather than receives it.
        made: bool,
    },
    /// What the units of a node can treat in a phase.
    Capacity {
        /// The node.
        node: NodeId,
        /// The phase.
        phase: usize,
    },
    /// What a unit that runs must treat at least in a phase.
    Turndown {
        /// The node.
        node: NodeId,
        /// The phase.
        phase: usize,
    },
    /// The share of a feed that a node converts in a phase.
    Conversion {
        /// The node.
        node: NodeId,
        /// The feed.
        substance: SubstanceId,
        /// The phase.
        phase: usize,
    },
    /// The least number of units of a node.
    Units {
        /// The node.
        node: NodeId,
    },
    /// At most one node of a group has units.
    Exclusive {
        /// Index of the group.
        group: usize,
    },
    /// The limit on power in a phase.
    Power {
        /// The phase.
        phase: usize,
    },
    /// The limit on heat in a phase.
    Heat {
        /// The phase.
        phase: usize,
    },
    /// The limit on crew time in a phase.
    CrewTime {
        /// The phase.
        phase: usize,
    },
    /// The limit on the volume of all units.
    Volume,
    /// The limit on all waste stowed.
    Stowage,
    /// What a disposal may keep aboard over the mission.
    Stowed {
        /// The disposal.
        node: NodeId,
    },
    /// What a disposal hands to the vehicle that leaves after a flight's.
    Removed {
        /// The disposal.
        node: NodeId,
        /// The flight that begins the window.
        flight: usize,
    },
    /// What a flight may carry.
    Payload {
        /// The flight.
        flight: usize,
    },
    /// What must be aboard for a flight that may be late.
    Late {
        /// The flight.
        flight: usize,
    },
    /// Cargo flies in whole containers.
    Containers {
        /// The cargo.
        node: NodeId,
    },
    /// What a store keeps back.
    Reserve {
        /// The store.
        node: NodeId,
    },
    /// What a store's tank weighs for what it holds.
    Tank {
        /// The store.
        node: NodeId,
    },
    /// What a cartridge treats.
    Cartridges {
        /// The node.
        node: NodeId,
    },
    /// Expendables and upkeep.
    Consumables {
        /// The node.
        node: NodeId,
    },
    /// The confidence that spares must reach.
    Spares,
}

impl What {
    /// The node it is about.
    pub fn node(self) -> Option<NodeId> {
        match self {
            What::Need { node, .. }
            | What::Product { node, .. }
            | What::Outlet { node, .. }
            | What::Capacity { node, .. }
            | What::Turndown { node, .. }
            | What::Conversion { node, .. }
            | What::Units { node }
            | What::Stowed { node }
            | What::Removed { node, .. }
            | What::Containers { node }
            | What::Reserve { node }
            | What::Tank { node }
            | What::Cartridges { node }
            | What::Consumables { node } => Some(node),
            _ => None,
        }
    }

    /// The phase it is about.
    pub fn phase(self) -> Option<usize> {
        match self {
            What::Need { phase, .. }
            | What::Product { phase, .. }
            | What::Outlet { phase, .. }
            | What::Capacity { phase, .. }
            | What::Turndown { phase, .. }
            | What::Conversion { phase, .. }
            | What::Power { phase }
            | What::Heat { phase }
            | What::CrewTime { phase } => Some(phase),
            _ => None,
        }
    }

    /// The same for the first phase, or the first window of a disposal: what it
    /// says apart from when.
    #[must_use]
    pub fn whenever(mut self) -> What {
        match &mut self {
            What::Need { phase, .. }
            | What::Product { phase, .. }
            | What::Outlet { phase, .. }
            | What::Capacity { phase, .. }
            | What::Turndown { phase, .. }
            | What::Conversion { phase, .. }
            | What::Power { phase }
            | What::Heat { phase }
            | What::CrewTime { phase } => *phase = 0,
            What::Removed { flight, .. } => *flight = 0,
            _ => {}
        }
        self
    }

    /// Whether it limits the design as a whole, or what may leave it: what is
    /// asked to give way first, because no node's own work is to blame.
    pub(super) fn is_limit(self) -> bool {
        matches!(
            self,
            What::Exclusive { .. }
                | What::Power { .. }
                | What::Heat { .. }
                | What::CrewTime { .. }
                | What::Volume
                | What::Stowage
                | What::Stowed { .. }
                | What::Removed { .. }
                | What::Payload { .. }
        )
    }
}
