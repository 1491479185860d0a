//! Deliveries: cargo by flight, its containers, the stock aboard and the cover
//! for a late flight.

use crate::kinds::{Packing, Stock};
use crate::network::NodeId;

use super::builder::{Builder, Sum};
use super::{Family, Form, Sense};

/// Totals form, for every cargo node `g` with draw `r[g,p]`: the cargo is
/// `Σ D_p r`, packaging a fraction of it, and whole containers
/// `Σ D_p r ≤ holds · y`.
///
/// Flight by flight: `S[g,i] = S[g,i−1] + b[g,k] − d_i r[g,p(i)]`, `S ≥ 0`,
/// with flight `k` arriving at the start of interval `i`; before a flight that
/// may be late, `S ≥ Σ_p (days of p from t_k to min(t_k + slip, T)) · r[g,p]`;
/// `b[g,k] ≤ holds · y[g,k]`.
///
/// Cargo that gas pushes into its store costs `1 + packaging + p M / (ρ R T)` per
/// kilogram.
pub(super) fn rows(builder: &mut Builder) {
    let network = builder.network;
    for node in network.nodes() {
        if let Some(Stock::Delivered { packing, .. }) = &network.duties(node).stock {
            match builder.form {
                Form::Totals => totals(builder, node, *packing),
                Form::PerFlight => per_flight(builder, node, *packing),
            }
        }
    }
}

/// Hours that the crew transfers cargo in a phase, all flights that arrive in it
/// together. The totals form knows no flights and leaves them out.
pub(super) fn transfer_hours(builder: &Builder, phase: usize) -> Sum {
    let network = builder.network;
    let mut hours = Sum::default();
    for node in network.nodes() {
        let Some(transfer) = network.transfer(node) else {
            continue;
        };
        for (flight, &cargo) in builder.handles.cargo[node.index()].iter().enumerate() {
            if network.calendar.phase_of_arrival(flight) == phase {
                hours.add(cargo, transfer.crew_h_per_kg);
            }
        }
    }
    hours
}

/// The draw of a cargo node in a phase, kg/d, as a sum.
pub(super) fn draw(builder: &Builder, node: NodeId, phase: usize) -> Sum {
    let mut sum = Sum::default();
    for (index, activity) in builder.network.duties(node).activities.iter().enumerate() {
        let gives: f64 = activity.gives.iter().map(|portion| portion.amount).sum();
        sum.add_amount(builder.level(node, index, phase), gives);
    }
    sum
}

/// Launched for every kilogram of content, but for containers: the content, its
/// packaging and the gas that pushes it into its store.
fn per_kg(builder: &Builder, node: NodeId, packing: Packing) -> f64 {
    let packaging = match packing {
        Packing::Fraction(fraction) => fraction,
        Packing::Container { .. } => 0.0,
    };
    let transfer = builder.network.transfer(node);
    1.0 + packaging + transfer.map_or(0.0, |transfer| transfer.gas_kg_per_kg)
}

fn totals(builder: &mut Builder, node: NodeId, packing: Packing) {
    let network = builder.network;
    let place = Some(network.graph[node].place);
    let per_kg = per_kg(builder, node, packing);
    let mut total = Sum::default();
    for (phase, data) in network.calendar.phases.iter().enumerate() {
        for (index, activity) in network.duties(node).activities.iter().enumerate() {
            let gives: f64 = activity.gives.iter().map(|portion| portion.amount).sum();
            let level = builder.level(node, index, phase);
            builder.charge_amount(level, gives * data.days * per_kg, None);
        }
        total.add_sum(&draw(builder, node, phase), data.days);
    }
    if let Packing::Container { holds_kg, tare_kg } = packing {
        let name = network.name(node);
        let containers = builder.column(format!("containers of {name}"), place, true);
        builder.charge(containers, tare_kg, None);
        builder.handles.containers[node.index()] = vec![containers];
        total.add(containers, -holds_kg);
        let label = format!("containers hold {name}");
        builder
            .row(Family::Deliveries, label, place, total, Sense::AtMost)
            .of(node);
    }
}

fn per_flight(builder: &mut Builder, node: NodeId, packing: Packing) {
    let network = builder.network;
    let calendar = &network.calendar;
    let place = Some(network.graph[node].place);
    let name = network.name(node);
    let per_kg = per_kg(builder, node, packing);
    let pieces = match packing {
        Packing::Fraction(_) => Vec::new(),
        Packing::Container { tare_kg, .. } => {
            let what = format!("containers of {name}");
            builder.pieces_by_flight(Family::Deliveries, &what, place, tare_kg)
        }
    };
    let mut pieces_left = pieces.iter();
    for flight in 0..calendar.flights.len() {
        let label = format!("cargo of {name} on flight {flight}");
        let cargo = builder.column(label, place, false);
        builder.charge(cargo, per_kg, Some(flight));
        builder.handles.cargo[node.index()].push(cargo);
        if let (Packing::Container { holds_kg, .. }, Some(&containers)) =
            (packing, pieces_left.next())
        {
            let mut held = Sum::default();
            held.add(cargo, 1.0);
            held.add(containers, -holds_kg);
            let label = format!("containers hold {name} on flight {flight}");
            builder
                .row(Family::Deliveries, label, place, held, Sense::AtMost)
                .of(node)
                .by_flight(flight);
        }
    }
    builder.handles.containers[node.index()] = pieces;
    for (index, interval) in calendar.intervals.iter().enumerate() {
        let stock = builder.column(
            format!("stock of {name} on day {}", interval.end),
            place,
            false,
        );
        builder.handles.stock[node.index()].push(stock);
        let mut sum = stock_at_start(builder, node, index);
        sum.add_sum(&draw(builder, node, interval.phase), -interval.days());
        sum.add(stock, -1.0);
        let label = format!(
            "stock of {name}, day {} to {}",
            interval.start, interval.end
        );
        builder.row(Family::Deliveries, label, place, sum, Sense::Equal);
    }
    for (index, interval) in calendar.intervals.iter().enumerate() {
        let Some(flight) = interval.arrival.filter(|&flight| flight > 0) else {
            continue;
        };
        let slip = calendar.flights[flight].slip_days;
        if slip <= 0.0 {
            continue;
        }
        let until = (interval.start + slip).min(calendar.mission_days());
        let mut sum = Sum::default();
        if let Some(before) = index.checked_sub(1) {
            sum.add(builder.handles.stock[node.index()][before], 1.0);
        }
        for (phase, days) in calendar
            .phase_days_between(interval.start, until)
            .into_iter()
            .enumerate()
        {
            sum.add_sum(&draw(builder, node, phase), -days);
        }
        let label = format!("stock of {name} while flight {flight} is late");
        builder
            .row(Family::Deliveries, label, place, sum, Sense::AtLeast)
            .of(node)
            .by_flight(flight);
    }
}

/// Stock at the start of an interval, after the arrival: `S[g,i−1] + b[g,k]`.
pub(super) fn stock_at_start(builder: &Builder, node: NodeId, interval: usize) -> Sum {
    let mut sum = Sum::default();
    if let Some(before) = interval.checked_sub(1) {
        sum.add(builder.handles.stock[node.index()][before], 1.0);
    }
    if let Some(flight) = builder.network.calendar.intervals[interval].arrival {
        sum.add(builder.handles.cargo[node.index()][flight], 1.0);
    }
    sum
}
