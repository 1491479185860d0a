//! How late a flight could be.

use crate::audit::Plan;
use crate::network::{Calendar, NodeId};

use super::{Kept, NOISE};

/// How long an arrival can be waited for on planned stock alone, with reserves
/// left alone and everything else as planned.
#[derive(Clone, Debug, PartialEq)]
pub struct Lateness {
    /// The flight.
    pub flight: usize,
    /// The day on which it is planned to arrive.
    pub day: f64,
    /// Days late that the design asks its stock to cover.
    pub slip_days: f64,
    /// The cargo that runs out first, if any ever does.
    pub runs_out: Option<RunsOut>,
    /// The cartridges or expendables that run out first, if any ever do. A design asks
    /// no slip of them.
    pub stops: Option<RunsOut>,
}

/// Something that runs out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunsOut {
    /// The node.
    pub node: NodeId,
    /// What of it.
    pub what: Kept,
    /// Days after the planned arrival.
    pub after_days: f64,
}

/// The lateness of every arrival after the departure.
pub(super) fn lateness(plan: &Plan) -> Vec<Lateness> {
    let calendar = &plan.network().calendar;
    let flights = calendar.flights.iter().enumerate().skip(1);
    flights
        .map(|(index, flight)| Lateness {
            flight: index,
            day: flight.day,
            slip_days: flight.slip_days,
            runs_out: first(cargo(plan, index)),
            stops: first(supplies(plan, index)),
        })
        .collect()
}

/// What runs out first; of equals the first of the file.
fn first(all: Vec<RunsOut>) -> Option<RunsOut> {
    let all = all.into_iter();
    all.reduce(|first, next| match next.after_days < first.after_days {
        true => next,
        false => first,
    })
}

/// The cargo that runs out without a flight.
fn cargo(plan: &Plan, flight: usize) -> Vec<RunsOut> {
    let calendar = &plan.network().calendar;
    let answer = plan.answer();
    let cargo = answer.decisions.cargo.iter().zip(&answer.draws);
    let found = cargo.filter_map(|(cargo, draws)| {
        let after_days = lasts(calendar, flight, &cargo.kg, &draws.kg_per_day)?;
        Some(RunsOut {
            node: cargo.node,
            what: Kept::Cargo,
            after_days,
        })
    });
    found.collect()
}

/// The cartridges and expendables that run out without a flight.
fn supplies(plan: &Plan, flight: usize) -> Vec<RunsOut> {
    let (network, answer) = (plan.network(), plan.answer());
    let calendar = &network.calendar;
    let mut found = Vec::new();
    let mut add = |node: NodeId, what, brought: &[f64], per_feed: f64| {
        let feed = answer.throughput[node.index()].iter();
        let used: Vec<f64> = feed.map(|feed| feed * per_feed).collect();
        let after_days = lasts(calendar, flight, brought, &used);
        found.extend(after_days.map(|after_days| RunsOut {
            node,
            what,
            after_days,
        }));
    };
    for plan in &answer.decisions.cartridges {
        let hardware = network.duties(plan.node).hardware.as_ref();
        if let Some(cartridge) = hardware.and_then(|hardware| hardware.cartridge) {
            let brought: Vec<f64> = plan.by_flight.iter().map(|&one| f64::from(one)).collect();
            let per_feed = 1.0 / cartridge.treats_kg;
            add(plan.node, Kept::Cartridges, &brought, per_feed);
        }
    }
    for plan in &answer.decisions.consumables {
        let hardware = network.duties(plan.node).hardware.as_ref();
        let per_feed = hardware.map_or(0.0, |hardware| hardware.expendables_kg_per_kg);
        add(plan.node, Kept::Expendables, &plan.expendables_kg, per_feed);
    }
    found
}

/// Days after a flight's arrival on which something runs out without it; none if it
/// does not.
fn lasts(calendar: &Calendar, without: usize, brought: &[f64], use_per_day: &[f64]) -> Option<f64> {
    let day = calendar.flights[without].day;
    let mut aboard = 0.0;
    for interval in &calendar.intervals {
        if let Some(flight) = interval.arrival
            && flight != without
        {
            aboard += brought[flight];
        }
        let rate = use_per_day[interval.phase];
        let used = interval.days() * rate;
        if interval.end > day && used > aboard + NOISE {
            return Some((interval.start + aboard.max(0.0) / rate - day).max(0.0));
        }
        aboard -= used;
    }
    None
}
