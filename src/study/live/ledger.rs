//! The ledger: every kilogram by flight and category, and the totals.

use super::Draft;
use super::book::{Entry, Sheet, Show, Table};
use super::calendar::Days;
use super::deliveries::Brought;
use super::facts::{Fact, PhaseFact, StockFact, UnitFact, WholeFact};
use super::formula::{CellId, Formula, Function, call, product, quotient, sum};
use super::hardware::{Units, replacements};
use super::operation::Loads;
use super::spares::Spares;
use super::stores::Store;
use crate::answer::Category;
use crate::kinds::{Stock, Tank};

/// What the ledger is made from.
pub(super) struct Parts<'a> {
    pub days: &'a Days,
    pub units: &'a Units,
    pub brought: &'a Brought,
    pub spares: &'a Spares,
    pub stores: &'a [Store],
    pub loads: &'a Loads,
}

/// Totals of the ledger.
pub(super) struct Totals {
    /// Mass on every flight, kg.
    pub flights: Vec<CellId>,
    /// Launch mass, kg.
    pub launch_mass: CellId,
    /// What the plan minimises, kg.
    pub minimised: CellId,
}

/// A line before it has cells.
struct Line {
    flight: usize,
    category: Category,
    item: String,
    amount: Formula,
    of: &'static str,
    each: Formula,
}

/// Writes the ledger.
pub(super) fn ledger(draft: &mut Draft, parts: &Parts) -> Totals {
    let mut lines = lines(draft, parts);
    lines.retain(|line| !line.amount.is_number(0.0) && !line.each.is_number(0.0));
    lines.sort_by_key(|line| (line.flight, line.category));
    let mut table = Table::new(
        Sheet::Ledger,
        "Ledger",
        &[
            ("flight", Show::Whole),
            ("category", Show::Words),
            ("item", Show::Words),
            ("amount", Show::Plain),
            ("of", Show::Short),
            ("kg each", Show::Plain),
            ("mass, kg", Show::Kilograms),
            ("initial mass, kg", Show::Kilograms),
        ],
    )
    .noted("Mass = amount × kg each. Initial mass = mass × gear ratio of the flight.");
    let flights = parts.days.flights.len();
    let mut by_flight: Vec<Vec<Formula>> = vec![Vec::new(); flights];
    let mut initial: Vec<Vec<Formula>> = vec![Vec::new(); flights];
    let mut by_category: Vec<(Category, Vec<Formula>, f64)> = Vec::new();
    for line in lines {
        let mut own = draft.answer.ledger.iter().filter(|own| {
            own.flight == line.flight && own.category == line.category && own.item == line.item
        });
        let planned = own.next().map_or(0.0, |own| own.kg);
        let words = format!(
            "{} of {} on flight {}",
            line.category.words(),
            line.item,
            line.flight
        );
        let amount = draft.book.formula(line.amount);
        let each = draft.book.formula(line.each);
        let mass = product([amount.into(), each.into()]);
        let mass = draft.book.planned(&words, mass, planned);
        let gear = parts.days.gear[line.flight];
        let ratio = draft.network.calendar.flights[line.flight].gear_ratio;
        let weighed = product([mass.into(), gear.into()]);
        let weighed = draft.book.planned(&words, weighed, planned * ratio);
        by_flight[line.flight].push(mass.into());
        initial[line.flight].push(weighed.into());
        match by_category
            .iter_mut()
            .find(|(known, ..)| *known == line.category)
        {
            Some((_, cells, kg)) => {
                cells.push(weighed.into());
                *kg += planned * ratio;
            }
            None => by_category.push((line.category, vec![weighed.into()], planned * ratio)),
        }
        table.rows.push(vec![
            line.flight.to_string().into(),
            line.category.words().into(),
            line.item.into(),
            amount.into(),
            line.of.into(),
            each.into(),
            mass.into(),
            weighed.into(),
        ]);
    }
    by_category.sort_by_key(|(category, ..)| *category);
    totals(
        draft,
        parts,
        &table,
        Sums {
            by_flight,
            initial,
            by_category,
        },
    )
}

struct Sums {
    by_flight: Vec<Vec<Formula>>,
    initial: Vec<Vec<Formula>>,
    by_category: Vec<(Category, Vec<Formula>, f64)>,
}

fn totals(draft: &mut Draft, parts: &Parts, lines: &Table, sums: Sums) -> Totals {
    let mut table = Table::new(
        Sheet::Ledger,
        "By flight",
        &[
            ("flight", Show::Whole),
            ("day", Show::Plain),
            ("mass, kg", Show::Kilograms),
            ("gear ratio", Show::Plain),
            ("initial mass, kg", Show::Kilograms),
        ],
    );
    let (mut flights, mut weighed) = (Vec::new(), Vec::new());
    for (flight, (masses, initial)) in sums.by_flight.into_iter().zip(sums.initial).enumerate() {
        let planned: Vec<f64> = draft
            .answer
            .ledger
            .iter()
            .filter(|line| line.flight == flight)
            .map(|line| line.kg)
            .collect();
        let planned: f64 = planned.iter().sum();
        let ratio = draft.network.calendar.flights[flight].gear_ratio;
        let words = format!("flight {flight}");
        let mass = draft
            .book
            .planned(&words, call(Function::Sum, masses), planned);
        let total = call(Function::Sum, initial);
        let total = draft.book.planned(&words, total, planned * ratio);
        table.rows.push(vec![
            flight.to_string().into(),
            parts.days.flights[flight].into(),
            mass.into(),
            parts.days.gear[flight].into(),
            total.into(),
        ]);
        flights.push(mass);
        weighed.push(Formula::Cell(total));
    }
    let planned = draft.answer.launch_mass_kg;
    let launch_mass = call(Function::Sum, weighed);
    let launch_mass = draft.book.planned("launch mass", launch_mass, planned);
    table.rows.push(vec![
        "launch mass".into(),
        Entry::Blank,
        Entry::Blank,
        Entry::Blank,
        launch_mass.into(),
    ]);
    draft.book.table(table);
    let mut table = Table::new(
        Sheet::Ledger,
        "By category",
        &[
            ("category", Show::Words),
            ("initial mass, kg", Show::Kilograms),
        ],
    );
    for (category, cells, planned) in sums.by_category {
        let words = category.words();
        let cell = draft
            .book
            .planned(words, call(Function::Sum, cells), planned);
        table.rows.push(vec![words.into(), cell.into()]);
    }
    draft.book.table(table);
    let minimised = equivalents(draft, parts, launch_mass);
    draft.book.table(lines.clone());
    Totals {
        flights,
        launch_mass,
        minimised,
    }
}

/// Equivalent system mass, where the design asks for it.
fn equivalents(draft: &mut Draft, parts: &Parts, launch_mass: CellId) -> CellId {
    let answer = draft.answer;
    let Some(planned) = &answer.equivalents else {
        return launch_mass;
    };
    let mut table = Table::new(
        Sheet::Ledger,
        "Equivalents",
        &[("what", Show::Words), ("equivalent mass, kg", Show::Kilograms)],
    )
    .noted("Power and cooling where factor × load is largest over the phases; at the departure's gear ratio.");
    let phases = 0..parts.days.phases.len();
    let peak = |draft: &mut Draft, fact: PhaseFact, loads: &[CellId]| {
        let by_phase: Vec<Formula> = phases
            .clone()
            .map(|phase| {
                let factor = draft.fact(Fact::Phase(phase, fact));
                quotient(product([factor, loads[phase].into()]), 1000.0.into())
            })
            .collect();
        call(Function::Max, by_phase)
    };
    let power = peak(draft, PhaseFact::PowerFactor, &parts.loads.power_w);
    let cooling = peak(draft, PhaseFact::CoolingFactor, &parts.loads.heat_w);
    let volume = draft.fact(Fact::Whole(WholeFact::VolumeFactor));
    let volume = product([volume, parts.loads.volume_m3.into()]);
    let crew: Vec<Formula> = phases
        .clone()
        .map(|phase| {
            let factor = draft.fact(Fact::Phase(phase, PhaseFact::CrewTimeFactor));
            let hours = parts.loads.crew_time[phase];
            product([factor, hours.into(), parts.days.phases[phase].into()])
        })
        .collect();
    let formulas = [power, cooling, volume, sum(crew)];
    let mut beside: Vec<Formula> = Vec::new();
    for (line, formula) in planned.lines.iter().zip(formulas) {
        let cell = draft.book.planned(line.item, formula, line.kg);
        table.rows.push(vec![line.item.into(), cell.into()]);
        beside.push(cell.into());
    }
    let gear = parts.days.gear[0];
    let all = product([sum(beside), gear.into()]);
    let all = sum([launch_mass.into(), all]);
    let words = "equivalent system mass";
    let total = draft
        .book
        .planned(words, all, planned.equivalent_system_mass_kg);
    table.rows.push(vec![words.into(), total.into()]);
    draft.book.table(table);
    total
}

fn lines(draft: &mut Draft, parts: &Parts) -> Vec<Line> {
    let mut lines = Vec::new();
    hardware(draft, parts, &mut lines);
    consumed(draft, parts, &mut lines);
    cargo(draft, parts, &mut lines);
    stores(draft, parts, &mut lines);
    lines
}

fn hardware(draft: &mut Draft, parts: &Parts, lines: &mut Vec<Line>) {
    let network = draft.network;
    for node in network.nodes() {
        let index = node.index();
        let mass = Fact::Unit(index, UnitFact::Mass);
        let installed = network.duties(node).count.installed;
        if !draft.has(mass) || installed || parts.units.of(index).is_number(0.0) {
            continue;
        }
        lines.push(Line {
            flight: network.hardware_flight(node),
            category: Category::Hardware,
            item: network.name(node).to_owned(),
            amount: parts.units.of(index),
            of: "units",
            each: draft.fact(mass),
        });
    }
    for (node, flight, units) in replacements(draft, parts.days, parts.units) {
        lines.push(Line {
            flight,
            category: Category::ReplacementUnits,
            item: network.name(node).to_owned(),
            amount: units.into(),
            of: "units",
            each: draft.fact(Fact::Unit(node.index(), UnitFact::Mass)),
        });
    }
    for part in &parts.spares.parts {
        lines.push(Line {
            flight: part.flight,
            category: Category::Spares,
            item: part.name.clone(),
            amount: part.spares.into(),
            of: "spares",
            each: draft.fact(Fact::Unit(part.node.index(), UnitFact::SpareMass)),
        });
    }
}

fn consumed(draft: &mut Draft, parts: &Parts, lines: &mut Vec<Line>) {
    let network = draft.network;
    let brought = parts.brought;
    let supplies = [
        (&brought.cartridges, Category::Cartridges, "cartridges"),
        (&brought.expendables, Category::Expendables, "kg"),
        (&brought.upkeep, Category::Upkeep, "kg"),
    ];
    for (supplies, category, of) in supplies {
        for supply in supplies {
            for (flight, &amount) in supply.amounts.iter().enumerate() {
                let each = match category {
                    Category::Cartridges => {
                        draft.fact(Fact::Unit(supply.node.index(), UnitFact::CartridgeMass))
                    }
                    _ => 1.0.into(),
                };
                lines.push(Line {
                    flight,
                    category,
                    item: network.name(supply.node).to_owned(),
                    amount: amount.into(),
                    of,
                    each,
                });
            }
        }
    }
}

fn cargo(draft: &mut Draft, parts: &Parts, lines: &mut Vec<Line>) {
    let network = draft.network;
    for cargo in &parts.brought.cargo {
        let index = cargo.node.index();
        let name = network.name(cargo.node);
        let mut line = |category, flight, amount: CellId, of, each| {
            lines.push(Line {
                flight,
                category,
                item: name.to_owned(),
                amount: amount.into(),
                of,
                each,
            });
        };
        for (flight, &kg) in cargo.kg.iter().enumerate() {
            line(Category::Cargo, flight, kg, "kg", 1.0.into());
            match &cargo.containers {
                Some(containers) => {
                    let tare = draft.fact(Fact::Stock(index, StockFact::ContainerTare));
                    line(
                        Category::Packaging,
                        flight,
                        containers[flight],
                        "containers",
                        tare,
                    );
                }
                None => {
                    let packaging = draft.fact(Fact::Stock(index, StockFact::Packaging));
                    line(Category::Packaging, flight, kg, "kg", packaging);
                }
            }
            let gas = Fact::Stock(index, StockFact::GasPerKg);
            if draft.has(gas) {
                let gas = draft.fact(gas);
                line(Category::TransferGas, flight, kg, "kg", gas);
            }
        }
    }
}

fn stores(draft: &mut Draft, parts: &Parts, lines: &mut Vec<Line>) {
    let network = draft.network;
    for store in parts.stores {
        let index = store.node.index();
        let mut line = |category, amount: CellId, of, each| {
            lines.push(Line {
                flight: 0,
                category,
                item: network.name(store.node).to_owned(),
                amount: amount.into(),
                of,
                each,
            });
        };
        line(Category::Reserves, store.reserve, "kg", 1.0.into());
        let tank = match &network.duties(store.node).stock {
            Some(Stock::Kept { tank, .. }) => *tank,
            _ => None,
        };
        match (tank, store.tanks) {
            (Some(Tank::Whole { .. }), Some(tanks)) => {
                let mass = draft.fact(Fact::Stock(index, StockFact::TankMass));
                line(Category::Tanks, tanks, "tanks", mass);
            }
            (Some(Tank::Tare(_)), _) => {
                let tare = draft.fact(Fact::Stock(index, StockFact::TankTare));
                line(Category::Tanks, store.holds, "kg", tare);
            }
            _ => {}
        }
    }
}
