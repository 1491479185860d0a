//! What flights bring: cargo and its containers, cartridges, expendables, upkeep.
//!
//! Everything states what must have been delivered by each flight to last until
//! the next, or until that is as late as it may be. The plan's own deliveries are
//! looked for among these needs: what comes earlier than it must is a later
//! flight's need; what is neither stays as much above its need as the plan has it.

use super::Draft;
use super::book::{Entry, Sheet, Show, Table};
use super::calendar::Days;
use super::equations::{Pieces, gives, in_containers};
use super::facts::{Fact, StockFact, UnitFact};
use super::formula::{CellId, Formula, Function, call, difference, product, quotient, sum};
use super::hardware::Units;
use super::operation::{Operation, at_node};
use crate::network::NodeId;

/// Pieces are rounded up only beyond this share of one, as in the answer.
const WHOLE_SLACK: f64 = 1e-7;
/// Amounts that agree to this, kg, and this share, are the same.
const SAME: f64 = 1e-6;

/// A cargo by flight.
pub(super) struct Cargo {
    /// The node.
    pub node: NodeId,
    /// Draw by phase, kg/d.
    pub draw: Vec<Formula>,
    /// What must have been delivered by each flight, kg.
    pub needs: Vec<CellId>,
    /// Content delivered by each flight and those before, kg.
    pub delivered: Vec<CellId>,
    /// Content on each flight, kg.
    pub kg: Vec<CellId>,
    /// Containers on each flight.
    pub containers: Option<Vec<CellId>>,
}

/// Something used up, by flight.
pub(super) struct Supply {
    /// The node.
    pub node: NodeId,
    /// What must have been delivered by each flight.
    pub needs: Vec<CellId>,
    /// Delivered by each flight and those before.
    pub delivered: Vec<CellId>,
    /// On each flight.
    pub amounts: Vec<CellId>,
}

/// What flights bring.
pub(super) struct Brought {
    pub cargo: Vec<Cargo>,
    /// Whole cartridges.
    pub cartridges: Vec<Supply>,
    /// Kilograms.
    pub expendables: Vec<Supply>,
    /// Kilograms.
    pub upkeep: Vec<Supply>,
}

/// Writes what flights bring.
pub(super) fn deliveries(
    draft: &mut Draft,
    days: &Days,
    units: &Units,
    operation: &Operation,
) -> Brought {
    let cargo = cargo(draft, days, operation);
    let cartridges = cartridges(draft, days, operation);
    let (expendables, upkeep) = consumables(draft, days, units, operation);
    Brought {
        cargo,
        cartridges,
        expendables,
        upkeep,
    }
}

/// `Σ days · rate` over the phases.
fn over(days: &[CellId], rates: &[Formula]) -> Formula {
    sum(days
        .iter()
        .zip(rates)
        .map(|(&days, rate)| product([rate.clone(), days.into()])))
}

/// Running totals.
fn running(amounts: impl IntoIterator<Item = f64>) -> Vec<f64> {
    let mut total = 0.0;
    amounts
        .into_iter()
        .map(|amount| {
            total += amount;
            total
        })
        .collect()
}

/// Differences of running totals as cells.
fn steps(draft: &mut Draft, words: &str, totals: &[CellId], planned: &[f64]) -> Vec<CellId> {
    let mut cells = Vec::new();
    for (flight, &total) in totals.iter().enumerate() {
        let step = match flight.checked_sub(1) {
            Some(before) => difference(total.into(), totals[before].into()),
            None => total.into(),
        };
        cells.push(draft.book.planned(words, step, planned[flight]));
    }
    cells
}

fn same(one: f64, other: f64) -> bool {
    (one - other).abs() <= SAME * one.abs().max(1.0)
}

/// The need of this or a later flight that a delivered total is, or the need with
/// what the plan has beyond it.
fn met_need(draft: &mut Draft, needs: &[CellId], flight: usize, planned: f64) -> Formula {
    let later = needs[flight..].iter();
    let met = later
        .copied()
        .find(|&need| same(draft.book.number(need), planned));
    match met {
        Some(need) => need.into(),
        None => {
            let beyond = planned - draft.book.number(needs[flight]);
            sum([needs[flight].into(), draft.book.held(beyond).into()])
        }
    }
}

fn cargo(draft: &mut Draft, days: &Days, operation: &Operation) -> Vec<Cargo> {
    let network = draft.network;
    let answer = draft.answer;
    let mut table = Table::new(
        Sheet::Deliveries,
        "Cargo",
        &[
            ("cargo", Show::Words),
            ("flight", Show::Whole),
            ("needed by then, kg", Show::Kilograms),
            ("containers by then", Show::Whole),
            ("delivered by then, kg", Show::Kilograms),
            ("containers on the flight", Show::Whole),
            ("content on the flight, kg", Show::Kilograms),
        ],
    )
    .noted(if days.late {
        "Needed: what is drawn until the next flight arrives, as late as it may be. Sums over all flights so far, then what each flight carries."
    } else {
        "Needed: what is drawn until the next flight arrives. Sums over all flights so far, then what each flight carries."
    });
    let mut found = Vec::new();
    for plan in &answer.decisions.cargo {
        let node = plan.node;
        let index = node.index();
        let name = network.name(node);
        let draw: Vec<Formula> = (0..days.phases.len())
            .map(|phase| {
                at_node(draft, operation, node, phase, |draft, activity| {
                    gives(draft, node, activity)
                })
            })
            .collect();
        if draw.iter().all(|draw| draw.is_number(0.0)) {
            continue;
        }
        let mut needs: Vec<CellId> = Vec::new();
        for days_covered in &days.covered {
            let need = over(days_covered, &draw);
            let need = match (needs.last(), days.late) {
                (Some(&before), true) => call(Function::Max, [before.into(), need]),
                _ => need,
            };
            needs.push(draft.book.formula(need));
        }
        let planned = running(plan.kg.iter().copied());
        let containers = match in_containers(network.duties(node).stock.as_ref()) {
            false => None,
            true => {
                let pieces = plan.containers.clone().unwrap_or_default();
                let pieces: Vec<f64> = pieces.into_iter().map(f64::from).collect();
                let holds = draft.fact(Fact::Stock(index, StockFact::ContainerHolds));
                let held = operation.held_pieces(Pieces::Containers(index));
                Some(whole(draft, name, &needs, &pieces, &holds, held))
            }
        };
        let mut delivered: Vec<CellId> = Vec::new();
        for flight in (0..needs.len()).rev() {
            let fitting = match (&containers, delivered.last()) {
                (Some((totals, _)), Some(&after)) => {
                    // What the next flight's containers cannot carry comes now.
                    let next = difference(totals[flight + 1].into(), totals[flight].into());
                    let holds = draft.fact(Fact::Stock(index, StockFact::ContainerHolds));
                    let over = difference(after.into(), product([next, holds]));
                    let formula = call(Function::Max, [needs[flight].into(), over]);
                    same(draft.number(&formula), planned[flight]).then_some(formula)
                }
                _ => None,
            };
            let formula = match fitting {
                Some(fitting) => fitting,
                None => met_need(draft, &needs, flight, planned[flight]),
            };
            let words = format!("{name} delivered by flight {flight}");
            delivered.push(draft.book.planned(&words, formula, planned[flight]));
        }
        delivered.reverse();
        let kg = steps(draft, name, &delivered, &plan.kg);
        for flight in 0..needs.len() {
            let (total, here) = match &containers {
                Some((totals, steps)) => (totals[flight].into(), steps[flight].into()),
                None => (Entry::Blank, Entry::Blank),
            };
            table.rows.push(vec![
                name.into(),
                flight.to_string().into(),
                needs[flight].into(),
                total,
                delivered[flight].into(),
                here,
                kg[flight].into(),
            ]);
        }
        found.push(Cargo {
            node,
            draw,
            needs,
            delivered,
            kg,
            containers: containers.map(|(_, steps)| steps),
        });
    }
    draft.book.table(table);
    found
}

/// Whole pieces by flight: in all, and on each flight.
fn whole(
    draft: &mut Draft,
    words: &str,
    needs: &[CellId],
    planned: &[f64],
    covers: &Formula,
    held: Option<Vec<CellId>>,
) -> (Vec<CellId>, Vec<CellId>) {
    let totals = running(planned.iter().copied());
    let mut cells = Vec::new();
    for (flight, &total) in totals.iter().enumerate() {
        let rounded = |need: CellId| {
            let pieces = quotient(need.into(), covers.clone());
            call(Function::RoundUp, [difference(pieces, WHOLE_SLACK.into())])
        };
        if let Some(&held) = held.as_ref().and_then(|held| held.get(flight)) {
            cells.push(held);
            continue;
        }
        let mut later = needs[flight..].iter().map(|&need| rounded(need));
        let met = later.find(|pieces| draft.number(pieces).max(0.0) == total);
        cells.push(match met {
            Some(pieces) => {
                draft
                    .book
                    .planned(words, call(Function::Max, [0.0.into(), pieces]), total)
            }
            None => draft.book.held(total),
        });
    }
    let here = steps(draft, words, &cells, planned);
    (cells, here)
}

fn cartridges(draft: &mut Draft, days: &Days, operation: &Operation) -> Vec<Supply> {
    let network = draft.network;
    let answer = draft.answer;
    let mut table = Table::new(
        Sheet::Deliveries,
        "Cartridges",
        &[
            ("node", Show::Words),
            ("flight", Show::Whole),
            ("fed until the next flight, kg", Show::Kilograms),
            ("cartridges by then", Show::Whole),
            ("cartridges on the flight", Show::Whole),
        ],
    )
    .noted("Fed from the beginning. Cartridges that decide how the loop runs are held at the plan's number.");
    let mut found = Vec::new();
    for plan in &answer.decisions.cartridges {
        let node = plan.node;
        let index = node.index();
        let Some(needs) = fed(draft, days, operation, node, &1.0.into()) else {
            continue;
        };
        let planned: Vec<f64> = plan
            .by_flight
            .iter()
            .map(|&pieces| f64::from(pieces))
            .collect();
        let treats = draft.fact(Fact::Unit(index, UnitFact::CartridgeTreats));
        let held = operation.held_pieces(Pieces::Cartridges(index));
        let name = network.name(node);
        let (delivered, amounts) = whole(draft, name, &needs, &planned, &treats, held);
        rows(&mut table, name, &needs, &delivered, &amounts);
        found.push(Supply {
            node,
            needs,
            delivered,
            amounts,
        });
    }
    draft.book.table(table);
    found
}

/// What a node is fed until the next flight after each, times a rate.
fn fed(
    draft: &mut Draft,
    days: &Days,
    operation: &Operation,
    node: NodeId,
    rate: &Formula,
) -> Option<Vec<CellId>> {
    let index = node.index();
    let feed: Vec<Formula> = (0..days.phases.len())
        .map(|phase| {
            at_node(draft, operation, node, phase, |draft, activity| {
                draft.fact(Fact::Load(index, activity))
            })
        })
        .collect();
    if feed.iter().all(|feed| feed.is_number(0.0)) {
        return None;
    }
    let needs = days.used.iter().map(|days| {
        let fed = over(days, &feed);
        draft.book.formula(product([rate.clone(), fed]))
    });
    Some(needs.collect())
}

fn rows(table: &mut Table, name: &str, needs: &[CellId], totals: &[CellId], here: &[CellId]) {
    for flight in 0..needs.len() {
        table.rows.push(vec![
            name.into(),
            flight.to_string().into(),
            needs[flight].into(),
            totals[flight].into(),
            here[flight].into(),
        ]);
    }
}

fn consumables(
    draft: &mut Draft,
    days: &Days,
    units: &Units,
    operation: &Operation,
) -> (Vec<Supply>, Vec<Supply>) {
    let network = draft.network;
    let answer = draft.answer;
    let columns = [
        ("node", Show::Words),
        ("flight", Show::Whole),
        ("used until the next flight, kg", Show::Kilograms),
        ("delivered by then, kg", Show::Kilograms),
        ("on the flight, kg", Show::Kilograms),
    ];
    let mut of_feed = Table::new(Sheet::Deliveries, "Expendables", &columns)
        .noted("Used from the beginning, per kilogram fed.");
    let mut of_days = Table::new(Sheet::Deliveries, "Upkeep", &columns)
        .noted("Used from the beginning, per unit and day in service.");
    let (mut expendables, mut upkeep) = (Vec::new(), Vec::new());
    for plan in &answer.decisions.consumables {
        let node = plan.node;
        let index = node.index();
        let name = network.name(node);
        let rate = draft.fact(Fact::Unit(index, UnitFact::Expendables));
        if !rate.is_number(0.0)
            && let Some(needs) = fed(draft, days, operation, node, &rate)
        {
            let supply = supply(draft, node, needs, &plan.expendables_kg);
            rows(
                &mut of_feed,
                name,
                &supply.needs,
                &supply.delivered,
                &supply.amounts,
            );
            expendables.push(supply);
        }
        let rate = draft.fact(Fact::Unit(index, UnitFact::Upkeep));
        let each = product([units.of(index), rate]);
        if !each.is_number(0.0) {
            let start = network.duties(node).starts_in_phase;
            let needs = days.used.iter().map(|used| {
                let in_service = sum(used[start..].iter().map(|&days| days.into()));
                draft.book.formula(product([each.clone(), in_service]))
            });
            let needs: Vec<CellId> = needs.collect();
            let supply = supply(draft, node, needs, &plan.upkeep_kg);
            rows(
                &mut of_days,
                name,
                &supply.needs,
                &supply.delivered,
                &supply.amounts,
            );
            upkeep.push(supply);
        }
    }
    draft.book.table(of_feed);
    draft.book.table(of_days);
    (expendables, upkeep)
}

fn supply(draft: &mut Draft, node: NodeId, needs: Vec<CellId>, planned: &[f64]) -> Supply {
    let name = draft.network.name(node).to_owned();
    let totals = running(planned.iter().copied());
    let mut delivered = Vec::new();
    for (flight, &total) in totals.iter().enumerate() {
        let formula = met_need(draft, &needs, flight, total);
        delivered.push(draft.book.planned(&name, formula, total));
    }
    let amounts = steps(draft, &name, &delivered, planned);
    Supply {
        node,
        needs,
        delivered,
        amounts,
    }
}
