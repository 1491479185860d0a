//! Sliders: which numbers of a design move, how far, and which are chosen to begin with.

use serde::Serialize;

use super::ground::{Ground, text_of};
use crate::design::Design;
use crate::quantity::{Dimension, parse};
use crate::study::axis::tidy;
use crate::study::moved::Movable;
use crate::study::sensitivity::moves_plans;
use crate::written::NumberAt;

/// How far a slider goes, as multiples of the number as written.
const REACH: [f64; 2] = [0.2, 2.2];
/// About so many steps from the number to zero.
const STEPS: f64 = 150.0;
/// Sliders chosen to begin with at most, and of these numbers with a spread.
const CHOSEN: usize = 12;
const CHOSEN_SPREADS: usize = 5;
/// Phases whose length and crew are chosen at most, the longest first.
const CHOSEN_PHASES: usize = 2;

/// A number with a slider, in the unit in which it is written.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Control {
    /// Its address.
    pub address: String,
    /// Its address in words.
    pub label: String,
    /// As written, with its unit.
    pub text: String,
    /// As written, in its unit.
    pub value: f64,
    /// Its unit as written; empty for bare numbers.
    pub unit: String,
    /// Where the slider begins.
    pub min: f64,
    /// Where it ends.
    pub max: f64,
    /// How far it goes at a time; the number as written is on a step.
    pub step: f64,
    /// Whether it is one of several shares that sum to one, another of which gives way.
    pub shared: bool,
}

impl Control {
    /// At most so many values of the slider for a study: "ADDRESS = FROM .. TO by STEP".
    pub fn range(&self, values: u16) -> String {
        let steps = ((self.max - self.min) / self.step).max(1.0);
        let stride = (steps / f64::from(values.max(3) - 1)).ceil().max(1.0);
        let step = tidy(stride * self.step);
        let text = format!("{} = {} .. {} by {step}", self.address, self.min, self.max);
        format!("{text} {}", self.unit).trim_end().to_owned()
    }
}

/// Every number that may move a plan, in the order of the file.
pub(super) fn all(ground: &Ground) -> Vec<Control> {
    let numbers = ground.design.numbers.iter();
    let numbers = numbers.filter(|number| moves_plans(&number.address));
    numbers
        .filter_map(|number| control(number, ground))
        .collect()
}

fn control(number: &NumberAt, ground: &Ground) -> Option<Control> {
    let design = &ground.design;
    let movable = Movable::of(design, &number.address, &[]).ok()?;
    let text = text_of(number, &ground.sources);
    let digits =
        text.find(|letter: char| !(letter.is_ascii_digit() || "+-−.,_eE".contains(letter)));
    let (digits, unit) = text.split_at(digits.unwrap_or(text.len()));
    let value = parse(digits.trim(), Dimension::Number).ok()?;
    let (min, max, step) = match number.dimension {
        Dimension::Fraction => {
            let decimals = digits
                .trim()
                .split_once('.')
                .map_or(0, |(_, part)| part.len());
            let step = 0.1_f64.powi(decimals.clamp(2, 4) as i32);
            (0.0, movable.range().1, tidy(step))
        }
        Dimension::Whole => {
            let least = f64::from(u8::from(value >= 1.0));
            (least, (value + 4.0).max((value * 2.0).round()), 1.0)
        }
        _ => {
            let size = if value == 0.0 { 1.0 } else { value.abs() };
            let step = round_step(size / STEPS);
            let ends = match value > 0.0 {
                true => REACH.map(|reach| reach * value),
                false if value == 0.0 && number.dimension != Dimension::Temperature => [0.0, 1.0],
                false => [value - size, value + size],
            };
            // Steps are counted from the number as written.
            let least = value - ((value - ends[0]) / step).floor() * step;
            let most = value + ((ends[1] - value) / step).ceil() * step;
            (tidy(least), tidy(most), step)
        }
    };
    Some(Control {
        address: number.address.clone(),
        label: label(&number.address, design),
        value,
        unit: unit.trim().to_owned(),
        text,
        min,
        max,
        step,
        shared: movable.taker.is_some(),
    })
}

/// 1, 2 or 5 times a power of ten, near a size.
fn round_step(size: f64) -> f64 {
    let power = 10_f64.powf(size.log10().floor());
    let lead = match size / power {
        lead if lead < 1.5 => 1.0,
        lead if lead < 3.5 => 2.0,
        lead if lead < 7.5 => 5.0,
        _ => 10.0,
    };
    tidy(lead * power)
}

/// "drum still: unit mass" for `nodes.drum still.unit.mass`.
fn label(address: &str, design: &Design) -> String {
    let whose = |rest: &str, names: &mut dyn Iterator<Item = &str>| {
        let inside = |name: &&str| {
            let after = rest.strip_prefix(*name);
            after.is_some_and(|after| after.starts_with('.'))
        };
        let name = names
            .filter(inside)
            .max_by_key(|name| name.len())?
            .to_owned();
        let what = &rest[name.len() + 1..];
        let what = match what
            .strip_prefix("turns.")
            .and_then(|what| what.rsplit_once('.'))
        {
            Some((feed, product)) => format!("{product} from {feed}"),
            None => what.replace('.', " "),
        };
        Some(format!("{name}: {what}"))
    };
    let nodes = &design.written.nodes;
    let phases = &design.written.mission.phases;
    let named = if let Some(rest) = address.strip_prefix("nodes.") {
        whose(rest, &mut nodes.keys().map(|name| name.as_str()))
    } else if let Some(rest) = address.strip_prefix("mission.phases.") {
        whose(rest, &mut phases.iter().map(|phase| phase.name.as_str()))
    } else {
        None
    };
    named.unwrap_or_else(|| {
        let rest = address.strip_prefix("mission.").unwrap_or(address);
        match rest.split_once('.') {
            Some((whose, what)) => format!("{whose}: {}", what.replace('.', " ")),
            None => rest.to_owned(),
        }
        .replace('_', " ")
    })
}

/// Phases by name, the longest first.
pub(super) fn phases_by_length(design: &Design) -> Vec<&str> {
    let mut phases: Vec<_> = design.written.mission.phases.iter().collect();
    phases.sort_by(|a, b| b.length.value.0.total_cmp(&a.length.value.0));
    phases.iter().map(|phase| phase.name.as_str()).collect()
}

/// Addresses to begin with: the mission, its people, its flights, what is not known well,
/// and the limits.
pub(super) fn chosen(ground: &Ground, controls: &[Control]) -> Vec<String> {
    let design = &ground.design;
    let mut chosen: Vec<String> = Vec::new();
    let phases = phases_by_length(design);
    for phase in phases.iter().take(CHOSEN_PHASES) {
        chosen.push(format!("mission.phases.{phase}.length"));
        chosen.push(format!("mission.phases.{phase}.crew"));
    }
    chosen.push("mission.resupply.every".to_owned());
    let spreads = design
        .figures
        .iter()
        .filter(|figure| figure.spread.is_some());
    let spreads = spreads.map(|figure| figure.address.clone());
    chosen.extend(spreads.take(CHOSEN_SPREADS));
    let starting = |start: &'static str| {
        let found = controls.iter().map(|control| control.address.clone());
        found.filter(move |address| address.starts_with(start))
    };
    chosen.extend(starting("limits."));
    if chosen.len() < CHOSEN / 2 {
        let ends = [".unit.mass", ".unit.capacity"];
        let units = starting("nodes.");
        chosen.extend(units.filter(|address| ends.iter().any(|end| address.ends_with(end))));
    }
    chosen.retain(|address| controls.iter().any(|control| control.address == *address));
    chosen.truncate(CHOSEN);
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round() {
        for (size, step) in [
            (13.7, 10.0),
            (0.26, 0.2),
            (4.4, 5.0),
            (0.08, 0.1),
            (100.0, 100.0),
        ] {
            assert_eq!(round_step(size), step, "{size}");
        }
    }
}
