//! Waste: what is stowed fits, and what is taken away fits its vehicle.

use crate::kinds::{Role, Way};

use super::checks::{Checks, Family};
use super::facts::Facts;

/// Stowed waste stays within its own limit and, all together, within the
/// design's. Between consecutive departures, of which the end of the mission
/// is the last, no more comes in than a vehicle takes away.
pub(super) fn check(facts: &Facts, checks: &mut Checks) {
    let mut stowed = 0.0;
    for (node, duties) in facts.nodes() {
        let name = facts.name(node);
        let mut ways = duties
            .activities
            .iter()
            .filter_map(|activity| match &activity.role {
                Role::Leave(way) => Some(way),
                _ => None,
            });
        let taken = facts.taken(node);
        // A disposal is one way for all that it takes.
        match ways.next() {
            Some(Way::Stowed { limit_kg }) => {
                let kg = facts.over_mission(&taken);
                stowed += kg;
                if let Some(limit) = limit_kg {
                    checks.at_most(Family::Waste, kg, *limit, || {
                        format!("waste stowed in {name}")
                    });
                }
            }
            Some(Way::Removed { per_flight_kg }) => {
                for flight in 0..facts.flights() {
                    let (from, to) = (facts.flight_day(flight), facts.flight_day(flight + 1));
                    let kg = facts.between(&taken, from, to);
                    checks.at_most(Family::Waste, kg, *per_flight_kg, || {
                        format!("waste removed from {name}, day {from} to {to}")
                    });
                }
            }
            Some(Way::Overboard) | None => {}
        }
    }
    if let Some(limit) = facts.network.limits.stowage_kg {
        checks.at_most(Family::Waste, stowed, limit.value, || {
            "stowage of all stowed waste".to_owned()
        });
    }
}
