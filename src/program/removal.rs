//! Waste: stowed aboard up to a limit, or taken away by departing vehicles.

use crate::kinds::{Role, Way};
use crate::network::NodeId;

use super::builder::{Builder, Sum};
use super::{Family, Sense};

/// A disposal that stows: `Σ_p D_p Σ x ≤ limit`. One whose waste is removed:
/// between consecutive departures (every arrival's vehicle leaves at once, and
/// the end of the mission counts as one), `Σ_i d_i Σ x ≤ per flight`; nothing
/// carries over, and day 0 removes nothing. All stowed waste together stays
/// within the design's stowage limit.
pub(super) fn rows(builder: &mut Builder) {
    let network = builder.network;
    let calendar = &network.calendar;
    let end = calendar.mission_days();
    let mut stowed = Sum::default();
    for node in network.nodes() {
        let place = Some(network.graph[node].place);
        let name = network.name(node);
        match way_of(builder, node) {
            Some(Way::Stowed { limit_kg }) => {
                let mut sum = waste_between(builder, node, 0.0, end);
                stowed.add_sum(&sum, 1.0);
                if let Some(limit) = limit_kg {
                    sum.add_constant(-limit);
                    let label = format!("waste stowed in {name}");
                    builder
                        .row(Family::Removal, label, place, sum, Sense::AtMost)
                        .of(node);
                }
            }
            Some(Way::Removed { per_flight_kg }) => {
                for flight in 0..calendar.flights.len() {
                    let from = calendar.flights[flight].day;
                    let to = calendar.next_flight_day(flight);
                    let mut sum = waste_between(builder, node, from, to);
                    sum.add_constant(-per_flight_kg);
                    let label = format!("waste removed from {name}, day {from} to {to}");
                    builder
                        .row(Family::Removal, label, place, sum, Sense::AtMost)
                        .of(node)
                        .by_flight(flight);
                }
            }
            Some(Way::Overboard) | None => {}
        }
    }
    if let Some(limit) = network.limits.stowage_kg {
        stowed.add_constant(-limit.value);
        let label = "stowage of all stowed waste".to_owned();
        builder.row(
            Family::Limits,
            label,
            Some(limit.place),
            stowed,
            Sense::AtMost,
        );
    }
}

fn way_of(builder: &Builder, node: NodeId) -> Option<Way> {
    builder
        .network
        .duties(node)
        .activities
        .iter()
        .find_map(|activity| match &activity.role {
            Role::Leave(way) => Some(way.clone()),
            _ => None,
        })
}

/// What a disposal takes between two days, kg.
fn waste_between(builder: &Builder, node: NodeId, from: f64, to: f64) -> Sum {
    let mut sum = Sum::default();
    let days = builder.network.calendar.phase_days_between(from, to);
    for (phase, days) in days.into_iter().enumerate() {
        for (index, activity) in builder.network.duties(node).activities.iter().enumerate() {
            let takes: f64 = activity.takes.iter().map(|portion| portion.amount).sum();
            sum.add_amount(builder.level(node, index, phase), takes * days);
        }
    }
    sum
}
