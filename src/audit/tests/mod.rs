//! A good answer passes; an answer that is wrong in one way is rejected for
//! that, and for nothing that it gets right.

mod completeness;
mod deliveries;
mod elements;
mod figures;
mod flows;
mod hardware;
mod limits;
mod plan;
mod random;
mod spares;

use std::collections::BTreeSet;

use super::{AuditFault, AuditReport, Family, TOLERANCE, report};
use crate::answer::fixture::{self, node};
use crate::answer::{Answer, Decisions};
use crate::catalogue::SubstanceId;
use crate::kinds::{Duties, Hardware, Role, Stock, Tank, Way};
use crate::network::{Network, SparesPolicy};

/// The fault of an answer whose network and decisions were changed before
/// everything that follows from them was worked out.
fn changed(change: impl FnOnce(&mut Network, &mut Decisions)) -> Result<AuditReport, AuditFault> {
    let mut network = fixture::network();
    let mut decisions = fixture::decisions(&network);
    change(&mut network, &mut decisions);
    let mut answer = Answer::of(&network, decisions, fixture::proof());
    // A change may make it lighter; what was proved is not at stake here.
    answer.proof.bound_kg = answer.launch_mass_kg;
    report(&network, &answer)
}

/// The fault of an answer in which only something stated was changed.
fn misstated(change: impl FnOnce(&mut Answer)) -> Result<AuditReport, AuditFault> {
    let network = fixture::network();
    let mut answer = fixture::answer(&network);
    change(&mut answer);
    report(&network, &answer)
}

/// Asserts that checks of these families fail, no others, and that one of the
/// failed checks has this name.
fn rejected(result: Result<AuditReport, AuditFault>, families: &[Family], name: &str) {
    let Err(fault) = result else {
        panic!("passes, where `{name}` should fail");
    };
    let failed: BTreeSet<Family> = fault.failures().iter().map(|check| check.family).collect();
    let wanted: BTreeSet<Family> = families.iter().copied().collect();
    assert_eq!(failed, wanted, "{:#?}", fault.failures());
    let mut names = fault.failures().iter().map(|check| check.name.as_str());
    assert!(
        names.any(|known| known == name),
        "no `{name}` in {:#?}",
        fault.failures()
    );
    assert!(
        fault
            .failures()
            .iter()
            .all(|check| check.residual > check.tolerance)
    );
}

fn duties<'a>(network: &'a mut Network, name: &str) -> &'a mut Duties {
    let node = node(network, name);
    &mut network.graph[node].duties
}

fn hardware<'a>(network: &'a mut Network, name: &str) -> &'a mut Hardware {
    duties(network, name).hardware.as_mut().unwrap()
}

fn set_flow(
    network: &Network,
    decisions: &mut Decisions,
    (substance, from, to): (&str, &str, &str),
    phase: usize,
    flow: f64,
) {
    let stream = fixture::stream(network, substance, from, to);
    decisions.flows[stream][phase] = flow;
}

fn set_level(
    network: &Network,
    decisions: &mut Decisions,
    (name, label): (&str, &str),
    phase: usize,
    level: f64,
) {
    let (node, activity) = fixture::activity(network, name, label);
    decisions.levels[node][activity][phase] = level;
}

/// Has every stream and activity handle another substance instead.
fn replace(network: &mut Network, from: &str, to: &str) {
    let [from, to] = [from, to].map(|name| network.substances.find(name).unwrap());
    let replace = |substance: &mut SubstanceId| {
        if *substance == from {
            *substance = to;
        }
    };
    for node in network.graph.node_weights_mut() {
        for activity in &mut node.duties.activities {
            for portion in activity.takes.iter_mut().chain(&mut activity.gives) {
                replace(&mut portion.substance);
            }
        }
    }
    for stream in network.graph.edge_weights_mut() {
        replace(&mut stream.substance);
    }
}

/// The loop worked out by hand holds in every family, to the last digits.
#[test]
fn the_hand_worked_loop_passes() {
    let report = changed(|_, _| {}).unwrap();
    assert!(report.worst_residual < 1e-12, "{report:#?}");
    let families: Vec<Family> = report.families.iter().map(|family| family.family).collect();
    // Every family has something to check in it.
    assert_eq!(families.len(), 24);
    assert!(families.is_sorted());
    let checks: usize = report.families.iter().map(|family| family.checks).sum();
    assert_eq!(report.checks, checks);
    assert!(
        report
            .families
            .iter()
            .all(|family| !family.worst.name.is_empty())
    );
}

/// What has no stated composition is said to be unchecked, where it is used.
#[test]
fn what_cannot_be_checked_is_said() {
    let report = changed(|_, _| {}).unwrap();
    assert_eq!(
        report.unchecked,
        [
            "elements at crew are bounded, not balanced: \
             ration, faecal matter without stated composition",
            "elements at urine still: urine are bounded, not balanced: \
             brine without stated composition",
            "elements at polisher: condensate are bounded, not balanced: \
             reject without stated composition",
            "elements at polisher: distillate are bounded, not balanced: \
             reject without stated composition",
            "elements at polisher: grey water are bounded, not balanced: \
             reject without stated composition",
        ]
    );
}

/// Every flow and every level is held by some check, whichever it is and
/// whichever way it is wrong; noise far below the tolerance is not.
#[test]
fn no_flow_and_no_level_is_free() {
    let network = fixture::network();
    let good = fixture::decisions(&network);
    let passes = |decisions: Decisions| {
        let mut answer = Answer::of(&network, decisions, fixture::proof());
        answer.proof.bound_kg = answer.launch_mass_kg;
        report(&network, &answer).is_ok()
    };
    for step in [1e-4, -1e-4, f64::NAN, f64::INFINITY] {
        for (stream, flow) in good.flows.iter().enumerate() {
            for phase in 0..flow.len() {
                let mut decisions = good.clone();
                decisions.flows[stream][phase] += step;
                assert!(!passes(decisions), "stream {stream}, phase {phase}, {step}");
            }
        }
        for (node, levels) in good.levels.iter().enumerate() {
            for (activity, level) in levels.iter().enumerate() {
                for phase in 0..level.len() {
                    let mut decisions = good.clone();
                    decisions.levels[node][activity][phase] += step;
                    assert!(
                        !passes(decisions),
                        "node {node}, {activity}, {phase}, {step}"
                    );
                }
            }
        }
    }
    let mut noisy = good.clone();
    for flow in noisy.flows.iter_mut().flatten() {
        *flow += 1e-9;
    }
    for level in noisy.levels.iter_mut().flatten().flatten() {
        *level += 1e-9;
    }
    assert!(passes(noisy));
}

/// The deliveries found by hand are tight: a little less of anything that
/// flies is too little.
#[test]
fn nothing_that_flies_can_be_left_out() {
    let network = fixture::network();
    let good = fixture::decisions(&network);
    let mut poorer: Vec<(String, Decisions)> = Vec::new();
    let mut without = |what: String, change: &dyn Fn(&mut Decisions)| {
        let mut decisions = good.clone();
        change(&mut decisions);
        poorer.push((what, decisions));
    };
    for flight in 0..2 {
        for plan in 0..good.cargo.len() {
            without(format!("cargo {plan} on {flight}"), &|decisions| {
                decisions.cargo[plan].kg[flight] -= 0.01;
            });
        }
        without(format!("container on {flight}"), &|decisions| {
            decisions.cargo[0].containers.as_mut().unwrap()[flight] -= 1;
        });
        without(format!("cartridge on {flight}"), &|decisions| {
            decisions.cartridges[0].by_flight[flight] -= 1;
        });
        without(format!("expendables on {flight}"), &|decisions| {
            decisions.consumables[0].expendables_kg[flight] -= 0.01;
        });
        without(format!("upkeep on {flight}"), &|decisions| {
            decisions.consumables[0].upkeep_kg[flight] -= 0.01;
        });
    }
    for part in 0..2 {
        without(format!("spare of {part}"), &|decisions| {
            decisions.spares[part].spares -= 1
        });
        without(format!("reserve of {part}"), &|decisions| {
            decisions.stores[part].reserve_kg -= 0.01;
        });
        without(format!("room in {part}"), &|decisions| {
            decisions.stores[part].holds_kg -= 0.01
        });
    }
    without("tank".to_owned(), &|decisions| {
        decisions.stores[0].tanks = Some(1)
    });
    for name in [
        "condenser",
        "urine still",
        "polisher",
        "electrolyser",
        "methanator",
    ] {
        let node = node(&network, name).index();
        without(name.to_owned(), &|decisions| decisions.counts[node] -= 1);
    }
    assert_eq!(poorer.len(), 28);
    for (what, decisions) in poorer {
        let mut answer = Answer::of(&network, decisions, fixture::proof());
        answer.proof.bound_kg = answer.launch_mass_kg;
        assert!(
            report(&network, &answer).is_err(),
            "without {what} it passes"
        );
    }
}
