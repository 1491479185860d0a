//! Sweeps and break-evens: against closed forms, against solves one by one, and the
//! same bytes however the work is shared.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use approx::assert_relative_eq;
use common::run;
use serde_json::Value;

const RECYCLE: &str = "tests/published/designs/recycle-or-resupply.ron";

/// Masses of the published recovery unit and its yearly upkeep: 476 kg, 478 kg/yr, tank
/// 21.2 kg for 103 kg, after NASA/TM-1998-206956 vol. 1 and agency document 20230013555,
/// second-hand. With m kg/d replaced and tare t, days T:
///
/// resupply m (1 + t) T = recycle 476 + 478/365 T  at  T* = 476 / (m (1 + t) − 478/365).
fn closed_form_days(rate: f64, tare: f64) -> f64 {
    476.0 / (rate * (1.0 + tare) - 478.0 / 365.0)
}

fn break_even(file: &str, over: &str, more: &[&str]) -> Value {
    let mut words = vec!["break-even", file, "--over", over, "--format", "json"];
    words.extend(more);
    let run = run(&words);
    assert_eq!(run.code, 0, "{}", run.err);
    run.json()
}

#[test]
fn break_evens_fall_on_the_day_of_the_closed_form() {
    let tank = 21.2 / 103.0;
    // Rate, tare and the published days, computed once more by the formula above.
    for (rate, tare, published) in [
        (2.27, 0.0, 495.621),
        (2.27, 0.1, 400.872),
        (2.27, tank, 333.419),
        (13.62, 0.0, 38.666),
        (13.62, 0.1, 34.815),
        (13.62, tank, 31.494),
        (50.0, 0.0, 9.776),
        (50.0, 0.1, 8.866),
        (50.0, tank, 8.070),
    ] {
        let days = closed_form_days(rate, tare);
        assert_relative_eq!(days, published, epsilon = 6e-4);
        let (from, to) = ((days - 8.0).floor().max(1.0), (days + 8.0).floor());
        let settings = [
            format!("nodes.use.takes.potable water={rate} kg"),
            format!("nodes.water cargo.packaging={tare:.17}"),
        ];
        let found = break_even(
            RECYCLE,
            &format!("mission.length = {from} .. {to} d"),
            &["--set", &settings[0], "--set", &settings[1]],
        );
        let switches = found["switches"].as_array().unwrap();
        assert_eq!(switches.len(), 1, "{rate} kg/d, tare {tare}");
        let switch = &switches[0];
        assert_eq!(switch["last_before"].as_f64(), Some(days.floor()));
        assert_eq!(switch["first_after"].as_f64(), Some(days.floor() + 1.0));
        let resupply = |days: f64| rate * (1.0 + tare) * days;
        let recycle = |days: f64| 476.0 + 478.0 / 365.0 * days;
        let (last, first) = (days.floor(), days.floor() + 1.0);
        for (kg, expected) in [
            (&switch["kg_before"]["before"], resupply(last)),
            (&switch["kg_before"]["after"], recycle(last)),
            (&switch["kg_after"]["before"], resupply(first)),
            (&switch["kg_after"]["after"], recycle(first)),
        ] {
            assert_relative_eq!(kg.as_f64().unwrap(), expected, max_relative = 1e-9);
        }
        assert_eq!(
            found["baseline"]["lightest"],
            serde_json::json!([[from, last]])
        );
    }
}

/// The integer flip as published: 509.124 against 516.597 kg on day 31, 525.547 against
/// 517.907 kg on day 32.
#[test]
fn the_flip_between_day_31_and_32_has_its_four_masses() {
    let found = break_even(RECYCLE, "mission.length = 31, 32 d", &[]);
    let switch = &found["switches"][0];
    for (kg, published) in [
        (&switch["kg_before"]["before"], 509.124),
        (&switch["kg_before"]["after"], 516.597),
        (&switch["kg_after"]["before"], 525.547),
        (&switch["kg_after"]["after"], 517.907),
    ] {
        assert_relative_eq!(kg.as_f64().unwrap(), published, epsilon = 5e-4);
    }
}

/// Below 478/365 / (1 + tare) = 1.0861 kg/d recycling never pays, however long.
#[test]
fn below_its_upkeep_recycling_never_pays() {
    for (rate, switches) in [("1.086 kg", 0), ("1.13 kg", 1)] {
        let setting = format!("nodes.use.takes.potable water={rate}");
        let over = "mission.length = 100 .. 20000 by 100 d";
        let found = break_even(RECYCLE, over, &["--set", &setting]);
        assert_eq!(
            found["switches"].as_array().unwrap().len(),
            switches,
            "{rate}"
        );
    }
}

/// Every day of a stretch with several switches, against one solve a day of the design
/// with its last phase changed in the file's own terms.
#[test]
fn every_day_of_the_outpost_is_what_a_solve_of_that_day_says() {
    let file = "designs/ridge-outpost.ron";
    let found = break_even(file, "mission.length = 122 .. 135 d", &[]);
    let cells = found["cells"].as_array().unwrap();
    assert_eq!(cells.len(), 14);
    assert!(found["switches"].as_array().unwrap().len() >= 4, "{found}");
    let mut portfolios = Vec::new();
    for cell in cells {
        let days = cell["at"].as_f64().unwrap();
        let setting = format!("mission.phases.operations.length={} d", days - 45.0);
        let day = run(&["solve", file, "--set", &setting, "--format", "json"]).json();
        let kg = day["launch_mass_kg"].as_f64().unwrap();
        assert_relative_eq!(cell["kg"].as_f64().unwrap(), kg, max_relative = 2e-9);
        let baseline = [
            "solve",
            file,
            "--set",
            &setting,
            "--variant",
            "resupply only",
            "--format",
            "json",
        ];
        let resupply = run(&baseline).json()["launch_mass_kg"].as_f64().unwrap();
        assert_relative_eq!(
            cell["baseline"]["kg"].as_f64().unwrap(),
            resupply,
            max_relative = 2e-9
        );
        let name = cell["portfolio"].as_str().unwrap();
        let units = &found["portfolios"][name];
        assert_eq!(units, &units_of(&day), "day {days}");
        portfolios.push(name.to_owned());
    }
    let changes = portfolios.windows(2).filter(|pair| pair[0] != pair[1]);
    assert_eq!(changes.count(), found["switches"].as_array().unwrap().len());
}

fn units_of(solved: &Value) -> Value {
    let units = solved["units"].as_object().unwrap().iter();
    let flown = units.filter(|(_, units)| units.as_u64() != Some(0));
    Value::Object(
        flown
            .map(|(node, units)| (node.clone(), units.clone()))
            .collect(),
    )
}

const SWEEP: [&str; 4] = [
    "sweep",
    "designs/classroom.ron",
    "--over",
    "mission.length = 30 .. 360 by 30 d",
];

fn swept(more: &[&str]) -> common::Run {
    run(&[&SWEEP[..], more].concat())
}

#[test]
fn shares_put_together_and_resumed_are_the_unsplit_run_byte_for_byte() {
    let folder = tempfile::tempdir().unwrap();
    let file = |share: usize| folder.path().join(format!("{share}.cells"));
    let text = |path: &Path| path.to_str().unwrap().to_owned();
    for format in ["text", "json", "csv", "markdown"] {
        let one = swept(&["--format", format, "--threads", "1"]);
        let two = swept(&["--format", format, "--threads", "2"]);
        assert_eq!((one.code, &one.out), (0, &two.out));
    }
    for share in 1..=5 {
        let name = format!("{share}/5");
        let run = swept(&["--shard", &name, "--resume", &text(&file(share))]);
        assert_eq!(run.code, 0, "{}", run.err);
    }
    // One share was killed in the middle of a line, and goes on.
    let whole = fs::read(file(3)).unwrap();
    fs::write(file(3), &whole[..whole.len() - 7]).unwrap();
    let files: Vec<String> = (1..=5).map(|share| text(&file(share))).collect();
    let merge: Vec<&str> = ["--format", "json", "--merge"]
        .into_iter()
        .chain(files.iter().map(String::as_str))
        .collect();
    let short = swept(&merge);
    assert_eq!(
        (short.code, short.out.contains("LW0804")),
        (2, true),
        "{}",
        short.out
    );
    swept(&["--shard", "3/5", "--resume", &files[2]]);
    assert_eq!(fs::read(file(3)).unwrap(), whole);
    assert_eq!(swept(&merge).out, swept(&["--format", "json"]).out);
    // Cells of another study are none of this one.
    let other = run(&[
        "sweep",
        "designs/classroom.ron",
        "--over",
        "mission.length = 30 .. 360 by 10 d",
        "--resume",
        &files[0],
    ]);
    assert_eq!(
        (other.code, other.err.contains("LW0804")),
        (2, true),
        "{}",
        other.err
    );
}

/// Many cells are planned in turn, each beside the one before; shares, threads and a
/// stop in the middle of a turn change no byte.
#[test]
fn cells_in_turn_are_the_same_bytes_however_they_are_shared_out() {
    let folder = tempfile::tempdir().unwrap();
    let over = "mission.length = 30 .. 542 by 1 d";
    let swept = |more: &[&str]| {
        let question = ["sweep", "designs/classroom.ron", "--over", over];
        let run = run(&[&question[..], more].concat());
        assert_eq!(run.code, 0, "{}", run.err);
        run.out
    };
    let whole = swept(&["--format", "json", "--threads", "1"]);
    assert!(whole == swept(&["--format", "json", "--threads", "2"]));
    let files: Vec<String> = (1..=3)
        .map(|share| format!("{}/{share}.cells", folder.path().display()))
        .collect();
    for (share, file) in (1..=3).zip(&files) {
        swept(&["--shard", &format!("{share}/3"), "--resume", file]);
    }
    // Turns are of four cells; with a heading, 42 lines end in the middle of one.
    let kept = fs::read_to_string(&files[1]).unwrap();
    let some: Vec<&str> = kept.lines().take(42).collect();
    fs::write(&files[1], some.join("\n") + "\n").unwrap();
    swept(&["--shard", "2/3", "--resume", &files[1]]);
    let again = fs::read_to_string(&files[1]).unwrap();
    let sorted = |text: &str| -> BTreeSet<String> { text.lines().map(str::to_owned).collect() };
    assert_eq!(sorted(&again), sorted(&kept));
    assert_eq!(again.lines().count(), kept.lines().count());
    let merge = [
        &["--format", "json", "--merge"],
        &files.iter().map(String::as_str).collect::<Vec<_>>()[..],
    ]
    .concat();
    assert!(whole == swept(&merge));
}

/// A yield that does not sum to one is not allowed, and a condenser too small has no
/// balance: both cells show why, in every format.
#[test]
fn cells_without_a_plan_are_shown_with_their_reasons() {
    for format in ["text", "json", "csv", "markdown"] {
        let rinse = run(&[
            "sweep",
            "designs/classroom.ron",
            "--over",
            "nodes.filter.turns.condensate.rinse = 0.03, 0.5",
            "--format",
            format,
        ]);
        assert_eq!(rinse.code, 0, "{}", rinse.err);
        assert!(rinse.out.contains("not allowed"), "{}", rinse.out);
        assert!(rinse.out.contains("sum to 1.47"), "{}", rinse.out);
        let small = run(&[
            "sweep",
            "designs/classroom.ron",
            "--over",
            "nodes.condenser.unit.capacity = 1, 7 kg/d",
            "--format",
            format,
        ]);
        assert_eq!(small.code, 0, "{}", small.err);
        assert!(small.out.contains("no balance"), "{}", small.out);
    }
}

/// With two numbers every combination is a cell, and each is a solve by itself.
#[test]
fn a_map_has_a_cell_for_every_combination() {
    let found = run(&[
        "sweep",
        "designs/classroom.ron",
        "--over",
        "mission.length = 30, 90 d",
        "--over",
        "mission.phases.stay.crew = 1, 2",
        "--format",
        "json",
    ])
    .json();
    let cells = found["cells"].as_array().unwrap();
    assert_eq!(cells.len(), 4);
    for cell in cells {
        let [days, crew] = [0, 1].map(|index| cell["at"][index].as_f64().unwrap());
        let settings = [
            format!("mission.phases.stay.length={days} d"),
            format!("mission.phases.stay.crew={crew}"),
        ];
        let [length, crew] = &settings;
        let file = "designs/classroom.ron";
        let words = [
            "solve", file, "--set", length, "--set", crew, "--format", "json",
        ];
        let day = run(&words).json();
        let kg = day["launch_mass_kg"].as_f64().unwrap();
        assert_relative_eq!(cell["kg"].as_f64().unwrap(), kg, max_relative = 2e-9);
    }
}

/// A study named in the design says what its command says.
#[test]
fn a_study_of_the_design_is_its_command() {
    let file = "designs/long-transit.ron";
    let listed = run(&["study", file]);
    assert_eq!(listed.code, 0, "{}", listed.err);
    assert!(
        listed.out.lines().any(|line| line == "longer transit"),
        "{}",
        listed.out
    );
    let named = run(&["study", file, "longer transit", "--format", "json"]);
    let over = "mission.length = 200 .. 240 by 10 d";
    let stated = run(&["break-even", file, "--over", over, "--format", "json"]);
    assert_eq!((named.code, named.out), (0, stated.out));
    let outpost = "designs/ridge-outpost.ron";
    let less_power = ["frontier", outpost, "--against", "power"];
    let six = ["alternatives", outpost, "--number", "6"];
    let draws = ["uncertainty", outpost, "--draws", "256"];
    for (name, command) in [
        ("less power", &less_power[..]),
        ("the next best", &six),
        ("how sure are we", &draws),
    ] {
        let named = run(&["study", outpost, name, "--format", "json"]);
        let stated = run(&[command, &["--format", "json"]].concat());
        assert_eq!((named.code, named.out), (0, stated.out), "{name}");
    }
    let kept = run(&["study", outpost, "less power", "--resume", "cells"]);
    assert_eq!(kept.code, 2);
    assert!(kept.err.contains("no cells to keep"), "{}", kept.err);
    let wrong = run(&["study", file, "longer transot"]);
    assert_eq!(wrong.code, 2);
    assert!(
        wrong.err.contains("did you mean \"longer transit\"?"),
        "{}",
        wrong.err
    );
}

/// Variants side by side and a cadence are single solves next to each other.
#[test]
fn variants_and_cadences_are_solves_side_by_side() {
    let file = "designs/ridge-outpost.ron";
    let found = run(&["compare", file, "--format", "json"]).json();
    for variant in found["variants"].as_array().unwrap() {
        let mut words = vec!["solve", file, "--format", "json"];
        if let Some(name) = variant["variant"].as_str() {
            words.extend(["--variant", name]);
        }
        let solved = run(&words).json();
        assert_eq!(variant["launch_mass_kg"], solved["launch_mass_kg"]);
        assert_eq!(variant["units"], solved["units"]);
        assert_eq!(variant["by_category"], solved["by_category"]);
    }
    let every = "120, 365 d";
    let found = run(&["cadence", file, "--every", every, "--format", "json"]).json();
    for (cadence, days) in found["cadences"]
        .as_array()
        .unwrap()
        .iter()
        .zip(["120", "365"])
    {
        let setting = format!("mission.resupply.every={days} d");
        let solved = run(&["solve", file, "--set", &setting, "--format", "json"]).json();
        assert_eq!(cadence["kg"], solved["launch_mass_kg"]);
        let by = |name: &str| solved["by_category"][name].as_f64().unwrap();
        for (stated, mass) in [
            ("tanks_kg", by("tanks")),
            ("reserves_kg", by("reserves")),
            ("cargo_and_packaging_kg", by("cargo") + by("packaging")),
        ] {
            assert_relative_eq!(cadence[stated].as_f64().unwrap(), mass, max_relative = 1e-9);
        }
        let flights = solved["by_flight"].as_array().unwrap();
        let carried: Vec<&Value> = flights.iter().map(|flight| &flight["kg"]).collect();
        let stated: Vec<&Value> = cadence["carried_kg"].as_array().unwrap().iter().collect();
        assert_eq!(stated.len(), carried.len());
        for (stated, carried) in stated.iter().zip(carried) {
            assert_relative_eq!(
                stated.as_f64().unwrap(),
                carried.as_f64().unwrap(),
                max_relative = 1e-9
            );
        }
    }
}

/// A mission of two phases, three flights and a filter that starts in the second one,
/// cut and stretched: each is the design that a person would write for that length.
#[test]
fn a_mission_cut_or_stretched_is_the_one_written_so() {
    let design = |phases: &str, flights: &str, later: bool, equivalents: &str| {
        let (node, ways) = match later {
            true => (
                r#""filter": Processor(turns: {"grey water": {"potable water": 1.0}},
                    unit: Unit(mass: "30 kg", capacity: "5 kg/d"), count: UpTo(1), from: "home"),"#,
                r#""potable water": [[["water", "filter"], ["washing", "outing"]]],
                   "grey water": [["washing", ["filter", "overboard"]]],"#,
            ),
            false => (
                "",
                r#""potable water": [["water", ["washing", "outing"]]],
                   "grey water": [["washing", "overboard"]],"#,
            ),
        };
        format!(
            r#"Design(format: 1, title: "cut", mission: Mission(phases: [{phases}], flights: [{flights}]),
            substances: {{"lost": Opaque}},
            nodes: {{
                "washing": Consumer(takes: {{"potable water": "4 kg"}}, per: Person, gives: {{"grey water": 1.0}}),
                "outing": Consumer(takes: {{"potable water": "1 kg"}}, per: Occasion("walk"), gives: {{"lost": 1.0}}),
                {node}
                "water": Cargo(gives: "potable water", packaging: 0.2),
                "overboard": Disposal(way: Overboard),
            }},
            streams: {{{ways} "lost": [["outing", "overboard"]]}}, equivalents: Equivalents(volume: "1 kg/m³", phases: {{{equivalents}}}))"#
        )
    };
    let out = |days: u32| {
        format!(
            r#"Phase(name: "out", length: "{days} d", crew: 1, occasions: {{"walk": "0 /d"}}),"#
        )
    };
    let home = |days: u32| {
        format!(
            r#"Phase(name: "home", length: "{days} d", crew: 2, occasions: {{"walk": "1 /wk"}}),"#
        )
    };
    let flight = |day: u32| format!(r#"Flight(day: "{day} d", gear_ratio: 1.{day}),"#);
    let both = r#""home": PhaseEquivalents(power: "9 kg/kW")"#;
    // The first phase as written knows no walk: cut there, nobody walks.
    let whole = design(
        &format!(
            r#"Phase(name: "out", length: "20 d", crew: 1), {}"#,
            home(30)
        ),
        &[10, 20, 40].map(flight).concat(),
        true,
        both,
    );
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let found = run(&[
        "sweep",
        &write("whole.ron", &whole),
        "--over",
        "mission.length = 8, 20, 35, 50, 80 d",
        "--format",
        "json",
    ]);
    assert_eq!(found.code, 0, "{}", found.err);
    let found = found.json();
    let written = [
        design(&out(8), "", false, ""),
        design(&out(20), &flight(10), false, ""),
        design(
            &(out(20) + &home(15)),
            &[10, 20].map(flight).concat(),
            true,
            both,
        ),
        design(
            &(out(20) + &home(30)),
            &[10, 20, 40].map(flight).concat(),
            true,
            both,
        ),
        design(
            &(out(20) + &home(60)),
            &[10, 20, 40].map(flight).concat(),
            true,
            both,
        ),
    ];
    for (cell, text) in found["cells"].as_array().unwrap().iter().zip(&written) {
        let solved = run(&["solve", &write("written.ron", text), "--format", "json"]);
        assert_eq!(solved.code, 0, "{}\n{text}", solved.err);
        let kg = solved.json()["equivalent_system_mass_kg"].as_f64().unwrap();
        assert_relative_eq!(cell["kg"].as_f64().unwrap(), kg, max_relative = 2e-9);
    }
    // By hand: one person washes 8 days with 4 kg, packed in a fifth.
    assert_relative_eq!(
        found["cells"][0]["kg"].as_f64().unwrap(),
        8.0 * 4.0 * 1.2,
        max_relative = 1e-9
    );
}
