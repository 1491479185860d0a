//! A network or a design in which something is a little more or less.

use super::what::{Limited, What, demand, taken};
use crate::catalogue::SubstanceId;
use crate::design::Design;
use crate::diagnostic::Diagnostic;
use crate::kinds::{Activity, Level, Portion, Role, Way};
use crate::network::{Network, NodeId};
use crate::quantity::Dimension;

/// The network with so much more of something (less, if below zero); none where
/// the design itself must change: people and days.
pub(super) fn network(network: &Network, what: &What, step: f64) -> Option<Network> {
    let mut moved = network.clone();
    match what {
        What::Demand {
            node,
            substance,
            phases,
        } => move_demand(&mut moved, *node, *substance, phases, step),
        What::Use {
            node,
            activity,
            phases,
            ..
        } => {
            let activity = &mut moved.graph[*node].duties.activities[*activity];
            let more = step / taken(activity);
            if let Level::Fixed(values) = &mut activity.level {
                for &phase in phases {
                    values[phase] = (values[phase] + more).max(0.0);
                }
            }
        }
        What::Limit(limited) => {
            let limits = &mut moved.limits;
            let limit = match limited {
                Limited::Power => &mut limits.power_w,
                Limited::Heat => &mut limits.heat_w,
                Limited::CrewTime => &mut limits.crew_time_h_per_day,
                Limited::Volume => &mut limits.volume_m3,
                Limited::Stowage => &mut limits.stowage_kg,
            };
            if let Some(limit) = limit {
                limit.value += step;
            }
        }
        What::Payload { flights } => {
            for &flight in flights {
                if let Some(payload) = &mut moved.calendar.flights[flight].payload_kg {
                    *payload += step;
                }
            }
        }
        What::Stowed { node } | What::Removed { node } => {
            for activity in &mut moved.graph[*node].duties.activities {
                match &mut activity.role {
                    Role::Leave(Way::Stowed {
                        limit_kg: Some(most),
                    }) => *most += step,
                    Role::Leave(Way::Removed { per_flight_kg }) => *per_flight_kg += step,
                    _ => {}
                }
            }
        }
        What::Count { node } => {
            let count = &mut moved.graph[*node].duties.count;
            count.upper = (f64::from(count.upper) + step).max(0.0) as u32;
        }
        What::Person { .. } | What::Day { .. } => return None,
    }
    Some(moved)
}

/// What is taken of the substance becomes a use of its own, which gives nothing
/// back; everything else of the node stays as it is.
fn move_demand(
    network: &mut Network,
    node: NodeId,
    substance: SubstanceId,
    phases: &[usize],
    step: f64,
) {
    let values = (0..network.calendar.phases.len())
        .map(|phase| {
            let now = demand(network, node, substance, phase);
            let more = if phases.contains(&phase) { step } else { 0.0 };
            (now + more).max(0.0)
        })
        .collect();
    let activities = &mut network.graph[node].duties.activities;
    for activity in activities.iter_mut() {
        let takes = activity.takes.iter();
        if activity.role == Role::Use && takes.clone().any(|one| one.substance == substance) {
            activity.takes.retain(|one| one.substance != substance);
            activity.conserves = false;
        }
    }
    activities.push(Activity {
        label: "moved demand".to_owned(),
        level: Level::Fixed(values),
        level_unit: "kg/d",
        takes: vec![Portion {
            substance,
            amount: 1.0,
        }],
        gives: Vec::new(),
        load: 0.0,
        feed_limits: Vec::new(),
        power_w: 0.0,
        heat_w: 0.0,
        role: Role::Use,
        conserves: false,
    });
}

/// The design with so many more people or days, where that is what is moved.
pub(super) fn design(
    design: &Design,
    network: &Network,
    what: &What,
    step: f64,
) -> Option<Result<Design, Vec<Diagnostic>>> {
    let (field, dimension) = match what {
        What::Person { .. } => ("crew", Dimension::Whole),
        What::Day { .. } => ("length", Dimension::Time),
        _ => return None,
    };
    let phases = what.phases();
    let changes: Vec<(String, f64)> = phases
        .iter()
        .map(|&phase| {
            let phase = &network.calendar.phases[phase];
            let now = match what {
                What::Person { .. } => phase.crew,
                _ => phase.days,
            };
            (format!("mission.phases.{}.{field}", phase.name), now + step)
        })
        .collect();
    let changes: Vec<(&str, f64, Dimension)> = changes
        .iter()
        .map(|(address, value)| (address.as_str(), *value, dimension))
        .collect();
    Some(design.with_numbers(&changes))
}
