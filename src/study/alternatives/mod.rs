//! Alternatives: the lightest portfolios that differ in hardware counts, in order
//! of mass, none left out.
//!
//! Every portfolio but the lightest lies in one of the boxes of counts around it.
//! The lightest of each box is proved by a solve of its own; the lightest of those
//! is the next portfolio, and its box falls apart around it in turn.

mod region;

use super::time_left::TimeLeft;
use super::{differences, parallel};
use crate::answer::{Category, Status};
use crate::audit::Plan;
use crate::network::{Network, NodeId};
use crate::solve::Options;
use crate::{Hints, Planned, Refusal, plan_network};
use region::Region;

/// Masses closer than this are the same, kg.
const SAME_KG: f64 = 1e-6;

/// Which alternatives are asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// No more than this many, the lightest included.
    pub most: Option<usize>,
    /// None that is heavier than the lightest by more than this.
    pub within: Option<Margin>,
}

/// How much heavier than the lightest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Margin {
    /// A share of its mass.
    Share(f64),
    /// Kilograms.
    Kilograms(f64),
}

/// Portfolios in order of mass.
#[derive(Clone, Debug)]
pub struct Alternatives {
    /// The lightest first; equally light ones (to 1e-6 kg) by their counts in file
    /// order, the smaller first.
    pub found: Vec<Alternative>,
    /// Why there are no more.
    pub ended: Ended,
}

/// One portfolio at its lightest.
#[derive(Clone, Debug)]
pub struct Alternative {
    /// The lightest plan with these units.
    pub plan: Box<Plan>,
    /// What is minimised weighs so much more than in the first one, kg.
    pub heavier_kg: f64,
    /// Whether its mass is proved, and that no other portfolio comes before it
    /// but those listed.
    pub proved: bool,
    /// Units that differ from the first one's: node, there, here.
    pub units: Vec<(NodeId, u32, u32)>,
    /// Launch mass by category where it differs from the first one's, kg.
    pub by_category: Vec<(Category, f64)>,
}

/// Why there are no more alternatives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// As many as were asked for.
    Enough,
    /// Every other one is heavier than asked for, or has no balance.
    OutsideMargin,
    /// Every other one has no balance.
    NoOther,
    /// Stopped by time or interrupt: others may be missing.
    Stopped,
}

/// A box of counts and the lightest plan within it.
struct Open {
    region: Region,
    plan: Box<Plan>,
}

impl Open {
    fn kg(&self) -> f64 {
        self.plan.answer().minimised_kg()
    }
}

/// Lists the lightest portfolios of a plan's network, its own the first.
///
/// # Errors
///
/// A failure of the solver or the audit.
pub fn alternatives(
    best: &Plan,
    wanted: Wanted,
    options: &Options,
) -> Result<Alternatives, Refusal> {
    let network = best.network();
    let time = TimeLeft::new(options);
    let lightest_kg = best.answer().minimised_kg();
    let limit_kg = match wanted.within {
        None => f64::INFINITY,
        Some(Margin::Share(share)) => lightest_kg * (1.0 + share),
        Some(Margin::Kilograms(kg)) => lightest_kg + kg,
    };
    let most = wanted.most.unwrap_or(usize::MAX);
    let mut open = vec![Open {
        region: Region::all_of(network),
        plan: Box::new(best.clone()),
    }];
    let mut taken: Vec<Box<Plan>> = Vec::new();
    // No portfolio that was not searched for is lighter than this.
    let mut unsearched_kg = unproved_kg(best);
    let ended = loop {
        if taken.len() >= most {
            break Ended::Enough;
        }
        let Some(next) = next_of(&open).map(|index| open.swap_remove(index)) else {
            break match wanted.within {
                Some(_) => Ended::OutsideMargin,
                None => Ended::NoOther,
            };
        };
        if next.kg() > limit_kg + SAME_KG {
            break Ended::OutsideMargin;
        }
        let next_kg = next.kg();
        let regions = next.region.without(&next.plan);
        taken.push(next.plan);
        if taken.len() >= most {
            continue;
        }
        let below_kg = heaviest_wanted_kg(&taken, &open, most).min(limit_kg) + 2.0 * SAME_KG;
        let solved = parallel::answers(&regions, |region| {
            lightest_in(network, region, below_kg, &time)
        });
        for (region, solved) in regions.into_iter().zip(solved) {
            match solved? {
                Some(Planned::Plan(plan)) => {
                    unsearched_kg = unsearched_kg.min(unproved_kg(&plan));
                    open.push(Open { region, plan });
                }
                Some(Planned::NoBalance(_)) => {}
                Some(Planned::Unknown { bound_kg }) => {
                    unsearched_kg = unsearched_kg.min(bound_kg.max(next_kg));
                }
                None => unsearched_kg = unsearched_kg.min(next_kg),
            }
        }
    };
    let last_kg = match ended {
        Ended::Enough => taken
            .last()
            .map_or(0.0, |plan| plan.answer().minimised_kg()),
        _ => limit_kg,
    };
    Ok(Alternatives {
        found: taken
            .into_iter()
            .map(|plan| alternative(best, plan, unsearched_kg))
            .collect(),
        ended: match unsearched_kg < last_kg - SAME_KG {
            true => Ended::Stopped,
            false => ended,
        },
    })
}

fn alternative(best: &Plan, plan: Box<Plan>, unsearched_kg: f64) -> Alternative {
    let kg = plan.answer().minimised_kg();
    Alternative {
        heavier_kg: kg - best.answer().minimised_kg(),
        proved: plan.answer().proof.status == Status::Optimal && kg <= unsearched_kg + SAME_KG,
        units: differences::units(best, &plan),
        by_category: differences::by_category(best, &plan),
        plan,
    }
}

/// The least that something lighter than an unproved plan may weigh.
fn unproved_kg(plan: &Plan) -> f64 {
    let proof = &plan.answer().proof;
    match proof.status {
        Status::Optimal => f64::INFINITY,
        Status::Feasible => proof.bound_kg,
    }
}

/// The lightest; of several equally light the one with the smallest counts in
/// file order.
fn next_of(open: &[Open]) -> Option<usize> {
    let least_kg = open.iter().map(Open::kg).fold(f64::INFINITY, f64::min);
    let counts = |index: &usize| &open[*index].plan.answer().decisions.counts;
    (0..open.len())
        .filter(|&index| open[index].kg() <= least_kg + SAME_KG)
        .min_by(|one, other| counts(one).cmp(counts(other)))
}

/// With so many taken or waiting already, none heavier than this is wanted.
fn heaviest_wanted_kg(taken: &[Box<Plan>], open: &[Open], most: usize) -> f64 {
    let taken = taken.iter().map(|plan| plan.answer().minimised_kg());
    let mut all: Vec<f64> = taken.chain(open.iter().map(Open::kg)).collect();
    all.sort_by(f64::total_cmp);
    let last = most.checked_sub(1).and_then(|index| all.get(index));
    last.copied().unwrap_or(f64::INFINITY)
}

/// The lightest plan of a box; none where time is over.
fn lightest_in(
    network: &Network,
    region: &Region,
    below_kg: f64,
    time: &TimeLeft,
) -> Result<Option<Planned>, Refusal> {
    let Some(options) = time.now() else {
        return Ok(None);
    };
    let hints = Hints {
        counts: region.counts(network),
        reference: false,
        causes: false,
        ..Options {
            below_kg,
            ..options
        }
        .into()
    };
    plan_network(network, &hints).map(Some)
}
