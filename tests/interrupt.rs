//! Ctrl-C during a long search: the first gives the best answer so far, marked
//! as not proved, with its bound; a second one ends at once.
#![cfg(unix)]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;

use std::fs;
use std::io::Read;
use std::process::{Child, Stdio};
use std::thread::{JoinHandle, sleep, spawn};
use std::time::{Duration, Instant};

use common::{CLASSROOM, command, run};
use nix::sys::signal::{Signal, kill};
use nix::unistd::Pid;

/// A design that takes minutes to prove.
const HARD: &str = "tests/hard/thirty-three-landers.ron";
/// Longer than any interrupted search may take to come to its end.
const PATIENCE: Duration = Duration::from_secs(60);

struct Ended {
    code: Option<i32>,
    out: String,
    err: String,
}

fn start(format: &str) -> Child {
    begin(&["solve", HARD, "--gap", "0", "--format", format])
}

fn begin(words: &[&str]) -> Child {
    command()
        .args(words)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

fn interrupt(child: &Child) {
    let id = Pid::from_raw(i32::try_from(child.id()).unwrap());
    kill(id, Signal::SIGINT).unwrap();
}

/// Waits for the end; ends what does not come to it. What is printed is read
/// meanwhile: a pipe that nobody reads would stop the program.
fn end(mut child: Child) -> Ended {
    let out = read(child.stdout.take().unwrap());
    let err = read(child.stderr.take().unwrap());
    let start = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if start.elapsed() > PATIENCE {
            child.kill().unwrap();
            panic!("still running {PATIENCE:?} after the interrupt");
        }
        sleep(Duration::from_millis(5));
    };
    Ended {
        code: status.code(),
        out: out.join().unwrap(),
        err: err.join().unwrap(),
    }
}

fn read(mut pipe: impl Read + Send + 'static) -> JoinHandle<String> {
    spawn(move || {
        let mut text = String::new();
        pipe.read_to_string(&mut text).unwrap();
        text
    })
}

/// Interrupts after longer and longer waits until there is an answer by then:
/// a slow machine may not have read the design at first.
fn interrupted(format: &str) -> Ended {
    for wait in [1, 2, 3, 5, 15, 40] {
        let child = start(format);
        sleep(Duration::from_secs(wait));
        interrupt(&child);
        let ended = end(child);
        match ended.code {
            // Ended before the search had begun, or had found anything.
            None | Some(4) => {}
            _ => return ended,
        }
    }
    panic!("nothing was found in 40 s");
}

#[test]
fn an_interrupt_gives_the_best_answer_so_far_and_says_so() {
    let ended = interrupted("text");
    assert_eq!(
        (ended.code, ended.err.as_str()),
        (Some(1), ""),
        "{}",
        ended.out
    );
    let words = ended.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.starts_with("Not proved optimal: "), "{words}");
    assert!(words.contains("before the search was stopped"), "{words}");
    assert!(
        words.contains("Nothing this design allows weighs less than"),
        "{words}"
    );
    assert!(words.contains("AUDIT"), "{words}");
}

#[test]
fn as_data_it_is_feasible_with_its_bound() {
    let ended = interrupted("json");
    assert_eq!(ended.code, Some(1));
    let answer: serde_json::Value = serde_json::from_str(&ended.out).unwrap();
    assert_eq!(answer["status"], "feasible");
    let mass = answer["launch_mass_kg"].as_f64().unwrap();
    let bound = answer["solver"]["bound_kg"].as_f64().unwrap();
    assert!(0.0 < bound && bound < mass, "{bound} {mass}");
    assert!(answer["solver"]["gap"].as_f64().unwrap() > 0.0);
}

#[test]
fn a_second_interrupt_ends_at_once() {
    for wait in [2, 3, 5, 10, 20, 40] {
        let child = start("text");
        sleep(Duration::from_secs(wait));
        interrupt(&child);
        // Two that come together count as one.
        sleep(Duration::from_millis(10));
        let _ = kill(
            Pid::from_raw(i32::try_from(child.id()).unwrap()),
            Signal::SIGINT,
        );
        let ended = end(child);
        match ended.code {
            Some(130) => {
                assert_eq!(ended.out, "");
                return;
            }
            // The first one came before the search, or was enough.
            None | Some(1 | 4) => {}
            other => panic!("{other:?}: {}", ended.err),
        }
    }
    panic!("a second interrupt never ended it");
}

/// What is on the disk of a study that was interrupted is whole: every kept cell, and
/// the page of what was found so far. Going on gives what the study gives undisturbed.
#[test]
fn an_interrupted_uncertainty_shows_the_draws_it_has_and_goes_on_from_them() {
    // A fast machine may be done with few draws before it is interrupted.
    for draws in ["200", "1000", "5000", "25000", "100000"] {
        let folder = tempfile::tempdir().unwrap();
        let (cells, page) = (folder.path().join("cells"), folder.path().join("page.json"));
        let words = [
            "uncertainty",
            CLASSROOM,
            "--spread",
            "nodes.filter.unit.mass = Triangular(60 kg, 400 kg)",
            "--draws",
            draws,
            "--format",
            "json",
        ];
        let kept = ["--threads", "1", "--resume", cells.to_str().unwrap()];
        let into = ["--output", page.to_str().unwrap()];
        let child = begin(&[&words[..], &kept, &into].concat());
        let lines = || fs::read_to_string(&cells).map_or(0, |text| text.lines().count());
        let begun = Instant::now();
        while lines() < 5 {
            assert!(begun.elapsed() < PATIENCE, "no cell was kept");
            sleep(Duration::from_millis(2));
        }
        interrupt(&child);
        let ended = end(child);
        if ended.code == Some(0) {
            continue;
        }
        assert_eq!(
            (ended.code, ended.out.as_str()),
            (Some(1), ""),
            "{}",
            ended.err
        );
        let files = fs::read_dir(folder.path()).unwrap().count();
        assert_eq!(files, 2, "the cells and the page");
        let partial: serde_json::Value =
            serde_json::from_str(&fs::read_to_string(&page).unwrap()).unwrap();
        assert_eq!(partial["complete"], false);
        let found = partial["draws"].as_array().unwrap();
        let planned = found.iter().filter(|draw| draw["kg"].is_number()).count();
        assert_eq!(found.len().to_string(), draws);
        assert!(planned >= 4 && planned < found.len(), "{planned} draws");
        let text = fs::read_to_string(&cells).unwrap();
        assert!(text.ends_with('\n'), "a cell is cut off");
        for line in text.lines() {
            serde_json::from_str::<serde_json::Value>(line).expect(line);
        }
        assert_eq!(text.lines().count(), 1 + planned);
        let resumed = run(&[&words[..], &kept].concat());
        assert_eq!(resumed.code, 0, "{}", resumed.err);
        assert_eq!(resumed.json()["complete"], true);
        assert!(
            resumed.out == run(&words).out,
            "going on gives something else"
        );
        return;
    }
    panic!("no study was interrupted");
}
