//! From the columns of a solved program to decisions in design words.

use crate::kinds::{Level, Stock};
use crate::network::Network;
use crate::physics::failures::FailureCount;
use crate::program::{ColumnId, Form, Program};

use super::{
    CargoPlan, CartridgePlan, ConsumablePlan, Decisions, SparesPlan, draws, size_stores,
    split_cartridges, split_consumables, split_deliveries, throughput,
};

/// Values of flows this small are rounding of the solver, kg/d.
const NOISE: f64 = 1e-9;

/// Reads what was decided off the values of a program's columns.
///
/// In the totals form deliveries are split over the flights as late as
/// possible; flight by flight they are read as they are.
pub fn interpret(network: &Network, program: &Program, values: &[f64]) -> Decisions {
    let value = |column: ColumnId| values[column.0];
    let amount = |column: Option<ColumnId>| {
        let amount = column.map_or(0.0, value);
        if amount.abs() < NOISE { 0.0 } else { amount }
    };
    let whole = |column: ColumnId| value(column).round().max(0.0) as u32;
    let handles = &program.handles;
    let counts: Vec<u32> = handles
        .count
        .iter()
        .map(|column| column.map_or(1, whole))
        .collect();
    let running = handles
        .running
        .iter()
        .map(|by_phase| {
            (!by_phase.is_empty()).then(|| {
                by_phase
                    .iter()
                    .map(|column| column.map_or(0, whole))
                    .collect()
            })
        })
        .collect();
    let levels: Vec<Vec<Vec<f64>>> = network
        .nodes()
        .map(|node| {
            let activities = &network.duties(node).activities;
            activities
                .iter()
                .zip(&handles.level[node.index()])
                .map(|(activity, columns)| match &activity.level {
                    Level::Fixed(fixed) => fixed.clone(),
                    Level::Free => columns.iter().map(|&column| amount(column)).collect(),
                })
                .collect()
        })
        .collect();
    let flows: Vec<Vec<f64>> = handles
        .flow
        .iter()
        .map(|by_phase| by_phase.iter().map(|&column| amount(column)).collect())
        .collect();
    let feed = throughput(network, &levels);
    let drawn = draws(network, &levels);
    let (cargo, cartridges, consumables) = match program.form {
        Form::Totals => (
            split_deliveries(network, &drawn),
            split_cartridges(network, &feed),
            split_consumables(network, &counts, &feed),
        ),
        Form::PerFlight => by_flight(network, program, &|column| value(column)),
    };
    let stores = size_stores(network, &flows, &drawn, &cargo);
    Decisions {
        spares: spares(network, program, &counts, values),
        counts,
        running,
        levels,
        flows,
        cargo,
        cartridges,
        consumables,
        stores,
    }
}

type Deliveries = (Vec<CargoPlan>, Vec<CartridgePlan>, Vec<ConsumablePlan>);

fn by_flight(network: &Network, program: &Program, value: &dyn Fn(ColumnId) -> f64) -> Deliveries {
    let handles = &program.handles;
    let flights = network.calendar.flights.len();
    let masses = |columns: &[ColumnId]| -> Vec<f64> {
        if columns.is_empty() {
            return vec![0.0; flights];
        }
        columns
            .iter()
            .map(|&column| {
                Some(value(column))
                    .filter(|mass| *mass > NOISE)
                    .unwrap_or(0.0)
            })
            .collect()
    };
    let wholes = |columns: &[ColumnId]| -> Vec<u32> {
        columns
            .iter()
            .map(|&column| value(column).round().max(0.0) as u32)
            .collect()
    };
    let mut deliveries = (Vec::new(), Vec::new(), Vec::new());
    for node in network.nodes() {
        let index = node.index();
        if matches!(network.duties(node).stock, Some(Stock::Delivered { .. })) {
            deliveries.0.push(CargoPlan {
                node,
                kg: masses(&handles.cargo[index]),
                containers: (!handles.containers[index].is_empty())
                    .then(|| wholes(&handles.containers[index])),
            });
        }
        if !handles.cartridges[index].is_empty() {
            deliveries.1.push(CartridgePlan {
                node,
                by_flight: wholes(&handles.cartridges[index]),
            });
        }
        if !handles.expendables[index].is_empty() || !handles.upkeep[index].is_empty() {
            deliveries.2.push(ConsumablePlan {
                node,
                expendables_kg: masses(&handles.expendables[index]),
                upkeep_kg: masses(&handles.upkeep[index]),
            });
        }
    }
    deliveries
}

fn spares(network: &Network, program: &Program, counts: &[u32], values: &[f64]) -> Vec<SparesPlan> {
    program
        .parts
        .iter()
        .map(|part| {
            let units: Vec<u32> = part.nodes.iter().map(|node| counts[node.index()]).collect();
            let spares = part
                .options
                .iter()
                .find(|option| option.counts == units && values[option.column.0] > 0.5)
                .map_or(0, |option| option.spares);
            let error_factor = network
                .pools()
                .into_iter()
                .find(|pool| pool.nodes == part.nodes)
                .and_then(|pool| pool.part.error_factor);
            let mean = network.mean_failures(&part.nodes, &units);
            SparesPlan {
                part: part.name.clone(),
                nodes: part.nodes.clone(),
                spares,
                confidence: FailureCount::new(mean, error_factor)
                    .log_probability(spares)
                    .exp(),
            }
        })
        .collect()
}
