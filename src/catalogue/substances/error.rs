//! Why a substance cannot be declared.

use crate::diagnostic::Place;
use std::fmt;

/// Why a substance cannot be declared.
#[derive(Clone, PartialEq, Debug)]
pub enum SubstanceError {
    /// A mixture fraction is not above 0 or is above 1.
    Fraction {
        /// The mixture.
        name: String,
        /// The part it is of.
        part: String,
        /// The fraction.
        value: f64,
    },
    /// The fractions of a mixture miss 1 by more than 1e-6.
    Sum {
        /// The mixture.
        name: String,
        /// What they sum to.
        sum: f64,
    },
    /// A substance that the crew profile does not have is said to be of it.
    NotOfProfile {
        /// The substance.
        name: String,
    },
    /// A name that is already known means something else there.
    Disagrees {
        /// The name.
        name: String,
        /// What one kilogram is declared to hold.
        declared: String,
        /// What one kilogram is known to hold.
        known: String,
        /// Where it was declared; `None` if it is built in.
        earlier: Option<Place>,
    },
}

impl fmt::Display for SubstanceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Fraction { name, part, value } => {
                write!(
                    f,
                    "`{name}` holds a fraction {value} of `{part}`; fractions lie above 0 and up to 1"
                )
            }
            Self::Sum { name, sum } => {
                let shown = (sum * 1e9).round() / 1e9 + 0.0; // without the last bits and the sign of zero
                write!(f, "the fractions of `{name}` sum to {shown}, not to 1")
            }
            Self::NotOfProfile { name } => write!(f, "the crew profile has no `{name}`"),
            Self::Disagrees {
                name,
                declared,
                known,
                earlier,
            } => {
                let known_as = if earlier.is_some() {
                    "was declared as"
                } else {
                    "is built in as"
                };
                write!(
                    f,
                    "`{name}` {known_as} {known} by mass, but is declared here as {declared}"
                )
            }
        }
    }
}

impl std::error::Error for SubstanceError {}
