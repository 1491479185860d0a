//! The answer says something about everything in the network, and nothing
//! about anything else. Only a complete answer is looked at further.

use crate::answer::Answer;
use crate::kinds::{Hardware, Packing, Role, Stock, Tank};
use crate::network::{Network, NodeId};

use super::checks::{Checks, Family};

pub(super) fn check(network: &Network, answer: &Answer, checks: &mut Checks) {
    let calendar = &network.calendar;
    let mut say = |truth: bool, what: &str| {
        checks.holds(Family::Completeness, truth, || what.to_owned());
    };
    let nodes: Vec<NodeId> = network.graph.node_indices().collect();
    let phases = calendar.phases.len();
    let flights = calendar.flights.len();
    let decisions = &answer.decisions;
    let hardware = |node: &NodeId| network.graph[*node].duties.hardware.as_ref();
    let with = |wanted: &dyn Fn(&Hardware) -> bool| -> Vec<NodeId> {
        let found = nodes
            .iter()
            .filter(|node| hardware(node).is_some_and(wanted));
        found.copied().collect()
    };
    let keeping = |wanted: &dyn Fn(&Stock) -> bool| -> Vec<NodeId> {
        let stock = |node: &NodeId| network.graph[*node].duties.stock.as_ref();
        let found = nodes.iter().filter(|node| stock(node).is_some_and(wanted));
        found.copied().collect()
    };

    say(
        calendar
            .flights
            .first()
            .is_some_and(|first| first.day == 0.0),
        "a departure on day 0",
    );
    say(
        decisions.counts.len() == nodes.len(),
        "a count for every node",
    );
    say(
        decisions.running.len() == nodes.len()
            && nodes.iter().all(|node| {
                let turned_down = hardware(node).is_some_and(|unit| unit.turndown.is_some());
                match &decisions.running[node.index()] {
                    Some(running) => turned_down && running.len() == phases,
                    None => !turned_down,
                }
            }),
        "units running for every node with a turndown",
    );
    say(
        decisions.levels.len() == nodes.len()
            && nodes.iter().all(|node| {
                let levels = &decisions.levels[node.index()];
                levels.len() == network.graph[*node].duties.activities.len()
                    && levels.iter().all(|level| level.len() == phases)
            }),
        "a level for every activity and phase",
    );
    say(
        decisions.flows.len() == network.graph.edge_count()
            && decisions.flows.iter().all(|flow| flow.len() == phases),
        "a flow for every stream and phase",
    );

    let cargo = keeping(&|stock| matches!(stock, Stock::Delivered { .. }));
    say(
        decisions
            .cargo
            .iter()
            .map(|plan| plan.node)
            .eq(cargo.iter().copied())
            && decisions.cargo.iter().all(|plan| {
                let in_containers = matches!(
                    network.graph[plan.node].duties.stock,
                    Some(Stock::Delivered {
                        packing: Packing::Container { .. },
                        ..
                    })
                );
                plan.kg.len() == flights
                    && plan.containers.is_some() == in_containers
                    && plan.containers.iter().all(|pieces| pieces.len() == flights)
            }),
        "a delivery of every cargo on every flight",
    );
    let cartridges = with(&|unit| unit.cartridge.is_some());
    say(
        decisions
            .cartridges
            .iter()
            .map(|plan| plan.node)
            .eq(cartridges)
            && decisions
                .cartridges
                .iter()
                .all(|plan| plan.by_flight.len() == flights),
        "cartridges on every flight",
    );
    let consumers = with(&|unit| unit.expendables_kg_per_kg > 0.0 || unit.upkeep_kg_per_day > 0.0);
    say(
        decisions
            .consumables
            .iter()
            .map(|plan| plan.node)
            .eq(consumers)
            && decisions.consumables.iter().all(|plan| {
                plan.expendables_kg.len() == flights && plan.upkeep_kg.len() == flights
            }),
        "expendables and upkeep on every flight",
    );
    let stores = keeping(&|stock| matches!(stock, Stock::Kept { .. }));
    say(
        decisions.stores.iter().map(|plan| plan.node).eq(stores)
            && decisions.stores.iter().all(|plan| {
                let whole = matches!(
                    network.graph[plan.node].duties.stock,
                    Some(Stock::Kept {
                        tank: Some(Tank::Whole { .. }),
                        ..
                    })
                );
                plan.tanks.is_some() == whole
            }),
        "a reserve and a tank for every store",
    );
    let in_network = |node: &NodeId| node.index() < nodes.len();
    say(
        decisions
            .spares
            .iter()
            .all(|plan| plan.nodes.iter().all(in_network)),
        "spares for nodes of the design",
    );

    say(
        answer.ledger.iter().all(|line| line.flight < flights),
        "ledger lines on flights of the calendar",
    );
    say(
        answer.throughput.len() == nodes.len()
            && answer.throughput.iter().all(|feed| feed.len() == phases),
        "a feed for every node and phase",
    );
    say(
        answer
            .draws
            .iter()
            .map(|draw| draw.node)
            .eq(cargo.iter().copied())
            && answer
                .draws
                .iter()
                .all(|draw| draw.kg_per_day.len() == phases),
        "a draw for every cargo and phase",
    );
    say(
        answer.stock.iter().map(|stock| stock.node).eq(cargo)
            && answer
                .stock
                .iter()
                .all(|stock| stock.levels.len() == calendar.intervals.len()),
        "a stock for every cargo and interval",
    );
    say(
        [&answer.power_w, &answer.heat_w, &answer.crew_time_h_per_day]
            .iter()
            .all(|by_phase| by_phase.len() == phases),
        "power, heat and crew time in every phase",
    );
    let disposals = nodes.iter().filter(|node| {
        let activities = &network.graph[**node].duties.activities;
        activities
            .iter()
            .any(|activity| matches!(activity.role, Role::Leave(_)))
    });
    say(
        answer
            .waste
            .iter()
            .map(|waste| waste.node)
            .eq(disposals.copied()),
        "waste of every disposal",
    );
}
