//! What may be a little more or a little less.

use crate::catalogue::SubstanceId;
use crate::kinds::{Activity, Level, Role, Way};
use crate::network::{Limit, Network, NodeId};

/// Something of a design that may be a little more or a little less.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// A substance that people or equipment take, used up where it is taken.
    Demand {
        /// Who takes it.
        node: NodeId,
        /// What is taken.
        substance: SubstanceId,
        /// In these phases.
        phases: Vec<usize>,
    },
    /// A substance that people or equipment take, with what they give back of it.
    Use {
        /// Who takes it.
        node: NodeId,
        /// Which of its activities.
        activity: usize,
        /// What is taken.
        substance: SubstanceId,
        /// In these phases.
        phases: Vec<usize>,
    },
    /// A limit on the whole design.
    Limit(Limited),
    /// What a flight may carry; several flights where one statement says it for all.
    Payload {
        /// The flights.
        flights: Vec<usize>,
    },
    /// What a disposal may keep aboard.
    Stowed {
        /// The disposal.
        node: NodeId,
    },
    /// What is taken away from a disposal between two departures.
    Removed {
        /// The disposal.
        node: NodeId,
    },
    /// The most units that a node may have.
    Count {
        /// The node.
        node: NodeId,
    },
    /// People aboard.
    Person {
        /// In these phases.
        phases: Vec<usize>,
    },
    /// The length of a phase.
    Day {
        /// The phase.
        phase: usize,
    },
}

/// What a limit on the whole design limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limited {
    /// Electric power in any phase, W.
    Power,
    /// Heat to the coolant in any phase, W.
    Heat,
    /// Crew time in any phase, h/d.
    CrewTime,
    /// Volume of all units, m³.
    Volume,
    /// All stowed waste, kg.
    Stowage,
}

impl Limited {
    /// Every one, in the order of a report.
    pub const ALL: [Limited; 5] = [
        Limited::Power,
        Limited::Heat,
        Limited::CrewTime,
        Limited::Volume,
        Limited::Stowage,
    ];

    /// The limit, where a design has it.
    pub fn of(self, network: &Network) -> Option<Limit> {
        let limits = &network.limits;
        match self {
            Limited::Power => limits.power_w,
            Limited::Heat => limits.heat_w,
            Limited::CrewTime => limits.crew_time_h_per_day,
            Limited::Volume => limits.volume_m3,
            Limited::Stowage => limits.stowage_kg,
        }
    }

    /// Its words and its unit.
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Limited::Power => ("power", "W"),
            Limited::Heat => ("heat", "W"),
            Limited::CrewTime => ("crew time", "h/d"),
            Limited::Volume => ("volume", "m³"),
            Limited::Stowage => ("stowage", "kg"),
        }
    }
}

impl What {
    /// Its phases, where it is about phases.
    pub fn phases(&self) -> Vec<usize> {
        match self {
            What::Demand { phases, .. } | What::Use { phases, .. } | What::Person { phases } => {
                phases.clone()
            }
            What::Day { phase } => vec![*phase],
            _ => Vec::new(),
        }
    }

    /// Its words: "oxygen to crew", "payload of every arrival".
    pub fn words(&self, network: &Network) -> String {
        match self {
            What::Demand {
                node, substance, ..
            }
            | What::Use {
                node, substance, ..
            } => {
                let substance = network.substances.name(*substance);
                format!("{substance} to {}", network.name(*node))
            }
            What::Limit(limited) => limited.words().0.to_owned(),
            What::Payload { flights } => match flights.as_slice() {
                [one] => {
                    let day = network.calendar.flights[*one].day;
                    format!("payload of flight {one}, day {day}")
                }
                several => format!("payload of each of {} flights", several.len()),
            },
            What::Stowed { node } => format!("waste stowed in {}", network.name(*node)),
            What::Removed { node } => {
                format!("waste taken from {} by a flight", network.name(*node))
            }
            What::Count { node } => format!("most units of {}", network.name(*node)),
            What::Person { .. } => "people".to_owned(),
            What::Day { .. } => "days".to_owned(),
        }
    }

    /// The unit it is counted in; empty for units and people.
    pub fn unit(&self) -> &'static str {
        match self {
            What::Demand { .. } | What::Use { .. } => "kg/d",
            What::Limit(limited) => limited.words().1,
            What::Payload { .. } | What::Stowed { .. } | What::Removed { .. } => "kg",
            What::Count { .. } | What::Person { .. } => "",
            What::Day { .. } => "d",
        }
    }

    /// How much of it there is; the least of its phases.
    pub fn now(&self, network: &Network) -> f64 {
        let least = |phases: &[usize], of: &dyn Fn(usize) -> f64| {
            phases
                .iter()
                .map(|&phase| of(phase))
                .fold(f64::INFINITY, f64::min)
        };
        match self {
            What::Demand {
                node,
                substance,
                phases,
            } => least(phases, &|phase| demand(network, *node, *substance, phase)),
            What::Use {
                node,
                activity,
                phases,
                ..
            } => {
                let activity = &network.duties(*node).activities[*activity];
                least(phases, &|phase| taken(activity) * level(activity, phase))
            }
            What::Limit(limited) => limited.of(network).map_or(0.0, |limit| limit.value),
            What::Payload { flights } => least(flights, &|flight| {
                network.calendar.flights[flight].payload_kg.unwrap_or(0.0)
            }),
            What::Stowed { node } => match way(network, *node) {
                Some(Way::Stowed {
                    limit_kg: Some(limit),
                }) => *limit,
                _ => 0.0,
            },
            What::Removed { node } => match way(network, *node) {
                Some(Way::Removed { per_flight_kg }) => *per_flight_kg,
                _ => 0.0,
            },
            What::Count { node } => f64::from(network.duties(*node).count.upper),
            What::Person { phases } => least(phases, &|phase| network.calendar.phases[phase].crew),
            What::Day { phase } => network.calendar.phases[*phase].days,
        }
    }
}

/// What people or equipment at a node do.
pub(super) fn uses_of(network: &Network, node: NodeId) -> impl Iterator<Item = &Activity> {
    let activities = network.duties(node).activities.iter();
    activities.filter(|activity| activity.role == Role::Use)
}

/// What people or equipment at a node take of a substance in a phase, kg/d.
pub(super) fn demand(network: &Network, node: NodeId, substance: SubstanceId, phase: usize) -> f64 {
    uses_of(network, node)
        .map(|activity| portion(activity, substance) * level(activity, phase))
        .sum()
}

/// Taken of a substance per unit of level, kg/d.
fn portion(activity: &Activity, substance: SubstanceId) -> f64 {
    let takes = activity.takes.iter();
    takes
        .filter(|portion| portion.substance == substance)
        .map(|portion| portion.amount)
        .sum()
}

/// Taken per unit of level, kg/d.
pub(super) fn taken(activity: &Activity) -> f64 {
    activity.takes.iter().map(|portion| portion.amount).sum()
}

/// The given level of a phase; none of what is chosen.
pub(super) fn level(activity: &Activity, phase: usize) -> f64 {
    match &activity.level {
        Level::Fixed(values) => values[phase],
        Level::Free => 0.0,
    }
}

/// How a disposal's waste leaves.
pub(super) fn way(network: &Network, node: NodeId) -> Option<&Way> {
    let mut activities = network.duties(node).activities.iter();
    activities.find_map(|activity| match &activity.role {
        Role::Leave(way) => Some(way),
        _ => None,
    })
}
