//! Standard atomic weights and chemical formulas.

use std::collections::BTreeMap;
use std::fmt;

/// Standard atomic weights, g/mol, sorted by symbol.
///
/// Source: abridged standard atomic weights 2021 of the IUPAC Commission on
/// Isotopic Abundances and Atomic Weights, from memory, conventional values
/// for the elements with an interval. Elements without a standard weight are
/// left out. One table serves the whole program: mixing two sets of weights
/// would open every element balance.
const WEIGHTS: [(&str, f64); 84] = [
    ("Ag", 107.87),
    ("Al", 26.982),
    ("Ar", 39.95),
    ("As", 74.922),
    ("Au", 196.97),
    ("B", 10.81),
    ("Ba", 137.33),
    ("Be", 9.0122),
    ("Bi", 208.98),
    ("Br", 79.904),
    ("C", 12.011),
    ("Ca", 40.078),
    ("Cd", 112.41),
    ("Ce", 140.12),
    ("Cl", 35.45),
    ("Co", 58.933),
    ("Cr", 51.996),
    ("Cs", 132.91),
    ("Cu", 63.546),
    ("Dy", 162.50),
    ("Er", 167.26),
    ("Eu", 151.96),
    ("F", 18.998),
    ("Fe", 55.845),
    ("Ga", 69.723),
    ("Gd", 157.25),
    ("Ge", 72.630),
    ("H", 1.008),
    ("He", 4.0026),
    ("Hf", 178.49),
    ("Hg", 200.59),
    ("Ho", 164.93),
    ("I", 126.90),
    ("In", 114.82),
    ("Ir", 192.22),
    ("K", 39.098),
    ("Kr", 83.798),
    ("La", 138.91),
    ("Li", 6.94),
    ("Lu", 174.97),
    ("Mg", 24.305),
    ("Mn", 54.938),
    ("Mo", 95.95),
    ("N", 14.007),
    ("Na", 22.990),
    ("Nb", 92.906),
    ("Nd", 144.24),
    ("Ne", 20.180),
    ("Ni", 58.693),
    ("O", 15.999),
    ("Os", 190.23),
    ("P", 30.974),
    ("Pa", 231.04),
    ("Pb", 207.2),
    ("Pd", 106.42),
    ("Pr", 140.91),
    ("Pt", 195.08),
    ("Rb", 85.468),
    ("Re", 186.21),
    ("Rh", 102.91),
    ("Ru", 101.07),
    ("S", 32.06),
    ("Sb", 121.76),
    ("Sc", 44.956),
    ("Se", 78.971),
    ("Si", 28.085),
    ("Sm", 150.36),
    ("Sn", 118.71),
    ("Sr", 87.62),
    ("Ta", 180.95),
    ("Tb", 158.93),
    ("Te", 127.60),
    ("Th", 232.04),
    ("Ti", 47.867),
    ("Tl", 204.38),
    ("Tm", 168.93),
    ("U", 238.03),
    ("V", 50.942),
    ("W", 183.84),
    ("Xe", 131.29),
    ("Y", 88.906),
    ("Yb", 173.05),
    ("Zn", 65.38),
    ("Zr", 91.224),
];

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

/// Reading of formulas.
mod parse {
    use super::{BTreeMap, Element, FormulaError, MOST_ATOMS};

    type Atoms = BTreeMap<Element, u32>;

    fn wrong<T>(at: std::ops::Range<usize>, message: impl Into<String>) -> Result<T, FormulaError> {
        Err(FormulaError {
            at,
            message: message.into(),
        })
    }

    /// The text, how far it has been read, and the groups that are open.
    struct Reader<'a> {
        text: &'a str,
        at: usize,
    }

    impl Reader<'_> {
        fn peek(&self) -> Option<char> {
            self.text.get(self.at..)?.chars().next()
        }

        fn take_while(&mut self, wanted: impl Fn(char) -> bool) -> &str {
            let rest = self.text.get(self.at..).unwrap_or_default();
            let taken = rest.find(|c| !wanted(c)).unwrap_or(rest.len());
            self.at += taken;
            rest.get(..taken).unwrap_or_default()
        }

        /// A count after an element or group, 1 if none is written.
        fn count(&mut self) -> Result<u32, FormulaError> {
            let start = self.at;
            let digits: String = self
                .take_while(|c| digit(c).is_some())
                .chars()
                .filter_map(digit)
                .collect();
            let at = start..self.at;
            if digits.is_empty() {
                return Ok(1);
            }
            match digits.parse::<u32>() {
                Ok(0) => wrong(at, "a count of zero says nothing: leave the element out"),
                Ok(count) if count <= MOST_ATOMS => Ok(count),
                _ => wrong(at, format!("more than {MOST_ATOMS} atoms of one element")),
            }
        }

        /// An element symbol: a capital and the small letters after it.
        fn element(&mut self) -> Result<Element, FormulaError> {
            let start = self.at;
            self.at += 1;
            self.take_while(|c| c.is_ascii_lowercase());
            let symbol = self.text.get(start..self.at).unwrap_or_default();
            match Element::of_symbol(symbol) {
                Some(element) => Ok(element),
                None => wrong(
                    start..self.at,
                    format!("`{symbol}` is no element with a standard atomic weight"),
                ),
            }
        }
    }

    fn digit(c: char) -> Option<char> {
        match c {
            '0'..='9' => Some(c),
            '₀'..='₉' => char::from_digit(u32::from(c) - u32::from('₀'), 10),
            _ => None,
        }
    }

    fn add(
        into: &mut Atoms,
        what: Atoms,
        times: u32,
        at: std::ops::Range<usize>,
    ) -> Result<(), FormulaError> {
        for (element, count) in what {
            let sum = into.entry(element).or_insert(0);
            match count
                .checked_mul(times)
                .and_then(|more| more.checked_add(*sum))
            {
                Some(total) if total <= MOST_ATOMS => *sum = total,
                _ => return wrong(at, format!("more than {MOST_ATOMS} atoms of {element}")),
            }
        }
        Ok(())
    }

    pub(super) fn atoms(text: &str) -> Result<Atoms, FormulaError> {
        let mut reader = Reader { text, at: 0 };
        let mut done = Atoms::new();
        let mut open: Vec<(usize, Atoms)> = Vec::new(); // where each group opened, and what stood before it
        while let Some(c) = reader.peek() {
            let start = reader.at;
            match c {
                'A'..='Z' => {
                    let element = reader.element()?;
                    let count = reader.count()?;
                    add(
                        &mut done,
                        Atoms::from([(element, count)]),
                        1,
                        start..reader.at,
                    )?;
                }
                '(' => {
                    reader.at += 1;
                    open.push((start, std::mem::take(&mut done)));
                }
                ')' => {
                    reader.at += 1;
                    let Some((_, before)) = open.pop() else {
                        return wrong(start..reader.at, "`)` without `(`");
                    };
                    let group = std::mem::replace(&mut done, before);
                    if group.is_empty() {
                        return wrong(start..reader.at, "nothing between the parentheses");
                    }
                    let count = reader.count()?;
                    add(&mut done, group, count, start..reader.at)?;
                }
                'a'..='z' => {
                    return wrong(
                        start..start + 1,
                        format!("`{c}` starts no element: symbols start with a capital"),
                    );
                }
                _ if digit(c).is_some() => {
                    return wrong(
                        start..start + c.len_utf8(),
                        "a count stands after its element, not before",
                    );
                }
                '.' => return wrong(start..start + 1, "counts are whole numbers"),
                _ => {
                    return wrong(
                        start..start + c.len_utf8(),
                        format!("`{c}` has no place in a formula"),
                    );
                }
            }
        }
        if let Some((at, _)) = open.pop() {
            return wrong(at..at + 1, "`(` without `)`");
        }
        if done.is_empty() {
            return wrong(0..text.len(), "a formula names at least one element");
        }
        Ok(done)
    }
}

#[cfg(test)]
mod tests;
