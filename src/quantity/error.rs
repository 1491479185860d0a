use super::Dimension;
use crate::diagnostic::{Code, codes};
use std::fmt;

/// Why a text is not the quantity that was wanted. `Display` gives the
/// message, [`QuantityError::help`] the next act.
#[derive(Clone, PartialEq, Debug)]
pub enum QuantityError {
    /// No number at the start, or more than a number.
    NotANumber {
        /// The text.
        text: String,
        /// What was wanted.
        wanted: Dimension,
    },
    /// `1,5`: a comma that does not set off thousands.
    Comma {
        /// The number as written.
        number: String,
    },
    /// Infinite, not a number, or too large to hold.
    NotFinite {
        /// The number as written.
        number: String,
    },
    /// A number and no unit.
    NoUnit {
        /// The number as written.
        number: String,
        /// What was wanted.
        wanted: Dimension,
    },
    /// A unit that is not known.
    UnknownUnit {
        /// The unit as written.
        unit: String,
        /// What was wanted.
        wanted: Dimension,
        /// The nearest unit of what was wanted.
        nearest: Option<String>,
    },
    /// A known unit that measures something else.
    WrongDimension {
        /// The unit as written.
        unit: String,
        /// What it measures.
        found: Dimension,
        /// What was wanted.
        wanted: Dimension,
    },
    /// Litres where a mass is wanted.
    Litres {
        /// The unit as written.
        unit: String,
        /// What was wanted.
        wanted: Dimension,
    },
    /// A percentage.
    Percent {
        /// The number before the sign.
        number: f64,
        /// What was wanted.
        wanted: Dimension,
    },
    /// A division such as `1/2`.
    Division {
        /// The text.
        text: String,
        /// Its value.
        value: f64,
    },
    /// A unit after a number that takes none.
    Unit {
        /// The text.
        text: String,
        /// What was wanted.
        wanted: Dimension,
    },
    /// Neither of two quantities that their units would tell apart.
    Neither {
        /// What is wrong: no unit, an unknown one, or one of neither.
        code: Code,
        /// The number or unit as written.
        text: String,
        /// What was wanted.
        wanted: [Dimension; 2],
        /// The nearest unit of either.
        nearest: Option<String>,
    },
    /// Not a whole number, 0 or more.
    NotWhole {
        /// The number as written.
        number: String,
    },
    /// Outside what the dimension allows.
    OutOfRange {
        /// The number as written, with its unit.
        text: String,
        /// What was wanted.
        wanted: Dimension,
    },
    /// More than any design needs: the rest of it would vanish beside the number.
    TooLarge {
        /// The number as written, with its unit.
        text: String,
        /// What was wanted.
        wanted: Dimension,
        /// The most that is read, in the canonical unit.
        most: f64,
    },
}

impl QuantityError {
    /// The mistake in a text that may be either of two quantities, from what
    /// is wrong with it as each. A mistake that has nothing to do with the
    /// unit is the same for both.
    pub(crate) fn either(first: Self, second: Self, wanted: [Dimension; 2]) -> Self {
        let (text, nearest) = match (&first, &second) {
            (Self::NoUnit { number, .. }, _) => (number.clone(), None),
            (Self::UnknownUnit { unit, nearest, .. }, Self::UnknownUnit { nearest: other, .. }) => {
                (unit.clone(), nearest.clone().or_else(|| other.clone()))
            }
            (Self::WrongDimension { .. }, Self::WrongDimension { unit, .. }) => {
                (unit.clone(), None)
            }
            // The unit fits one of them, so what is wrong is told of that one.
            (Self::WrongDimension { .. } | Self::Litres { .. }, _) => return second,
            _ => return first,
        };
        Self::Neither {
            code: first.code(),
            text,
            wanted,
            nearest,
        }
    }

    /// The code of its diagnostic.
    pub fn code(&self) -> Code {
        match self {
            QuantityError::NotANumber { .. } | QuantityError::Comma { .. } => codes::NOT_A_NUMBER,
            QuantityError::NotFinite { .. } => codes::NOT_FINITE,
            QuantityError::NoUnit { .. } => codes::BARE_NUMBER,
            QuantityError::UnknownUnit { .. } => codes::UNKNOWN_UNIT,
            QuantityError::WrongDimension { .. } | QuantityError::Unit { .. } => {
                codes::WRONG_DIMENSION
            }
            QuantityError::Litres { .. } => codes::LITRES,
            QuantityError::Percent { .. } | QuantityError::Division { .. } => codes::PERCENT,
            QuantityError::Neither { code, .. } => *code,
            QuantityError::NotWhole { .. } => codes::NOT_WHOLE,
            QuantityError::OutOfRange { .. } | QuantityError::TooLarge { .. } => {
                codes::OUT_OF_RANGE
            }
        }
    }

    /// The next act.
    pub fn help(&self) -> String {
        match self {
            QuantityError::NotANumber { wanted, .. } | QuantityError::Unit { wanted, .. } => {
                format!("write it such as {}", example(*wanted))
            }
            QuantityError::Comma { number } => {
                format!(
                    "write a point for the decimals: {}",
                    number.replace(',', ".")
                )
            }
            QuantityError::NotFinite { .. } => "leave it out if there is no limit".into(),
            QuantityError::NoUnit { number, wanted } => {
                format!("write it with its unit: \"{number} {}\"", wanted.unit())
            }
            QuantityError::UnknownUnit {
                wanted, nearest, ..
            } => match nearest {
                Some(unit) => format!("did you mean {unit}?"),
                None => known(*wanted),
            },
            QuantityError::WrongDimension { wanted, .. } => known(*wanted),
            QuantityError::Litres { wanted, .. } => format!(
                "a litre counts as a kilogram only for grades of water; write {}",
                wanted.unit()
            ),
            QuantityError::Percent { number, wanted } => match wanted {
                bare if bare.is_bare() => format!("write {}", super::shown_number(number / 100.0)),
                other => known(*other),
            },
            QuantityError::Division { value, .. } if value.is_finite() => {
                format!("write {}", super::shown_number(*value))
            }
            QuantityError::Division { .. } => "write a number from 0 to 1".into(),
            QuantityError::Neither {
                wanted: [first, second],
                nearest,
                ..
            } => match nearest {
                Some(unit) => format!("did you mean {unit}?"),
                None => format!("{}; {}", known(*first), known(*second)),
            },
            QuantityError::NotWhole { number } => match number.parse::<f64>() {
                Ok(value) if value.fract() == 0.0 && value.abs() < 1e9 => {
                    format!("write {value}")
                }
                _ => "write a whole number such as 2".into(),
            },
            QuantityError::TooLarge { .. } => {
                "look for a slip of the keyboard in the number or its unit".into()
            }
            QuantityError::OutOfRange { wanted, text } => match wanted {
                Dimension::Fraction => match text.parse::<f64>() {
                    Ok(percent) if (2.0..=100.0).contains(&percent) => format!(
                        "write a number from 0 to 1; if {text} % is meant, {}",
                        super::shown_number(percent / 100.0)
                    ),
                    _ => "write a number from 0 to 1".into(),
                },
                Dimension::Temperature => "nothing is colder than -273.15 °C".into(),
                Dimension::Whole => {
                    "write a whole number, 0 or more, of no more than nine digits".into()
                }
                _ => "write 0 or more".into(),
            },
        }
    }
}

/// An example as the file writes it: quoted where it has a unit.
fn example(dimension: Dimension) -> String {
    if dimension.is_bare() {
        dimension.example().to_string()
    } else {
        format!("\"{}\"", dimension.example())
    }
}

fn known(wanted: Dimension) -> String {
    format!(
        "units for {}: {}",
        wanted
            .words()
            .trim_start_matches("an ")
            .trim_start_matches("a "),
        super::units::usual(wanted).join(", ")
    )
}

/// A text that begins with a number as people read it: without the last digits that a
/// computed number has.
fn shortened(text: &str) -> String {
    let is_number = |letter: char| letter.is_ascii_digit() || "+-.eE".contains(letter);
    let end = text.find(|letter| !is_number(letter)).unwrap_or(text.len());
    let (number, rest) = text.split_at(end);
    let digits = number.bytes().filter(u8::is_ascii_digit).count();
    let short = number.parse().ok().and_then(|value: f64| {
        let few: f64 = format!("{value:.11e}").parse().ok()?;
        Some(few.to_string())
    });
    match short {
        Some(short) if digits > 12 && short.len() < number.len() => format!("{short}{rest}"),
        _ => text.to_owned(),
    }
}

impl fmt::Display for QuantityError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            QuantityError::NotANumber { text, wanted } => {
                write!(
                    formatter,
                    "expected {wanted} such as {}, found \"{text}\"",
                    example(*wanted)
                )
            }
            QuantityError::Comma { number } => {
                write!(
                    formatter,
                    "\"{number}\" has a comma that does not set off thousands"
                )
            }
            QuantityError::NotFinite { number } => {
                write!(formatter, "{number} is not a finite number")
            }
            QuantityError::NoUnit { number, wanted } => write!(
                formatter,
                "expected {wanted} such as {}, found the number {number} without a unit",
                example(*wanted)
            ),
            QuantityError::UnknownUnit { unit, wanted, .. } => {
                write!(formatter, "unknown unit \"{unit}\" for {wanted}")
            }
            QuantityError::WrongDimension {
                unit,
                found,
                wanted,
            } => write!(
                formatter,
                "expected {wanted}, but \"{unit}\" measures {found}"
            ),
            QuantityError::Litres { unit, wanted } => {
                let found = if *wanted == Dimension::MassRate {
                    Dimension::VolumeRate
                } else {
                    Dimension::Volume
                };
                write!(
                    formatter,
                    "expected {wanted}, but \"{unit}\" measures {found}"
                )
            }
            QuantityError::Percent { number, wanted } => write!(
                formatter,
                "expected {wanted}, found a percentage, {}%",
                super::shown_number(*number)
            ),
            QuantityError::Division { text, .. } => {
                write!(
                    formatter,
                    "expected a fraction between 0 and 1, found the division {text}"
                )
            }
            QuantityError::Unit { text, wanted } => {
                write!(
                    formatter,
                    "expected {wanted} without a unit, found \"{text}\""
                )
            }
            QuantityError::Neither {
                text,
                wanted: [first, second],
                ..
            } => write!(
                formatter,
                "expected {first} such as {} or {second} such as {}, found {text}",
                example(*first),
                example(*second)
            ),
            QuantityError::NotWhole { number } => {
                write!(
                    formatter,
                    "expected a whole number, found {}",
                    shortened(number)
                )
            }
            QuantityError::TooLarge { text, wanted, most } => {
                let most = super::shown(*most, *wanted);
                write!(
                    formatter,
                    "expected {wanted} of at most {most}, found {}",
                    shortened(text)
                )
            }
            QuantityError::OutOfRange { text, wanted } => match wanted {
                Dimension::Fraction => {
                    write!(
                        formatter,
                        "expected a fraction between 0 and 1, found {}",
                        shortened(text)
                    )
                }
                Dimension::Temperature => {
                    write!(formatter, "{} is below absolute zero", shortened(text))
                }
                _ => write!(
                    formatter,
                    "expected {wanted} of 0 or more, found {}",
                    shortened(text)
                ),
            },
        }
    }
}

impl std::error::Error for QuantityError {}
