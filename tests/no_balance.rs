//! Designs without balance: what is over or short, by how much, and where.
#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;

use std::fs;

use common::{run, run_with};
use serde_json::Value;

const SURPLUS: &str = "tests/no_balance/surplus.ron";
const CLASSROOM: &str = "designs/classroom.ron";

/// The statements of a design without balance.
fn conflict(words: &[&str], input: &str) -> Vec<Value> {
    let run = run_with(&[&["solve", "--format", "json"], words].concat(), input);
    assert_eq!(run.code, 3, "{}{}", run.out, run.err);
    let data = run.json();
    assert_eq!(data["status"], "infeasible");
    assert!(
        data.get("launch_mass_kg").is_none(),
        "no mass without an answer"
    );
    data["conflict"].as_array().expect("a list").clone()
}

fn only(statements: &[Value]) -> (&str, f64, u64) {
    let [one] = statements else {
        panic!("one cause, but {statements:#?}");
    };
    (
        one["statement"].as_str().expect("words"),
        one["slack"].as_f64().expect("an amount"),
        one["place"]["line"].as_u64().expect("a line"),
    )
}

fn line_of(text: &str, piece: &str) -> u64 {
    let line = text.lines().position(|line| line.contains(piece));
    line.expect("the piece is there") as u64 + 1
}

#[test]
fn a_surplus_without_an_outlet_is_named_with_its_substance_and_place() {
    // Two people drink 2 · 3.217 kg/d. Back come their breath and sweat, 2 · 2.946,
    // and nine tenths of their urine, 2 · 0.9 · 1.481.
    let statements = conflict(&[SURPLUS], "");
    let (words, amount, line) = only(&statements);
    assert!(
        words.starts_with("potable water from \"filter\" has nowhere to go"),
        "{words}"
    );
    let surplus = 2.0 * (2.946 + 0.9 * 1.481 - 3.217);
    assert!((amount - surplus).abs() < 5e-3, "{amount} is not {surplus}");
    let text = fs::read_to_string(SURPLUS).expect("the design");
    assert_eq!(line, line_of(&text, "\"filter\": Processor"));
    // The same in words for people, on standard output.
    let told = run(&["solve", SURPLUS]);
    assert_eq!(told.code, 3);
    assert!(told.out.starts_with("No balance"), "{}", told.out);
    assert!(told.out.contains("has nowhere to go: 2.12"), "{}", told.out);
    let place = format!("{SURPLUS}:{line}:9");
    assert!(told.out.contains(&place), "{}", told.out);
}

#[test]
fn with_the_outlet_the_same_design_balances() {
    let text = fs::read_to_string(SURPLUS).expect("the design");
    let mended = text.replace(
        "\"filter\"], \"crew\"]]",
        "\"filter\"], [\"crew\", \"overboard\"]]]",
    );
    assert_ne!(text, mended);
    assert_eq!(run_with(&["solve", "-"], &mended).code, 0);
}

#[test]
fn what_people_lack_is_named_with_its_amount() {
    let text = fs::read_to_string(CLASSROOM).expect("the design");
    let text = text.replace("[\"water cargo\", \"filter\"]", "[\"filter\"]");
    let statements = conflict(&["-"], &text);
    let (words, amount, line) = only(&statements);
    assert!(
        words.starts_with("\"crew\" needs more potable water than can reach it"),
        "{words}"
    );
    // Two filters treat all breath and sweat, 2 · 2.946 kg/d, and keep 0.97 of it.
    let lack = 2.0 * (3.217 - 0.97 * 2.946);
    assert!((amount - lack).abs() < 5e-3, "{amount} is not {lack}");
    assert_eq!(line, line_of(&text, "\"crew\":"));
}

#[test]
fn a_capacity_in_the_way_is_named() {
    let statements = conflict(
        &[CLASSROOM, "--set", "nodes.condenser.unit.capacity=5 kg/d"],
        "",
    );
    let (words, amount, _) = only(&statements);
    assert!(words.starts_with("capacity of condenser"), "{words}");
    assert!((amount - (2.0 * 2.946 - 5.0)).abs() < 5e-3, "{amount}");
}

#[test]
fn a_limit_in_the_way_is_named_in_its_own_unit() {
    let text = fs::read_to_string(CLASSROOM).expect("the design").replace(
        "    streams: {",
        "    limits: Limits(power: \"200 W\"),\n    streams: {",
    );
    let statements = conflict(&["-"], &text);
    let (words, amount, line) = only(&statements);
    // The one condenser that must fly draws 210 W.
    assert!(
        words.contains("power") && words.ends_with("10 W"),
        "{words}"
    );
    assert!((amount - 10.0).abs() < 1e-6, "{amount}");
    assert_eq!(line, line_of(&text, "limits: Limits"));
}

#[test]
fn whole_units_in_the_way_are_named_where_fractions_would_do() {
    // 5.892 kg/d of vapour wants 1.473 condensers of 4 kg/d, so two: 420 W.
    let text = fs::read_to_string(CLASSROOM).expect("the design").replace(
        "    streams: {",
        "    limits: Limits(power: \"400 W\"),\n    streams: {",
    );
    let set = [
        "nodes.condenser.unit.capacity=4 kg/d",
        "nodes.condenser.count=Between(1, 2)",
    ];
    let words = ["-", "--set", set[0], "--set", set[1]];
    let statements = conflict(&words, &text);
    assert_eq!(statements.len(), 1);
    let statement = statements[0]["statement"].as_str().expect("words");
    assert!(statement.contains("whole"), "{statement}");
    assert!(statements[0].get("slack").is_none());
    let roomier = text.replace("400 W", "421 W");
    assert_eq!(
        run_with(&[&["solve"], &words[..]].concat(), &roomier).code,
        0
    );
}
