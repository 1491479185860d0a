//! Expendables per kilogram of feed and upkeep per unit and day.

use crate::network::NodeId;

use super::builder::{Builder, Sum};
use super::cartridges::feed_until;
use super::{ColumnId, Family, Form, Sense};

/// Totals form: `rate × Σ_p D_p Σ load·x` and `upkeep × days in service × u`
/// are charged where they arise. Flight by flight, what has been delivered
/// covers the use until the next flight, as for cartridges.
pub(super) fn rows(builder: &mut Builder) {
    let network = builder.network;
    for node in network.nodes() {
        let Some(hardware) = &network.duties(node).hardware else {
            continue;
        };
        if hardware.expendables_kg_per_kg > 0.0 {
            expendables(builder, node, hardware.expendables_kg_per_kg);
        }
        if hardware.upkeep_kg_per_day > 0.0 {
            upkeep(builder, node, hardware.upkeep_kg_per_day);
        }
    }
}

fn expendables(builder: &mut Builder, node: NodeId, rate: f64) {
    let network = builder.network;
    if builder.form == Form::Totals {
        for (phase, data) in network.calendar.phases.iter().enumerate() {
            for (index, activity) in network.duties(node).activities.iter().enumerate() {
                let level = builder.level(node, index, phase);
                builder.charge_amount(level, activity.load * rate * data.days, None);
            }
        }
        return;
    }
    let columns = by_flight(builder, node, "expendables", |builder, day| {
        let mut used = Sum::default();
        used.add_sum(&feed_until(builder, node, day), rate);
        used
    });
    builder.handles.expendables[node.index()] = columns;
}

fn upkeep(builder: &mut Builder, node: NodeId, rate: f64) {
    let network = builder.network;
    let Some(count) = builder.handles.count[node.index()] else {
        return;
    };
    if builder.form == Form::Totals {
        builder.charge(count, rate * network.service_days(node), None);
        return;
    }
    let start = network.start_day(node);
    let columns = by_flight(builder, node, "upkeep", |_, day| {
        let mut used = Sum::default();
        used.add(count, rate * (day - start).max(0.0));
        used
    });
    builder.handles.upkeep[node.index()] = columns;
}

/// Declares a delivery per flight that covers `used(day of the next flight)`.
fn by_flight(
    builder: &mut Builder,
    node: NodeId,
    what: &str,
    used: impl Fn(&Builder, f64) -> Sum,
) -> Vec<ColumnId> {
    let network = builder.network;
    let calendar = &network.calendar;
    let place = Some(network.graph[node].place);
    let name = network.name(node);
    let mut delivered = Sum::default();
    let mut columns = Vec::with_capacity(calendar.flights.len());
    for flight in 0..calendar.flights.len() {
        let label = format!("{what} of {name} on flight {flight}");
        let column = builder.column(label, place, false);
        builder.charge(column, 1.0, Some(flight));
        columns.push(column);
        delivered.add(column, -1.0);
        let next = calendar.next_flight_day(flight);
        let mut sum = used(builder, next);
        sum.add_sum(&delivered, 1.0);
        let label = format!("{what} of {name} last to day {next}");
        builder
            .row(Family::Consumables, label, place, sum, Sense::AtMost)
            .of(node)
            .by_flight(flight);
    }
    columns
}
