//! The portfolios of a frontier, and the best that each allows.

use super::chain::{Chain, Lowered, Step};
use super::{Extreme, Failed, Point, Portfolio, fault};
use crate::answer::Status;
use crate::audit::Plan;
use crate::solve::Trail;
use crate::study::{differences, parallel};
use crate::{Planned, Refusal, plan_network};

impl Chain<'_> {
    /// Points with their portfolios, and the best that those allow.
    pub fn portfolios(&self, found: Vec<Lowered>) -> Result<(Vec<Point>, Vec<Portfolio>), Refusal> {
        let mut firsts: Vec<Plan> = Vec::new();
        let mut points = Vec::new();
        for Lowered { plan, known } in found {
            let units = plan.units_by_name();
            let seen = firsts
                .iter()
                .position(|first| first.units_by_name() == units);
            let portfolio = seen.unwrap_or_else(|| {
                firsts.push((*plan).clone());
                firsts.len() - 1
            });
            points.push(Point {
                value: self.measure.of(&plan),
                proved: known && plan.answer().proof.status == Status::Optimal,
                portfolio,
                plan,
            });
        }
        let extremes = parallel::answers(&firsts, |plan| self.extremes(plan));
        let mut portfolios = Vec::new();
        for (plan, extremes) in firsts.iter().zip(extremes) {
            let (lightest, least) = extremes?;
            portfolios.push(Portfolio {
                units: differences::units(&firsts[0], plan),
                lightest,
                least,
            });
        }
        Ok((points, portfolios))
    }

    /// The lightest plan that a plan's units allow, and the lightest with the least
    /// of the measure.
    fn extremes(&self, plan: &Plan) -> Result<(Option<Extreme>, Option<Extreme>), Refusal> {
        let (Some(hints), Some(measured)) = (self.hints(), self.measured) else {
            return Ok((None, None));
        };
        let least = measured.of_units(plan, &hints.options).map_err(fault)?;
        let hints = hints.with_units_of(plan);
        let lightest = self.extreme(plan_network(self.network, &hints))?;
        let least = match least {
            Some(least) => self.extreme(self.within(least, &hints, None))?,
            None => None,
        };
        Ok((lightest, least))
    }

    fn extreme(&self, planned: Result<Planned, Refusal>) -> Result<Option<Extreme>, Refusal> {
        Ok(match planned {
            Ok(Planned::Plan(plan)) if plan.answer().proof.status == Status::Optimal => {
                Some(Extreme {
                    kg: plan.answer().minimised_kg(),
                    value: self.measure.of(&plan),
                })
            }
            Ok(_) | Err(Refusal::Failure(_)) => None,
            Err(refusal) => return Err(refusal),
        })
    }

    /// The best value that any plan has, with the lightest plan that has it among
    /// the steps; none where it is not known.
    ///
    /// A bound is found with pieces in fractions and no spares. Where a plan reaches
    /// it, it is the best; else the search is for the exact value.
    pub fn bottom(&self, walked: &mut Vec<Step>) -> Result<Option<f64>, Refusal> {
        for exact in [false, true] {
            let (Some(options), Some(measured)) = (self.time.now(), self.measured) else {
                return Ok(None);
            };
            let least = measured.of_any(exact, &options).map_err(fault)?;
            let Some(least) = least else { continue };
            match self.step(least, &mut Trail::default())? {
                Step::Failed(Failed { .. }) if !exact => {}
                step => {
                    walked.push(step);
                    return Ok(Some(least));
                }
            }
        }
        Ok(None)
    }
}
