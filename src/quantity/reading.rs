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

/// Finite and in range; minus zero becomes zero.
fn checked(value: f64, written: &str, wanted: Dimension) -> Result<f64, QuantityError> {
    if !value.is_finite() {
        return Err(QuantityError::NotFinite {
            number: written.to_string(),
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{shown, written};
    use proptest::prelude::*;

    #[test]
    fn good_texts() {
        for (text, dimension, value) in [
            ("9.6 kg/d", Dimension::MassRate, 9.6),
            ("9.6kg/d", Dimension::MassRate, 9.6),
            (" 0.4 kg / h ", Dimension::MassRate, 0.4 * 24.0),
            ("2 L", Dimension::Volume, 0.002),
            ("350 l/min", Dimension::VolumeRate, 21.0),
            ("0.4 m³", Dimension::Volume, 0.4),
            ("0.4 m^3", Dimension::Volume, 0.4),
            ("0.4 m3", Dimension::Volume, 0.4),
            ("2 yr", Dimension::Time, 730.5),
            ("2 wk", Dimension::Time, 14.0),
            ("36 h", Dimension::Time, 1.5),
            ("3 yr", Dimension::Hours, 26298.0),
            ("12 h/yr", Dimension::CrewTime, 12.0 / 365.25),
            ("90 min/d", Dimension::CrewTime, 1.5),
            ("2 /wk", Dimension::Frequency, 2.0 / 7.0),
            ("1/d", Dimension::Frequency, 1.0),
            ("5.5 kWh/kg", Dimension::SpecificEnergy, 5.5),
            ("18 MJ/kg", Dimension::SpecificEnergy, 5.0),
            ("23 °C", Dimension::Temperature, 23.0),
            ("300 K", Dimension::Temperature, 300.0 - 273.15),
            ("-20 °C", Dimension::Temperature, -20.0),
            ("−20 °C", Dimension::Temperature, -20.0),
            ("101 kPa", Dimension::Pressure, 101_000.0),
            ("1 atm", Dimension::Pressure, 101_325.0),
            ("1.2 bar", Dimension::Pressure, 120_000.0),
            ("1.85 V", Dimension::Voltage, 1.85),
            ("9 kW", Dimension::Power, 9000.0),
            ("12,500 kg", Dimension::Mass, 12_500.0),
            ("12_500 kg", Dimension::Mass, 12_500.0),
            (".5 t", Dimension::Mass, 500.0),
            ("5. g", Dimension::Mass, 0.005),
            ("2e3 kg", Dimension::Mass, 2000.0),
            ("80 kg/kW", Dimension::MassPerPower, 80.0),
            ("1 kg/L", Dimension::MassPerVolume, 1000.0),
            ("0.5 kg/h", Dimension::MassPerCrewHour, 0.5),
            ("6 min/kg", Dimension::TimePerMass, 0.1),
            ("25 g/kg", Dimension::MassRatio, 0.025),
            ("25 mm", Dimension::Length, 0.025),
            ("-0 kg", Dimension::Mass, 0.0),
            ("0.95", Dimension::Fraction, 0.95),
            ("3.9", Dimension::Number, 3.9),
            ("2", Dimension::Whole, 2.0),
        ] {
            assert_eq!(parse(text, dimension), Ok(value), "{text}");
        }
    }

    #[test]
    fn bad_texts_say_why() {
        for (text, wanted, message, help) in [
            (
                "62",
                Dimension::Mass,
                "expected a mass such as \"62 kg\", found the number 62 without a unit",
                "write it with its unit: \"62 kg\"",
            ),
            (
                "",
                Dimension::Mass,
                "expected a mass such as \"62 kg\", found \"\"",
                "write it such as \"62 kg\"",
            ),
            (
                "kg 62",
                Dimension::Mass,
                "expected a mass such as \"62 kg\", found \"kg 62\"",
                "write it such as \"62 kg\"",
            ),
            (
                "62 kgs",
                Dimension::Mass,
                "unknown unit \"kgs\" for a mass",
                "did you mean kg?",
            ),
            (
                "62 stone",
                Dimension::Mass,
                "unknown unit \"stone\" for a mass",
                "units for mass: kg, g, t",
            ),
            (
                "9 kg/day",
                Dimension::MassRate,
                "unknown unit \"kg/day\" for a mass flow",
                "did you mean kg/d?",
            ),
            (
                "9 kg per day",
                Dimension::MassRate,
                "unknown unit \"kg per day\" for a mass flow",
                "did you mean kg/d?",
            ),
            (
                "9 kg/d/d",
                Dimension::MassRate,
                "unknown unit \"kg/d/d\" for a mass flow",
                "did you mean kg/d?",
            ),
            (
                "9 kg",
                Dimension::MassRate,
                "expected a mass flow, but \"kg\" measures a mass",
                "units for mass flow: kg/d, kg/h, g/d, kg/wk, kg/yr",
            ),
            (
                "9 W/kg",
                Dimension::Power,
                "unknown unit \"W/kg\" for a power",
                "units for power: W, kW",
            ),
            (
                "23 C",
                Dimension::Temperature,
                "unknown unit \"C\" for a temperature",
                "did you mean °C?",
            ),
            (
                "2 L",
                Dimension::Mass,
                "expected a mass, but \"L\" measures a volume",
                "a litre counts as a kilogram only for grades of water; write kg",
            ),
            (
                "2 L/d",
                Dimension::MassRate,
                "expected a mass flow, but \"L/d\" measures a volume flow",
                "a litre counts as a kilogram only for grades of water; write kg/d",
            ),
            (
                "1,5 kg",
                Dimension::Mass,
                "\"1,5\" has a comma that does not set off thousands",
                "write a point for the decimals: 1.5",
            ),
            (
                "0,125 kg",
                Dimension::Mass,
                "\"0,125\" has a comma that does not set off thousands",
                "write a point for the decimals: 0.125",
            ),
            (
                "NaN kg",
                Dimension::Mass,
                "NaN is not a finite number",
                "leave it out if there is no limit",
            ),
            (
                "1e400 kg",
                Dimension::Mass,
                "1e400 is not a finite number",
                "leave it out if there is no limit",
            ),
            (
                "1e308 t",
                Dimension::Mass,
                "1e308 t is not a finite number",
                "leave it out if there is no limit",
            ),
            (
                "-5 kg",
                Dimension::Mass,
                "expected a mass of 0 or more, found -5 kg",
                "write 0 or more",
            ),
            (
                "-1 K",
                Dimension::Temperature,
                "-1 K is below absolute zero",
                "nothing is colder than -273.15 °C",
            ),
            (
                "95 %",
                Dimension::Fraction,
                "expected a fraction between 0 and 1, found a percentage, 95%",
                "write 0.95",
            ),
            (
                "95%",
                Dimension::Mass,
                "expected a mass, found a percentage, 95%",
                "units for mass: kg, g, t",
            ),
            (
                "1/8",
                Dimension::Fraction,
                "expected a fraction between 0 and 1, found the division 1/8",
                "write 0.125",
            ),
            (
                "1/0",
                Dimension::Fraction,
                "expected a fraction between 0 and 1, found the division 1/0",
                "write a number from 0 to 1",
            ),
            (
                "1.5",
                Dimension::Fraction,
                "expected a fraction between 0 and 1, found 1.5",
                "write a number from 0 to 1",
            ),
            (
                "2 kg",
                Dimension::Whole,
                "expected a whole number without a unit, found \"2 kg\"",
                "write it such as 2",
            ),
        ] {
            let error = parse(text, wanted).unwrap_err();
            assert_eq!(error.to_string(), message, "{text}");
            assert_eq!(error.help(), help, "{text}");
        }
    }

    #[test]
    fn litres_of_water_are_kilograms() {
        assert_eq!(parse_water_mass("250 mL"), Ok(0.25));
        assert_eq!(parse_water_mass("0.3 m³"), Ok(300.0));
        assert_eq!(parse_water_mass("2 kg"), Ok(2.0));
        assert_eq!(parse_water_rate("2 L/h"), Ok(48.0));
        assert!(parse_water_mass("2 L/h").is_err());
    }

    proptest! {
        #[test]
        fn no_text_makes_it_panic(text in "\\PC*", index in 0..Dimension::ALL.len()) {
            if let Err(error) = parse(&text, Dimension::ALL[index]) {
                prop_assert!(!error.to_string().is_empty() && !error.help().is_empty());
            }
        }

        #[test]
        fn no_number_with_something_behind_it_makes_it_panic(
            text in "[-+−]?[0-9_.,]{0,6}(e[-+]?[0-9]{1,4})? ?[kgLWmdhy°C³/%A-Za-z ]{0,6}",
            index in 0..Dimension::ALL.len(),
        ) {
            if let Err(error) = parse(&text, Dimension::ALL[index]) {
                prop_assert!(!error.to_string().is_empty() && !error.help().is_empty());
            }
        }

        #[test]
        fn what_is_written_reads_back_exactly(
            value in prop::num::f64::POSITIVE | prop::num::f64::ZERO,
            index in 0..Dimension::ALL.len(),
        ) {
            let dimension = Dimension::ALL[index];
            let value = match dimension {
                Dimension::Fraction => value.min(1.0),
                Dimension::Whole => value.min(4e9).round(),
                _ => value,
            };
            prop_assert_eq!(parse(&written(value, dimension), dimension), Ok(value));
        }

        #[test]
        fn what_is_shown_reads_back_to_what_is_shown(
            value in -1e6..1e12_f64,
            small in 0.0..1.0_f64,
            index in 0..Dimension::ALL.len(),
        ) {
            let dimension = Dimension::ALL[index];
            for value in [value, small, value * small] {
                let value = match dimension {
                    Dimension::Fraction => small,
                    Dimension::Whole => value.abs().min(4e9).round(),
                    Dimension::Number => value,
                    Dimension::Temperature => value.max(-273.15),
                    _ => value.abs(),
                };
                let text = shown(value, dimension);
                let read = parse(&text, dimension);
                prop_assert!(read.is_ok(), "{} {:?}", text, read);
                let read = read.unwrap_or_default();
                prop_assert!((read - value).abs() <= 5e-4 * value.abs().max(1e-9) + 1e-12);
                prop_assert_eq!(shown(read, dimension), text);
            }
        }
    }
}
