//! Every ready design, solved by this tool and by a general-purpose solver that
//! is fed with the exported program: the optima must agree.
//!
//! The solver is HiGHS through its Python wheel `highspy`. Where it is absent
//! the tests say that they were skipped; with LOOPWRIGHT_SECOND_SOLVER=required
//! (as `.ci/run` sets) they fail instead.
#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

use libtest_mimic::{Arguments, Failed, Trial};
use serde_json::Value;

/// The optima may differ by this share of the mass.
const AGREES: f64 = 1e-6;

fn main() -> ExitCode {
    let arguments = Arguments::from_args();
    let required = std::env::var("LOOPWRIGHT_SECOND_SOLVER").is_ok_and(|word| word == "required");
    let python = match find_python() {
        Ok(python) => Some(python),
        Err(reason) => {
            eprintln!("second solver skipped: {reason}");
            None
        }
    };
    let designs = ready_designs().into_iter();
    let trials = designs.map(|design| match missing(&design) {
        Some(missing) => {
            let name = format!("{} waits for {missing}", design.display());
            Trial::test(name, move || unproved(&design))
        }
        None => {
            let name = format!("second solver agrees on {}", design.display());
            let skipped = python.is_none() && !required;
            let python = python.clone();
            let trial = Trial::test(name, move || agree(python.as_deref(), &design));
            match skipped {
                true => trial.with_kind("skipped").with_ignored_flag(true),
                false => trial,
            }
        }
    });
    let trials = trials.collect();
    libtest_mimic::run(&arguments, trials).exit_code()
}

/// Designs whose optimum is not proved within [`PATIENCE`] yet, and why. One that
/// is proved must be struck from this list.
const NOT_YET: [(&str, &str); 2] = [
    ("designs/growing-base.ron", "a search over payloads"),
    ("designs/linked-modules.ron", "a search over payloads"),
];

/// How long a ready design may take.
const PATIENCE: &str = "5 s";

/// Designs that ship with the tool; a catalogue of units is none.
fn ready_designs() -> Vec<PathBuf> {
    let mut designs: Vec<PathBuf> = std::fs::read_dir("designs")
        .expect("designs/ is there")
        .map(|entry| entry.expect("an entry of designs/").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "ron"))
        .filter(|path| {
            let text = std::fs::read_to_string(path).expect("a design is text");
            text.lines().any(|line| line.starts_with("Design("))
        })
        .collect();
    designs.sort();
    assert!(!designs.is_empty(), "designs/ has no design");
    designs
}

/// A Python that has the solver.
fn find_python() -> Result<PathBuf, String> {
    let candidates = ["target/second-solver/bin/python", "python3"];
    for candidate in candidates {
        let asked = Command::new(candidate)
            .arg("tests/second_solver.py")
            .output();
        if asked.is_ok_and(|answer| answer.status.success()) {
            return Ok(PathBuf::from(candidate));
        }
    }
    Err("no Python with the wheel `highspy`; .ci/run installs one".to_owned())
}

fn missing(design: &Path) -> Option<&'static str> {
    let mut waiting = NOT_YET.into_iter();
    waiting.find_map(|(name, missing)| (design == Path::new(name)).then_some(missing))
}

fn unproved(design: &Path) -> Result<(), Failed> {
    let solve = Command::new(env!("CARGO_BIN_EXE_loopwright"))
        .arg("solve")
        .arg(design)
        .args(["--time-limit", PATIENCE])
        .output()?;
    match solve.status.code() {
        Some(1 | 4) => Ok(()),
        Some(0) => Err("it is proved now: strike it from NOT_YET".into()),
        code => Err(format!("exit code {code:?}").into()),
    }
}

fn agree(python: Option<&Path>, design: &Path) -> Result<(), Failed> {
    let python = python.ok_or("the second solver is required, but absent")?;
    let ours = output(
        Command::new(env!("CARGO_BIN_EXE_loopwright"))
            .arg("solve")
            .arg(design)
            .args(["--format", "json"]),
    )?;
    let ours: Value = serde_json::from_str(&ours)?;
    let directory = tempfile::tempdir()?;
    let program = directory.path().join("program.mps");
    output(
        Command::new(env!("CARGO_BIN_EXE_loopwright"))
            .arg("export")
            .arg(design)
            .args(["--to", "mps", "--output"])
            .arg(&program),
    )?;
    let theirs = output(
        Command::new(python)
            .arg("tests/second_solver.py")
            .arg(&program),
    )?;
    // The solver prints a banner of its own before or after.
    let theirs = theirs.lines().find(|line| line.starts_with('{'));
    let theirs: Value = serde_json::from_str(theirs.unwrap_or(""))?;
    if ours["status"] != "optimal" || theirs["status"] != "Optimal" {
        return Err(format!("statuses: {} and {}", ours["status"], theirs["status"]).into());
    }
    let (Some(ours), Some(theirs)) = (
        // With equivalents, their sum with launch mass is what is minimised.
        ours.get("equivalent_system_mass_kg")
            .unwrap_or(&ours["launch_mass_kg"])
            .as_f64(),
        theirs["objective"].as_f64(),
    ) else {
        return Err("a mass is missing".into());
    };
    if (ours - theirs).abs() > AGREES * ours.abs().max(1.0) {
        return Err(format!("{ours} kg here, {theirs} kg by the second solver").into());
    }
    Ok(())
}

/// What a command prints, if it succeeds.
fn output(command: &mut Command) -> Result<String, Failed> {
    let answer = command.output()?;
    if !answer.status.success() {
        let words = String::from_utf8_lossy(&answer.stderr);
        return Err(format!("{command:?} ended with {}: {words}", answer.status).into());
    }
    Ok(String::from_utf8(answer.stdout)?)
}
