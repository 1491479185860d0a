//! Cartridges: throughput-limited expendables exchanged whole.

use super::builder::{Builder, Sum};
use super::{Family, Form, Sense};

/// Totals form: `treats · c ≥ Σ_p D_p Σ load·x`. Flight by flight, what has
/// been delivered covers the feed until the next flight:
/// `treats · Σ_{k' ≤ k} c[k'] ≥ Σ_p (days of p before t_{k+1}) Σ load·x`.
/// None comes with the unit.
pub(super) fn rows(builder: &mut Builder) {
    let network = builder.network;
    let calendar = &network.calendar;
    for node in network.nodes() {
        let Some(cartridge) = network
            .duties(node)
            .hardware
            .as_ref()
            .and_then(|hardware| hardware.cartridge)
        else {
            continue;
        };
        let place = Some(network.graph[node].place);
        let name = network.name(node);
        match builder.form {
            Form::Totals => {
                let column = builder.column(format!("cartridges of {name}"), place, true);
                builder.handles.cartridges[node.index()] = vec![column];
                builder.charge(column, cartridge.mass_kg, None);
                let mut sum = feed_until(builder, node, calendar.mission_days());
                sum.add(column, -cartridge.treats_kg);
                let label = format!("cartridges of {name} treat its feed");
                builder
                    .row(Family::Cartridges, label, place, sum, Sense::AtMost)
                    .of(node);
            }
            Form::PerFlight => {
                let what = format!("cartridges of {name}");
                let pieces =
                    builder.pieces_by_flight(Family::Cartridges, &what, place, cartridge.mass_kg);
                let mut delivered = Sum::default();
                for (flight, &column) in pieces.iter().enumerate() {
                    delivered.add(column, -cartridge.treats_kg);
                    let next = calendar.next_flight_day(flight);
                    let mut sum = feed_until(builder, node, next);
                    sum.add_sum(&delivered, 1.0);
                    let label = format!("cartridges of {name} last to day {next}");
                    builder
                        .row(Family::Cartridges, label, place, sum, Sense::AtMost)
                        .of(node)
                        .by_flight(flight);
                }
                builder.handles.cartridges[node.index()] = pieces;
            }
        }
    }
}

/// Feed of a node from the beginning to a day, kg.
pub(super) fn feed_until(builder: &Builder, node: crate::network::NodeId, day: f64) -> Sum {
    let mut sum = Sum::default();
    let days = builder.network.calendar.phase_days_between(0.0, day);
    for (phase, days) in days.into_iter().enumerate() {
        sum.add_sum(&builder.feed(node, phase), days);
    }
    sum
}
