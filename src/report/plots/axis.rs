//! Axes: ends, and ticks at round numbers.

use crate::report::number::fixed;

/// An axis with its ticks.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::report) struct Axis {
    /// Name and unit: "power, W".
    pub name: String,
    /// Its least value.
    pub low: f64,
    /// Its largest value.
    pub high: f64,
    /// Values that are named, rising, and their names.
    pub ticks: Vec<(f64, String)>,
}

impl Axis {
    /// From a round number at or below the least value to one at or above the largest, with
    /// about so many ticks.
    pub fn around(name: impl Into<String>, low: f64, high: f64, about: usize) -> Axis {
        let (low, high) = apart(low, high);
        let step = step(low, high, about);
        // Values a rounding error beyond a tick do not ask for another.
        let first = (low / step + 1e-9).floor();
        let last = (high / step - 1e-9).ceil();
        Axis::stepping(name, first * step, last * step, step)
    }

    /// From nothing to a round number at or above the largest value.
    pub fn from_zero(name: impl Into<String>, high: f64, about: usize) -> Axis {
        Axis::around(name, 0.0, high.max(0.0), about)
    }

    /// From the least value to the largest, with ticks at round numbers between them.
    pub fn within(name: impl Into<String>, low: f64, high: f64, about: usize) -> Axis {
        let (low, high) = apart(low, high);
        Axis::stepping(name, low, high, step(low, high, about))
    }

    fn stepping(name: impl Into<String>, low: f64, high: f64, step: f64) -> Axis {
        let decimals = decimals(step);
        let first = (low / step - 1e-9).ceil() as i64;
        let last = (high / step + 1e-9).floor() as i64;
        let ticks = (first..=last).map(|number| {
            let value = number as f64 * step;
            (value, fixed(value, decimals))
        });
        Axis {
            name: name.into(),
            low,
            high,
            ticks: ticks.collect(),
        }
    }

    /// Where a value lies between the ends, 0 to 1.
    pub fn share(&self, value: f64) -> f64 {
        ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0)
    }
}

/// Ends that are not the same.
fn apart(low: f64, high: f64) -> (f64, f64) {
    if high - low > 1e-9 * high.abs().max(low.abs()) {
        return (low, high);
    }
    let room = if low == 0.0 { 1.0 } else { 0.05 * low.abs() };
    (low - room, high + room)
}

/// A step of 1, 2 or 5 times a power of ten that makes about so many ticks.
fn step(low: f64, high: f64, about: usize) -> f64 {
    let rough = (high - low) / about.max(1) as f64;
    let power = 10_f64.powf(rough.log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0].map(|digit| digit * power);
    let fits = |step: &f64| *step >= rough * (1.0 - 1e-9);
    steps.into_iter().find(fits).unwrap_or(10.0 * power)
}

/// Decimals that tell values a step apart from each other.
fn decimals(step: f64) -> usize {
    let digits = -step.log10().floor();
    if digits > 0.0 { digits as usize } else { 0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(axis: &Axis) -> Vec<&str> {
        axis.ticks.iter().map(|(_, name)| name.as_str()).collect()
    }

    #[test]
    fn ticks_are_round_and_cover_the_values() {
        let axis = Axis::around("mass, kg", 9_685.65, 27_704.69, 5);
        assert_eq!(
            names(&axis),
            ["5,000", "10,000", "15,000", "20,000", "25,000", "30,000"]
        );
        assert_eq!((axis.low, axis.high), (5_000.0, 30_000.0));
        let small = Axis::from_zero("share", 0.013, 4);
        assert_eq!(names(&small), ["0.000", "0.005", "0.010", "0.015"]);
        let days = Axis::within("mission.length, d", 1.0, 1_500.0, 8);
        assert_eq!(names(&days).first(), Some(&"200"));
        assert_eq!((days.low, days.high), (1.0, 1_500.0));
    }

    #[test]
    fn one_value_is_an_axis_too() {
        for value in [0.0, 5.0, -3.0, 1e9] {
            let axis = Axis::around("", value, value, 4);
            assert!(
                axis.low < value && value < axis.high && axis.ticks.len() >= 2,
                "{axis:?}"
            );
        }
    }
}
