//! Power, heat, crew time and volume: what they are, and what they may be.

use crate::kinds::{Activity, Hardware, Stock};
use crate::network::Limit;

use super::checks::{Checks, Family};
use super::facts::Facts;

/// In every phase the units in service and the levels together stay within
/// each limit, and the answer states what they come to; so do the volumes of
/// all units.
pub(super) fn check(facts: &Facts, checks: &mut Checks) {
    let limits = &facts.network.limits;
    let answer = facts.answer;
    let power = burden(facts, |unit| unit.power_w, |activity| activity.power_w);
    let heat = burden(facts, |unit| unit.heat_w, |activity| activity.heat_w);
    let mut crew_time = burden(facts, |unit| unit.crew_time_h_per_day, |_| 0.0);
    for (total, hours) in crew_time.iter_mut().zip(transfers(facts)) {
        *total += hours;
    }
    let mut by_phase = |what: &str, found: &[f64], stated: &[f64], limit: Option<Limit>| {
        for (phase, (&found, &stated)) in found.iter().zip(stated).enumerate() {
            let words = || format!("{what}, {}", facts.phase_name(phase));
            checks.equal(Family::Figures, stated, found, words);
            if let Some(limit) = limit {
                checks.at_most(Family::Limits, found, limit.value, words);
            }
        }
    };
    by_phase("power", &power, &answer.power_w, limits.power_w);
    by_phase("heat", &heat, &answer.heat_w, limits.heat_w);
    let stated = &answer.crew_time_h_per_day;
    by_phase("crew time", &crew_time, stated, limits.crew_time_h_per_day);

    let mut volume = 0.0;
    for (_, _, unit, units) in facts.hardware() {
        volume += unit.volume_m3 * units;
    }
    let words = || "volume of all units".to_owned();
    checks.equal(Family::Figures, answer.volume_m3, volume, words);
    if let Some(limit) = limits.volume_m3 {
        checks.at_most(Family::Limits, volume, limit.value, words);
    }
}

/// Crew time of transfers by phase, h/d: each kilogram in the phase that has begun
/// when its flight arrives, over the days of that phase.
fn transfers(facts: &Facts) -> Vec<f64> {
    let mut by_phase = vec![0.0; facts.phases];
    for plan in &facts.decisions.cargo {
        let Some(Stock::Delivered {
            transfer: Some(transfer),
            ..
        }) = &facts.network.graph[plan.node].duties.stock
        else {
            continue;
        };
        for (flight, kg) in plan.kg.iter().enumerate() {
            let day = facts.flight_day(flight) + 1e-6;
            let mut phases = (0..facts.phases).rev();
            if let Some(phase) = phases.find(|&phase| facts.first_day(phase) <= day) {
                let days = facts.network.calendar.phases[phase].days;
                by_phase[phase] += transfer.crew_h_per_kg * kg / days;
            }
        }
    }
    by_phase
}

/// `Σ (per unit × units in service) + Σ (per level × level)` by phase.
fn burden(
    facts: &Facts,
    per_unit: impl Fn(&Hardware) -> f64,
    per_level: impl Fn(&Activity) -> f64,
) -> Vec<f64> {
    let mut total = vec![0.0; facts.phases];
    for (_, duties, unit, units) in facts.hardware() {
        for total in total.iter_mut().skip(duties.starts_in_phase) {
            *total += per_unit(unit) * units;
        }
    }
    for (node, _) in facts.nodes() {
        for (total, sum) in total.iter_mut().zip(facts.by_phase(node, &per_level)) {
            *total += sum;
        }
    }
    total
}
