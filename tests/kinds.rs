//! Every kind of node has a folder in `tests/kinds`: a small design that
//! exercises it (`good.ron`), what the kind says of itself there
//! (`duty_card.txt`), the rows it takes part in (`rows.txt`), and designs with
//! one mistake each that state what they expect (`bad_*.ron`). Mistakes that
//! belong to no kind have their designs in `tests/bad`.
//!
//! `LOOPWRIGHT_BLESS=1 cargo test --test kinds` writes the two texts anew.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod designs_read;

use std::collections::BTreeSet;
use std::fmt::Write;
use std::fs;
use std::path::PathBuf;

use designs_read::{Reading, files, golden, name, open, path, text};
use loopwright::Planned;
use loopwright::diagnostic::{Diagnostic, codes, render_text};
use loopwright::kinds::{DutyCard, KINDS};
use loopwright::network::{Network, NodeId};
use loopwright::program::{ColumnId, Form, Program, Row, Sense, formulate};

#[test]
fn good_designs_state_their_duties_and_rows() {
    let mut differences = Vec::new();
    for entry in KINDS {
        let folder = folder_of(entry.name);
        let network = open(&folder.join("good.ron"), None).network();
        let nodes = network
            .nodes()
            .filter(|&node| network.graph[node].kind == entry.name);
        let (mut cards, mut rows) = (Vec::new(), Vec::new());
        for node in nodes {
            let card = DutyCard {
                node: network.name(node),
                kind: entry.name,
                duties: network.duties(node),
                substances: &network.substances,
                phases: &network.calendar.phases,
            };
            cards.push(card.to_string());
            rows.push(rows_of(&network, node));
        }
        assert!(
            !cards.is_empty(),
            "{}/good.ron has no {}",
            folder.display(),
            entry.name
        );
        let texts = [
            ("duty_card.txt", cards.join("\n")),
            ("rows.txt", rows.join("\n")),
        ];
        for (file, found) in texts {
            differences.extend(golden(&folder.join(file), &found).err());
        }
    }
    assert!(differences.is_empty(), "{}", differences.join("\n\n"));
}

#[test]
fn good_designs_can_be_planned() {
    for entry in KINDS {
        let file = folder_of(entry.name).join("good.ron");
        let network = open(&file, None).network();
        match loopwright::plan_network(&network, &Default::default()) {
            Ok(Planned::Plan(_)) => {}
            other => panic!("{}: {other:?}", file.display()),
        }
    }
}

#[test]
fn bad_designs_are_told_what_is_wrong_and_where() {
    let mut wrong = Vec::new();
    for file in bad_designs() {
        let reading = open(&file, None);
        let wanted = expected(&text(&file));
        let (found, shown) = complaints(&reading);
        if wanted != found {
            wrong.push(format!(
                "{}: wanted {wanted:?}, found {found:?}\n{shown}",
                file.display()
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_kind_has_its_folder_with_all_files() {
    let mut folders = BTreeSet::new();
    for entry in KINDS {
        let folder = folder_of(entry.name);
        for file in ["good.ron", "duty_card.txt", "rows.txt"] {
            let file = folder.join(file);
            assert!(file.is_file(), "{} is missing", file.display());
        }
        let bad = files(&folder, ".ron")
            .iter()
            .filter(|file| name(file).starts_with("bad_"))
            .count();
        assert!(
            bad >= 2,
            "{}: {bad} bad designs, 2 wanted",
            folder.display()
        );
        for file in fs::read_dir(&folder).unwrap() {
            let file = name(&file.unwrap().path());
            let known = file.starts_with("bad_") && file.ends_with(".ron");
            let known = known || ["good.ron", "duty_card.txt", "rows.txt"].contains(&file.as_str());
            assert!(known, "{}: what is {file}?", folder.display());
        }
        folders.insert(name(&folder));
    }
    for folder in fs::read_dir(path("tests/kinds")).unwrap() {
        let folder = name(&folder.unwrap().path());
        assert!(
            folders.contains(&folder),
            "tests/kinds/{folder}: no such kind"
        );
    }
}

#[test]
fn every_code_about_designs_has_a_bad_design() {
    let covered: BTreeSet<String> = bad_designs()
        .iter()
        .flat_map(|file| expected(&text(file)))
        .map(|(_, code, _)| code)
        .collect();
    let missing: Vec<String> = codes::ALL
        .iter()
        .filter(|(code, _)| ABOUT_DESIGNS.iter().any(|start| code.0.starts_with(start)))
        .filter(|(code, _)| !covered.contains(code.0))
        .map(|(code, meaning)| format!("{code}: {meaning}"))
        .collect();
    assert!(
        missing.is_empty(),
        "no bad design for\n{}",
        missing.join("\n")
    );
}

/// Codes of texts and fields, quantities, nodes, streams, and the mission.
const ABOUT_DESIGNS: [&str; 5] = ["LW01", "LW02", "LW03", "LW04", "LW05"];

#[test]
fn every_family_of_rows_has_a_case() {
    let texts: Vec<String> = KINDS
        .iter()
        .map(|entry| text(&folder_of(entry.name).join("rows.txt")))
        .collect();
    for file in files(&path("src/program"), ".rs") {
        if text(&file).contains(ROWS) {
            let family = name(&file).replace(".rs", "");
            let heading = format!("\n{}\n", heading(&family));
            let shown = texts.iter().any(|text| text.contains(&heading));
            assert!(shown, "no good design shows rows of {family}");
        }
    }
}

// ---- designs and what they expect

fn folder_of(kind: &str) -> PathBuf {
    path("tests/kinds").join(kind.to_lowercase())
}

fn bad_designs() -> Vec<PathBuf> {
    let mut bad: Vec<PathBuf> = KINDS
        .iter()
        .flat_map(|entry| files(&folder_of(entry.name), ".ron"))
        .collect();
    bad.extend(files(&path("tests/bad"), ".ron"));
    bad.retain(|file| name(file).starts_with("bad_") || file.starts_with(path("tests/bad")));
    bad
}

/// How bad it is, the code, and line and column.
type Complaint = (&'static str, String, String);

/// The lines `// expect LW0303 at 12:34` of a file (and `// warns ...`), sorted.
fn expected(text: &str) -> Vec<Complaint> {
    let mut wanted: Vec<Complaint> = text
        .lines()
        .filter_map(|line| {
            let line = line.strip_prefix("// ")?;
            let (word, rest) = match line.strip_prefix("expect ") {
                Some(rest) => ("error", rest),
                None => ("warning", line.strip_prefix("warns ")?),
            };
            let (code, place) = rest.split_once(" at ")?;
            Some((word, code.to_owned(), place.to_owned()))
        })
        .collect();
    assert!(!wanted.is_empty(), "a bad design without an expectation");
    wanted.sort();
    wanted
}

/// What was complained about, sorted, and how it reads.
fn complaints(reading: &Reading) -> (Vec<Complaint>, String) {
    let diagnostics: Vec<Diagnostic> = match reading.checked() {
        Ok(checked) => checked.warnings,
        Err(complaints) => complaints,
    };
    let mut found: Vec<Complaint> = diagnostics
        .iter()
        .map(|diagnostic| {
            let word = if diagnostic.is_error() {
                "error"
            } else {
                "warning"
            };
            let place = diagnostic
                .primary
                .as_ref()
                .map_or_else(String::new, |(place, _)| {
                    let (line, column) = reading.sources.line_column(*place);
                    format!("{line}:{column}")
                });
            (word, diagnostic.code.0.to_owned(), place)
        })
        .collect();
    found.sort();
    (found, render_text(&diagnostics, &reading.sources, false))
}

// ---- rows of a node

/// The line by which a family's function is found in its file.
const ROWS: &str = "pub(super) fn rows(";

fn heading(family: &str) -> String {
    format!("== {family} ==")
}

/// The columns of a node, and the rows about it or with one of its columns, by
/// family, each family opened by its equation. Rows that only share a stream
/// with the node belong to its neighbours.
fn rows_of(network: &Network, node: NodeId) -> String {
    let program = formulate(network, Form::PerFlight);
    let own = columns_of(network, &program, node);
    let place = Some(network.graph[node].place);
    let concerns = |row: &Row, own: &BTreeSet<ColumnId>| {
        row.place == place || row.terms.iter().any(|(column, _)| own.contains(column))
    };
    let mut text = format!(
        "{}: {}\n\n{}\n",
        network.name(node),
        network.graph[node].kind,
        heading("columns")
    );
    for &column in &own {
        text += &column_words(&program, column);
    }
    let mut rows: Vec<&Row> = program
        .rows
        .iter()
        .filter(|row| concerns(row, &own))
        .collect();
    rows.sort_by_key(|row| (row.family, &row.label));
    let mut shown = BTreeSet::new();
    let mut family = None;
    for row in rows {
        if family != Some(row.family) {
            family = Some(row.family);
            let name = format!("{:?}", row.family).to_lowercase();
            let _ = write!(text, "\n{}\n{}", heading(&name), equation(&name));
        }
        let words = row_words(&program, row);
        text += &words;
        shown.insert(words);
    }
    let totals = formulate(network, Form::Totals);
    let own = columns_of(network, &totals, node);
    let mut others: Vec<(&str, String)> = totals
        .rows
        .iter()
        .filter(|row| concerns(row, &own))
        .map(|row| (row.label.as_str(), row_words(&totals, row)))
        .filter(|(_, words)| !shown.contains(words))
        .collect();
    others.sort();
    if !others.is_empty() {
        let _ = writeln!(text, "\n{}", heading("rows that differ in the totals form"));
        text.extend(others.into_iter().map(|(_, words)| words));
    }
    text
}

/// What is chosen at a node: its own columns, whether it is the one chosen of a
/// group, and its units and spares; flows belong to streams.
fn columns_of(network: &Network, program: &Program, node: NodeId) -> BTreeSet<ColumnId> {
    let place = Some(network.graph[node].place);
    let count = program.handles.count[node.index()];
    let all = (0..program.columns.len()).map(ColumnId);
    let mut own: BTreeSet<ColumnId> = all
        .filter(|column| program.columns[column.0].place == place)
        .collect();
    for group in &program.exclusive {
        let here = group.iter().filter(|(units, _)| count == Some(*units));
        own.extend(here.map(|(_, on)| on));
    }
    let parts = program.parts.iter();
    for part in parts.filter(|part| part.nodes.contains(&node)) {
        own.extend(part.options.iter().map(|option| option.column));
    }
    own
}

fn column_words(program: &Program, column: ColumnId) -> String {
    let column = &program.columns[column.0];
    let whole = if column.whole { ", whole" } else { "" };
    let upper = if column.upper.is_finite() {
        format!(" to {}", digits(column.upper))
    } else {
        " or more".to_owned()
    };
    let cost = match column.cost {
        0.0 => String::new(),
        cost => format!(", {} kg each", digits(cost)),
    };
    format!(
        "{}: {}{upper}{whole}{cost}\n",
        column.label,
        digits(column.lower)
    )
}

/// The docstring of a family's function: what its rows say.
fn equation(family: &str) -> String {
    let source = text(&path("src/program").join(format!("{family}.rs")));
    let lines: Vec<&str> = source.lines().collect();
    let end = lines
        .iter()
        .position(|line| line.starts_with(ROWS))
        .unwrap();
    let start = lines[..end]
        .iter()
        .rposition(|line| !line.starts_with("///"))
        .unwrap()
        + 1;
    assert!(
        start < end,
        "src/program/{family}.rs: `rows` states no equation"
    );
    let mut words = String::new();
    for line in &lines[start..end] {
        let _ = writeln!(words, "|{}", line.trim_start_matches("///"));
    }
    words
}

fn row_words(program: &Program, row: &Row) -> String {
    let mut words = format!("{}\n", row.label);
    for &(column, factor) in &row.terms {
        let sign = if factor < 0.0 { '-' } else { '+' };
        let _ = writeln!(
            words,
            "    {sign} {} × {}",
            digits(factor.abs()),
            program.columns[column.0].label
        );
    }
    let sense = match row.sense {
        Sense::Equal => '=',
        Sense::AtMost => '≤',
        Sense::AtLeast => '≥',
    };
    let _ = writeln!(words, "    {sense} {}", digits(row.right));
    words
}

/// Nine significant digits.
fn digits(value: f64) -> String {
    let rounded: f64 = format!("{value:.8e}").parse().unwrap();
    format!("{rounded}")
}
