//! Deliveries: cargo is there before it is drawn, also when a flight is late;
//! containers hold it; cartridges and consumables last to the next flight.

use crate::kinds::{Packing, Stock};

use super::checks::{Checks, Family};
use super::facts::Facts;

/// What has been delivered of a cargo covers what has been drawn just before
/// every arrival and at the end; before an arrival that may be late it also
/// covers what is drawn while waiting.
pub(super) fn stock(facts: &Facts, checks: &mut Checks) {
    let end = facts.end();
    for plan in &facts.decisions.cargo {
        let name = facts.name(plan.node);
        let draw = facts.draw(plan.node);
        let mut delivered = 0.0;
        for (flight, kg) in plan.kg.iter().enumerate() {
            delivered += kg;
            let day = facts.flight_day(flight + 1);
            let drawn = facts.between(&draw, 0.0, day);
            checks.at_least(Family::Stock, delivered, drawn, || {
                format!("stock of {name} on day {day}")
            });
            let Some(next) = facts.network.calendar.flights.get(flight + 1) else {
                continue;
            };
            let late = (day + next.slip_days).min(end);
            let drawn = facts.between(&draw, 0.0, late);
            checks.at_least(Family::LateFlights, delivered, drawn, || {
                let flight = flight + 1;
                format!("stock of {name} while flight {flight} is late, to day {late}")
            });
        }
    }
}

/// Containers hold the cargo on their flight.
pub(super) fn containers(facts: &Facts, checks: &mut Checks) {
    for plan in &facts.decisions.cargo {
        let (
            Some(Stock::Delivered {
                packing: Packing::Container { holds_kg, .. },
                ..
            }),
            Some(containers),
        ) = (
            &facts.network.graph[plan.node].duties.stock,
            &plan.containers,
        )
        else {
            continue;
        };
        for (flight, (&kg, &pieces)) in plan.kg.iter().zip(containers).enumerate() {
            let held = holds_kg * f64::from(pieces);
            checks.at_least_in_pieces(Family::Containers, held, kg, *holds_kg, || {
                let name = facts.name(plan.node);
                format!("containers hold {name} on flight {flight}")
            });
        }
    }
}

/// What has been delivered by a flight covers all use until the next one:
/// cartridges the feed, expendables their share of the feed, upkeep all days
/// of all units in service.
pub(super) fn consumables(facts: &Facts, checks: &mut Checks) {
    let mut last = |what: &str, name: &str, per_day: &[f64], by_flight: Vec<f64>, piece: f64| {
        let mut delivered = 0.0;
        for (flight, kg) in by_flight.into_iter().enumerate() {
            delivered += kg;
            let day = facts.flight_day(flight + 1);
            let used = facts.between(per_day, 0.0, day);
            checks.at_least_in_pieces(Family::Consumables, delivered, used, piece, || {
                format!("{what} of {name} last to day {day}")
            });
        }
    };
    for plan in &facts.decisions.cartridges {
        let hardware = facts.network.graph[plan.node].duties.hardware.as_ref();
        let Some(cartridge) = hardware.and_then(|unit| unit.cartridge) else {
            continue;
        };
        let feed = facts.feed(plan.node);
        let treats = plan
            .by_flight
            .iter()
            .map(|&pieces| f64::from(pieces) * cartridge.treats_kg);
        let name = facts.name(plan.node);
        last(
            "cartridges",
            name,
            &feed,
            treats.collect(),
            cartridge.treats_kg,
        );
    }
    for plan in &facts.decisions.consumables {
        let duties = &facts.network.graph[plan.node].duties;
        let Some(unit) = &duties.hardware else {
            continue;
        };
        let name = facts.name(plan.node);
        let expendables: Vec<f64> = facts
            .feed(plan.node)
            .iter()
            .map(|feed| feed * unit.expendables_kg_per_kg)
            .collect();
        last(
            "expendables",
            name,
            &expendables,
            plan.expendables_kg.clone(),
            0.0,
        );
        let units = f64::from(facts.decisions.counts[plan.node.index()]);
        let upkeep: Vec<f64> = (0..facts.phases)
            .map(|phase| match phase < duties.starts_in_phase {
                true => 0.0,
                false => units * unit.upkeep_kg_per_day,
            })
            .collect();
        last("upkeep", name, &upkeep, plan.upkeep_kg.clone(), 0.0);
    }
}
