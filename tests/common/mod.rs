//! Runs the command and looks at what it did.
#![allow(dead_code, reason = "every test uses some of it")]

use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use serde_json::Value;

pub const CLASSROOM: &str = "designs/classroom.ron";
pub const OUTPOST: &str = "designs/ridge-outpost.ron";

/// Designs that ship with the tool and solve in a blink.
pub const READY: [&str; 4] = [
    CLASSROOM,
    OUTPOST,
    "designs/long-transit.ron",
    "designs/orbital-laboratory.ron",
];

/// Ready designs that take long enough to be solved only where that is the point.
pub const LARGE: [&str; 2] = ["designs/growing-base.ron", "designs/linked-modules.ron"];

/// Designs that ship with the tool, and one with most of what the format can say.
pub fn ready_designs() -> Vec<PathBuf> {
    let mut designs: Vec<PathBuf> = std::fs::read_dir("designs")
        .expect("designs/ is there")
        .map(|entry| entry.expect("an entry of designs/").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "ron"))
        .collect();
    designs.push(PathBuf::from("tests/answers/most_of_the_format.ron"));
    designs.sort();
    assert!(!designs.is_empty(), "designs/ has no design");
    designs
}

/// What a run left behind.
pub struct Run {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Run {
    /// Standard output as JSON.
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out)
            .unwrap_or_else(|error| panic!("{error} in: {}\n{}", self.out, self.err))
    }
}

/// The command, ready to be given words.
pub fn command() -> Command {
    Command::new(env!("CARGO_BIN_EXE_loopwright"))
}

/// Runs the command with some words.
pub fn run(words: &[&str]) -> Run {
    run_with(words, "")
}

/// Runs the command with some words and standard input.
pub fn run_with(words: &[&str], input: &str) -> Run {
    let mut child = command()
        .args(words)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command starts");
    // A command that does not read its input may end before it is written.
    let _ = child
        .stdin
        .take()
        .map(|mut pipe| pipe.write_all(input.as_bytes()));
    let done = child.wait_with_output().expect("the command ends");
    Run {
        code: done.status.code().expect("it ends by itself"),
        out: String::from_utf8(done.stdout).expect("it writes text"),
        err: String::from_utf8(done.stderr).expect("it writes text"),
    }
}

/// What a command prints, if it succeeds.
pub fn output(command: &mut Command) -> Result<String, String> {
    let answer = command.output().map_err(|error| error.to_string())?;
    if !answer.status.success() {
        let words = String::from_utf8_lossy(&answer.stderr);
        return Err(format!("{command:?} ended with {}: {words}", answer.status));
    }
    String::from_utf8(answer.stdout).map_err(|error| error.to_string())
}

/// A file that does not exist, in a directory of its own.
pub fn new_file(name: &str) -> (tempfile::TempDir, PathBuf) {
    let directory = tempfile::tempdir().expect("a directory");
    let path = directory.path().join(name);
    (directory, path)
}

/// As a shell splits a line: at spaces outside quotes.
pub fn shell_words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quote: Option<char> = None;
    for letter in line.chars() {
        match (quote, letter) {
            (Some(open), _) if open == letter => quote = None,
            (None, '"' | '\'') => quote = Some(letter),
            (None, ' ') => words.push(String::new()),
            _ => words.last_mut().expect("never empty").push(letter),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}
