//! Phases and flights, and the days that deliveries must last.

use super::Draft;
use super::book::{Entry, Sheet, Show, Table};
use super::facts::{Fact, FlightFact, PhaseFact};
use super::formula::{CellId, Formula, Function, call, difference, sum};

/// Days of the calendar as cells.
pub(super) struct Days {
    /// Length of every phase.
    pub phases: Vec<CellId>,
    /// First day of every phase.
    pub starts: Vec<CellId>,
    /// Last day of the mission.
    pub end: CellId,
    /// Day of every flight.
    pub flights: Vec<CellId>,
    /// Day of the flight after each, or the end.
    pub next: Vec<CellId>,
    /// Initial mass per kilogram on every flight.
    pub gear: Vec<CellId>,
    /// Days of every phase before the next flight: flight, phase.
    pub used: Vec<Vec<CellId>>,
    /// The same before the next flight is as late as it may be.
    pub covered: Vec<Vec<CellId>>,
    /// Whether any flight may be late.
    pub late: bool,
}

/// Writes the calendar.
pub(super) fn calendar(draft: &mut Draft) -> Days {
    let names = draft.phase_names();
    let mut table = Table::new(
        Sheet::Calendar,
        "Phases",
        &[
            ("phase", Show::Words),
            ("length, d", Show::Plain),
            ("first day", Show::Plain),
            ("last day", Show::Plain),
        ],
    );
    let (mut phases, mut starts, mut ends) = (Vec::new(), Vec::new(), Vec::<CellId>::new());
    for (phase, name) in names.iter().enumerate() {
        let length = draft.fact(Fact::Phase(phase, PhaseFact::Days));
        let length = draft.book.formula(length);
        let start = ends.last().map_or(Formula::Number(0.0), |&end| end.into());
        let start = draft.book.formula(start);
        let end = draft.book.formula(sum([start.into(), length.into()]));
        table.rows.push(vec![
            name.as_str().into(),
            length.into(),
            start.into(),
            end.into(),
        ]);
        phases.push(length);
        starts.push(start);
        ends.push(end);
    }
    draft.book.table(table);
    let end = ends.last().copied().unwrap_or(CellId(0));
    let flights = draft.network.calendar.flights.len();
    let mut table = Table::new(
        Sheet::Calendar,
        "Flights",
        &[
            ("flight", Show::Whole),
            ("day", Show::Plain),
            ("next flight or end, day", Show::Plain),
            ("gear ratio, kg/kg", Show::Plain),
            ("payload, kg", Show::Plain),
            ("may be late by, d", Show::Plain),
        ],
    )
    .noted("Flight 0 is the departure. The gear ratio is the initial mass per delivered kilogram.");
    let of = |draft: &mut Draft, fact| -> Vec<CellId> {
        (0..flights)
            .map(|flight| {
                let formula = draft.fact_here(Fact::Flight(flight, fact));
                draft.book.formula(formula)
            })
            .collect()
    };
    let day = of(draft, FlightFact::Day);
    let gear = of(draft, FlightFact::Gear);
    let slip = of(draft, FlightFact::Slip);
    let mut next = Vec::new();
    for flight in 0..flights {
        let following = day.get(flight + 1).copied().unwrap_or(end);
        let after = draft.book.formula(following.into());
        next.push(after);
        let payload = Fact::Flight(flight, FlightFact::Payload);
        let payload = match draft.has(payload) {
            true => {
                let formula = draft.fact(payload);
                Entry::Cell(draft.book.formula(formula))
            }
            false => "no limit".into(),
        };
        table.rows.push(vec![
            flight.to_string().into(),
            day[flight].into(),
            after.into(),
            gear[flight].into(),
            payload,
            slip[flight].into(),
        ]);
    }
    draft.book.table(table);
    let late = draft
        .network
        .calendar
        .flights
        .iter()
        .any(|flight| flight.slip_days > 0.0);
    let ends = Ends {
        starts: &starts,
        ends: &ends,
        phases: &phases,
    };
    let used = until(
        draft,
        &ends,
        &next,
        "Days of each phase before the next flight",
    );
    let covered = match late {
        false => used.clone(),
        true => {
            let mut latest = Vec::new();
            for flight in 0..flights {
                latest.push(match day.get(flight + 1) {
                    None => next[flight],
                    Some(&following) => {
                        let late = sum([following.into(), slip[flight + 1].into()]);
                        let latest = call(Function::Min, [late, end.into()]);
                        draft.book.formula(latest)
                    }
                });
            }
            let words =
                "Days of each phase before the next flight, where it is as late as it may be";
            until(draft, &ends, &latest, words)
        }
    };
    Days {
        phases,
        starts,
        end,
        flights: day,
        next,
        gear,
        used,
        covered,
        late,
    }
}

/// First days, last days and lengths of the phases.
struct Ends<'a> {
    starts: &'a [CellId],
    ends: &'a [CellId],
    phases: &'a [CellId],
}

/// Days of every phase before some days, one for every flight; before the end of
/// the mission, all of them.
fn until(draft: &mut Draft, ends: &Ends, days: &[CellId], title: &str) -> Vec<Vec<CellId>> {
    let mut table = Table::new(
        Sheet::Calendar,
        title,
        &[("flight", Show::Whole), ("before day", Show::Plain)],
    );
    for name in draft.phase_names() {
        table.column(format!("{name}, d"), Show::Plain);
    }
    let mut all = Vec::new();
    for (flight, &day) in days.iter().enumerate() {
        let mut row: Vec<Entry> = vec![flight.to_string().into(), day.into()];
        let mut found = Vec::new();
        for phase in 0..ends.phases.len() {
            let formula = match flight + 1 == days.len() {
                true => ends.phases[phase].into(),
                false => {
                    let last = call(Function::Min, [day.into(), ends.ends[phase].into()]);
                    let length = difference(last, ends.starts[phase].into());
                    call(Function::Max, [0.0.into(), length])
                }
            };
            let cell = draft.book.formula(formula);
            found.push(cell);
            row.push(cell.into());
        }
        table.rows.push(row);
        all.push(found);
    }
    draft.book.table(table);
    all
}
