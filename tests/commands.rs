//! The command line: exit codes, mistakes, standard input, output files, pipes.
#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;

use std::fs;
use std::process::Stdio;

use common::{CLASSROOM, command, new_file, run, run_with, shell_words};

const FIVE: &str = "tests/mistakes/five.ron";

/// The mistakes of [`FIVE`]: code, line, column, what the headline names.
const MISTAKES: [(&str, u64, u64, &str); 5] = [
    ("LW0103", 8, 28, "profil"),
    ("LW0301", 10, 23, "Condensor"),
    ("LW0201", 13, 30, "nodes.filter.unit.mass"),
    ("LW0202", 15, 83, "kgs"),
    ("LW0108", 18, 39, "Overbord"),
];

#[test]
fn five_mistakes_in_five_nodes_give_five_messages_and_nothing_is_written() {
    for name in ["solve", "check", "export"] {
        let (directory, path) = new_file("answer");
        let output = path.to_str().expect("a plain path");
        let mut words = vec![name, FIVE, "--output", output];
        if name == "export" {
            words.extend(["--to", "mps"]);
        }
        let run = run(&words);
        assert_eq!(run.code, 2, "{name}");
        assert_eq!(run.out, "", "{name}");
        assert_eq!(run.err.matches("error[").count(), 5, "{name}: {}", run.err);
        for (code, line, column, words) in MISTAKES {
            assert!(
                run.err.contains(&format!("error[{code}]")),
                "{name}: {code}"
            );
            let place = format!("{FIVE}:{line}:{column}");
            assert!(run.err.contains(&place), "{name} lacks {place}");
            assert!(run.err.contains(words), "{name} lacks {words}");
        }
        let left = fs::read_dir(directory.path()).expect("the directory");
        assert_eq!(left.count(), 0, "{name} wrote something");
    }
}

#[test]
fn as_json_the_mistakes_are_on_standard_output_and_no_file_is_touched() {
    for name in ["solve", "check"] {
        let (_directory, path) = new_file("answer.json");
        fs::write(&path, "before").expect("a file");
        let output = path.to_str().expect("a plain path");
        let run = run(&[name, FIVE, "--format", "json", "--output", output]);
        assert_eq!((run.code, run.err.as_str()), (2, ""), "{name}");
        let data = run.json();
        assert_eq!(data["status"], "bad input");
        let complaints = data["diagnostics"].as_array().expect("a list");
        let found: Vec<_> = complaints
            .iter()
            .map(|complaint| {
                let place = &complaint["place"];
                (
                    complaint["code"].as_str().unwrap_or(""),
                    place["line"].as_u64().unwrap_or(0),
                    place["column"].as_u64().unwrap_or(0),
                )
            })
            .collect();
        let wanted = MISTAKES.map(|(code, line, column, _)| (code, line, column));
        assert_eq!(found, wanted, "{name}");
        assert_eq!(fs::read_to_string(&path).expect("a file"), "before");
    }
}

#[test]
fn a_sound_design_checks_and_solves() {
    let run = run(&["check", CLASSROOM]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    assert!(
        run.out.starts_with("Classroom loop: no errors."),
        "{}",
        run.out
    );
    let data = common::run(&["check", CLASSROOM, "--format", "json"]).json();
    assert_eq!(data["status"], "sound");
    assert_eq!(data["nodes"], 8);
}

#[test]
fn what_cannot_be_read_is_bad_input() {
    for words in [
        &["solve", "no/such/design.ron"][..],
        &["solve", "designs"],
        &["solve", "tests/commands.rs"],
        &["solve", CLASSROOM, "--set", "nodes.filtre.unit.mass=1 kg"],
        &["solve", CLASSROOM, "--set", "nodes.filter.unit.mass"],
        &["solve", CLASSROOM, "--variant", "none such"],
        &["solve", CLASSROOM, "--gap", "-1"],
        &["solve", CLASSROOM, "--time-limit", "30"],
        &["solve", CLASSROOM, "--format", "xml"],
        &["solve"],
        &["solv", CLASSROOM],
        &["export", CLASSROOM],
    ] {
        let run = run(words);
        assert_eq!(run.code, 2, "{words:?}: {}", run.err);
        assert_eq!(run.out, "", "{words:?}");
        assert!(run.err.contains("error"), "{words:?}: {}", run.err);
    }
}

#[test]
fn an_output_that_cannot_be_written_is_said_before_the_work() {
    let run = run(&["solve", CLASSROOM, "--output", "no/such/answer.txt"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("LW0802"), "{}", run.err);
}

#[test]
fn a_design_without_balance_has_an_exit_code_of_its_own_and_no_mass() {
    // The condenser and two filters draw more than all the power there is.
    let set = [
        "--set",
        "nodes.filter.count=Exactly(2)",
        "--set",
        "limits.power=300 W",
    ];
    let text = fs::read_to_string(CLASSROOM).expect("the design").replace(
        "    streams: {",
        "    limits: Limits(power: \"900 W\"),\n    streams: {",
    );
    let words = [&["solve", "-"][..], &set[..]].concat();
    let told = run_with(&words, &text);
    assert_eq!(told.code, 3, "{}{}", told.out, told.err);
    assert!(told.out.starts_with("No balance"), "{}", told.out);
    let data = run_with(&[&words[..], &["--format", "json"]].concat(), &text);
    assert_eq!(data.code, 3);
    let data = data.json();
    assert_eq!(data["status"], "infeasible");
    assert!(data["conflict"].is_array());
    assert!(data.get("launch_mass_kg").is_none());
}

#[test]
fn a_search_that_is_stopped_says_so_in_the_first_line_and_the_exit_code() {
    let words = [
        "solve",
        "designs/ridge-outpost.ron",
        "--time-limit",
        "0.000001 s",
    ];
    let told = run(&words);
    assert_eq!(told.code, 4, "{}", told.out);
    assert!(
        told.out.starts_with("Stopped with nothing found"),
        "{}",
        told.out
    );
    let data = run(&[&words[..], &["--format", "json"]].concat());
    assert_eq!(data.code, 4);
    assert_eq!(data.json()["status"], "unknown");
    assert!(data.json().get("launch_mass_kg").is_none());
}

#[test]
fn whatever_the_time_limit_status_first_line_and_exit_code_agree() {
    for limit in ["0.002 s", "0.02 s", "0.06 s", "0.1 s", "1 min"] {
        let words = ["solve", "designs/ridge-outpost.ron", "--time-limit", limit];
        let told = run(&words);
        let first = told.out.lines().next().unwrap_or("");
        let wanted = match told.code {
            0 => "Optimal: ",
            1 => "Not proved optimal: ",
            4 => "Stopped with nothing found: ",
            other => panic!("{limit}: exit code {other}: {}", told.err),
        };
        assert!(first.starts_with(wanted), "{limit}: {}: {first}", told.code);
    }
}

/// However early a search is stopped, what is printed holds. The optimum of two
/// linked modules, 8 621.513 535 598 kg, was computed with HiGHS 1.16 from the
/// exported program, relative gap 1e-9.
#[test]
fn a_search_that_is_stopped_gives_its_best_answer_and_a_bound_that_holds() {
    let optimum = 8_621.513_535_598;
    for limit in ["0.001 s", "0.05 s", "0.3 s", "1 s"] {
        let design = "designs/linked-modules.ron";
        let told = run(&["solve", design, "--time-limit", limit, "--format", "json"]);
        let answer = told.json();
        if let Some(bound) = answer["solver"]["bound_kg"].as_f64() {
            assert!(bound <= optimum * (1.0 + 1e-9), "{limit}: {bound}");
        }
        let status = answer["status"].as_str();
        match answer["launch_mass_kg"].as_f64() {
            Some(mass) => {
                assert!(mass >= optimum * (1.0 - 1e-9), "{limit}: {mass}");
                let wanted = if told.code == 0 {
                    "optimal"
                } else {
                    "feasible"
                };
                assert_eq!(status, Some(wanted));
            }
            None => assert_eq!((status, told.code), (Some("unknown"), 4)),
        }
    }
}

#[test]
fn a_wide_gap_is_said_beside_optimal() {
    let told = run(&["solve", "designs/ridge-outpost.ron", "--gap", "0.2"]);
    assert_eq!(told.code, 0);
    assert!(told.out.starts_with("Optimal"), "{}", told.out);
    let words = [
        "solve",
        "designs/ridge-outpost.ron",
        "--gap",
        "0.2",
        "--format",
        "json",
    ];
    let data = run(&words).json();
    let gap = data["solver"]["gap"].as_f64().expect("a gap");
    assert!(gap <= 0.2);
    assert_eq!(gap > 1e-6, told.out.starts_with("Optimal within"), "{gap}");
}

#[test]
fn standard_input_is_a_design_too() {
    let text = fs::read_to_string(CLASSROOM).expect("the design");
    let piped = run_with(&["solve", "-"], &text);
    let named = run(&["solve", CLASSROOM]);
    assert_eq!((piped.code, piped.out), (0, named.out));
    let broken = run_with(&["check", "-"], &text.replace("Cabin", "Cabbin"));
    assert_eq!(broken.code, 2);
    assert!(
        broken.err.contains("standard input:12:23"),
        "{}",
        broken.err
    );
}

#[test]
fn an_output_file_holds_what_would_have_been_printed() {
    for words in [
        &["solve", CLASSROOM][..],
        &["solve", CLASSROOM, "--format", "json"],
        &["solve", CLASSROOM, "--format", "markdown"],
        &["solve", CLASSROOM, "--format", "csv"],
        &["check", CLASSROOM],
        &["export", CLASSROOM, "--to", "lp"],
        &["export", CLASSROOM, "--to", "mps"],
    ] {
        let (_directory, path) = new_file("out");
        let output = path.to_str().expect("a plain path");
        let told = run(&[words, &["--output", output, "--colour", "always"]].concat());
        assert_eq!((told.code, told.out.as_str()), (0, ""), "{words:?}");
        let written = fs::read_to_string(&path).expect("the output");
        assert_eq!(written, run(words).out, "{words:?}");
    }
}

#[test]
fn colour_is_only_for_terminals_unless_asked_for() {
    let escape = '\u{1b}';
    assert!(!run(&["solve", CLASSROOM]).out.contains(escape));
    assert!(
        run(&["solve", CLASSROOM, "--colour", "always"])
            .out
            .contains(escape)
    );
    assert!(!run(&["solve", FIVE]).err.contains(escape));
    assert!(
        run(&["solve", FIVE, "--colour", "always"])
            .err
            .contains(escape)
    );
    // JSON has no colour at all.
    let json = ["solve", CLASSROOM, "--colour", "always", "--format", "json"];
    assert!(!run(&json).out.contains(escape));
}

#[cfg(unix)]
#[test]
fn a_reader_that_goes_away_is_no_failure() {
    for words in [
        &["solve", "designs/long-transit.ron"][..],
        &["export", "designs/long-transit.ron", "--to", "mps"],
        &["solve", "--help"],
    ] {
        let mut child = command()
            .args(words)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the command starts");
        drop(child.stdout.take());
        let done = child.wait_with_output().expect("the command ends");
        let complaint = String::from_utf8_lossy(&done.stderr);
        assert!(
            done.status.success(),
            "{words:?}: {}: {complaint}",
            done.status
        );
        assert_eq!(complaint, "", "{words:?}");
    }
}

#[test]
fn help_shows_examples_that_work_and_every_exit_code() {
    for name in ["solve", "check", "export", "explain", "kinds"] {
        let help = run(&[name, "--help"]);
        assert_eq!(help.code, 0);
        let examples = help.out.lines().filter_map(|line| {
            let line = line.trim().strip_prefix("loopwright ")?;
            // Redirections are the shell's, output files are not ours to leave.
            (!line.contains('<') && !line.contains("--output")).then_some(line)
        });
        let mut tried = 0;
        for example in examples {
            let words = shell_words(example);
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            let run = run(&words);
            assert_eq!(run.code, 0, "{example}: {}", run.err);
            tried += 1;
        }
        assert!(tried > 0, "{name} has no example");
    }
}
