//! `loopwright new`: the first design solves as it stands, whatever was asked
//! for, and nothing is overwritten.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;

use std::fs;
use std::path::Path;
use std::process::Output;

use common::command;

fn run_in(folder: &Path, words: &[&str]) -> Output {
    command().args(words).current_dir(folder).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn a_new_design_checks_without_a_word_and_solves_to_the_optimum() {
    for options in [
        &[][..],
        &["--crew", "1", "--length", "1 d"],
        &["--crew", "2", "--length", "3.5 yr"],
        &["--crew", "6", "--length", "500"],
        &["--crew", "100", "--length", "30 d"],
    ] {
        let folder = tempfile::tempdir().unwrap();
        let made = run_in(folder.path(), &[&["new", "my-base"], options].concat());
        assert!(made.status.success(), "{options:?}: {}", text(&made.stderr));
        assert_eq!(
            text(&made.stdout),
            "my-base.ron is written. Now: loopwright solve my-base.ron\n"
        );
        let checked = run_in(folder.path(), &["check", "my-base.ron"]);
        assert!(
            checked.status.success(),
            "{options:?}: {}",
            text(&checked.stderr)
        );
        assert_eq!(text(&checked.stderr), "", "{options:?}");
        let solved = run_in(folder.path(), &["solve", "my-base.ron"]);
        assert!(
            solved.status.success(),
            "{options:?}: {}",
            text(&solved.stderr)
        );
        let told = text(&solved.stdout);
        assert!(told.starts_with("Optimal: "), "{options:?}: {told}");
        assert!(told.contains("\nMy base\n"), "{options:?}: {told}");
        assert!(told.contains("\nThis plan saves "), "{options:?}: {told}");
    }
}

#[test]
fn its_comments_say_what_is_invented_and_what_everything_is() {
    let folder = tempfile::tempdir().unwrap();
    run_in(folder.path(), &["new", "my-base"]);
    let made = fs::read_to_string(folder.path().join("my-base.ron")).unwrap();
    assert!(made.contains("Every number is INVENTED"));
    let comments: Vec<&str> = made
        .lines()
        .filter_map(|line| line.trim_start().strip_prefix("// "))
        .collect();
    let comments = comments.join(" ");
    let mut explained = 0;
    for entry in loopwright::design::reference::reference() {
        let used = made.contains(&format!("{}(", entry.name));
        if entry.is_kind && used {
            let comment = format!("{}: {}", entry.name, entry.doc);
            assert!(comments.contains(&comment), "no comment: {comment}");
            explained += 1;
        } else if entry.is_kind {
            assert!(comments.contains(entry.name), "{} is not named", entry.name);
        }
    }
    assert!(explained >= 9, "{explained} kinds");
    assert!(!made.contains('@') && !made.contains("//:"), "{made}");
    assert!(made.lines().all(|line| line.chars().count() <= 110));
}

#[test]
fn what_is_there_is_not_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("my-base.ron"), "mine").unwrap();
    for words in [
        &["new", "my-base"][..],
        &["new", "my-base.ron"],
        &["new", "other", "--output", "my-base.ron"],
    ] {
        let told = run_in(folder.path(), words);
        assert_eq!(told.status.code(), Some(2), "{words:?}");
        let complaint = text(&told.stderr);
        assert!(
            complaint.contains("error[LW0802]: my-base.ron is there already"),
            "{complaint}"
        );
    }
    assert_eq!(
        fs::read_to_string(folder.path().join("my-base.ron")).unwrap(),
        "mine"
    );
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    let missing = run_in(folder.path(), &["new", "no/such/base"]);
    assert_eq!(missing.status.code(), Some(2));
    for bad in [
        ["--crew", "0"],
        ["--crew", "many"],
        ["--length", "0 d"],
        ["--length", "4 kg"],
    ] {
        let told = run_in(folder.path(), &[&["new", "x"][..], &bad].concat());
        assert_eq!(told.status.code(), Some(2), "{bad:?}");
    }
}

#[test]
fn any_name_is_a_title() {
    let folder = tempfile::tempdir().unwrap();
    for name in [
        "日本の基地",
        "say \"hello\"",
        "back\\slash",
        "tab\there",
        "größe_2",
    ] {
        let made = run_in(folder.path(), &["new", name]);
        assert!(made.status.success(), "{name}: {}", text(&made.stderr));
        let file = format!("{name}.ron");
        let checked = run_in(folder.path(), &["check", &file]);
        assert!(
            checked.status.success(),
            "{name}: {}",
            text(&checked.stderr)
        );
    }
}
