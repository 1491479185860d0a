use super::units::{Unit, nearest_unit};
use super::{Dimension, QuantityError};
use winnow::ascii::{digit1, space0};
use winnow::combinator::{alt, opt, preceded};
use winnow::prelude::*;
use winnow::token::{one_of, rest};

/// Reads a quantity such as `9.6 kg/d` and gives its number in the canonical
/// unit of the wanted dimension. Bare dimensions (a fraction, a number, a
/// whole number) are read without a unit.
///
/// The space before the unit may be missing and thousands may be set off by
/// commas. Only temperatures and bare numbers may be below zero.
///
/// ```
/// use loopwright::quantity::{Dimension, parse};
/// assert_eq!(parse("12 h/wk", Dimension::CrewTime)?, 12.0 / 7.0);
/// assert_eq!(parse("200L", Dimension::Volume)?, 0.2);
/// assert_eq!(parse("1,100 kg", Dimension::Mass)?, 1100.0);
/// let typo = parse("9 kg/day", Dimension::MassRate).unwrap_err();
/// assert_eq!(typo.help(), "did you mean kg/d?");
/// # Ok::<(), loopwright::quantity::QuantityError>(())
/// ```
///
/// # Errors
/// A [`QuantityError`] that says what was found and what was wanted.
pub fn parse(text: &str, wanted: Dimension) -> Result<f64, QuantityError> {
    let (number, value, unit) = split(text, wanted)?;
    if wanted.is_bare() {
        return bare(text, number, value, unit, wanted);
    }
    let unit = known_unit(number, value, unit, wanted)?;
    if !unit.measures(wanted) {
        return Err(unfit(unit, text, number, wanted));
    }
    checked(unit.convert(value, wanted), text.trim(), wanted)
}

/// Reads a mass of water: as [`parse`], and a litre counts as a kilogram.
///
/// ```
/// use loopwright::quantity::parse_water_mass;
/// assert_eq!(parse_water_mass("1.3 L")?, 1.3);
/// # Ok::<(), loopwright::quantity::QuantityError>(())
/// ```
///
/// # Errors
/// As for [`parse`].
pub fn parse_water_mass(text: &str) -> Result<f64, QuantityError> {
    maybe_litres(text, Dimension::Mass).map(|(value, _)| value)
}

/// Reads a mass flow of water: as [`parse`], and a litre counts as a kilogram.
///
/// # Errors
/// As for [`parse`].
pub fn parse_water_rate(text: &str) -> Result<f64, QuantityError> {
    maybe_litres(text, Dimension::MassRate).map(|(value, _)| value)
}

/// Reads a mass or mass flow that may be in litres; says whether it was.
pub(crate) fn maybe_litres(text: &str, wanted: Dimension) -> Result<(f64, bool), QuantityError> {
    let (number, value, unit) = split(text, wanted)?;
    let unit = known_unit(number, value, unit, wanted)?;
    if unit.litres_for(wanted) {
        return Ok((
            checked(unit.convert_water(value, wanted), text.trim(), wanted)?,
            true,
        ));
    }
    parse(text, wanted).map(|value| (value, false))
}

/// Reads a difference between two quantities, which is the quantity itself
/// except for temperatures: `2 K` and `2 °C` are both 2.
pub(crate) fn parse_difference(text: &str, wanted: Dimension) -> Result<f64, QuantityError> {
    if wanted != Dimension::Temperature {
        return parse(text, wanted);
    }
    let (number, value, unit) = split(text, wanted)?;
    let unit = known_unit(number, value, unit, wanted)?;
    if unit.measures(wanted) {
        Ok(value)
    } else {
        Err(unfit(unit, text, number, wanted))
    }
}

/// Reads a bare number as RON or a person writes it: `0.95`, `1_000`, `2e-3`.
///
/// # Errors
/// Not a number, or not finite.
pub fn number(text: &str) -> Result<f64, QuantityError> {
    parse(text, Dimension::Number)
}

/// The number as written, its value, and what follows it.
fn split(text: &str, wanted: Dimension) -> Result<(&str, f64, &str), QuantityError> {
    let unread = || QuantityError::NotANumber {
        text: text.trim().to_string(),
        wanted,
    };
    let text = text.trim();
    if let Some(word) = not_finite(text) {
        return Err(QuantityError::NotFinite {
            number: word.to_string(),
        });
    }
    let (number, unit) = (number_text, preceded(space0, rest))
        .parse(text)
        .map_err(|_| unread())?;
    if !commas_set_off_thousands(number) {
        return Err(QuantityError::Comma {
            number: number.to_string(),
        });
    }
    let plain: String = number
        .chars()
        .filter(|c| *c != ',' && *c != '_')
        .map(|c| if c == '−' { '-' } else { c })
        .collect();
    let value: f64 = plain.parse().map_err(|_| unread())?;
    if !value.is_finite() {
        return Err(QuantityError::NotFinite {
            number: number.to_string(),
        });
    }
    Ok((number, value, unit.trim()))
}

/// `1,100`, `.5`, `-2.5e3`: a sign, digits with commas or underscores between
/// them, decimals, an exponent.
fn number_text<'a>(input: &mut &'a str) -> ModalResult<&'a str> {
    fn digits(input: &mut &str) -> ModalResult<()> {
        digit1.void().parse_next(input)?;
        loop {
            let before = *input;
            if opt((one_of([',', '_']), digit1))
                .parse_next(input)?
                .is_none()
            {
                *input = before;
                return Ok(());
            }
        }
    }
    let whole = (digits, opt(('.', opt(digits)))).void();
    let decimals = ('.', digits).void();
    let exponent = (one_of(['e', 'E']), opt(one_of(['+', '-'])), digit1);
    (
        opt(one_of(['+', '-', '−'])),
        alt((whole, decimals)),
        opt(exponent),
    )
        .take()
        .parse_next(input)
}

/// The word at the start if it is one for something that is not finite.
fn not_finite(text: &str) -> Option<&str> {
    let first = text.split([' ', '\t']).next().unwrap_or(text);
    let plain = first.trim_start_matches(['+', '-']);
    let known = ["nan", "inf", "infinity", "infinite", "∞"];
    known
        .iter()
        .any(|word| plain.eq_ignore_ascii_case(word))
        .then_some(first)
}

/// Commas must stand before groups of three digits and nowhere behind the
/// point: `1,5` is most likely a decimal comma.
fn commas_set_off_thousands(number: &str) -> bool {
    let whole = number.split(['.', 'e', 'E']).next().unwrap_or(number);
    if number.len() > whole.len() && number[whole.len()..].contains(',') {
        return false;
    }
    let mut groups = whole.trim_start_matches(['+', '-', '−']).split(',');
    let first = groups.next().unwrap_or("");
    let mut rest = groups.peekable();
    if rest.peek().is_none() {
        return true;
    }
    (1..=3).contains(&first.len()) && first != "0" && rest.all(|group| group.len() == 3)
}

fn bare(
    text: &str,
    number: &str,
    value: f64,
    unit: &str,
    wanted: Dimension,
) -> Result<f64, QuantityError> {
    if let Some(percent) = percentage(value, unit, wanted) {
        return Err(percent);
    }
    if let Some(below) = unit.strip_prefix('/')
        && let Ok(below) = below.trim().parse::<f64>()
    {
        return Err(QuantityError::Division {
            text: text.trim().to_string(),
            value: value / below,
        });
    }
    if !unit.is_empty() {
        return Err(QuantityError::Unit {
            text: text.trim().to_string(),
            wanted,
        });
    }
    if wanted == Dimension::Whole && (value.fract() != 0.0 || number.contains(['.', 'e', 'E'])) {
        return Err(QuantityError::NotWhole {
            number: number.to_string(),
        });
    }
    checked(value, number, wanted)
}

fn percentage(value: f64, unit: &str, wanted: Dimension) -> Option<QuantityError> {
    matches!(unit, "%" | "percent" | "per cent" | "pct").then_some(QuantityError::Percent {
        number: value,
        wanted,
    })
}

fn known_unit(
    number: &str,
    value: f64,
    unit: &str,
    wanted: Dimension,
) -> Result<Unit, QuantityError> {
    if unit.is_empty() {
        return Err(QuantityError::NoUnit {
            number: number.to_string(),
            wanted,
        });
    }
    if let Some(percent) = percentage(value, unit, wanted) {
        return Err(percent);
    }
    Unit::find(unit).ok_or_else(|| QuantityError::UnknownUnit {
        unit: unit.to_string(),
        wanted,
        nearest: nearest_unit(unit, wanted),
    })
}

/// A known unit that does not measure what is wanted.
fn unfit(unit: Unit, text: &str, number: &str, wanted: Dimension) -> QuantityError {
    let written = text
        .trim()
        .strip_prefix(number)
        .unwrap_or(text)
        .trim()
        .to_string();
    if unit.litres_for(wanted) {
        return QuantityError::Litres {
            unit: written,
            wanted,
        };
    }
    match unit.dimension() {
        Some(found) => QuantityError::WrongDimension {
            unit: written,
            found,
            wanted,
        },
        None => QuantityError::UnknownUnit {
            nearest: nearest_unit(&written, wanted),
            unit: written,
            wanted,
        },
    }
}

/// The largest quantity that is read, in the canonical unit: beside a million tonnes
/// or a gigawatt, nothing that a person adds up would be seen any more.
const MOST: f64 = 1e9;

/// Finite and in range; minus zero becomes zero.
fn checked(value: f64, written: &str, wanted: Dimension) -> Result<f64, QuantityError> {
    if !value.is_finite() {
        return Err(QuantityError::NotFinite {
            number: written.to_string(),
        });
    }
    if !wanted.is_bare() && value > MOST {
        return Err(QuantityError::TooLarge {
            text: written.to_string(),
            wanted,
            most: MOST,
        });
    }
    let fits = match wanted {
        Dimension::Number => true,
        Dimension::Fraction => (0.0..=1.0).contains(&value),
        Dimension::Whole => (0.0..=f64::from(u32::MAX)).contains(&value),
        Dimension::Temperature => value >= -273.15,
        _ => value >= 0.0,
    };
    if !fits {
        return Err(QuantityError::OutOfRange {
            text: written.to_string(),
            wanted,
        });
    }
    Ok(value + 0.0)
}
