//! The page of a timeline: what is aboard on every day, and what happens.

mod data;
mod events;
pub(super) mod faults;
mod levels;
mod picture;
mod rows;

pub(super) use data::{data, lacks, shortfall};

use crate::answer::Status;
use crate::audit::Plan;
use crate::timeline::{Outcome, Timeline};

use super::findings::Findings;
use super::number::fixed;
use super::page::{Block, Cell, Page, Table, Tone};
use super::solved::CAUTION;
use crate::network::Calendar;
use crate::quantity::shown_number;

/// The page of a plan over its calendar, and under bad days if there are any.
pub fn timed(findings: &Findings, timeline: &Timeline, bad_days: Option<&Outcome>) -> Page {
    let plan = findings.plan;
    let network = plan.network();
    let mut page = Page::new(network.title.as_str());
    let kg = fixed(plan.answer().launch_mass_kg, 2);
    let proved = plan.answer().proof.status == Status::Optimal;
    page.blocks.push(Block::Outcome {
        tone: if proved { Tone::Good } else { Tone::Doubtful },
        words: match proved {
            true => format!("Day by day of the lightest plan, {kg} kg at launch, proved."),
            false => format!("Day by day of a plan not proved the lightest: {kg} kg at launch."),
        },
    });
    page.blocks.push(Block::Title(network.title.clone()));
    if let Some(outcome) = bad_days {
        page.heading("What goes wrong");
        page.verbatim(outcome.name.as_str());
        faults::outcome(&mut page, plan, timeline, outcome);
    }
    days(&mut page, plan, timeline);
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.records = Some(rows::rows(plan, timeline, bad_days));
    page.data = data(findings, timeline, bad_days);
    page
}

/// What is aboard on every day, and what happens.
pub(super) fn days(page: &mut Page, plan: &Plan, timeline: &Timeline) {
    page.paragraph(span(&plan.network().calendar));
    levels::levels(page, plan, timeline);
    picture::pictures(page, plan, timeline);
    events::flights(page, plan, timeline);
    events::events(page, plan, timeline);
}

/// From when to when.
fn span(calendar: &Calendar) -> String {
    let end = calendar.mission_days();
    let days = shown_number(end);
    match (calendar.date(0.0), calendar.date(end)) {
        (Some(first), Some(last)) => {
            format!("Day 0 is {first}; the mission ends after {days} days, on {last}.")
        }
        _ => format!("{days} days. The design states no date of departure, so days are counted."),
    }
}

/// The columns that say when; the date only where it is known.
fn when_columns(calendar: &Calendar) -> Vec<(&'static str, &'static str)> {
    match calendar.departure {
        Some(_) => vec![("day", ""), ("date", "")],
        None => vec![("day", "")],
    }
}

/// The cells under [`when_columns`].
fn when(calendar: &Calendar, day: f64) -> Vec<Cell> {
    let mut cells = vec![Cell::Plain(day)];
    if calendar.departure.is_some() {
        cells.push(date(calendar, day));
    }
    cells
}

/// The date of a day, if it is known.
fn date(calendar: &Calendar, day: f64) -> Cell {
    let date = calendar.date(day);
    date.map_or(Cell::Blank, |date| Cell::text(date.to_string()))
}

/// A table of columns before, when, and columns after.
fn table_with_when(
    calendar: &Calendar,
    before: &[(&str, &'static str)],
    after: &[(&str, &'static str)],
) -> Table {
    let columns = [before, &when_columns(calendar), after].concat();
    Table::new(&columns)
}
