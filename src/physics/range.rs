//! The one error of a physics function: an argument outside its valid range.

use std::fmt;

/// An argument outside the range in which an equation holds.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct OutOfRange {
    /// What was given, with its unit: "relative humidity", "coil temperature in °C".
    pub what: &'static str,
    /// The value given.
    pub value: f64,
    /// The least value allowed.
    pub low: f64,
    /// The greatest value allowed.
    pub high: f64,
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            what,
            value,
            low,
            high,
        } = self;
        if high.is_finite() {
            write!(f, "{what} is {value}, outside {low} to {high}")
        } else {
            write!(f, "{what} is {value}, below {low}")
        }
    }
}

impl std::error::Error for OutOfRange {}

/// Passes `value` on if it lies in `[low, high]`; NaN never does.
pub(crate) fn within(
    what: &'static str,
    value: f64,
    low: f64,
    high: f64,
) -> Result<f64, OutOfRange> {
    if (low..=high).contains(&value) && value.is_finite() {
        Ok(value)
    } else {
        Err(OutOfRange {
            what,
            value,
            low,
            high,
        })
    }
}
