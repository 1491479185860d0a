//! Writes the whole program for other solvers, with readable names.

use std::collections::BTreeSet;
use std::fmt::Write;

use super::{Column, Program, Row, Sense};

/// Longest name written; many readers stop at 255 characters.
const LONGEST_NAME: usize = 200;

/// The program in free MPS, the de facto standard for linear and mixed-integer
/// programs. The constant of the objective is written as the negated right side
/// of the objective row, as is the custom.
pub fn to_mps(program: &Program, title: &str) -> String {
    let columns = names(program.columns.iter().map(|column| column.label.as_str()));
    let rows = names(program.rows.iter().map(|row| row.label.as_str()));
    let mut text = String::new();
    let _ = writeln!(text, "NAME {}", clean(title));
    let _ = writeln!(text, "ROWS\n N launch_mass_kg");
    for (row, name) in program.rows.iter().zip(&rows) {
        let sense = match row.sense {
            Sense::Equal => 'E',
            Sense::AtMost => 'L',
            Sense::AtLeast => 'G',
        };
        let _ = writeln!(text, " {sense} {name}");
    }
    let mut entries: Vec<Vec<(usize, f64)>> = vec![Vec::new(); program.columns.len()];
    for (index, row) in program.rows.iter().enumerate() {
        for &(column, factor) in &row.terms {
            entries[column.0].push((index, factor));
        }
    }
    let _ = writeln!(text, "COLUMNS");
    let mut marked = false;
    for (index, column) in program.columns.iter().enumerate() {
        if column.whole != marked {
            let which = if column.whole { "INTORG" } else { "INTEND" };
            let _ = writeln!(text, " MARKER{index} 'MARKER' '{which}'");
            marked = column.whole;
        }
        let name = &columns[index];
        let _ = writeln!(text, " {name} launch_mass_kg {}", column.cost);
        for &(row, factor) in &entries[index] {
            let _ = writeln!(text, " {name} {} {factor}", rows[row]);
        }
    }
    if marked {
        let _ = writeln!(text, " MARKEREND 'MARKER' 'INTEND'");
    }
    let _ = writeln!(text, "RHS");
    let _ = writeln!(text, " RHS launch_mass_kg {}", -program.constant_kg);
    for (row, name) in program.rows.iter().zip(&rows) {
        if row.right != 0.0 {
            let _ = writeln!(text, " RHS {name} {}", row.right);
        }
    }
    let _ = writeln!(text, "BOUNDS");
    for (column, name) in program.columns.iter().zip(&columns) {
        if column.lower == column.upper {
            let _ = writeln!(text, " FX BOUND {name} {}", column.lower);
            continue;
        }
        let _ = writeln!(text, " LO BOUND {name} {}", column.lower);
        if column.upper.is_finite() {
            let _ = writeln!(text, " UP BOUND {name} {}", column.upper);
        } else {
            let _ = writeln!(text, " PL BOUND {name}");
        }
    }
    let _ = writeln!(text, "ENDATA");
    text
}

/// The program in LP format, for reading aloud.
pub fn to_lp(program: &Program, title: &str) -> String {
    let columns = names(program.columns.iter().map(|column| column.label.as_str()));
    let rows = names(program.rows.iter().map(|row| row.label.as_str()));
    let mut text = String::new();
    let _ = writeln!(text, "\\ {}", title.replace('\n', " "));
    let _ = writeln!(text, "Minimize\n launch_mass_kg:");
    for (column, name) in program.columns.iter().zip(&columns) {
        if column.cost != 0.0 {
            let _ = writeln!(text, "  {}", term(column.cost, name));
        }
    }
    let _ = writeln!(text, "  {}", term(program.constant_kg, "one"));
    let _ = writeln!(text, "Subject To");
    for (row, name) in program.rows.iter().zip(&rows) {
        let _ = writeln!(text, " {name}:");
        row_terms(&mut text, row, &columns);
        let sense = match row.sense {
            Sense::Equal => "=",
            Sense::AtMost => "<=",
            Sense::AtLeast => ">=",
        };
        let _ = writeln!(text, "  {sense} {}", row.right);
    }
    let _ = writeln!(text, "Bounds\n one = 1");
    for (column, name) in program.columns.iter().zip(&columns) {
        bounds(&mut text, column, name);
    }
    let whole: Vec<&String> = program
        .columns
        .iter()
        .zip(&columns)
        .filter(|(column, _)| column.whole)
        .map(|(_, name)| name)
        .collect();
    if !whole.is_empty() {
        let _ = writeln!(text, "General");
        for name in whole {
            let _ = writeln!(text, " {name}");
        }
    }
    let _ = writeln!(text, "End");
    text
}

fn row_terms(text: &mut String, row: &Row, columns: &[String]) {
    if row.terms.is_empty() {
        // A row must name a column; this one says that a number compares with another.
        let _ = writeln!(text, "  0 one");
    }
    for &(column, factor) in &row.terms {
        let _ = writeln!(text, "  {}", term(factor, &columns[column.0]));
    }
}

fn bounds(text: &mut String, column: &Column, name: &str) {
    if column.lower == column.upper {
        let _ = writeln!(text, " {name} = {}", column.lower);
    } else if column.upper.is_finite() {
        let _ = writeln!(text, " {} <= {name} <= {}", column.lower, column.upper);
    } else {
        let _ = writeln!(text, " {name} >= {}", column.lower);
    }
}

fn term(factor: f64, name: &str) -> String {
    let sign = if factor < 0.0 { '-' } else { '+' };
    format!("{sign} {} {name}", factor.abs())
}

/// Unique names without spaces or signs that other readers trip over.
fn names<'a>(labels: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut taken: BTreeSet<String> = BTreeSet::new();
    taken.insert("launch_mass_kg".to_owned());
    taken.insert("one".to_owned());
    let mut names = Vec::new();
    for label in labels {
        let base = clean(label);
        let mut name = base.clone();
        let mut number = 2;
        while !taken.insert(name.clone()) {
            name = format!("{base}_{number}");
            number += 1;
        }
        names.push(name);
    }
    names
}

fn clean(label: &str) -> String {
    let mut name = String::with_capacity(label.len());
    for letter in label.replace('→', "to").chars() {
        let kept = if letter.is_ascii_alphanumeric() {
            letter
        } else {
            '_'
        };
        if !(kept == '_' && name.ends_with('_')) {
            name.push(kept);
        }
    }
    let name: String = name.trim_matches('_').chars().take(LONGEST_NAME).collect();
    match name.chars().next() {
        // "e12" would read as a number.
        Some(first) if first.is_ascii_digit() || first == 'e' || first == 'E' => {
            format!("n_{name}")
        }
        Some(_) => name,
        None => "n".to_owned(),
    }
}
