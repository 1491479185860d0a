//! Designs without a balance: each states in its own comments what it must be
//! told, and what mends it.
//!
//! `// expect CODE at LINE:COLUMN` is a cause and its place, `// words:` and
//! `// amount:` are parts of what is said, `// mends: ADDRESS = VALUE` is a change
//! after which the design balances (several joined by ` & `), and `// still:` one
//! after which it does not.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;
#[allow(dead_code, reason = "other tests use the rest of it")]
#[path = "properties/dice.rs"]
mod dice;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::time::Duration;

use common::run;
use designs_read::{Reading, files, limits, name, path, read, text};
use dice::Dice;
use loopwright::diagnostic::{Sources, codes};
use loopwright::kinds::{Role, Way};
use loopwright::network::Network;
use loopwright::program::Form;
use loopwright::solve::{
    Backend, Conflict, NoBalance, Options, Outcome, What, explain, program_of, solve, solve_whole,
};
use loopwright::{Planned, plan};

fn designs() -> Vec<PathBuf> {
    files(&path("tests/no_balance"), ".ron")
}

fn open(file: &Path, settings: &[&str]) -> Reading {
    read(&name(file), &text(file), None, settings)
}

fn planned(reading: &Reading) -> Planned {
    match plan(reading.design(), &Default::default()) {
        Ok(planned) => planned,
        Err(refusal) => panic!("{refusal:?}"),
    }
}

fn why(reading: &Reading) -> NoBalance {
    match planned(reading) {
        Planned::NoBalance(why) => why,
        other => panic!("{}: {other:?}", reading.design().written.title),
    }
}

/// The values of the header lines `// KEY: VALUE` of a design.
fn stated(text: &str, key: &str) -> Vec<String> {
    let start = format!("// {key}");
    text.lines()
        .filter_map(|line| Some(line.strip_prefix(&start)?.trim().to_owned()))
        .collect()
}

fn place(why: &NoBalance, sources: &Sources, cause: usize) -> String {
    let (place, _) = why.causes[cause].diagnostic.primary.as_ref().unwrap();
    let (line, column) = sources.line_column(*place);
    format!("{line}:{column}")
}

#[test]
fn every_cause_is_told_with_its_code_place_and_amount() {
    let mut wrong = Vec::new();
    for file in designs() {
        let text = text(&file);
        let reading = open(&file, &[]);
        let why = why(&reading);
        let mut found: Vec<String> = (0..why.causes.len())
            .map(|cause| {
                let code = why.causes[cause].diagnostic.code;
                format!("{code} at {}", place(&why, &reading.sources, cause))
            })
            .collect();
        let mut wanted = stated(&text, "expect ");
        found.sort();
        wanted.sort();
        let said: Vec<&str> = why
            .causes
            .iter()
            .map(|cause| cause.diagnostic.headline.as_str())
            .collect();
        let said = said.join("\n");
        if found != wanted {
            wrong.push(format!(
                "{}: wanted {wanted:?}, found {found:?}\n{said}",
                name(&file)
            ));
        }
        let parts = [stated(&text, "words:"), stated(&text, "amount:")];
        assert!(parts.iter().all(|part| !part.is_empty()), "{}", name(&file));
        for part in parts.concat() {
            if !said.contains(&part) {
                wrong.push(format!("{}: no \"{part}\" in\n{said}", name(&file)));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_amounts_are_what_mends_the_design() {
    for file in designs() {
        let text = text(&file);
        let mends = stated(&text, "mends:");
        assert!(!mends.is_empty(), "{}: nothing mends it", name(&file));
        let changes = mends.iter().map(|change| (true, change));
        let still = stated(&text, "still:");
        for (is_mended, change) in changes.chain(still.iter().map(|change| (false, change))) {
            let settings: Vec<String> = change
                .split(" & ")
                .map(|one| one.replacen(" = ", "=", 1))
                .collect();
            let settings: Vec<&str> = settings.iter().map(String::as_str).collect();
            let planned = planned(&open(&file, &settings));
            let balances = matches!(planned, Planned::Plan(_));
            assert_eq!(balances, is_mended, "{}: {change}", name(&file));
        }
    }
}

/// Asked of a solver that had no part in finding the set: the whole program in
/// one piece, by the library; where a whole number has no bound, the search on
/// the library's simplex.
fn conflicts(network: &Network, form: Form, cause: &Conflict, without: Option<What>) -> bool {
    let program = program_of(network, form, cause, without);
    let bounded = program
        .columns
        .iter()
        .all(|column| !column.whole || column.upper.is_finite());
    let outcome = if bounded {
        solve_whole(&program, &Options::default())
    } else {
        let options = Options {
            backend: Backend::Library,
            ..Options::default()
        };
        solve(&program, None, None, &options)
    };
    match outcome {
        Ok(Outcome::Infeasible) => true,
        Ok(Outcome::Solved(_)) => false,
        other => panic!("{other:?}"),
    }
}

fn assert_smallest(network: &Network, why: &NoBalance) {
    for cause in &why.causes {
        let said = &cause.diagnostic.headline;
        assert!(!cause.statements.is_empty(), "{said}");
        assert!(
            conflicts(network, why.form, cause, None),
            "no conflict: {said}"
        );
        for statement in &cause.statements {
            assert!(
                !conflicts(network, why.form, cause, Some(statement.what)),
                "{said}\nconflicts without: {}",
                statement.words
            );
        }
    }
}

#[test]
fn reported_statements_conflict_and_no_longer_without_any_one_of_them() {
    for file in designs() {
        let reading = open(&file, &[]);
        assert_smallest(&reading.network(), &why(&reading));
    }
}

#[test]
fn sets_of_ready_designs_are_smallest_too() {
    for (design, setting) in [
        ("designs/ridge-outpost.ron", "limits.volume=1 m3"),
        ("designs/orbital-laboratory.ron", "limits.power=2 kW"),
        (
            "designs/orbital-laboratory.ron",
            "limits.crew_time=0.01 h/d",
        ),
        ("designs/long-transit.ron", "limits.volume=1 m3"),
    ] {
        let reading = open(&path(design), &[setting]);
        assert_smallest(&reading.network(), &why(&reading));
    }
}

/// Makes a design worse here and there: smaller units, fewer of them, tighter
/// limits, less waste taken away, smaller payloads.
fn worsen(network: &mut Network, dice: &mut Dice) {
    for node in network.graph.node_weights_mut() {
        let duties = &mut node.duties;
        if let Some(hardware) = &mut duties.hardware
            && let Some(capacity) = &mut hardware.capacity_kg_per_day
            && dice.below(4) == 0
        {
            dice.scale(capacity, 0.2, 0.9);
        }
        if duties.count.is_open() && dice.below(6) == 0 {
            duties.count.upper -= 1;
        }
        // All of a disposal's activities state the same limit.
        let less = match dice.below(3) {
            0 => dice.between(0.1, 0.9),
            _ => 1.0,
        };
        for activity in &mut duties.activities {
            if let Role::Leave(
                Way::Removed {
                    per_flight_kg: most,
                }
                | Way::Stowed {
                    limit_kg: Some(most),
                },
            ) = &mut activity.role
            {
                *most *= less;
            }
        }
    }
    for limit in limits(network) {
        if dice.below(3) == 0 {
            dice.scale(&mut limit.value, 0.1, 0.9);
        }
    }
    for flight in &mut network.calendar.flights {
        if let Some(payload) = &mut flight.payload_kg
            && dice.below(2) == 0
        {
            dice.scale(payload, 0.3, 0.9);
        }
    }
}

#[test]
fn what_is_said_of_designs_made_worse_at_random_holds() {
    let seeds = std::env::var("LOOPWRIGHT_SEEDS").ok();
    let seeds: u64 = seeds.map_or(6, |number| number.parse().expect("a number"));
    let mut explained = 0;
    let files = files(&path("tests/hand_worked"), ".ron").into_iter();
    for file in files.chain(common::READY.map(path)) {
        let network = designs_read::open(&file, None).network();
        // What has no balance to begin with is looked at elsewhere.
        if name(&file) == "no_balance.ron" {
            continue;
        }
        for seed in 1..=seeds {
            let mut network = network.clone();
            worsen(&mut network, &mut Dice::new(seed));
            match loopwright::plan_network(&network, &Default::default()) {
                Ok(Planned::NoBalance(why)) => {
                    explained += 1;
                    println!("{}, seed {seed}", name(&file));
                    assert_smallest(&network, &why);
                }
                Ok(Planned::Plan(_)) => {}
                other => panic!("{}, seed {seed}: {other:?}", name(&file)),
            }
        }
    }
    assert!(
        explained > 10,
        "only {explained} designs were without a balance"
    );
}

#[test]
fn slack_is_what_one_statement_gives_way_for_the_others() {
    let file = path("tests/no_balance/two_takers.ron");
    let why = why(&open(&file, &[]));
    for statement in &why.causes[0].statements {
        assert!((statement.slack - 1.5).abs() < 1e-9, "{statement:?}");
        assert_eq!(statement.unit, "kg/d");
        assert!(statement.place.is_some());
    }
}

/// Source: a standard algorithms textbook, flow chapter, first figure, second-hand;
/// see `tests/published/checks.ron`.
#[test]
fn the_textbook_flow_asked_for_24_names_exactly_its_published_cut() {
    let file = path("tests/published/designs/maximum-flow.ron");
    let reading = open(&file, &["nodes.use.takes.water at t=24 kg"]);
    let why = why(&reading);
    let [cause] = why.causes.as_slice() else {
        panic!("{why:?}");
    };
    let network = reading.network();
    let mut cut = BTreeSet::new();
    for statement in &cause.statements {
        match statement.what {
            What::Capacity { node, .. } => {
                cut.insert(network.name(node));
            }
            What::Need { node, .. } => assert_eq!(network.name(node), "use"),
            other => panic!("{other:?}"),
        }
        assert!((statement.slack - 1.0).abs() < 1e-9);
    }
    assert_eq!(cut, BTreeSet::from(["1 to 3", "4 to 3", "4 to t"]));
    assert_eq!(cause.diagnostic.code, codes::SHORTAGE);
    assert!(cause.diagnostic.headline.contains("gives at most 23 kg/d"));
}

#[test]
fn without_time_for_whole_numbers_the_cause_is_not_made_up() {
    let file = path("tests/no_balance/volume_of_two_sizes.ron");
    let reading = open(&file, &[]);
    let options = Options {
        time_limit: Some(Duration::ZERO),
        ..Options::default()
    };
    let form = why(&reading).form;
    let why = explain(&reading.network(), form, &options);
    let [cause] = why.causes.as_slice() else {
        panic!("{why:?}");
    };
    assert_eq!(cause.diagnostic.code, codes::CAUSE_UNTOLD);
    assert!(cause.statements.is_empty());
}

#[test]
fn there_are_twenty_designs_and_every_code_of_no_balance_has_one() {
    assert!(designs().len() >= 20);
    let mut covered: BTreeSet<String> = BTreeSet::new();
    for file in designs() {
        for line in stated(&text(&file), "expect ") {
            covered.extend(line.split(' ').next().map(str::to_owned));
        }
    }
    // No design can show what only a lack of time brings about.
    covered.insert(codes::CAUSE_UNTOLD.to_string());
    for (code, meaning) in codes::ALL {
        if code.0.starts_with("LW07") {
            assert!(covered.contains(code.0), "{code}: {meaning}");
        }
    }
}

#[test]
fn the_command_says_which_substance_has_nowhere_to_go_and_where() {
    let file = "tests/no_balance/surplus_in_a_tank.ron";
    let text = run(&["solve", file]);
    assert_eq!(text.code, 3, "{}", text.err);
    for words in [
        "\"potable water\" has nowhere to go at `water tank`",
        "0.475 kg/d",
        &format!("({file}:25:9)"),
    ] {
        assert!(
            text.out
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
                .contains(words),
            "no {words} in\n{}",
            text.out
        );
    }
    assert!(text.err.contains("error[LW0701]"), "{}", text.err);
    assert!(text.err.contains(&format!("{file}:25:9")), "{}", text.err);

    let json = run(&["solve", file, "--format", "json"]);
    assert_eq!(json.code, 3, "{}", json.err);
    let data = json.json();
    assert_eq!(data["status"], "infeasible");
    assert!(data.get("launch_mass_kg").is_none());
    assert_eq!(data["causes"][0]["code"], "LW0701");
    let first = &data["conflict"][0];
    assert_eq!(first["place"]["line"], 25);
    assert_eq!(first["slack"], 0.475);
    assert_eq!(first["unit"], "kg/d");
}

#[test]
fn the_same_design_is_told_the_same() {
    let file = path("tests/no_balance/two_causes.ron");
    assert_eq!(why(&open(&file, &[])), why(&open(&file, &[])));
}
