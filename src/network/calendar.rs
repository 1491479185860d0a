//! The calendar: phases, flights, and the intervals both cut the mission into.

use jiff::Span;
use jiff::civil::Date;

use crate::diagnostic::Place;
use crate::kinds::Phase;

/// A vehicle that arrives; the first is the departure itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Flight {
    /// Day of arrival; 0 for the departure.
    pub day: f64,
    /// Largest mass it may carry, kg; none means no limit.
    pub payload_kg: Option<f64>,
    /// Days it may be late, covered by what is aboard.
    pub slip_days: f64,
    /// Initial mass per delivered kilogram.
    pub gear_ratio: f64,
    /// Where it is written, if it is.
    pub place: Option<Place>,
}

/// A piece of the mission between two events (phase boundary or arrival).
#[derive(Clone, Debug, PartialEq)]
pub struct Interval {
    /// First day.
    pub start: f64,
    /// Last day.
    pub end: f64,
    /// Index of the phase it lies in.
    pub phase: usize,
    /// Index of the flight that arrives at its start.
    pub arrival: Option<usize>,
}

impl Interval {
    /// Length, d.
    pub fn days(&self) -> f64 {
        self.end - self.start
    }
}

/// Phases, flights and intervals of a mission.
#[derive(Clone, Debug, PartialEq)]
pub struct Calendar {
    /// In order of time.
    pub phases: Vec<Phase>,
    /// In order of time; the first is the departure on day 0.
    pub flights: Vec<Flight>,
    /// In order of time, covering the mission without gaps.
    pub intervals: Vec<Interval>,
    /// The date of day 0, if the design states it.
    pub departure: Option<Date>,
}

/// Two days closer than this are the same day (about a tenth of a second).
pub(super) const SAME_DAY: f64 = 1e-6;

impl Calendar {
    /// Cuts the mission at every phase boundary and every arrival.
    ///
    /// `flights` must start with the departure and rise in time; arrivals at or
    /// after the end of the mission must have been refused before.
    pub fn new(phases: Vec<Phase>, flights: Vec<Flight>) -> Self {
        let mut intervals: Vec<Interval> = Vec::new();
        let mut start = 0.0;
        for (index, phase) in phases.iter().enumerate() {
            let end = start + phase.days;
            let mut cuts = vec![start];
            for flight in &flights {
                if flight.day > start + SAME_DAY && flight.day < end - SAME_DAY {
                    cuts.push(flight.day);
                }
            }
            cuts.push(end);
            for pair in cuts.windows(2) {
                let arrival = flights
                    .iter()
                    .position(|flight| (flight.day - pair[0]).abs() <= SAME_DAY);
                intervals.push(Interval {
                    start: pair[0],
                    end: pair[1],
                    phase: index,
                    arrival,
                });
            }
            start = end;
        }
        Calendar {
            phases,
            flights,
            intervals,
            departure: None,
        }
    }

    /// The date on which a day of the mission falls, if the date of the departure
    /// is stated: day 0 and everything before day 1 is the day of departure.
    ///
    /// ```
    /// use loopwright::network::Calendar;
    /// let mut calendar = Calendar::new(Vec::new(), Vec::new());
    /// calendar.departure = "2031-12-30".parse().ok();
    /// assert_eq!(calendar.date(2.5).map(|date| date.to_string()), Some("2032-01-01".into()));
    /// ```
    pub fn date(&self, day: f64) -> Option<Date> {
        // A cast of what is not a number gives 0; what is too large saturates and
        // is refused by the span.
        let days = (day + SAME_DAY).floor() as i64;
        let span = Span::new().try_days(days).ok()?;
        self.departure?.checked_add(span).ok()
    }

    /// Mission length, d.
    pub fn mission_days(&self) -> f64 {
        self.phases.iter().map(|phase| phase.days).sum()
    }

    /// The day on which a phase begins.
    pub fn phase_start(&self, phase: usize) -> f64 {
        self.phases.iter().take(phase).map(|phase| phase.days).sum()
    }

    /// The phase in which a flight arrives; on the day on which a phase begins,
    /// that phase.
    pub fn phase_of_arrival(&self, flight: usize) -> usize {
        let mut intervals = self.intervals.iter();
        intervals
            .find(|interval| interval.arrival == Some(flight))
            .map_or(0, |interval| interval.phase)
    }

    /// Index of the last flight that arrives not after `day`.
    pub fn last_flight_by(&self, day: f64) -> usize {
        self.flights
            .iter()
            .rposition(|flight| flight.day <= day + SAME_DAY)
            .unwrap_or(0)
    }

    /// The day of the flight after `flight`, or the end of the mission.
    pub fn next_flight_day(&self, flight: usize) -> f64 {
        self.flights
            .get(flight + 1)
            .map_or_else(|| self.mission_days(), |next| next.day)
    }

    /// Days of each phase that lie between two days.
    pub fn phase_days_between(&self, from: f64, to: f64) -> Vec<f64> {
        let mut start = 0.0;
        self.phases
            .iter()
            .map(|phase| {
                let end = start + phase.days;
                let days = (to.min(end) - from.max(start)).max(0.0);
                start = end;
                days
            })
            .collect()
    }

    /// Whether every flight lifts a kilogram for the same initial mass.
    pub fn equal_gear_ratios(&self) -> bool {
        self.flights
            .windows(2)
            .all(|pair| pair[0].gear_ratio == pair[1].gear_ratio)
    }
}
