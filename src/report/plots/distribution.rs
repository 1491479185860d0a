//! How probable it is that a mass is no more than so much.

use super::axis::Axis;
use super::lines::{Line, Lines, Upright};
use crate::report::drawing::{Dash, Drawing, Ink};

/// A curve is drawn through so many of its points at most; the others lie between them.
const DRAWN: usize = 200;

/// Curves of masses that were drawn.
pub(in crate::report) struct Distribution {
    /// What was drawn, with its unit.
    pub axis: String,
    /// The curves.
    pub curves: Vec<Curve>,
    /// A value to compare them with, and what it is called.
    pub beside: Option<(f64, String)>,
}

/// A curve.
pub(in crate::report) struct Curve {
    /// Its name.
    pub name: String,
    /// Its values in any order.
    pub values: Vec<f64>,
}

impl Distribution {
    /// The picture; none with fewer than three values, or where all are the same.
    pub fn draw(&self) -> Option<Drawing> {
        let values = || {
            self.curves
                .iter()
                .flat_map(|curve| curve.values.iter().copied())
        };
        let (low, high) = (values().reduce(f64::min)?, values().reduce(f64::max)?);
        if values().count() < 3 || high - low <= 1e-9 * high.abs() {
            return None;
        }
        let beside = self.beside.iter().map(|(value, _)| *value);
        let low = beside.clone().fold(low, f64::min);
        let high = beside.fold(high, f64::max);
        let lines = self.curves.iter().enumerate().map(|(number, curve)| Line {
            name: curve.name.clone(),
            ink: Ink::Series(number),
            dash: Dash::of_series(number),
            width: 2.0,
            stretches: vec![steps(&curve.values)],
            dots: false,
        });
        let uprights = self.beside.iter().map(|(at, name)| Upright {
            at: *at,
            name: name.clone(),
            ink: Ink::Quiet,
            dash: Dash::Short,
            title: name.clone(),
        });
        let percents = [0.0, 5.0, 25.0, 50.0, 75.0, 95.0, 100.0];
        let y = Axis {
            name: "share of draws that weigh no more".to_owned(),
            low: 0.0,
            high: 100.0,
            ticks: percents.map(|value| (value, format!("{value} %"))).to_vec(),
        };
        Lines {
            x: Axis::around(self.axis.as_str(), low, high, 7),
            y,
            lines: lines.collect(),
            uprights: uprights.collect(),
        }
        .draw()
    }
}

/// The share of values that are no more, in steps, %.
fn steps(values: &[f64]) -> Vec<(f64, f64)> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let all = sorted.len();
    let every = all.div_ceil(DRAWN).max(1);
    let mut points = Vec::new();
    let mut before = 0.0;
    for (index, value) in sorted.iter().enumerate() {
        if (index + 1) % every != 0 && index != 0 && index + 1 != all {
            continue;
        }
        let share = 100.0 * (index + 1) as f64 / all as f64;
        points.extend([(*value, before), (*value, share)]);
        before = share;
    }
    points
}

#[cfg(test)]
mod tests {
    use super::steps;

    #[test]
    fn shares_rise_from_nothing_to_all() {
        assert_eq!(
            steps(&[3.0, 1.0]),
            [(1.0, 0.0), (1.0, 50.0), (3.0, 50.0), (3.0, 100.0)]
        );
        let many: Vec<f64> = (0..2000).map(f64::from).collect();
        let points = steps(&many);
        assert!(points.len() <= 420 && points.last() == Some(&(1999.0, 100.0)));
        assert!(points.windows(2).all(|pair| pair[0].1 <= pair[1].1));
    }
}
