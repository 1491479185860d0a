//! Spares: how many of each part, so that they suffice.

use crate::kinds::SparePart;
use crate::network::{Network, NodeId, SparesPolicy};
use crate::physics::failures::FailureCount;

use super::builder::{Builder, Sum};
use super::{ColumnId, Family, Sense};

/// A part that fails, the nodes that draw its spares, and every number of
/// units and spares worth considering.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// The shared name, or the node's.
    pub name: String,
    /// The nodes, in file order.
    pub nodes: Vec<NodeId>,
    /// Mass of a spare, kg.
    pub spare_mass_kg: f64,
    /// Initial mass of a spare, kg (gear ratio included), may depend on the option.
    pub options: Vec<PartOption>,
}

/// So many units of every node of a part, and so many spares.
#[derive(Clone, Debug, PartialEq)]
pub struct PartOption {
    /// Units of every node of the part.
    pub counts: Vec<u32>,
    /// Spares carried.
    pub spares: u32,
    /// Natural logarithm of the probability that they suffice.
    pub log_confidence: f64,
    /// The 0/1 column that says so.
    pub column: ColumnId,
}

/// For every part, with `z` 0/1 over "`a` units and `j` spares": `Σ z = 1` and
/// `u[n] = Σ a[n]·z`. Each part to its own confidence: `j` is the smallest that
/// suffices. The whole system to one: `Σ log F(j; m(a))·z ≥ log target`.
pub(super) fn rows(builder: &mut Builder) {
    let Some(policy) = builder.network.spares else {
        return;
    };
    let tables = tables(builder.network, policy);
    let mut system = Sum::default();
    for table in tables {
        let place = Some(builder.network.graph[table.nodes[0]].place);
        let mut one = Sum::default();
        let mut links = vec![Sum::default(); table.nodes.len()];
        let mut options = Vec::with_capacity(table.options.len());
        for (counts, spares, log_confidence) in table.options {
            let label = format!(
                "{} {} and {spares} {} of {}",
                plus(&counts),
                if counts == [1] { "unit" } else { "units" },
                if spares == 1 { "spare" } else { "spares" },
                table.name
            );
            let column = builder.column(label, place, true);
            builder.bound(column, 0.0, 1.0);
            let flight = builder.network.spares_flight(&table.nodes, &counts);
            let flight = builder.booked(flight);
            builder.charge(column, f64::from(spares) * table.part.mass_kg, flight);
            one.add(column, 1.0);
            for (link, &count) in links.iter_mut().zip(&counts) {
                link.add(column, f64::from(count));
            }
            system.add(column, log_confidence);
            options.push(PartOption {
                counts,
                spares,
                log_confidence,
                column,
            });
        }
        one.add_constant(-1.0);
        let label = format!("one choice of spares for {}", table.name);
        builder.row(Family::Spares, label, place, one, Sense::Equal);
        for (mut link, &node) in links.into_iter().zip(&table.nodes) {
            let Some(count) = builder.handles.count[node.index()] else {
                continue;
            };
            link.add(count, -1.0);
            let label = format!("spares follow the units of {}", builder.network.name(node));
            builder.row(Family::Spares, label, place, link, Sense::Equal);
        }
        builder.parts.push(Part {
            name: table.name,
            nodes: table.nodes,
            spare_mass_kg: table.part.mass_kg,
            options,
        });
    }
    if let SparesPolicy::WholeSystem { confidence } = policy {
        system.add_constant(-confidence.ln());
        let label = "spares of the whole system suffice".to_owned();
        builder.row(Family::Spares, label, None, system, Sense::AtLeast);
        builder.system_confidence = Some(confidence);
    }
}

fn plus(counts: &[u32]) -> String {
    let words: Vec<String> = counts.iter().map(u32::to_string).collect();
    words.join(" + ")
}

/// A part before its columns exist.
struct Table {
    name: String,
    nodes: Vec<NodeId>,
    part: SparePart,
    /// How its number of failures spreads; every number of units has its own mean.
    failures: FailureCount,
    options: Vec<(Vec<u32>, u32, f64)>,
}

fn tables(network: &Network, policy: SparesPolicy) -> Vec<Table> {
    let mut tables: Vec<Table> = Vec::new();
    for pool in network.pools() {
        let failures = FailureCount::new(0.0, pool.part.error_factor);
        let combinations = network.unit_combinations(&pool.nodes).into_iter();
        let options = combinations.map(|counts| {
            let failures = failures.with_mean(network.mean_failures(&pool.nodes, &counts));
            let spares = failures.spares_for(policy.confidence());
            let log = failures.log_probability(spares);
            (counts, spares, log)
        });
        tables.push(Table {
            options: options.collect(),
            name: pool.name,
            part: pool.part,
            failures,
            nodes: pool.nodes,
        });
    }
    if let SparesPolicy::WholeSystem { confidence } = policy {
        more_spares(network, confidence, &mut tables);
    }
    tables
}

/// Adds to every table the numbers of spares above the least that the whole
/// system may want.
///
/// For any units, giving every part the same share `target^(1/parts)` is one
/// answer, so the lightest spares weigh no more than that. Hence no part weighs
/// more than its own share's spares and what all other parts could save by
/// going from their share to their least. Where spares on several flights
/// compete for payload, the share may not fit, and every number counts until
/// more change nothing.
fn more_spares(network: &Network, confidence: f64, tables: &mut [Table]) {
    let share = confidence.powf(1.0 / tables.len().max(1) as f64);
    let flights = &network.calendar.flights;
    let gear = |table: &Table, counts: &[u32]| {
        flights[network.spares_flight(&table.nodes, counts)].gear_ratio
    };
    let failures = |table: &Table, counts: &[u32]| {
        let mean = network.mean_failures(&table.nodes, counts);
        table.failures.with_mean(mean)
    };
    let cost = |table: &Table, counts: &[u32], spares: u32| {
        f64::from(spares) * table.part.mass_kg * gear(table, counts)
    };
    let savings: Vec<f64> = tables
        .iter()
        .map(|table| {
            let saving = |(counts, least, _): &(Vec<u32>, u32, f64)| {
                let equal = failures(table, counts).spares_for(share);
                cost(table, counts, equal) - cost(table, counts, *least)
            };
            table.options.iter().map(saving).fold(0.0, f64::max)
        })
        .collect();
    let all: f64 = savings.iter().sum();
    let compete = compete_for_payload(network, tables);
    for (index, saving) in savings.into_iter().enumerate() {
        let table = &tables[index];
        let mut options = Vec::new();
        for (counts, least, log) in &table.options {
            let failures = failures(table, counts);
            let each = cost(table, counts, 1);
            let budget = cost(table, counts, failures.spares_for(share)) + all - saving;
            let most = if each > 0.0 && !compete {
                (budget / each + 1e-9).floor()
            } else {
                f64::INFINITY
            };
            let (mut spares, mut log) = (*least, *log);
            loop {
                options.push((counts.clone(), spares, log));
                // Beyond this no number of spares changes the sum of logarithms.
                if log > -1e-13 || f64::from(spares + 1) > most {
                    break;
                }
                spares += 1;
                log = failures.log_probability(spares);
            }
        }
        tables[index].options = options;
    }
}

/// Whether spares can fly on more than one flight with a payload limit.
fn compete_for_payload(network: &Network, tables: &[Table]) -> bool {
    let flights = &network.calendar.flights;
    let mut limited: Vec<usize> = tables
        .iter()
        .flat_map(|table| {
            table
                .options
                .iter()
                .map(|(counts, ..)| network.spares_flight(&table.nodes, counts))
        })
        .filter(|&flight| flights[flight].payload_kg.is_some())
        .collect();
    limited.sort_unstable();
    limited.dedup();
    limited.len() > 1
}
