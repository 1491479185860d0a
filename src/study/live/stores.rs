//! Reserves of stores, and the tanks that hold them.

use super::Draft;
use super::book::{Entry, Sheet, Show, Table};
use super::calendar::Days;
use super::deliveries::Brought;
use super::facts::{Fact, StockFact};
use super::formula::{CellId, Formula, Function, call, difference, product, quotient, sum};
use super::operation::Operation;
use crate::kinds::{Reserve, Stock, Tank};
use crate::network::NodeId;

/// A store as cells.
pub(super) struct Store {
    /// The node.
    pub node: NodeId,
    /// Launched fill, kg.
    pub reserve: CellId,
    /// What its tanks must hold, kg.
    pub holds: CellId,
    /// Whole tanks.
    pub tanks: Option<CellId>,
}

/// Writes the stores.
pub(super) fn stores(
    draft: &mut Draft,
    days: &Days,
    operation: &Operation,
    brought: &Brought,
) -> Vec<Store> {
    let network = draft.network;
    let answer = draft.answer;
    let mut table = Table::new(
        Sheet::Hardware,
        "Stores",
        &[
            ("store", Show::Words),
            ("feeds in its worst phase, kg/d", Show::Rate),
            ("reserve, kg", Show::Kilograms),
            ("must hold, kg", Show::Kilograms),
            ("whole tanks", Show::Whole),
        ],
    )
    .noted("A reserve in days is for the worst phase. Tanks hold the reserve, and cargo that is transferred into them at its fullest.");
    let mut found = Vec::new();
    for plan in &answer.decisions.stores {
        let node = plan.node;
        let index = node.index();
        let name = network.name(node);
        let Some(Stock::Kept { reserve, tank, .. }) = &network.duties(node).stock else {
            continue;
        };
        let mut worst = None;
        let kept: Formula = match reserve {
            None => 0.0.into(),
            Some(Reserve::Kilograms(_)) => draft.fact(Fact::Stock(index, StockFact::ReserveKg)),
            Some(Reserve::Days(_)) => {
                let fed = network.fed_by_store(node);
                let phases = (0..days.phases.len()).map(|phase| {
                    sum(fed
                        .iter()
                        .map(|stream| operation.flows[stream.index()][phase].clone()))
                });
                let most = draft.book.formula(call(Function::Max, phases));
                worst = Some(most);
                let days = draft.fact(Fact::Stock(index, StockFact::ReserveDays));
                product([days, most.into()])
            }
        };
        let words = format!("reserve of {name}");
        let reserve = draft.book.planned(&words, kept, plan.reserve_kg);
        let full = fullest(draft, days, brought, &network.transferred_into(node));
        let words = format!("content of {name}");
        let holds = draft
            .book
            .planned(&words, sum([reserve.into(), full]), plan.holds_kg);
        let tanks = match (tank, plan.tanks) {
            (Some(Tank::Whole { .. }), Some(tanks)) => {
                let each = draft.fact(Fact::Stock(index, StockFact::TankHolds));
                let filled = difference(quotient(holds.into(), each), 1e-7.into());
                let whole = call(
                    Function::Max,
                    [0.0.into(), call(Function::RoundUp, [filled])],
                );
                let words = format!("tanks of {name}");
                Some(draft.book.planned(&words, whole, f64::from(tanks)))
            }
            _ => None,
        };
        table.rows.push(vec![
            name.into(),
            worst.map_or(Entry::Blank, Entry::Cell),
            reserve.into(),
            holds.into(),
            tanks.map_or(Entry::Blank, Entry::Cell),
        ]);
        found.push(Store {
            node,
            reserve,
            holds,
            tanks,
        });
    }
    draft.book.table(table);
    found
}

/// Cargo transferred into a store at its fullest: right after some arrival.
fn fullest(draft: &Draft, days: &Days, brought: &Brought, cargo: &[NodeId]) -> Formula {
    let transferred = || brought.cargo.iter().filter(|one| cargo.contains(&one.node));
    if transferred().next().is_none() {
        return 0.0.into();
    }
    let after = |flight: usize| {
        sum(transferred().map(|one| {
            let drawn = match flight.checked_sub(1) {
                None => 0.0.into(),
                Some(before) => {
                    let days = days.used[before].iter();
                    let drawn = days.zip(&one.draw);
                    sum(drawn.map(|(&days, rate)| product([rate.clone(), days.into()])))
                }
            };
            difference(one.delivered[flight].into(), drawn)
        }))
    };
    let flights = 0..draft.network.calendar.flights.len();
    call(Function::Max, flights.map(after))
}
