//! The frontier of launch mass against something else: what less power, crew time,
//! volume or mass per flight, or more confidence, costs in mass.
//!
//! No point is made up by weighting one against the other: the measure is limited,
//! the mass is minimised within the limit, the measure is lowered as far as that
//! mass allows, and the limit is tightened below it. Points that another beats in
//! both are left out.

mod chain;
mod least;
mod measure;
mod portfolios;

use super::parallel;
use super::time_left::TimeLeft;
use crate::audit::Plan;
use crate::network::{Network, NodeId, SparesPolicy};
use crate::solve::{Options, Trail};
use crate::{Failure, Refusal};
use chain::{Chain, Lowered, Step};
use least::Measured;

pub use measure::Measure;

/// The range is walked in so many pieces, side by side.
const PIECES: u32 = 8;
/// Confidence is looked at between these, and as far as the design's own.
const CONFIDENCE: [f64; 2] = [0.9, 0.9999];
/// How far apart values are that differ, as a share.
const APART: f64 = 1e-6;

/// Points of the frontier, the lightest first.
#[derive(Clone, Debug)]
pub struct Frontier {
    /// What launch mass is set against.
    pub measure: Measure,
    /// Every one lighter than the next and worse in the measure.
    pub points: Vec<Point>,
    /// The portfolios of the points, in the order in which they come.
    pub portfolios: Vec<Portfolio>,
    /// Limits that have no point, and why.
    pub failed: Vec<Failed>,
    /// Between a point and the next, others may lie within this much of its
    /// measure (of its shortfall from 1, as a share, for confidence); none where
    /// every value of the measure was looked at.
    pub step: Option<f64>,
}

/// A plan that no other beats in both mass and measure.
#[derive(Clone, Debug)]
pub struct Point {
    /// The plan.
    pub plan: Box<Plan>,
    /// What it has of the measure.
    pub value: f64,
    /// Whether nothing that has as little of the measure is lighter.
    pub proved: bool,
    /// Which of the portfolios it has.
    pub portfolio: usize,
}

/// Hardware counts, and the best that they allow.
#[derive(Clone, Debug)]
pub struct Portfolio {
    /// Units that differ from those of the first point: node, there, here.
    pub units: Vec<(NodeId, u32, u32)>,
    /// The lightest plan that they allow; none if not proved.
    pub lightest: Option<Extreme>,
    /// The lightest of the plans with the least of the measure that they allow; none
    /// if not proved, and for confidence, which more spares always raise.
    pub least: Option<Extreme>,
}

/// What is best for one of the two, with the other then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extreme {
    /// What is minimised, kg.
    pub kg: f64,
    /// What there is of the measure.
    pub value: f64,
}

/// A limit without a point.
#[derive(Clone, Debug, PartialEq)]
pub struct Failed {
    /// The measure was limited to this.
    pub limit: f64,
    /// Why there is no point.
    pub reason: String,
}

/// Walks the frontier of a plan's network in so many steps.
///
/// # Errors
///
/// A failure of the solver or the audit.
pub fn frontier(
    best: &Plan,
    measure: Measure,
    steps: u32,
    options: &Options,
) -> Result<Frontier, Refusal> {
    let network = best.network();
    let time = TimeLeft::new(options);
    let measured = match measure {
        Measure::Confidence => None,
        _ => Some(Measured::new(network, measure).map_err(fault)?),
    };
    let chain = Chain {
        network,
        measure,
        of_units: measure.is_of_units(network),
        measured: measured.as_ref(),
        time: &time,
    };
    let mut walked: Vec<Step> = Vec::new();
    let (top, least) = match &measured {
        None => {
            let [from, to] = confidences(network);
            (measure.level(from), Some(measure.level(to)))
        }
        Some(_) => (measure.of(best), None),
    };
    walked.push(match measured {
        None => chain.step(top, &mut Trail::default())?,
        Some(_) => Step::Plan(chain.lowered(best.clone())?),
    });
    let least = match least {
        Some(least) => {
            walked.push(chain.step(least, &mut Trail::default())?);
            Some(least)
        }
        None => chain.bottom(&mut walked)?,
    };
    let mut step = None;
    match least {
        None => walked.push(Step::Failed(Failed {
            limit: measure.at(top),
            reason: "the best value beyond it is not known: out of time, or the solver failed"
                .to_owned(),
        })),
        Some(least) => {
            let range = (top - least).max(0.0);
            let by = match chain.of_units {
                true => APART * top.abs(),
                false => range / f64::from(steps.max(1)),
            };
            step = (!chain.of_units).then_some(by);
            let piece = range / f64::from(PIECES);
            let pieces: Vec<(f64, f64)> = (0..PIECES)
                .map(|index| top - piece * f64::from(index))
                .map(|high| (high, (high - piece).max(least)))
                .filter(|(high, low)| high - low > APART * top.abs())
                .collect();
            for steps in parallel::answers(&pieces, |&(high, low)| chain.walk(high, low, by)) {
                walked.extend(steps?);
            }
        }
    }
    let (mut found, mut failed) = (Vec::new(), Vec::new());
    for step in walked {
        match step {
            Step::Plan(lowered) => found.push(lowered),
            Step::Failed(why) => failed.push(why),
        }
    }
    let found = undominated(found, measure);
    let (points, portfolios) = chain.portfolios(found)?;
    Ok(Frontier {
        measure,
        points,
        portfolios,
        failed,
        step,
    })
}

fn fault(fault: crate::solve::Fault) -> Refusal {
    Refusal::Failure(Failure::Solver(fault))
}

/// From and to which confidence.
fn confidences(network: &Network) -> [f64; 2] {
    let [from, to] = CONFIDENCE;
    match network.spares {
        Some(SparesPolicy::WholeSystem { confidence }) => {
            [from.min(confidence), to.max(confidence)]
        }
        _ => [from, to],
    }
}

/// Those that no other beats: lighter than the next and worse in the measure.
fn undominated(mut found: Vec<Lowered>, measure: Measure) -> Vec<Lowered> {
    let kg = |one: &Lowered| one.plan.answer().minimised_kg();
    let level = |one: &Lowered| measure.level(measure.of(&one.plan));
    found.sort_by(|one, other| {
        let by_mass = kg(one).total_cmp(&kg(other));
        by_mass.then(level(one).total_cmp(&level(other)))
    });
    let mut kept: Vec<Lowered> = Vec::new();
    for one in found {
        let better = |last: &Lowered| level(&one) < level(last) - APART * level(last).abs();
        if kept.last().is_some_and(|last| !better(last)) {
            continue;
        }
        // As light as the one before, to what is proved, and better.
        let same = |last: &Lowered| kg(&one) <= kg(last) * (1.0 + 3e-9) + APART;
        if kept.last().is_some_and(same) {
            kept.pop();
        }
        kept.push(one);
    }
    kept
}
