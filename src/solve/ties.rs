//! Ties: among answers of the same mass, the one every back-end agrees on.

use std::cmp::Ordering;

use super::mixed::{Mixed, Row};
use super::portfolio::Portfolio;
use super::search::{self, Question, SAME_MASS_KG};
use super::{Clock, Fault, Options, Outcome, Solution, Ties};
use crate::program::{Form, Program, Sense};

/// How far a held objective may move, a little above the back-end's rounding.
const HELD: f64 = 1e-7;

/// Decides ties in this order, each holding what came before: smallest counts
/// in file order; least flow over the mission, streams weighted by their rank in
/// the file; latest deliveries.
pub(super) fn decide(
    program: &Program,
    options: &Options,
    clock: &Clock,
    found: Solution,
) -> Result<Solution, Fault> {
    let mut best = smallest_counts(program, options, clock, found)?;
    if options.ties == Ties::Counts {
        return Ok(best);
    }
    let mut held: Vec<(Vec<f64>, f64)> = Vec::new();
    let costs = by_column(program, |column| column.cost);
    held.push((costs, best.objective_kg - program.constant_kg));
    let mut objectives = vec![by_column(program, |column| column.circulation)];
    if program.form == Form::PerFlight {
        objectives.push(by_column(program, |column| column.earliness));
    }
    for objective in objectives {
        if let Some(values) = improve(program, options, clock, &best, &held, &objective)? {
            best.values = values;
        }
        let value = dot(&objective, &best.values);
        held.push((objective, value));
    }
    let mut settled = settle(program, options, clock, &best, held)?;
    // Where the gap asked for is wide, what decides ties may find a lighter answer.
    let mass_kg =
        program.constant_kg + dot(&by_column(program, |column| column.cost), &settled.values);
    if mass_kg < settled.objective_kg - SAME_MASS_KG {
        settled.objective_kg = mass_kg;
    }
    Ok(settled)
}

fn by_column(program: &Program, what: impl Fn(&crate::program::Column) -> f64) -> Vec<f64> {
    program.columns.iter().map(what).collect()
}

fn dot(factors: &[f64], values: &[f64]) -> f64 {
    factors
        .iter()
        .zip(values)
        .map(|(factor, value)| factor * value)
        .sum()
}

fn smallest_counts(
    program: &Program,
    options: &Options,
    clock: &Clock,
    found: Solution,
) -> Result<Solution, Fault> {
    let cutoff_kg = found.objective_kg + SAME_MASS_KG;
    let mut best = found;
    if let Some(alike) = best.alike.take() {
        let columns: Vec<usize> = program
            .handles
            .count
            .iter()
            .flatten()
            .map(|count| count.0)
            .collect();
        let smallest = alike.into_iter().min_by(|one, other| {
            let order = columns
                .iter()
                .map(|&column| one.values[column].total_cmp(&other.values[column]));
            order.fold(Ordering::Equal, Ordering::then)
        });
        if let Some(smallest) = smallest {
            best.objective_kg = smallest.cost;
            best.values = smallest.values;
        }
        return Ok(best);
    }
    let mut bounds: Vec<(usize, f64, f64)> = Vec::new();
    for count in program.handles.count.iter().flatten() {
        let data = &program.columns[count.0];
        while best.values[count.0] > data.lower + 0.5 {
            let mut narrower = bounds.clone();
            narrower.push((count.0, data.lower, best.values[count.0] - 1.0));
            let question = Question {
                bounds: narrower,
                cutoff_kg,
                ..Question::default()
            };
            match search::lightest(program, options, clock, &question, None)? {
                Outcome::Solved(smaller) => {
                    best.values = smaller.values;
                    best.objective_kg = smaller.objective_kg;
                    best.relaxations += smaller.relaxations;
                }
                Outcome::Infeasible | Outcome::Unknown { .. } => break,
            }
        }
        let value = best.values[count.0];
        bounds.push((count.0, value, value));
    }
    Ok(best)
}

/// Holding an objective leaves it a little room, which the next one uses up.
/// With the whole numbers decided, the mass is minimised once more, so that it
/// is the lightest to the last digit.
fn settle(
    program: &Program,
    options: &Options,
    clock: &Clock,
    best: &Solution,
    held: Vec<(Vec<f64>, f64)>,
) -> Result<Solution, Fault> {
    let mut decided = program.clone();
    for (column, &value) in decided.columns.iter_mut().zip(&best.values) {
        if column.whole {
            column.lower = value;
            column.upper = value;
        }
    }
    let mut settled = best.clone();
    let mut held = held.into_iter();
    let Some((mass, _)) = held.next() else {
        return Ok(settled);
    };
    // A kilogram of mass may move many kilograms of flow or of waiting.
    let looser: Vec<(Vec<f64>, f64)> = held
        .map(|(factors, value)| (factors, value + 100.0 * HELD))
        .collect();
    if let Some(values) = improve(&decided, options, clock, best, &looser, &mass)? {
        settled.values = values;
    }
    Ok(settled)
}

/// Minimises another objective with counts, spares and earlier objectives held.
fn improve(
    program: &Program,
    options: &Options,
    clock: &Clock,
    best: &Solution,
    held: &[(Vec<f64>, f64)],
    objective: &[f64],
) -> Result<Option<Vec<f64>>, Fault> {
    let mut fixed = vec![false; program.columns.len()];
    for count in program.handles.count.iter().flatten() {
        fixed[count.0] = true;
    }
    for part in &program.parts {
        for option in &part.options {
            fixed[option.column.0] = true;
        }
    }
    for group in &program.exclusive {
        for (_, on) in group {
            fixed[on.0] = true;
        }
    }
    let mut mixed = Mixed::of(program, |column| objective[column]);
    for ((column, &fixed), &value) in mixed.columns.iter_mut().zip(&fixed).zip(&best.values) {
        if fixed {
            column.lower = value;
            column.upper = value;
        }
    }
    for (factors, value) in held {
        mixed.rows.push(Row {
            terms: factors
                .iter()
                .enumerate()
                .filter(|&(_, &factor)| factor != 0.0)
                .map(|(column, &factor)| (column, factor))
                .collect(),
            sense: Sense::AtMost,
            right: value + HELD * (1.0 + 1e-3 * value.abs()),
        });
    }
    let portfolio = Portfolio::plain(program, mixed);
    match search::run(portfolio, options, clock) {
        Ok(Outcome::Solved(solution)) => Ok(Some(solution.values)),
        Ok(Outcome::Infeasible | Outcome::Unknown { .. }) => Ok(None),
        // The mass is proved; a tie that no back-end can decide stays as it is.
        Err(Fault::Backend(_)) => Ok(None),
        Err(fault) => Err(fault),
    }
}
