//! Plans, references and the words of a fault.

use super::*;
use crate::audit::{Plan, Reference, audit};

fn plan() -> Plan {
    let network = fixture::network();
    let answer = fixture::answer(&network);
    audit(network, answer).unwrap()
}

#[test]
fn a_plan_keeps_what_was_audited() {
    let plan = plan();
    assert_eq!(plan.answer(), &fixture::answer(plan.network()));
    assert!(plan.report().checks > 500);
    assert_eq!(plan.flights(), 2);
    assert!(plan.reference().is_none() && plan.saving_kg().is_none());
}

#[test]
fn a_saving_is_stated_against_a_reference() {
    let reference = Reference::planned("resupply alone", "optimal", &plan());
    assert_eq!(reference.flights(), Some(2));
    let plan = plan().with_reference(reference);
    assert_eq!(plan.saving_kg(), Some(0.0));
    assert_eq!(
        plan.reference().map(Reference::name),
        Some("resupply alone")
    );
    let plan = plan.with_reference(Reference::unplanned("resupply alone", "no balance"));
    assert_eq!(plan.reference().map(Reference::status), Some("no balance"));
    assert_eq!(plan.reference().and_then(Reference::launch_mass_kg), None);
    assert_eq!(plan.saving_kg(), None);
}

/// The fault names the worst check, by residual, and says how many fail.
#[test]
fn a_fault_in_words() {
    let network = fixture::network();
    let mut answer = fixture::answer(&network);
    answer.volume_m3 += 0.1;
    let fault = audit(network.clone(), answer.clone()).unwrap_err();
    // 0.1 of 1.45
    assert_eq!(
        fault.to_string(),
        "the audit rejects the answer: volume of all units (other figures) is off by 6.9e-2, \
         allowed 1e-6"
    );
    answer.power_w[0] = 0.0;
    let fault = audit(network, answer).unwrap_err();
    assert_eq!(fault.worst().name, "power, shakedown");
    assert!(
        fault.to_string().ends_with("; 2 checks fail in all"),
        "{fault}"
    );
}
