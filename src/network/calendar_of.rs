//! The calendar of a mission as written.

use std::ops::RangeInclusive;

use jiff::civil::Date;

use crate::design::{self, Mission};
use crate::diagnostic::{Diagnostic, Place, codes};

use super::{Calendar, Flight, Phase};

/// More flights than any mission has; more is a slip of the keyboard.
const MOST_FLIGHTS: usize = 2_000;
/// Gear ratios that any transport has; others are a slip of the keyboard.
const GEAR_RATIOS: RangeInclusive<f64> = 0.001..=1000.0;

/// Builds the calendar, or complains and gives none.
pub(super) fn calendar(mission: &Mission, diagnostics: &mut Vec<Diagnostic>) -> Option<Calendar> {
    let before = diagnostics.iter().filter(|one| one.is_error()).count();
    let phases = phases(mission, diagnostics);
    let end: f64 = phases.iter().map(|phase| phase.days).sum();
    let mut flights = vec![Flight {
        day: 0.0,
        payload_kg: None,
        slip_days: 0.0,
        gear_ratio: 1.0,
        place: None,
    }];
    if let Some(resupply) = &mission.resupply {
        if let Some(first) = mission.flights.first() {
            diagnostics.push(
                Diagnostic::error(codes::FLIGHTS, "mission: flights beside a resupply")
                    .at(first.day.place, "flights one by one here")
                    .also(resupply.every.place, "a steady cadence here")
                    .help("keep one of them"),
            );
        }
        cadence(resupply, end, &mut flights, diagnostics);
    } else {
        for flight in &mission.flights {
            one_flight(flight, end, &mut flights, diagnostics);
        }
    }
    let departure = departure(mission, end, diagnostics);
    let after = diagnostics.iter().filter(|one| one.is_error()).count();
    (after == before).then(|| {
        let mut calendar = Calendar::new(phases, flights);
        calendar.departure = departure;
        calendar
    })
}

/// The date of the departure, which must leave room for the whole mission.
fn departure(mission: &Mission, end: f64, diagnostics: &mut Vec<Diagnostic>) -> Option<Date> {
    let written = mission.departure.as_ref()?;
    let mut complain = |message: String, help: &str| {
        diagnostics.push(
            Diagnostic::error(codes::DEPARTURE, format!("mission: {message}"))
                .at(written.place, "")
                .help(help),
        );
    };
    let Ok(date) = written.text.parse::<Date>() else {
        complain(
            format!("\"{written}\" is no date"),
            "write year, month and day, such as departure: \"2031-05-14\"",
        );
        return None;
    };
    let mut calendar = Calendar::new(Vec::new(), Vec::new());
    calendar.departure = Some(date);
    if calendar.date(end).is_none() {
        complain(
            format!("{date} and {end} days more is beyond the calendar"),
            "the mission must end before the year 9999 is over",
        );
    }
    Some(date)
}

/// The shortest phase, d: about a minute and a half. What a shorter one takes or
/// gives is lost in the rounding of the others.
const SHORTEST_DAYS: f64 = 1e-3;

fn phases(mission: &Mission, diagnostics: &mut Vec<Diagnostic>) -> Vec<Phase> {
    let mut phases: Vec<Phase> = Vec::new();
    if mission.phases.is_empty() {
        diagnostics.push(
            Diagnostic::error(codes::NO_PHASES, "mission: no phases").help(
                "state at least one: Phase(name: \"operations\", length: \"180 d\", crew: 4)",
            ),
        );
    }
    for phase in &mission.phases {
        let days = phase.length.value.0;
        if days < SHORTEST_DAYS {
            let short = if days > 0.0 {
                "lasts less than a thousandth of a day"
            } else {
                "has no length"
            };
            diagnostics.push(
                Diagnostic::error(
                    codes::NO_PHASES,
                    format!("mission: phase \"{}\" {short}", phase.name),
                )
                .at(phase.length.place, "")
                .help("state a length of 0.001 d or more, or take the phase out"),
            );
        }
        if let Some(known) = phases.iter().find(|known| known.name == phase.name.text) {
            diagnostics.push(
                Diagnostic::error(
                    codes::REPEATED_PHASE,
                    format!("mission: two phases are called \"{}\"", phase.name),
                )
                .at(phase.name.place, "named again here")
                .also(known.place, "first named here")
                .help("give each phase a name of its own"),
            );
        }
        phases.push(Phase {
            name: phase.name.text.clone(),
            place: phase.name.place,
            days: phase.length.value.0,
            crew: f64::from(phase.crew),
            occasions: phase
                .occasions
                .iter()
                .map(|(name, rate)| (name.text.clone(), rate.0))
                .collect(),
        });
    }
    phases
}

fn cadence(
    resupply: &design::Resupply,
    end: f64,
    flights: &mut Vec<Flight>,
    diagnostics: &mut Vec<Diagnostic>,
) {
    let every = resupply.every.value.0;
    let place = resupply.every.place;
    if every <= 0.0 || end / every > MOST_FLIGHTS as f64 {
        diagnostics.push(
            Diagnostic::error(
                codes::FLIGHTS,
                format!("mission: a flight every {}", resupply.every.value),
            )
            .at(place, "")
            .help(format!(
                "state a cadence above zero that gives at most {MOST_FLIGHTS} flights"
            )),
        );
        return;
    }
    check_gear(
        resupply.gear_ratio.value,
        resupply.gear_ratio.place,
        diagnostics,
    );
    let mut number = 1.0;
    while number * every < end - 1e-6 {
        flights.push(Flight {
            day: number * every,
            payload_kg: resupply.payload.map(|mass| mass.0),
            slip_days: resupply.slip.0,
            gear_ratio: resupply.gear_ratio.value,
            place: Some(place),
        });
        number += 1.0;
    }
}

fn one_flight(
    flight: &design::Flight,
    end: f64,
    flights: &mut Vec<Flight>,
    diagnostics: &mut Vec<Diagnostic>,
) {
    let day = flight.day.value.0;
    let place = flight.day.place;
    check_gear(
        flight.gear_ratio.value,
        flight.gear_ratio.place,
        diagnostics,
    );
    let mut complain = |message: String, help: &str| {
        diagnostics.push(
            Diagnostic::error(codes::FLIGHTS, format!("mission: {message}"))
                .at(place, "")
                .help(help),
        );
    };
    let built = Flight {
        day,
        payload_kg: flight.payload.map(|mass| mass.0),
        slip_days: flight.slip.0,
        gear_ratio: flight.gear_ratio.value,
        place: Some(place),
    };
    if day.abs() <= 1e-6 {
        match flights.as_mut_slice() {
            [departure] if departure.place.is_none() => *departure = built,
            _ => complain(
                "a second departure on day 0".to_owned(),
                "state day 0 once, before all other flights",
            ),
        }
        return;
    }
    if day < 0.0 || day >= end - 1e-6 {
        complain(
            format!(
                "a flight on {} of a mission of {end} days",
                flight.day.value
            ),
            "flights arrive after day 0 and before the end",
        );
        return;
    }
    if flights.last().is_some_and(|last| last.day >= day - 1e-6) {
        complain(
            format!("the flight on day {day} is not after the one before it"),
            "list flights in order of time, each on a day of its own",
        );
        return;
    }
    if flights.len() > MOST_FLIGHTS {
        complain(
            format!("more than {MOST_FLIGHTS} flights"),
            "state fewer flights",
        );
        return;
    }
    flights.push(built);
}

fn check_gear(gear_ratio: f64, place: Place, diagnostics: &mut Vec<Diagnostic>) {
    if !GEAR_RATIOS.contains(&gear_ratio) {
        diagnostics.push(
            Diagnostic::error(codes::OUT_OF_RANGE, format!("a gear ratio of {gear_ratio}"))
                .at(place, "")
                .help(
                    "it is the initial mass per delivered kilogram: from 0.001 to 1000, usually 1 or more",
                ),
        );
    }
}
