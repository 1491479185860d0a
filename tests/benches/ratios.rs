//! The search against a general-purpose solver (HiGHS) on the same programs, in one run:
//! `cargo bench --bench ratios`, or with `-- quick` without the largest. Times are wall
//! time to a proved optimum at a gap of 1e-7; ties, the reference, writing and reading
//! the program are in neither. The least of three runs counts where they take less than
//! two seconds. Needs the second solver that `.ci/run` installs.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a measurement that cannot go on stops"
)]

#[path = "../designs_read/mod.rs"]
mod designs_read;
#[path = "../family/mod.rs"]
mod family;
#[path = "../second_solver/mod.rs"]
mod second_solver;

use std::error::Error;
use std::fs;
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use designs_read::{open, path, read};
use family::Member;
use loopwright::answer::Status;
use loopwright::network::Network;
use loopwright::program::{Form, formulate, to_mps};
use loopwright::solve::{Options, Step, Stopwatch};
use loopwright::{Planned, plan_network};
use second_solver::{Referee, Verdict, find_python};

/// Longest search, s.
const PATIENCE: Duration = Duration::from_secs(120);
/// Runs of a program that takes less than [`SHORT`].
const RUNS: usize = 3;
const SHORT: f64 = 2.0;
/// Optima agree to this share.
const AGREES: f64 = 1e-6;

/// Name, text, and whether payload limits bind.
type Case = (String, String, bool);

struct Row {
    name: String,
    binds: bool,
    columns: usize,
    ours: f64,
    theirs: f64,
}

fn main() -> Result<(), Box<dyn Error>> {
    let quick = std::env::args().any(|argument| argument == "quick");
    let mut referee = Referee::start(&find_python()?)?;
    let folder = tempfile::tempdir()?;
    let program = folder.path().join("program.mps");
    let mut rows = Vec::new();
    println!(
        "{:<58} {:>8} {:>10} {:>10} {:>7}",
        "design", "columns", "here, s", "there, s", "ratio"
    );
    for (name, text, binds) in designs(quick)? {
        let row = compare(&name, &text, binds, &mut referee, &program)?;
        println!(
            "{:<58} {:>8} {:>10.4} {:>10.4} {:>7.3}",
            row.name,
            row.columns,
            row.ours,
            row.theirs,
            row.ours / row.theirs
        );
        rows.push(row);
    }
    for (binds, words) in [
        (false, "without binding payloads"),
        (true, "with binding payloads"),
    ] {
        let mut ratios: Vec<f64> = rows
            .iter()
            .filter(|row| row.binds == binds)
            .map(|row| row.ours / row.theirs)
            .collect();
        ratios.sort_by(f64::total_cmp);
        if let Some(worst) = ratios.last() {
            let median = ratios[ratios.len() / 2];
            println!(
                "{words}: {} designs, median {median:.3}, worst {worst:.3}",
                ratios.len()
            );
        }
    }
    Ok(())
}

/// Ready designs, then the family.
fn designs(quick: bool) -> Result<Vec<Case>, Box<dyn Error>> {
    let mut files: Vec<_> = fs::read_dir("designs")?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<Result<_, _>>()?;
    files.retain(|file| file.extension().is_some_and(|ending| ending == "ron"));
    files.sort();
    let mut designs = Vec::new();
    for file in files {
        designs.push((
            file.display().to_string(),
            fs::read_to_string(&file)?,
            false,
        ));
    }
    for options in [5, 10, 15, 40] {
        for phases in [1, 2, 6] {
            if quick && options * phases > 90 {
                continue;
            }
            for seed in [1, 2, 3] {
                let member = Member::new(options, phases, seed);
                designs.push((member.name(), member.text(), false));
            }
        }
    }
    for (options, phases) in [(5, 1), (10, 2), (15, 2)] {
        // A payload that the lightest plan of one flight would not fit.
        let free = Member::new(options, phases, 1);
        let heaviest = heaviest_flight(&free)?;
        let member = Member {
            payload_kg: Some((0.97 * heaviest).floor()),
            ..free
        };
        designs.push((member.name(), member.text(), true));
    }
    Ok(designs)
}

fn heaviest_flight(member: &Member) -> Result<f64, Box<dyn Error>> {
    let network = checked(&member.name(), &member.text())?;
    let Planned::Plan(plan) = plan_network(&network, &Options::default().into())
        .map_err(|refusal| format!("{refusal:?}"))?
    else {
        return Err(format!("{} has no plan", member.name()).into());
    };
    let mut carried = vec![0.0; network.calendar.flights.len()];
    for line in &plan.answer().ledger {
        carried[line.flight] += line.kg;
    }
    Ok(carried.into_iter().fold(0.0, f64::max))
}

fn checked(name: &str, text: &str) -> Result<Network, Box<dyn Error>> {
    // Ready designs use files beside them.
    let reading = match name.ends_with(".ron") {
        true => open(&path(name), None),
        false => read(name, text, None, &[]),
    };
    let checked = reading.checked();
    checked
        .map(|checked| checked.network)
        .map_err(|complaints| {
            let words: Vec<&str> = complaints.iter().map(|one| one.headline.as_str()).collect();
            words.join("\n").into()
        })
}

fn compare(
    name: &str,
    text: &str,
    binds: bool,
    referee: &mut Referee,
    file: &Path,
) -> Result<Row, Box<dyn Error>> {
    let network = checked(name, text)?;
    let program = formulate(&network, Form::PerFlight);
    fs::write(file, to_mps(&program, name))?;
    let (mut ours, mut theirs) = (f64::INFINITY, f64::INFINITY);
    for run in 0..RUNS {
        if run == 0 || ours < SHORT {
            let (kg, seconds) = search(&network)?;
            ours = ours.min(seconds);
            if run == 0 || theirs < SHORT {
                let (verdict, seconds) = referee.time(file)?;
                theirs = theirs.min(seconds);
                if let Some(Verdict::Optimal(other)) = verdict
                    && (kg - other).abs() > AGREES * kg.abs()
                {
                    return Err(format!("{name}: {kg} kg here, {other} kg there").into());
                }
            }
        }
    }
    Ok(Row {
        name: name.to_owned(),
        binds,
        columns: program.columns.len(),
        ours,
        theirs,
    })
}

/// What the search minimised, kg, and the seconds it took.
fn search(network: &Network) -> Result<(f64, f64), Box<dyn Error>> {
    let watch = Arc::new(Stopwatch::default());
    let options = Options {
        gap: 1e-7,
        time_limit: Some(PATIENCE),
        stopwatch: Some(watch.clone()),
        ..Options::default()
    };
    match plan_network(network, &options.into()).map_err(|refusal| format!("{refusal:?}"))? {
        Planned::Plan(plan) => {
            if plan.answer().proof.status != Status::Optimal {
                println!("  stopped at a gap of {:.1e}:", plan.answer().proof.gap);
            }
            Ok((
                plan.answer().minimised_kg(),
                watch.spent(Step::Search).as_secs_f64(),
            ))
        }
        other => Err(format!("no plan: {other:?}").into()),
    }
}
