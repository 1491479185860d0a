//! Standard atomic weights and chemical formulas.

mod parse;
mod weights;

use std::collections::BTreeMap;
use std::fmt;
use weights::WEIGHTS;

/// The largest number of atoms of one element that a formula may hold.
const MOST_ATOMS: u32 = 1_000_000;

/// A chemical element with a standard atomic weight, ordered by symbol.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Element(&'static str);

impl Element {
    /// The element of a symbol, `None` if there is none with a standard
    /// atomic weight.
    ///
    /// ```
    /// use loopwright::physics::Element;
    /// assert_eq!(Element::of_symbol("O").map(|o| o.atomic_weight()), Some(15.999));
    /// assert_eq!(Element::of_symbol("Xx"), None);
    /// ```
    #[must_use]
    pub fn of_symbol(symbol: &str) -> Option<Self> {
        let at = WEIGHTS
            .binary_search_by_key(&symbol, |(known, _)| known)
            .ok()?;
        WEIGHTS.get(at).map(|(known, _)| Self(known))
    }

    /// The symbol: `"Na"`.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        self.0
    }

    /// Standard atomic weight, g/mol.
    #[must_use]
    pub fn atomic_weight(self) -> f64 {
        WEIGHTS
            .iter()
            .find_map(|(symbol, weight)| (*symbol == self.0).then_some(*weight))
            .unwrap_or(f64::NAN)
    }
}

impl fmt::Display for Element {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0)
    }
}

/// A chemical formula: how many atoms of each element one molecule holds.
///
/// Two formulas are equal if they hold the same atoms, however written:
/// `H2O` and `OH2`.
#[derive(Clone, Debug)]
pub struct Formula {
    text: String,
    atoms: BTreeMap<Element, u32>,
}

impl PartialEq for Formula {
    fn eq(&self, other: &Self) -> bool {
        self.atoms == other.atoms
    }
}

impl Eq for Formula {}

impl fmt::Display for Formula {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// Why a text is no formula.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FormulaError {
    /// Where in the text, a range of bytes.
    pub at: std::ops::Range<usize>,
    /// What is wrong there, a clause without a full stop.
    pub message: String,
}

impl fmt::Display for FormulaError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for FormulaError {}

impl Formula {
    /// Reads a formula such as `C2H2` or `Ca(OH)2`; subscript digits (`CO₂`)
    /// count as digits.
    ///
    /// # Errors
    /// An unknown element, a count of zero or beyond a million, unpaired
    /// parentheses, an empty text, or any other character.
    ///
    /// ```
    /// use loopwright::physics::Formula;
    /// let lime = Formula::parse("Ca(OH)2").unwrap();
    /// assert!((lime.molar_mass_g_per_mol() - 74.092).abs() < 1e-9);
    /// assert!(Formula::parse("H2Q").is_err());
    /// ```
    pub fn parse(text: &str) -> Result<Self, FormulaError> {
        parse::atoms(text).map(|atoms| Self {
            text: text.to_owned(),
            atoms,
        })
    }

    /// Atoms of each element in one molecule.
    #[must_use]
    pub fn atoms(&self) -> &BTreeMap<Element, u32> {
        &self.atoms
    }

    /// Molar mass, g/mol: the sum of count × atomic weight.
    ///
    /// ```
    /// use loopwright::physics::Formula;
    /// let acetylene = Formula::parse("C2H2").unwrap();
    /// assert!((acetylene.molar_mass_g_per_mol() - 26.038).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn molar_mass_g_per_mol(&self) -> f64 {
        self.atoms
            .iter()
            .map(|(element, count)| f64::from(*count) * element.atomic_weight())
            .sum()
    }

    /// Mass of each element in one kilogram, kg/kg; they sum to 1.
    ///
    /// ```
    /// use loopwright::physics::{Element, Formula};
    /// let water = Formula::parse("H2O").unwrap().mass_fractions();
    /// let oxygen = water[&Element::of_symbol("O").unwrap()];
    /// assert!((oxygen - 0.888093).abs() < 5e-7);
    /// ```
    #[must_use]
    pub fn mass_fractions(&self) -> BTreeMap<Element, f64> {
        let whole = self.molar_mass_g_per_mol();
        self.atoms
            .iter()
            .map(|(element, count)| {
                (
                    *element,
                    f64::from(*count) * element.atomic_weight() / whole,
                )
            })
            .collect()
    }
}

#[cfg(test)]
mod tests;
