//! Whole random designs, written as a person would write them.

mod air;
#[path = "../properties/dice.rs"]
#[allow(dead_code, reason = "not every throw is used here")]
pub mod dice;
mod draft;
mod features;
mod keeping;
mod mission;
mod people;
mod spoil;
mod unit;
mod water;
mod whole;

use std::collections::BTreeSet;

use dice::Dice;
use draft::Draft;
pub use features::FEATURES;
use spoil::Spoil;

/// A random design.
pub struct RandomDesign {
    /// The file.
    pub text: String,
    /// The variant in which it is to be solved.
    pub variant: Option<&'static str>,
    /// What it uses of the format.
    pub features: BTreeSet<&'static str>,
}

/// The design of a seed: the same on every machine. About one in four has no balance.
pub fn random_design(seed: u64) -> RandomDesign {
    let mut dice = Dice::new(seed);
    let spoil = Spoil::thrown(&mut dice);
    let mut draft = Draft::new(dice, BTreeSet::new(), spoil);
    people::thrown(&mut draft);
    water::thrown(&mut draft);
    air::thrown(&mut draft);
    keeping::thrown(&mut draft);
    whole::thrown(&mut draft);
    RandomDesign {
        text: draft.text(&format!("Random design {seed}")),
        variant: draft.features.contains("variant").then_some("other"),
        features: draft.features,
    }
}
