//! What to fly: units, spares, cartridges, cargo, reserves and tanks.

use crate::answer::{CargoPlan, ConsumablePlan, SparesPlan};
use crate::audit::Plan;
use crate::kinds::{Count, Packing, Stock, Tank, Transfer};
use crate::network::{Network, NodeId, SparesPolicy};
use crate::quantity::{Dimension, shown, shown_number};
use crate::report::number::fixed;
use crate::report::page::{Cell, Page, Table};
use crate::report::totals;

/// Units with their spares and what they use up, in file order; then what the
/// design allows but the plan leaves out.
pub(super) fn hardware(page: &mut Page, plan: &Plan) {
    page.heading("What to fly");
    let network = plan.network();
    let mut table = Table::new(&[
        ("hardware", ""),
        ("units", ""),
        ("allowed", ""),
        ("spares", ""),
        ("suffice", ""),
        ("risk", ""),
        ("cartridges", ""),
        ("expendables", "kg"),
        ("upkeep", "kg"),
    ]);
    let mut left_out = Vec::new();
    for node in network.nodes() {
        if network.duties(node).hardware.is_none() {
            continue;
        }
        let units = plan.answer().decisions.counts[node.index()];
        if units == 0 {
            left_out.push(network.name(node));
            continue;
        }
        let (spares, suffice, risk) = own_spares(plan, node);
        table.rows.push(vec![
            Cell::text(network.name(node)),
            Cell::Whole(units.into()),
            Cell::text(allowed(network.duties(node).count)),
            spares,
            suffice,
            risk,
            cartridges(plan, node),
            consumables(plan, node, |plan| &plan.expendables_kg),
            consumables(plan, node, |plan| &plan.upkeep_kg),
        ]);
    }
    page.table(table.without_blank_columns());
    page.table(shared_spares(plan));
    confidence(page, plan);
    left_out.extend(unused_cargo(plan));
    if !left_out.is_empty() {
        page.paragraph(format!("Allowed but not flown: {}.", left_out.join(", ")));
    }
}

fn allowed(count: Count) -> String {
    match (count.installed, count.lower, count.upper) {
        (true, ..) => "installed".to_owned(),
        (false, lower, upper) if lower == upper => format!("exactly {lower}"),
        (false, 0, upper) => format!("up to {upper}"),
        (false, lower, upper) => format!("{lower} to {upper}"),
    }
}

/// Spares of a node that shares its part with no other, the probability that
/// they suffice, and their share of the risk.
fn own_spares(plan: &Plan, node: NodeId) -> (Cell, Cell, Cell) {
    let mut pools = plan.answer().decisions.spares.iter();
    match pools.position(|pool| pool.nodes == [node]) {
        Some(index) => pool_cells(plan, index),
        None => (Cell::Blank, Cell::Blank, Cell::Blank),
    }
}

fn pool_cells(plan: &Plan, index: usize) -> (Cell, Cell, Cell) {
    let parts = &plan.answer().decisions.spares;
    let risk = match totals::risk_shares(parts) {
        Some(shares) => Cell::Share(shares[index]),
        None => Cell::Blank,
    };
    let pool = &parts[index];
    (Cell::Whole(pool.spares.into()), probability(pool), risk)
}

fn probability(pool: &SparesPlan) -> Cell {
    Cell::Number {
        value: pool.confidence,
        decimals: 5,
    }
}

fn cartridges(plan: &Plan, node: NodeId) -> Cell {
    let plans = plan.answer().decisions.cartridges.iter();
    plans
        .filter(|cartridges| cartridges.node == node)
        .map(|cartridges| cartridges.by_flight.iter().map(|&number| u64::from(number)))
        .map(|by_flight| Cell::Whole(by_flight.sum()))
        .next()
        .unwrap_or(Cell::Blank)
}

fn consumables(plan: &Plan, node: NodeId, of: impl Fn(&ConsumablePlan) -> &[f64]) -> Cell {
    let plans = plan.answer().decisions.consumables.iter();
    plans
        .filter(|consumables| consumables.node == node)
        .map(|consumables| Cell::kg_or_blank(of(consumables).iter().sum()))
        .next()
        .unwrap_or(Cell::Blank)
}

/// Spares that several nodes share.
fn shared_spares(plan: &Plan) -> Table {
    let network = plan.network();
    let mut table = Table::new(&[
        ("shared spare part", ""),
        ("spares", ""),
        ("suffice", ""),
        ("risk", ""),
        ("shared by", ""),
    ]);
    let pools = plan.answer().decisions.spares.iter().enumerate();
    for (index, pool) in pools.filter(|(_, pool)| pool.nodes.len() > 1) {
        let names: Vec<&str> = pool.nodes.iter().map(|&node| network.name(node)).collect();
        let (spares, suffice, risk) = pool_cells(plan, index);
        table.rows.push(vec![
            Cell::text(&pool.part),
            spares,
            suffice,
            risk,
            Cell::text(names.join(", ")),
        ]);
    }
    table
}

/// How sure all spares together are, against what was asked for.
fn confidence(page: &mut Page, plan: &Plan) {
    let Some(policy) = plan.network().spares else {
        return;
    };
    let parts = &plan.answer().decisions.spares;
    if parts.is_empty() {
        return;
    }
    let reached = fixed(totals::system_confidence(parts), 5);
    let asked = match policy {
        SparesPolicy::EachNode { confidence } => {
            format!("each part was asked for {}", shown_number(confidence))
        }
        SparesPolicy::WholeSystem { confidence } => {
            format!("{} was asked for", shown_number(confidence))
        }
    };
    page.paragraph(format!(
        "\"suffice\" is the probability that the spares of a part outlast its failures, \"risk\" the \
         part's share of the risk that some do not. All together suffice with {reached}; {asked}."
    ));
}

/// Cargo of which nothing is brought.
fn unused_cargo(plan: &Plan) -> impl Iterator<Item = &str> {
    let cargo = plan.answer().decisions.cargo.iter();
    cargo
        .filter(|cargo| is_unused(cargo))
        .map(|cargo| plan.network().name(cargo.node))
}

fn is_unused(cargo: &CargoPlan) -> bool {
    cargo.kg.iter().all(|kg| *kg == 0.0)
}

/// Cargo over all flights.
pub(super) fn cargo(page: &mut Page, plan: &Plan) {
    let network = plan.network();
    let mut table = Table::new(&[
        ("cargo", ""),
        ("of", ""),
        ("content", "kg"),
        ("containers", ""),
        ("packed in", ""),
        ("transferred into", ""),
        ("pushed by", ""),
        ("transfer", "h"),
    ]);
    let brought = plan.answer().decisions.cargo.iter();
    for cargo in brought.filter(|cargo| !is_unused(cargo)) {
        let Some(Stock::Delivered {
            substance,
            packing,
            into,
            transfer,
        }) = &network.duties(cargo.node).stock
        else {
            continue;
        };
        let brought_kg: f64 = cargo.kg.iter().sum();
        let containers = cargo
            .containers
            .as_ref()
            .map(|by_flight| by_flight.iter().map(|&number| u64::from(number)).sum());
        table.rows.push(vec![
            Cell::text(network.name(cargo.node)),
            Cell::text(network.substances.name(*substance)),
            Cell::kg_or_blank(brought_kg),
            containers.map_or(Cell::Blank, Cell::Whole),
            Cell::text(packed(packing)),
            into.as_ref()
                .map_or(Cell::Blank, |store| Cell::text(&store.text)),
            transfer.map_or(Cell::Blank, |transfer| {
                pushed(network, transfer, brought_kg)
            }),
            transfer.map_or(Cell::Blank, |transfer| {
                hours(transfer.crew_h_per_kg * brought_kg)
            }),
        ]);
    }
    page.table(table.without_blank_columns());
}

/// The gas that pushes cargo into its store, and how much of it.
fn pushed(network: &Network, transfer: Transfer, brought_kg: f64) -> Cell {
    if transfer.gas_kg_per_kg == 0.0 {
        return Cell::Blank;
    }
    let gas = shown(transfer.gas_kg_per_kg * brought_kg, Dimension::Mass);
    Cell::text(format!(
        "{gas} of {}",
        network.substances.name(transfer.gas)
    ))
}

fn hours(value: f64) -> Cell {
    match value == 0.0 {
        true => Cell::Blank,
        false => Cell::Number { value, decimals: 2 },
    }
}

fn packed(packing: &Packing) -> String {
    match packing {
        Packing::Fraction(0.0) => "nothing".to_owned(),
        Packing::Fraction(fraction) => format!("{} of its mass", shown_number(*fraction)),
        Packing::Container { holds_kg, tare_kg } => format!(
            "{} for {}",
            shown(*tare_kg, Dimension::Mass),
            shown(*holds_kg, Dimension::Mass)
        ),
    }
}

/// Reserves and tanks; stores with neither are left out.
pub(super) fn stores(page: &mut Page, plan: &Plan) {
    let network = plan.network();
    let mut table = Table::new(&[
        ("store", ""),
        ("of", ""),
        ("reserve", "kg"),
        ("must hold", "kg"),
        ("tanks", ""),
    ]);
    for store in &plan.answer().decisions.stores {
        let Some(Stock::Kept {
            substance,
            reserve,
            tank,
        }) = &network.duties(store.node).stock
        else {
            continue;
        };
        if reserve.is_none() && tank.is_none() {
            continue;
        }
        table.rows.push(vec![
            Cell::text(network.name(store.node)),
            Cell::text(network.substances.name(*substance)),
            Cell::kg_or_blank(store.reserve_kg),
            Cell::kg(store.holds_kg),
            match (store.tanks, tank) {
                (Some(tanks), _) => Cell::Whole(tanks.into()),
                (None, Some(Tank::Tare(fraction))) => {
                    Cell::text(format!("{} of content", shown_number(*fraction)))
                }
                (None, _) => Cell::Blank,
            },
        ]);
    }
    page.table(table.without_blank_columns());
}
