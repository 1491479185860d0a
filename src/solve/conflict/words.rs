//! Statements in design words.

use super::amounts::{self, dimension};
use super::statement::What;
use crate::catalogue::SubstanceId;
use crate::diagnostic::Place;
use crate::kinds::{Reserve, Stock, Tank};
use crate::network::{Network, NodeId, SparesPolicy};
use crate::quantity::{Dimension, shown, shown_number};

/// A node's name as messages quote it.
pub(super) fn name(network: &Network, node: NodeId) -> String {
    format!("`{}`", network.name(node))
}

/// A substance's name as messages quote it.
pub(super) fn substance(network: &Network, substance: SubstanceId) -> String {
    format!("\"{}\"", network.substances.name(substance))
}

/// "in phase `operations`".
pub(super) fn in_phase(network: &Network, phase: usize) -> String {
    let name = network.calendar.phases.get(phase);
    format!(
        "in phase `{}`",
        name.map_or("", |phase| phase.name.as_str())
    )
}

/// A rate of flow.
pub(super) fn rate(value: f64) -> String {
    shown(value, Dimension::MassRate)
}

/// A mass.
pub(super) fn mass(value: f64) -> String {
    shown(value, Dimension::Mass)
}

/// "a", "a and b", "a, b and c".
pub(super) fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// "day 0 to 180".
pub(super) fn window(network: &Network, flight: usize) -> String {
    let from = network.calendar.flights.get(flight);
    format!(
        "day {} to {}",
        shown_number(from.map_or(0.0, |flight| flight.day)),
        shown_number(network.calendar.next_flight_day(flight))
    )
}

/// "the departure", "the flight of day 180".
pub(super) fn flight(network: &Network, flight: usize) -> String {
    match network.calendar.flights.get(flight) {
        Some(data) if flight > 0 => format!("the flight of day {}", shown_number(data.day)),
        _ => "the departure".to_owned(),
    }
}

/// The nodes of an exclusive group.
pub(super) fn group(network: &Network, group: usize) -> String {
    let group = network.exclusive.get(group);
    let names: Vec<String> = group
        .map(|group| {
            group
                .nodes
                .iter()
                .map(|&node| name(network, node))
                .collect()
        })
        .unwrap_or_default();
    listed(&names)
}

/// What a statement says, standing alone.
pub(super) fn statement(network: &Network, what: What) -> String {
    match what {
        What::Need {
            node,
            substance: what,
            phase,
        } => format!(
            "{} takes {} of {} {}",
            name(network, node),
            rate(amounts::need(network, node, what, phase)),
            substance(network, what),
            in_phase(network, phase)
        ),
        What::Product {
            node,
            substance: what,
            phase,
        } => format!(
            "{} gives {} of {} {}",
            name(network, node),
            rate(amounts::product(network, node, what, phase)),
            substance(network, what),
            in_phase(network, phase)
        ),
        What::Outlet {
            node,
            substance: what,
            phase,
            ..
        } => format!(
            "{} leaves {} only for what takes it {}",
            substance(network, what),
            name(network, node),
            in_phase(network, phase)
        ),
        What::Capacity { node, phase } => capacity(network, node, phase),
        What::Turndown { node, phase } => turndown(network, node, phase),
        What::Conversion {
            node,
            substance: what,
            phase,
        } => format!(
            "{} converts {} of its {} at most {}",
            name(network, node),
            shown_number(share(network, node, what)),
            substance(network, what),
            in_phase(network, phase)
        ),
        What::Units { node } => {
            let least = network.duties(node).count.lower;
            let units = if least == 1 { "unit" } else { "units" };
            format!("{} has at least {least} {units}", name(network, node))
        }
        What::Exclusive { group: index } => {
            format!("at most one of {} has units", group(network, index))
        }
        What::Power { phase } | What::Heat { phase } | What::CrewTime { phase } => format!(
            "{} is at most {} {}",
            limited(what),
            shown(amounts::limit(network, what), dimension(what)),
            in_phase(network, phase)
        ),
        What::Volume | What::Stowage => format!(
            "{} is at most {}",
            limited(what),
            shown(amounts::limit(network, what), dimension(what))
        ),
        What::Stowed { node } => format!(
            "{} keeps at most {} over the mission",
            name(network, node),
            mass(amounts::waste(network, node))
        ),
        What::Removed { node, flight } => format!(
            "{} is rid of at most {} from {}",
            name(network, node),
            mass(amounts::waste(network, node)),
            window(network, flight)
        ),
        What::Payload { flight: index } => format!(
            "{} carries at most {}",
            flight(network, index),
            mass(amounts::payload(network, &[index]))
        ),
        What::Late { flight: index } => {
            let slip = network.calendar.flights.get(index);
            format!(
                "{} may be {} late",
                flight(network, index),
                shown(slip.map_or(0.0, |flight| flight.slip_days), Dimension::Time)
            )
        }
        What::Containers { node } => format!("{} flies in whole containers", name(network, node)),
        What::Reserve { node } => reserve(network, node),
        What::Tank { node } => tank(network, node),
        What::Cartridges { node } => {
            format!("{} uses up cartridges", name(network, node))
        }
        What::Consumables { node } => {
            format!("{} uses expendables or upkeep", name(network, node))
        }
        What::Spares => format!(
            "spares reach a confidence of {}",
            shown_number(
                network
                    .spares
                    .as_ref()
                    .map_or(0.0, SparesPolicy::confidence)
            )
        ),
    }
}

/// The name of what a limit limits.
pub(super) fn limited(what: What) -> &'static str {
    match what {
        What::Power { .. } => "power",
        What::Heat { .. } => "heat",
        What::CrewTime { .. } => "crew time",
        What::Volume => "the volume of all units",
        _ => "all stowed waste",
    }
}

fn capacity(network: &Network, node: NodeId, phase: usize) -> String {
    let count = network.duties(node).count.upper;
    let most = rate(amounts::capacity(network, node).unwrap_or(0.0));
    let duties = network.duties(node);
    let up_to = if duties.count.is_open() { "up to " } else { "" };
    let units = match count {
        0 => "no unit may fly".to_owned(),
        1 => format!("{up_to}1 unit"),
        more => {
            let one = amounts::capacity(network, node).unwrap_or(0.0) / f64::from(more);
            format!("{up_to}{more} units of {}", rate(one))
        }
    };
    format!(
        "{} treats at most {most} {} ({units})",
        name(network, node),
        in_phase(network, phase)
    )
}

fn turndown(network: &Network, node: NodeId, phase: usize) -> String {
    format!(
        "{} treats at least {} with every unit that runs {}",
        name(network, node),
        rate(least_feed(network, node)),
        in_phase(network, phase)
    )
}

/// The least feed of a unit that runs, kg/d.
pub(super) fn least_feed(network: &Network, node: NodeId) -> f64 {
    let hardware = network.duties(node).hardware.as_ref();
    hardware
        .and_then(|unit| Some(unit.turndown? * unit.capacity_kg_per_day?))
        .unwrap_or(0.0)
}

fn share(network: &Network, node: NodeId, what: SubstanceId) -> f64 {
    let activities = network.duties(node).activities.iter();
    activities
        .flat_map(|activity| &activity.feed_limits)
        .filter(|limit| limit.substance == what)
        .map(|limit| limit.share)
        .fold(1.0, f64::min)
}

fn reserve(network: &Network, node: NodeId) -> String {
    let amount = match &network.duties(node).stock {
        Some(Stock::Kept {
            reserve: Some(Reserve::Days(days)),
            ..
        }) => format!("{} of what it feeds", shown(*days, Dimension::Time)),
        Some(Stock::Kept {
            reserve: Some(Reserve::Kilograms(kg)),
            ..
        }) => mass(*kg),
        _ => String::new(),
    };
    format!("{} keeps back {amount}", name(network, node))
}

fn tank(network: &Network, node: NodeId) -> String {
    let weighs = match &network.duties(node).stock {
        Some(Stock::Kept {
            tank: Some(Tank::Tare(fraction)),
            ..
        }) => format!("{} of what it holds", shown_number(*fraction)),
        Some(Stock::Kept {
            tank: Some(Tank::Whole { mass_kg, holds_kg }),
            ..
        }) => format!("{} for every {}", mass(*mass_kg), mass(*holds_kg)),
        _ => String::new(),
    };
    format!("the tank of {} weighs {weighs}", name(network, node))
}

/// Where a statement is written.
pub(super) fn place(network: &Network, what: What) -> Option<Place> {
    let limits = &network.limits;
    match what {
        What::Exclusive { group } => network.exclusive.get(group).map(|group| group.place),
        What::Power { .. } => limits.power_w.map(|limit| limit.place),
        What::Heat { .. } => limits.heat_w.map(|limit| limit.place),
        What::CrewTime { .. } => limits.crew_time_h_per_day.map(|limit| limit.place),
        What::Volume => limits.volume_m3.map(|limit| limit.place),
        What::Stowage => limits.stowage_kg.map(|limit| limit.place),
        What::Payload { flight } | What::Late { flight } => {
            network.calendar.flights.get(flight)?.place
        }
        other => other.node().map(|node| network.graph[node].place),
    }
}
