//! `loopwright draw`: files, formats, and what is refused.
#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;

use std::fs;

use common::{CLASSROOM, OUTPOST, new_file, run};

#[test]
fn a_picture_goes_to_its_file_or_to_standard_output_the_same() {
    for more in [
        &["--picture", "loop"][..],
        &["--picture", "flows"],
        &["--without-plan"],
        &["--to", "dot"],
    ] {
        let (_directory, path) = new_file("picture.svg");
        let output = path.to_str().expect("a plain path");
        let printed = run(&[&["draw", CLASSROOM][..], more].concat());
        let written = run(&[&["draw", CLASSROOM, "-o", output][..], more].concat());
        assert_eq!((printed.code, written.code), (0, 0), "{}", written.err);
        assert_eq!(written.out, "");
        let text = fs::read_to_string(&path).expect("the picture");
        assert_eq!(text, printed.out, "{more:?}");
        let starts = if more.contains(&"dot") {
            "digraph "
        } else {
            "<svg "
        };
        assert!(text.starts_with(starts), "{more:?}");
    }
}

#[test]
fn the_ending_of_the_file_says_what_is_written() {
    let (_directory, path) = new_file("graph.DOT");
    let output = path.to_str().expect("a plain path");
    assert_eq!(run(&["draw", CLASSROOM, "-o", output]).code, 0);
    let text = fs::read_to_string(&path).expect("the graph");
    assert!(text.starts_with("digraph "), "{text}");
}

#[test]
fn flows_are_those_of_the_phase_that_is_named() {
    let flows = |more: &[&str]| {
        let words = [&["draw", OUTPOST, "--picture", "flows"][..], more].concat();
        let run = run(&words);
        assert_eq!(run.code, 0, "{}", run.err);
        run.out
    };
    // The longest phase where none is named.
    assert_eq!(flows(&[]), flows(&["--phase", "operations"]));
    let shakedown = flows(&["--phase", "shakedown"]);
    assert!(shakedown.contains("phase shakedown") && !shakedown.contains("operations:"));
}

#[test]
fn what_cannot_be_drawn_is_refused_and_nothing_is_written() {
    for (file, more, told) in [
        (
            "loop.gif",
            &[][..],
            "error[LW0807]: no picture is written as .gif",
        ),
        (
            "loop.svg",
            &["--phase", "operation"],
            "did you mean \"operations\"?",
        ),
        ("loop.dot", &["--picture", "flows"], "DOT holds the graph"),
        (
            "loop.svg",
            &["--picture", "flows", "--without-plan"],
            "those of a plan",
        ),
    ] {
        let (directory, path) = new_file(file);
        let output = path.to_str().expect("a plain path");
        let run = run(&[&["draw", OUTPOST, "-o", output][..], more].concat());
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{file}");
        assert!(run.err.contains(told), "{told} in: {}", run.err);
        let left = fs::read_dir(directory.path()).expect("the directory");
        assert_eq!(left.count(), 0, "{file} was written");
    }
}

#[test]
fn without_a_plan_the_reason_is_told_and_no_picture_is_written() {
    let (directory, path) = new_file("loop.svg");
    let output = path.to_str().expect("a plain path");
    let run = run(&["draw", OUTPOST, "--set", "limits.power=10 W", "-o", output]);
    assert_eq!(run.code, 3, "{}", run.err);
    assert!(run.out.contains("No balance"), "{}", run.out);
    let left = fs::read_dir(directory.path()).expect("the directory");
    assert_eq!(left.count(), 0, "something was written");
}

#[test]
fn png_is_written_where_it_was_built_in_and_else_refused() {
    let (_directory, path) = new_file("loop.png");
    let output = path.to_str().expect("a plain path");
    let run = run(&["draw", CLASSROOM, "-o", output]);
    if cfg!(feature = "png") {
        assert_eq!(run.code, 0, "{}", run.err);
        let bytes = fs::read(&path).expect("the picture");
        assert_eq!(&bytes[1..4], b"PNG");
    } else {
        assert_eq!(run.code, 2);
        assert!(run.err.contains("--features png"), "{}", run.err);
        assert!(!path.exists());
    }
}
