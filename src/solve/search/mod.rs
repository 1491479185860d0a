//! The search over hardware counts: a tree whose every branch is a change of
//! bounds, closed only with counts fixed, the other whole numbers whole and
//! the spares exact.
mod alike;
mod branching;
mod diving;
mod leaves;
mod narrowing;
mod open;
mod relaxing;
mod root;
mod rounds;
mod trail;
mod tree;

use super::kernel::{Doubt, Kernel, Limited};
use super::mixed::Mixed;
use super::portfolio::{Portfolio, rewrite};
use super::relaxation::{Relaxed, relax};
use super::tighten::reduce_with_bounds;
use super::{Backend, Clock, Fault, Options, Outcome};
use crate::program::{Family, Form, Program};

use alike::Alike;
pub(super) use alike::SAME_MASS_KG;
pub(super) use leaves::Incumbent;
use rounds::Task;
pub use trail::Trail;
use tree::Search;

/// A whole number is one within this.
const WHOLE: f64 = 1e-7;
/// And one on which nothing can lean within this.
const EXACT: f64 = 1e-12;

/// Numbers of spares up to which every one is a column of its own where payload
/// rows weigh them: the bound is stronger, the linear programs are larger.
const MOST_CHOICES: usize = 3_000;

/// The objective and the counts held, for a search other than the first.
#[derive(Clone, Debug)]
pub(super) struct Question {
    /// Bounds on columns of the whole program, narrower than its own.
    pub bounds: Vec<(usize, f64, f64)>,
    /// Answers at or above this mass are of no interest, kg.
    pub cutoff_kg: f64,
    /// Whether to find the others, with other units, that weigh the same too.
    pub alike: bool,
    /// Units that may do, by count column of the whole program; empty if none are
    /// known.
    pub near: Vec<(usize, u32)>,
}

impl Default for Question {
    fn default() -> Self {
        Question {
            bounds: Vec::new(),
            cutoff_kg: f64::INFINITY,
            alike: false,
            near: Vec::new(),
        }
    }
}

/// Finds the lightest answer of a program, beside those that have left a trail.
pub(super) fn lightest(
    program: &Program,
    options: &Options,
    clock: &Clock,
    question: &Question,
    trail: Option<&mut Trail>,
) -> Result<Outcome, Fault> {
    let narrowed = (!question.bounds.is_empty()).then(|| narrow(program, &question.bounds));
    let program = narrowed.as_ref().unwrap_or(program);
    let weighs_spares = program.system_confidence.is_some()
        && program.form == Form::PerFlight
        && program.rows.iter().any(|row| row.family == Family::Payload);
    let mut price = 0.0;
    if program.system_confidence.is_some() {
        // The price of confidence at the rounded-up counts of the root.
        for _ in 0..3 {
            let portfolio = rewrite(program, Some(price));
            let Some(combinations) = root_combinations(&portfolio, options.backend)? else {
                return Ok(Outcome::Infeasible);
            };
            let better = portfolio.tables.price(&combinations);
            if (better - price).abs() <= 1e-9 * better.abs() {
                break;
            }
            price = better;
        }
    }
    let choices: usize = program.parts.iter().map(|part| part.options.len()).sum();
    let explicit = weighs_spares && choices <= MOST_CHOICES;
    let portfolio = rewrite(program, (!explicit).then_some(price));
    let task = Task {
        cutoff_kg: question.cutoff_kg,
        alike: question.alike.then(Alike::default),
        near: &question.near,
        trail: trail.map(|trail| trail.of(program.form)),
    };
    Search::run(portfolio, Some(program), options, clock, task)
}

/// Minimises a mixed program as it stands.
pub(super) fn run(
    portfolio: Portfolio,
    options: &Options,
    clock: &Clock,
) -> Result<Outcome, Fault> {
    let task = Task::below(f64::INFINITY);
    Search::run(portfolio, None, options, clock, task)
}

fn narrow(program: &Program, bounds: &[(usize, f64, f64)]) -> Program {
    let mut program = program.clone();
    for &(column, lower, upper) in bounds {
        let data = &mut program.columns[column];
        data.lower = data.lower.max(lower);
        data.upper = data.upper.min(upper);
    }
    // Combinations of units outside the bounds leave the spare tables.
    let columns = &program.columns;
    let handles = &program.handles;
    for part in &mut program.parts {
        let nodes = part.nodes.clone();
        part.options.retain(|option| {
            option.counts.iter().zip(&nodes).all(|(&units, node)| {
                handles.count[node.index()].is_none_or(|column| {
                    let data = &columns[column.0];
                    f64::from(units) >= data.lower && f64::from(units) <= data.upper
                })
            })
        });
    }
    program
}

/// Combination of every part at the root, counts rounded up.
fn root_combinations(portfolio: &Portfolio, backend: Backend) -> Result<Option<Vec<usize>>, Fault> {
    let Ok((reduced, implied)) = reduce_with_bounds(&portfolio.mixed) else {
        return Ok(None);
    };
    let lower: Vec<f64> = reduced.program.columns.iter().map(|c| c.lower).collect();
    let upper: Vec<f64> = reduced.program.columns.iter().map(|c| c.upper).collect();
    let mut kernel = Kernel::new(&reduced.program, &implied);
    let relaxed = solve_linear(&mut kernel, &reduced.program, &lower, &upper, backend)?;
    let Relaxed::Optimal { values, .. } = relaxed else {
        return Ok(None);
    };
    let values = reduced.expand(&values);
    let mut combinations = vec![0; portfolio.tables.parts.len()];
    for group in &portfolio.groups {
        let Some(part) = group.part else { continue };
        let units: Vec<u32> = (0..group.counts.len())
            .map(|node| {
                let mean: f64 = group
                    .options
                    .iter()
                    .map(|option| f64::from(option.units[node]) * values[option.weight])
                    .sum();
                (mean - 1e-6).ceil().max(0.0) as u32
            })
            .collect();
        combinations[part] = portfolio.tables.combination(part, &units).unwrap_or(0);
    }
    Ok(Some(combinations))
}

/// Solves a linear program by the kernel; where it cannot make sure of its
/// result, or is not wanted, by the library's slower simplex.
pub(super) fn solve_linear(
    kernel: &mut Kernel,
    program: &Mixed,
    lower: &[f64],
    upper: &[f64],
    backend: Backend,
) -> Result<Relaxed, Fault> {
    let known = match backend {
        Backend::Library => Err(Doubt),
        Backend::Kernel => kernel.solve(program, lower, upper),
    };
    match known {
        Ok(relaxed) => Ok(relaxed),
        Err(Doubt) => relax(program, lower, upper),
    }
}

/// The same where what costs `limit` or more is of no interest.
fn solve_below(
    kernel: &mut Kernel,
    program: &Mixed,
    lower: &[f64],
    upper: &[f64],
    backend: Backend,
    limit: f64,
) -> Result<Limited, Fault> {
    let known = match backend {
        Backend::Library => Err(Doubt),
        Backend::Kernel => kernel.solve_below(program, lower, upper, limit),
    };
    match known {
        Ok(limited) => Ok(limited),
        Err(Doubt) => relax(program, lower, upper).map(Limited::Relaxed),
    }
}
