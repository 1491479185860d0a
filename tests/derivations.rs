//! Derivations: every equation holds with the plan's numbers, every page agrees
//! with ledger and flows, and other counts weigh what the edited design weighs.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;

use common::{READY, run};
use designs_read::{Reading, files, path, read, text};
use loopwright::answer::column_values;
use loopwright::audit::Plan;
use loopwright::kinds::KINDS;
use loopwright::program::{Form, Sense, formulate};
use loopwright::solve::Options;
use loopwright::study::derivation::{Derivation, Item, Outcome, derive};

fn ready() -> Vec<(&'static str, String, Reading, Plan)> {
    READY
        .into_iter()
        .map(|file| {
            let text = text(&path(file));
            let reading = read(file, &text, None, &[]);
            let plan = reading.plan();
            (file, text, reading, plan)
        })
        .collect()
}

fn derived(reading: &Reading, plan: &Plan, item: Item) -> Derivation {
    derive(reading.design(), plan, item, &Options::default()).unwrap()
}

fn near(left: f64, right: f64) -> bool {
    (left - right).abs() <= 1e-6 * left.abs().max(right.abs()).max(1.0)
}

/// Values put back into the program satisfy every row and weigh what the plan does:
/// on designs of one feature each and on whole ones.
#[test]
fn every_row_of_a_program_holds_with_the_values_of_its_plan() {
    let mut all = files(&path("tests/hand_worked"), ".ron");
    all.extend(READY.map(path));
    all.push(path("designs/growing-base.ron"));
    for kind in KINDS {
        let folder = path("tests/kinds").join(kind.name.to_lowercase());
        all.push(folder.join("good.ron"));
    }
    let mut rows = 0;
    for file in all {
        let reading = designs_read::open(&file, None);
        let Some(plan) = reading.planned() else {
            continue;
        };
        let program = formulate(plan.network(), Form::PerFlight);
        let values = column_values(&program, plan.answer());
        for row in &program.rows {
            let left: f64 = row
                .terms
                .iter()
                .map(|&(column, factor)| factor * values[column.0])
                .sum();
            let scale: f64 = row
                .terms
                .iter()
                .map(|&(column, factor)| (factor * values[column.0]).abs())
                .fold(row.right.abs().max(1.0), f64::max);
            let off = match row.sense {
                Sense::Equal => (left - row.right).abs(),
                Sense::AtMost => left - row.right,
                Sense::AtLeast => row.right - left,
            };
            assert!(
                off <= 1e-6 * scale,
                "{}: {}: {off}",
                file.display(),
                row.label
            );
            rows += 1;
        }
        let columns = program.columns.iter().zip(&values);
        let mass: f64 = columns.map(|(column, value)| column.cost * value).sum();
        let mass = mass + program.constant_kg;
        let wanted = plan.answer().minimised_kg();
        assert!(
            near(mass, wanted),
            "{}: {mass}, not {wanted}",
            file.display()
        );
    }
    assert!(rows > 2_500, "only {rows} rows");
}

#[test]
fn pages_agree_with_ledger_and_flows() {
    for (file, _, reading, plan) in ready() {
        let network = plan.network();
        let answer = plan.answer();
        let mut lines = 0;
        for node in network.nodes() {
            let found = derived(&reading, &plan, Item::Node(node));
            let name = network.name(node);
            assert!(!found.equations.is_empty(), "{file}: nothing about {name}");
            for equation in &found.equations {
                let scale = equation.left.value().abs().max(1.0);
                let slack = equation.slack();
                match equation.sense {
                    Sense::Equal => assert!(slack <= 1e-6 * scale, "{file}: {equation:?}"),
                    _ => assert!(slack >= -1e-6 * scale, "{file}: {equation:?}"),
                }
                for term in equation.left.terms.iter().chain(&equation.right.terms) {
                    for stream in network.streams() {
                        let (from, to) = network.ends(stream);
                        for (phase, data) in network.calendar.phases.iter().enumerate() {
                            let words = format!(
                                "flow of {}, {} → {}, {}",
                                network.substances.name(network.graph[stream].substance),
                                network.name(from),
                                network.name(to),
                                data.name
                            );
                            if term.words == words {
                                let flow = answer.decisions.flows[stream.index()][phase];
                                assert_eq!(term.value, flow, "{file}: {words}");
                            }
                        }
                    }
                }
            }
            for line in &found.ledger {
                assert!(answer.ledger.contains(line), "{file}: {line:?}");
            }
            lines += found.ledger.len();
        }
        assert_eq!(lines, answer.ledger.len(), "{file}: every line once");
    }
}

#[test]
fn other_counts_weigh_what_the_design_with_that_count_weighs() {
    let mut compared = 0;
    let mut without = 0;
    for (file, text, reading, plan) in ready() {
        let network = plan.network();
        for node in network.nodes() {
            let name = network.name(node);
            for count in derived(&reading, &plan, Item::Node(node)).counts {
                let setting = format!("nodes.{name}.count=Exactly({})", count.units);
                let edited = || read(file, &text, None, &[&setting]).planned();
                match count.outcome {
                    Outcome::Chosen => {
                        let units = plan.answer().decisions.counts[node.index()];
                        assert_eq!(count.units, units);
                    }
                    Outcome::Plan(other) => {
                        let edited = edited().unwrap();
                        let mass = edited.answer().launch_mass_kg;
                        assert!(
                            near(other.launch_mass_kg, mass),
                            "{file}: {setting}: {mass}, not {}",
                            other.launch_mass_kg
                        );
                        let changes: f64 = other.by_category.iter().map(|(_, kg)| kg).sum();
                        let change = mass - plan.answer().launch_mass_kg;
                        assert!((changes - change).abs() < 1e-4, "{file}: {setting}");
                        assert!(change >= -1e-6, "{file}: {setting} is lighter");
                        compared += 1;
                    }
                    Outcome::NoBalance(causes) => {
                        assert!(!causes.is_empty(), "{file}: {setting}");
                        assert!(edited().is_none(), "{file}: {setting}");
                        without += 1;
                    }
                    Outcome::NotAllowed(why) => {
                        let count = network.duties(node).count;
                        assert!(why.contains(&count.to_string()), "{file}: {setting}: {why}");
                    }
                    Outcome::Unknown => panic!("{file}: {setting}"),
                }
            }
        }
    }
    println!("{compared} masses, {without} without a balance");
    assert!(compared > 30, "only {compared} masses compared");
}

/// The filter of the classroom, by hand. Two people breathe and sweat 5.892 kg/d of
/// condensate; one filter takes 4.4 kg/d of it, its capacity, for 60 d: 264 kg,
/// which five cartridges of 60 kg cover with 36 kg to spare. It gives 0.97 × 4.4
/// = 4.268 kg/d of potable water and weighs 95 + 5 × 4.5 = 117.5 kg.
///
/// Without it, all 6.434 kg/d of water come from cargo: 386.04 kg in 25
/// containers of 1.7 kg; with oxygen at 1.79 × 60 × 1.4 = 150.36 kg, food at
/// 3.12 × 60 × 1.15 = 215.28 kg and a condenser of 38 kg that is 832.18 kg.
#[test]
fn the_page_of_a_filter_is_the_one_worked_by_hand() {
    let run = run(&[
        "explain",
        "designs/classroom.ron",
        "--item",
        "filter",
        "--format",
        "json",
    ]);
    assert_eq!(run.code, 0, "{}", run.err);
    let page = run.json();
    let equation = |label: &str| {
        let mut all = page["equations"].as_array().unwrap().iter();
        all.find(|one| one["label"] == label)
            .unwrap_or_else(|| panic!("no {label}"))
    };
    let number = |value: &serde_json::Value, wanted: f64| {
        let found = value.as_f64().unwrap();
        assert!(near(found, wanted), "{found}, not {wanted}");
    };
    let capacity = equation("capacity of filter, stay");
    number(&capacity["left"]["value"], 4.4);
    number(&capacity["right"]["value"], 4.4);
    assert_eq!(capacity["binds"], true);
    let potable = equation("potable water out of filter, stay");
    number(&potable["left"]["value"], 4.268);
    number(&potable["right"]["terms"][0]["factor"], 0.97);
    let cartridges = equation("cartridges of filter last to day 60");
    number(&cartridges["left"]["value"], 264.0);
    number(&cartridges["right"]["value"], 300.0);
    number(&cartridges["slack"], 36.0);
    assert_eq!(cartridges["binds"], false);
    let ledger = page["ledger"].as_array().unwrap();
    let weighs: f64 = ledger.iter().map(|line| line["kg"].as_f64().unwrap()).sum();
    assert!(near(weighs, 117.5));
    let counts = page["counts"].as_array().unwrap();
    assert_eq!(counts.len(), 3);
    number(&counts[0]["launch_mass_kg"], 832.18);
    number(&counts[1]["launch_mass_kg"], 666.40);
    assert_eq!(counts[1]["outcome"], "this plan");
}

#[test]
fn limits_flights_and_nodes_have_pages_and_typos_are_met() {
    let outpost = "designs/ridge-outpost.ron";
    let items = run(&["explain", outpost, "--format", "json"]).json();
    let items = items["items"].as_array().unwrap();
    assert!(items.len() > 30);
    for item in ["volume", "flight 2", "crew", "water tank"] {
        for format in ["text", "markdown", "json"] {
            let page = run(&["explain", outpost, "--item", item, "--format", format]);
            assert_eq!(page.code, 0, "{item}: {}", page.err);
            assert!(page.out.contains(item), "{item}: {}", page.out);
        }
    }
    let volume = run(&["explain", outpost, "--item", "volume", "--format", "json"]).json();
    assert_eq!(volume["equations"].as_array().unwrap().len(), 1);
    assert_eq!(volume["equations"][0]["right"]["constant"], 3.2);
    let flight = run(&["explain", outpost, "--item", "flight 2", "--format", "json"]).json();
    let lines = flight["ledger"].as_array().unwrap();
    assert!(lines.iter().all(|line| line["flight"] == 2) && !lines.is_empty());
    let typo = run(&["explain", outpost, "--item", "membrane stil"]);
    assert_eq!(typo.code, 2);
    assert!(typo.err.contains("did you mean \"membrane still\"?"));
    let neither = run(&["explain", "no-such-file.ron"]);
    assert_eq!(neither.code, 2);
    let unreadable = run(&["explain", "no-such-file.ron", "--item", "crew"]);
    assert!(unreadable.err.contains("cannot read"), "{}", unreadable.err);
}
