//! What happens on which day.

use crate::answer::CargoPlan;
use crate::audit::Plan;
use crate::kinds::Stock;
use crate::network::{Network, NodeId};

/// Something that happens on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// The day.
    pub day: f64,
    /// What happens.
    pub what: Happening,
}

/// What happens.
#[derive(Clone, Debug, PartialEq)]
pub enum Happening {
    /// A phase begins.
    PhaseBegins {
        /// Index of the phase.
        phase: usize,
        /// People aboard from now on.
        crew: f64,
        /// People aboard until now; none on day 0.
        crew_before: Option<f64>,
        /// Occasions from now on, times a day.
        occasions: Vec<(String, f64)>,
    },
    /// A flight arrives.
    Arrival {
        /// Its number; 0 is the departure.
        flight: usize,
        /// What it carries, kg.
        brings_kg: f64,
        /// Waste that leaves with it, kg.
        takes_kg: f64,
    },
    /// Cargo is transferred into its store.
    Transfer {
        /// The cargo node.
        cargo: NodeId,
        /// The store.
        store: String,
        /// How much, kg.
        kg: f64,
        /// Gas that pushes it, kg.
        gas_kg: f64,
        /// Crew time, h.
        crew_h: f64,
    },
    /// A node begins to work in a later phase than the first.
    Starts {
        /// The node.
        node: NodeId,
        /// Its units.
        units: u32,
    },
    /// Worn-out units are replaced.
    Replacement {
        /// The node.
        node: NodeId,
        /// How many units.
        units: u32,
        /// Which replacement it is, from 1.
        number: u32,
    },
    /// Spent cartridges are exchanged for the first or the last time, or each
    /// time where that is seldom.
    Cartridge {
        /// The node.
        node: NodeId,
        /// Which exchange it is, from 1.
        number: u32,
        /// How many there are in all.
        of: u32,
    },
    /// The mission ends.
    End {
        /// Waste that is taken away then, kg.
        takes_kg: f64,
    },
}

/// Of more replacements or exchanges than these only the first and the last are
/// listed.
pub const LISTED: u32 = 12;

/// Everything that happens, in order of time; on one day in the order of
/// [`Happening`].
pub(super) fn events(plan: &Plan) -> Vec<Event> {
    let mut events = phases(plan);
    events.extend(flights(plan));
    events.extend(starts(plan));
    events.extend(replacements(plan));
    events.extend(exchanges(plan));
    let end = plan.network().calendar.mission_days();
    let last = plan.network().calendar.flights.len().saturating_sub(1);
    events.push(Event {
        day: end,
        what: Happening::End {
            takes_kg: taken_in_window(plan, last),
        },
    });
    // Stable: on one day they stay in the order in which they were added.
    events.sort_by(|one, other| one.day.total_cmp(&other.day));
    events
}

fn phases(plan: &Plan) -> Vec<Event> {
    let calendar = &plan.network().calendar;
    let phases = calendar.phases.iter().enumerate();
    phases
        .map(|(index, phase)| Event {
            day: calendar.phase_start(index),
            what: Happening::PhaseBegins {
                phase: index,
                crew: phase.crew,
                crew_before: index
                    .checked_sub(1)
                    .map(|before| calendar.phases[before].crew),
                occasions: phase
                    .occasions
                    .iter()
                    .map(|(name, rate)| (name.clone(), *rate))
                    .collect(),
            },
        })
        .collect()
}

/// Waste that comes in between a flight and the next, or the end, kg.
fn taken_in_window(plan: &Plan, flight: usize) -> f64 {
    let waste = plan.answer().waste.iter();
    waste.filter_map(|waste| waste.windows_kg.get(flight)).sum()
}

fn flights(plan: &Plan) -> Vec<Event> {
    let (network, answer) = (plan.network(), plan.answer());
    let mut events = Vec::new();
    for (index, flight) in network.calendar.flights.iter().enumerate() {
        let lines = answer.ledger.iter();
        events.push(Event {
            day: flight.day,
            what: Happening::Arrival {
                flight: index,
                brings_kg: lines
                    .filter(|line| line.flight == index)
                    .map(|line| line.kg)
                    .sum(),
                takes_kg: index
                    .checked_sub(1)
                    .map_or(0.0, |before| taken_in_window(plan, before)),
            },
        });
        let cargo = answer.decisions.cargo.iter();
        let transfers = cargo.filter_map(|cargo| transfer(network, cargo, index));
        events.extend(transfers.map(|what| Event {
            day: flight.day,
            what,
        }));
    }
    events
}

fn transfer(network: &Network, cargo: &CargoPlan, flight: usize) -> Option<Happening> {
    let Some(Stock::Delivered {
        into: Some(store), ..
    }) = &network.duties(cargo.node).stock
    else {
        return None;
    };
    let kg = cargo.kg[flight];
    let takes = network.transfer(cargo.node);
    (kg > super::NOISE).then(|| Happening::Transfer {
        cargo: cargo.node,
        store: store.text.clone(),
        kg,
        gas_kg: takes.map_or(0.0, |takes| takes.gas_kg_per_kg * kg),
        crew_h: takes.map_or(0.0, |takes| takes.crew_h_per_kg * kg),
    })
}

/// Nodes in use whose hardware begins to work later than the mission.
fn starts(plan: &Plan) -> Vec<Event> {
    let network = plan.network();
    let late = network.nodes().filter(|&node| {
        let duties = network.duties(node);
        duties.starts_in_phase > 0 && duties.hardware.is_some()
    });
    late.filter_map(|node| {
        let units = plan.answer().decisions.counts[node.index()];
        (units > 0).then(|| Event {
            day: network.start_day(node),
            what: Happening::Starts { node, units },
        })
    })
    .collect()
}

/// Numbers of those that are listed, from 1.
fn listed(all: u32) -> Vec<u32> {
    match all {
        0..=LISTED => (1..=all).collect(),
        _ => vec![1, all],
    }
}

fn replacements(plan: &Plan) -> Vec<Event> {
    let network = plan.network();
    let mut events = Vec::new();
    for node in network.nodes() {
        let life = network
            .duties(node)
            .hardware
            .as_ref()
            .and_then(|hardware| hardware.life_days);
        let units = plan.answer().decisions.counts[node.index()];
        let (Some(life), true) = (life, units > 0) else {
            continue;
        };
        let all: f64 = network.replacements_by_flight(node).iter().sum();
        // A cast saturates: beyond 4e9 replacements no list is right.
        events.extend(listed(all as u32).into_iter().map(|number| Event {
            day: network.start_day(node) + f64::from(number) * life,
            what: Happening::Replacement {
                node,
                units,
                number,
            },
        }));
    }
    events
}

/// A node's first cartridge is put in when it starts; each next one when those
/// before it are spent.
fn exchanges(plan: &Plan) -> Vec<Event> {
    let (network, answer) = (plan.network(), plan.answer());
    let mut events = Vec::new();
    for node in network.nodes() {
        let hardware = network.duties(node).hardware.as_ref();
        let Some(cartridge) = hardware.and_then(|hardware| hardware.cartridge) else {
            continue;
        };
        let feed = &answer.throughput[node.index()];
        let days = network.calendar.phases.iter().map(|phase| phase.days);
        let all: f64 = feed.iter().zip(days).map(|(rate, days)| rate * days).sum();
        let used = (all / cartridge.treats_kg - 1e-7).ceil().max(0.0);
        let exchanges = (used - 1.0).max(0.0) as u32;
        for number in listed(exchanges) {
            let spent = f64::from(number) * cartridge.treats_kg;
            let day = super::days_of_cover(&network.calendar, 0.0, spent, feed);
            events.extend(day.map(|day| Event {
                day,
                what: Happening::Cartridge {
                    node,
                    number,
                    of: exchanges,
                },
            }));
        }
    }
    events
}
