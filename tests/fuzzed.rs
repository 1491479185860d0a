//! A bounded run of the fuzz targets of `tests/fuzz`: what they found before, their
//! corpora, and new inputs made by chance. Nothing panics, and nothing takes long.
//!
//! `LOOPWRIGHT_FUZZ_INPUTS=100000` tries more than two thousand a target. An input
//! that fails is kept under `target/fuzzed`.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod designs_read;
#[path = "fuzz/exercise.rs"]
mod exercise;

use std::fs;
use std::panic::catch_unwind;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use designs_read::{files, path};
use exercise::TARGETS;
use exercise::worsened::generator::dice::Dice;
use exercise::worsened::{SLIP, THROWN, worsened};

/// No input may take longer, even on a slow machine that does other things.
const PATIENCE: Duration = Duration::from_secs(20);

/// Inputs are not longer than those of the fuzzer.
const LONGEST: usize = 16_000;

/// What a typing person may put anywhere.
const SNIPPETS: [&str; 24] = [
    "\"", "(", ")", "[", "]", "{", "}", ",", ":", "=", ".", "-", "e", "//", "/*", "r#\"", "\\",
    "\t", "\r\n", "\u{feff}", "µ", "水", "1e400", " kg/d",
];

#[test]
fn reader() {
    let texts = designs();
    run("reader", 2_000, |dice| slipped(dice, &texts));
}

#[test]
fn quantities() {
    let texts = corpus("quantities");
    run("quantities", 2_000, |dice| typed(dice, &texts));
}

#[test]
fn addresses() {
    let texts = corpus("addresses");
    run("addresses", 2_000, |dice| typed(dice, &texts));
}

#[test]
fn check() {
    let texts = designs();
    run("check", 2_000, |dice| match dice.below(2) {
        0 => thrown(dice),
        _ => slipped(dice, &texts),
    });
}

#[test]
fn solve() {
    run("solve", 400, thrown);
}

/// Gives a target its corpus, its findings and so many new inputs.
fn run(name: &str, new: usize, mut input: impl FnMut(&mut Dice) -> Vec<u8>) {
    let (_, target) = TARGETS.iter().find(|(known, _)| *known == name).unwrap();
    let wanted = std::env::var("LOOPWRIGHT_FUZZ_INPUTS").ok();
    let new = wanted.map_or(new, |number| number.parse().unwrap());
    let known: Vec<Vec<u8>> = [format!("corpus/{name}"), format!("found/{name}")]
        .iter()
        .map(|folder| path("tests/fuzz").join(folder))
        .filter(|folder| folder.is_dir())
        .flat_map(|folder| files(&folder, ""))
        .map(|file| fs::read(file).unwrap())
        .collect();
    assert!(known.len() > 10, "{name}: a corpus of {}", known.len());
    let mut dice = Dice::new(name.len() as u64);
    let tried = known.len() + new;
    let mut through = 0;
    let new = (0..new).map(|_| input(&mut dice));
    for bytes in known.into_iter().chain(new) {
        let start = Instant::now();
        let outcome = catch_unwind(|| target(&bytes));
        through += usize::from(matches!(outcome, Ok(true)));
        let took = start.elapsed();
        if outcome.is_err() || took > PATIENCE {
            panic!(
                "{name}: {} after {took:?}; see {}",
                if outcome.is_err() { "panic" } else { "done" },
                keep(name, &bytes).display()
            );
        }
    }
    println!("{name}: {through} of {tried} inputs get to the end");
    // Neither all refused at the door, nor all fine.
    let share = through as f64 / tried as f64;
    assert!(
        (0.03..0.97).contains(&share),
        "{name}: {through} of {tried}"
    );
}

fn keep(name: &str, bytes: &[u8]) -> PathBuf {
    let folder = path("target/fuzzed");
    fs::create_dir_all(&folder).unwrap();
    let file = folder.join(name);
    fs::write(&file, bytes).unwrap();
    file
}

/// Designs right and wrong, as texts.
fn designs() -> Vec<String> {
    [
        "designs",
        "tests/bad",
        "tests/hand_worked",
        "tests/random_designs/found",
    ]
    .iter()
    .flat_map(|folder| files(&path(folder), ".ron"))
    .map(|file| designs_read::text(&file))
    .collect()
}

fn corpus(name: &str) -> Vec<String> {
    let folder = path("tests/fuzz/corpus").join(name);
    let bytes = files(&folder, "")
        .into_iter()
        .map(|file| fs::read(file).unwrap());
    bytes
        .map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
        .collect()
}

fn slips(dice: &mut Dice) -> Vec<u8> {
    let bytes = SLIP * dice.below(6);
    (0..bytes).map(|_| dice.below(256) as u8).collect()
}

/// A random design with slips.
fn thrown(dice: &mut Dice) -> Vec<u8> {
    let mut bytes = vec![THROWN, dice.below(256) as u8, dice.below(256) as u8];
    bytes.extend(slips(dice));
    bytes
}

/// One of these texts with slips of whole words, and of the keyboard.
fn slipped(dice: &mut Dice, texts: &[String]) -> Vec<u8> {
    let text = &texts[dice.below(texts.len())];
    let text = worsened(text, &slips(dice));
    typed(dice, &[text])
}

/// One of these texts with slips of the keyboard.
fn typed(dice: &mut Dice, texts: &[String]) -> Vec<u8> {
    let mut bytes = texts[dice.below(texts.len())].clone().into_bytes();
    for _ in 0..dice.below(5) {
        let at = dice.below(bytes.len() + 1);
        let end = (at + dice.below(4)).min(bytes.len());
        let put = SNIPPETS[dice.below(SNIPPETS.len())].as_bytes();
        bytes.splice(at..end, put.iter().copied());
    }
    bytes.truncate(LONGEST);
    bytes
}
