//! The rooms of the house know each other in one order only.
#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Rooms from the first to the last; each may use only those before it.
const ROOMS: [&str; 16] = [
    "diagnostic",
    "quantity",
    "physics",
    "written",
    "catalogue",
    "kinds",
    "design",
    "network",
    "program",
    "solve",
    "answer",
    "audit",
    "timeline",
    "study",
    "report",
    "commands",
];

/// Rooms that the audit must not share with what it checks.
const NOT_FOR_AUDIT: [&str; 2] = ["program", "solve"];

fn rust_files(directory: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(directory).expect("a directory of the source") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
}

/// Rooms that a file names as `crate::room`, outside comments.
fn used(text: &str) -> BTreeSet<String> {
    let lines = text.lines();
    let code: Vec<&str> = lines
        .filter(|line| !line.trim_start().starts_with("//"))
        .collect();
    let code = code.join("\n");
    let mut rooms = BTreeSet::new();
    for part in code.split("crate::").skip(1) {
        match part.strip_prefix('{') {
            Some(list) => rooms.extend(heads(list)),
            None => {
                rooms.insert(head(part));
            }
        }
    }
    rooms
}

/// The first word of every item of a list, which ends at its own brace.
fn heads(list: &str) -> Vec<String> {
    let mut heads = Vec::new();
    let (mut depth, mut start) = (0, 0);
    for (at, letter) in list.char_indices() {
        match letter {
            '{' => depth += 1,
            ',' | '}' if depth == 0 => {
                heads.push(head(&list[start..at]));
                start = at + 1;
                if letter == '}' {
                    break;
                }
            }
            '}' => depth -= 1,
            _ => {}
        }
    }
    heads.retain(|name| !name.is_empty());
    heads
}

fn head(path: &str) -> String {
    let path = path.trim_start();
    let end = path.find(|letter: char| !letter.is_alphanumeric() && letter != '_');
    path[..end.unwrap_or(path.len())].to_owned()
}

#[test]
fn each_room_uses_only_rooms_above_it() {
    let mut complaints = Vec::new();
    let mut seen = 0;
    for (rank, room) in ROOMS.into_iter().enumerate() {
        let directory = Path::new("src").join(room);
        if !directory.exists() {
            continue;
        }
        let mut files = Vec::new();
        rust_files(&directory, &mut files);
        for file in files {
            seen += 1;
            let text = fs::read_to_string(&file).expect("source is text");
            for other in used(&text) {
                let Some(other_rank) = ROOMS.iter().position(|name| *name == other.as_str()) else {
                    continue;
                };
                let shared = room == "audit" && NOT_FOR_AUDIT.contains(&other.as_str());
                if other_rank > rank || shared {
                    complaints.push(format!("{} uses {other}", file.display()));
                }
            }
        }
    }
    assert!(seen > 50, "only {seen} files were looked at");
    assert!(complaints.is_empty(), "{complaints:#?}");
}

#[test]
fn every_directory_of_the_source_is_a_room() {
    for entry in fs::read_dir("src").expect("the source") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            let name = path.file_name().and_then(|name| name.to_str());
            assert!(
                name.is_some_and(|name| ROOMS.contains(&name)),
                "{} is not in the list of rooms",
                path.display()
            );
        }
    }
}

#[test]
fn uses_are_found_in_every_form() {
    let text = "use crate::answer::Answer;\n// use crate::report::Page;\n\
                let x = crate::solve::go();\nuse crate::{\n audit::{A, B},\n network,\n};";
    let found: Vec<String> = used(text).into_iter().collect();
    assert_eq!(found, ["answer", "audit", "network", "solve"]);
}
