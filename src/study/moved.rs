//! A number that moves, and the share that gives way to it.

use super::axis::MISSION_LENGTH;
use crate::design::Design;
use crate::quantity::Dimension;

/// What differences of shares leave by rounding.
const ROUNDING: f64 = 1e-12;

/// A number of a design that a study moves.
#[derive(Clone, Debug, PartialEq)]
pub struct Movable {
    /// Its address.
    pub address: String,
    /// What it measures.
    pub dimension: Dimension,
    /// Its value in the design, in the canonical unit.
    pub value: f64,
    /// Where it is one of several shares that sum to one: the largest of the others,
    /// which takes the difference.
    pub taker: Option<Taker>,
}

/// The share that takes the difference.
#[derive(Clone, Debug, PartialEq)]
pub struct Taker {
    /// Its address.
    pub address: String,
    /// Its value in the design.
    pub value: f64,
}

/// Why a number cannot be moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unmovable {
    /// The design has no such number.
    Unknown,
    /// Every share that could take the difference moves by itself.
    NoTaker,
}

impl Movable {
    /// The number at an address of a design; `moving` are addresses of numbers that
    /// move at the same time, and so take no difference.
    ///
    /// # Errors
    ///
    /// There is no such number, or no share that could take the difference.
    pub fn of(design: &Design, address: &str, moving: &[&str]) -> Result<Movable, Unmovable> {
        if address == MISSION_LENGTH {
            let phases = design.written.mission.phases.iter();
            return Ok(Movable {
                address: address.to_owned(),
                dimension: Dimension::Time,
                value: phases.map(|phase| phase.length.value.0).sum(),
                taker: None,
            });
        }
        let mut numbers = design.numbers.iter();
        let number = numbers
            .find(|number| number.address == address)
            .ok_or(Unmovable::Unknown)?;
        let others = design.shares_beside(address);
        let free = others
            .iter()
            .filter(|other| !moving.contains(&other.address.as_str()));
        // Of equally large ones, the first of the file.
        let largest = free.rev().max_by(|a, b| a.value.total_cmp(&b.value));
        if largest.is_none() && !others.is_empty() {
            return Err(Unmovable::NoTaker);
        }
        Ok(Movable {
            address: address.to_owned(),
            dimension: number.dimension,
            value: number.value,
            taker: largest.map(|other| Taker {
                address: other.address.clone(),
                value: other.value,
            }),
        })
    }

    /// The values that it can have at all: a share can take no more than there is.
    pub fn range(&self) -> (f64, f64) {
        match (self.dimension, &self.taker) {
            (Dimension::Fraction, Some(taker)) => (0.0, (self.value + taker.value).min(1.0)),
            (Dimension::Fraction, None) => (0.0, 1.0),
            _ => (f64::NEG_INFINITY, f64::INFINITY),
        }
    }
}

/// Every number that changes where some are moved to values: they and the shares
/// that take the differences.
pub fn changes<'a>(
    numbers: impl IntoIterator<Item = (&'a Movable, f64)>,
) -> Vec<(&'a str, f64, Dimension)> {
    let mut changes: Vec<(&str, f64, Dimension)> = Vec::new();
    let mut takers: Vec<(&str, f64, Dimension)> = Vec::new();
    for (number, value) in numbers {
        changes.push((&number.address, value, number.dimension));
        let Some(taker) = &number.taker else {
            continue;
        };
        let difference = value - number.value;
        match takers
            .iter_mut()
            .find(|(known, ..)| *known == taker.address)
        {
            Some((_, left, _)) => *left -= difference,
            None => takers.push((
                taker.address.as_str(),
                taker.value - difference,
                number.dimension,
            )),
        }
    }
    let rounded = |left: f64| if left.abs() < ROUNDING { 0.0 } else { left };
    changes.extend(
        takers
            .into_iter()
            .map(|(address, left, dimension)| (address, rounded(left), dimension)),
    );
    changes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::{self, Edits};
    use crate::diagnostic::Sources;

    fn outpost() -> Design {
        let mut sources = Sources::new();
        let file = sources.add("outpost", include_str!("../../designs/ridge-outpost.ron"));
        design::read(&sources, file, &Edits::default()).unwrap()
    }

    #[test]
    fn the_largest_other_yield_takes_the_difference() {
        let design = outpost();
        let distillate = "nodes.drum still.turns.urine.distillate";
        let brine = "nodes.drum still.turns.urine.still brine";
        let number = Movable::of(&design, distillate, &[distillate]).unwrap();
        assert_eq!(number.taker.as_ref().unwrap().address, brine);
        let moved = changes([(&number, 0.9)]);
        assert_eq!(moved[0], (distillate, 0.9, Dimension::Fraction));
        assert_eq!(moved[1].0, brine);
        assert!((moved[1].1 - 0.1).abs() < 1e-15);
        assert_eq!(number.range(), (0.0, 1.0));
        // Where both move, none is left to take it.
        let both = Movable::of(&design, distillate, &[distillate, brine]);
        assert_eq!(both, Err(Unmovable::NoTaker));
    }

    #[test]
    fn other_numbers_move_alone() {
        let design = outpost();
        let mass = Movable::of(&design, "nodes.polisher.unit.mass", &[]).unwrap();
        assert_eq!((mass.value, mass.taker), (137.0, None));
        let length = Movable::of(&design, MISSION_LENGTH, &[]).unwrap();
        assert_eq!(length.value, 730.0);
        let wrong = Movable::of(&design, "nodes.polisher.unit", &[]);
        assert_eq!(wrong, Err(Unmovable::Unknown));
    }
}
