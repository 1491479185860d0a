//! Every level of a plan.

use crate::answer::StorePlan;
use crate::audit::Plan;
use crate::kinds::{Role, Stock, Tank, Way};
use crate::network::{Calendar, Network, NodeId};

use super::track::{Kept, NOISE, Point, Track};

/// Stores, cargo, waste, cartridges, expendables, upkeep; each in file order. What
/// is never there is left out, but for stores.
pub(super) fn tracks(plan: &Plan) -> Vec<Track> {
    let mut tracks = stores(plan);
    tracks.extend(cargo(plan));
    tracks.extend(waste(plan));
    tracks.extend(cartridges(plan));
    tracks.extend(consumables(plan));
    tracks.retain(|track| track.what == Kept::Store || track.most().level > NOISE);
    tracks
}

/// The points of a level that jumps when flights arrive and otherwise changes
/// at a rate by phase. `jump` gives the change from the flight and the level
/// before it.
fn course(
    calendar: &Calendar,
    start: f64,
    jump: impl Fn(usize, f64) -> f64,
    rate_per_day: impl Fn(usize) -> f64,
) -> Vec<Point> {
    let mut points = Vec::new();
    let mut level = start;
    let mut end = 0.0;
    for interval in &calendar.intervals {
        let before = level;
        level += interval.arrival.map_or(0.0, |flight| jump(flight, before));
        points.push(Point {
            day: interval.start,
            before,
            after: level,
        });
        level += interval.days() * rate_per_day(interval.phase);
        end = interval.end;
    }
    points.push(Point {
        day: end,
        before: level,
        after: level,
    });
    points
}

fn stores(plan: &Plan) -> Vec<Track> {
    let stores = plan.answer().decisions.stores.iter();
    stores.map(|store| of_store(plan, store)).collect()
}

/// The reserve, which is not planned to be used, and cargo transferred into it.
fn of_store(plan: &Plan, store: &StorePlan) -> Track {
    let (network, answer) = (plan.network(), plan.answer());
    let transferred = network.transferred_into(store.node);
    let brought = |flight: usize| -> f64 {
        let cargo = answer.decisions.cargo.iter();
        cargo
            .filter(|cargo| transferred.contains(&cargo.node))
            .map(|cargo| cargo.kg[flight])
            .sum()
    };
    let drawn = |phase: usize| -> f64 {
        let draws = answer.draws.iter();
        draws
            .filter(|draw| transferred.contains(&draw.node))
            .map(|draw| draw.kg_per_day[phase])
            .sum()
    };
    let fed = network.fed_by_store(store.node);
    let feeds = |phase: usize| -> f64 {
        let flows = &answer.decisions.flows;
        fed.iter().map(|stream| flows[stream.index()][phase]).sum()
    };
    Track {
        node: store.node,
        what: Kept::Store,
        points: course(
            &network.calendar,
            store.reserve_kg,
            |flight, _| brought(flight),
            |phase| -drawn(phase),
        ),
        room: room(network, store),
        use_per_day: by_phase(network, feeds),
    }
}

/// What the tanks of a store hold, kg; none where it has none.
pub(in crate::timeline) fn room(network: &Network, store: &StorePlan) -> Option<f64> {
    match &network.duties(store.node).stock {
        Some(Stock::Kept {
            tank: Some(Tank::Whole { holds_kg, .. }),
            ..
        }) => Some(f64::from(store.tanks.unwrap_or(0)) * holds_kg),
        Some(Stock::Kept {
            tank: Some(Tank::Tare(_)),
            ..
        }) => Some(store.holds_kg),
        _ => None,
    }
}

fn by_phase(network: &Network, value: impl Fn(usize) -> f64) -> Vec<f64> {
    (0..network.calendar.phases.len()).map(value).collect()
}

fn cargo(plan: &Plan) -> Vec<Track> {
    let (network, answer) = (plan.network(), plan.answer());
    let cargo = answer.decisions.cargo.iter().zip(&answer.draws);
    let tracks = cargo.map(|(cargo, draws)| Track {
        node: cargo.node,
        what: Kept::Cargo,
        points: course(
            &network.calendar,
            0.0,
            |flight, _| cargo.kg[flight],
            |phase| -draws.kg_per_day[phase],
        ),
        room: None,
        use_per_day: draws.kg_per_day.clone(),
    });
    tracks.collect()
}

/// Waste that stays aboard, or waits for the next vehicle to take it away.
fn waste(plan: &Plan) -> Vec<Track> {
    let (network, answer) = (plan.network(), plan.answer());
    let mut tracks = Vec::new();
    for waste in &answer.waste {
        let (room, leaves) = match waste.way {
            Way::Overboard => continue,
            Way::Stowed { limit_kg } => (limit_kg, false),
            Way::Removed { per_flight_kg } => (Some(per_flight_kg), true),
        };
        let comes = |phase: usize| taken(plan, waste.node, phase);
        let mut points = course(
            &network.calendar,
            0.0,
            |_, level| if leaves { -level } else { 0.0 },
            comes,
        );
        if let (true, Some(last)) = (leaves, points.last_mut()) {
            last.after = 0.0;
        }
        tracks.push(Track {
            node: waste.node,
            what: Kept::Waste,
            points,
            room,
            use_per_day: by_phase(network, comes),
        });
    }
    tracks
}

/// What a disposal takes in a phase, kg/d.
fn taken(plan: &Plan, node: NodeId, phase: usize) -> f64 {
    let activities = plan.network().duties(node).activities.iter();
    let levels = &plan.answer().decisions.levels[node.index()];
    activities
        .zip(levels)
        .filter(|(activity, _)| matches!(activity.role, Role::Leave(_)))
        .map(|(activity, level)| {
            let takes: f64 = activity.takes.iter().map(|portion| portion.amount).sum();
            takes * level[phase]
        })
        .sum()
}

fn cartridges(plan: &Plan) -> Vec<Track> {
    let (network, answer) = (plan.network(), plan.answer());
    let mut tracks = Vec::new();
    for cartridges in &answer.decisions.cartridges {
        let node = cartridges.node;
        let hardware = network.duties(node).hardware.as_ref();
        let Some(cartridge) = hardware.and_then(|hardware| hardware.cartridge) else {
            continue;
        };
        let spent = |phase: usize| answer.throughput[node.index()][phase] / cartridge.treats_kg;
        tracks.push(Track {
            node,
            what: Kept::Cartridges,
            points: course(
                &network.calendar,
                0.0,
                |flight, _| f64::from(cartridges.by_flight[flight]),
                |phase| -spent(phase),
            ),
            room: None,
            use_per_day: by_phase(network, spent),
        });
    }
    tracks
}

/// Expendables by what is fed, upkeep by units and days.
fn consumables(plan: &Plan) -> Vec<Track> {
    let (network, answer) = (plan.network(), plan.answer());
    let mut tracks = Vec::new();
    for consumables in &answer.decisions.consumables {
        let node = consumables.node;
        let Some(hardware) = &network.duties(node).hardware else {
            continue;
        };
        let units = f64::from(answer.decisions.counts[node.index()]);
        let expended =
            |phase: usize| answer.throughput[node.index()][phase] * hardware.expendables_kg_per_kg;
        let kept_up = |phase: usize| match network.works(node, phase) {
            true => units * hardware.upkeep_kg_per_day,
            false => 0.0,
        };
        let kinds: [(Kept, &[f64], Vec<f64>); 2] = [
            (
                Kept::Expendables,
                &consumables.expendables_kg,
                by_phase(network, expended),
            ),
            (
                Kept::Upkeep,
                &consumables.upkeep_kg,
                by_phase(network, kept_up),
            ),
        ];
        for (what, by_flight, use_per_day) in kinds {
            if by_flight.iter().all(|kg| *kg == 0.0) {
                continue;
            }
            let points = course(
                &network.calendar,
                0.0,
                |flight, _| by_flight[flight],
                |phase| -use_per_day[phase],
            );
            tracks.push(Track {
                node,
                what,
                points,
                room: None,
                use_per_day,
            });
        }
    }
    tracks
}
