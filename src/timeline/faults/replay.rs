//! What happens if nobody reacts.

use super::conditions::{Conditions, Stretch};
use super::course::{Course, Recorder, Steady, steady};
use super::lack::{Lack, Shortfall, lacks};
use super::model::Model;
use super::rows::{self, Columns, Length, Needs, Rule};
use crate::audit::Plan;
use crate::network::BadDays;
use crate::solve::{Backend, Fault, LinearOutcome, LinearProgram};
use crate::timeline::levels::NOISE;

/// A replayed course, and what a reaction sets out from.
pub(super) struct Replayed {
    pub course: Course,
    /// The legs with the changes of stocks.
    pub steady: Vec<Steady>,
    /// What is left of every stock before the stretch in which the faults begin.
    pub stocks: Vec<f64>,
}

/// Legs of one stretch are no more than this: every one ends with something that
/// runs out or fills up, or the tool has gone round in circles.
const MOST_LEGS: usize = 10_000;

/// Replays a plan under bad days: nobody reacts.
///
/// # Errors
///
/// A fault of the linear solver.
pub fn replay(plan: &Plan, days: &BadDays, backend: Backend) -> Result<Course, Fault> {
    let model = Model::of(plan);
    let conditions = Conditions::of(&model, &days.faults);
    Ok(run(&model, &conditions, backend)?.course)
}

pub(super) fn run(
    model: &Model,
    conditions: &Conditions,
    backend: Backend,
) -> Result<Replayed, Fault> {
    let mut recorder = Recorder::new(model);
    let mut legs: Vec<Steady> = Vec::new();
    let mut first = None;
    let mut at_fault = recorder.stocks.clone();
    for stretch in &conditions.stretches {
        if stretch.start <= conditions.from_day {
            at_fault = recorder.stocks.clone();
        }
        recorder.arrive(stretch.start, &stretch.arrivals);
        let mut now = stretch.start;
        let before = legs.len();
        while now < stretch.end {
            if legs.len() - before > MOST_LEGS {
                return Err(Fault::Inconsistent("a replay without an end".to_owned()));
            }
            let (columns, values) =
                rates(model, stretch, &recorder.stocks, Needs::MayFail, backend)?;
            let mut leg = steady(model, stretch, &columns, &values, 1.0);
            leg.leg.from_day = now;
            leg.leg.to_day = until(model, &recorder.stocks, &leg.change, now, stretch.end);
            if first.is_none() && leg.leg.falls_short() {
                first = Some(Shortfall {
                    day: now,
                    after_days: now - conditions.from_day,
                    lacks: missing(model, stretch, &recorder.stocks, backend)?,
                });
            }
            now = leg.leg.to_day;
            recorder.run(&leg);
            legs.push(leg);
        }
    }
    Ok(Replayed {
        course: recorder.finish(first),
        steady: legs,
        stocks: at_fault,
    })
}

/// The rates of a stretch with what is left.
fn rates(
    model: &Model,
    stretch: &Stretch,
    stocks: &[f64],
    needs: Needs,
    backend: Backend,
) -> Result<(Columns, Vec<f64>), Fault> {
    let mut program = LinearProgram::default();
    let rule = Rule::AsPlanned { stocks };
    let length = Length::Days(1.0);
    let columns = rows::stretch(&mut program, model, stretch, length, rule, needs);
    match program.solve(backend)? {
        LinearOutcome::Optimal { values, .. } => Ok((columns, values)),
        LinearOutcome::Infeasible => Err(Fault::Inconsistent(format!(
            "nothing can happen on day {}",
            stretch.start
        ))),
    }
}

/// What a day lacks, kg/d.
fn missing(
    model: &Model,
    stretch: &Stretch,
    stocks: &[f64],
    backend: Backend,
) -> Result<Vec<Lack>, Fault> {
    let (columns, values) = rates(model, stretch, stocks, Needs::Given, backend)?;
    Ok(lacks(&[columns], &[], &values))
}

/// The day until which rates hold: the first on which something runs out or is
/// full, or the end of the stretch.
fn until(model: &Model, stocks: &[f64], change: &[f64], now: f64, end: f64) -> f64 {
    let left = end - now;
    let mut days = left;
    let each = model.stocks.iter().zip(stocks).zip(change);
    for ((of, &stock), &change) in each {
        let (gap, rate) = match change < 0.0 {
            true => (stock, -change),
            false => (of.room - stock, change),
        };
        // What lasts to the end but for rounding does last.
        if gap.is_finite() && rate * left > gap + NOISE * (1.0 + 0.01 * gap) {
            days = days.min(gap.max(0.0) / rate);
        }
    }
    match days >= left {
        true => end,
        false => now + days,
    }
}
