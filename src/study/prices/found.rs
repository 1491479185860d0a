//! Everything of a design that has a price.

use super::what::{Limited, What, demand, level, taken, uses_of, way};
use crate::audit::Plan;
use crate::catalogue::SubstanceId;
use crate::kinds::{Role, Way};
use crate::network::Network;

/// Everything of a plan's design that has a price, group by group.
pub(super) fn all(plan: &Plan) -> Vec<What> {
    let network = plan.network();
    let mut found = Vec::new();
    demands(network, &mut found);
    uses(network, &mut found);
    for limited in Limited::ALL {
        if limited.of(network).is_some() {
            found.push(What::Limit(limited));
        }
    }
    payloads(network, &mut found);
    for node in network.nodes() {
        match way(network, node) {
            Some(Way::Stowed { limit_kg: Some(_) }) => found.push(What::Stowed { node }),
            Some(Way::Removed { .. }) => found.push(What::Removed { node }),
            _ => {}
        }
    }
    for node in network.nodes() {
        let duties = network.duties(node);
        if duties.hardware.is_some() && !duties.count.installed {
            found.push(What::Count { node });
        }
    }
    let phases: Vec<usize> = (0..network.calendar.phases.len()).collect();
    let crewed = |&phase: &usize| network.calendar.phases[phase].crew > 0.0;
    let crewed: Vec<usize> = phases.iter().copied().filter(crewed).collect();
    for phases in together_and_apart(&crewed) {
        found.push(What::Person { phases });
    }
    found.extend(phases.into_iter().map(|phase| What::Day { phase }));
    found
}

/// All phases at once, then each by itself.
fn together_and_apart(phases: &[usize]) -> Vec<Vec<usize>> {
    let mut all = Vec::new();
    if phases.len() > 1 {
        all.push(phases.to_vec());
    }
    all.extend(phases.iter().map(|&phase| vec![phase]));
    all
}

fn demands(network: &Network, found: &mut Vec<What>) {
    for node in network.nodes() {
        let mut substances: Vec<SubstanceId> = Vec::new();
        for activity in uses_of(network, node) {
            substances.extend(activity.takes.iter().map(|portion| portion.substance));
        }
        substances.dedup();
        for substance in substances {
            let phases: Vec<usize> = (0..network.calendar.phases.len())
                .filter(|&phase| demand(network, node, substance, phase) > 0.0)
                .collect();
            for phases in together_and_apart(&phases) {
                found.push(What::Demand {
                    node,
                    substance,
                    phases,
                });
            }
        }
    }
}

/// Activities that take one substance alone: of several, none by itself could
/// be more.
fn uses(network: &Network, found: &mut Vec<What>) {
    for node in network.nodes() {
        for (index, activity) in network.duties(node).activities.iter().enumerate() {
            let [only] = activity.takes.as_slice() else {
                continue;
            };
            if activity.role != Role::Use || taken(activity) <= 0.0 {
                continue;
            }
            let phases: Vec<usize> = (0..network.calendar.phases.len())
                .filter(|&phase| level(activity, phase) > 0.0)
                .collect();
            for phases in together_and_apart(&phases) {
                found.push(What::Use {
                    node,
                    activity: index,
                    substance: only.substance,
                    phases,
                });
            }
        }
    }
}

/// Flights whose payload one statement gives go together.
fn payloads(network: &Network, found: &mut Vec<What>) {
    let flights = &network.calendar.flights;
    let mut statements: Vec<Vec<usize>> = Vec::new();
    for (index, flight) in flights.iter().enumerate() {
        if flight.payload_kg.is_none() {
            continue;
        }
        let same = statements
            .iter_mut()
            .find(|known| flight.place.is_some() && flights[known[0]].place == flight.place);
        match same {
            Some(known) => known.push(index),
            None => statements.push(vec![index]),
        }
    }
    let statements = statements.into_iter();
    found.extend(statements.map(|flights| What::Payload { flights }));
}
