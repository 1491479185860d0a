//! What leaves the loop.

use crate::kinds::{Role, Way};
use crate::network::{Network, NodeId};

use super::operation::by_phase;

/// What a disposal takes over the mission.
#[derive(Clone, Debug, PartialEq)]
pub struct Waste {
    /// The disposal.
    pub node: NodeId,
    /// How it leaves.
    pub way: Way,
    /// Over the mission, kg.
    pub kg: f64,
    /// Between consecutive departures, kg: one entry per flight, from its day
    /// to the next one's or to the end. Only where vehicles take it away.
    pub windows_kg: Vec<f64>,
}

/// What every disposal takes, in file order.
pub(super) fn totals(network: &Network, levels: &[Vec<Vec<f64>>]) -> Vec<Waste> {
    let calendar = &network.calendar;
    network
        .nodes()
        .filter_map(|node| {
            let way =
                network
                    .duties(node)
                    .activities
                    .iter()
                    .find_map(|activity| match &activity.role {
                        Role::Leave(way) => Some(way.clone()),
                        _ => None,
                    })?;
            let taken = by_phase(network, node, levels, |activity| {
                activity.takes.iter().map(|portion| portion.amount).sum()
            });
            let between = |from: f64, to: f64| -> f64 {
                calendar
                    .phase_days_between(from, to)
                    .iter()
                    .zip(&taken)
                    .map(|(days, rate)| days * rate)
                    .sum()
            };
            let windows_kg = match way {
                Way::Removed { .. } => calendar
                    .flights
                    .iter()
                    .enumerate()
                    .map(|(index, flight)| between(flight.day, calendar.next_flight_day(index)))
                    .collect(),
                _ => Vec::new(),
            };
            Some(Waste {
                node,
                way,
                kg: between(0.0, calendar.mission_days()),
                windows_kg,
            })
        })
        .collect()
}
