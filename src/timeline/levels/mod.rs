//! The levels of everything aboard over the calendar, event by event: no fixed
//! steps, since between two events every level is a straight line.

mod events;
mod lateness;
mod track;
mod tracks;

pub use events::{Event, Happening, LISTED};
pub use lateness::{Lateness, RunsOut};
pub use track::{Extreme, Kept, Point, Track};

pub(super) use track::NOISE;
pub(super) use tracks::room;

use crate::audit::Plan;
use crate::network::Calendar;

/// A plan over its calendar.
#[derive(Clone, Debug, PartialEq)]
pub struct Timeline {
    /// Every level, stores first, each in file order.
    pub tracks: Vec<Track>,
    /// What happens, in order of time.
    pub events: Vec<Event>,
    /// How late every arrival could be before cargo runs out.
    pub lateness: Vec<Lateness>,
    /// Days of the mission.
    pub days: f64,
}

impl Timeline {
    /// The timeline of a plan.
    pub fn of(plan: &Plan) -> Self {
        Timeline {
            tracks: tracks::tracks(plan),
            events: events::events(plan),
            lateness: lateness::lateness(plan),
            days: plan.network().calendar.mission_days(),
        }
    }
}

/// Days that an amount lasts from a day on at a use by phase, if nothing is
/// brought; none if it lasts to the end of the mission.
///
/// `amount = ∫ use dt` from the day on, phase by phase.
pub fn days_of_cover(
    calendar: &Calendar,
    day: f64,
    amount: f64,
    use_per_day: &[f64],
) -> Option<f64> {
    let mut left = amount.max(0.0);
    let mut start = 0.0;
    for (phase, rate) in calendar.phases.iter().zip(use_per_day) {
        let end = start + phase.days;
        let from = day.max(start);
        let days = end - from;
        start = end;
        if days <= 0.0 || *rate <= 0.0 {
            continue;
        }
        if rate * days > left + NOISE {
            return Some(from + left / rate - day);
        }
        left -= rate * days;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::fixture::Sketch;

    #[test]
    fn cover_is_counted_phase_by_phase() {
        let sketch = Sketch::new(&[("one", 10.0, 2.0), ("two", 20.0, 4.0)], &[]);
        let calendar = sketch.network.calendar;
        let uses = [2.0, 5.0];
        assert_eq!(days_of_cover(&calendar, 0.0, 8.0, &uses), Some(4.0));
        // 10 d × 2 kg/d, then 50 kg at 5 kg/d.
        assert_eq!(days_of_cover(&calendar, 0.0, 70.0, &uses), Some(20.0));
        assert_eq!(days_of_cover(&calendar, 5.0, 60.0, &uses), Some(15.0));
        assert_eq!(days_of_cover(&calendar, 5.0, 110.0, &uses), None);
        assert_eq!(days_of_cover(&calendar, 5.0, 0.0, &[0.0, 5.0]), Some(5.0));
    }
}
