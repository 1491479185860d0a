use super::Dimension;

/// A value in the canonical unit of its dimension as a report prints it:
/// thousands separated, at most three decimals from 1 upwards and four
/// significant digits below, no trailing zeros, then the unit.
///
/// ```
/// use loopwright::quantity::{Dimension, shown};
/// assert_eq!(shown(7015.707, Dimension::Mass), "7,015.707 kg");
/// assert_eq!(shown(13.4, Dimension::MassRate), "13.4 kg/d");
/// assert_eq!(shown(0.000_123_456, Dimension::Volume), "0.0001235 m³");
/// assert_eq!(shown(0.95, Dimension::Fraction), "0.95");
/// ```
pub fn shown(value: f64, dimension: Dimension) -> String {
    with_unit(shown_number(value), dimension)
}

/// A bare number as a report prints it; see [`shown`].
pub fn shown_number(value: f64) -> String {
    if value == 0.0 {
        return "0".into();
    }
    if !value.is_finite() || value.abs() >= 1e15 || value.abs() < 1e-9 {
        // Never met in a sane design, but still true and short.
        return trimmed_exponent(value);
    }
    let magnitude = value.abs();
    let decimals = if magnitude >= 1.0 {
        3
    } else {
        // Four significant digits: 0.00123456 has its first in the third place.
        let first = (-magnitude.log10().floor()) as usize;
        first + 3
    };
    let fixed = format!("{value:.decimals$}");
    let (whole, fraction) = fixed.split_once('.').unwrap_or((&fixed, ""));
    let fraction = fraction.trim_end_matches('0');
    let (sign, digits) = match whole.strip_prefix('-') {
        Some(digits) => ("-", digits),
        None => ("", whole),
    };
    let mut text = String::from(sign);
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    if !fraction.is_empty() {
        text.push('.');
        text.push_str(fraction);
    }
    text
}

/// A value exactly, as a design file writes it, without quotes and without
/// thousands separators: reading it back gives the same number.
pub fn written(value: f64, dimension: Dimension) -> String {
    with_unit(format!("{value}"), dimension)
}

fn with_unit(number: String, dimension: Dimension) -> String {
    match dimension.unit() {
        "" => number,
        unit => format!("{number} {unit}"),
    }
}

fn trimmed_exponent(value: f64) -> String {
    let text = format!("{value:.3e}");
    match text.split_once('e') {
        Some((mantissa, exponent)) if mantissa.contains('.') => {
            let mantissa = mantissa.trim_end_matches('0').trim_end_matches('.');
            format!("{mantissa}e{exponent}")
        }
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_grouped() {
        for (value, text) in [
            (0.0, "0"),
            (-0.0, "0"),
            (1.0, "1"),
            (999.9996, "1,000"),
            (1234567.0, "1,234,567"),
            (-1234.5, "-1,234.5"),
            (100.0, "100"),
            (0.1, "0.1"),
            (0.99999, "1"),
            (0.98765, "0.9877"),
            (1e-6, "0.000001"),
            (2.5e-12, "2.5e-12"),
            (1e20, "1e20"),
            (f64::MAX, "1.798e308"),
            (f64::INFINITY, "inf"),
        ] {
            assert_eq!(shown_number(value), text, "{value}");
        }
    }

    #[test]
    fn written_is_exact() {
        assert_eq!(
            written(0.1 + 0.2, Dimension::Mass),
            "0.30000000000000004 kg"
        );
        assert_eq!(written(2.0, Dimension::Whole), "2");
    }
}
