//! The ledger: every kilogram launched, on which flight and why.

use crate::kinds::{Hardware, Packing, Reserve, Stock, Tank};
use crate::network::{Network, NodeId};
use crate::quantity::{Dimension, shown, shown_number};

use super::{Decisions, SparesPlan};

/// What a ledger line is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Category {
    /// Units.
    Hardware,
    /// Units that replace worn-out ones.
    ReplacementUnits,
    /// Spare parts.
    Spares,
    /// Throughput-limited expendables exchanged whole.
    Cartridges,
    /// Expendables per kilogram of feed.
    Expendables,
    /// Upkeep per unit and day.
    Upkeep,
    /// Content of cargo.
    Cargo,
    /// Containers and packaging.
    Packaging,
    /// Gas that pushes cargo into stores.
    TransferGas,
    /// Launched fill of stores.
    Reserves,
    /// Tanks of stores.
    Tanks,
}

impl Category {
    /// Every category, in the order of a report.
    pub const ALL: [Category; 11] = [
        Category::Hardware,
        Category::ReplacementUnits,
        Category::Spares,
        Category::Cartridges,
        Category::Expendables,
        Category::Upkeep,
        Category::Cargo,
        Category::Packaging,
        Category::TransferGas,
        Category::Reserves,
        Category::Tanks,
    ];

    /// Its words: "replacement units".
    pub fn words(self) -> &'static str {
        match self {
            Category::Hardware => "hardware",
            Category::ReplacementUnits => "replacement units",
            Category::Spares => "spares",
            Category::Cartridges => "cartridges",
            Category::Expendables => "expendables",
            Category::Upkeep => "upkeep",
            Category::Cargo => "cargo",
            Category::Packaging => "packaging",
            Category::TransferGas => "transfer gas",
            Category::Reserves => "reserves",
            Category::Tanks => "tanks",
        }
    }
}

/// One line of the ledger.
#[derive(Clone, Debug, PartialEq)]
pub struct LedgerLine {
    /// Index of the flight.
    pub flight: usize,
    /// The node or part it belongs to.
    pub item: String,
    /// What it is for.
    pub category: Category,
    /// Mass on the flight, kg, before the gear ratio.
    pub kg: f64,
    /// How it came about: "2 units × 68 kg".
    pub how: String,
    /// What it is made of, where it comes in pieces.
    pub pieces: Option<Pieces>,
}

/// Pieces of the same mass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pieces {
    /// How many.
    pub number: u64,
    /// Mass of each, kg.
    pub kg_each: f64,
}

impl Pieces {
    /// A whole number of pieces.
    fn of(number: f64, kg_each: f64) -> Self {
        Pieces {
            number: number.round() as u64,
            kg_each,
        }
    }
}

/// Every line that weighs something, by flight, category and file order.
pub(super) fn lines(
    network: &Network,
    decisions: &Decisions,
    throughput: &[Vec<f64>],
) -> Vec<LedgerLine> {
    let mut ledger = Ledger {
        network,
        lines: Vec::new(),
    };
    for node in network.nodes() {
        if let Some(hardware) = &network.duties(node).hardware {
            ledger.units(node, hardware, decisions.counts[node.index()]);
        }
    }
    for part in &decisions.spares {
        ledger.spares(part, &decisions.counts);
    }
    ledger.cartridges(decisions);
    ledger.consumables(decisions, throughput);
    ledger.cargo(decisions);
    ledger.stores(decisions);
    let mut lines = ledger.lines;
    lines.sort_by_key(|line| (line.flight, line.category));
    lines
}

struct Ledger<'a> {
    network: &'a Network,
    lines: Vec<LedgerLine>,
}

impl Ledger<'_> {
    fn add(&mut self, flight: usize, item: &str, category: Category, kg: f64, how: String) {
        self.push(LedgerLine {
            flight,
            item: item.to_owned(),
            category,
            kg,
            how,
            pieces: None,
        });
    }

    /// So many pieces of the same mass, called by a word.
    fn add_pieces(
        &mut self,
        flight: usize,
        item: &str,
        category: Category,
        (number, word): (f64, &str),
        kg_each: f64,
    ) {
        self.push(LedgerLine {
            flight,
            item: item.to_owned(),
            category,
            kg: number * kg_each,
            how: times(number, word, kg_each),
            pieces: Some(Pieces::of(number, kg_each)),
        });
    }

    fn push(&mut self, line: LedgerLine) {
        if line.kg != 0.0 {
            self.lines.push(line);
        }
    }

    /// Units on the last flight not after the node's start, those that replace
    /// them on the last flight not after each is due.
    fn units(&mut self, node: NodeId, hardware: &Hardware, count: u32) {
        let network = self.network;
        let name = network.name(node);
        let units = f64::from(count);
        if !network.duties(node).count.installed {
            let flight = network.hardware_flight(node);
            let pieces = (units, "unit");
            self.add_pieces(flight, name, Category::Hardware, pieces, hardware.mass_kg);
        }
        let Some(life_days) = hardware.life_days else {
            return;
        };
        let due = replacements_by_flight(network, node, life_days);
        for (flight, replacements) in due.into_iter().enumerate() {
            let how = format!(
                "{} × {}",
                counted(units, "unit"),
                times(replacements, "replacement", hardware.mass_kg)
            );
            self.push(LedgerLine {
                flight,
                item: name.to_owned(),
                category: Category::ReplacementUnits,
                kg: units * replacements * hardware.mass_kg,
                how,
                pieces: Some(Pieces::of(units * replacements, hardware.mass_kg)),
            });
        }
    }

    /// Spares with the first hardware that draws on them.
    fn spares(&mut self, part: &SparesPlan, counts: &[u32]) {
        let network = self.network;
        let units: Vec<u32> = part.nodes.iter().map(|node| counts[node.index()]).collect();
        let flight = network.spares_flight(&part.nodes, &units);
        let mass_kg = part
            .nodes
            .iter()
            .find_map(|&node| network.duties(node).hardware.as_ref()?.spares.as_ref())
            .map_or(0.0, |spare| spare.mass_kg);
        let spares = f64::from(part.spares);
        let pieces = (spares, "spare");
        self.add_pieces(flight, &part.part, Category::Spares, pieces, mass_kg);
    }

    fn cartridges(&mut self, decisions: &Decisions) {
        let network = self.network;
        for plan in &decisions.cartridges {
            let cartridge = network.duties(plan.node).hardware.as_ref();
            let Some(cartridge) = cartridge.and_then(|hardware| hardware.cartridge) else {
                continue;
            };
            for (flight, &pieces) in plan.by_flight.iter().enumerate() {
                let pieces = (f64::from(pieces), "cartridge");
                let name = network.name(plan.node);
                self.add_pieces(
                    flight,
                    name,
                    Category::Cartridges,
                    pieces,
                    cartridge.mass_kg,
                );
            }
        }
    }

    fn consumables(&mut self, decisions: &Decisions, throughput: &[Vec<f64>]) {
        let network = self.network;
        let calendar = &network.calendar;
        let phases = calendar.phases.iter();
        for plan in &decisions.consumables {
            let Some(hardware) = &network.duties(plan.node).hardware else {
                continue;
            };
            let name = network.name(plan.node);
            let feed_kg: f64 = phases
                .clone()
                .zip(&throughput[plan.node.index()])
                .map(|(phase, feed)| phase.days * feed)
                .sum();
            for (flight, &kg) in plan.expendables_kg.iter().enumerate() {
                let rate = hardware.expendables_kg_per_kg;
                let how = format!(
                    "{} × {} of {} fed",
                    shown(rate, Dimension::MassRatio),
                    shown(kg / rate, Dimension::Mass),
                    shown(feed_kg, Dimension::Mass),
                );
                self.add(flight, name, Category::Expendables, kg, how);
            }
            let units = f64::from(decisions.counts[plan.node.index()]);
            let rate = hardware.upkeep_kg_per_day;
            for (flight, &kg) in plan.upkeep_kg.iter().enumerate() {
                let how = format!(
                    "{} × {} × {}",
                    counted(units, "unit"),
                    shown(rate, Dimension::MassRate),
                    shown(kg / (units * rate), Dimension::Time),
                );
                self.add(flight, name, Category::Upkeep, kg, how);
            }
        }
    }

    fn cargo(&mut self, decisions: &Decisions) {
        let network = self.network;
        for plan in &decisions.cargo {
            let Some(Stock::Delivered {
                substance,
                packing,
                transfer,
                ..
            }) = &network.duties(plan.node).stock
            else {
                continue;
            };
            let name = network.name(plan.node);
            let substance = network.substances.name(*substance);
            for (flight, &kg) in plan.kg.iter().enumerate() {
                let containers = plan.containers.as_ref().map(|by_flight| by_flight[flight]);
                let content = shown(kg, Dimension::Mass);
                let how = match containers {
                    Some(pieces) => {
                        let pieces = counted(f64::from(pieces), "container");
                        format!("{content} of {substance} in {pieces}")
                    }
                    None => format!("{content} of {substance}"),
                };
                self.add(flight, name, Category::Cargo, kg, how);
                match packing {
                    Packing::Fraction(fraction) => {
                        let how = format!("{} × {content}", shown_number(*fraction));
                        self.add(flight, name, Category::Packaging, fraction * kg, how);
                    }
                    Packing::Container { tare_kg, .. } => {
                        let pieces = (f64::from(containers.unwrap_or(0)), "container");
                        self.add_pieces(flight, name, Category::Packaging, pieces, *tare_kg);
                    }
                }
                if let Some(transfer) = transfer {
                    let per_kg = shown(transfer.gas_kg_per_kg, Dimension::MassRatio);
                    let gas = network.substances.name(transfer.gas);
                    let how = format!("{per_kg} of {gas} × {content}");
                    let gas_kg = transfer.gas_kg_per_kg * kg;
                    self.add(flight, name, Category::TransferGas, gas_kg, how);
                }
            }
        }
    }

    fn stores(&mut self, decisions: &Decisions) {
        let network = self.network;
        for plan in &decisions.stores {
            let Some(Stock::Kept { reserve, tank, .. }) = &network.duties(plan.node).stock else {
                continue;
            };
            let name = network.name(plan.node);
            let kg = plan.reserve_kg;
            let how = match reserve {
                Some(Reserve::Days(days)) if *days > 0.0 => format!(
                    "{} × {} in the worst phase",
                    shown(*days, Dimension::Time),
                    shown(kg / days, Dimension::MassRate),
                ),
                _ => "as stated".to_owned(),
            };
            self.add(0, name, Category::Reserves, kg, how);
            match tank {
                Some(Tank::Tare(fraction)) => {
                    let how = format!(
                        "{} × {}",
                        shown_number(*fraction),
                        shown(plan.holds_kg, Dimension::Mass),
                    );
                    self.add(0, name, Category::Tanks, fraction * plan.holds_kg, how);
                }
                Some(Tank::Whole { mass_kg, .. }) => {
                    let pieces = (f64::from(plan.tanks.unwrap_or(0)), "tank");
                    self.add_pieces(0, name, Category::Tanks, pieces, *mass_kg);
                }
                None => {}
            }
        }
    }
}

/// Replacements of one unit by flight. A unit serves `⌈days / life − 1e-9⌉`
/// lives; every life after the first starts with a replacement, which comes on
/// the last flight not after it is due.
fn replacements_by_flight(network: &Network, node: NodeId, life_days: f64) -> Vec<f64> {
    let calendar = &network.calendar;
    let start = network.start_day(node);
    let all = ((network.service_days(node) / life_days - 1e-9).ceil() - 1.0).max(0.0);
    // Replacement `i` is due on `start + i · life`. It may wait for a later
    // flight unless it is due before that one, by more than a blink.
    let due_before = |day: f64| {
        let lives = (day - SAME_DAY - start) / life_days;
        (lives.ceil() - 1.0).clamp(0.0, all)
    };
    let mut before = 0.0;
    (0..calendar.flights.len())
        .map(|flight| {
            let due = match calendar.flights.get(flight + 1) {
                Some(next) => due_before(next.day),
                None => all,
            };
            let here = due - before;
            before = due;
            here
        })
        .collect()
}

/// The calendar takes two days closer than this for the same day.
const SAME_DAY: f64 = 1e-6;

/// "2 units".
fn counted(number: f64, word: &str) -> String {
    let plural = if number == 1.0 { "" } else { "s" };
    format!("{} {word}{plural}", shown_number(number))
}

/// "2 units × 68 kg".
fn times(number: f64, word: &str, kg: f64) -> String {
    format!("{} × {}", counted(number, word), shown(kg, Dimension::Mass))
}
