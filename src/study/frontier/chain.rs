//! One solve after the other, each with the measure limited below what the one
//! before has of it.

use super::least::Measured;
use super::measure::Measure;
use super::{APART, Failed, fault};
use crate::audit::Plan;
use crate::network::Network;
use crate::solve::Trail;
use crate::study::time_left::TimeLeft;
use crate::{Hints, Planned, Refusal, plan_in_turn};

/// A limit is loosened by this share of it, so that a plan that is just at it fits.
const FITS: f64 = 1e-9;

/// What all solves of a frontier share.
pub(super) struct Chain<'a> {
    /// The network.
    pub network: &'a Network,
    /// What launch mass is set against.
    pub measure: Measure,
    /// Whether units alone decide it.
    pub of_units: bool,
    /// The program that knows the measure; none for confidence.
    pub measured: Option<&'a Measured>,
    /// How long all may take.
    pub time: &'a TimeLeft,
}

/// What came of a limit.
pub(super) enum Step {
    /// The lightest plan within it, at the least of the measure that its mass
    /// allows.
    Plan(Lowered),
    /// None.
    Failed(Failed),
}

/// A plan at the least of the measure that its mass allows.
pub(super) struct Lowered {
    /// The plan.
    pub plan: Box<Plan>,
    /// Whether it is known that its mass allows no less.
    pub known: bool,
}

impl Chain<'_> {
    /// From a high level down to a low one, by no more than so much at a time
    /// beyond what a plan itself goes down.
    pub fn walk(&self, high: f64, low: f64, by: f64) -> Result<Vec<Step>, Refusal> {
        let mut steps = Vec::new();
        let mut limit = high;
        let mut trail = Trail::default();
        loop {
            let step = self.step(limit, &mut trail)?;
            let reached = match &step {
                Step::Plan(lowered) => self.measure.level(self.measure.of(&lowered.plan)),
                Step::Failed(_) => limit,
            };
            let stopped = self.time.now().is_none();
            steps.push(step);
            limit = reached.min(limit) - by;
            if stopped || limit <= low {
                return Ok(steps);
            }
        }
    }

    /// The lightest plan with the measure at a level or better, in turn with others.
    pub fn step(&self, level: f64, trail: &mut Trail) -> Result<Step, Refusal> {
        let limit = self.measure.at(level);
        let failed = |reason: &str| {
            let reason = reason.to_owned();
            Ok(Step::Failed(Failed { limit, reason }))
        };
        let Some(hints) = self.hints() else {
            return failed("stopped before it was solved");
        };
        match self.within(limit, &hints, Some(trail)) {
            Ok(Planned::Plan(plan)) => Ok(Step::Plan(self.lowered(*plan)?)),
            Ok(Planned::NoBalance(_)) => failed("no balance"),
            Ok(Planned::Unknown { .. }) => failed("stopped before anything was found"),
            // One point is missing; the others do not rest on it.
            Err(Refusal::Failure(failure)) => failed(&failure.to_string()),
            Err(refusal) => Err(refusal),
        }
    }

    /// A plan of the same mass with the least of the measure.
    pub fn lowered(&self, plan: Plan) -> Result<Lowered, Refusal> {
        let as_it_is = |plan: Plan, known: bool| Lowered {
            plan: Box::new(plan),
            known,
        };
        let Some(measured) = self.measured.filter(|_| !self.of_units) else {
            return Ok(as_it_is(plan, true));
        };
        let Some(hints) = self.hints() else {
            return Ok(as_it_is(plan, false));
        };
        let value = self.measure.of(&plan);
        let least = measured.at_mass(&plan, &hints.options).map_err(fault)?;
        Ok(match least {
            Some(least) if least < value * (1.0 - APART) => {
                // No other units are lighter within a tighter limit either.
                match self.within(least, &hints.with_units_of(&plan), None) {
                    Ok(Planned::Plan(lower)) => as_it_is(*lower, true),
                    Ok(_) | Err(Refusal::Failure(_)) => as_it_is(plan, false),
                    Err(refusal) => return Err(refusal),
                }
            }
            other => as_it_is(plan, other.is_some()),
        })
    }

    /// The lightest plan within a limit.
    pub fn within(
        &self,
        limit: f64,
        hints: &Hints,
        trail: Option<&mut Trail>,
    ) -> Result<Planned, Refusal> {
        let limit = match self.measure {
            Measure::Confidence => limit,
            _ => limit * (1.0 + FITS) + FITS,
        };
        plan_in_turn(&self.measure.limited(self.network, limit), hints, trail)
    }

    /// Hints with the time that is left; none when it is over.
    pub fn hints(&self) -> Option<Hints> {
        let options = self.time.now()?;
        Some(Hints {
            reference: false,
            causes: false,
            ..options.into()
        })
    }
}
