//! Levels as one table for programs: a row for every day on which one bends or
//! jumps, headings that stay.

use super::faults::{BEST, NOBODY};
use super::levels::substance;
use crate::audit::Plan;
use crate::report::page::{Cell, Table};
use crate::timeline::{Outcome, Timeline, Track};

/// Every point of every level.
pub(super) fn rows(plan: &Plan, timeline: &Timeline, bad_days: Option<&Outcome>) -> Table {
    let mut table = Table::new(&[
        ("course", ""),
        ("at", ""),
        ("what", ""),
        ("substance", ""),
        ("unit", ""),
        ("day", ""),
        ("date", ""),
        ("before", ""),
        ("after", ""),
    ]);
    add(&mut table, plan, "plan", &timeline.tracks);
    if let Some(outcome) = bad_days {
        add(&mut table, plan, NOBODY, &outcome.replay.tracks);
        add(&mut table, plan, BEST, &outcome.reaction.tracks);
    }
    table
}

/// The points of the levels of one course of things.
fn add(table: &mut Table, plan: &Plan, course: &str, tracks: &[Track]) {
    let network = plan.network();
    for track in tracks {
        for point in &track.points {
            table.rows.push(vec![
                Cell::text(course),
                Cell::text(network.name(track.node)),
                Cell::text(track.what.key()),
                substance(network, track).map_or(Cell::Blank, Cell::text),
                Cell::text(track.what.unit()),
                Cell::Plain(point.day),
                super::date(&network.calendar, point.day),
                Cell::Plain(point.before),
                Cell::Plain(point.after),
            ]);
        }
    }
}
