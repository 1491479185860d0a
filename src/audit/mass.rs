//! Mass: the ledger worked out again from the decisions, what each flight
//! carries, and the launch mass.

use std::collections::BTreeMap;

use crate::answer::Category;
use crate::kinds::{Hardware, Packing, Stock, Tank};
use crate::network::NodeId;

use super::checks::{Checks, Family};
use super::facts::Facts;
use super::spares::pools;

/// Kilograms by flight, category and item.
type Weights = BTreeMap<(usize, Category, String), f64>;

/// The ledger is what the decisions weigh, flights carry no more than they
/// may, and the launch mass is the ledger's at every flight's gear ratio and
/// not below what was proved.
pub(super) fn check(facts: &Facts, checks: &mut Checks) {
    let weights = weights(facts);
    let mut stated = Weights::new();
    for line in &facts.answer.ledger {
        let key = (line.flight, line.category, line.item.clone());
        *stated.entry(key).or_default() += line.kg;
    }
    let mut keys: Vec<_> = weights.keys().chain(stated.keys()).collect();
    keys.sort();
    keys.dedup();
    for key in keys {
        let (flight, category, item) = key;
        let found = weights.get(key).copied().unwrap_or(0.0);
        let stated = stated.get(key).copied().unwrap_or(0.0);
        checks.equal(Family::Ledger, stated, found, || {
            format!("{} of {item} on flight {flight}", category.words())
        });
    }

    let mut on_flight = vec![0.0; facts.flights()];
    for ((flight, ..), kg) in &weights {
        on_flight[*flight] += kg;
    }
    let mut launch_mass_kg = 0.0;
    for (index, (flight, kg)) in facts
        .network
        .calendar
        .flights
        .iter()
        .zip(on_flight)
        .enumerate()
    {
        launch_mass_kg += kg * flight.gear_ratio;
        if let Some(payload) = flight.payload_kg {
            checks.at_most(Family::Payload, kg, payload, || {
                format!("payload of flight {index} on day {}", flight.day)
            });
        }
    }
    let stated = facts.answer.launch_mass_kg;
    checks.equal(Family::LaunchMass, stated, launch_mass_kg, || {
        "launch mass".to_owned()
    });

    let proof = &facts.answer.proof;
    if proof.bound_kg > f64::NEG_INFINITY {
        let minimised_kg = launch_mass_kg + equivalents(facts, checks);
        checks.at_least(Family::LaunchMass, minimised_kg, proof.bound_kg, || {
            "launch mass is not below the mass proved to be needed".to_owned()
        });
        let off = (minimised_kg * (1.0 - proof.gap) - proof.bound_kg).abs();
        checks.record(Family::LaunchMass, off, minimised_kg, || {
            "gap between the launch mass and the mass proved to be needed".to_owned()
        });
    }
}

/// What power, cooling, volume and crew time weigh, worked out from the loads;
/// the answer must state the same.
fn equivalents(facts: &Facts, checks: &mut Checks) -> f64 {
    let Some(factors) = &facts.network.equivalents else {
        return 0.0;
    };
    let answer = facts.answer;
    let phases = &facts.network.calendar.phases;
    let (mut power, mut cooling, mut crew_time) = (0.0_f64, 0.0_f64, 0.0);
    for (index, (phase, factors)) in phases.iter().zip(&factors.phases).enumerate() {
        // The stated loads are re-checked with the limits.
        let (power_w, heat_w) = (answer.power_w[index], answer.heat_w[index]);
        let hours = answer.crew_time_h_per_day[index];
        power = power.max(factors.power_kg_per_kw * power_w / 1000.0);
        cooling = cooling.max(factors.cooling_kg_per_kw * heat_w / 1000.0);
        crew_time += factors.crew_time_kg_per_h * hours * phase.days;
    }
    let volume: f64 = facts
        .hardware()
        .into_iter()
        .map(|(_, _, unit, units)| units * unit.volume_m3)
        .sum();
    let sum = power + cooling + crew_time + factors.volume_kg_per_m3 * volume;
    let beside = sum * facts.network.calendar.flights[0].gear_ratio;
    let stated = answer.minimised_kg() - answer.launch_mass_kg;
    checks.equal(Family::LaunchMass, stated, beside, || {
        "equivalents beside the launch mass".to_owned()
    });
    beside
}

fn weights(facts: &Facts) -> Weights {
    let mut weights = Weights::new();
    let mut add = |flight: usize, category: Category, item: &str, kg: f64| {
        *weights
            .entry((flight, category, item.to_owned()))
            .or_default() += kg;
    };
    for (node, duties, unit, units) in facts.hardware() {
        let name = facts.name(node);
        let start = facts.start(duties);
        if !duties.count.installed {
            let flight = facts.flight_by(start);
            add(flight, Category::Hardware, name, units * unit.mass_kg);
        }
        for (flight, pieces) in replacements(facts, unit, start).into_iter().enumerate() {
            let kg = units * pieces * unit.mass_kg;
            add(flight, Category::ReplacementUnits, name, kg);
        }
    }
    for pool in pools(facts) {
        let with_units = |node: &&NodeId| facts.decisions.counts[node.index()] > 0;
        let starts = pool.nodes.iter().filter(with_units);
        let first = starts
            .map(|node| facts.start(&facts.network.graph[*node].duties))
            .fold(f64::INFINITY, f64::min);
        let flight = if first.is_finite() {
            facts.flight_by(first)
        } else {
            0
        };
        let kg = f64::from(pool.spares) * pool.mass_kg;
        add(flight, Category::Spares, &pool.name, kg);
    }
    let unit_of = |node: NodeId| facts.network.graph[node].duties.hardware.as_ref();
    for plan in &facts.decisions.cartridges {
        let cartridge = unit_of(plan.node).and_then(|unit| unit.cartridge);
        let each = cartridge.map_or(0.0, |cartridge| cartridge.mass_kg);
        for (flight, &pieces) in plan.by_flight.iter().enumerate() {
            let kg = f64::from(pieces) * each;
            add(flight, Category::Cartridges, facts.name(plan.node), kg);
        }
    }
    for plan in &facts.decisions.consumables {
        let name = facts.name(plan.node);
        for flight in 0..facts.flights() {
            add(
                flight,
                Category::Expendables,
                name,
                plan.expendables_kg[flight],
            );
            add(flight, Category::Upkeep, name, plan.upkeep_kg[flight]);
        }
    }
    for plan in &facts.decisions.cargo {
        let name = facts.name(plan.node);
        let Some(Stock::Delivered {
            packing, transfer, ..
        }) = &facts.network.graph[plan.node].duties.stock
        else {
            continue;
        };
        for (flight, &kg) in plan.kg.iter().enumerate() {
            add(flight, Category::Cargo, name, kg);
            let packing_kg = match (packing, &plan.containers) {
                (Packing::Fraction(fraction), _) => fraction * kg,
                (Packing::Container { tare_kg, .. }, Some(pieces)) => {
                    f64::from(pieces[flight]) * tare_kg
                }
                (Packing::Container { .. }, None) => 0.0,
            };
            add(flight, Category::Packaging, name, packing_kg);
            if let Some(transfer) = transfer {
                let gas_kg = transfer.gas_kg_per_kg * kg;
                add(flight, Category::TransferGas, name, gas_kg);
            }
        }
    }
    for plan in &facts.decisions.stores {
        let name = facts.name(plan.node);
        add(0, Category::Reserves, name, plan.reserve_kg);
        if let Some(Stock::Kept {
            tank: Some(tank), ..
        }) = &facts.network.graph[plan.node].duties.stock
        {
            let kg = match tank {
                Tank::Tare(fraction) => fraction * plan.holds_kg,
                Tank::Whole { mass_kg, .. } => f64::from(plan.tanks.unwrap_or(0)) * mass_kg,
            };
            add(0, Category::Tanks, name, kg);
        }
    }
    weights
}

/// Replacements of a unit by flight. Each comes on the last flight not after
/// it is due; the first is due one life after the start, and none at the end.
fn replacements(facts: &Facts, unit: &Hardware, start: f64) -> Vec<f64> {
    let mut by_flight = vec![0.0; facts.flights()];
    let Some(life) = unit.life_days else {
        return by_flight;
    };
    let lives = ((facts.end() - start) / life - 1e-9).ceil();
    // Due on start + i · life for i = 1 .. lives − 1; of these, flight `k` or a
    // later one brings those from i = ⌈(t_k − start) / life⌉ on.
    let mut later = 0.0;
    for flight in (0..facts.flights()).rev() {
        let first = match flight {
            0 => 1.0,
            _ => ((facts.flight_day(flight) - 1e-6 - start) / life)
                .ceil()
                .max(1.0),
        };
        let from_here_on = (lives - first).max(0.0);
        by_flight[flight] = from_here_on - later;
        later = from_here_on;
    }
    by_flight
}
