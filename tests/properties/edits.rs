//! Small edits of networks.

use loopwright::kinds::{Activity, Hardware, Level, Packing, Reserve, Role, Stock, Tank};
use loopwright::network::{Calendar, Flight, Limit, Network, NodeId};

use crate::designs_read::limits;
use crate::dice::Dice;

/// Changes some masses, capacities, packings, demands and limits a little.
pub fn small(network: &mut Network, dice: &mut Dice) {
    for node in network.nodes() {
        let duties = &mut network.graph[node].duties;
        if let Some(unit) = &mut duties.hardware {
            hardware(unit, dice);
        }
        match &mut duties.stock {
            Some(Stock::Delivered { packing, .. }) => match packing {
                Packing::Fraction(fraction) => dice.scale(fraction, 0.5, 2.0),
                Packing::Container { holds_kg, tare_kg } => {
                    dice.scale(holds_kg, 0.6, 1.7);
                    dice.scale(tare_kg, 0.5, 2.0);
                }
            },
            Some(Stock::Kept { reserve, tank, .. }) => {
                match reserve {
                    Some(Reserve::Kilograms(amount) | Reserve::Days(amount)) => {
                        dice.scale(amount, 0.5, 2.0);
                    }
                    None => {}
                }
                match tank {
                    Some(Tank::Tare(tare)) => dice.scale(tare, 0.5, 2.0),
                    Some(Tank::Whole { mass_kg, holds_kg }) => {
                        dice.scale(mass_kg, 0.5, 2.0);
                        dice.scale(holds_kg, 0.6, 1.7);
                    }
                    None => {}
                }
            }
            None => {}
        }
        if duties
            .activities
            .iter()
            .any(|activity| activity.role == Role::Use)
            && dice.below(3) == 0
        {
            let factor = dice.between(0.8, 1.2);
            scale_demand(network, node, factor);
        }
    }
    for limit in limits(network) {
        dice.scale(&mut limit.value, 0.9, 1.5);
    }
    for payload in network
        .calendar
        .flights
        .iter_mut()
        .filter_map(|flight| flight.payload_kg.as_mut())
    {
        dice.scale(payload, 0.9, 1.5);
    }
}

fn hardware(unit: &mut Hardware, dice: &mut Dice) {
    dice.scale(&mut unit.mass_kg, 0.5, 2.0);
    if let Some(capacity) = &mut unit.capacity_kg_per_day {
        dice.scale(capacity, 0.8, 1.5);
    }
    if let Some(cartridge) = &mut unit.cartridge {
        dice.scale(&mut cartridge.mass_kg, 0.5, 2.0);
        dice.scale(&mut cartridge.treats_kg, 0.6, 1.7);
    }
    if let Some(part) = unit.spares.as_mut().filter(|part| part.part.is_none()) {
        dice.scale(&mut part.mass_kg, 0.5, 2.0);
        dice.scale(&mut part.mtbf_days, 0.5, 2.0);
    }
    dice.scale(&mut unit.power_w, 0.8, 1.2);
    dice.scale(&mut unit.expendables_kg_per_kg, 0.5, 2.0);
    dice.scale(&mut unit.upkeep_kg_per_day, 0.5, 2.0);
}

/// Multiplies what people or equipment at a node use.
pub fn scale_demand(network: &mut Network, node: NodeId, factor: f64) {
    for Activity { level, role, .. } in &mut network.graph[node].duties.activities {
        if let (Role::Use, Level::Fixed(values)) = (role, level) {
            for value in values {
                *value *= factor;
            }
        }
    }
}

/// Networks with more choice than a given one, and words for what is more.
pub fn wider(network: &Network, dice: &mut Dice) -> Vec<(String, Network)> {
    let mut wider = Vec::new();
    let mut nodes: Vec<NodeId> = network
        .nodes()
        .filter(|&node| {
            network.duties(node).hardware.is_some() && !network.duties(node).count.installed
        })
        .collect();
    dice.shuffle(&mut nodes);
    for &node in nodes.iter().take(3) {
        let mut more = network.clone();
        more.graph[node].duties.count.upper += 1;
        wider.push((format!("one more {}", network.name(node)), more));
    }
    if !network.exclusive.is_empty() {
        let mut more = network.clone();
        more.exclusive.remove(dice.below(network.exclusive.len()));
        wider.push(("an exclusive group less".to_owned(), more));
    }
    let payloads = network
        .calendar
        .flights
        .iter()
        .filter_map(|flight| flight.payload_kg)
        .count();
    if payloads > 0 {
        let mut more = network.clone();
        for flight in &mut more.calendar.flights {
            flight.payload_kg = flight.payload_kg.map(|payload| payload * 1.2);
        }
        wider.push(("more payload".to_owned(), more));
        let mut more = network.clone();
        for flight in &mut more.calendar.flights {
            flight.payload_kg = None;
        }
        wider.push(("payload without limit".to_owned(), more));
    }
    if network.calendar.equal_gear_ratios() {
        let (day, more) = further_flight(network, dice);
        wider.push((format!("a flight more on day {day}"), more));
    }
    let limits = [
        network.limits.power_w,
        network.limits.heat_w,
        network.limits.volume_m3,
        network.limits.crew_time_h_per_day,
        network.limits.stowage_kg,
    ];
    if limits.iter().any(Option::is_some) {
        let mut more = network.clone();
        let raised = limits.map(|limit| {
            limit.map(|limit| Limit {
                value: limit.value * 1.2,
                ..limit
            })
        });
        [
            more.limits.power_w,
            more.limits.heat_w,
            more.limits.volume_m3,
            more.limits.crew_time_h_per_day,
            more.limits.stowage_kg,
        ] = raised;
        wider.push(("wider limits".to_owned(), more));
    }
    wider
}

/// One more flight on some day, on time and without a payload limit. Where all
/// flights have the same gear ratio it is a choice more: what the calendar moves to
/// it weighs the same there.
fn further_flight(network: &Network, dice: &mut Dice) -> (f64, Network) {
    let calendar = &network.calendar;
    let mut flights = calendar.flights.clone();
    let end = calendar.mission_days();
    let mut day = dice.between(0.05, 0.95) * end;
    while flights.iter().any(|flight| (flight.day - day).abs() < 1e-3) {
        day = dice.between(0.05, 0.95) * end;
    }
    flights.push(Flight {
        day,
        payload_kg: None,
        slip_days: 0.0,
        gear_ratio: flights[0].gear_ratio,
        place: None,
    });
    flights.sort_by(|one, other| one.day.total_cmp(&other.day));
    let mut more = network.clone();
    more.calendar = Calendar::new(calendar.phases.clone(), flights);
    (day, more)
}
