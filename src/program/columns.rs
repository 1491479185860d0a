//! Flows, levels, counts and running units: the columns every family uses.

use crate::kinds::Level;

use super::builder::Builder;

/// Declares `f[ℓ,p] ≥ 0`, `x[n,a,p] ≥ 0`, `u[n]` whole within its bounds and,
/// where a turndown is given, `v[n,p]` whole.
pub(super) fn declare(builder: &mut Builder) {
    let network = builder.network;
    let phases = network.calendar.phases.len();
    for node in network.nodes() {
        let duties = network.duties(node);
        let place = Some(network.graph[node].place);
        if duties.hardware.is_some() {
            let label = format!("units of {}", network.name(node));
            let column = builder.column(label, place, true);
            builder.bound(
                column,
                f64::from(duties.count.lower),
                f64::from(duties.count.upper),
            );
            builder.handles.count[node.index()] = Some(column);
        }
    }
    for node in network.nodes() {
        let duties = network.duties(node);
        let place = Some(network.graph[node].place);
        let mut by_activity = Vec::with_capacity(duties.activities.len());
        for activity in &duties.activities {
            let mut by_phase = vec![None; phases];
            if activity.level == Level::Free {
                for (phase, slot) in by_phase.iter_mut().enumerate() {
                    if network.works(node, phase) {
                        let label = format!(
                            "level of {}, {}",
                            network.activity_words(node, activity),
                            builder.phase_name(phase)
                        );
                        *slot = Some(builder.column(label, place, false));
                    }
                }
            }
            by_activity.push(by_phase);
        }
        builder.handles.level.push(by_activity);
    }
    for stream in network.streams() {
        let (from, to) = network.ends(stream);
        let data = &network.graph[stream];
        let mut by_phase = vec![None; phases];
        for (phase, slot) in by_phase.iter_mut().enumerate() {
            if network.carries(stream, phase) {
                let label = format!(
                    "flow of {}, {} → {}, {}",
                    network.substances.name(data.substance),
                    network.name(from),
                    network.name(to),
                    builder.phase_name(phase)
                );
                *slot = Some(builder.column(label, Some(data.place), false));
            }
        }
        builder.handles.flow.push(by_phase);
    }
    for node in network.nodes() {
        let duties = network.duties(node);
        let turndown = duties
            .hardware
            .as_ref()
            .and_then(|hardware| hardware.turndown);
        if turndown.is_none() {
            continue;
        }
        let mut by_phase = vec![None; phases];
        for (phase, slot) in by_phase.iter_mut().enumerate() {
            if network.works(node, phase) {
                let label = format!(
                    "running units of {}, {}",
                    network.name(node),
                    builder.phase_name(phase)
                );
                let column = builder.column(label, Some(network.graph[node].place), true);
                builder.bound(column, 0.0, f64::from(duties.count.upper));
                *slot = Some(column);
            }
        }
        builder.handles.running[node.index()] = by_phase;
    }
}
