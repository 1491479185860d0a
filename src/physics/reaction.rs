//! Chemical reactions as written: `CO2 + 4 H2 -> CH4 + 2 H2O`.

use super::atoms::{Element, Formula};
use std::fmt;
use std::ops::Range;

/// One species of a reaction.
#[derive(Clone, PartialEq, Debug)]
pub struct Species {
    /// Its formula.
    pub formula: Formula,
    /// Its coefficient, mol per reaction as written, > 0.
    pub coefficient: f64,
    /// Its mass, kg per kg of all reactants together.
    pub kg_per_kg: f64,
}

/// A reaction: what goes in and what comes out, in the order written.
#[derive(Clone, PartialEq, Debug)]
pub struct Reaction {
    /// The left side.
    pub reactants: Vec<Species>,
    /// The right side.
    pub products: Vec<Species>,
}

/// Why a text is no reaction.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ReactionError {
    /// Where in the text, a range of bytes.
    pub at: Range<usize>,
    /// What is wrong there, a clause without a full stop.
    pub message: String,
}

impl fmt::Display for ReactionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for ReactionError {}

impl Reaction {
    /// Reads a reaction. The arrow is `->` or `→`; a coefficient stands
    /// before its formula, 1 if left out, a whole or decimal number or a
    /// fraction (`1/2`). Whether the reaction balances is another question:
    /// see [`Reaction::imbalance`].
    ///
    /// # Errors
    /// A missing or second arrow, an empty side or term, a bad coefficient or
    /// formula, a species written twice.
    ///
    /// ```
    /// use loopwright::physics::Reaction;
    /// let methanation = Reaction::parse("CO2 + 4 H2 -> CH4 + 2 H2O").unwrap();
    /// assert!(methanation.imbalance().is_empty());
    /// let (dioxide, hydrogen) = (&methanation.reactants[0], &methanation.reactants[1]);
    /// assert!((hydrogen.kg_per_kg / dioxide.kg_per_kg - 0.183235).abs() < 5e-7);
    /// ```
    pub fn parse(text: &str) -> Result<Self, ReactionError> {
        let (left, right) = sides(text)?;
        let mut reactants = species(text, left)?;
        let mut products = species(text, right)?;
        let whole = reactants
            .iter()
            .map(|(_, species)| moles_mass(species))
            .sum::<f64>();
        for (at, species) in reactants.iter_mut().chain(&mut products) {
            species.kg_per_kg = moles_mass(species) / whole;
            if !species.kg_per_kg.is_finite() {
                return wrong(at.clone(), "the coefficients are too far apart to weigh");
            }
        }
        let all: Vec<_> = reactants.iter().chain(&products).collect();
        for (index, (at, one)) in all.iter().enumerate() {
            if all
                .iter()
                .take(index)
                .any(|(_, other)| other.formula == one.formula)
            {
                return wrong(at.clone(), format!("`{}` is written twice", one.formula));
            }
        }
        let bare = |side: Vec<(_, Species)>| side.into_iter().map(|(_, species)| species).collect();
        Ok(Self {
            reactants: bare(reactants),
            products: bare(products),
        })
    }

    /// The elements that do not balance, each with its moles of atoms on the
    /// left and on the right; empty if all balance to 1e-9.
    ///
    /// ```
    /// use loopwright::physics::Reaction;
    /// let wrong = Reaction::parse("CO2 + 2 H2 -> CH4 + 2 H2O").unwrap();
    /// let found: Vec<_> = wrong.imbalance().iter().map(|(e, l, r)| (e.symbol(), *l, *r)).collect();
    /// assert_eq!(found, [("H", 4.0, 8.0)]);
    /// ```
    #[must_use]
    pub fn imbalance(&self) -> Vec<(Element, f64, f64)> {
        let mut sums = std::collections::BTreeMap::<Element, (f64, f64)>::new();
        let left = self.reactants.iter().map(|species| (species, true));
        let right = self.products.iter().map(|species| (species, false));
        for (species, is_left) in left.chain(right) {
            for (element, count) in species.formula.atoms() {
                let sum = sums.entry(*element).or_default();
                *(if is_left { &mut sum.0 } else { &mut sum.1 }) +=
                    f64::from(*count) * species.coefficient;
            }
        }
        sums.into_iter()
            .filter(|(_, (left, right))| (left - right).abs() > 1e-9 * left.max(*right))
            .map(|(element, (left, right))| (element, left, right))
            .collect()
    }
}

fn wrong<T>(at: Range<usize>, message: impl Into<String>) -> Result<T, ReactionError> {
    Err(ReactionError {
        at,
        message: message.into(),
    })
}

fn moles_mass(species: &Species) -> f64 {
    species.coefficient * species.formula.molar_mass_g_per_mol()
}

/// The spans of the two sides.
fn sides(text: &str) -> Result<(Range<usize>, Range<usize>), ReactionError> {
    let mut arrows: Vec<_> = ["->", "→"]
        .iter()
        .flat_map(|arrow| {
            text.match_indices(arrow)
                .map(|(at, arrow)| at..at + arrow.len())
        })
        .collect();
    arrows.sort_by_key(|arrow| arrow.start);
    match arrows.as_slice() {
        [arrow] => Ok((0..arrow.start, arrow.end..text.len())),
        [] => wrong(
            0..text.len(),
            "a reaction has an arrow: `2 H2O -> 2 H2 + O2`",
        ),
        [_, second, ..] => wrong(second.clone(), "a reaction has one arrow"),
    }
}

/// The terms of one side with their spans, masses still unset.
fn species(text: &str, side: Range<usize>) -> Result<Vec<(Range<usize>, Species)>, ReactionError> {
    let mut found = Vec::new();
    let mut start = side.start;
    for term in text.get(side).unwrap_or_default().split('+') {
        let at = trimmed(text, start..start + term.len());
        found.push((at.clone(), one(text, at)?));
        start += term.len() + 1;
    }
    Ok(found)
}

/// A span without the blanks at its ends.
fn trimmed(text: &str, span: Range<usize>) -> Range<usize> {
    let slice = text.get(span.clone()).unwrap_or_default();
    let start = span.start + (slice.len() - slice.trim_start().len());
    start..start + slice.trim().len()
}

/// One term: coefficient and formula.
fn one(text: &str, at: Range<usize>) -> Result<Species, ReactionError> {
    let term = text.get(at.clone()).unwrap_or_default();
    if term.is_empty() {
        return wrong(at, "a species is missing here");
    }
    let digits = term
        .find(|c: char| !(c.is_ascii_digit() || "./".contains(c)))
        .unwrap_or(term.len());
    let coefficient = match term.get(..digits).unwrap_or_default() {
        "" => 1.0,
        written => match number(written) {
            Some(value) => value,
            None => {
                return wrong(
                    at.start..at.start + digits,
                    format!("`{written}` is no coefficient above zero"),
                );
            }
        },
    };
    let formula = trimmed(text, at.start + digits..at.end);
    match Formula::parse(text.get(formula.clone()).unwrap_or_default()) {
        Ok(parsed) => Ok(Species {
            formula: parsed,
            coefficient,
            kg_per_kg: 0.0,
        }),
        Err(error) => wrong(
            formula.start + error.at.start..formula.start + error.at.end,
            error.message,
        ),
    }
}

/// A finite number above zero: `4`, `0.5`, `1/2`.
fn number(written: &str) -> Option<f64> {
    let value = match written.split_once('/') {
        None => written.parse().ok()?,
        Some((above, below)) => above.parse::<f64>().ok()? / below.parse::<f64>().ok()?,
    };
    (f64::is_finite(value) && value > 0.0).then_some(value)
}

#[cfg(test)]
mod tests;
