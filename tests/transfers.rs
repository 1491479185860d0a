//! Transfers into stores: what the audit makes of a wrong gas or wrong hours, and
//! what a reader is told.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;

use common::run;
use designs_read::{open, path};
use loopwright::Planned;
use loopwright::answer::{Answer, Category};
use loopwright::audit::{AuditFault, Plan, audit};
use loopwright::kinds::{Stock, Transfer};
use loopwright::network::Network;

const GAS: &str = "tests/hand_worked/transfer_gas.ron";
const HOURS: &str = "tests/hand_worked/transfer_crew_time.ron";

fn plan(file: &str) -> Plan {
    let network = open(&path(file), None).network();
    match loopwright::plan_network(&network, &Default::default()) {
        Ok(Planned::Plan(plan)) => *plan,
        other => panic!("{file}: {other:?}"),
    }
}

/// What the audit says of a plan after a change.
fn changed(file: &str, change: impl FnOnce(&mut Network, &mut Answer)) -> AuditFault {
    let plan = plan(file);
    let (mut network, mut answer) = (plan.network().clone(), plan.answer().clone());
    assert!(audit(network.clone(), answer.clone()).is_ok(), "{file}");
    change(&mut network, &mut answer);
    audit(network, answer).expect_err("the change is found")
}

fn transfer(network: &mut Network) -> &mut Transfer {
    let mut nodes = network.graph.node_weights_mut();
    let transfer = nodes.find_map(|node| match &mut node.duties.stock {
        Some(Stock::Delivered { transfer, .. }) => transfer.as_mut(),
        _ => None,
    });
    transfer.expect("a transfer")
}

#[test]
fn the_audit_weighs_the_gas_itself() {
    let fault = changed(GAS, |_, answer| {
        let mut lines = answer.ledger.iter_mut();
        let line = lines.find(|line| line.category == Category::TransferGas);
        line.expect("a line of gas").kg *= 1.01;
    });
    let words = fault.to_string();
    assert!(
        words.contains("transfer gas of tanker on flight 0"),
        "{words}"
    );
    let fault = changed(GAS, |network, _| transfer(network).gas_kg_per_kg = 0.0);
    assert!(fault.to_string().contains("transfer gas"), "{fault}");
}

#[test]
fn the_audit_counts_the_hours_itself() {
    let fault = changed(HOURS, |network, _| transfer(network).crew_h_per_kg *= 1.5);
    let words = fault.to_string();
    assert!(words.contains("crew time, first"), "{words}");
    let fault = changed(HOURS, |_, answer| answer.crew_time_h_per_day[1] = 0.0);
    assert!(fault.to_string().contains("crew time"), "{fault}");
}

#[test]
fn gas_and_hours_are_told_to_planner_and_loader() {
    let text = run(&["solve", GAS]).out;
    for words in [
        "0.3494 kg of nitrogen",
        "transfer gas",
        "0.001747 kg/kg of nitrogen × 100 kg",
    ] {
        assert!(text.contains(words), "no \"{words}\" in {text}");
    }
    let loader = run(&["manifest", GAS]).out;
    assert!(loader.contains("nitrogen to push the cargo"), "{loader}");
    let hours = run(&["solve", HOURS]).out;
    assert!(hours.contains("transfer, h"), "{hours}");
    let data = run(&["solve", HOURS, "--format", "json"]).json();
    assert_eq!(data["crew_time_h_per_d"]["first"], 0.08);
}
