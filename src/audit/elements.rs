//! Elements: what goes into people and hardware comes out again, element by
//! element; and the mass that enters the loop leaves it.

use std::collections::BTreeMap;

use crate::kinds::{Activity, Portion, Role};
use crate::network::NodeId;

use super::checks::{Checks, Family};
use super::facts::{Facts, total};

/// At every activity of people and hardware, what is taken equals what is
/// given: in mass, and for every element and every named part without a
/// formula, to a share of the mass taken. Matter of no stated composition may
/// hold anything: what is missing on one side must be in what is unstated
/// there, and be no more than that. Crew rates that a design states itself are
/// taken as they are.
pub(super) fn activities(facts: &Facts, checks: &mut Checks) {
    for (node, duties) in facts.nodes() {
        for (activity, levels) in duties.activities.iter().zip(facts.levels(node)) {
            if matches!(activity.role, Role::Use | Role::Convert) {
                let highest = levels.iter().copied().fold(0.0, f64::max);
                if highest > 0.0 && activity.conserves {
                    one(facts, node, activity, highest, checks);
                } else if highest > 0.0 {
                    let words = facts.words(node, activity);
                    checks.leave_unchecked(format!(
                        "mass and elements at {words}: its rates are the design's own"
                    ));
                }
            }
        }
    }
}

fn one(facts: &Facts, node: NodeId, activity: &Activity, level: f64, checks: &mut Checks) {
    let words = facts.words(node, activity);
    let mass = level * total(&activity.takes);
    let given = level * total(&activity.gives);
    checks.equal(Family::Elements, mass, given, || format!("mass at {words}"));

    let takes = contents(facts, &activity.takes);
    let gives = contents(facts, &activity.gives);
    let mut parts: Vec<&String> = takes.parts.keys().chain(gives.parts.keys()).collect();
    parts.sort();
    parts.dedup();
    let (mut missing_out, mut missing_in) = (0.0, 0.0);
    for part in parts {
        let taken = level * takes.parts.get(part).copied().unwrap_or(0.0);
        let given = level * gives.parts.get(part).copied().unwrap_or(0.0);
        missing_out += (taken - given).max(0.0);
        missing_in += (given - taken).max(0.0);
        let off = match (takes.unstated > 0.0, gives.unstated > 0.0) {
            (false, false) => (taken - given).abs(),
            (false, true) => (given - taken).max(0.0),
            (true, false) => (taken - given).max(0.0),
            (true, true) => 0.0,
        };
        checks.record(Family::Elements, off, mass, || format!("{part} at {words}"));
    }
    if takes.unstated <= 0.0 && gives.unstated <= 0.0 {
        return;
    }
    let off = (missing_out - level * gives.unstated).max(0.0);
    checks.record(Family::Elements, off, mass, || {
        format!("what {words} gives without composition holds what is missing there")
    });
    let off = (missing_in - level * takes.unstated).max(0.0);
    checks.record(Family::Elements, off, mass, || {
        format!("what {words} takes without composition holds what appears there")
    });
    let unstated: Vec<String> = activity
        .takes
        .iter()
        .chain(&activity.gives)
        .filter(|portion| facts.network.substances.is_opaque(portion.substance))
        .map(|portion| facts.substance(portion.substance).to_owned())
        .collect();
    checks.leave_unchecked(format!(
        "elements at {words} are bounded, not balanced: {} without stated composition",
        unstated.join(", ")
    ));
}

/// What some portions hold, kg per unit of level.
struct Held {
    /// By element symbol or by name of the part.
    parts: BTreeMap<String, f64>,
    unstated: f64,
}

fn contents(facts: &Facts, portions: &[Portion]) -> Held {
    let mut held = Held {
        parts: BTreeMap::new(),
        unstated: 0.0,
    };
    for portion in portions {
        let of = facts.network.substances.contents(portion.substance);
        for (element, share) in &of.elements {
            let name = element.symbol().to_owned();
            *held.parts.entry(name).or_default() += share * portion.amount;
        }
        for (name, share) in &of.opaque {
            *held.parts.entry(name.clone()).or_default() += share * portion.amount;
        }
        held.unstated += of.unstated * portion.amount;
    }
    held
}

/// In every phase, the mass that enters the loop leaves it; what crew rates of
/// the design's own make or lose counts as entering.
pub(super) fn whole_mass(facts: &Facts, checks: &mut Checks) {
    for phase in 0..facts.phases {
        let (mut entering, mut leaving) = (0.0, 0.0);
        for (node, _) in facts.nodes() {
            entering += facts.sum(node, phase, |activity| {
                if activity.role == Role::Bring || !activity.conserves {
                    total(&activity.gives) - total(&activity.takes)
                } else {
                    0.0
                }
            });
            leaving += facts.sum(node, phase, |activity| match activity.role {
                Role::Leave(_) | Role::Lose => total(&activity.takes) - total(&activity.gives),
                _ => 0.0,
            });
        }
        checks.equal(Family::WholeMass, entering, leaving, || {
            format!(
                "mass in and out of the whole loop, {}",
                facts.phase_name(phase)
            )
        });
    }
}
