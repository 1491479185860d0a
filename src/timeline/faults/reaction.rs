//! The best that can be done.

use super::conditions::{Conditions, Stretch};
use super::course::{Course, Recorder, Steady, steady};
use super::horizon::{Horizon, More};
use super::lack::{Lack, Shortfall, lacks};
use super::model::Model;
use super::replay::{self, Replayed};
use super::rows::Needs;
use crate::audit::Plan;
use crate::network::BadDays;
use crate::solve::{Backend, Fault};

/// A reaction, and what would have made it complete.
pub(super) struct Reacted {
    pub course: Course,
    pub cover: Vec<Lack>,
    pub people_until: Option<f64>,
}

/// The best reaction to bad days, from the day on which they begin.
///
/// # Errors
///
/// A fault of the linear solver.
pub fn react(plan: &Plan, days: &BadDays, backend: Backend) -> Result<Course, Fault> {
    let model = Model::of(plan);
    let conditions = Conditions::of(&model, &days.faults);
    let replayed = replay::run(&model, &conditions, backend)?;
    Ok(run(&model, &conditions, &replayed, backend)?.course)
}

/// What is lacking is told from so many days after the first shortfall.
const MOMENT: f64 = 0.1;

/// A first shortfall this close to the end of a stretch is rounding, d.
const CLOSE: f64 = 1e-6;

pub(super) fn run(
    model: &Model,
    conditions: &Conditions,
    replayed: &Replayed,
    backend: Backend,
) -> Result<Reacted, Fault> {
    let all = &conditions.stretches;
    let begins = all.partition_point(|stretch| stretch.end <= conditions.from_day);
    let from = &all[begins.min(all.len())..];
    let asked = Asked {
        model,
        stretches: from,
        stocks: &replayed.stocks,
        backend,
    };
    let mut legs: Vec<Steady> = replayed
        .steady
        .iter()
        .filter(|steady| steady.leg.to_day <= conditions.from_day)
        .cloned()
        .collect();
    let Best {
        first,
        cover,
        people_until,
        stretches,
        legs: after,
    } = asked.best(conditions.from_day)?;
    legs.extend(after);
    let mut recorder = Recorder::new(model);
    let mut legs = legs.into_iter().peekable();
    for stretch in all[..begins].iter().chain(&stretches) {
        recorder.arrive(stretch.start, &stretch.arrivals);
        while let Some(leg) = legs.next_if(|one| one.leg.from_day < stretch.end) {
            recorder.run(&leg);
        }
    }
    Ok(Reacted {
        course: recorder.finish(first),
        cover,
        people_until,
    })
}

/// From a day on, what is left, and what may be done with it.
struct Asked<'a> {
    model: &'a Model<'a>,
    stretches: &'a [Stretch],
    stocks: &'a [f64],
    backend: Backend,
}

/// The best that can be done.
struct Best {
    first: Option<Shortfall>,
    /// What would have covered everything.
    cover: Vec<Lack>,
    /// The day until which people can be served with all else rationed, if not to the
    /// end.
    people_until: Option<f64>,
    stretches: Vec<Stretch>,
    legs: Vec<Steady>,
}

impl Asked<'_> {
    /// Latest first shortfall, then the least of them.
    fn best(&self, from_day: f64) -> Result<Best, Fault> {
        let least = self.legs(self.stretches, |_| Needs::MayFail)?;
        let Some(least) = least else {
            return Err(inconsistent());
        };
        let mut best = Best {
            first: None,
            cover: Vec::new(),
            people_until: None,
            stretches: self.stretches.to_vec(),
            legs: least,
        };
        let mut legs = best.legs.iter();
        let Some(short) = legs.position(|steady| steady.leg.falls_short()) else {
            return Ok(best);
        };
        best.cover = self.given(self.stretches, More::Supplies)?;
        // The one with the least shortfall has none before this stretch, so the
        // latest is not before it either.
        let Some((index, day)) = self.latest(short, Needs::Met)? else {
            return Ok(best);
        };
        best.people_until = self.latest(index, Needs::PeopleMet)?.map(|(_, day)| day);
        best.first = Some(Shortfall {
            day,
            after_days: day - from_day,
            lacks: self.lacking(index, day)?,
        });
        best.stretches = split(self.stretches, index, day - CLOSE);
        let unhurt = |index: usize| match best.stretches[index].end <= day {
            true => Needs::Met,
            false => Needs::MayFail,
        };
        best.legs = self
            .legs(&best.stretches, unhurt)?
            .ok_or_else(inconsistent)?;
        Ok(best)
    }

    /// The stretch in which something must fall short, and the latest day on which it
    /// first does, looking from the stretch `index` on.
    fn latest(&self, mut index: usize, needs: Needs) -> Result<Option<(usize, f64)>, Fault> {
        while let Some(stretch) = self.stretches.get(index) {
            let upto = &self.stretches[..=index];
            let horizon = Horizon::of(self.model, upto, self.stocks, |_| needs, More::Days);
            let values = horizon.solve(self.backend)?.ok_or_else(inconsistent)?;
            let days = horizon.last_days.map_or(0.0, |column| values[column]);
            if days < stretch.days() - CLOSE {
                return Ok(Some((index, stretch.start + days)));
            }
            index += 1;
        }
        Ok(None)
    }

    /// What is lacking just after a day, kg/d.
    fn lacking(&self, index: usize, day: f64) -> Result<Vec<Lack>, Fault> {
        let mut upto = self.stretches[..=index].to_vec();
        let Some(last) = upto.last_mut() else {
            return Ok(Vec::new());
        };
        let more = MOMENT.min(0.5 * (last.end - day));
        last.end = day + more;
        let mut lacks = self.given(&upto, More::Nothing)?;
        for lack in &mut lacks {
            lack.kg /= more;
        }
        Ok(lacks)
    }

    /// The least that had to be given or taken away over some stretches.
    fn given(&self, stretches: &[Stretch], more: More) -> Result<Vec<Lack>, Fault> {
        let horizon = Horizon::of(self.model, stretches, self.stocks, |_| Needs::Given, more);
        let values = horizon.solve(self.backend)?.ok_or_else(inconsistent)?;
        Ok(lacks(&horizon.columns, &horizon.supplies, &values))
    }

    /// The legs of the cheapest course, if there is any.
    fn legs(
        &self,
        stretches: &[Stretch],
        needs: impl Fn(usize) -> Needs,
    ) -> Result<Option<Vec<Steady>>, Fault> {
        let horizon = Horizon::of(self.model, stretches, self.stocks, needs, More::Nothing);
        let Some(values) = horizon.solve(self.backend)? else {
            return Ok(None);
        };
        let legs = stretches.iter().zip(&horizon.columns);
        let legs = legs.map(|(stretch, columns)| {
            steady(self.model, stretch, columns, &values, stretch.days())
        });
        Ok(Some(legs.collect()))
    }
}

fn inconsistent() -> Fault {
    Fault::Inconsistent("a reaction that cannot be, though doing nothing could".to_owned())
}

/// Stretches with one of them cut in two on a day, unless it begins or ends there.
fn split(stretches: &[Stretch], index: usize, day: f64) -> Vec<Stretch> {
    let mut cut = stretches.to_vec();
    let Some(stretch) = cut.get_mut(index) else {
        return cut;
    };
    if day <= stretch.start + CLOSE || day >= stretch.end - CLOSE {
        return cut;
    }
    let mut rest = stretch.clone();
    stretch.end = day;
    rest.start = day;
    rest.arrivals.clear();
    cut.insert(index + 1, rest);
    cut
}
