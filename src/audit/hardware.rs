//! Units: how many there may be, and what they can take.

use super::checks::{Checks, Family};
use super::facts::Facts;

/// Counts lie within their bounds; of an exclusive group at most one is chosen.
pub(super) fn counts(facts: &Facts, checks: &mut Checks) {
    for (node, duties) in facts.nodes() {
        let units = facts.decisions.counts[node.index()];
        let (lower, upper) = match duties.hardware {
            Some(_) => (duties.count.lower, duties.count.upper),
            None => (1, 1),
        };
        let within = (lower..=upper).contains(&units);
        checks.holds(Family::Counts, within, || {
            let name = facts.name(node);
            format!("{units} units of {name}, where {lower} to {upper} may fly")
        });
    }
    for group in &facts.network.exclusive {
        let chosen: Vec<&str> = group
            .nodes
            .iter()
            .filter(|node| facts.decisions.counts[node.index()] > 0)
            .map(|node| facts.name(*node))
            .collect();
        checks.holds(Family::Counts, chosen.len() <= 1, || {
            format!("at most one of an exclusive group: {}", chosen.join(", "))
        });
    }
}

/// In every phase the feed is at most capacity × availability of the units, or
/// of those running; running units get at least the turndown's share of their
/// capacity and are no more than there are. Without units nothing is treated.
pub(super) fn capacity(facts: &Facts, checks: &mut Checks) {
    for (node, duties, unit, units) in facts.hardware() {
        let name = facts.name(node);
        let feed = facts.feed(node);
        let activities = duties.activities.iter().zip(facts.levels(node));
        for (activity, levels) in activities {
            if units > 0.0 {
                continue;
            }
            for (phase, &level) in levels.iter().enumerate() {
                checks.equal(Family::Capacity, level, 0.0, || {
                    let words = facts.words(node, activity);
                    format!("{words} needs a unit, {}", facts.phase_name(phase))
                });
            }
        }
        let Some(capacity) = unit.capacity_kg_per_day else {
            continue;
        };
        let running = facts.decisions.running[node.index()].as_ref();
        for (phase, &feed) in feed.iter().enumerate() {
            let phase_name = facts.phase_name(phase);
            let at_work = running.map_or(units, |running| f64::from(running[phase]));
            let most = capacity * unit.availability * at_work;
            checks.at_most(Family::Capacity, feed, most, || {
                format!("capacity of {name}, {phase_name}")
            });
            if let (Some(_), Some(turndown)) = (running, unit.turndown) {
                let least = turndown * capacity * at_work;
                checks.at_least(Family::Capacity, feed, least, || {
                    format!("turndown of {name}, {phase_name}")
                });
                let there = match phase < duties.starts_in_phase {
                    true => 0.0,
                    false => units,
                };
                checks.holds(Family::Capacity, at_work <= there, || {
                    format!("units of {name} that run, {phase_name}")
                });
            }
        }
    }
}
