//! What is aboard: cargo by interval, reserves of stores and their tanks.

use petgraph::Direction;
use petgraph::visit::EdgeRef;

use crate::catalogue::SubstanceId;
use crate::kinds::{Reserve, Role, Stock, Tank};
use crate::network::{Network, NodeId, StreamId};

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
            let Some(Stock::Kept {
                substance,
                reserve,
                tank,
            }) = &network.duties(node).stock
            else {
                return None;
            };
            let reserve_kg = match reserve {
                None => 0.0,
                Some(Reserve::Kilograms(kg)) => *kg,
                Some(Reserve::Days(days)) => days * worst_feed(network, node, *substance, flows),
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
    let transferred: Vec<&CargoStock> = stocks
        .iter()
        .filter(|stock| match &network.duties(stock.node).stock {
            Some(Stock::Delivered {
                into: Some(into), ..
            }) => into.text == network.name(store),
            _ => false,
        })
        .collect();
    (0..network.calendar.intervals.len())
        .map(|interval| {
            transferred
                .iter()
                .map(|stock| stock.levels[interval].start_kg)
                .sum()
        })
        .fold(0.0, f64::max)
}

/// What a store feeds in the phase in which it feeds most, kg/d.
fn worst_feed(network: &Network, store: NodeId, substance: SubstanceId, flows: &[Vec<f64>]) -> f64 {
    let fed = fed(network, store, substance);
    (0..network.calendar.phases.len())
        .map(|phase| fed.iter().map(|stream| flows[stream.index()][phase]).sum())
        .fold(0.0, f64::max)
}

/// Streams of a store to anything but stores, disposals and junctions that
/// lead to nothing else.
fn fed(network: &Network, store: NodeId, substance: SubstanceId) -> Vec<StreamId> {
    network
        .outflows(store, substance)
        .into_iter()
        .filter(|&stream| is_fed(network, network.ends(stream).1, substance))
        .collect()
}

/// Whether a node, or one that it leads to through junctions, is neither store
/// nor disposal.
fn is_fed(network: &Network, first: NodeId, substance: SubstanceId) -> bool {
    let mut seen = vec![first];
    let mut open = vec![first];
    while let Some(node) = open.pop() {
        if is_junction(network, node) {
            let next = network
                .graph
                .edges_directed(node, Direction::Outgoing)
                .filter(|edge| edge.weight().substance == substance)
                .map(|edge| edge.target());
            for target in next {
                if !seen.contains(&target) {
                    seen.push(target);
                    open.push(target);
                }
            }
        } else if !is_store(network, node) && !is_disposal(network, node) {
            return true;
        }
    }
    false
}

fn is_store(network: &Network, node: NodeId) -> bool {
    matches!(network.duties(node).stock, Some(Stock::Kept { .. }))
}

fn is_disposal(network: &Network, node: NodeId) -> bool {
    network
        .duties(node)
        .activities
        .iter()
        .any(|activity| matches!(activity.role, Role::Leave(_)))
}

/// A junction hands on and does nothing else.
fn is_junction(network: &Network, node: NodeId) -> bool {
    let duties = network.duties(node);
    duties.activities.is_empty() && duties.stock.is_none() && !duties.passes.is_empty()
}
