//! `--watch`: a file is saved, and a fresh answer or a fresh message is there.
#![cfg(unix)]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;

use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Child, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::{Duration, Instant};

use common::command;
use nix::pty::openpty;
use nix::sys::signal::{Signal, kill};
use nix::unistd::Pid;

/// Longer than any answer may take, on a machine that does much else.
const PATIENCE: Duration = Duration::from_secs(60);
const CLASSROOM: &str = include_str!("../designs/classroom.ron");

/// What comes out of a pipe or a terminal, as it comes.
struct Heard {
    pieces: Receiver<String>,
    all: String,
}

impl Heard {
    fn from(mut stream: impl Read + Send + 'static) -> Self {
        let (sender, pieces) = channel();
        thread::spawn(move || {
            let mut bytes = [0; 1 << 16];
            while let Ok(length @ 1..) = stream.read(&mut bytes) {
                let piece = String::from_utf8_lossy(&bytes[..length]).into_owned();
                if sender.send(piece).is_err() {
                    break;
                }
            }
        });
        let all = String::new();
        Heard { pieces, all }
    }

    /// Waits for words beyond a place, and hands back the place behind them.
    fn expect(&mut self, words: &str, from: usize) -> usize {
        let start = Instant::now();
        loop {
            if let Some(at) = self.all[from..].find(words) {
                return from + at + words.len();
            }
            assert!(
                start.elapsed() < PATIENCE,
                "no {words:?} in {:?}",
                &self.all[from..]
            );
            if let Ok(piece) = self.pieces.recv_timeout(Duration::from_millis(100)) {
                self.all.push_str(&piece);
            }
        }
    }
}

fn interrupt(mut child: Child) -> Option<i32> {
    let id = Pid::from_raw(i32::try_from(child.id()).unwrap());
    kill(id, Signal::SIGINT).unwrap();
    let start = Instant::now();
    loop {
        if let Some(status) = child.try_wait().unwrap() {
            return status.code();
        }
        if start.elapsed() > PATIENCE {
            child.kill().unwrap();
            panic!("still running after the interrupt");
        }
        thread::sleep(Duration::from_millis(5));
    }
}

/// As many editors save: another file takes the place of the one before.
fn replace(path: &Path, text: &str) {
    let beside = path.with_extension("new");
    fs::write(&beside, text).unwrap();
    fs::rename(&beside, path).unwrap();
}

fn classroom(directory: &tempfile::TempDir) -> PathBuf {
    let path = directory.path().join("classroom.ron");
    fs::write(&path, CLASSROOM).unwrap();
    path
}

fn heavier() -> String {
    let changed = CLASSROOM.replacen("length: \"60 d\"", "length: \"90 d\"", 1);
    assert_ne!(
        changed, CLASSROOM,
        "the classroom has no such stay any more"
    );
    changed
}

/// What one run without watching prints.
fn answer(path: &Path) -> String {
    let run = common::run(&["solve", path.to_str().unwrap()]);
    assert_eq!(run.code, 0, "{}", run.err);
    run.out
}

#[test]
fn saved_files_give_fresh_answers_and_bad_ones_fresh_messages() {
    let directory = tempfile::tempdir().unwrap();
    let path = classroom(&directory);
    let mut child = command()
        .args(["solve", "--watch"])
        .arg(&path)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut out = Heard::from(child.stdout.take().unwrap());
    let mut err = Heard::from(child.stderr.take().unwrap());
    let first = out.expect(&answer(&path), 0);
    replace(&path, &heavier());
    let second = out.expect(&answer(&path), first);
    // A slip: the message, and no answer beside it.
    fs::write(&path, heavier().replacen("mission:", "misson:", 1)).unwrap();
    err.expect("misson", 0);
    assert_eq!(out.all.len(), second, "{}", &out.all[second..]);
    fs::write(&path, CLASSROOM).unwrap();
    let third = out.expect(&answer(&path), second);
    assert_eq!(out.all.len(), third);
    assert_eq!(interrupt(child), Some(0));
}

#[test]
fn a_terminal_shows_one_picture_in_place_of_the_other() {
    let directory = tempfile::tempdir().unwrap();
    let path = classroom(&directory);
    let terminal = openpty(None, None).unwrap();
    let end = || Stdio::from(terminal.slave.try_clone().unwrap());
    let child = command()
        .args(["solve", "--watch", "--colour", "never"])
        .arg(&path)
        .stdin(Stdio::null())
        .stdout(end())
        .stderr(end())
        .spawn()
        .unwrap();
    let mut screen = Heard::from(File::from(terminal.master));
    let drawn = "\x1b[?2026l";
    let first = screen.expect(drawn, 0);
    assert!(
        screen.all.starts_with("\x1b[?2026h\x1b[H\x1b[2J"),
        "{}",
        screen.all
    );
    assert!(screen.all.contains("Optimal: "), "{}", screen.all);
    assert!(screen.all.contains("Ctrl-C ends."), "{}", screen.all);
    replace(&path, "Design(");
    let second = screen.expect(drawn, first);
    let message = &screen.all[first..second];
    assert!(
        message.contains("No answer: ") && !message.contains("Optimal: "),
        "{message}"
    );
    assert_eq!(message.matches("\x1b[2J").count(), 1, "{message}");
    assert_eq!(interrupt(child), Some(0));
}

#[test]
fn a_report_is_written_anew_and_kept_where_the_design_is_wrong() {
    let directory = tempfile::tempdir().unwrap();
    let path = classroom(&directory);
    let report = directory.path().join("report.html");
    let mut child = command()
        .args(["report", "--only", "inputs", "--watch", "-o"])
        .args([&report, &path])
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut err = Heard::from(child.stderr.take().unwrap());
    let shows = |days: &str| {
        let start = Instant::now();
        while !fs::read_to_string(&report).is_ok_and(|text| text.contains(days)) {
            assert!(start.elapsed() < PATIENCE, "no {days} in the report");
            thread::sleep(Duration::from_millis(20));
        }
    };
    shows("60 days in 1 phase");
    fs::write(&path, heavier()).unwrap();
    shows("90 days in 1 phase");
    replace(&path, "Design(");
    err.expect("error", 0);
    shows("90 days in 1 phase");
    assert_eq!(interrupt(child), Some(0));
}

#[test]
fn standard_input_cannot_be_watched() {
    let run = common::run_with(&["solve", "-", "--watch"], CLASSROOM);
    assert_eq!(run.code, 2);
    assert!(
        run.err.contains("standard input cannot be watched"),
        "{}",
        run.err
    );
}
