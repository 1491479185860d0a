//! What is aboard: cargo by interval, reserves of stores and their tanks.

use crate::kinds::{Reserve, Stock, Tank};
use crate::network::{Network, NodeId};

use super::deliveries::whole_pieces;
use super::{CargoPlan, Draws, StorePlan};

/// What is aboard of a cargo over the mission.
#[derive(Clone, Debug, PartialEq)]
pub struct CargoStock {
    /// The cargo node.
    pub node: NodeId,
    /// By interval of the calendar.
    pub levels: Vec<StockLevel>,
}

/// What is aboard at the two ends of an interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StockLevel {
    /// After any arrival at its start, kg.
    pub start_kg: f64,
    /// At its end, kg.
    pub end_kg: f64,
}

/// `S[g,i] = S[g,i−1] + b[g,k] − d_i · r[g,p(i)]` for every cargo node.
pub(super) fn stocks(network: &Network, draws: &[Draws], cargo: &[CargoPlan]) -> Vec<CargoStock> {
    draws
        .iter()
        .zip(cargo)
        .map(|(draw, plan)| {
            let mut aboard = 0.0;
            let levels = network
                .calendar
                .intervals
                .iter()
                .map(|interval| {
                    let start_kg = aboard + interval.arrival.map_or(0.0, |flight| plan.kg[flight]);
                    let end_kg = start_kg - interval.days() * draw.kg_per_day[interval.phase];
                    aboard = end_kg;
                    StockLevel { start_kg, end_kg }
                })
                .collect();
            CargoStock {
                node: draw.node,
                levels,
            }
        })
        .collect()
}

/// The least reserve and tank of every store, in file order.
///
/// A reserve is a stated mass, or days × what the store feeds in its worst
/// phase. The tank holds it and, on top, the cargo transferred into it at its
/// fullest.
pub fn size_stores(
    network: &Network,
    flows: &[Vec<f64>],
    draws: &[Draws],
    cargo: &[CargoPlan],
) -> Vec<StorePlan> {
    let stocks = stocks(network, draws, cargo);
    network
        .nodes()
        .filter_map(|node| {
            let Some(Stock::Kept { reserve, tank, .. }) = &network.duties(node).stock else {
                return None;
            };
            let reserve_kg = match reserve {
                None => 0.0,
                Some(Reserve::Kilograms(kg)) => *kg,
                Some(Reserve::Days(days)) => days * worst_feed(network, node, flows),
            };
            let holds_kg = reserve_kg + fullest(network, node, &stocks);
            let tanks = match tank {
                Some(Tank::Whole { holds_kg: each, .. }) => Some(whole_pieces(holds_kg, *each)),
                _ => None,
            };
            Some(StorePlan {
                node,
                reserve_kg,
                holds_kg,
                tanks,
            })
        })
        .collect()
}

/// Most of the cargo transferred into a store that is aboard at any time, kg.
fn fullest(network: &Network, store: NodeId, stocks: &[CargoStock]) -> f64 {
    let transferred = network.transferred_into(store);
    (0..network.calendar.intervals.len())
        .map(|interval| {
            stocks
                .iter()
                .filter(|stock| transferred.contains(&stock.node))
                .map(|stock| stock.levels[interval].start_kg)
                .sum()
        })
        .fold(0.0, f64::max)
}

/// What a store feeds in the phase in which it feeds most, kg/d.
fn worst_feed(network: &Network, store: NodeId, flows: &[Vec<f64>]) -> f64 {
    let fed = network.fed_by_store(store);
    (0..network.calendar.phases.len())
        .map(|phase| fed.iter().map(|stream| flows[stream.index()][phase]).sum())
        .fold(0.0, f64::max)
}
