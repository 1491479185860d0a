//! How the loop runs: power, heat, crew time, flows, waste.

use crate::audit::Plan;
use crate::kinds::Way;
use crate::quantity::shown_number;
use crate::report::page::{Cell, Page, Table};
use crate::report::record::NOISE_KG_PER_DAY;

/// More phases than this get a table of flows each.
const PHASES_SIDE_BY_SIDE: usize = 4;

/// People, power, heat and crew time by phase, and their limits.
pub(super) fn loads(page: &mut Page, plan: &Plan) {
    let (network, answer) = (plan.network(), plan.answer());
    page.heading("Loads by phase");
    let mut table = Table::new(&[
        ("phase", ""),
        ("length", "d"),
        ("people", ""),
        ("power", "W"),
        ("heat", "W"),
        ("crew time", "h/d"),
    ]);
    for (index, phase) in network.calendar.phases.iter().enumerate() {
        table.rows.push(vec![
            Cell::text(&phase.name),
            Cell::Plain(phase.days),
            Cell::Plain(phase.crew),
            load(&answer.power_w, index, 0),
            load(&answer.heat_w, index, 0),
            load(&answer.crew_time_h_per_day, index, 2),
        ]);
    }
    let limits = &network.limits;
    let limit = |limit: Option<crate::network::Limit>, decimals| {
        limit.map_or(Cell::Blank, |limit| Cell::Number {
            value: limit.value,
            decimals,
        })
    };
    let caps = [
        limit(limits.power_w, 0),
        limit(limits.heat_w, 0),
        limit(limits.crew_time_h_per_day, 2),
    ];
    if caps.iter().any(|cap| *cap != Cell::Blank) {
        let mut row = vec![Cell::text("limit"), Cell::Blank, Cell::Blank];
        row.extend(caps);
        table.total = Some(row);
    }
    page.table(table.without_blank_columns());
    if answer.volume_m3 > 0.0 {
        let volume = format!("Volume of all units: {} m³", shown_number(answer.volume_m3));
        page.paragraph(match limits.volume_m3 {
            Some(limit) => format!("{volume} of {} m³ allowed.", shown_number(limit.value)),
            None => format!("{volume}."),
        });
    }
}

/// A value of a phase; blank where no phase has any.
fn load(values: &[f64], phase: usize, decimals: usize) -> Cell {
    match values.iter().any(|value| *value != 0.0) {
        true => Cell::Number {
            value: values[phase],
            decimals,
        },
        false => Cell::Blank,
    }
}

/// Every stream that carries something, in file order.
pub(super) fn flows(page: &mut Page, plan: &Plan) {
    let phases = &plan.network().calendar.phases;
    page.heading("Flows");
    if phases.len() <= PHASES_SIDE_BY_SIDE {
        let all: Vec<usize> = (0..phases.len()).collect();
        page.table(flow_table(plan, &all).captioned("In kg/d, by phase:"));
        return;
    }
    for (index, phase) in phases.iter().enumerate() {
        page.table(flow_table(plan, &[index]).captioned(format!("In {}, kg/d:", phase.name)));
    }
}

fn flow_table(plan: &Plan, phases: &[usize]) -> Table {
    let network = plan.network();
    let mut columns = vec![("substance", ""), ("from", ""), ("to", "")];
    let names = phases
        .iter()
        .map(|&phase| network.calendar.phases[phase].name.as_str());
    columns.extend(names.map(|name| (name, "")));
    let mut table = Table::new(&columns);
    for stream in network.streams() {
        let flow = &plan.answer().decisions.flows[stream.index()];
        let cells: Vec<Cell> = phases
            .iter()
            .map(|&phase| match flow[phase] > NOISE_KG_PER_DAY {
                true => Cell::rate(flow[phase]),
                false => Cell::Blank,
            })
            .collect();
        if cells.iter().all(|cell| *cell == Cell::Blank) {
            continue;
        }
        let (from, to) = network.ends(stream);
        let mut row = vec![
            Cell::text(network.substances.name(network.graph[stream].substance)),
            Cell::text(network.name(from)),
            Cell::text(network.name(to)),
        ];
        row.extend(cells);
        table.rows.push(row);
    }
    table
}

/// What leaves the loop, by disposal.
pub(super) fn waste(page: &mut Page, plan: &Plan) {
    let network = plan.network();
    let mut table = Table::new(&[
        ("disposal", ""),
        ("way", ""),
        ("over the mission", "kg"),
        ("most between departures", "kg"),
        ("limit", "kg"),
    ]);
    for waste in &plan.answer().waste {
        let (way, most, limit) = match waste.way {
            Way::Overboard => ("overboard", Cell::Blank, Cell::Blank),
            Way::Stowed { limit_kg } => (
                "stowed aboard",
                Cell::Blank,
                limit_kg.map_or(Cell::Blank, Cell::kg),
            ),
            Way::Removed { per_flight_kg } => (
                "removed by flights",
                Cell::kg(waste.windows_kg.iter().copied().fold(0.0, f64::max)),
                Cell::kg(per_flight_kg),
            ),
        };
        table.rows.push(vec![
            Cell::text(network.name(waste.node)),
            Cell::text(way),
            Cell::kg(waste.kg),
            most,
            limit,
        ]);
    }
    page.table(table.without_blank_columns());
}
