//! A mission cut or stretched to another length.

use super::Network;
use crate::design::Design;
use crate::quantity::{Days, PerDay};

/// The design with a mission of so many days: phases are cut there, the last one
/// that is left is stretched if the mission is longer, later flights do not fly,
/// and nodes that would start later are taken out with their streams. `full` is
/// the design's own network.
pub fn lasting(design: &Design, full: &Network, days: f64) -> Design {
    let mut cut = design.clone();
    let mission = &mut cut.written.mission;
    let mut start = 0.0;
    let mut kept = 0;
    for phase in &mut mission.phases {
        if kept > 0 && start >= days {
            break;
        }
        let end = start + phase.length.value.0;
        start = end;
        kept += 1;
    }
    let dropped = mission.phases.split_off(kept);
    if let Some(last) = mission.phases.last_mut() {
        let begins = start - last.length.value.0;
        last.length.value = Days(days - begins);
        // What never happens any more still has its name.
        for (name, _) in dropped.iter().flat_map(|phase| phase.occasions.iter()) {
            if last.occasions.get(&name.text).is_none() {
                last.occasions.0.push((name.clone(), PerDay(0.0)));
            }
        }
    }
    mission
        .flights
        .retain(|flight| flight.day.value.0 < days - 1e-6);
    if let Some(equivalents) = &mut cut.written.equivalents {
        equivalents
            .phases
            .0
            .retain(|(name, _)| !dropped.iter().any(|phase| phase.name == *name));
    }
    for node in full.nodes() {
        if full.duties(node).starts_in_phase >= kept {
            let written = cut.written.nodes.keys();
            let name = written
                .into_iter()
                .find(|name| name.text == full.name(node));
            cut.without.extend(name.cloned());
        }
    }
    cut
}
