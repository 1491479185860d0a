//! The manifest: what each flight carries, to the container and the spare, and
//! what it takes away.

use crate::answer::{CargoPlan, Category, LedgerLine, Pieces};
use crate::audit::Plan;
use crate::catalogue::SubstanceId;
use crate::kinds::{Packing, Role, Stock, Way};
use crate::network::{Network, NodeId};

/// What is loaded and unloaded, flight by flight.
#[derive(Clone, Debug, PartialEq)]
pub struct Manifest {
    /// Every flight in order of time, the departure first.
    pub flights: Vec<Loading>,
    /// Waste that is taken away at the end of the mission.
    pub leaving_at_end: Vec<Leaving>,
}

/// What one flight carries and takes away.
#[derive(Clone, Debug, PartialEq)]
pub struct Loading {
    /// Its number, 0 for the departure.
    pub flight: usize,
    /// Day of arrival.
    pub day: f64,
    /// Day of the next flight, or of the end of the mission after the last one.
    pub until_day: f64,
    /// What is loaded.
    pub items: Vec<Item>,
    /// All items together, kg.
    pub kg: f64,
    /// Largest mass that it may carry, kg, if there is one.
    pub payload_kg: Option<f64>,
    /// Initial mass per delivered kilogram.
    pub gear_ratio: f64,
    /// Waste that leaves with it.
    pub leaving: Vec<Leaving>,
}

/// Something to load.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The node or part it belongs to.
    pub name: String,
    /// What it is.
    pub load: Load,
    /// Pieces and the mass of each; none for what is measured out.
    pub pieces: Option<Pieces>,
    /// Mass of all pieces, kg.
    pub kg: f64,
}

/// What is loaded.
#[derive(Clone, Debug, PartialEq)]
pub enum Load {
    /// Units that start with the flight, or before the next one.
    Unit,
    /// Units that replace worn-out ones.
    ReplacementUnit,
    /// Spares.
    SparePart {
        /// The nodes that share them; empty where they are one node's own.
        shared_by: Vec<String>,
    },
    /// Throughput-limited expendables exchanged whole.
    Cartridge,
    /// Expendables per kilogram of feed.
    Expendables,
    /// What units need whatever they treat.
    Upkeep,
    /// Containers of cargo, all with the same content.
    Container {
        /// What is inside.
        substance: String,
        /// How much is inside each, kg.
        content_kg: f64,
        /// Empty mass of each, kg.
        tare_kg: f64,
        /// Whether they are filled to the brim.
        full: bool,
    },
    /// Cargo with packaging in proportion.
    Packed {
        /// What it is.
        substance: String,
        /// How much of it, kg.
        content_kg: f64,
        /// What it is packed in, kg.
        packaging_kg: f64,
    },
    /// Gas that pushes cargo into its store.
    TransferGas {
        /// Which gas.
        substance: String,
    },
    /// The fill of a store.
    Reserve {
        /// What it is.
        substance: String,
    },
    /// Tanks without their content.
    Tank,
}

/// Waste that is taken away.
#[derive(Clone, Debug, PartialEq)]
pub struct Leaving {
    /// The disposal.
    pub name: String,
    /// What it is.
    pub substance: String,
    /// How much, kg.
    pub kg: f64,
}

/// Less than this is noise of the linear solver, kg.
const NOISE_KG: f64 = 1e-6;
/// A container that lacks less than this share of its content is full.
const FULL_SLACK: f64 = 1e-7;

impl Manifest {
    /// The manifest of a plan.
    pub fn of(plan: &Plan) -> Self {
        let calendar = &plan.network().calendar;
        let end = calendar.mission_days();
        let flights = calendar.flights.iter().enumerate().map(|(index, flight)| {
            let items = items(plan, index);
            Loading {
                flight: index,
                day: flight.day,
                until_day: calendar.next_flight_day(index),
                kg: items.iter().map(|item| item.kg).sum(),
                items,
                payload_kg: flight.payload_kg,
                gear_ratio: flight.gear_ratio,
                leaving: match index.checked_sub(1) {
                    Some(before) => leaving(plan, calendar.flights[before].day, flight.day),
                    None => Vec::new(),
                },
            }
        });
        Manifest {
            flights: flights.collect(),
            leaving_at_end: calendar
                .flights
                .last()
                .map_or_else(Vec::new, |last| leaving(plan, last.day, end)),
        }
    }
}

impl Load {
    /// A word that stays the same from version to version.
    pub fn key(&self) -> &'static str {
        match self {
            Load::Unit => "unit",
            Load::ReplacementUnit => "replacement unit",
            Load::SparePart { .. } => "spare part",
            Load::Cartridge => "cartridge",
            Load::Expendables => "expendables",
            Load::Upkeep => "upkeep",
            Load::Container { .. } => "container",
            Load::Packed { .. } => "packaged cargo",
            Load::TransferGas { .. } => "transfer gas",
            Load::Reserve { .. } => "reserve",
            Load::Tank => "tank",
        }
    }

    /// What is inside, if it is a stuff.
    pub fn substance(&self) -> Option<&str> {
        match self {
            Load::Container { substance, .. }
            | Load::Packed { substance, .. }
            | Load::TransferGas { substance }
            | Load::Reserve { substance } => Some(substance),
            _ => None,
        }
    }
}

impl Loading {
    /// Payload left, kg.
    pub fn spare_payload_kg(&self) -> Option<f64> {
        self.payload_kg.map(|payload| payload - self.kg)
    }

    /// Its share of the launch mass, kg.
    pub fn launch_mass_kg(&self) -> f64 {
        self.kg * self.gear_ratio
    }

    /// Days until the next flight, or until the end of the mission.
    pub fn days_to_next(&self) -> f64 {
        self.until_day - self.day
    }
}

/// In the order of the ledger, cargo with what it is packed in.
fn items(plan: &Plan, flight: usize) -> Vec<Item> {
    let (network, answer) = (plan.network(), plan.answer());
    let lines = |of: fn(&LedgerLine) -> bool| {
        let lines = answer.ledger.iter();
        lines.filter(move |line| line.flight == flight && of(line))
    };
    let mut items: Vec<Item> = Vec::new();
    let before = lines(|line| line.category < Category::Cargo);
    items.extend(before.filter_map(|line| item(plan, line)));
    for cargo in &answer.decisions.cargo {
        items.extend(packed(network, cargo, flight));
    }
    let after = lines(|line| line.category > Category::Packaging);
    items.extend(after.filter_map(|line| item(plan, line)));
    items
}

/// A line of the ledger as something to load; none for cargo.
fn item(plan: &Plan, line: &LedgerLine) -> Option<Item> {
    let network = plan.network();
    let load = match line.category {
        Category::Hardware => Load::Unit,
        Category::ReplacementUnits => Load::ReplacementUnit,
        Category::Spares => Load::SparePart {
            shared_by: sharers(plan, &line.item),
        },
        Category::Cartridges => Load::Cartridge,
        Category::Expendables => Load::Expendables,
        Category::Upkeep => Load::Upkeep,
        Category::TransferGas => Load::TransferGas {
            substance: pushing(network, &line.item),
        },
        Category::Reserves => Load::Reserve {
            substance: kept_at(network, &line.item),
        },
        Category::Tanks => Load::Tank,
        Category::Cargo | Category::Packaging => return None,
    };
    Some(Item {
        name: line.item.clone(),
        load,
        pieces: line.pieces,
        kg: line.kg,
    })
}

/// The nodes that draw on a part, unless it is one node's own.
fn sharers(plan: &Plan, part: &str) -> Vec<String> {
    let network = plan.network();
    let mut pools = plan.answer().decisions.spares.iter();
    match pools.find(|pool| pool.part == part) {
        Some(pool) if pool.nodes.len() > 1 => {
            let names = pool.nodes.iter().map(|&node| network.name(node));
            names.map(str::to_owned).collect()
        }
        _ => Vec::new(),
    }
}

/// The gas that pushes a cargo.
fn pushing(network: &Network, cargo: &str) -> String {
    let mut nodes = network.nodes().filter(|&node| network.name(node) == cargo);
    let transfer = nodes.find_map(|node| network.transfer(node));
    transfer.map_or_else(String::new, |transfer| name_of(network, transfer.gas))
}

fn kept_at(network: &Network, store: &str) -> String {
    let mut nodes = network.nodes().filter(|&node| network.name(node) == store);
    let kept = nodes.find_map(|node| match &network.duties(node).stock {
        Some(Stock::Kept { substance, .. }) => Some(name_of(network, *substance)),
        _ => None,
    });
    kept.unwrap_or_default()
}

fn name_of(network: &Network, substance: SubstanceId) -> String {
    network.substances.name(substance).to_owned()
}

/// What a cargo node sends on a flight: full containers, then one with the
/// rest, then empty ones; or its packaged content.
fn packed(network: &Network, cargo: &CargoPlan, flight: usize) -> Vec<Item> {
    let Some(Stock::Delivered {
        substance, packing, ..
    }) = &network.duties(cargo.node).stock
    else {
        return Vec::new();
    };
    let name = network.name(cargo.node);
    let substance = name_of(network, *substance);
    let kg = cargo.kg[flight];
    match (*packing, &cargo.containers) {
        (Packing::Container { holds_kg, tare_kg }, Some(containers)) => {
            let filled = fill(kg, holds_kg, containers[flight]);
            let item = |(number, content_kg): (u32, f64)| Item {
                name: name.to_owned(),
                load: Load::Container {
                    substance: substance.clone(),
                    content_kg,
                    tare_kg,
                    full: content_kg >= holds_kg * (1.0 - FULL_SLACK),
                },
                pieces: Some(Pieces {
                    number: number.into(),
                    kg_each: content_kg + tare_kg,
                }),
                kg: f64::from(number) * (content_kg + tare_kg),
            };
            filled.into_iter().map(item).collect()
        }
        (Packing::Fraction(fraction), _) if kg != 0.0 => vec![Item {
            name: name.to_owned(),
            load: Load::Packed {
                substance,
                content_kg: kg,
                packaging_kg: fraction * kg,
            },
            pieces: None,
            kg: kg + fraction * kg,
        }],
        _ => Vec::new(),
    }
}

/// How many containers carry how much each: `⌊kg / holds⌋` full ones, one with
/// the rest, and the others empty. A rest that the last container cannot take
/// is noise, and spread over all.
fn fill(kg: f64, holds_kg: f64, containers: u32) -> Vec<(u32, f64)> {
    let full = (kg / holds_kg + FULL_SLACK).floor().max(0.0);
    if full >= f64::from(containers) {
        return match containers {
            0 => Vec::new(),
            _ => vec![(containers, kg / f64::from(containers))],
        };
    }
    // Smaller than a count, so it fits one.
    let full = full as u32;
    let rest = kg - f64::from(full) * holds_kg;
    let with_rest = u32::from(rest > NOISE_KG);
    let mut filled = vec![(full, holds_kg), (with_rest, rest)];
    filled.push((containers - full - with_rest, 0.0));
    filled.retain(|(number, _)| *number > 0);
    filled
}

/// What comes into disposals that vehicles empty between two days, kg.
fn leaving(plan: &Plan, from: f64, to: f64) -> Vec<Leaving> {
    let network = plan.network();
    let days = network.calendar.phase_days_between(from, to);
    let mut leaving = Vec::new();
    for node in network.nodes() {
        let levels = &plan.answer().decisions.levels[node.index()];
        for (activity, levels) in network.duties(node).activities.iter().zip(levels) {
            if !matches!(activity.role, Role::Leave(Way::Removed { .. })) {
                continue;
            }
            let level: f64 = days.iter().zip(levels).map(|(days, x)| days * x).sum();
            for portion in &activity.takes {
                leaving.push(taken_away(
                    network,
                    node,
                    portion.substance,
                    portion.amount * level,
                ));
            }
        }
    }
    leaving.retain(|waste| waste.kg > NOISE_KG);
    leaving
}

fn taken_away(network: &Network, node: NodeId, substance: SubstanceId, kg: f64) -> Leaving {
    Leaving {
        name: network.name(node).to_owned(),
        substance: name_of(network, substance),
        kg,
    }
}

#[cfg(test)]
mod tests {
    use super::fill;

    #[test]
    fn containers_are_filled_one_after_the_other() {
        let filled = fill(8.0 * 12.0 + 4.96, 12.0, 9);
        assert_eq!(filled[0], (8, 12.0));
        assert_eq!(filled[1].0, 1);
        assert!((filled[1].1 - 4.96).abs() < 1e-9);
        assert_eq!(fill(24.0, 12.0, 2), [(2, 12.0)]);
        assert_eq!(fill(24.0, 12.0, 4), [(2, 12.0), (2, 0.0)]);
        assert_eq!(fill(0.0, 12.0, 0), []);
    }

    #[test]
    fn noise_neither_opens_nor_spills_a_container() {
        assert_eq!(fill(24.0 - 1e-8, 12.0, 2)[0].0, 2);
        let spilled = fill(24.0 + 1e-7, 12.0, 2);
        assert_eq!(spilled.len(), 1);
        assert!((2.0 * spilled[0].1 - 24.0 - 1e-7).abs() < 1e-12);
    }
}
