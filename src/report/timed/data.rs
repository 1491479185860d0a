//! A timeline as data.

use serde_json::{Value, json};

use super::levels::substance;
use crate::audit::Plan;
use crate::network::{Calendar, Network};
use crate::report::findings::{Findings, status_words};
use crate::timeline::{
    Course, Event, Happening, Lack, Lacking, Lateness, Leg, Outcome, Shortfall, Timeline, Track,
    days_of_cover,
};

/// Levels, flights, events.
pub(in crate::report) fn data(
    findings: &Findings,
    timeline: &Timeline,
    bad_days: Option<&Outcome>,
) -> Value {
    let plan = findings.plan;
    let network = plan.network();
    let calendar = &network.calendar;
    let mut data = json!({
        "status": status_words(plan.answer().proof.status),
        "title": network.title,
        "launch_mass_kg": plan.answer().launch_mass_kg,
        "days": timeline.days,
    });
    if let Some(departure) = calendar.departure {
        data["departure"] = json!(departure.to_string());
    }
    data["levels"] = levels(network, &timeline.tracks);
    data["lateness"] = timeline
        .lateness
        .iter()
        .map(|late| lateness(network, late))
        .collect();
    data["events"] = timeline
        .events
        .iter()
        .map(|event| happening(plan, event))
        .collect();
    if let Some(outcome) = bad_days {
        data["fault"] = json!({
            "name": outcome.name,
            "from_day": outcome.from_day,
            "nobody_reacts": course(network, &outcome.replay),
            "best_reaction": course(network, &outcome.reaction),
            "cover": lacks(network, &outcome.cover),
        });
        if let Some(day) = outcome.people_until {
            data["fault"]["people_until_day"] = json!(day);
        }
    }
    findings.origin.sign(&mut data);
    data
}

/// A course of bad days.
fn course(network: &Network, course: &Course) -> Value {
    let mut value = json!({});
    if let Some(first) = &course.first {
        value["first_shortfall"] = shortfall(network, first);
    }
    value["unmet_kg"] = json!(course.unmet_kg());
    value["held_up_kg"] = json!(course.held_kg());
    let legs = course.legs.iter();
    value["legs"] = legs.map(|one| leg(network, one)).collect();
    value["levels"] = levels(network, &course.tracks);
    value
}

/// A first shortfall.
pub(in crate::report) fn shortfall(network: &Network, short: &Shortfall) -> Value {
    let value = json!({
        "day": short.day,
        "after_d": short.after_days,
        "lacks": lacks(network, &short.lacks),
    });
    dated(value, &network.calendar, short.day)
}

/// What is missing, or has no way out.
pub(in crate::report) fn lacks(network: &Network, lacks: &[Lack]) -> Value {
    let lacks = lacks.iter().map(|lack| {
        let (what, name) = match lack.what {
            Lacking::Missing(substance) => ("missing", network.substances.name(substance)),
            Lacking::HeldUp(substance) => ("held up", network.substances.name(substance)),
            Lacking::Supplies(what) => ("supplies", what.key()),
        };
        json!({
            "at": network.name(lack.node),
            "lack": what,
            "of": name,
            "kg": lack.kg,
        })
    });
    lacks.collect()
}

fn leg(network: &Network, leg: &Leg) -> Value {
    let flows = network.streams().zip(&leg.flows);
    let flows = flows.filter(|(_, kg_per_day)| **kg_per_day > 1e-9);
    let flows = flows.map(|(stream, kg_per_day)| {
        let (from, to) = network.ends(stream);
        let substance = network.graph[stream].substance;
        json!({
            "substance": network.substances.name(substance),
            "from": network.name(from),
            "to": network.name(to),
            "kg_per_d": kg_per_day,
        })
    });
    let unmet = leg.unmet.iter().map(|unmet| {
        json!({
            "at": network.name(unmet.node),
            "substance": network.substances.name(unmet.substance),
            "share": unmet.share,
            "kg_per_d": unmet.kg_per_day,
        })
    });
    let held = leg.held.iter().map(|held| {
        json!({
            "at": network.name(held.node),
            "substance": network.substances.name(held.substance),
            "kg_per_d": held.kg_per_day,
        })
    });
    json!({
        "from_day": leg.from_day,
        "to_day": leg.to_day,
        "phase": network.calendar.phases[leg.phase].name,
        "flows": flows.collect::<Value>(),
        "unmet": unmet.collect::<Value>(),
        "held_up": held.collect::<Value>(),
    })
}

/// Tracks with their points.
pub(super) fn levels(network: &Network, tracks: &[Track]) -> Value {
    tracks.iter().map(|track| level(network, track)).collect()
}

/// Puts a date beside a day, where it is known.
pub(super) fn dated(mut value: Value, calendar: &Calendar, day: f64) -> Value {
    if let Some(date) = calendar.date(day) {
        value["date"] = json!(date.to_string());
    }
    value
}

fn level(network: &Network, track: &Track) -> Value {
    let calendar = &network.calendar;
    let mut value = json!({
        "at": network.name(track.node),
        "what": track.what.key(),
    });
    if let Some(substance) = substance(network, track) {
        value["substance"] = json!(substance);
    }
    value["unit"] = json!(track.what.unit());
    if let Some(room) = track.room {
        value["room"] = json!(room);
    }
    let (least, most) = (track.least(), track.most());
    let mut low = dated(
        json!({"level": least.level, "day": least.day}),
        calendar,
        least.day,
    );
    if track.what.runs_out()
        && let Some(days) = days_of_cover(calendar, least.day, least.level, &track.use_per_day)
    {
        low["lasts_d"] = json!(days);
    }
    value["least"] = low;
    value["most"] = dated(
        json!({"level": most.level, "day": most.day}),
        calendar,
        most.day,
    );
    value["points"] = track
        .points
        .iter()
        .map(|point| {
            let day = json!({"day": point.day, "before": point.before, "after": point.after});
            dated(day, calendar, point.day)
        })
        .collect();
    value
}

fn lateness(network: &Network, late: &Lateness) -> Value {
    let mut value = json!({
        "flight": late.flight,
        "day": late.day,
        "slip_d": late.slip_days,
    });
    if let Some(out) = late.runs_out {
        value["could_be_late_d"] = json!(out.after_days);
        value["then_runs_out"] = json!(network.name(out.node));
    }
    if let Some(out) = late.stops {
        value["units_stop_after_d"] = json!(out.after_days);
        value["for_want_of"] = json!({"at": network.name(out.node), "what": out.what.key()});
    }
    dated(value, &network.calendar, late.day)
}

fn happening(plan: &Plan, event: &Event) -> Value {
    let key = match event.what {
        Happening::PhaseBegins { .. } => "phase begins",
        Happening::Arrival { .. } => "arrival",
        Happening::Transfer { .. } => "transfer",
        Happening::Starts { .. } => "start",
        Happening::Replacement { .. } => "replacement",
        Happening::Cartridge { .. } => "cartridge",
        Happening::End { .. } => "end",
    };
    let value = json!({
        "day": event.day,
        "event": key,
        "words": super::events::words(plan, event),
    });
    dated(value, &plan.network().calendar, event.day)
}
