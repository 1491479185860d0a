//! What can run out, and what uses it.

use crate::audit::Plan;
use crate::kinds::{Role, Stock};
use crate::network::{Network, NodeId};
use crate::timeline::levels::{Kept, room};

/// A plan as faults see it.
pub(super) struct Model<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// Everything that is kept, in the order of the tracks of a course.
    pub stocks: Vec<StockOf>,
}

/// Something that is kept.
#[derive(Clone, Debug)]
pub(super) struct StockOf {
    /// Where.
    pub node: NodeId,
    /// What it is. A store counts its reserve alone; cargo transferred into it is
    /// counted as cargo.
    pub what: Kept,
    /// Before the departure is unloaded.
    pub start: f64,
    /// What flights bring, by flight.
    pub brought: Vec<f64>,
    /// The most that it may hold.
    pub room: f64,
    /// What a kilogram of feed uses up, for cartridges and expendables.
    pub per_feed: f64,
    /// What one of its unit weighs, kg.
    pub kg_each: f64,
}

impl<'a> Model<'a> {
    pub fn of(plan: &'a Plan) -> Self {
        let mut stocks = stores(plan);
        stocks.extend(cargo(plan));
        stocks.extend(waste(plan));
        stocks.extend(fed(plan));
        Model { plan, stocks }
    }

    pub fn network(&self) -> &'a Network {
        self.plan.network()
    }

    /// The index of a kind of stock at a node.
    pub fn stock(&self, node: NodeId, what: Kept) -> Option<usize> {
        let mut stocks = self.stocks.iter();
        stocks.position(|stock| stock.node == node && stock.what == what)
    }

    /// What flight `flight` adds to every stock.
    pub fn brings(&self, flight: usize) -> impl Iterator<Item = f64> {
        self.stocks.iter().map(move |stock| stock.brought[flight])
    }
}

fn stores(plan: &Plan) -> Vec<StockOf> {
    let network = plan.network();
    let flights = network.calendar.flights.len();
    let stores = plan.answer().decisions.stores.iter();
    stores
        .map(|store| {
            // Beside what is transferred into it at its fullest.
            let transferred = store.holds_kg - store.reserve_kg;
            let own = room(network, store).map_or(0.0, |room| room - transferred);
            StockOf {
                node: store.node,
                what: Kept::Store,
                start: store.reserve_kg,
                brought: vec![0.0; flights],
                room: own.max(store.reserve_kg),
                per_feed: 0.0,
                kg_each: 1.0,
            }
        })
        .collect()
}

fn cargo(plan: &Plan) -> Vec<StockOf> {
    let cargo = plan.answer().decisions.cargo.iter();
    cargo
        .map(|cargo| StockOf {
            node: cargo.node,
            what: Kept::Cargo,
            start: 0.0,
            brought: cargo.kg.clone(),
            room: f64::INFINITY,
            per_feed: 0.0,
            kg_each: 1.0,
        })
        .collect()
}

/// Waste aboard fills up and never hinders.
fn waste(plan: &Plan) -> Vec<StockOf> {
    let network = plan.network();
    let disposals = network.nodes().filter(|&node| {
        let mut activities = network.duties(node).activities.iter();
        activities.any(|activity| matches!(activity.role, Role::Leave(_)))
    });
    disposals
        .map(|node| StockOf {
            node,
            what: Kept::Waste,
            start: 0.0,
            brought: vec![0.0; network.calendar.flights.len()],
            room: f64::INFINITY,
            per_feed: 0.0,
            kg_each: 1.0,
        })
        .collect()
}

/// Cartridges and expendables, without which a unit stops.
fn fed(plan: &Plan) -> Vec<StockOf> {
    let network = plan.network();
    let decisions = &plan.answer().decisions;
    let mut stocks = Vec::new();
    for cartridges in &decisions.cartridges {
        let hardware = network.duties(cartridges.node).hardware.as_ref();
        if let Some(cartridge) = hardware.and_then(|hardware| hardware.cartridge) {
            let brought = cartridges.by_flight.iter().map(|&number| f64::from(number));
            stocks.push(StockOf {
                node: cartridges.node,
                what: Kept::Cartridges,
                start: 0.0,
                brought: brought.collect(),
                room: f64::INFINITY,
                per_feed: 1.0 / cartridge.treats_kg,
                kg_each: cartridge.mass_kg,
            });
        }
    }
    for consumables in &decisions.consumables {
        let hardware = network.duties(consumables.node).hardware.as_ref();
        let per_feed = hardware.map_or(0.0, |hardware| hardware.expendables_kg_per_kg);
        if per_feed > 0.0 {
            stocks.push(StockOf {
                node: consumables.node,
                what: Kept::Expendables,
                start: 0.0,
                brought: consumables.expendables_kg.clone(),
                room: f64::INFINITY,
                per_feed,
                kg_each: 1.0,
            });
        }
    }
    stocks
}

/// Whether a node keeps a store.
pub(super) fn is_store(network: &Network, node: NodeId) -> bool {
    matches!(network.duties(node).stock, Some(Stock::Kept { .. }))
}
