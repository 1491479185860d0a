//! Where the totals hold: what must stay so that the plan still runs as it does.

use super::Draft;
use super::book::{Content, Entry, Sheet, Show, Table};
use super::calendar::Days;
use super::deliveries::Brought;
use super::equations::{Holds, Variable, takes};
use super::facts::{Fact, FlightFact, WholeFact};
use super::formula::{
    CellId, Comparison, Formula, Function, Value, call, compare, difference, either, sum,
};
use super::hardware::Units;
use super::inputs::Part;
use super::ledger::Totals;
use super::operation::{Loads, Operation, at_node, room};
use super::ranges::Range;
use super::spares::Spares;
use crate::kinds::{Role, Way};
use crate::network::NodeId;

/// Less room than this is rounding.
const SLACK: f64 = 1e-6;

/// What checks look at.
pub(super) struct Holding<'a> {
    pub days: &'a Days,
    pub units: &'a Units,
    pub operation: &'a Operation,
    pub brought: &'a Brought,
    pub spares: &'a Spares,
    pub loads: &'a Loads,
    pub totals: &'a Totals,
}

/// Checks written so far.
pub(super) struct Checks {
    table: Table,
    /// 1 where a check fails, else 0.
    pub fails: Vec<CellId>,
}

impl Checks {
    /// Something that must not be below nothing.
    fn room(&mut self, draft: &mut Draft, words: &str, room: Formula, unit: &str) {
        let room = draft.book.formula(room);
        let fails = compare(room.into(), Comparison::AtLeast, (-SLACK).into());
        let fails = draft.book.formula(either(fails, 0.0.into(), 1.0.into()));
        if draft.book.number(fails) != 0.0 {
            let room = draft.book.number(room);
            draft
                .book
                .astray
                .push(format!("check \"{words}\" leaves {room}"));
        }
        self.table
            .rows
            .push(vec![words.into(), room.into(), unit.into(), fails.into()]);
        self.fails.push(fails);
    }
}

/// Writes the checks.
pub(super) fn checks(draft: &mut Draft, holding: &Holding) -> Checks {
    let mut checks = Checks {
        table: Table::new(
            Sheet::Checks,
            "What must hold",
            &[
                ("what", Show::Long),
                ("room left", Show::Rate),
                ("unit", Show::Short),
                ("holds", Show::Holds),
            ],
        )
        .noted(
            "Room left below nothing means that the plan can no longer run this way: solve again.",
        ),
        fails: Vec::new(),
    };
    directions(draft, holding, &mut checks);
    limits(draft, holding, &mut checks);
    whole_design(draft, holding, &mut checks);
    flights(draft, holding, &mut checks);
    brought(draft, holding, &mut checks);
    spares(draft, holding, &mut checks);
    shares(draft, &mut checks);
    untouched(draft, &mut checks);
    checks
}

/// Cells that one check looks at, so that no formula grows too long.
const TOGETHER: usize = 50;

/// What is held and what is given stays as it was solved: changing it is no way to
/// ask for another plan.
fn untouched(draft: &mut Draft, checks: &mut Checks) {
    let tables = draft.book.tables.iter().chain([&draft.rates]);
    let entries = tables.flat_map(|table| table.rows.iter().flatten());
    let mut shown: Vec<CellId> = entries
        .filter_map(|entry| match entry {
            Entry::Cell(cell) => Some(*cell),
            _ => None,
        })
        .collect();
    shown.sort();
    shown.dedup();
    for (content, words) in [
        (Content::Held, "what is held is as solved"),
        (Content::Given, "what is given is as solved"),
    ] {
        let cells = shown.iter().copied();
        let cells = cells.filter(|cell| draft.book.cells[cell.0].content == content);
        let cells: Vec<CellId> = cells.collect();
        for group in cells.chunks(TOGETHER) {
            let moved = group.iter().map(|&cell| {
                let moved = difference(cell.into(), draft.book.number(cell).into());
                super::formula::negative(call(Function::Abs, [moved]))
            });
            let moved = sum(moved);
            checks.room(draft, words, moved, "");
        }
    }
}

/// No level and no flow below nothing.
fn directions(draft: &mut Draft, holding: &Holding, checks: &mut Checks) {
    for (phase, name) in draft.phase_names().iter().enumerate() {
        let all = holding.operation.variables.iter();
        let here = all.filter(|(variable, _)| match variable {
            Variable::Level(_, _, at) | Variable::Flow(_, at) => *at == phase,
        });
        let cells: Vec<Formula> = here.map(|(_, cell)| cell.clone()).collect();
        let words = format!("no level and no flow runs backwards, {name}");
        checks.room(draft, &words, call(Function::Min, cells), "kg/d");
    }
}

/// Limits that equations may reach.
fn limits(draft: &mut Draft, holding: &Holding, checks: &mut Checks) {
    for equation in &holding.operation.limits {
        let in_use = equation
            .terms
            .iter()
            .any(|(variable, _)| holding.operation.variables.contains_key(variable));
        let held = match equation.holds {
            Holds::Nothing => true,
            Holds::Pieces(pieces, _) => holding.operation.held.contains(&pieces),
        };
        if !in_use || !held {
            continue;
        }
        let room = room(equation, holding.operation);
        let room = match equation.least {
            true => super::formula::negative(room),
            false => room,
        };
        checks.room(draft, &equation.words, room, equation.unit);
    }
}

fn whole_design(draft: &mut Draft, holding: &Holding, checks: &mut Checks) {
    let names = draft.phase_names();
    if draft.has(Fact::Whole(WholeFact::CrewTime)) {
        let limit = draft.fact(Fact::Whole(WholeFact::CrewTime));
        for (name, &hours) in names.iter().zip(&holding.loads.crew_time) {
            let words = format!("limit of crew time, {name}");
            checks.room(
                draft,
                &words,
                difference(limit.clone(), hours.into()),
                "h/d",
            );
        }
    }
    if draft.has(Fact::Whole(WholeFact::Volume)) {
        let limit = draft.fact(Fact::Whole(WholeFact::Volume));
        let room = difference(limit, holding.loads.volume_m3.into());
        checks.room(draft, "limit of volume", room, "m³");
    }
    if draft.has(Fact::Whole(WholeFact::Stowage)) {
        let network = draft.network;
        let stows = |node: &NodeId| {
            let mut activities = network.duties(*node).activities.iter();
            activities.any(|one| matches!(one.role, Role::Leave(Way::Stowed { .. })))
        };
        let mut stowed = Vec::new();
        for node in network.nodes().filter(stows) {
            for (phase, &days) in holding.days.phases.iter().enumerate() {
                let rate = at_node(draft, holding.operation, node, phase, |draft, activity| {
                    takes(draft, node, activity)
                });
                stowed.push(super::formula::product([rate, days.into()]));
            }
        }
        let limit = draft.fact(Fact::Whole(WholeFact::Stowage));
        checks.room(
            draft,
            "limit of stowage",
            difference(limit, sum(stowed)),
            "kg",
        );
    }
    for (flight, &mass) in holding.totals.flights.iter().enumerate() {
        let payload = Fact::Flight(flight, FlightFact::Payload);
        if draft.has(payload) {
            let payload = draft.fact(payload);
            let words = format!("payload of flight {flight}");
            checks.room(draft, &words, difference(payload, mass.into()), "kg");
        }
    }
}

/// Flights stay in order, within the mission, and on the same side of the day on
/// which hardware starts.
fn flights(draft: &mut Draft, holding: &Holding, checks: &mut Checks) {
    let days = holding.days;
    let network = draft.network;
    for flight in 0..days.flights.len() {
        let next = match flight + 1 == days.flights.len() {
            true => "the end".to_owned(),
            false => format!("flight {}", flight + 1),
        };
        let words = format!("flight {flight} comes before {next}");
        let room = difference(days.next[flight].into(), days.flights[flight].into());
        checks.room(draft, &words, difference(room, (2.0 * SLACK).into()), "d");
    }
    if draft.steady
        && let Some(&first) = days.flights.get(1)
    {
        let last = days.flights[days.flights.len() - 1];
        let following = sum([last.into(), first.into()]);
        let room = difference(following, days.end.into());
        checks.room(draft, "no further flight before the end", room, "d");
    }
    let mut seen = Vec::new();
    for node in network.nodes() {
        let phase = network.duties(node).starts_in_phase;
        let flight = network.hardware_flight(node);
        if holding.units.of(node.index()).is_number(0.0) || phase == 0 || seen.contains(&phase) {
            continue;
        }
        seen.push(phase);
        let start = days.starts[phase];
        let name = &network.calendar.phases[phase].name;
        let words = format!("flight {flight} arrives in time for {name}");
        let room = difference(start.into(), days.flights[flight].into());
        checks.room(draft, &words, room, "d");
        if let Some(&next) = days.flights.get(flight + 1) {
            let words = format!("flight {} is too late for {name}", flight + 1);
            let room = difference(next.into(), start.into());
            checks.room(draft, &words, difference(room, (2.0 * SLACK).into()), "d");
        }
    }
}

/// What is brought covers what is needed, and no flight takes anything back.
fn brought(draft: &mut Draft, holding: &Holding, checks: &mut Checks) {
    let network = draft.network;
    let brought = holding.brought;
    let mut covers = |draft: &mut Draft,
                      name: &str,
                      amounts: &[CellId],
                      needs: Option<(&[CellId], &[CellId])>| {
        let least = call(Function::Min, amounts.iter().map(|&cell| cell.into()));
        let words = format!("every flight brings {name}, or nothing");
        checks.room(draft, &words, least, "");
        if let Some((needs, delivered)) = needs {
            let rooms = needs
                .iter()
                .zip(delivered)
                .filter(|(need, delivered)| {
                    let own = &draft.book.cells[delivered.0].content;
                    *own != Content::Formula(Formula::Cell(**need))
                })
                .map(|(&need, &delivered)| difference(delivered.into(), need.into()));
            let rooms: Vec<Formula> = rooms.collect();
            if !rooms.is_empty() {
                let words = format!("{name} lasts until the next flight");
                checks.room(draft, &words, call(Function::Min, rooms), "kg");
            }
        }
    };
    for one in &brought.cargo {
        let name = network.name(one.node);
        covers(draft, name, &one.kg, Some((&one.needs, &one.delivered)));
        if let Some(containers) = &one.containers {
            covers(draft, &format!("containers of {name}"), containers, None);
        }
    }
    for one in &brought.cartridges {
        let name = format!("cartridges of {}", network.name(one.node));
        covers(draft, &name, &one.amounts, None);
    }
    for (what, supplies) in [
        ("expendables", &brought.expendables),
        ("upkeep", &brought.upkeep),
    ] {
        for one in supplies {
            let name = format!("{what} of {}", network.name(one.node));
            covers(
                draft,
                &name,
                &one.amounts,
                Some((&one.needs, &one.delivered)),
            );
        }
    }
}

fn spares(draft: &mut Draft, holding: &Holding, checks: &mut Checks) {
    for part in &holding.spares.parts {
        if let Some(counted) = part.counted {
            let words = format!("spares of {} are within the table", part.name);
            let room = difference(f64::from(counted - 1).into(), part.spares.into());
            checks.room(draft, &words, room, "spares");
        }
    }
    if let Some(system) = holding.spares.system {
        let confidence = draft.fact(Fact::Whole(WholeFact::Confidence));
        let room = difference(system.into(), confidence);
        checks.room(draft, "spares of the whole system suffice", room, "");
    }
}

/// Shares that take the rest have something left.
fn shares(draft: &mut Draft, checks: &mut Checks) {
    let rests: Vec<(String, CellId)> = draft
        .inputs
        .iter()
        .filter(|input| input.part == Part::Rest)
        .map(|input| (input.address.clone(), input.cell))
        .collect();
    for (address, cell) in rests {
        let words = format!("{address} is not below nothing");
        checks.room(draft, &words, cell.into(), "");
    }
}

/// Writes the inputs with their ranges, and whether the totals hold: how many checks
/// fail, and words.
pub(super) fn verdict(draft: &mut Draft, checks: Checks, ranges: &[Range]) -> (CellId, CellId) {
    let mut table = Table::new(
        Sheet::Inputs,
        "Numbers of the design",
        &[
            ("address in the design", Show::Long),
            ("value", Show::Plain),
            ("unit", Show::Short),
            ("as solved", Show::Plain),
            ("holds from", Show::Bound),
            ("holds to", Show::Bound),
            ("state", Show::State),
            ("name of the cell", Show::Long),
        ],
    )
    .noted("Change values in the coloured cells. \"Holds from … to\" is where this workbook was compared with a new solve at the same hardware; beyond it, or in a grey cell, solve again.");
    let mut states: Vec<Formula> = Vec::new();
    for (index, range) in ranges.iter().enumerate() {
        let input = draft.inputs[index].clone();
        let name = draft.book.cells[input.cell.0]
            .name
            .clone()
            .unwrap_or_default();
        let mut row: Vec<Entry> = vec![
            input.address.as_str().into(),
            input.cell.into(),
            input.dimension.unit().into(),
        ];
        if input.part == Part::Rest {
            row.extend([
                Entry::Blank,
                Entry::Blank,
                Entry::Blank,
                "takes the rest to 1".into(),
            ]);
        } else {
            if range.from >= range.to {
                draft.book.cells[input.cell.0].content = Content::Fixed;
            }
            let mut given =
                |number: f64| draft.book.add(Content::Given, Value::Number(number), None);
            let (solved, from, to) = (given(input.value), given(range.from), given(range.to));
            let cell = || Formula::Cell(input.cell);
            let within = call(
                Function::And,
                [
                    compare(cell(), Comparison::AtLeast, from.into()),
                    compare(cell(), Comparison::AtMost, to.into()),
                ],
            );
            let moved = either(within, 1.0.into(), 2.0.into());
            let same = compare(cell(), Comparison::Equal, solved.into());
            let state = draft.book.formula(either(same, 0.0.into(), moved));
            states.push(state.into());
            row.extend([solved.into(), from.into(), to.into(), state.into()]);
        }
        row.push(name.into());
        table.rows.push(row);
    }
    draft.book.table(table);
    let below = |limit: f64| {
        call(
            Function::CountBelow,
            states.iter().cloned().chain([limit.into()]),
        )
    };
    let all = states.len() as f64;
    let beyond = difference(all.into(), below(2.0));
    let moved = difference(all.into(), below(1.0));
    let failing = call(Function::Sum, checks.fails.iter().map(|&cell| cell.into()));
    let failed = draft.book.formula(failing);
    let beyond = draft.book.formula(beyond);
    let moved = draft.book.formula(moved);
    let any = compare(
        sum([failed.into(), beyond.into()]),
        Comparison::Above,
        0.0.into(),
    );
    let several = compare(moved.into(), Comparison::Above, 1.0.into());
    let one = compare(moved.into(), Comparison::Equal, 1.0.into());
    let words = |words: &str| Formula::Words(words.to_owned());
    let verdict = draft.book.formula(either(
        any,
        words("SOLVE AGAIN: the totals do not hold"),
        either(
            several,
            words("CONFIRM: several inputs moved; feasible, but solve again to know whether it is the lightest"),
            either(
                one,
                words("HOLDS: one input moved, within its range"),
                words("AS SOLVED"),
            ),
        ),
    ));
    let mut table = Table::new(
        Sheet::Checks,
        "Whether the totals hold",
        &[("what", Show::Long), ("", Show::Whole)],
    );
    table
        .rows
        .push(vec!["checks that fail".into(), failed.into()]);
    table
        .rows
        .push(vec!["inputs beyond their range".into(), beyond.into()]);
    table.rows.push(vec!["inputs moved".into(), moved.into()]);
    table.rows.push(vec!["verdict".into(), verdict.into()]);
    draft.book.table(table);
    draft.book.table(checks.table);
    (failed, verdict)
}
