//! What a kilogram of a substance holds, for the balance of elements.

use crate::physics::{Element, Formula};
use std::collections::BTreeMap;
use std::fmt;

/// What one kilogram holds, kg/kg. The three parts together sum to 1.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Contents {
    /// Chemical elements.
    pub elements: BTreeMap<Element, f64>,
    /// Matter of no stated formula that stays what it is, by its name
    /// ("urine solids"); conserved like an element.
    pub opaque: BTreeMap<String, f64>,
    /// Matter that may be anything.
    pub unstated: f64,
}

impl Contents {
    /// A pure substance.
    #[must_use]
    pub fn of_formula(formula: &Formula) -> Self {
        Self {
            elements: formula.mass_fractions(),
            ..Self::default()
        }
    }

    /// Named matter of no stated formula.
    #[must_use]
    pub fn of_opaque(name: &str) -> Self {
        Self {
            opaque: BTreeMap::from([(name.to_owned(), 1.0)]),
            ..Self::default()
        }
    }

    /// Matter that may be anything.
    #[must_use]
    pub fn unstated() -> Self {
        Self {
            unstated: 1.0,
            ..Self::default()
        }
    }

    /// The sum of `amount × contents`.
    pub fn sum<'a>(parts: impl IntoIterator<Item = (f64, &'a Self)>) -> Self {
        let mut whole = Self::default();
        for (amount, part) in parts {
            for (element, kg) in &part.elements {
                *whole.elements.entry(*element).or_default() += amount * kg;
            }
            for (name, kg) in &part.opaque {
                *whole.opaque.entry(name.clone()).or_default() += amount * kg;
            }
            whole.unstated += amount * part.unstated;
        }
        whole
    }

    /// The mass of all that is held, kg.
    #[must_use]
    pub fn mass(&self) -> f64 {
        self.elements.values().sum::<f64>() + self.opaque.values().sum::<f64>() + self.unstated
    }

    /// The greatest difference in any part, kg/kg.
    #[must_use]
    pub fn distance(&self, other: &Self) -> f64 {
        let apart = Self::sum([(1.0, self), (-1.0, other)]);
        let parts = apart.elements.values().chain(apart.opaque.values());
        parts.fold(apart.unstated.abs(), |worst, part| worst.max(part.abs()))
    }
}

impl fmt::Display for Contents {
    /// "0.1119 H, 0.8881 O".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let elements = self
            .elements
            .iter()
            .map(|(element, kg)| (element.symbol(), *kg));
        let opaque = self.opaque.iter().map(|(name, kg)| (name.as_str(), *kg));
        let unstated = (self.unstated > 0.0).then_some(("of no stated composition", self.unstated));
        for (index, (name, kg)) in elements.chain(opaque).chain(unstated).enumerate() {
            let comma = if index == 0 { "" } else { ", " };
            write!(f, "{comma}{kg:.4} {name}")?;
        }
        Ok(())
    }
}
