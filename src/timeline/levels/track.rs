//! The course of one level: straight between the days on which something changes.

use crate::network::NodeId;

/// How much of something is aboard over the mission.
#[derive(Clone, Debug, PartialEq)]
pub struct Track {
    /// The node it belongs to.
    pub node: NodeId,
    /// What it is.
    pub what: Kept,
    /// In order of time, from day 0 to the end; straight lines between them.
    pub points: Vec<Point>,
    /// The most that there is room for, in the track's unit, if that is stated.
    pub room: Option<f64>,
    /// What is used by the plan, by phase, in the track's unit per day.
    pub use_per_day: Vec<f64>,
}

/// What a track shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kept {
    /// What a store holds, kg: its reserve and cargo transferred into it.
    Store,
    /// What is left of what a cargo node has been brought, kg.
    Cargo,
    /// Waste aboard, kg.
    Waste,
    /// Cartridges not yet spent; one in use counts by what it can still treat.
    Cartridges,
    /// Expendables left, kg.
    Expendables,
    /// Upkeep supplies left, kg.
    Upkeep,
}

/// A level on a day, just before and just after what happens on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// The day.
    pub day: f64,
    /// Just before.
    pub before: f64,
    /// Just after.
    pub after: f64,
}

/// A level and when it was met.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extreme {
    /// The level.
    pub level: f64,
    /// The first day on which it is met.
    pub day: f64,
}

/// Less than this is noise of the linear solver, kg.
pub(in crate::timeline) const NOISE: f64 = 1e-6;

impl Kept {
    /// A word that stays the same from version to version.
    pub fn key(self) -> &'static str {
        match self {
            Kept::Store => "store",
            Kept::Cargo => "cargo",
            Kept::Waste => "waste",
            Kept::Cartridges => "cartridges",
            Kept::Expendables => "expendables",
            Kept::Upkeep => "upkeep",
        }
    }

    /// The unit of its levels.
    pub fn unit(self) -> &'static str {
        match self {
            Kept::Cartridges => "cartridges",
            _ => "kg",
        }
    }

    /// Whether it runs out rather than fills up.
    pub fn runs_out(self) -> bool {
        self != Kept::Waste
    }
}

impl Track {
    /// The lowest level and the first day on which it is met.
    pub fn least(&self) -> Extreme {
        self.extreme(|level, least| level < least - NOISE)
    }

    /// The highest level and the first day on which it is met.
    pub fn most(&self) -> Extreme {
        self.extreme(|level, most| level > most + NOISE)
    }

    fn extreme(&self, beats: impl Fn(f64, f64) -> bool) -> Extreme {
        // Before the departure there is nothing, and that is no low.
        let levels = self.points.iter().enumerate().flat_map(|(index, point)| {
            let before = (index > 0).then_some(point.before);
            let levels = before.into_iter().chain([point.after]);
            levels.map(|level| Extreme {
                level,
                day: point.day,
            })
        });
        let nothing = Extreme {
            level: 0.0,
            day: 0.0,
        };
        levels
            .reduce(|best, next| match beats(next.level, best.level) {
                true => next,
                false => best,
            })
            .unwrap_or(nothing)
    }

    /// The level on a day, after what happens on it; nothing outside the mission.
    pub fn level(&self, day: f64) -> Option<f64> {
        let last = self.points.iter().rposition(|point| point.day <= day)?;
        let here = self.points[last];
        let Some(next) = self.points.get(last + 1) else {
            return (here.day == day).then_some(here.after);
        };
        let share = (day - here.day) / (next.day - here.day);
        Some(here.after + share * (next.before - here.after))
    }

    /// The level at the end of the mission.
    pub fn at_end(&self) -> f64 {
        self.points.last().map_or(0.0, |point| point.after)
    }

    /// The lowest and highest level between two days, ends included; none if they
    /// lie outside the mission.
    pub fn range(&self, from: f64, to: f64) -> Option<(f64, f64)> {
        let ends = [self.level(from), self.level(to)];
        let inside = self
            .points
            .iter()
            .filter(|point| point.day > from && point.day <= to)
            .flat_map(|point| [Some(point.before), Some(point.after)]);
        ends.into_iter()
            .chain(inside)
            .flatten()
            .fold(None, |range, level| match range {
                None => Some((level, level)),
                Some((low, high)) => Some((level.min(low), level.max(high))),
            })
    }
}
