//! Outside checks: every design of `checks.ron` is planned, and what the plan
//! gives is laid beside what is published. One table shows them all.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod check;
mod measure;

use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

use comfy_table::{LineStyle, Table, TableStyle};
use loopwright::audit::Plan;
use loopwright::design::{self, Edits};
use loopwright::diagnostic::{Sources, render_text};
use loopwright::{Planned, Refusal, plan};

use check::{Check, Checks, Expected, Mark};
use measure::Found;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/published")
}

fn checks() -> Vec<Check> {
    let text = fs::read_to_string(folder().join("checks.ron")).expect("checks.ron is there");
    let Checks(checks) = ron::from_str(&text).unwrap_or_else(|error| panic!("checks.ron: {error}"));
    checks
}

/// The plan of a check's design, none if it has no balance, or why it failed.
fn planned(check: &Check) -> Result<Option<Box<Plan>>, String> {
    let path = folder().join("designs").join(&check.design);
    let text = fs::read_to_string(&path).map_err(|error| format!("{}: {error}", check.design))?;
    let mut sources = Sources::default();
    let source = sources.add(check.design.clone(), text);
    let settings = check
        .set
        .iter()
        .map(|(address, value)| sources.add("set".to_owned(), format!("{address}={value}")))
        .collect();
    let edits = Edits {
        catalogues: Vec::new(),
        variant: check.variant.clone(),
        settings,
    };
    let complain = |diagnostics: Vec<_>| render_text(&diagnostics, &sources, false);
    let design = design::read(&sources, source, &edits).map_err(complain)?;
    match plan(&design, &Default::default()) {
        Ok(Planned::Plan(plan)) => Ok(Some(plan)),
        Ok(Planned::NoBalance(_)) => Ok(None),
        Ok(Planned::Unknown { .. }) => Err("stopped with nothing found".to_owned()),
        Err(Refusal::Design(diagnostics)) => Err(complain(diagnostics)),
        Err(Refusal::Failure(failure)) => Err(failure.to_string()),
    }
}

/// One value of the table.
struct Row<'a> {
    check: &'a Check,
    expected: &'a Expected,
    found: Result<f64, String>,
}

impl Row<'_> {
    fn is_met(&self) -> bool {
        let expected = self.expected;
        self.found
            .as_ref()
            .is_ok_and(|found| (found - expected.is).abs() <= expected.within)
    }

    fn cells(&self) -> [String; 8] {
        let found = match &self.found {
            Ok(found) => number(*found),
            Err(_) => "none".to_owned(),
        };
        let verdict = match (&self.check.known_failure, self.is_met()) {
            (None, true) => "met",
            (None, false) => "MISSED",
            (Some(_), false) => "known",
            (Some(_), true) => "known, yet met",
        };
        [
            self.check.name.clone(),
            self.expected.of.words(),
            number(self.expected.is),
            found,
            format!("± {}", self.expected.within),
            verdict.to_owned(),
            self.check.mark.words().to_owned(),
            self.check.source.clone(),
        ]
    }
}

fn number(value: f64) -> String {
    let text = format!("{value:.6}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn rows(check: &Check) -> Vec<Row<'_>> {
    let plan = planned(check);
    check
        .values
        .iter()
        .map(|expected| Row {
            check,
            expected,
            found: match &plan {
                Ok(plan) => Found(plan.as_deref()).value(&expected.of),
                Err(words) => Err(words.clone()),
            },
        })
        .collect()
}

fn table(rows: &[Row<'_>]) -> String {
    let mut table = Table::new();
    table.load_style(TableStyle::new().header_separator(LineStyle::none().fill('─')));
    table.set_header([
        "check",
        "value",
        "expected",
        "found",
        "tolerance",
        "",
        "mark",
        "source",
    ]);
    for row in rows {
        table.add_row(row.cells());
    }
    table.to_string()
}

#[test]
fn published_figures_are_met() {
    let checks = checks();
    let rows: Vec<Row<'_>> = checks.iter().flat_map(rows).collect();
    println!("{}", table(&rows));
    let mut missed = String::new();
    for row in rows
        .iter()
        .filter(|row| !row.is_met() && row.check.known_failure.is_none())
    {
        let found = match &row.found {
            Ok(found) => found.to_string(),
            Err(words) => words.clone(),
        };
        let _ = writeln!(
            missed,
            "{}: {} should be {} ± {}, found {found}",
            row.check.name,
            row.expected.of.words(),
            row.expected.is,
            row.expected.within,
        );
    }
    for check in checks.iter().filter(|check| check.known_failure.is_some()) {
        if rows
            .iter()
            .filter(|row| std::ptr::eq(row.check, check))
            .all(Row::is_met)
        {
            let _ = writeln!(missed, "{}: a known failure that is met", check.name);
        }
    }
    assert!(missed.is_empty(), "\n{missed}");
}

#[test]
fn every_check_says_where_its_value_is_from() {
    for check in checks() {
        assert!(!check.source.is_empty(), "{}: no source", check.name);
        assert!(!check.values.is_empty(), "{}: no value", check.name);
        let source = check.source.to_lowercase();
        match check.mark {
            Mark::SecondHand => assert!(source.contains("second-hand"), "{}", check.name),
            Mark::Memory => assert!(source.contains("memory"), "{}", check.name),
            Mark::CommonPractice => {
                assert!(
                    source.contains("common practice, no source"),
                    "{}",
                    check.name
                );
            }
            Mark::SeenInSource | Mark::Computed => {}
        }
    }
}

#[test]
fn every_design_is_used_by_a_check() {
    let checks = checks();
    for entry in fs::read_dir(folder().join("designs")).expect("the designs are there") {
        let name = entry.expect("a file").file_name();
        assert!(
            checks.iter().any(|check| *check.design == *name),
            "{name:?} belongs to no check"
        );
    }
}
