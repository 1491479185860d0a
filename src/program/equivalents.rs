//! Equivalents: what power, cooling, volume and crew time weigh.

use crate::network::{Equivalents, PhaseFactors};

use super::builder::{Builder, Sum};
use super::deliveries::{draw, transfer_hours};
use super::limits::load;
use super::{Family, Form, Sense};

/// Only where a design asks for them. With `E ≥ factor[p] × load[p]` for every
/// phase, for power and for cooling, what counts is
/// `E_power + E_cooling + factor·Σ volume·u + Σ_p D_p·factor[p]·crew time[p]`
/// (transfers included, each in the phase of its flight),
/// at the departure's gear ratio and outside every payload.
pub(super) fn rows(builder: &mut Builder) {
    let network = builder.network;
    let Some(equivalents) = &network.equivalents else {
        return;
    };
    let power = peak(builder, equivalents, "power", |factors| {
        factors.power_kg_per_kw
    });
    for (phase, factors) in equivalents.phases.iter().enumerate() {
        let kg_per_w = factors.power_kg_per_kw / 1000.0;
        let sum = load(builder, phase, |unit| unit.power_w, |one| one.power_w);
        bound(builder, power, sum, kg_per_w, "power", phase);
    }
    let cooling = peak(builder, equivalents, "cooling", |factors| {
        factors.cooling_kg_per_kw
    });
    for (phase, factors) in equivalents.phases.iter().enumerate() {
        let kg_per_w = factors.cooling_kg_per_kw / 1000.0;
        let sum = load(builder, phase, |unit| unit.heat_w, |one| one.heat_w);
        bound(builder, cooling, sum, kg_per_w, "cooling", phase);
    }
    let mut rest = Sum::default();
    for node in network.nodes() {
        if let (Some(hardware), Some(count)) = (
            &network.duties(node).hardware,
            builder.handles.count[node.index()],
        ) {
            rest.add(count, hardware.volume_m3 * equivalents.volume_kg_per_m3);
        }
    }
    for (phase, factors) in equivalents.phases.iter().enumerate() {
        let hours = load(builder, phase, |unit| unit.crew_time_h_per_day, |_| 0.0);
        let days = network.calendar.phases[phase].days;
        rest.add_sum(&hours, days * factors.crew_time_kg_per_h);
        let transfers = transfer_hours(builder, phase);
        rest.add_sum(&transfers, factors.crew_time_kg_per_h);
    }
    if builder.form == Form::Totals {
        rest.add_sum(&least_transfers(builder, equivalents), 1.0);
    }
    builder.weigh(&rest);
}

/// What transfers weigh at the least, if every kilogram came in the phase whose
/// crew time weighs least: a bound for the totals form.
fn least_transfers(builder: &Builder, equivalents: &Equivalents) -> Sum {
    let network = builder.network;
    let factors = equivalents.phases.iter();
    let least = factors
        .map(|factors| factors.crew_time_kg_per_h)
        .fold(f64::INFINITY, f64::min);
    let mut sum = Sum::default();
    for node in network.nodes() {
        let Some(transfer) = network.transfer(node) else {
            continue;
        };
        for (phase, data) in network.calendar.phases.iter().enumerate() {
            let kg = draw(builder, node, phase);
            sum.add_sum(&kg, data.days * transfer.crew_h_per_kg * least);
        }
    }
    sum
}

/// Declares the equivalent of a peak load, unless its factors are all nothing.
fn peak(
    builder: &mut Builder,
    equivalents: &Equivalents,
    what: &'static str,
    factor: fn(&PhaseFactors) -> f64,
) -> Option<super::ColumnId> {
    if equivalents.phases.iter().all(|phase| factor(phase) == 0.0) {
        return None;
    }
    let column = builder.column(format!("equivalent mass of {what}"), None, false);
    let mut sum = Sum::default();
    sum.add(column, 1.0);
    builder.weigh(&sum);
    builder.handles.equivalents.push((what, column));
    Some(column)
}

fn bound(
    builder: &mut Builder,
    column: Option<super::ColumnId>,
    load: Sum,
    kg_per_w: f64,
    what: &str,
    phase: usize,
) {
    let Some(column) = column else { return };
    let mut sum = Sum::default();
    sum.add_sum(&load, kg_per_w);
    sum.add(column, -1.0);
    let label = format!("equivalent mass of {what}, {}", builder.phase_name(phase));
    builder.row(Family::Equivalents, label, None, sum, Sense::AtMost);
}
