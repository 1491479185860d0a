//! When flights come, how late they could be, and what else happens.

use super::{table_with_when, when};
use crate::audit::Plan;
use crate::quantity::shown_number;
use crate::report::number::{counted, fixed};
use crate::report::page::{Cell, Page};
use crate::timeline::{Event, Happening, LISTED, Timeline};

/// Arrivals, and how long each could be waited for.
pub(super) fn flights(page: &mut Page, plan: &Plan, timeline: &Timeline) {
    let network = plan.network();
    let calendar = &network.calendar;
    if timeline.lateness.is_empty() {
        return;
    }
    page.heading("How late flights could be");
    page.paragraph(
        "On the cargo that is planned to be aboard, everything else as planned and reserves left \
         alone. A slip is asked of cargo only: units may stop before it is over, because their \
         cartridges or expendables are on the flight. What reserves add, and what else could be \
         done, --fault shows.",
    );
    let mut table = table_with_when(
        calendar,
        &[("flight", "")],
        &[
            ("slip covered by design", "d"),
            ("could be late", "d"),
            ("then runs out", ""),
            ("units stop after", "d"),
            ("for want of", ""),
        ],
    );
    for late in &timeline.lateness {
        let mut row = vec![Cell::Whole(late.flight as u64)];
        row.extend(when(calendar, late.day));
        row.push(Cell::Plain(late.slip_days));
        match late.runs_out {
            Some(out) => {
                row.push(Cell::Number {
                    value: out.after_days,
                    decimals: 1,
                });
                row.push(Cell::text(network.name(out.node)));
            }
            None => row.extend([Cell::Blank, Cell::text("nothing: its cargo is not needed")]),
        }
        match late.stops {
            Some(out) => {
                row.push(Cell::Number {
                    value: out.after_days,
                    decimals: 1,
                });
                let words = format!("{} of {}", out.what.key(), network.name(out.node));
                row.push(Cell::text(words));
            }
            None => row.extend([Cell::Blank, Cell::Blank]),
        }
        table.rows.push(row);
    }
    page.table(table.without_blank_columns());
}

/// Everything that happens, day by day.
pub(super) fn events(page: &mut Page, plan: &Plan, timeline: &Timeline) {
    let calendar = &plan.network().calendar;
    page.heading("What happens");
    let mut table = table_with_when(calendar, &[], &[("what", "")]);
    for event in &timeline.events {
        let mut row = when(calendar, event.day);
        row.push(Cell::text(words(plan, event)));
        table.rows.push(row);
    }
    page.table(table);
}

/// An event in words.
pub(super) fn words(plan: &Plan, event: &Event) -> String {
    let network = plan.network();
    let name = |node| network.name(node);
    let kg = |kg: f64| format!("{} kg", fixed(kg, 2));
    match &event.what {
        Happening::PhaseBegins {
            phase,
            crew,
            crew_before,
            occasions,
        } => {
            let mut words = format!(
                "{} begins: {} aboard",
                network.calendar.phases[*phase].name,
                shown_number(*crew)
            );
            match crew_before {
                Some(before) if before != crew => {
                    words += &format!(", {} until now", shown_number(*before));
                }
                _ => {}
            }
            for (occasion, rate) in occasions {
                words += &format!("; {occasion} {} times a week", shown_number(rate * 7.0));
            }
            words
        }
        Happening::Arrival {
            flight,
            brings_kg,
            takes_kg,
        } => {
            let mut words = match flight {
                0 => format!("departure with {}", kg(*brings_kg)),
                flight => format!("flight {flight} brings {}", kg(*brings_kg)),
            };
            if *takes_kg > 0.0 {
                words += &format!(" and takes {} of waste away", kg(*takes_kg));
            }
            words
        }
        Happening::Transfer {
            cargo,
            store,
            kg: amount,
            gas_kg,
            crew_h,
        } => {
            let mut words = format!("{} of {} into {store}", kg(*amount), name(*cargo));
            if *gas_kg > 0.0 {
                words += &format!(", pushed by {} of gas", kg(*gas_kg));
            }
            if *crew_h > 0.0 {
                words += &format!(", {} h of the crew", fixed(*crew_h, 1));
            }
            words
        }
        Happening::Starts { node, units } => format!(
            "{} starts with {}",
            name(*node),
            counted(*units as usize, "unit")
        ),
        Happening::Replacement {
            node,
            units,
            number,
        } => format!(
            "{}: {} replaced, worn out (replacement {number})",
            name(*node),
            counted(*units as usize, "unit")
        ),
        Happening::Cartridge { node, number, of } => {
            let between = match *of > LISTED && *number == 1 {
                true => ", those up to the last are not listed",
                false => "",
            };
            format!(
                "{}: a cartridge is exchanged ({number} of {of}{between})",
                name(*node)
            )
        }
        Happening::End { takes_kg } => match *takes_kg > 0.0 {
            true => format!("the mission ends; {} of waste leave", kg(*takes_kg)),
            false => "the mission ends".to_owned(),
        },
    }
}
