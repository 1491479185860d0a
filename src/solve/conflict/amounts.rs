//! The numbers that statements state.

use super::ground::amount;
use super::statement::What;
use crate::catalogue::SubstanceId;
use crate::kinds::{Level, Portion, Role, Way};
use crate::network::{Network, NodeId};
use crate::quantity::Dimension;

/// The dimension in which a statement gives way.
pub(super) fn dimension(what: What) -> Dimension {
    match what {
        What::Need { .. }
        | What::Product { .. }
        | What::Outlet { .. }
        | What::Capacity { .. }
        | What::Turndown { .. }
        | What::Conversion { .. } => Dimension::MassRate,
        What::Units { .. } | What::Exclusive { .. } => Dimension::Whole,
        What::Power { .. } | What::Heat { .. } => Dimension::Power,
        What::CrewTime { .. } => Dimension::CrewTime,
        What::Volume => Dimension::Volume,
        _ => Dimension::Mass,
    }
}

/// What a node takes of a substance at given levels in a phase, kg/d.
pub(super) fn need(network: &Network, node: NodeId, substance: SubstanceId, phase: usize) -> f64 {
    given(network, node, phase, |takes, _| amount(takes, substance))
}

/// What a node gives of a substance at given levels in a phase, kg/d.
pub(super) fn product(
    network: &Network,
    node: NodeId,
    substance: SubstanceId,
    phase: usize,
) -> f64 {
    given(network, node, phase, |_, gives| amount(gives, substance))
}

fn given(
    network: &Network,
    node: NodeId,
    phase: usize,
    rate: impl Fn(&[Portion], &[Portion]) -> f64,
) -> f64 {
    let activities = network.duties(node).activities.iter();
    activities
        .map(|activity| match &activity.level {
            Level::Fixed(levels) => {
                let level = levels.get(phase).copied().unwrap_or(0.0);
                level * rate(&activity.takes, &activity.gives)
            }
            Level::Free => 0.0,
        })
        .sum()
}

/// What all units that may fly treat at most, kg/d of feed; none without a
/// stated capacity.
pub(super) fn capacity(network: &Network, node: NodeId) -> Option<f64> {
    let duties = network.duties(node);
    let hardware = duties.hardware.as_ref()?;
    let one = hardware.capacity_kg_per_day? * hardware.availability;
    Some(one * f64::from(duties.count.upper))
}

/// The most of a substance that a feed gives or takes, kg per kg of feed.
pub(super) fn per_feed(
    network: &Network,
    node: NodeId,
    substance: SubstanceId,
    gives: bool,
) -> f64 {
    network
        .duties(node)
        .activities
        .iter()
        .filter(|activity| activity.load > 0.0)
        .map(|activity| {
            let portions = if gives {
                &activity.gives
            } else {
                &activity.takes
            };
            amount(portions, substance) / activity.load
        })
        .fold(0.0, f64::max)
}

/// What a disposal takes at most: over the mission, or between departures, kg.
pub(super) fn waste(network: &Network, node: NodeId) -> f64 {
    let activities = network.duties(node).activities.iter();
    activities
        .filter_map(|activity| match activity.role {
            Role::Leave(Way::Stowed { limit_kg }) => limit_kg,
            Role::Leave(Way::Removed { per_flight_kg }) => Some(per_flight_kg),
            _ => None,
        })
        .next()
        .unwrap_or(0.0)
}

/// The value of a limit on the whole design, in its canonical unit.
pub(super) fn limit(network: &Network, what: What) -> f64 {
    let limits = &network.limits;
    let limit = match what {
        What::Power { .. } => limits.power_w,
        What::Heat { .. } => limits.heat_w,
        What::CrewTime { .. } => limits.crew_time_h_per_day,
        What::Volume => limits.volume_m3,
        What::Stowage => limits.stowage_kg,
        _ => None,
    };
    limit.map_or(0.0, |limit| limit.value)
}

/// What flights may carry together, kg.
pub(super) fn payload(network: &Network, flights: &[usize]) -> f64 {
    let flights = flights.iter();
    flights
        .filter_map(|&flight| network.calendar.flights.get(flight)?.payload_kg)
        .sum()
}
