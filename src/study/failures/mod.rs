//! Random failures: missions flown with random lives of their units and the
//! spares of a plan, counted against the confidence that the plan states.
//!
//! The plan's confidence counts failures (Poisson, or negative-binomial where the
//! rate is uncertain). Here nothing is counted but lives: every unit lasts an
//! exponentially distributed time, a spare takes its place at once, and a failure
//! that finds no spare is a shortfall.

mod interval;
mod pool;
mod tally;

pub use interval::wilson_interval;

use std::sync::atomic::{AtomicBool, Ordering};

use super::parallel;
use crate::audit::Plan;
use crate::network::{Calendar, NodeId};
use pool::FlownPool;
use tally::Tally;

/// Missions that one thread flies in one go.
const BLOCK: u64 = 500;

/// What became of many missions.
#[derive(Clone, Debug, PartialEq)]
pub struct Failures {
    /// What the random numbers start from.
    pub seed: u64,
    /// Missions asked for.
    pub asked: u64,
    /// Missions flown: the first of those asked for, fewer if it was stopped.
    pub missions: u64,
    /// Every part with units, in file order of its first node.
    pub parts: Vec<PartFailures>,
    /// All parts together.
    pub system: Lasting,
    /// Up to each arrival, each change of phase and the end of the mission.
    pub until: Vec<Until>,
}

/// What became of one part.
#[derive(Clone, Debug, PartialEq)]
pub struct PartFailures {
    /// Its name.
    pub part: String,
    /// The nodes whose units carry it.
    pub nodes: Vec<NodeId>,
    /// Units of those nodes.
    pub units: u64,
    /// Spares flown.
    pub spares: u32,
    /// Failures expected over a mission if there were always a spare.
    pub expected_failures: f64,
    /// How often they lasted.
    pub lasting: Lasting,
    /// Spares used on a mission, on average.
    pub spares_used: f64,
    /// The same, as the model has it: `Σ P(failures > i)` over `i` below the
    /// number of spares.
    pub spares_used_model: f64,
    /// Missions whose first shortfall is of this part.
    pub first_shortfalls: u64,
    /// Days that units of it stay down on a mission that it falls short on, on
    /// average; none if it never did.
    pub unit_days_down: Option<f64>,
}

/// How often spares lasted, against the probability by the model.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lasting {
    /// Missions flown.
    pub missions: u64,
    /// Missions without a shortfall.
    pub lasted: u64,
    /// Probability of that by the model.
    pub model: f64,
}

/// How often spares lasted up to a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Until {
    /// Day of the mission.
    pub day: f64,
    /// How often.
    pub lasting: Lasting,
}

impl Lasting {
    /// Share of missions without a shortfall.
    pub fn share(&self) -> f64 {
        self.lasted as f64 / self.missions.max(1) as f64
    }

    /// Between which the probability lies with 95 %, see [`wilson_interval`].
    pub fn interval(&self) -> [f64; 2] {
        wilson_interval(self.lasted, self.missions)
    }

    /// The share less the model's probability `p`, in standard errors
    /// `√(p (1 − p) / missions)`; none where the model leaves nothing to chance.
    pub fn standard_errors_off(&self) -> Option<f64> {
        let error = (self.model * (1.0 - self.model) / self.missions.max(1) as f64).sqrt();
        (error > 0.0).then(|| (self.share() - self.model) / error)
    }
}

/// Flies so many missions (≥ 1) with random failures and the spares of a plan.
///
/// The numbers depend on the seed and the number of missions alone, not on the
/// number of threads: mission `i` draws from stream `i` of the seed. Once `stop` is
/// set, no further missions start, and those counted are the first ones without a gap.
pub fn failures(plan: &Plan, missions: u64, seed: u64, stop: Option<&AtomicBool>) -> Failures {
    let pools = FlownPool::all(plan);
    let days = days(&plan.network().calendar);
    let blocks: Vec<u64> = (0..missions.div_ceil(BLOCK)).collect();
    let tallies = parallel::answers(&blocks, |&block| {
        if stop.is_some_and(|stop| stop.load(Ordering::Relaxed)) {
            return None;
        }
        let first = block * BLOCK;
        let range = first..missions.min(first + BLOCK);
        Some(Tally::of(&pools, &days, seed, range))
    });
    let none = Tally::empty(pools.len(), days.len());
    let tally = tallies
        .iter()
        .map_while(Option::as_ref)
        .fold(none, Tally::and);
    summed_up(plan, &pools, &days, &tally, missions, seed)
}

/// Arrivals, changes of phase and the end.
fn days(calendar: &Calendar) -> Vec<f64> {
    calendar
        .intervals
        .iter()
        .map(|interval| interval.end)
        .collect()
}

fn summed_up(
    plan: &Plan,
    pools: &[FlownPool],
    days: &[f64],
    tally: &Tally,
    asked: u64,
    seed: u64,
) -> Failures {
    let missions = tally.missions;
    let mean = |sum: f64| sum / missions.max(1) as f64;
    let end = plan.network().calendar.mission_days();
    let model = |day: f64| -> f64 {
        let logs = pools
            .iter()
            .map(|pool| pool.failures_by(day).log_probability(pool.spares));
        f64::exp(logs.sum())
    };
    let parts = pools.iter().zip(&tally.parts).map(|(pool, part)| {
        let failures = pool.failures_by(end);
        let more_than = |spares: u32| -failures.log_probability(spares).exp_m1();
        PartFailures {
            part: pool.name.clone(),
            nodes: pool.nodes.clone(),
            units: pool.units,
            spares: pool.spares,
            expected_failures: failures.mean(),
            lasting: Lasting {
                missions,
                lasted: missions - part.short,
                model: failures.log_probability(pool.spares).exp(),
            },
            spares_used: mean(part.spares_used as f64),
            spares_used_model: (0..pool.spares).map(more_than).sum(),
            first_shortfalls: part.first,
            unit_days_down: (part.short > 0).then(|| part.unit_days_down / part.short as f64),
        }
    });
    let parts: Vec<PartFailures> = parts.collect();
    let until = days
        .iter()
        .zip(&tally.short_by_day)
        .map(|(&day, &short)| Until {
            day,
            lasting: Lasting {
                missions,
                lasted: missions - short,
                model: model(day),
            },
        });
    let short: u64 = parts.iter().map(|part| part.first_shortfalls).sum();
    Failures {
        seed,
        asked,
        missions,
        system: Lasting {
            missions,
            lasted: missions - short,
            model: model(end),
        },
        until: until.collect(),
        parts,
    }
}

#[cfg(test)]
mod tests;
