//! The answers of the ready designs as JSON: keys, sums, and the same bytes
//! each time.
#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use common::{LARGE, READY, run};
use serde_json::Value;

/// Keys that every answer has.
const ALWAYS: [&str; 16] = [
    "status",
    "title",
    "launch_mass_kg",
    "by_category",
    "by_flight",
    "ledger",
    "units",
    "throughput",
    "flows",
    "draws",
    "cargo",
    "stock",
    "recovery",
    "audit",
    "solver",
    "input_sha256",
];

/// Keys that a feature of a design calls for, and how the file writes it.
const CALLED_FOR: [(&str, &str); 7] = [
    ("cartridges", "cartridge:"),
    ("expendables_kg", "expendables:"),
    ("spares", "\n    spares:"),
    ("spares_confidence", "\n    spares:"),
    ("tanks", "Store("),
    ("crew_time_h_per_d", "crew_time: \""),
    ("volume_m3", "volume: \""),
];

/// The answers of the ready designs, each solved once.
static ANSWERS: LazyLock<BTreeMap<&str, Value>> = LazyLock::new(|| {
    let solved = all().map(|design| {
        let run = run(&["solve", design, "--format", "json"]);
        assert_eq!(run.code, 0, "{design}: {}", run.err);
        (design, run.json())
    });
    solved.collect()
});

fn all() -> impl Iterator<Item = &'static str> {
    READY.into_iter().chain(LARGE)
}

/// A design and the catalogues it uses.
fn written(design: &str) -> String {
    let read = |file: String| std::fs::read_to_string(file).expect("a design is text");
    let mut text = read(design.to_owned());
    for file in ["catalogue/small-units.ron"] {
        if text.contains(file) {
            text.push_str(&read(format!("designs/{file}")));
        }
    }
    text
}

fn answer(design: &str) -> &'static Value {
    &ANSWERS[design]
}

fn number(value: &Value, key: &str) -> f64 {
    value[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{key} is no number in {value}"))
}

fn entries<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key]
        .as_array()
        .unwrap_or_else(|| panic!("{key} is no list"))
}

fn near(left: f64, right: f64) -> bool {
    (left - right).abs() <= 1e-9 * left.abs().max(right.abs()).max(1.0)
}

#[test]
fn every_answer_has_the_keys_that_its_features_call_for_and_no_others() {
    for design in all() {
        let text = written(design);
        let answer = answer(design);
        for key in ALWAYS {
            assert!(answer.get(key).is_some(), "{design} lacks {key}");
        }
        for (key, feature) in CALLED_FOR {
            let there = answer.get(key).is_some();
            let wanted = text.contains(feature);
            // What a design allows need not be flown; what it lacks is left out.
            let flown = !matches!(key, "expendables_kg");
            assert!(!there || wanted, "{design} has {key} without {feature}");
            assert!(there || !wanted || !flown, "{design} lacks {key}");
        }
    }
}

#[test]
fn every_ready_design_is_proved_and_audited() {
    for design in all() {
        let answer = answer(design);
        assert_eq!(answer["status"], "optimal", "{design}");
        assert!(number(&answer["solver"], "gap") <= 1e-9, "{design}");
        assert!(
            number(&answer["audit"], "worst_residual") < 1e-6,
            "{design}"
        );
        assert!(number(&answer["audit"], "checks") > 0.0, "{design}");
    }
}

#[test]
fn the_ledger_sums_to_the_launch_mass_every_way() {
    for design in all() {
        let answer = answer(design);
        let all = number(answer, "launch_mass_kg");
        let lines = entries(answer, "ledger").iter();
        let lines: f64 = lines
            .map(|line| number(line, "kg") * number(line, "gear_ratio"))
            .sum();
        assert!(near(lines, all), "{design}: lines give {lines}, not {all}");
        let flights = entries(answer, "by_flight").iter();
        let flights: f64 = flights.map(|flight| number(flight, "launch_mass_kg")).sum();
        assert!(near(flights, all), "{design}: flights give {flights}");
        let categories = answer["by_category"].as_object().expect("an object");
        let categories: f64 = categories.values().filter_map(Value::as_f64).sum();
        assert!(
            near(categories, all),
            "{design}: categories give {categories}"
        );
    }
}

#[test]
fn deliveries_stock_and_draws_agree() {
    for design in all() {
        let answer = answer(design);
        for (cargo, deliveries) in answer["cargo"].as_object().expect("an object") {
            let deliveries = deliveries.as_array().expect("a list");
            let brought: f64 = deliveries
                .iter()
                .map(|delivery| number(delivery, "kg"))
                .sum();
            let levels = entries(&answer["stock"], cargo);
            let drawn: f64 = levels
                .iter()
                .map(|level| number(level, "start_kg") - number(level, "end_kg"))
                .sum();
            let left = levels.last().map_or(0.0, |level| number(level, "end_kg"));
            assert!(
                (brought - drawn - left).abs() < 1e-6,
                "{design}, {cargo}: {brought} kg come, {drawn} go, {left} stay"
            );
        }
    }
}

#[test]
fn a_flow_of_nothing_is_left_out() {
    for design in all() {
        let answer = answer(design);
        for flows in answer["flows"].as_object().expect("an object").values() {
            let flows = flows.as_array().expect("a list");
            assert!(flows.iter().all(|flow| number(flow, "kg_per_d") > 0.0));
        }
    }
}

#[test]
fn the_saving_is_the_difference_to_the_reference() {
    for design in all() {
        let answer = answer(design);
        let reference = &answer["reference"];
        assert!(reference["status"].is_string(), "{design} has no reference");
        if let Some(mass) = reference["launch_mass_kg"].as_f64() {
            let saving = mass - number(answer, "launch_mass_kg");
            assert!(near(number(reference, "saving_kg"), saving), "{design}");
            assert!(number(reference, "flights") >= 1.0, "{design}");
        }
    }
}

/// Money is launch mass times its price, in every format; a price may be swept.
#[test]
fn a_launch_price_gives_the_cost_and_what_is_saved() {
    let design = "tests/hand_worked/launch_price.ron";
    let set = ["--set", "mission.launch_price.per_kilogram=4"];
    let words = [&["solve", design, "--format", "json"][..], &set].concat();
    let priced = run(&words).json();
    let price = &priced["launch_cost"];
    assert_eq!(price["currency"], "crowns");
    assert!(near(number(price, "per_kg"), 4.0));
    assert!(near(
        number(price, "amount"),
        4.0 * number(&priced, "launch_mass_kg")
    ));
    let reference = &priced["reference"];
    assert!(near(number(reference, "launch_cost"), 2800.0));
    assert!(near(number(reference, "saving_cost"), 2680.0));
    assert_eq!(reference["saving_flights"], 1);
    // 250 kg and 30 kg of one payload of 250 kg.
    assert!(near(number(reference, "payload_used"), 1.0));
    assert_eq!(reference["flights_by_mass"], 1);
    let text = run(&["solve", design]).out;
    for words in [
        "At 2.5 crowns per kilogram of launch mass it costs 75.00 crowns.",
        "saves 1,675.00 crowns of launch cost; one flight need not fly.",
    ] {
        assert!(text.contains(words), "no \"{words}\" in {text}");
    }
    let markdown = run(&["solve", design, "--format", "markdown"]).out;
    assert!(
        markdown.contains("| saving | 670.00 | 1,675.00 | 1 |"),
        "{markdown}"
    );
    let csv = run(&["solve", design, "--format", "csv"]).out;
    assert!(csv.contains("saving,670,1675,1,"), "{csv}");
    assert!(csv.contains("\"launch cost, crowns\""), "{csv}");
    // Without a price nothing of it is there.
    let unpriced = answer("designs/classroom.ron");
    assert!(unpriced.get("launch_cost").is_none());
    assert!(unpriced["reference"].get("saving_cost").is_none());
}

/// The outpost's arrivals may carry 7 t each; by mass alone one could carry what
/// three do, and in the reference none of the three could be left out.
#[test]
fn flights_that_would_do_by_mass_alone_are_said() {
    let reference = &answer("designs/ridge-outpost.ron")["reference"];
    assert_eq!(reference["plan_flights_by_mass"], 1);
    assert_eq!(reference["flights_by_mass"], 3);
    let used = number(reference, "payload_used");
    assert!(used > 2.0 / 3.0 && used <= 1.0, "{used}");
    let text = run(&["solve", "designs/ridge-outpost.ron"])
        .out
        .replace('\n', " ");
    assert!(
        text.contains("would fit into 1 of them, and in the reference into 3."),
        "{text}"
    );
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    for design in all() {
        for format in ["text", "json", "markdown", "csv"] {
            let words = ["solve", design, "--format", format];
            assert_eq!(run(&words).out, run(&words).out, "{design} as {format}");
        }
    }
}

#[test]
fn the_hash_tells_changed_input_from_the_same() {
    let plain = answer("designs/classroom.ron");
    let words = ["solve", "designs/classroom.ron", "--format", "json"];
    let set = ["--set", "nodes.filter.unit.mass=96 kg"];
    let changed = run(&[&words[..], &set[..]].concat()).json();
    assert_ne!(plain["input_sha256"], changed["input_sha256"]);
    assert_eq!(changed["edits"][0], set[1]);
    assert!(near(
        number(&changed, "launch_mass_kg"),
        number(plain, "launch_mass_kg") + 1.0
    ));
}

#[test]
fn timings_come_only_when_asked_for() {
    let words = ["solve", "designs/classroom.ron", "--format", "json"];
    assert!(run(&words).json()["solver"].get("seconds").is_none());
    let timed = run(&[&words[..], &["--timings"]].concat()).json();
    for step in ["read", "check", "build", "search", "decide ties", "audit"] {
        assert!(number(&timed["solver"]["seconds"], step) > 0.0, "{step}");
    }
}

/// Launch masses that a program written independently of this one found with
/// HiGHS, to its six decimals.
#[test]
fn a_design_with_most_of_the_format_agrees_with_an_independent_program() {
    let design = "tests/answers/most_of_the_format.ron";
    let masses = [
        (None, 7_015.706_790),
        (Some("resupply only"), 24_366.717_486),
        (Some("better still"), 7_004.274_992),
    ];
    for (variant, expected) in masses {
        let mut words = vec!["solve", design, "--format", "json"];
        words.extend(variant.iter().flat_map(|name| ["--variant", name]));
        let answer = run(&words).json();
        let mass = answer["launch_mass_kg"].as_f64().expect("a mass");
        assert!((mass - expected).abs() < 2e-6, "{variant:?}: {mass}");
    }
    let answer = run(&["solve", design, "--format", "json"]).json();
    let units = answer["units"].as_object().expect("units");
    assert!(units.values().all(|units| units == 1), "{units:?}");
}
