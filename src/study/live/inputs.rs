//! The numbers of a design as cells with names.

use std::collections::{BTreeMap, BTreeSet};

use super::book::{Book, Content};
use super::formula::{CellId, Formula, Value, difference};
use crate::design::Design;
use crate::quantity::Dimension;
use crate::study::sensitivity::IDLE;

/// A number of the design.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// Its address in the design.
    pub address: String,
    /// What it measures.
    pub dimension: Dimension,
    /// Its value in the design, in the canonical unit.
    pub value: f64,
    /// Its cell.
    pub cell: CellId,
    /// What changing it does.
    pub part: Part,
}

/// What changing an input does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The formulas follow it.
    Live,
    /// It takes what the other shares of its group leave of one.
    Rest,
    /// Nothing in this plan depends on it.
    Idle,
    /// The formulas do not know it: solve again.
    Fixed,
}

/// An input before it has a cell.
#[derive(Clone, Debug)]
pub(super) struct Number {
    pub address: String,
    pub dimension: Dimension,
    pub value: f64,
    /// Index of the share that takes the rest to one; its own index if it is that.
    pub rest: Option<usize>,
}

/// Numbers on which a plan may depend, in file order.
pub(super) fn numbers(design: &Design) -> Vec<Number> {
    let mut seen = BTreeSet::new();
    let mut found: Vec<Number> = Vec::new();
    for number in &design.numbers {
        let idle = IDLE.iter().any(|head| number.address.starts_with(head));
        if !idle && seen.insert(number.address.as_str()) {
            found.push(Number {
                address: number.address.clone(),
                dimension: number.dimension,
                value: number.value,
                rest: None,
            });
        }
    }
    for index in 0..found.len() {
        let others = design.shares_beside(&found[index].address);
        if others.is_empty() {
            continue;
        }
        let group = found.iter().enumerate().filter(|(position, number)| {
            *position == index || others.iter().any(|other| other.address == number.address)
        });
        let rest = group.map(|(position, _)| position).next_back();
        found[index].rest = rest;
    }
    found
}

/// Every number that changes where some move: they, and the shares that take what
/// they leave.
pub(super) fn changes<'a>(
    numbers: &'a [Number],
    moved: &BTreeMap<usize, f64>,
) -> Vec<(&'a str, f64, Dimension)> {
    let mut all = moved.clone();
    for (&index, &value) in moved {
        let number = &numbers[index];
        if let Some(rest) = number.rest.filter(|&rest| rest != index) {
            let left = all.entry(rest).or_insert(numbers[rest].value);
            *left -= value - number.value;
        }
    }
    let changes = all.into_iter().map(|(index, value)| {
        let number = &numbers[index];
        (number.address.as_str(), value, number.dimension)
    });
    changes.collect()
}

/// Gives every number a cell: an input, or one less the other shares of its group.
pub(super) fn cells(book: &mut Book, numbers: &[Number], parts: &[Part]) -> Vec<Input> {
    let mut names = BTreeSet::new();
    let mut inputs: Vec<Input> = Vec::new();
    for (index, (number, &part)) in numbers.iter().zip(parts).enumerate() {
        let content = match part {
            Part::Live | Part::Idle => Content::Input,
            Part::Fixed => Content::Fixed,
            Part::Rest => {
                let others = numbers.iter().zip(&inputs);
                let others = others.filter(|(other, _)| other.rest == Some(index));
                let left = others.fold(Formula::Number(1.0), |left, (_, input)| {
                    difference(left, input.cell.into())
                });
                Content::Formula(left)
            }
        };
        let name = name(&number.address, &mut names);
        inputs.push(Input {
            address: number.address.clone(),
            dimension: number.dimension,
            value: number.value,
            cell: book.add(content, Value::Number(number.value), Some(name)),
            part,
        });
    }
    inputs
}

/// The name of a cell: the address without its first word where that says only
/// "nodes" or "mission", every run of other signs than letters and digits one
/// underscore.
fn name(address: &str, taken: &mut BTreeSet<String>) -> String {
    let kept = address
        .strip_prefix("nodes.")
        .or_else(|| address.strip_prefix("mission."))
        .unwrap_or(address);
    let mut name = String::new();
    for letter in kept.chars() {
        match letter {
            'a'..='z' | 'A'..='Z' | '0'..='9' => name.push(letter),
            _ if name.ends_with('_') => {}
            _ => name.push('_'),
        }
    }
    // A spreadsheet takes "ab12" and "r" for cells, and wants a letter first.
    if !name.contains('_') || !name.starts_with(|first: char| first.is_ascii_alphabetic()) {
        name = format!("input_{name}");
    }
    name.truncate(200);
    let mut unique = name.clone();
    let mut number = 2;
    while !taken.insert(unique.to_ascii_lowercase()) {
        unique = format!("{name}_{number}");
        number += 1;
    }
    unique
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_those_of_a_spreadsheet_and_unique() {
        let mut taken = BTreeSet::new();
        let mut name = |address| super::name(address, &mut taken);
        assert_eq!(name("nodes.drum still.unit.mass"), "drum_still_unit_mass");
        assert_eq!(name("nodes.Drum-still.unit.mass"), "Drum_still_unit_mass_2");
        assert_eq!(name("nodes.größe.unit.mass"), "gr_e_unit_mass");
        assert_eq!(name("nodes.1.x"), "input_1_x");
        assert_eq!(name("ab12"), "input_ab12");
    }
}
