//! What the README shows is what happens.
#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;

use loopwright::commands::Exit;

use common::{run, shell_words};

fn readme() -> String {
    std::fs::read_to_string("README.md").expect("README.md is there")
}

/// The blocks of a language, without their fences.
fn blocks(language: &str) -> Vec<String> {
    let text = readme();
    let opening = format!("\n```{language}\n");
    let parts = text.split(opening.as_str()).skip(1);
    parts
        .map(|part| part.split("\n```").next().unwrap_or("").to_owned())
        .collect()
}

/// Commands with their outputs: every `console` block.
#[test]
fn commands_print_what_the_readme_says() {
    trycmd::TestCases::new().case("README.md");
}

/// Commands without outputs: they run and succeed.
#[test]
fn commands_of_the_readme_succeed() {
    let mut tried = 0;
    for line in blocks("sh").iter().flat_map(|block| block.lines()) {
        let ours = ["cargo run --release -- ", "loopwright "];
        let Some(words) = ours.iter().find_map(|start| line.strip_prefix(start)) else {
            // The line that runs this very test.
            assert_eq!(line, "cargo test");
            continue;
        };
        let mut words = shell_words(words);
        // Files are written elsewhere; tests/watch.rs watches.
        let directory = tempfile::tempdir().expect("a directory");
        let place = words.iter().position(|word| word == "-o");
        let file = place.map(|place| directory.path().join(&words[place + 1]));
        if let (Some(place), Some(file)) = (place, &file) {
            words[place + 1] = file.display().to_string();
        }
        words.retain(|word| word != "--watch");
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let run = run(&words);
        assert_eq!(run.code, 0, "{line}: {}", run.err);
        assert!(file.is_none_or(|file| file.is_file()), "{line}: no file");
        tried += 1;
    }
    assert!(tried >= 2, "the README shows how to solve a design");
}

#[test]
fn the_design_of_the_worked_example_is_the_ready_one() {
    let file = std::fs::read_to_string("designs/classroom.ron").expect("the design is there");
    assert!(
        blocks("ron")
            .iter()
            .any(|block| block.trim() == file.trim()),
        "the README's design differs from designs/classroom.ron"
    );
}

#[test]
fn every_exit_code_is_in_the_readme_and_in_the_help() {
    let help = run(&["--help"]).out;
    for (exit, meaning) in Exit::ALL {
        let row = format!("| {} | {meaning} |", exit as u8);
        assert!(readme().contains(&row), "the README lacks: {row}");
        assert!(help.contains(meaning), "--help lacks: {meaning}");
    }
}

#[test]
fn every_key_of_an_answer_is_in_the_readme() {
    let text = readme();
    for design in common::READY {
        let answer = run(&["solve", design, "--format", "json"]).json();
        for key in answer.as_object().expect("an object").keys() {
            let documented = text.contains(&format!("`{key}`"));
            assert!(documented, "the README lacks `{key}` of {design}");
        }
    }
}
