//! Missions with random failures: how often the spares of a plan last is what
//! the exact probabilities say, within three standard errors, and soon known.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;

use std::time::{Duration, Instant};

use common::{LARGE, READY, run};
use designs_read::{open, path, read, text};
use loopwright::audit::Plan;
use loopwright::study::failures::{Failures, Lasting, failures};

const MISSIONS: u64 = 20_000;

fn flown(plan: &Plan) -> Failures {
    let started = Instant::now();
    let found = failures(plan, MISSIONS, 1, None);
    assert!(started.elapsed() < Duration::from_secs(60));
    assert_eq!((found.missions, found.asked), (MISSIONS, MISSIONS));
    found
}

fn three_standard_errors(probability: f64) -> f64 {
    3.0 * (probability * (1.0 - probability) / MISSIONS as f64).sqrt()
}

fn agrees(lasting: &Lasting, probability: f64, what: &str) {
    assert!((lasting.model - probability).abs() < 1e-8, "{what}");
    let off = (lasting.share() - probability).abs();
    assert!(off <= three_standard_errors(probability), "{what}: {off}");
    let [low, high] = lasting.interval();
    assert!(low <= lasting.share() && lasting.share() <= high);
}

/// `P(X ≤ spares)` of a Poisson count by its definition.
fn poisson(spares: u32, mean: f64) -> f64 {
    let mut term = (-mean).exp();
    let mut sum = term;
    for failures in 1..=spares {
        term *= mean / f64::from(failures);
        sum += term;
    }
    sum
}

#[test]
fn the_ready_designs_last_as_often_as_their_plans_say() {
    let mut parts = 0;
    for design in READY {
        let plan = open(&path(design), None).plan();
        let found = flown(&plan);
        let spares = &plan.answer().decisions.spares;
        let mut together = 1.0;
        for stated in spares {
            let mut found = found.parts.iter();
            let part = found.find(|part| part.nodes == stated.nodes);
            let Some(part) = part else {
                // Nothing of it flies.
                assert_eq!(stated.spares, 0);
                continue;
            };
            assert_eq!(part.spares, stated.spares);
            agrees(
                &part.lasting,
                stated.confidence,
                &format!("{design}: {}", part.part),
            );
            let exact = poisson(part.spares, part.expected_failures);
            assert!((exact - stated.confidence).abs() < 1e-8);
            together *= stated.confidence;
            parts += 1;
        }
        agrees(&found.system, together, design);
        let short: u64 = found.parts.iter().map(|part| part.first_shortfalls).sum();
        assert_eq!(short, MISSIONS - found.system.lasted);
        let last = found.until.last().expect("the end of the mission");
        assert_eq!(last.lasting, found.system);
        for until in found.until.windows(2) {
            assert!(until[0].day < until[1].day);
            assert!(until[0].lasting.lasted >= until[1].lasting.lasted);
            agrees(&until[0].lasting, until[0].lasting.model, design);
        }
    }
    assert!(parts > 12, "{parts}");
}

/// Shared parts and uncertain rates among many others.
#[test]
fn the_large_designs_do_too() {
    for design in LARGE {
        let plan = open(&path(design), None).plan();
        let found = flown(&plan);
        assert!(found.parts.len() > 3);
        for part in &found.parts {
            let mut plans = plan.answer().decisions.spares.iter();
            let stated = plans.find(|stated| stated.nodes == part.nodes).unwrap();
            agrees(&part.lasting, stated.confidence, &part.part);
        }
        let logs = plan.answer().decisions.spares.iter();
        let together: f64 = logs.map(|stated| stated.confidence).product();
        agrees(&found.system, together, design);
    }
}

/// Probabilities worked out by hand in the designs' own comments and below.
#[test]
fn designs_worked_by_hand() {
    for (design, part, probability) in [
        // One pump in two nodes with duty, mean time and start of their own.
        ("tests/hand_worked/spares_pooled.ron", "pump", 0.981_011_843),
        (
            "tests/published/designs/spares-pool.ron",
            "common stock",
            0.936_203,
        ),
    ] {
        let found = flown(&open(&path(design), None).plan());
        let mut parts = found.parts.iter();
        let part = parts.find(|found| found.part == part).expect(part);
        assert!((part.lasting.model - probability).abs() < 5e-7, "{design}");
        let off = (part.lasting.share() - probability).abs();
        assert!(off <= three_standard_errors(probability), "{design}: {off}");
    }
}

/// Every hand-worked design with spares, whatever it is about; uncertain rates
/// among them.
#[test]
fn what_each_plan_states_is_what_happens() {
    let (mut seen, mut uncertain) = (0, 0);
    for file in designs_read::files(&path("tests/hand_worked"), ".ron") {
        if !text(&file).contains("Spares(") || text(&file).contains("uses:") {
            continue;
        }
        let plan = open(&file, None).plan();
        let found = flown(&plan);
        uncertain += usize::from(text(&file).contains("error_factor"));
        for part in &found.parts {
            agrees(
                &part.lasting,
                part.lasting.model,
                &format!("{}: {}", file.display(), part.part),
            );
            // E[min(X, j)²] = Σ (2 i + 1) P(X > i) bounds the spread of spares used.
            let most = f64::from(part.spares);
            let error = 3.0 * (most * part.spares_used_model / MISSIONS as f64).sqrt();
            assert!((part.spares_used - part.spares_used_model).abs() <= error);
            seen += 1;
        }
    }
    assert!(seen >= 6 && uncertain >= 1, "{seen} {uncertain}");
}

#[test]
fn without_spares_every_failure_is_a_shortfall() {
    let text = text(&path("designs/long-transit.ron"));
    let reading = read("transit", &text, None, &["spares=None"]);
    let found = flown(&reading.plan());
    let mean: f64 = found.parts.iter().map(|part| part.expected_failures).sum();
    agrees(&found.system, (-mean).exp(), "no spares");
    assert!(found.parts.iter().all(|part| part.spares == 0));
    assert!(found.parts.iter().all(|part| part.spares_used == 0.0));
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_another_one_does_not() {
    let words = |seed: &'static str, format: &'static str| {
        let words = [
            "failures",
            "designs/long-transit.ron",
            "--missions",
            "3000",
            "--seed",
            seed,
            "--format",
            format,
        ];
        let run = run(&words);
        assert_eq!(run.code, 0, "{}", run.err);
        run
    };
    for format in ["text", "json", "csv", "markdown"] {
        assert_eq!(words("5", format).out, words("5", format).out);
        assert_ne!(words("5", format).out, words("6", format).out);
    }
    let data = words("5", "json").json();
    assert_eq!(
        (&data["missions"], &data["seed"]),
        (&3000.into(), &5.into())
    );
    let lasted = data["system"]["lasted"].as_u64().unwrap();
    let share = data["system"]["share"].as_f64().unwrap();
    assert!((share - lasted as f64 / 3000.0).abs() < 1e-12);
    assert_eq!(data["asked"]["each_part"], 0.999);
    assert_eq!(data["parts"].as_array().unwrap().len(), 7);
}

#[test]
fn nothing_that_fails_and_no_missions_are_said_so() {
    let none = run(&["failures", "designs/classroom.ron"]);
    assert_eq!(none.code, 0, "{}", none.err);
    assert!(none.out.starts_with("Nothing to fail"), "{}", none.out);
    let zero = run(&["failures", "designs/classroom.ron", "--missions", "0"]);
    assert_eq!(zero.code, 2);
}

#[test]
fn stopped_missions_are_the_first_ones() {
    let stop = std::sync::atomic::AtomicBool::new(true);
    let plan = open(&path("designs/long-transit.ron"), None).plan();
    let found = failures(&plan, MISSIONS, 1, Some(&stop));
    assert_eq!((found.missions, found.asked), (0, MISSIONS));
}
