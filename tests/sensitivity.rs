//! `loopwright sensitivity`: changes against plans of their own, and switches.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;

use common::{CLASSROOM, Run, run};
use serde_json::Value;

fn study(more: &[&str]) -> Run {
    let mut words = vec!["sensitivity", CLASSROOM];
    words.extend(more);
    run(&words)
}

fn entry<'a>(data: &'a Value, key: &str, address: &str) -> &'a Value {
    let entries = data[key].as_array().expect("entries");
    let mut entries = entries.iter();
    entries
        .find(|entry| entry["address"] == address)
        .unwrap_or_else(|| panic!("{address} is not in {key}"))
}

fn solved(settings: &[String]) -> f64 {
    let mut words = vec!["solve", CLASSROOM, "--format", "json"];
    for setting in settings {
        words.extend(["--set", setting]);
    }
    let found = run(&words);
    assert_eq!(found.code, 0, "{settings:?}: {}", found.err);
    found.json()["launch_mass_kg"].as_f64().expect("a mass")
}

fn near(value: &Value, wanted: f64) {
    let value = value.as_f64().expect("a number");
    assert!((value - wanted).abs() < 1e-6, "{value} is not {wanted}");
}

#[test]
fn changes_are_those_of_plans_of_their_own() {
    let found = study(&["--thresholds", "0", "--format", "json"]);
    assert_eq!(found.code, 0, "{}", found.err);
    let data = found.json();
    let today = solved(&[]);
    let condenser = entry(&data, "numbers", "nodes.condenser.unit.mass");
    near(&condenser["ends"][0]["free_change_kg"], -3.8);
    near(&condenser["ends"][1]["held_change_kg"], 3.8);
    // A yield moves against the other one of its feed.
    let recovered = entry(&data, "numbers", "nodes.filter.turns.condensate.rinse");
    assert_eq!(
        recovered["against"],
        "nodes.filter.turns.condensate.potable water"
    );
    let other = solved(&[
        "nodes.filter.turns.condensate.rinse=0.033".to_owned(),
        "nodes.filter.turns.condensate.potable water=0.967".to_owned(),
    ]);
    near(&recovered["ends"][1]["free_change_kg"], other - today);
    // A whole number moves by one; the condenser does for two people, not for three.
    let crew = entry(&data, "numbers", "mission.phases.stay.crew");
    let one = solved(&["mission.phases.stay.crew=1".to_owned()]);
    near(&crew["ends"][0]["at"], 1.0);
    near(&crew["ends"][0]["free_change_kg"], one - today);
    assert_eq!(crew["ends"][1]["free"]["remark"], "no balance");
    // Ranked by the larger change; held is never lighter than free.
    let numbers = data["numbers"].as_array().expect("numbers");
    let largest = |one: &Value| one["largest_change_kg"].as_f64().expect("a change");
    assert!(numbers.is_sorted_by(|a, b| largest(a) >= largest(b)));
    for end in numbers
        .iter()
        .flat_map(|one| one["ends"].as_array().expect("ends"))
    {
        if let (Some(free), Some(held)) = (
            end["free_change_kg"].as_f64(),
            end["held_change_kg"].as_f64(),
        ) {
            assert!(held >= free - 1e-6, "{end}");
        }
    }
}

#[test]
fn what_cannot_be_moved_is_seen_in_every_format() {
    // Without any upper bound left for the filter, today's portfolio is not allowed.
    let only = [
        "--only",
        "nodes.filter.",
        "--thresholds",
        "0",
        "--by",
        "100 %",
    ];
    let data = study(&[&only[..], &["--format", "json"]].concat()).json();
    let yields = entry(
        &data,
        "numbers",
        "nodes.filter.turns.condensate.potable water",
    );
    let remark = yields["ends"][1]["free"]["remark"].as_str().expect("words");
    assert!(remark.starts_with("not allowed: "), "{remark}");
    for format in ["text", "csv", "markdown"] {
        let page = study(&[&only[..], &["--format", format]].concat()).out;
        let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains("allowed"), "{format}: {page}");
    }
    // A number that is zero has no share of itself to move by.
    let leak = run(&[
        "sensitivity",
        CLASSROOM,
        "--only",
        "nodes.food cargo",
        "--set",
        "nodes.food cargo.packaging=0",
        "--format",
        "csv",
    ]);
    assert!(leak.out.contains("not moved: it is zero"), "{}", leak.out);
}

#[test]
fn a_switch_lies_between_the_two_values_that_are_shown() {
    let only = ["--only", "nodes.filter.unit.mass", "--format", "json"];
    // The filter saves 165.78 kg at 95 kg, so it flies up to 260.78 kg.
    let how = ["--set", "nodes.filter.unit.mass=240 kg"];
    let data = study(&[&only[..], &how].concat()).json();
    let mut found = 0;
    for threshold in data["thresholds"].as_array().expect("thresholds") {
        let Some(other) = threshold["other_at"].as_f64() else {
            continue;
        };
        found += 1;
        let same = threshold["same_up_to"].as_f64().expect("a value");
        let units = |kg: f64| {
            let mass = format!("nodes.filter.unit.mass={kg} kg");
            let words = ["solve", CLASSROOM, "--format", "json", "--set", &mass];
            run(&words).json()["units"].clone()
        };
        let today = units(240.0);
        assert_eq!(units(same), today);
        assert_ne!(units(other), today);
        assert!((same - other).abs() <= 0.5 * 240.0 / 5.0 / 100.0);
        if threshold["direction"] == "up" {
            assert!(same < 260.78 && 260.78 < other + 0.01, "{threshold}");
        }
    }
    assert!(found > 0, "{}", data["thresholds"]);
}

#[test]
fn a_spread_says_how_far() {
    let words = [
        "sensitivity",
        "designs/ridge-outpost.ron",
        "--only",
        "nodes.cell stack.unit.mass",
        "--thresholds",
        "0",
        "--format",
        "json",
    ];
    let data = run(&words).json();
    let mass = entry(&data, "numbers", "nodes.cell stack.unit.mass");
    assert_eq!(mass["by_spread"], true);
    // Triangular from 140 over 156 to 190 kg.
    near(
        &mass["ends"][0]["at"],
        140.0 + (0.05_f64 * 50.0 * 16.0).sqrt(),
    );
    near(
        &mass["ends"][1]["at"],
        190.0 - (0.05_f64 * 50.0 * 34.0).sqrt(),
    );
}

#[test]
fn the_same_bytes_from_threads_and_from_shares() {
    let directory = tempfile::tempdir().expect("a directory");
    let how = ["--only", "nodes.filter", "--format", "csv"];
    let one = study(&[&how[..], &["--threads", "1"]].concat());
    let two = study(&[&how[..], &["--threads", "2"]].concat());
    assert_eq!(one.out, two.out);
    let file = |share: usize| {
        let path = directory.path().join(format!("{share}.cells"));
        path.to_str().expect("a path").to_owned()
    };
    let files: Vec<String> = (1..=3).map(file).collect();
    for share in 1..=3 {
        let name = format!("{share}/3");
        let words = ["--shard", &name, "--resume", &files[share - 1]];
        let found = study(&[&how[..], &words].concat());
        assert_eq!(found.code, 0, "{}", found.err);
    }
    let files: Vec<&str> = files.iter().map(String::as_str).collect();
    let merged = study(&[&how[..], &["--merge"], &files].concat());
    assert_eq!(merged.out, one.out);
}

#[test]
fn wrong_words_are_refused() {
    assert_eq!(study(&["--by", "10"]).code, 2);
    assert_eq!(study(&["--by", "0 %"]).code, 2);
    let none = study(&["--only", "nodes.nothing"]);
    assert_eq!(none.code, 2);
    assert!(none.err.contains("LW0501") || none.err.contains("nothing"));
}
