//! `loopwright explain`: every code has a page, and the examples of the pages
//! do what the pages say. A piece takes the place of the entry of its name in
//! `src/design/example/base.ron`, or is added there.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Stdio;

use common::{command, run, shell_words};
use designs_read::{path, text};
use loopwright::design::{self, Edits};
use loopwright::diagnostic::{Code, Diagnostic, Example, SourceId, Sources, codes, render_text};

use loopwright::written::{Shape, Value, parse};
use loopwright::{Hints, Planned, network, plan};

/// Codes that no design and no command brings about at will; each is shown
/// elsewhere: `tests/no_balance.rs`, `src/commands/failure.rs`.
const WITHOUT_EXAMPLES: [&str; 2] = ["LW0708", "LW0901"];

#[test]
fn wrong_examples_get_their_code_and_right_ones_none() {
    let mut faults = Vec::new();
    for &(code, _) in codes::ALL {
        let page = codes::page(code).unwrap();
        if WITHOUT_EXAMPLES.contains(&code.0) {
            assert!(page.wrong.is_empty() && page.right.is_empty(), "{code}");
            continue;
        }
        let wrong = told(&page.wrong);
        let errors: BTreeSet<&str> = wrong.errors.iter().map(Code::word).collect();
        let warnings: BTreeSet<&str> = wrong.warnings.iter().map(Code::word).collect();
        let only = BTreeSet::from([code.0]);
        if errors != only && !(errors.is_empty() && warnings == only) {
            faults.push(format!(
                "{code}, wrong: {errors:?} {warnings:?}\n{}",
                wrong.text
            ));
        }
        let right = told(&page.right);
        if !right.errors.is_empty() || !right.warnings.is_empty() {
            faults.push(format!("{code}, right:\n{}", right.text));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_code_is_explained_by_its_number_alone() {
    let all = run(&["explain"]);
    let data = run(&["explain", "--format", "json"]).json();
    assert_eq!(data["codes"].as_array().unwrap().len(), codes::ALL.len());
    for (code, meaning) in codes::ALL {
        assert!(all.out.contains(code.0), "{code} is not listed");
        let told = run(&["explain", &code.0.to_lowercase()]);
        assert_eq!(told.code, 0, "{code}: {}", told.err);
        assert!(told.out.starts_with(&format!("{code}: ")), "{}", told.out);
        let data = run(&["explain", code.0, "--format", "json"]).json();
        assert_eq!(data["meaning"].as_str(), Some(*meaning), "{code}");
        for key in ["why", "next"] {
            assert!(data[key].as_str().unwrap().ends_with('.'), "{code}: {key}");
        }
    }
}

#[test]
fn a_code_that_is_none_is_refused_with_the_nearest() {
    let told = run(&["explain", "LW01O3"]);
    assert_eq!((told.code, told.out.as_str()), (2, ""));
    assert!(told.err.contains("did you mean LW0103?"), "{}", told.err);
}

/// A code about designs has a design that states the code and where; a code
/// about commands a command that gets it; the two others a test of their own.
#[test]
fn every_code_has_a_case() {
    let mut covered: BTreeSet<String> = BTreeSet::new();
    stated(&path("tests"), &mut covered);
    for &(code, _) in codes::ALL {
        let page = codes::page(code).unwrap();
        let is_command = page
            .wrong
            .iter()
            .any(|example| matches!(example, Example::Run(_)));
        if code.0.starts_with("LW08") && is_command {
            covered.insert(code.0.to_owned());
        }
    }
    for (code, file, word) in [
        ("LW0708", "tests/no_balance.rs", "CAUSE_UNTOLD"),
        ("LW0901", "src/commands/failure.rs", "INTERNAL_FAULT"),
    ] {
        assert!(
            text(&path(file)).contains(&format!("code, codes::{word})")),
            "{code}"
        );
        covered.insert(code.to_owned());
    }
    let all: BTreeSet<String> = codes::ALL
        .iter()
        .map(|(code, _)| code.to_string())
        .collect();
    let missing: Vec<&String> = all.difference(&covered).collect();
    assert!(missing.is_empty(), "no case for {missing:?}");
    let unknown: Vec<&String> = covered.difference(&all).collect();
    assert!(
        unknown.is_empty(),
        "cases of codes that do not exist: {unknown:?}"
    );
}

/// The codes that designs under a folder state, each with its place.
fn stated(folder: &Path, codes: &mut BTreeSet<String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let file = entry.unwrap().path();
        if file.is_dir() {
            stated(&file, codes);
        } else if file.extension().is_some_and(|ending| ending == "ron") {
            let text = text(&file);
            let lines = text.lines().filter_map(|line| {
                let line = line.strip_prefix("// ")?;
                line.strip_prefix("expect ")
                    .or_else(|| line.strip_prefix("warns "))
            });
            let found = lines.filter_map(|line| Some(line.split_once(" at ")?.0.to_owned()));
            codes.extend(found);
        }
    }
}

/// What an example was told.
#[derive(Default)]
struct Told {
    errors: Vec<Code>,
    warnings: Vec<Code>,
    text: String,
}

trait Word {
    fn word(&self) -> &str;
}

impl Word for Code {
    fn word(&self) -> &str {
        self.0
    }
}

fn told(examples: &[Example]) -> Told {
    let mut base = text(&path("src/design/example/base.ron"));
    let mut last = None;
    for example in examples {
        match example {
            Example::In(field, piece) => base = with(&base, field, piece),
            Example::Run(words) => last = Some(words),
        }
    }
    match last {
        Some(words) => ran(words, &base),
        None => planned(&base),
    }
}

/// Checks and plans a design.
fn planned(text: &str) -> Told {
    let mut sources = Sources::new();
    let source = sources.add("base.ron", text);
    let units = designs_read::text(&path("src/design/example/units.ron"));
    let edits = Edits {
        catalogues: vec![sources.add("units.ron", units)],
        ..Edits::default()
    };
    let design = match design::read(&sources, source, &edits) {
        Ok(design) => design,
        Err(complaints) => return told_of(&complaints, &sources),
    };
    let warnings = match network::check(&design) {
        Ok(checked) => checked.warnings,
        Err(complaints) => return told_of(&complaints, &sources),
    };
    let mut complaints = warnings;
    match plan(&design, &Hints::default()) {
        Ok(Planned::Plan(_)) => {}
        Ok(Planned::NoBalance(why)) => {
            complaints.extend(why.causes.into_iter().map(|cause| cause.diagnostic));
        }
        other => panic!("{other:?}"),
    }
    told_of(&complaints, &sources)
}

fn told_of(complaints: &[Diagnostic], sources: &Sources) -> Told {
    let (errors, warnings): (Vec<&Diagnostic>, Vec<&Diagnostic>) = complaints
        .iter()
        .partition(|complaint| complaint.is_error());
    Told {
        errors: errors.iter().map(|complaint| complaint.code).collect(),
        warnings: warnings.iter().map(|complaint| complaint.code).collect(),
        text: render_text(complaints, sources, false),
    }
}

/// Runs a command beside the base and its catalogue.
fn ran(words: &str, base: &str) -> Told {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("base.ron"), base).unwrap();
    fs::copy(
        path("src/design/example/units.ron"),
        folder.path().join("units.ron"),
    )
    .unwrap();
    let words = words.strip_prefix("loopwright ").unwrap();
    let done = command()
        .args(shell_words(words))
        .current_dir(folder.path())
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let text = String::from_utf8(done.stderr).unwrap();
    let codes = |severity: &str| -> Vec<Code> {
        let start = format!("{severity}[");
        let found = text.lines().filter_map(|line| line.strip_prefix(&start));
        let found = found.filter_map(|line| line.split(']').next());
        found
            .filter_map(|code| Some(codes::meaning(code)?.0))
            .collect()
    };
    let (errors, warnings) = (codes("error"), codes("warning"));
    assert_eq!(done.status.success(), errors.is_empty(), "{words}: {text}");
    Told {
        errors,
        warnings,
        text,
    }
}

/// A design with a piece in the place of the entry of its name, or added.
fn with(design: &str, field: &str, piece: &str) -> String {
    let tree = parse(SourceId(0), design).unwrap();
    let key = piece.split(':').next().unwrap().trim().trim_matches('"');
    let holder = if field == "Design" {
        &tree
    } else {
        tree.field(field).unwrap()
    };
    match entry(holder, key) {
        Some((start, mut end)) => {
            if design[end..].starts_with(',') {
                end += 1;
            }
            format!("{}{piece}{}", &design[..start], &design[end..])
        }
        None => {
            let end = holder.place.end - 1;
            format!("{}{piece}\n{}", &design[..end], &design[end..])
        }
    }
}

/// From the start of a key to the end of its value.
fn entry(holder: &Value, key: &str) -> Option<(usize, usize)> {
    match &holder.shape {
        Shape::Record { fields, .. } => fields
            .iter()
            .find(|(name, _)| name.text == key)
            .map(|(name, value)| (name.place.start, value.place.end)),
        Shape::Map(entries) => entries
            .iter()
            .find(|(name, _)| name.text() == Some(key))
            .map(|(name, value)| (name.place.start, value.place.end)),
        _ => None,
    }
}
