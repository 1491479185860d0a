//! Splitting totals over the flights as late as possible.
//!
//! Everything that is used up states a *cumulative need*: what must have been
//! delivered by flight `k`, its own flight included. The need never falls with
//! `k`, and a plan serves if its cumulative deliveries `B_k` reach the need at
//! every flight. The greedy plan takes `B_k = need_k`.
//!
//! It is the best plan in every sense asked for, because it is the least one
//! at every flight at once: any plan has `B_k ≥ need_k`. Its total is the least
//! (`B` at the last flight), so the launch mass is, wherever a kilogram costs
//! the same on every flight; its stock is the least at every moment, so is any
//! tank that holds it; and for `b_k = B_k − B_{k−1}`,
//! `Σ (T − t_k) b_k = Σ (t_{k+1} − t_k) B_k` (with `t` after the last flight
//! read as `T`) is the least, which is to say it flies the latest. Whole
//! pieces keep the argument: the fewest that reach the need are `⌈need_k⌉` at
//! every flight at once.

use crate::kinds::{Packing, Stock};
use crate::network::{Calendar, Network};

use super::{CargoPlan, CartridgePlan, ConsumablePlan, Draws, WHOLE_SLACK};

/// Cargo by flight from what is drawn: as late as possible, with cover for
/// late flights.
///
/// Before flight `k` arrives, what is aboard covers the draw from its day to
/// `min(day + slip, T)`, so by flight `k` there must have been delivered what
/// is drawn until flight `k + 1` arrives late, or until the end.
///
/// With containers the containers come as late as possible,
/// `Y_k = ⌈need_k / holds⌉` by flight `k`, and then their content does: what a
/// flight leaves out must fit the containers that follow, so, from the last
/// flight backwards, `B_{k−1} = max(need_{k−1}, B_k − holds · y_k)`. It always
/// fits: `B_k ≤ holds · Y_k` holds at the last flight and is handed down. The
/// order matters: a container flown early could let some content of the flight
/// before wait longer.
pub fn split_deliveries(network: &Network, draws: &[Draws]) -> Vec<CargoPlan> {
    let calendar = &network.calendar;
    draws
        .iter()
        .filter_map(|draw| {
            let Some(Stock::Delivered { packing, .. }) = &network.duties(draw.node).stock else {
                return None;
            };
            let needs = cargo_needs(calendar, &draw.kg_per_day);
            let (needs, containers) = match packing {
                Packing::Fraction(_) => (needs, None),
                Packing::Container { holds_kg, .. } => {
                    let containers = whole_steps(&needs, *holds_kg);
                    (filled(needs, &containers, *holds_kg), Some(containers))
                }
            };
            Some(CargoPlan {
                node: draw.node,
                kg: steps(&needs),
                containers,
            })
        })
        .collect()
}

/// Cartridges by flight from the feed of every node (`throughput`: node,
/// phase, kg/d): by flight `k`, `⌈feed until flight k + 1 / treats⌉`.
pub fn split_cartridges(network: &Network, throughput: &[Vec<f64>]) -> Vec<CartridgePlan> {
    let calendar = &network.calendar;
    network
        .nodes()
        .filter_map(|node| {
            let cartridge = network.duties(node).hardware.as_ref()?.cartridge?;
            let needs = needs_to_next_flight(calendar, &throughput[node.index()]);
            Some(CartridgePlan {
                node,
                by_flight: whole_steps(&needs, cartridge.treats_kg),
            })
        })
        .collect()
}

/// Expendables and upkeep by flight from the units and the feed of every
/// node: by flight `k`, what is used until flight `k + 1`. Upkeep is used
/// evenly by every unit from the node's start.
pub fn split_consumables(
    network: &Network,
    counts: &[u32],
    throughput: &[Vec<f64>],
) -> Vec<ConsumablePlan> {
    let calendar = &network.calendar;
    network
        .nodes()
        .filter_map(|node| {
            let hardware = network.duties(node).hardware.as_ref()?;
            if hardware.expendables_kg_per_kg <= 0.0 && hardware.upkeep_kg_per_day <= 0.0 {
                return None;
            }
            let units = f64::from(counts[node.index()]);
            let upkeep: Vec<f64> = (0..calendar.phases.len())
                .map(|phase| match network.works(node, phase) {
                    true => units * hardware.upkeep_kg_per_day,
                    false => 0.0,
                })
                .collect();
            let expendables: Vec<f64> = throughput[node.index()]
                .iter()
                .map(|feed| feed * hardware.expendables_kg_per_kg)
                .collect();
            Some(ConsumablePlan {
                node,
                expendables_kg: steps(&needs_to_next_flight(calendar, &expendables)),
                upkeep_kg: steps(&needs_to_next_flight(calendar, &upkeep)),
            })
        })
        .collect()
}

/// What must have been delivered of a cargo by every flight, kg.
fn cargo_needs(calendar: &Calendar, kg_per_day: &[f64]) -> Vec<f64> {
    let end = calendar.mission_days();
    let mut most = 0.0_f64;
    (0..calendar.flights.len())
        .map(|flight| {
            let until = calendar
                .flights
                .get(flight + 1)
                .map_or(end, |next| (next.day + next.slip_days).min(end));
            // A long slip of an earlier flight may reach past a later one.
            most = most.max(used_until(calendar, kg_per_day, until));
            most
        })
        .collect()
}

/// What is used by the day of the flight after each, or by the end.
fn needs_to_next_flight(calendar: &Calendar, per_day: &[f64]) -> Vec<f64> {
    (0..calendar.flights.len())
        .map(|flight| used_until(calendar, per_day, calendar.next_flight_day(flight)))
        .collect()
}

/// What is used from day 0 to a day.
fn used_until(calendar: &Calendar, per_day: &[f64], day: f64) -> f64 {
    calendar
        .phase_days_between(0.0, day)
        .iter()
        .zip(per_day)
        .map(|(days, rate)| days * rate)
        .sum()
}

/// From cumulative amounts to amounts by flight.
fn steps(cumulative: &[f64]) -> Vec<f64> {
    let mut before = 0.0;
    cumulative
        .iter()
        .map(|&sum| {
            let step = sum - before;
            before = sum;
            step
        })
        .collect()
}

/// Whole pieces by flight that cover cumulative needs, each piece `covers` much.
fn whole_steps(needs: &[f64], covers: f64) -> Vec<u32> {
    let mut before = 0;
    needs
        .iter()
        .map(|need| {
            let pieces = whole_pieces(*need, covers);
            let step = pieces.saturating_sub(before);
            before = before.max(pieces);
            step
        })
        .collect()
}

/// The fewest whole pieces that cover a need.
pub(super) fn whole_pieces(need: f64, covers: f64) -> u32 {
    // The cast saturates: beyond 4e9 pieces the audit finds the need uncovered.
    (need / covers - WHOLE_SLACK).ceil().max(0.0) as u32
}

/// The least cumulative content by flight that meets the needs and leaves no
/// more to later flights than their containers hold.
fn filled(mut content: Vec<f64>, containers: &[u32], holds_kg: f64) -> Vec<f64> {
    for flight in (1..content.len()).rev() {
        let room = f64::from(containers[flight]) * holds_kg;
        content[flight - 1] = content[flight - 1].max(content[flight] - room);
    }
    content
}
