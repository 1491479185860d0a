//! Reserves of stores and the tanks that hold them.

use crate::kinds::{Reserve, Stock, Tank};
use crate::network::NodeId;

use super::builder::{Builder, Sum};
use super::deliveries::stock_at_start;
use super::{Family, Form, Sense};

/// For every store: its reserve is a stated mass, or at least
/// `days × Σ f out` of what it feeds in every phase; it flies with the
/// departure. Its tank holds the reserve and, flight by flight, what is
/// transferred into it at its fullest, right after an arrival:
/// `tank ≥ reserve + Σ_g (S[g,i] + d_i r[g,p(i)])`. Tank mass is a tare
/// fraction of that, or whole tanks, `tank ≤ holds × tanks`.
pub(super) fn rows(builder: &mut Builder) {
    let network = builder.network;
    for node in network.nodes() {
        if let Some(Stock::Kept { reserve, tank, .. }) = &network.duties(node).stock {
            if let Some(reserve) = reserve {
                reserve_rows(builder, node, *reserve);
            }
            if let Some(tank) = tank {
                tank_rows(builder, node, *tank);
            }
        }
    }
}

fn reserve_rows(builder: &mut Builder, node: NodeId, reserve: Reserve) {
    let network = builder.network;
    let place = Some(network.graph[node].place);
    let name = network.name(node);
    let column = builder.column(format!("reserve of {name}"), place, false);
    builder.handles.reserve[node.index()] = Some(column);
    let departure = builder.booked(0);
    builder.charge(column, 1.0, departure);
    match reserve {
        Reserve::Kilograms(kg) => builder.bound(column, kg, kg),
        Reserve::Days(days) => {
            let fed = network.fed_by_store(node);
            for phase in 0..network.calendar.phases.len() {
                let mut sum = Sum::default();
                sum.add(column, 1.0);
                sum.add_sum(&builder.flows(&fed, phase), -days);
                let label = format!("reserve of {name} lasts, {}", builder.phase_name(phase));
                builder
                    .row(Family::Reserves, label, place, sum, Sense::AtLeast)
                    .of(node)
                    .during(phase);
            }
        }
    }
}

fn tank_rows(builder: &mut Builder, node: NodeId, tank: Tank) {
    let network = builder.network;
    let place = Some(network.graph[node].place);
    let name = network.name(node);
    let transferred = network.transferred_into(node);
    let mut kept = Sum::default();
    if let Some(reserve) = builder.handles.reserve[node.index()] {
        kept.add(reserve, 1.0);
    }
    if kept.is_zero() && transferred.is_empty() {
        return;
    }
    let holds = builder.column(format!("content of the tank of {name}"), place, false);
    builder.handles.holds[node.index()] = Some(holds);
    let mut least = kept.clone();
    least.add(holds, -1.0);
    let label = format!("tank of {name} holds the reserve");
    builder
        .row(Family::Reserves, label, place, least, Sense::AtMost)
        .of(node);
    if builder.form == Form::PerFlight && !transferred.is_empty() {
        for (index, interval) in network.calendar.intervals.iter().enumerate() {
            let mut full = kept.clone();
            for &cargo in &transferred {
                full.add_sum(&stock_at_start(builder, cargo, index), 1.0);
            }
            full.add(holds, -1.0);
            let label = format!(
                "tank of {name} holds what is there on day {}",
                interval.start
            );
            builder
                .row(Family::Reserves, label, place, full, Sense::AtMost)
                .of(node);
        }
    }
    let departure = builder.booked(0);
    match tank {
        Tank::Tare(fraction) => builder.charge(holds, fraction, departure),
        Tank::Whole { mass_kg, holds_kg } => {
            let tanks = builder.column(format!("tanks of {name}"), place, true);
            builder.handles.tanks[node.index()] = Some(tanks);
            builder.charge(tanks, mass_kg, departure);
            let mut sum = Sum::default();
            sum.add(holds, 1.0);
            sum.add(tanks, -holds_kg);
            let label = format!("whole tanks of {name}");
            builder
                .row(Family::Reserves, label, place, sum, Sense::AtMost)
                .of(node);
        }
    }
}
