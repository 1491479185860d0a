//! What else the answer states: feeds, draws, stocks and waste.

use crate::kinds::{Role, Way};

use super::checks::{Checks, Family};
use super::facts::Facts;

/// Feeds and draws are those of the levels; stocks are what was delivered less
/// what was drawn; waste is what disposals take.
pub(super) fn check(facts: &Facts, checks: &mut Checks) {
    let answer = facts.answer;
    let mut by_phase = |what: &str, name: &str, stated: &[f64], found: &[f64]| {
        for (phase, (&stated, &found)) in stated.iter().zip(found).enumerate() {
            checks.equal(Family::Figures, stated, found, || {
                format!("{what} of {name}, {}", facts.phase_name(phase))
            });
        }
    };
    for ((node, _), stated) in facts.nodes().zip(&answer.throughput) {
        by_phase("feed", facts.name(node), stated, &facts.feed(node));
    }
    for draw in &answer.draws {
        let found = facts.draw(draw.node);
        by_phase("draw", facts.name(draw.node), &draw.kg_per_day, &found);
    }
    stocks(facts, checks);
    waste(facts, checks);
}

fn stocks(facts: &Facts, checks: &mut Checks) {
    let intervals = &facts.network.calendar.intervals;
    for (stock, plan) in facts.answer.stock.iter().zip(&facts.decisions.cargo) {
        let name = facts.name(stock.node);
        let draw = facts.draw(stock.node);
        for (interval, level) in intervals.iter().zip(&stock.levels) {
            let arrived = facts.flight_by(interval.start);
            let delivered: f64 = plan.kg.iter().take(arrived + 1).sum();
            for (day, stated) in [
                (interval.start, level.start_kg),
                (interval.end, level.end_kg),
            ] {
                let drawn = facts.between(&draw, 0.0, day);
                // Between two large numbers only their digits can be trusted.
                let off = (stated - (delivered - drawn)).abs();
                checks.record(Family::Figures, off, delivered, || {
                    format!("stated stock of {name} on day {day}")
                });
            }
        }
    }
}

fn waste(facts: &Facts, checks: &mut Checks) {
    for waste in &facts.answer.waste {
        let name = facts.name(waste.node);
        let activities = &facts.network.graph[waste.node].duties.activities;
        let ways = activities.iter().all(|activity| match &activity.role {
            Role::Leave(way) => *way == waste.way,
            _ => false,
        });
        checks.holds(Family::Figures, ways, || format!("how waste leaves {name}"));
        let taken = facts.taken(waste.node);
        let found = facts.over_mission(&taken);
        checks.equal(Family::Figures, waste.kg, found, || {
            format!("waste of {name}")
        });
        let windows = match waste.way {
            Way::Removed { .. } => facts.flights(),
            _ => 0,
        };
        checks.holds(Family::Figures, waste.windows_kg.len() == windows, || {
            format!("departures that take waste from {name}")
        });
        for (flight, &stated) in waste.windows_kg.iter().enumerate().take(windows) {
            let (from, to) = (facts.flight_day(flight), facts.flight_day(flight + 1));
            let found = facts.between(&taken, from, to);
            checks.equal(Family::Figures, stated, found, || {
                format!("waste of {name}, day {from} to {to}")
            });
        }
    }
}
