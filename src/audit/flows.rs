//! Flows and levels: nothing negative, balances, fixed levels, starts, feed
//! limits.

use petgraph::visit::EdgeRef;

use crate::kinds::Level;

use super::checks::{Checks, Family};
use super::facts::{Facts, amount_of};

/// No flow, level, delivery or reserve is negative.
pub(super) fn nonnegativity(facts: &Facts, checks: &mut Checks) {
    let mut sign = |value: f64, words: &dyn Fn() -> String| {
        checks.at_least(Family::Nonnegativity, value, 0.0, words);
    };
    let network = facts.network;
    for (stream, flows) in network.graph.edge_references().zip(&facts.decisions.flows) {
        for (phase, &flow) in flows.iter().enumerate() {
            sign(flow, &|| {
                format!(
                    "{} from {} to {}, {}",
                    facts.substance(stream.weight().substance),
                    facts.name(stream.source()),
                    facts.name(stream.target()),
                    facts.phase_name(phase)
                )
            });
        }
    }
    for (node, duties) in facts.nodes() {
        for (activity, levels) in duties.activities.iter().zip(facts.levels(node)) {
            for (phase, &level) in levels.iter().enumerate() {
                sign(level, &|| {
                    let words = facts.words(node, activity);
                    format!("level of {words}, {}", facts.phase_name(phase))
                });
            }
        }
    }
    for plan in &facts.decisions.cargo {
        for (flight, &kg) in plan.kg.iter().enumerate() {
            sign(kg, &|| {
                format!("{} on flight {flight}", facts.name(plan.node))
            });
        }
    }
    for plan in &facts.decisions.consumables {
        for (flight, &kg) in plan.expendables_kg.iter().enumerate() {
            let name = facts.name(plan.node);
            sign(kg, &|| format!("expendables of {name} on flight {flight}"));
        }
        for (flight, &kg) in plan.upkeep_kg.iter().enumerate() {
            let name = facts.name(plan.node);
            sign(kg, &|| format!("upkeep of {name} on flight {flight}"));
        }
    }
    for plan in &facts.decisions.stores {
        let name = facts.name(plan.node);
        sign(plan.reserve_kg, &|| format!("reserve of {name}"));
        sign(plan.holds_kg, &|| format!("content of the tank of {name}"));
    }
}

/// Every node, substance and phase: what flows in and is given equals what
/// flows out and is taken, in one sum where the node hands the substance
/// through, else separately on either side.
pub(super) fn balance(facts: &Facts, checks: &mut Checks) {
    for (node, duties) in facts.nodes() {
        let into = &facts.into[node.index()];
        let out_of = &facts.out_of[node.index()];
        for substance in facts.network.substances.ids() {
            let portions = duties
                .activities
                .iter()
                .flat_map(|activity| activity.takes.iter().chain(&activity.gives));
            let touched = into.contains_key(&substance)
                || out_of.contains_key(&substance)
                || portions
                    .into_iter()
                    .any(|portion| portion.substance == substance);
            if !touched {
                continue;
            }
            let passes = duties.passes.contains(&substance);
            for phase in 0..facts.phases {
                let inflow = into.get(&substance).map_or(0.0, |flow| flow[phase]);
                let outflow = out_of.get(&substance).map_or(0.0, |flow| flow[phase]);
                let used = facts.sum(node, phase, |activity| {
                    amount_of(&activity.takes, substance)
                });
                let made = facts.sum(node, phase, |activity| {
                    amount_of(&activity.gives, substance)
                });
                let words = |way: &str| {
                    let (name, phase) = (facts.name(node), facts.phase_name(phase));
                    format!("{} {way} {name}, {phase}", facts.substance(substance))
                };
                if passes {
                    let (left, right) = (inflow + made, outflow + used);
                    checks.equal(Family::Balance, left, right, || words("through"));
                } else {
                    checks.equal(Family::Balance, inflow, used, || words("into"));
                    checks.equal(Family::Balance, outflow, made, || words("out of"));
                }
            }
        }
    }
}

/// Levels that the design fixes are what it says.
pub(super) fn fixed_levels(facts: &Facts, checks: &mut Checks) {
    for (node, duties) in facts.nodes() {
        for (activity, levels) in duties.activities.iter().zip(facts.levels(node)) {
            let Level::Fixed(given) = &activity.level else {
                continue;
            };
            for (phase, &level) in levels.iter().enumerate() {
                let given = given.get(phase).copied().unwrap_or(f64::NAN);
                checks.equal(Family::FixedLevels, level, given, || {
                    let words = facts.words(node, activity);
                    format!("level of {words}, {}", facts.phase_name(phase))
                });
            }
        }
    }
}

/// Before a node starts, it does nothing and nothing flows to or from it.
pub(super) fn starts(facts: &Facts, checks: &mut Checks) {
    for (node, duties) in facts.nodes() {
        for phase in 0..duties.starts_in_phase.min(facts.phases) {
            let levels = facts.levels(node).iter().map(|level| level[phase].abs());
            let flows = [&facts.into, &facts.out_of]
                .into_iter()
                .flat_map(|sums| sums[node.index()].values())
                .map(|flow| flow[phase].abs());
            let all: f64 = levels.chain(flows).sum();
            checks.equal(Family::Starts, all, 0.0, || {
                let (name, phase) = (facts.name(node), facts.phase_name(phase));
                format!("{name} is idle before it starts, {phase}")
            });
        }
    }
}

/// A conversion uses at most a share of what flows in.
pub(super) fn feed_limits(facts: &Facts, checks: &mut Checks) {
    for (node, duties) in facts.nodes() {
        for (activity, levels) in duties.activities.iter().zip(facts.levels(node)) {
            for limit in &activity.feed_limits {
                let takes = amount_of(&activity.takes, limit.substance);
                let inflow = facts.into[node.index()].get(&limit.substance);
                for (phase, level) in levels.iter().enumerate() {
                    let inflow = inflow.map_or(0.0, |flow| flow[phase]);
                    checks.at_most(
                        Family::FeedLimits,
                        takes * level,
                        limit.share * inflow,
                        || {
                            let words = facts.words(node, activity);
                            let substance = facts.substance(limit.substance);
                            let phase = facts.phase_name(phase);
                            format!("share of {substance} used by {words}, {phase}")
                        },
                    );
                }
            }
        }
    }
}
