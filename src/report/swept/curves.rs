//! Curves of masses over one number that moves.

use super::super::drawing::{Dash, Ink};
use super::super::number::fixed;
use super::super::plots::{Axis, Line, Lines, Upright};
use super::{letter, value_words};
use crate::study::axis::Axis as Moved;
use crate::study::break_even::BreakEven;
use crate::study::cell::Cell as Planned;

/// Ticks of an axis across, about.
const TICKS: usize = 8;

/// The axis of a number that moves.
pub(super) fn across(axis: &Moved) -> Axis {
    let name = match axis.dimension.unit() {
        "" => axis.address.clone(),
        unit => format!("{}, {unit}", axis.address),
    };
    let values = || axis.values.iter().copied();
    let low = values().reduce(f64::min).unwrap_or(0.0);
    let high = values().reduce(f64::max).unwrap_or(1.0);
    Axis::within(name, low, high, TICKS)
}

/// An upright axis of masses.
pub(super) fn upwards(minimised: &str, masses: impl Iterator<Item = f64> + Clone) -> Axis {
    let low = masses.clone().reduce(f64::min).unwrap_or(0.0);
    let high = masses.reduce(f64::max).unwrap_or(1.0);
    let name = format!("{minimised}, kg");
    match low < 0.5 * high {
        true => Axis::from_zero(name, high, 6),
        false => Axis::around(name, low, high, 6),
    }
}

/// The masses of cells, and the portfolio of each, as one curve with a dot for every
/// cell, in the ink of its portfolio.
pub(super) fn of_cells(
    axis: &Moved,
    minimised: &str,
    cells: &[&Planned],
    portfolio: impl Fn(usize) -> Option<usize>,
) -> Lines {
    let mass = |cell: &Planned| cell.planned().map(|(kg, _)| kg);
    let point = |index: usize| Some((axis.values[index], mass(cells[index])?));
    let all: Vec<Option<(f64, f64)>> = (0..cells.len()).map(point).collect();
    let stretches = all.split(Option::is_none);
    let stretches: Vec<Vec<(f64, f64)>> = stretches
        .map(|stretch| stretch.iter().copied().flatten().collect())
        .filter(|stretch: &Vec<(f64, f64)>| !stretch.is_empty())
        .collect();
    let mut lines = vec![Line {
        name: String::new(),
        ink: Ink::Faint,
        dash: Dash::Solid,
        width: 1.5,
        stretches,
        dots: false,
    }];
    let known = (0..cells.len()).filter_map(&portfolio).max();
    for number in 0..known.map_or(0, |most| most + 1) {
        let own = (0..cells.len()).filter(|&index| portfolio(index) == Some(number));
        lines.push(Line {
            name: format!("portfolio {}", letter(number)),
            ink: Ink::Series(number),
            dash: Dash::of_series(number),
            width: 2.4,
            stretches: own.filter_map(point).map(|point| vec![point]).collect(),
            dots: true,
        });
    }
    Lines {
        x: across(axis),
        y: upwards(minimised, all.iter().flatten().map(|(_, kg)| *kg)),
        lines,
        uprights: changes(axis, cells.len(), portfolio),
    }
}

/// An upright between neighbours of different portfolios.
fn changes(axis: &Moved, cells: usize, portfolio: impl Fn(usize) -> Option<usize>) -> Vec<Upright> {
    let pairs = (1..cells).filter_map(|index| {
        let [before, after] = [portfolio(index - 1)?, portfolio(index)?];
        (before != after).then(|| upright(axis, [index - 1, index], [before, after]))
    });
    pairs.collect()
}

/// Halfway between the values of two portfolios.
fn upright(axis: &Moved, at: [usize; 2], portfolios: [usize; 2]) -> Upright {
    let [before, after] = portfolios.map(letter);
    let [last, first] = at.map(|index| axis.values[index]);
    Upright {
        at: 0.5 * (last + first),
        name: format!("{before}→{after}"),
        ink: Ink::Faint,
        dash: Dash::Dots,
        title: format!(
            "{before} is lightest at {}, {after} at {}",
            value_words(axis, last),
            value_words(axis, first)
        ),
    }
}

/// Every portfolio of a break-even over the range, with what they are held against.
pub(super) fn of_portfolios(found: &BreakEven, minimised: &str) -> Lines {
    let axis = &found.axis;
    let mut lines = vec![Line {
        name: found.baseline.name.clone(),
        ink: Ink::Text,
        dash: Dash::Short,
        width: 1.6,
        stretches: stretches(
            found
                .baseline
                .cells
                .iter()
                .enumerate()
                .map(|(index, cell)| (axis.values[index], cell.planned().map(|(kg, _)| kg))),
        ),
        dots: false,
    }];
    lines.extend(
        (0..found.portfolios.len())
            .flat_map(|portfolio| portfolio_lines(found, portfolio, |_, kg| Some(kg))),
    );
    lines.push(lightest(found, |_, kg| Some(kg)));
    let masses: Vec<f64> = lines
        .iter()
        .flat_map(|line| line.stretches.iter().flatten().map(|(_, kg)| *kg))
        .collect();
    Lines {
        x: across(axis),
        y: Axis::from_zero(
            format!("{minimised}, kg"),
            masses.into_iter().fold(0.0, f64::max),
            6,
        ),
        lines,
        uprights: switches(found),
    }
}

/// How much heavier every portfolio is than the lightest, up to a share of the mass.
pub(super) fn beyond_lightest(found: &BreakEven, minimised: &str) -> Lines {
    /// Of the largest of the lightest masses.
    const SHOWN: f64 = 0.03;
    let lightest_kg = |index: usize| found.cells[index].planned().map(|(kg, _)| kg);
    let most = (0..found.cells.len())
        .filter_map(lightest_kg)
        .fold(0.0, f64::max);
    let lines = (0..found.portfolios.len()).flat_map(|portfolio| {
        portfolio_lines(found, portfolio, |index, kg| Some(kg - lightest_kg(index)?))
    });
    let lines: Vec<Line> = lines.collect();
    let heavier = lines
        .iter()
        .flat_map(|line| line.stretches.iter().flatten().map(|(_, kg)| *kg));
    let shown = heavier.fold(0.0, f64::max).min(SHOWN * most);
    let mut y = Axis::from_zero(
        format!("heavier than the lightest {minimised}, kg"),
        shown,
        6,
    );
    // A line at nothing is still seen above the axis.
    y.low = -0.02 * y.high;
    Lines {
        x: across(&found.axis),
        y,
        lines,
        uprights: switches(found),
    }
}

/// A portfolio by its own stretches and by what it weighs elsewhere, dots where it was
/// held; `of` makes of an index and a mass what is drawn.
fn portfolio_lines(
    found: &BreakEven,
    portfolio: usize,
    of: impl Fn(usize, f64) -> Option<f64>,
) -> [Line; 2] {
    let value = |index: usize| found.axis.values[index];
    let runs = found
        .runs
        .iter()
        .filter(|run| run.portfolio == Some(portfolio));
    let own = runs.flat_map(|run| run.first..=run.last).map(|index| {
        let kg = found.cells[index].planned().map(|(kg, _)| kg);
        (index, kg)
    });
    let held = found.held.get(portfolio).map_or(&[][..], Vec::as_slice);
    let held = || held.iter().map(|one| (one.index, one.kg));
    let mut all: Vec<(usize, Option<f64>)> = own.chain(held()).collect();
    all.sort_by_key(|(index, _)| *index);
    all.dedup_by_key(|(index, _)| *index);
    let drawn = |(index, kg): (usize, Option<f64>)| (value(index), kg.and_then(|kg| of(index, kg)));
    let line = |name: String, stretches: Vec<Vec<(f64, f64)>>, dots: bool| Line {
        name,
        ink: Ink::Series(portfolio),
        dash: Dash::of_series(portfolio),
        width: 1.6,
        stretches,
        dots,
    };
    let dots = held().map(drawn).filter_map(|(x, kg)| Some(vec![(x, kg?)]));
    [
        line(
            format!("portfolio {}", letter(portfolio)),
            stretches(all.into_iter().map(drawn)),
            false,
        ),
        line(String::new(), dots.collect(), true),
    ]
}

fn lightest(found: &BreakEven, of: impl Fn(usize, f64) -> Option<f64>) -> Line {
    let cells = found.cells.iter().enumerate().map(|(index, cell)| {
        let kg = cell.planned().and_then(|(kg, _)| of(index, kg));
        (found.axis.values[index], kg)
    });
    Line {
        name: "lightest".to_owned(),
        ink: Ink::Text,
        dash: Dash::Solid,
        width: 2.4,
        stretches: stretches(cells),
        dots: false,
    }
}

/// An upright for every switch.
fn switches(found: &BreakEven) -> Vec<Upright> {
    let switches = found.switches.iter();
    switches
        .map(|one| upright(&found.axis, [one.before, one.before + 1], one.portfolios))
        .collect()
}

/// Points next to each other; one without a mass ends a stretch.
fn stretches(points: impl Iterator<Item = (f64, Option<f64>)>) -> Vec<Vec<(f64, f64)>> {
    let mut all: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
    for (x, kg) in points {
        match (kg, all.last_mut()) {
            (Some(kg), Some(stretch)) => stretch.push((x, kg)),
            _ => all.push(Vec::new()),
        }
    }
    all.retain(|stretch| !stretch.is_empty());
    all
}

/// "from 666.4 kg at 30 d to 1,204.1 kg at 90 d", of cells with a plan.
pub(super) fn in_words(axis: &Moved, cells: &[&Planned]) -> String {
    let planned = cells.iter().enumerate().filter_map(|(index, cell)| {
        let (kg, _) = cell.planned()?;
        Some(format!(
            "{} kg at {}",
            fixed(kg, 1),
            value_words(axis, axis.values[index])
        ))
    });
    let planned: Vec<String> = planned.collect();
    match planned.as_slice() {
        [] => "no value has a plan".to_owned(),
        [only] => only.clone(),
        [first, .., last] => format!("from {first} to {last}"),
    }
}
