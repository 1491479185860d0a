//! What is treated and drawn in every phase, and what that costs in power,
//! heat, crew time and volume.

use crate::kinds::{Activity, Hardware, Role, Stock};
use crate::network::{Network, NodeId};

use super::Decisions;

/// What a cargo node gives in every phase.
#[derive(Clone, Debug, PartialEq)]
pub struct Draws {
    /// The cargo node.
    pub node: NodeId,
    /// Draw by phase, kg/d.
    pub kg_per_day: Vec<f64>,
}

/// Feed of every node by phase, kg/d: `Σ load · level`.
pub fn throughput(network: &Network, levels: &[Vec<Vec<f64>>]) -> Vec<Vec<f64>> {
    network
        .nodes()
        .map(|node| by_phase(network, node, levels, |activity| activity.load))
        .collect()
}

/// Draw of every cargo node by phase, kg/d, in file order.
pub fn draws(network: &Network, levels: &[Vec<Vec<f64>>]) -> Vec<Draws> {
    network
        .nodes()
        .filter(|&node| matches!(network.duties(node).stock, Some(Stock::Delivered { .. })))
        .map(|node| Draws {
            node,
            kg_per_day: by_phase(network, node, levels, |activity| match activity.role {
                Role::Bring => activity.gives.iter().map(|portion| portion.amount).sum(),
                _ => 0.0,
            }),
        })
        .collect()
}

/// Electric power by phase, W: units in service and what they treat.
pub(super) fn power_w(network: &Network, decisions: &Decisions) -> Vec<f64> {
    burden(
        network,
        decisions,
        |unit| unit.power_w,
        |activity| activity.power_w,
    )
}

/// Heat to the coolant by phase, W.
pub(super) fn heat_w(network: &Network, decisions: &Decisions) -> Vec<f64> {
    burden(
        network,
        decisions,
        |unit| unit.heat_w,
        |activity| activity.heat_w,
    )
}

/// Crew time by phase, h/d: of units, and of transfers in the phase in which their
/// flight arrives.
pub(super) fn crew_time_h_per_day(network: &Network, decisions: &Decisions) -> Vec<f64> {
    let mut hours = burden(network, decisions, |unit| unit.crew_time_h_per_day, |_| 0.0);
    for plan in &decisions.cargo {
        let Some(transfer) = network.transfer(plan.node) else {
            continue;
        };
        for (flight, kg) in plan.kg.iter().enumerate() {
            let phase = network.calendar.phase_of_arrival(flight);
            let days = network.calendar.phases[phase].days;
            hours[phase] += kg * transfer.crew_h_per_kg / days;
        }
    }
    hours
}

/// Volume of all units, m³.
pub(super) fn volume_m3(network: &Network, counts: &[u32]) -> f64 {
    network
        .nodes()
        .filter_map(|node| {
            let hardware = network.duties(node).hardware.as_ref()?;
            Some(f64::from(counts[node.index()]) * hardware.volume_m3)
        })
        .sum()
}

/// `Σ (per unit × units) + Σ (per level × level)` over the nodes at work, by phase.
fn burden(
    network: &Network,
    decisions: &Decisions,
    per_unit: impl Fn(&Hardware) -> f64,
    per_level: impl Fn(&Activity) -> f64,
) -> Vec<f64> {
    let mut total = vec![0.0; network.calendar.phases.len()];
    for node in network.nodes() {
        let of_levels = by_phase(network, node, &decisions.levels, &per_level);
        let of_units = network.duties(node).hardware.as_ref().map_or(0.0, |unit| {
            per_unit(unit) * f64::from(decisions.counts[node.index()])
        });
        for (phase, sum) in total.iter_mut().enumerate() {
            if network.works(node, phase) {
                *sum += of_units + of_levels[phase];
            }
        }
    }
    total
}

/// `Σ factor · level` over a node's activities, by phase.
pub(super) fn by_phase(
    network: &Network,
    node: NodeId,
    levels: &[Vec<Vec<f64>>],
    factor: impl Fn(&Activity) -> f64,
) -> Vec<f64> {
    let activities = &network.duties(node).activities;
    (0..network.calendar.phases.len())
        .map(|phase| {
            activities
                .iter()
                .zip(&levels[node.index()])
                .map(|(activity, level)| factor(activity) * level[phase])
                .sum()
        })
        .collect()
}
