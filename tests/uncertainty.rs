//! `loopwright uncertainty`: draws, percentiles, shares and what cannot be drawn.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;

use std::sync::atomic::{AtomicBool, Ordering};

use common::{CLASSROOM, Run, run};
use loopwright::diagnostic::Sources;
use loopwright::report::{self, Origin, render_text};
use loopwright::solve::Options;
use loopwright::study::many::{Effort, Keepable};
use loopwright::study::uncertainty::{uncertain, uncertainty};
use serde_json::Value;

/// A wide filter mass and a yield: several portfolios win.
const SPREADS: [&str; 4] = [
    "--spread",
    "nodes.filter.unit.mass = Triangular(60 kg, 400 kg)",
    "--spread",
    "nodes.filter.turns.condensate.potable water = Uniform(0.8, 0.99)",
];

fn study(more: &[&str]) -> Run {
    let mut words = vec!["uncertainty", CLASSROOM];
    words.extend(more);
    run(&words)
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

/// The condenser flies whatever it weighs, so launch mass = 666.40 kg − 38 kg + its
/// mass, triangular between 30 and 60 kg with its mode at 38 kg.
#[test]
fn percentiles_of_a_closed_form() {
    let draws = 500.0_f64;
    let found = study(&[
        "--spread",
        "nodes.condenser.unit.mass = Triangular(30 kg, 60 kg)",
        "--draws",
        "500",
        "--format",
        "json",
    ]);
    assert_eq!(found.code, 0, "{}", found.err);
    let data = found.json();
    let constant = number(&data["today"]["kg"]) - 38.0;
    let (low, mode, high) = (30.0_f64, 38.0, 60.0);
    for percent in [5, 25, 50, 75, 95] {
        let share = f64::from(percent) / 100.0;
        let rising = share < (mode - low) / (high - low);
        let value = match rising {
            true => low + (share * (high - low) * (mode - low)).sqrt(),
            false => high - ((1.0 - share) * (high - low) * (high - mode)).sqrt(),
        };
        let density = match rising {
            true => 2.0 * (value - low) / ((high - low) * (mode - low)),
            false => 2.0 * (high - value) / ((high - low) * (high - mode)),
        };
        let error = (share * (1.0 - share) / draws).sqrt() / density;
        for of in ["lightest", "todays_portfolio_held"] {
            let kg = number(&data[of][format!("percentile_{percent}_kg")]);
            let off = (kg - constant - value).abs();
            assert!(off < 3.0 * error, "{of} {percent} %: {off} kg of {error}");
            // Evenly spread draws are far closer than independent ones.
            assert!(off < 0.5 * error, "{of} {percent} %: {off} kg of {error}");
        }
    }
    let mean = constant + (low + mode + high) / 3.0;
    assert!((number(&data["lightest"]["mean_kg"]) - mean).abs() < 0.05);
    assert!(number(&data["regret"]["percentile_95_kg"]).abs() < 1e-6);
    assert!(number(&data["numbers"][0]["share_of_variance"]) > 0.9);
}

#[test]
fn the_same_seed_gives_the_same_bytes_on_any_number_of_threads() {
    for format in ["text", "json", "csv", "markdown"] {
        let on = |threads: &str, seed: &str| {
            let how = ["--draws", "60", "--format", format];
            let threads = ["--threads", threads, "--seed", seed];
            study(&[&SPREADS[..], &how, &threads].concat()).out
        };
        let one = on("1", "5");
        assert!(!one.is_empty());
        assert_eq!(one, on("2", "5"), "{format}");
        assert_ne!(one, on("2", "6"), "{format}");
    }
}

#[test]
fn shares_put_together_are_the_whole_and_a_broken_one_goes_on() {
    let directory = tempfile::tempdir().expect("a directory");
    let how = ["--draws", "41", "--format", "json"];
    let whole = study(&[&SPREADS[..], &how].concat());
    let file = |share: usize| {
        let path = directory.path().join(format!("{share}.cells"));
        path.to_str().expect("a path").to_owned()
    };
    let files: Vec<String> = (1..=5).map(file).collect();
    let solve = |share: usize| {
        let name = format!("{share}/5");
        let words = ["--shard", &name, "--resume", &files[share - 1]];
        let found = study(&[&SPREADS[..], &how, &words].concat());
        assert_eq!(found.code, 0, "{}", found.err);
    };
    (1..=5).for_each(solve);
    // One of them was stopped in the middle of a line.
    let text = std::fs::read_to_string(&files[2]).expect("its cells");
    std::fs::write(&files[2], &text[..text.len() * 2 / 3]).expect("writable");
    let files_of_all: Vec<&str> = files.iter().map(String::as_str).collect();
    let merge = || study(&[&SPREADS[..], &how, &["--merge"], &files_of_all].concat());
    let lacking = merge();
    assert_eq!(lacking.code, 2);
    assert!(lacking.out.contains("LW0804"), "{}", lacking.out);
    solve(3);
    assert_eq!(merge().out, whole.out);
    // Draws of another seed are another study.
    let other = ["--seed", "2", "--merge"];
    let other = study(&[&SPREADS[..], &how, &other, &files_of_all].concat());
    assert_eq!(other.code, 2);
}

#[test]
fn probabilities_sum_to_one_and_draws_without_a_plan_are_seen() {
    // One draw in eighteen is a filter lighter than nothing.
    let spread = ["--spread", "nodes.filter.unit.mass = Normal(60 kg)"];
    let how = |format| [&spread[..], &["--draws", "128", "--format", format]].concat();
    let found = study(&how("json"));
    assert_eq!(found.code, 0, "{}", found.err);
    let data = found.json();
    let sum = |key: &str| -> f64 {
        let lines = data[key].as_array().expect("lines");
        lines.iter().map(|line| number(&line["probability"])).sum()
    };
    assert!(sum("without_plan") > 0.03 && sum("without_plan") < 0.08);
    assert!((sum("probability_of_being_lightest") + sum("without_plan") - 1.0).abs() < 1e-12);
    let times: Vec<f64> = data["probability_of_being_lightest"]
        .as_array()
        .expect("lines")
        .iter()
        .map(|line| number(&line["draws"]))
        .collect();
    assert!(
        times.len() > 1 && times.is_sorted_by(|a, b| a >= b),
        "{times:?}"
    );
    let remark = data["without_plan"][0]["remark"].as_str().expect("words");
    assert!(remark.starts_with("not allowed: "), "{remark}");
    assert!(remark.contains("mass"), "{remark}");
    for format in ["text", "csv", "markdown"] {
        let page = study(&how(format)).out;
        let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains("not allowed: "), "{format}: {page}");
    }
    // Every draw is a row, planned or not.
    assert_eq!(study(&how("csv")).out.lines().count(), 129);
}

/// Knowing the mass of the filter decides whether it flies; what is measured without
/// any influence is worth nothing.
#[test]
fn what_to_measure_first() {
    let idle = [
        "--spread",
        "nodes.filter.unit.power = Uniform(100 W, 200 W)",
    ];
    let how = ["--draws", "400", "--format", "json"];
    let data = study(&[&SPREADS[..], &idle, &how].concat()).json();
    let worth = |index: usize, key: &str| number(&data["numbers"][index][key]);
    let [mass, recovered, power] = [0, 1, 2].map(|index| worth(index, "worth_kg"));
    assert!(mass > 1.0 && mass > recovered, "{mass} {recovered}");
    assert!(worth(0, "worth_by_halves_kg") > 0.8 * mass);
    assert!(worth(0, "share_of_variance") > worth(1, "share_of_variance"));
    assert!(power < 0.2 * mass && worth(2, "share_of_variance").abs() < 0.02);
    let everything = number(&data["worth_of_knowing_everything_kg"]);
    assert!(mass <= everything + 1e-9);
    // Regret of the best without knowing more is what knowing everything is worth.
    let best = number(&data["best_without_knowing_more"]["mean_kg"]);
    assert!((best - number(&data["lightest"]["mean_kg"]) - everything).abs() < 1e-9);
}

#[test]
fn a_spread_that_reaches_too_far_is_cut_and_says_so() {
    let spread = "nodes.filter.turns.condensate.potable water = Normal(0.02)";
    let found = study(&["--spread", spread, "--draws", "64"]);
    assert_eq!(found.code, 0, "{}", found.err);
    // 0.97 + 1.5 standard deviations is 1: 6.68 % lie above.
    assert!(
        found.out.contains("6.6807 % of its spread lies outside"),
        "{}",
        found.out
    );
    assert!(!found.out.contains("not allowed"), "{}", found.out);
}

#[test]
fn what_has_no_spread_is_refused() {
    for (spreads, code) in [
        (vec![], "LW0"),
        (vec!["nodes.filter.unit.mas = Normal(1 kg)"], "LW05"),
        (vec!["nodes.filter.unit.mass = Normal(1 W)"], "LW02"),
        (
            vec!["nodes.filter.unit.mass = Uniform(100 kg, 120 kg)"],
            "LW0",
        ),
        (vec!["nodes.filter.unit.mass"], "LW0"),
        (vec!["nodes.filter.unit.mass = 3 kg"], "LW0"),
        (vec!["nodes.filter.count = Uniform(1, 3)"], "LW0"),
        (
            vec![
                "nodes.filter.turns.condensate.potable water = Uniform(0.9, 0.99)",
                "nodes.filter.turns.condensate.rinse = Uniform(0.01, 0.1)",
            ],
            "LW0",
        ),
    ] {
        let mut words = vec!["--draws", "4"];
        for spread in &spreads {
            words.extend(["--spread", spread]);
        }
        let found = study(&words);
        assert_eq!(found.code, 2, "{spreads:?}: {}{}", found.out, found.err);
        assert!(found.err.contains(code), "{spreads:?}: {}", found.err);
        assert!(found.err.contains("help"), "{spreads:?}: {}", found.err);
    }
    assert_eq!(study(&["--draws", "70000"]).code, 2);
}

/// Stopped when every draw is planned, the study must not look as if it were done.
#[test]
fn a_study_stopped_before_portfolios_are_compared_says_so() {
    static STOP: AtomicBool = AtomicBool::new(false);
    let reading = designs_read::open(&designs_read::path(CLASSROOM), None);
    let mut sources = Sources::new();
    let spread = sources.add("--spread", SPREADS[1]);
    let numbers = uncertain(reading.design(), &sources, &[spread]).unwrap();
    let options = Options {
        interrupt: Some(&STOP),
        ..Options::default()
    };
    let stop_when_planned = |done: usize, all: usize| STOP.store(done == all, Ordering::Relaxed);
    let mut effort = Effort {
        progress: &stop_when_planned,
        threads: Some(1),
        ..Effort::plain(&options)
    };
    let found = uncertainty(reading.design(), numbers, 64, 1, &mut effort).unwrap();
    assert!(found.draws.iter().all(Keepable::is_certain));
    assert!(found.stopped && !found.is_complete() && found.worth.is_none());
    let page = report::uncertainty(&reading.network(), &found, &Origin::default());
    let text = render_text(&page)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    let words = "partial: stopped before the portfolios were compared";
    assert!(text.contains(words), "{text}");
}
