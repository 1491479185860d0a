//! Prices: what a little more or less of every demand and limit, one more person
//! and one more day would cost.
//!
//! Every price is the difference of two solves, never a dual value: at a corner
//! of the plan, such as a unit at its capacity, one more costs something else
//! than one less saves, and a dual value would be one of the two or anything
//! between them.

mod ask;
mod found;
mod moved;
mod what;

pub use what::{Limited, What};

use super::parallel;
use crate::Refusal;
use crate::audit::Plan;
use crate::design::Design;
use crate::network::NodeId;
use crate::solve::Options;
use ask::{Asked, Study};

/// What more or less of everything would cost.
#[derive(Clone, Debug)]
pub struct Prices {
    /// Everything that has a price, group by group.
    pub prices: Vec<Price>,
    /// What the plan minimises at its units and spares with cartridges, containers
    /// and tanks in fractions, kg: what prices at this hardware start from.
    pub in_fractions_kg: Option<f64>,
}

/// What more or less of something would cost.
#[derive(Clone, Debug, PartialEq)]
pub struct Price {
    /// Of what.
    pub what: What,
    /// How much of it there is, in its unit; the least of its phases.
    pub now: f64,
    /// With the units held, more and then less; none where units are what moves.
    ///
    /// Demands and limits: spares held too, the rest in fractions, a small step.
    /// People and days: a whole step, everything but the units chosen anew.
    pub at_this_hardware: Option<[Change; 2]>,
    /// With everything chosen anew, more and then less by a whole step; none where
    /// it was not asked for.
    pub hardware_free: Option<[Change; 2]>,
}

/// What a step does.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// So much more, or less if below zero, in the unit of what is moved.
    pub step: f64,
    /// What came of it.
    pub effect: Effect,
}

/// What came of a step.
#[derive(Clone, Debug, PartialEq)]
pub enum Effect {
    /// Another mass.
    Mass {
        /// What is minimised becomes so much more, kg; less if below zero.
        kg: f64,
        /// Whether both masses are proved.
        proved: bool,
        /// Units that change: node, before, after.
        units: Vec<(NodeId, u32, u32)>,
    },
    /// Nothing balances then.
    NoBalance,
    /// The design does not allow it; the reason in words.
    NotAllowed(String),
    /// There is nothing to take away.
    NothingThere,
    /// Stopped before it was known.
    Unknown,
}

impl Change {
    /// kg per unit of the step, in the step's own direction: what one more adds,
    /// what one less adds (below zero where it saves).
    pub fn per_unit(&self) -> Option<f64> {
        match self.effect {
            Effect::Mass { kg, .. } if self.step != 0.0 => Some(kg / self.step.abs()),
            _ => None,
        }
    }
}

/// Finds every price of a design at its plan; with the hardware free only where
/// that is asked for, for each of them is a search of its own.
///
/// # Errors
///
/// A failure of the solver or the audit.
pub fn prices(
    design: &Design,
    plan: &Plan,
    hardware_free: bool,
    options: &Options,
) -> Result<Prices, Refusal> {
    let study = Study::new(design, plan, options)?;
    let everything = found::all(plan);
    let questions: Vec<(usize, Asked)> = (0..everything.len())
        .flat_map(|index| Asked::ALL.map(|asked| (index, asked)))
        .filter(|(_, asked)| asked.held || hardware_free)
        .collect();
    let changes = parallel::answers(&questions, |&(index, asked)| {
        study.change(&everything[index], asked)
    });
    let mut changes = changes.into_iter();
    let mut prices = Vec::with_capacity(everything.len());
    for what in everything {
        let at_this_hardware = both_ways(&mut changes)?;
        let hardware_free = match hardware_free {
            true => both_ways(&mut changes)?,
            false => None,
        };
        prices.push(Price {
            now: what.now(plan.network()),
            what,
            at_this_hardware,
            hardware_free,
        });
    }
    Ok(Prices {
        prices,
        in_fractions_kg: study.in_fractions_kg,
    })
}

/// The next two answers: more, then less.
fn both_ways(
    changes: &mut impl Iterator<Item = Result<Option<Change>, Refusal>>,
) -> Result<Option<[Change; 2]>, Refusal> {
    let mut next = || changes.next().transpose().map(Option::flatten);
    let (more, less) = (next()?, next()?);
    Ok(more.zip(less).map(|(more, less)| [more, less]))
}

/// A step small enough to see the slope where the plan stands.
pub fn small_step(what: &What) -> f64 {
    match what {
        What::Demand { .. } | What::Use { .. } => 0.01,
        What::Limit(Limited::Power | Limited::Heat | Limited::Stowage) => 1.0,
        What::Limit(Limited::CrewTime | Limited::Volume) => 0.001,
        What::Payload { .. } | What::Stowed { .. } | What::Removed { .. } => 1.0,
        What::Count { .. } | What::Person { .. } | What::Day { .. } => 1.0,
    }
}

/// A step of the size that a planner thinks in.
pub fn whole_step(what: &What) -> f64 {
    match what {
        What::Limit(Limited::Power | Limited::Heat | Limited::Stowage) => 100.0,
        What::Limit(Limited::CrewTime | Limited::Volume) => 0.1,
        What::Payload { .. } | What::Stowed { .. } | What::Removed { .. } => 100.0,
        _ => 1.0,
    }
}
