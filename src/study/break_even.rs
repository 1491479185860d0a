//! Where the answer flips: every value of a range planned, none left to guess.
//!
//! Whole cartridges and spares make portfolios flip back, so that neither bisection
//! nor sampling would find every switch; each value is solved to proof instead.

use super::axis::Axis;
use super::cell::{Cell, Ground, Portfolio};
use super::many::{Effort, Trouble, answers};
use super::sweep::{portfolios, reached};
use crate::design::Design;
use crate::diagnostic::Diagnostic;
use crate::solve::{Options, Trail};

/// Masses closer than this are the same, kg.
const SAME_KG: f64 = 1e-6;

/// A design through every value of a range.
#[derive(Clone, Debug, PartialEq)]
pub struct BreakEven {
    /// The number that moves.
    pub axis: Axis,
    /// The lightest at every value.
    pub cells: Vec<Cell>,
    /// What it is held against at every value.
    pub baseline: Baseline,
    /// Portfolios in the order in which they are met.
    pub portfolios: Vec<Portfolio>,
    /// Stretches of values with one portfolio, or with none for one reason.
    pub runs: Vec<Run>,
    /// From one portfolio to the next.
    pub switches: Vec<Switch>,
    /// Of every portfolio its mass over the range, by solves.
    pub held: Vec<Vec<Held>>,
}

/// A portfolio held at a value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    /// The value, by index.
    pub index: usize,
    /// Its mass, kg; none if it has no plan there.
    pub kg: Option<f64>,
}

/// What the lightest is held against.
#[derive(Clone, Debug, PartialEq)]
pub struct Baseline {
    /// "resupply alone", or the variant that the design names as its reference.
    pub name: String,
    /// At every value.
    pub cells: Vec<Cell>,
}

/// Values next to each other with the same portfolio.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Run {
    /// Its first value, by index.
    pub first: usize,
    /// Its last value.
    pub last: usize,
    /// Which portfolio; none where there is no plan.
    pub portfolio: Option<usize>,
}

/// A switch between two values next to each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Switch {
    /// The last value of the portfolio before, by index.
    pub before: usize,
    /// Portfolio before and after.
    pub portfolios: [usize; 2],
    /// Mass of both portfolios at the value before, kg; the one after may have no plan.
    pub before_kg: [Option<f64>; 2],
    /// Mass of both portfolios at the value after, kg.
    pub after_kg: [Option<f64>; 2],
}

impl BreakEven {
    /// Stretches of values in which the baseline is as light as the lightest:
    /// first and last value by index.
    pub fn baseline_is_lightest(&self) -> Vec<(usize, usize)> {
        let mut stretches: Vec<(usize, usize)> = Vec::new();
        for (index, (cell, baseline)) in self.cells.iter().zip(&self.baseline.cells).enumerate() {
            let (Some((kg, _)), Some((other, _))) = (cell.planned(), baseline.planned()) else {
                continue;
            };
            if other > kg + SAME_KG * (1.0 + 1e-3 * kg) {
                continue;
            }
            match stretches.last_mut() {
                Some((_, last)) if *last + 1 == index => *last = index,
                _ => stretches.push((index, index)),
            }
        }
        stretches
    }

    /// Whether every value is proved, with a plan or without.
    pub fn is_complete(&self) -> bool {
        self.cells.iter().all(Cell::is_certain)
    }
}

/// One of the two questions at a value.
enum Asked {
    Lightest(f64),
    Baseline(f64),
}

/// Plans a design at every value of an axis, beside its baseline.
///
/// # Errors
///
/// The reference variant of the design is wrong, or a file of kept cells is of no
/// use.
pub fn break_even(
    design: &Design,
    axis: Axis,
    effort: &mut Effort<'_>,
) -> Result<Result<BreakEven, Trouble>, Vec<Diagnostic>> {
    let reference = match &design.written.reference {
        Some(name) => Some((name.text.clone(), design.as_variant(&name.text)?)),
        None => None,
    };
    Ok(every_value(design, reference, axis, effort))
}

fn every_value(
    design: &Design,
    reference: Option<(String, Design)>,
    axis: Axis,
    effort: &mut Effort<'_>,
) -> Result<BreakEven, Trouble> {
    let values = || axis.values.iter().copied();
    let questions: Vec<Asked> = values()
        .map(Asked::Lightest)
        .chain(values().map(Asked::Baseline))
        .collect();
    let number = |value: f64| [(axis.address.as_str(), value, axis.dimension)];
    let found = answers(&questions, effort, |asked, trail, options| match *asked {
        Asked::Lightest(value) => Ground::new(design, options).cell_in_turn(&number(value), trail),
        Asked::Baseline(value) => match &reference {
            Some((_, variant)) => Ground::new(variant, options).cell(&number(value), None),
            None => Ground::at_lower_bounds(design, options).cell(&number(value), None),
        },
    })?;
    let mut cells = reached(found);
    let baseline = Baseline {
        name: reference.map_or_else(|| "resupply alone".to_owned(), |(name, _)| name),
        cells: cells.split_off(axis.values.len()),
    };
    let portfolios = portfolios(&cells);
    let runs = runs(&cells, &portfolios);
    let mut found = BreakEven {
        axis,
        cells,
        baseline,
        portfolios,
        runs,
        switches: Vec::new(),
        held: Vec::new(),
    };
    found.switches = switches(design, &found, effort)?;
    found.held = held(design, &found, effort)?;
    Ok(found)
}

/// Values at which every portfolio is held, evenly over the range, both ends included.
const HELD_AT: usize = 13;

/// Every portfolio at values over the whole range, and where its switches tell it anyway;
/// what a stopped study does not reach is left out.
fn held(
    design: &Design,
    found: &BreakEven,
    effort: &mut Effort<'_>,
) -> Result<Vec<Vec<Held>>, Trouble> {
    let last = found.cells.len().saturating_sub(1);
    let mut places: Vec<usize> = (0..HELD_AT).map(|at| at * last / (HELD_AT - 1)).collect();
    places.dedup();
    let own = |portfolio: usize, index: usize| {
        let (kg, lightest) = found.cells.get(index)?.planned()?;
        (found.portfolios.get(portfolio) == Some(lightest)).then_some(kg)
    };
    let portfolios = 0..found.portfolios.len();
    let questions: Vec<(usize, usize)> = portfolios
        .clone()
        .flat_map(|portfolio| places.iter().map(move |&index| (portfolio, index)))
        .filter(|&(portfolio, index)| own(portfolio, index).is_none())
        .collect();
    let asked = holding(design, found, &questions, effort)?;
    Ok(portfolios
        .map(|portfolio| {
            let lightest = places.iter().filter_map(|&index| {
                let kg = own(portfolio, index)?;
                Some(Held {
                    index,
                    kg: Some(kg),
                })
            });
            let solved = questions.iter().zip(&asked);
            let solved = solved.filter(|((of, _), _)| *of == portfolio);
            let solved = solved.filter_map(|(&(_, index), cell)| {
                let cell = cell.as_ref().filter(|cell| cell.is_certain())?;
                let kg = cell.planned().map(|(kg, _)| kg);
                Some(Held { index, kg })
            });
            let beside = found.switches.iter().flat_map(|switch| {
                let [before, after] = switch.portfolios;
                let here = [
                    (before, switch.before, switch.before_kg[0]),
                    (after, switch.before, switch.before_kg[1]),
                    (before, switch.before + 1, switch.after_kg[0]),
                    (after, switch.before + 1, switch.after_kg[1]),
                ];
                let own = here.into_iter().filter(|(of, ..)| *of == portfolio);
                own.map(|(_, index, kg)| Held { index, kg })
                    .collect::<Vec<Held>>()
            });
            let mut all: Vec<Held> = lightest.chain(solved).chain(beside).collect();
            all.sort_by_key(|one| one.index);
            all.dedup_by_key(|one| one.index);
            all
        })
        .collect())
}

fn runs(cells: &[Cell], portfolios: &[Portfolio]) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for (index, cell) in cells.iter().enumerate() {
        let portfolio = cell
            .planned()
            .and_then(|(_, portfolio)| portfolios.iter().position(|known| known == portfolio));
        match runs.last_mut() {
            Some(run)
                if run.portfolio == portfolio
                    && (portfolio.is_some() || cells[run.first].remark() == cell.remark()) =>
            {
                run.last = index;
            }
            _ => runs.push(Run {
                first: index,
                last: index,
                portfolio,
            }),
        }
    }
    runs
}

/// Cells with a portfolio held at a value; both by their numbers.
fn holding(
    design: &Design,
    found: &BreakEven,
    questions: &[(usize, usize)],
    effort: &mut Effort<'_>,
) -> Result<Vec<Option<Cell>>, Trouble> {
    let axis = &found.axis;
    let mut beside = Effort {
        progress: &|_, _| {},
        kept: None,
        ..*effort
    };
    let plan = |&(portfolio, index): &(usize, usize), _: &mut Trail, options: &Options| {
        let number = [(axis.address.as_str(), axis.values[index], axis.dimension)];
        Ground::new(design, options).cell(&number, Some(&found.portfolios[portfolio]))
    };
    answers(questions, &mut beside, plan)
}

/// Both portfolios on both sides of every switch.
fn switches(
    design: &Design,
    found: &BreakEven,
    effort: &mut Effort<'_>,
) -> Result<Vec<Switch>, Trouble> {
    let pairs: Vec<(Run, Run, [usize; 2])> = found
        .runs
        .windows(2)
        .filter_map(|pair| {
            let portfolios = [pair[0].portfolio?, pair[1].portfolio?];
            Some((pair[0], pair[1], portfolios))
        })
        .collect();
    let questions: Vec<(usize, usize)> = pairs
        .iter()
        .flat_map(|&(before, after, [old, new])| [(new, before.last), (old, after.first)])
        .collect();
    let held = holding(design, found, &questions, effort)?;
    let mass = |cell: Option<&Cell>| cell.and_then(Cell::planned).map(|(kg, _)| kg);
    Ok(pairs
        .iter()
        .zip(held.chunks(2))
        .map(|(&(before, after, portfolios), held)| {
            let [new_before, old_after] = [0, 1].map(|side| mass(held[side].as_ref()));
            Switch {
                before: before.last,
                portfolios,
                before_kg: [mass(found.cells.get(before.last)), new_before],
                after_kg: [old_after, mass(found.cells.get(after.first))],
            }
        })
        .collect())
}
