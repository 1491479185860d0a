//! How time and memory grow with a design: `cargo bench --bench scale` runs whole
//! processes of `loopwright check` and `loopwright solve` over the family of designs, its
//! modules, phases and options grown one at a time and together, up to 200 nodes, 24
//! phases and 30 options; and `check` alone up to a megabyte. Prints tables and, by least
//! squares of logarithms, the powers with which time and memory grow.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a measurement that cannot go on stops"
)]

#[path = "../designs_read/mod.rs"]
mod designs_read;
#[path = "../family/mod.rs"]
mod family;

use std::env;
use std::error::Error;
use std::fs;
use std::process::Command;
use std::time::Instant;

use designs_read::read;
use family::Member;
use loopwright::program::{Form, formulate};
use serde_json::Value;

/// The gap to which designs are solved, and how long each may be searched.
const GAP: &str = "0.01";
const TIME_LIMIT: &str = "120 s";
/// Checks of a design; the one that took least counts.
const CHECKS: usize = 5;
/// Modules, phases and options of the smallest, and as each is grown alone.
const SMALLEST: [usize; 3] = [1, 2, 10];
const MODULES: [usize; 4] = [4, 9, 18, 33];
const PHASES: [usize; 4] = [4, 8, 16, 24];
const OPTIONS: [usize; 3] = [15, 20, 30];
/// As all are grown together.
const TOGETHER: [[usize; 3]; 4] = [[4, 4, 12], [9, 8, 16], [18, 14, 22], [33, 24, 30]];
/// Modules of designs that are only checked, with 60 options; the last is a megabyte.
const MODULES_TO_CHECK: [usize; 5] = [75, 150, 300, 600, 1200];
/// The word with which this program runs another and tells what that took.
const WEIGH: &str = "--weigh";

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = env::args().skip(1).collect();
    match words.split_first() {
        Some((word, command)) if word == WEIGH => weigh(command),
        _ => measure(),
    }
}

/// What a process took.
#[derive(Clone, Copy, Debug)]
struct Cost {
    processor_s: f64,
    wall_s: f64,
    peak_mb: f64,
}

/// Runs a command, hands on what it prints and tells what it took: the only child of
/// this process, so that what children took is what it took.
#[cfg(unix)]
fn weigh(command: &[String]) -> Result<(), Box<dyn Error>> {
    use nix::sys::resource::{UsageWho, getrusage};
    use nix::sys::time::TimeVal;

    let (program, arguments) = command.split_first().ok_or("a command to weigh")?;
    let start = Instant::now();
    let output = Command::new(program).args(arguments).output()?;
    let wall_s = start.elapsed().as_secs_f64();
    let usage = getrusage(UsageWho::RUSAGE_CHILDREN)?;
    let seconds = |time: TimeVal| time.tv_sec() as f64 + time.tv_usec() as f64 / 1e6;
    let told = serde_json::json!({
        "code": output.status.code(),
        "out": String::from_utf8(output.stdout)?,
        "err": String::from_utf8(output.stderr)?,
        "processor_s": seconds(usage.user_time()) + seconds(usage.system_time()),
        "wall_s": wall_s,
        // In kilobytes of 1024.
        "peak_mb": usage.max_rss() as f64 * 1024.0 / 1e6,
    });
    println!("{told}");
    Ok(())
}

#[cfg(not(unix))]
fn weigh(_: &[String]) -> Result<(), Box<dyn Error>> {
    Err("what a process took is asked of Unix systems alone".into())
}

/// What the tool prints for some words, and what it took; exit codes other than these
/// are an error.
fn weighed(words: &[&str], codes: &[i64]) -> Result<(i64, String, Cost), Box<dyn Error>> {
    let output = Command::new(env::current_exe()?)
        .args([WEIGH, env!("CARGO_BIN_EXE_loopwright")])
        .args(words)
        .output()?;
    let told: Value = serde_json::from_slice(&output.stdout)
        .map_err(|error| format!("{error}: {}", String::from_utf8_lossy(&output.stderr)))?;
    let code = told["code"].as_i64().ok_or("ended by a signal")?;
    if !codes.contains(&code) {
        return Err(format!("{words:?} ends with {code}: {}", told["err"]).into());
    }
    let number = |key: &str| told[key].as_f64().ok_or("a number");
    let cost = Cost {
        processor_s: number("processor_s")?,
        wall_s: number("wall_s")?,
        peak_mb: number("peak_mb")?,
    };
    Ok((
        code,
        told["out"].as_str().unwrap_or_default().to_owned(),
        cost,
    ))
}

fn check(file: &str) -> Result<Cost, Box<dyn Error>> {
    let costs: Result<Vec<Cost>, _> = (0..CHECKS)
        .map(|_| weighed(&["check", file], &[0]).map(|(_, _, cost)| cost))
        .collect();
    let least = costs?.into_iter();
    Ok(least
        .min_by(|one, other| one.processor_s.total_cmp(&other.processor_s))
        .unwrap())
}

/// A design of the family and what came of it.
struct Point {
    /// Entries of the rows of its program, summed over the flights.
    entries: f64,
    solve: Cost,
    /// Whether the gap asked for was reached in time.
    closed: bool,
}

fn measure() -> Result<(), Box<dyn Error>> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("design.ron");
    let file = file.to_str().ok_or("a folder that can be named")?;
    let (_, _, idle) = weighed(&["--version"], &[0])?;
    println!(
        "nothing but its start: {:.4} s, {:.1} MB",
        idle.processor_s, idle.peak_mb
    );
    check_alone(file, idle)?;
    println!(
        "| nodes × phases × options | columns | rows | entries | check, s | check, MB | solve, s | wall, s | solve, MB | gap, % |\n\
         |---|---|---|---|---|---|---|---|---|---|"
    );
    let smallest = point(SMALLEST, file)?;
    let [modules, phases, options] = SMALLEST;
    let series = [
        (
            "nodes",
            MODULES.map(|modules| [modules, phases, options]).to_vec(),
        ),
        (
            "phases",
            PHASES.map(|phases| [modules, phases, options]).to_vec(),
        ),
        (
            "options",
            OPTIONS.map(|options| [modules, phases, options]).to_vec(),
        ),
        ("all together", TOGETHER.to_vec()),
    ];
    let mut powers = Vec::new();
    for (what, sizes) in series {
        let grown: Result<Vec<Point>, _> = sizes.iter().map(|&size| point(size, file)).collect();
        let grown = grown?;
        let points = || [&smallest].into_iter().chain(&grown);
        let closed = || points().filter(|point| point.closed);
        let pairs = |of: fn(&Cost) -> f64| {
            let pair = |point: &Point| (point.entries, of(&point.solve) - of(&idle));
            power(&closed().map(pair).collect::<Vec<_>>())
        };
        powers.push(format!(
            "{what}: time {}, memory {} ({} of {} closed)",
            pairs(|cost| cost.processor_s),
            pairs(|cost| cost.peak_mb),
            closed().count(),
            points().count(),
        ));
    }
    println!("Powers of the entries with which solves that close grow, beyond the start:");
    for line in powers {
        println!("{line}");
    }
    Ok(())
}

/// Checks designs up to a megabyte, which are too many nodes to solve.
fn check_alone(file: &str, idle: Cost) -> Result<(), Box<dyn Error>> {
    println!("| bytes | nodes | check, s | check, MB |\n|---|---|---|---|");
    let (mut times, mut memories) = (Vec::new(), Vec::new());
    for modules in MODULES_TO_CHECK {
        let member = Member {
            modules,
            ..Member::new(60, 2, 1)
        };
        let text = member.text();
        fs::write(file, &text)?;
        let nodes = read(&member.name(), &text, None, &[])
            .network()
            .graph
            .node_count();
        let cost = check(file)?;
        let bytes = text.len();
        println!(
            "| {bytes} | {nodes} | {:.4} | {:.1} |",
            cost.processor_s, cost.peak_mb
        );
        times.push((bytes as f64, cost.processor_s - idle.processor_s));
        memories.push((bytes as f64, cost.peak_mb - idle.peak_mb));
    }
    println!(
        "Powers of the bytes with which it grows, beyond the start: time {}, memory {}",
        power(&times),
        power(&memories)
    );
    Ok(())
}

/// Checks and solves a member of the family and prints its line.
fn point([modules, phases, options]: [usize; 3], file: &str) -> Result<Point, Box<dyn Error>> {
    let member = Member {
        modules,
        ..Member::new(options, phases, 1)
    };
    let text = member.text();
    fs::write(file, &text)?;
    let network = read(&member.name(), &text, None, &[]).network();
    let program = formulate(&network, Form::Totals);
    let entries: usize = program.rows.iter().map(|row| row.terms.len()).sum();
    let check = check(file)?;
    let words = [
        "solve",
        file,
        "--gap",
        GAP,
        "--time-limit",
        TIME_LIMIT,
        "--format",
        "json",
    ];
    let (_, out, solve) = weighed(&words, &[0, 1, 4])?;
    let gap = serde_json::from_str::<Value>(&out)
        .ok()
        .and_then(|answer| answer["solver"]["gap"].as_f64());
    println!(
        "| {} × {phases} × {options} | {} | {} | {entries} | {:.4} | {:.1} | {:.2} | {:.1} | {:.1} | {} |",
        network.graph.node_count(),
        program.columns.len(),
        program.rows.len(),
        check.processor_s,
        check.peak_mb,
        solve.processor_s,
        solve.wall_s,
        solve.peak_mb,
        gap.map_or("none".to_owned(), |gap| format!("{:.2}", 100.0 * gap)),
    );
    let asked: f64 = GAP.parse()?;
    Ok(Point {
        entries: entries as f64,
        solve,
        closed: gap.is_some_and(|gap| gap <= asked),
    })
}

/// The power of the first with which the second grows, by least squares of logarithms.
fn power(pairs: &[(f64, f64)]) -> String {
    let logs: Vec<(f64, f64)> = pairs
        .iter()
        .map(|&(x, y)| (x.ln(), y.max(1e-6).ln()))
        .collect();
    if logs.len() < 3 {
        return "unknown".to_owned();
    }
    let mean = |of: fn(&(f64, f64)) -> f64| logs.iter().map(of).sum::<f64>() / logs.len() as f64;
    let (middle, height) = (mean(|log| log.0), mean(|log| log.1));
    let slope = |(x, y): &(f64, f64)| (x - middle) * (y - height);
    let spread = |(x, _): &(f64, f64)| (x - middle) * (x - middle);
    let power = logs.iter().map(slope).sum::<f64>() / logs.iter().map(spread).sum::<f64>();
    format!("{power:.2}")
}
