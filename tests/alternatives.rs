//! Alternatives are what trying every combination of counts gives, in order.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;

use std::time::Duration;

use common::{OUTPOST, run};
use designs_read::{path, read, text};
use loopwright::audit::Plan;
use loopwright::solve::Options;
use loopwright::study::alternatives::{Alternatives, Ended, Margin, Wanted, alternatives};

const TWINS: [&str; 2] = [
    "nodes.filter B.unit.mass=40 kg",
    "nodes.filter B.unit.capacity=1 kg/d",
];
const ALL: Wanted = Wanted {
    most: None,
    within: None,
};

/// The design with these settings, planned; none where it has no balance or its
/// counts contradict an exclusive group.
fn planned(file: &str, settings: &[String]) -> Option<Plan> {
    let settings: Vec<&str> = settings.iter().map(String::as_str).collect();
    read(file, &text(&path(file)), None, &settings).planned()
}

fn found(file: &str, settings: &[&str], wanted: Wanted) -> Alternatives {
    let settings: Vec<String> = settings.iter().map(|&one| one.to_owned()).collect();
    let best = planned(file, &settings).unwrap();
    let found = alternatives(&best, wanted, &Options::default()).unwrap();
    assert!(found.found.iter().all(|one| one.proved));
    found
}

fn units(plan: &Plan) -> Vec<u32> {
    let units = plan.units_by_name().into_iter();
    units.map(|(_, units)| units).collect()
}

fn kg(plan: &Plan) -> f64 {
    plan.answer().minimised_kg()
}

/// Nodes of the outpost whose counts are free, with the most units of each; the
/// others have the counts of its lightest plan.
const FREE: [(&str, u32); 5] = [
    ("methanator", 1),
    ("drum still", 1),
    ("membrane still", 2),
    ("brine dryer", 2),
    ("grey water filter", 1),
];

#[test]
fn alternatives_are_what_trying_every_combination_gives() {
    let lightest = planned(OUTPOST, &[]).unwrap();
    let mut fixed: Vec<String> = Vec::new();
    let mut free: Vec<String> = Vec::new();
    for (name, units) in lightest.units_by_name() {
        match FREE.iter().find(|(free, _)| *free == name) {
            Some((_, most)) => free.push(format!("nodes.{name}.count=UpTo({most})")),
            None => fixed.push(format!("nodes.{name}.count=Exactly({units})")),
        }
    }
    let mut combinations: Vec<Vec<String>> = vec![fixed.clone()];
    for (name, most) in FREE {
        combinations = combinations
            .into_iter()
            .flat_map(|before| {
                (0..=most).map(move |units| {
                    let mut settings = before.clone();
                    settings.push(format!("nodes.{name}.count=Exactly({units})"));
                    settings
                })
            })
            .collect();
    }
    assert_eq!(combinations.len(), 72);
    let mut tried: Vec<Plan> = combinations
        .iter()
        .filter_map(|settings| planned(OUTPOST, settings))
        .collect();
    tried.sort_by(|one, other| kg(one).total_cmp(&kg(other)));
    assert!(tried.len() > 20, "only {} have a balance", tried.len());

    let settings: Vec<String> = fixed.into_iter().chain(free).collect();
    let settings: Vec<&str> = settings.iter().map(String::as_str).collect();
    let all = found(OUTPOST, &settings, ALL);
    assert_eq!(all.ended, Ended::NoOther);
    assert_eq!(all.found.len(), tried.len());
    for (one, other) in all.found.iter().zip(&tried) {
        assert!((kg(&one.plan) - kg(other)).abs() < 1e-6);
    }
    let mut listed: Vec<Vec<u32>> = all.found.iter().map(|one| units(&one.plan)).collect();
    let mut wanted: Vec<Vec<u32>> = tried.iter().map(units).collect();
    listed.sort();
    wanted.sort();
    assert_eq!(listed, wanted, "each portfolio once");

    // Ten of them, and those within a margin, are the head of the same list.
    let ten = Wanted {
        most: Some(10),
        within: None,
    };
    let ten = found(OUTPOST, &settings, ten);
    assert_eq!((ten.found.len(), ten.ended), (10, Ended::Enough));
    let least = kg(&tried[0]);
    for margin in [Margin::Share(0.01), Margin::Kilograms(0.01 * least)] {
        let near = Wanted {
            most: None,
            within: Some(margin),
        };
        let near = found(OUTPOST, &settings, near);
        let wanted = tried.iter().filter(|plan| kg(plan) <= 1.01 * least);
        assert_eq!(near.found.len(), wanted.count(), "{margin:?}");
        assert_eq!(near.ended, Ended::OutsideMargin);
        assert_heads(&near, &all);
    }
    assert_heads(&ten, &all);
}

fn assert_heads(some: &Alternatives, all: &Alternatives) {
    for (one, other) in some.found.iter().zip(&all.found) {
        assert_eq!(units(&one.plan), units(&other.plan));
        assert!((one.heavier_kg - other.heavier_kg).abs() < 1e-6);
    }
}

/// Filter A alone and filter B alone weigh the same, and both together may not fly.
#[test]
fn equally_light_ones_come_by_their_counts_in_file_order() {
    let twins = found("tests/hand_worked/exclusives.ron", &TWINS, ALL);
    let listed: Vec<(Vec<u32>, f64)> = twins
        .found
        .iter()
        .map(|one| (units(&one.plan), one.heavier_kg))
        .collect();
    let wanted = [(vec![0, 1], 0.0), (vec![1, 0], 0.0), (vec![0, 0], 60.0)];
    assert_eq!(listed.len(), wanted.len());
    for ((units, heavier), (counts, kg)) in listed.iter().zip(&wanted) {
        assert_eq!(units, counts);
        assert!((heavier - kg).abs() < 1e-6, "{heavier}, not {kg}");
    }
}

#[test]
fn more_options_never_make_any_of_them_heavier() {
    let ten = Wanted {
        most: Some(10),
        within: None,
    };
    let more = found(OUTPOST, &[], ten);
    for fewer in [
        "nodes.methanator.count=Exactly(0)",
        "nodes.brine dryer.count=UpTo(1)",
        "nodes.condenser.count=Between(1,2)",
    ] {
        let fewer_options = found(OUTPOST, &[fewer], ten);
        for (one, other) in more.found.iter().zip(&fewer_options.found) {
            assert!(kg(&one.plan) <= kg(&other.plan) + 1e-6, "{fewer}");
        }
    }
}

#[test]
fn with_no_time_only_the_lightest_is_listed_and_others_may_be_missing() {
    let best = planned(OUTPOST, &[]).unwrap();
    let options = Options {
        time_limit: Some(Duration::ZERO),
        ..Options::default()
    };
    let ten = Wanted {
        most: Some(10),
        within: None,
    };
    let found = alternatives(&best, ten, &options).unwrap();
    assert_eq!(found.ended, Ended::Stopped);
    assert_eq!(found.found.len(), 1);
    assert!(found.found[0].proved);
}

#[test]
fn the_command_lists_them_in_every_format() {
    let words = ["alternatives", "tests/hand_worked/exclusives.ron"];
    let data = run(&[&words[..], &["--format", "json"]].concat());
    assert_eq!(data.code, 0, "{}", data.err);
    let data = data.json();
    let rows = data["alternatives"].as_array().unwrap();
    let heavier = |row: usize| rows[row]["heavier_kg"].as_f64().unwrap();
    assert_eq!(rows.len(), 3);
    assert!((heavier(1) - 40.0).abs() < 1e-6 && (heavier(2) - 100.0).abs() < 1e-6);
    assert_eq!(rows[1]["units"]["filter A"], 1);
    assert_eq!(rows[1]["units_that_differ"]["filter B"]["here"], 0);
    assert_eq!(rows[2]["proved"], true);
    for (format, wanted) in [
        ("text", "filter A 0 → 1, filter B 1 → 0"),
        ("markdown", "| filter B 1 → 0 |"),
        ("csv", "3,250,100,"),
    ] {
        let page = run(&[&words[..], &["--format", format]].concat());
        assert!(page.out.contains(wanted), "{format}: {}", page.out);
    }
    let near = run(&[&words[..], &["--within", "30 %"]].concat());
    assert!(near.out.contains("2 portfolios"), "{}", near.out);
    let wrong = run(&[&words[..], &["--within", "2"]].concat());
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("such as \"2 %\" or \"50 kg\""));
}
