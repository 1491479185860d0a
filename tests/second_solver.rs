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

mod common;
#[path = "second_solver/mod.rs"]
mod referee;

use std::path::Path;
use std::process::{Command, ExitCode};

use common::{output, ready_designs};
use libtest_mimic::{Arguments, Failed, Trial};
use referee::{Referee, Verdict, find_python, is_required, script};
use serde_json::Value;

/// The optima may differ by this share of the mass.
const AGREES: f64 = 1e-6;

/// The ridge outpost's mission and the first phase of it, d.
const LENGTH: f64 = 730.0;
const SHAKEDOWN: f64 = 45.0;

fn main() -> ExitCode {
    let arguments = Arguments::from_args();
    let required = is_required();
    let python = match find_python() {
        Ok(python) => Some(python),
        Err(reason) => {
            eprintln!("second solver skipped: {reason}");
            None
        }
    };
    let designs = ready_designs().into_iter();
    let mut trials: Vec<Trial> = designs
        .map(|design| {
            let name = format!("second solver agrees on {}", design.display());
            let python = python.clone();
            Trial::test(name, move || agree(python.as_deref(), &design))
        })
        .collect();
    for days in [LENGTH, 152.5, 365.25, 1100.0] {
        let name = format!("a script for the ridge outpost agrees at {days} d");
        let python = python.clone();
        trials.push(Trial::test(name, move || {
            agree_with_script(python.as_deref(), days)
        }));
    }
    if python.is_none() && !required {
        let skip = |trial: Trial| trial.with_kind("skipped").with_ignored_flag(true);
        trials = trials.into_iter().map(skip).collect();
    }
    libtest_mimic::run(&arguments, trials).exit_code()
}

/// The program that `tests/benches/outpost.py` writes by itself, for other lengths of the
/// mission too.
fn agree_with_script(python: Option<&Path>, days: f64) -> Result<(), Failed> {
    let python = python.ok_or("the second solver is required, but absent")?;
    let ours = output(
        Command::new(env!("CARGO_BIN_EXE_loopwright"))
            .args([
                "solve",
                "designs/ridge-outpost.ron",
                "--format",
                "json",
                "--set",
            ])
            .arg(format!(
                "mission.phases.operations.length={} d",
                days - SHAKEDOWN
            )),
    )?;
    let ours: Value = serde_json::from_str(&ours)?;
    let kg = ours["launch_mass_kg"].as_f64().ok_or("no launch mass")?;
    let lines = script(python, &["--length", &days.to_string()])?;
    match lines.as_slice() {
        [line] if line.len() == 1 && (line[0] - kg).abs() <= AGREES * kg => Ok(()),
        _ => Err(format!("{kg} kg here, {lines:?} by the script").into()),
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
    let theirs = Referee::start(python)?.solve(&program)?;
    let (Some("optimal"), Verdict::Optimal(theirs)) = (ours["status"].as_str(), theirs) else {
        return Err(format!("{} here, {theirs:?} by the second solver", ours["status"]).into());
    };
    // With equivalents, their sum with launch mass is what is minimised.
    let mass = ours.get("equivalent_system_mass_kg");
    let mass = mass.unwrap_or(&ours["launch_mass_kg"]).as_f64();
    let ours = mass.ok_or("a mass is missing")?;
    if (ours - theirs).abs() > AGREES * ours.abs().max(1.0) {
        return Err(format!("{ours} kg here, {theirs} kg by the second solver").into());
    }
    Ok(())
}
