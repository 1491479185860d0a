//! The tool against a script that builds the ridge outpost in Python and solves it with
//! HiGHS, whole process against whole process: `cargo bench --bench script`. The tool
//! does more in its time (ties, the reference, the audit, the pages). Of the sweep over a
//! thousand mission lengths the script, one process, solves every fiftieth and its time
//! is scaled, its start left out of the scaling. Needs the second solver that `.ci/run`
//! installs.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a measurement that cannot go on stops"
)]

#[path = "../second_solver/mod.rs"]
mod second_solver;

use std::error::Error;
use std::path::Path;
use std::process::Command;
use std::time::Instant;

use second_solver::{find_python, script};
use serde_json::Value;

const DESIGN: &str = "designs/ridge-outpost.ron";
/// Runs of a single solve by each, one after the other.
const RUNS: usize = 9;
/// The sweep: its first length and step, d, and its points.
const FIRST: f64 = 230.5;
const STEP: f64 = 0.5;
const POINTS: usize = 1000;
/// The script solves every such point.
const EVERY: usize = 50;
/// Optima agree to this share.
const AGREES: f64 = 1e-6;

fn main() -> Result<(), Box<dyn Error>> {
    let python = find_python()?;
    let start = solve(&python)?;
    for threads in [None, Some("1")] {
        sweep(&python, start, threads)?;
    }
    Ok(())
}

/// One solve by each; the seconds that the script takes before it has solved anything.
fn solve(python: &Path) -> Result<f64, Box<dyn Error>> {
    let (mut ours, mut theirs, mut starts) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..RUNS {
        let (text, seconds) = timed(|| loopwright(&["solve", DESIGN, "--format", "json"]))?;
        ours.push(seconds);
        let (lines, seconds) = timed(|| script(python, &[]))?;
        theirs.push(seconds);
        let (_, seconds) = timed(|| script(python, &["--sweep", "1", "1", "0"]))?;
        starts.push(seconds);
        let answer: Value = serde_json::from_str(&text)?;
        let kg = answer["launch_mass_kg"].as_f64().ok_or("no mass")?;
        let other = *lines
            .first()
            .and_then(|line| line.last())
            .ok_or("no mass")?;
        agree("one solve", kg, other)?;
    }
    let (ours, theirs, start) = (median(ours), median(theirs), median(starts));
    println!(
        "one solve, median of {RUNS} runs: {ours:.4} s here, {theirs:.3} s by the script \
         ({start:.3} s of it before it builds): {:.1} times faster",
        theirs / ours
    );
    Ok(start)
}

fn sweep(python: &Path, start: f64, threads: Option<&str>) -> Result<(), Box<dyn Error>> {
    let last = FIRST + (POINTS - 1) as f64 * STEP;
    let over = format!("mission.length = {FIRST} .. {last} by {STEP} d");
    let mut arguments = vec!["sweep", DESIGN, "--over", &over, "--format", "csv"];
    arguments.extend(threads.iter().flat_map(|number| ["--threads", number]));
    let (text, ours) = timed(|| loopwright(&arguments))?;
    let cells = cells(&text)?;
    if cells.len() != POINTS {
        return Err(format!("{} cells instead of {POINTS}", cells.len()).into());
    }
    let points = POINTS.to_string();
    let every = EVERY.to_string();
    let (first, step) = (FIRST.to_string(), STEP.to_string());
    let asked = ["--sweep", &first, &step, &points, "--every", &every];
    let (lines, seconds) = timed(|| script(python, &asked))?;
    for line in &lines {
        let [days, kg] = line[..] else {
            return Err("the script prints a length and a mass for each point".into());
        };
        let cell = cells
            .iter()
            .find(|(length, _)| (length - days).abs() < 1e-6);
        let (_, ours) = cell.ok_or_else(|| format!("no cell of {days} d"))?;
        agree(&format!("{days} d"), *ours, kg)?;
    }
    if lines.len() != POINTS / EVERY {
        return Err(format!("{} points by the script", lines.len()).into());
    }
    let theirs = start + (seconds - start) * EVERY as f64;
    let threads = threads.map_or("all threads".to_owned(), |number| {
        format!("{number} thread")
    });
    println!(
        "{POINTS} mission lengths: {ours:.2} s here with {threads}, {theirs:.0} s by the script \
         (scaled from {} points): {:.0} times faster",
        lines.len(),
        theirs / ours
    );
    Ok(())
}

/// Mission length, d, and mass, kg, of every cell.
fn cells(text: &str) -> Result<Vec<(f64, f64)>, Box<dyn Error>> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let mut cells = Vec::new();
    for row in reader.records() {
        let row = row?;
        let number = |at: usize| row.get(at).unwrap_or_default().parse::<f64>();
        cells.push((number(0)?, number(2)?));
    }
    Ok(cells)
}

fn agree(what: &str, ours: f64, theirs: f64) -> Result<(), Box<dyn Error>> {
    match (ours - theirs).abs() <= AGREES * ours {
        true => Ok(()),
        false => Err(format!("{what}: {ours} kg here, {theirs} kg by the script").into()),
    }
}

fn loopwright(arguments: &[&str]) -> Result<String, Box<dyn Error>> {
    let output = Command::new(env!("CARGO_BIN_EXE_loopwright"))
        .args(arguments)
        .output()?;
    match output.status.success() {
        true => Ok(String::from_utf8(output.stdout)?),
        false => Err(String::from_utf8_lossy(&output.stderr).into()),
    }
}

/// What a whole process gave, and its seconds.
fn timed<T, E>(run: impl FnOnce() -> Result<T, E>) -> Result<(T, f64), E> {
    let start = Instant::now();
    run().map(|given| (given, start.elapsed().as_secs_f64()))
}

fn median(mut seconds: Vec<f64>) -> f64 {
    seconds.sort_by(f64::total_cmp);
    seconds[seconds.len() / 2]
}
