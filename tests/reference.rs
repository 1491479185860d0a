//! `loopwright kinds`: the reference of the format lacks nothing, and its
//! examples come from a design that can be planned.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;

use std::collections::BTreeSet;

use common::run;
use designs_read::{files, open, path, text};
use loopwright::design::reference::{Parts, reference};
use loopwright::kinds::KINDS;
use loopwright::{Hints, Planned, plan};

const BASE: &str = "src/design/example/base.ron";

#[test]
fn every_record_and_choice_of_a_design_is_listed() {
    let listed: BTreeSet<&str> = reference().iter().map(|entry| entry.name).collect();
    let mut declared = 0;
    for room in ["src/kinds", "src/design"] {
        for file in files(&path(room), ".rs") {
            let text = text(&file);
            for line in text.lines().map(str::trim) {
                let Some(rest) = line
                    .strip_prefix("pub struct ")
                    .or_else(|| line.strip_prefix("pub enum "))
                else {
                    continue;
                };
                let before = text.split(line).next().unwrap();
                let block = before.rsplit("\n\n").next().unwrap();
                if !block.contains("record! {") && !block.contains("choice! {") {
                    continue;
                }
                let words: Vec<&str> = rest.split([' ', '{']).collect();
                let name = match words[..] {
                    [_, "as", word, ..] => word.trim_matches('"'),
                    _ => words[0],
                };
                assert!(
                    listed.contains(name),
                    "{}: {name} is not listed",
                    file.display()
                );
                declared += 1;
            }
        }
    }
    assert!(declared >= 30, "{declared} records and choices");
    assert!(KINDS.iter().all(|kind| listed.contains(kind.name)));
    assert!(listed.contains("Figure") && listed.contains("Spread"));
}

#[test]
fn everything_is_documented_with_an_example() {
    for entry in reference() {
        let name = entry.name;
        assert!(entry.doc.ends_with('.'), "{name}: {}", entry.doc);
        match entry.parts {
            Parts::Fields(fields) => {
                for field in fields {
                    assert!(!field.doc.trim().is_empty(), "{name}.{}", field.name);
                }
                let wanted = usize::from(name != "Design");
                assert_eq!(entry.examples().len(), wanted, "{name}");
            }
            Parts::Choices(choices) => {
                assert_eq!(entry.examples().len(), choices.len(), "{name}");
            }
        }
        for example in entry.examples() {
            let mut texts = [BASE, "src/design/example/units.ron"].map(|file| text(&path(file)));
            let whole = |text: &String| text.replace([' ', '\n'], "");
            let found = texts
                .iter_mut()
                .any(|text| whole(text).contains(&whole(&example)));
            assert!(found, "{name}: where is {example}?");
        }
    }
}

#[test]
fn the_design_of_the_examples_and_its_variants_can_be_planned() {
    let design = open(&path(BASE), None);
    let variants = design.design().written.variants.iter();
    let names: Vec<String> = variants.map(|(name, _)| name.text.clone()).collect();
    assert!(names.len() >= 4);
    for variant in std::iter::once(None).chain(names.iter().map(|name| Some(name.as_str()))) {
        let reading = open(&path(BASE), variant);
        let checked = reading.checked().unwrap();
        assert!(
            checked.warnings.is_empty(),
            "{variant:?}: {:?}",
            checked.warnings
        );
        let planned = plan(reading.design(), &Hints::default());
        assert!(
            matches!(planned, Ok(Planned::Plan(_))),
            "{variant:?}: {planned:?}"
        );
    }
}

#[test]
fn each_is_shown_by_name_in_every_format() {
    let data = run(&["kinds", "--format", "json"]).json();
    assert_eq!(data["entries"].as_array().unwrap().len(), reference().len());
    for entry in reference() {
        let shown = run(&["kinds", &entry.name.to_lowercase()]);
        assert_eq!(shown.code, 0, "{}: {}", entry.name, shown.err);
        assert!(shown.out.starts_with(&format!("{}\n", entry.name)));
        let markdown = run(&["kinds", entry.name, "--format", "markdown"]).out;
        let data = run(&["kinds", entry.name, "--format", "json"]).json();
        if let Parts::Fields(fields) = entry.parts {
            for field in fields {
                assert!(
                    shown.out.contains(field.name),
                    "{}.{}",
                    entry.name,
                    field.name
                );
                let escaped = field.name.replace('_', "\\_");
                assert!(markdown.contains(&escaped), "{}.{}", entry.name, field.name);
            }
            assert_eq!(data["fields"].as_array().unwrap().len(), fields.len());
        }
    }
}

#[test]
fn a_name_that_is_none_is_refused_with_what_was_meant() {
    for (name, help) in [
        ("Procesor", "did you mean Processor?"),
        ("capacity", "it is part of Unit"),
        ("Overboard", "it is part of Way"),
        ("xyzzy", "loopwright kinds lists all of them"),
    ] {
        let told = run(&["kinds", name]);
        assert_eq!((told.code, told.out.as_str()), (2, ""), "{name}");
        assert!(told.err.contains(help), "{name}: {}", told.err);
    }
}
