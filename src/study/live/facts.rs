//! The numbers of a checked network that a plan is made of, each by name.

use std::collections::BTreeMap;

use crate::kinds::{Activity, Hardware, Level, Packing, Portion, Reserve, Role, Stock, Tank, Way};
use crate::network::{Network, NodeId};

/// A number of a network.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Fact {
    /// Of a phase.
    Phase(usize, PhaseFact),
    /// Of a flight.
    Flight(usize, FlightFact),
    /// Level of an activity in a phase: node, activity, phase.
    Level(usize, usize, usize),
    /// Taken per unit of level: node, activity, portion.
    Takes(usize, usize, usize),
    /// Given per unit of level: node, activity, portion.
    Gives(usize, usize, usize),
    /// Largest share of the inflow: node, activity, limit.
    Share(usize, usize, usize),
    /// Load on capacity per unit of level: node, activity.
    Load(usize, usize),
    /// Power per unit of level: node, activity.
    Power(usize, usize),
    /// Heat per unit of level: node, activity.
    Heat(usize, usize),
    /// Of one unit of a node.
    Unit(usize, UnitFact),
    /// Of what is delivered to or kept at a node.
    Stock(usize, StockFact),
    /// Most waste of a node: over the mission, or between departures.
    Waste(usize),
    /// Of the whole design.
    Whole(WholeFact),
}

/// A number of a phase.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum PhaseFact {
    Days,
    PowerFactor,
    CoolingFactor,
    CrewTimeFactor,
}

/// A number of a flight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum FlightFact {
    Day,
    Payload,
    Slip,
    Gear,
}

/// A number of a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum UnitFact {
    Mass,
    Volume,
    Capacity,
    Availability,
    Turndown,
    Power,
    Heat,
    CrewTime,
    Life,
    SpareMass,
    Mtbf,
    Duty,
    ErrorFactor,
    CartridgeMass,
    CartridgeTreats,
    Expendables,
    Upkeep,
}

/// A number of a stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum StockFact {
    Packaging,
    ContainerHolds,
    ContainerTare,
    GasPerKg,
    HoursPerKg,
    ReserveKg,
    ReserveDays,
    TankTare,
    TankMass,
    TankHolds,
}

/// A number of the whole design.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum WholeFact {
    Power,
    Heat,
    Volume,
    CrewTime,
    Stowage,
    Confidence,
    VolumeFactor,
}

/// Every fact of a network, and what the facts leave out: where things stand.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Facts {
    /// The numbers.
    pub numbers: BTreeMap<Fact, f64>,
    shape: Vec<usize>,
}

impl Facts {
    /// Reads them.
    pub fn of(network: &Network) -> Self {
        let mut facts = Facts {
            numbers: BTreeMap::new(),
            shape: Vec::new(),
        };
        facts.mission(network);
        for node in network.nodes() {
            facts.node(network, node);
        }
        facts.whole(network);
        facts
    }

    /// Whether another network differs in numbers alone.
    pub fn same_shape(&self, other: &Facts) -> bool {
        self.shape == other.shape && self.numbers.keys().eq(other.numbers.keys())
    }

    fn put(&mut self, fact: Fact, number: f64) {
        self.numbers.insert(fact, number);
    }

    fn mission(&mut self, network: &Network) {
        let calendar = &network.calendar;
        for (index, phase) in calendar.phases.iter().enumerate() {
            self.put(Fact::Phase(index, PhaseFact::Days), phase.days);
        }
        for (index, flight) in calendar.flights.iter().enumerate() {
            let mut put = |fact, number| self.put(Fact::Flight(index, fact), number);
            put(FlightFact::Day, flight.day);
            put(FlightFact::Slip, flight.slip_days);
            put(FlightFact::Gear, flight.gear_ratio);
            if let Some(payload) = flight.payload_kg {
                put(FlightFact::Payload, payload);
            }
        }
        for interval in &calendar.intervals {
            let arrival = interval.arrival.map_or(0, |flight| flight + 1);
            self.shape.extend([interval.phase, arrival]);
        }
    }

    fn node(&mut self, network: &Network, node: NodeId) {
        let duties = network.duties(node);
        let index = node.index();
        let count = duties.count;
        self.shape
            .extend([duties.starts_in_phase, usize::from(count.installed)]);
        self.shape
            .extend([count.lower as usize, count.upper as usize]);
        for (number, activity) in duties.activities.iter().enumerate() {
            self.activity(index, number, activity);
        }
        if let Some(hardware) = &duties.hardware {
            self.unit(index, hardware);
        }
        match &duties.stock {
            Some(Stock::Delivered {
                packing, transfer, ..
            }) => {
                let mut put = |fact, number| self.put(Fact::Stock(index, fact), number);
                match *packing {
                    Packing::Fraction(fraction) => put(StockFact::Packaging, fraction),
                    Packing::Container { holds_kg, tare_kg } => {
                        put(StockFact::ContainerHolds, holds_kg);
                        put(StockFact::ContainerTare, tare_kg);
                    }
                }
                if let Some(transfer) = transfer {
                    put(StockFact::GasPerKg, transfer.gas_kg_per_kg);
                    put(StockFact::HoursPerKg, transfer.crew_h_per_kg);
                }
            }
            Some(Stock::Kept { reserve, tank, .. }) => {
                let mut put = |fact, number| self.put(Fact::Stock(index, fact), number);
                match *reserve {
                    Some(Reserve::Kilograms(kg)) => put(StockFact::ReserveKg, kg),
                    Some(Reserve::Days(days)) => put(StockFact::ReserveDays, days),
                    None => {}
                }
                match *tank {
                    Some(Tank::Tare(tare)) => put(StockFact::TankTare, tare),
                    Some(Tank::Whole { mass_kg, holds_kg }) => {
                        put(StockFact::TankMass, mass_kg);
                        put(StockFact::TankHolds, holds_kg);
                    }
                    None => {}
                }
            }
            None => {}
        }
    }

    fn activity(&mut self, node: usize, number: usize, activity: &Activity) {
        if let Level::Fixed(levels) = &activity.level {
            for (phase, &level) in levels.iter().enumerate() {
                self.put(Fact::Level(node, number, phase), level);
            }
        }
        let amounts = |portions: &[Portion]| -> Vec<f64> {
            portions.iter().map(|portion| portion.amount).collect()
        };
        for (portion, amount) in amounts(&activity.takes).into_iter().enumerate() {
            self.put(Fact::Takes(node, number, portion), amount);
        }
        for (portion, amount) in amounts(&activity.gives).into_iter().enumerate() {
            self.put(Fact::Gives(node, number, portion), amount);
        }
        for (limit, data) in activity.feed_limits.iter().enumerate() {
            self.put(Fact::Share(node, number, limit), data.share);
        }
        self.put(Fact::Load(node, number), activity.load);
        self.put(Fact::Power(node, number), activity.power_w);
        self.put(Fact::Heat(node, number), activity.heat_w);
        if let Role::Leave(
            Way::Stowed { limit_kg: Some(kg) } | Way::Removed { per_flight_kg: kg },
        ) = &activity.role
        {
            self.put(Fact::Waste(node), *kg);
        }
    }

    fn unit(&mut self, node: usize, unit: &Hardware) {
        let mut put = |fact, number| self.put(Fact::Unit(node, fact), number);
        put(UnitFact::Mass, unit.mass_kg);
        put(UnitFact::Volume, unit.volume_m3);
        put(UnitFact::Availability, unit.availability);
        put(UnitFact::Power, unit.power_w);
        put(UnitFact::Heat, unit.heat_w);
        put(UnitFact::CrewTime, unit.crew_time_h_per_day);
        put(UnitFact::Expendables, unit.expendables_kg_per_kg);
        put(UnitFact::Upkeep, unit.upkeep_kg_per_day);
        let mut maybe = |fact, number: Option<f64>| {
            if let Some(number) = number {
                put(fact, number);
            }
        };
        maybe(UnitFact::Capacity, unit.capacity_kg_per_day);
        maybe(UnitFact::Turndown, unit.turndown);
        maybe(UnitFact::Life, unit.life_days);
        if let Some(spares) = &unit.spares {
            put(UnitFact::SpareMass, spares.mass_kg);
            put(UnitFact::Mtbf, spares.mtbf_days);
            put(UnitFact::Duty, spares.duty);
            put(UnitFact::ErrorFactor, spares.error_factor.unwrap_or(1.0));
        }
        if let Some(cartridge) = &unit.cartridge {
            put(UnitFact::CartridgeMass, cartridge.mass_kg);
            put(UnitFact::CartridgeTreats, cartridge.treats_kg);
        }
    }

    fn whole(&mut self, network: &Network) {
        let limits = &network.limits;
        let limits = [
            (WholeFact::Power, limits.power_w),
            (WholeFact::Heat, limits.heat_w),
            (WholeFact::Volume, limits.volume_m3),
            (WholeFact::CrewTime, limits.crew_time_h_per_day),
            (WholeFact::Stowage, limits.stowage_kg),
        ];
        for (fact, limit) in limits {
            if let Some(limit) = limit {
                self.put(Fact::Whole(fact), limit.value);
            }
        }
        if let Some(policy) = &network.spares {
            self.put(Fact::Whole(WholeFact::Confidence), policy.confidence());
        }
        if let Some(equivalents) = &network.equivalents {
            self.put(
                Fact::Whole(WholeFact::VolumeFactor),
                equivalents.volume_kg_per_m3,
            );
            for (phase, factors) in equivalents.phases.iter().enumerate() {
                let mut put = |fact, number| self.put(Fact::Phase(phase, fact), number);
                put(PhaseFact::PowerFactor, factors.power_kg_per_kw);
                put(PhaseFact::CoolingFactor, factors.cooling_kg_per_kw);
                put(PhaseFact::CrewTimeFactor, factors.crew_time_kg_per_h);
            }
        }
    }
}

/// Words for a fact and its unit: "polisher: capacity", "kg/d".
pub(super) fn words(network: &Network, fact: Fact) -> (String, &'static str) {
    let name = |node: usize| network.name(NodeId::new(node)).to_owned();
    let activity = |node: usize, number: usize| {
        let activity = &network.duties(NodeId::new(node)).activities[number];
        let words = network.activity_words(NodeId::new(node), activity);
        (words, activity.level_unit)
    };
    let portion = |node: usize, number: usize, portion: usize, takes: bool| {
        let activity = &network.duties(NodeId::new(node)).activities[number];
        let portions = match takes {
            true => &activity.takes,
            false => &activity.gives,
        };
        network
            .substances
            .name(portions[portion].substance)
            .to_owned()
    };
    let per = |unit: &'static str| match unit {
        "people" => "kg/d per person",
        "times/d" => "kg each time",
        _ => "kg/kg",
    };
    match fact {
        Fact::Phase(phase, fact) => {
            let phase = &network.calendar.phases[phase].name;
            let (what, unit) = match fact {
                PhaseFact::Days => ("length", "d"),
                PhaseFact::PowerFactor => ("mass of power", "kg/kW"),
                PhaseFact::CoolingFactor => ("mass of cooling", "kg/kW"),
                PhaseFact::CrewTimeFactor => ("mass of crew time", "kg/h"),
            };
            (format!("{phase}: {what}"), unit)
        }
        Fact::Flight(flight, fact) => {
            let (what, unit) = match fact {
                FlightFact::Day => ("day", "d"),
                FlightFact::Payload => ("payload", "kg"),
                FlightFact::Slip => ("slip", "d"),
                FlightFact::Gear => ("gear ratio", "kg/kg"),
            };
            (format!("flight {flight}: {what}"), unit)
        }
        Fact::Level(node, number, phase) => {
            let (words, unit) = activity(node, number);
            let phase = &network.calendar.phases[phase].name;
            (format!("{words}, {phase}"), unit)
        }
        Fact::Takes(node, number, index) => {
            let (words, unit) = activity(node, number);
            let substance = portion(node, number, index, true);
            (format!("{words} takes {substance}"), per(unit))
        }
        Fact::Gives(node, number, index) => {
            let (words, unit) = activity(node, number);
            let substance = portion(node, number, index, false);
            (format!("{words} gives {substance}"), per(unit))
        }
        Fact::Share(node, number, _) => (
            format!("{} converts at most", activity(node, number).0),
            "share",
        ),
        Fact::Load(node, number) => (format!("{}: load", activity(node, number).0), "kg/kg"),
        Fact::Power(node, number) => (format!("{}: power", activity(node, number).0), "W per kg/d"),
        Fact::Heat(node, number) => (format!("{}: heat", activity(node, number).0), "W per kg/d"),
        Fact::Unit(node, fact) => {
            let (what, unit) = unit_words(fact);
            (format!("{}: {what}", name(node)), unit)
        }
        Fact::Stock(node, fact) => {
            let (what, unit) = stock_words(fact);
            (format!("{}: {what}", name(node)), unit)
        }
        Fact::Waste(node) => (format!("{}: limit", name(node)), "kg"),
        Fact::Whole(fact) => {
            let (what, unit) = match fact {
                WholeFact::Power => ("limit of power", "W"),
                WholeFact::Heat => ("limit of heat", "W"),
                WholeFact::Volume => ("limit of volume", "m³"),
                WholeFact::CrewTime => ("limit of crew time", "h/d"),
                WholeFact::Stowage => ("limit of stowage", "kg"),
                WholeFact::Confidence => ("confidence of spares", ""),
                WholeFact::VolumeFactor => ("mass of volume", "kg/m³"),
            };
            (what.to_owned(), unit)
        }
    }
}

fn unit_words(fact: UnitFact) -> (&'static str, &'static str) {
    match fact {
        UnitFact::Mass => ("mass of a unit", "kg"),
        UnitFact::Volume => ("volume of a unit", "m³"),
        UnitFact::Capacity => ("capacity of a unit", "kg/d"),
        UnitFact::Availability => ("availability", "share"),
        UnitFact::Turndown => ("turndown", "share"),
        UnitFact::Power => ("power of a unit", "W"),
        UnitFact::Heat => ("heat of a unit", "W"),
        UnitFact::CrewTime => ("crew time of a unit", "h/d"),
        UnitFact::Life => ("life of a unit", "d"),
        UnitFact::SpareMass => ("mass of a spare", "kg"),
        UnitFact::Mtbf => ("mean time between failures", "d"),
        UnitFact::Duty => ("duty", "share"),
        UnitFact::ErrorFactor => ("error factor", ""),
        UnitFact::CartridgeMass => ("mass of a cartridge", "kg"),
        UnitFact::CartridgeTreats => ("feed of a cartridge", "kg"),
        UnitFact::Expendables => ("expendables", "kg/kg"),
        UnitFact::Upkeep => ("upkeep of a unit", "kg/d"),
    }
}

fn stock_words(fact: StockFact) -> (&'static str, &'static str) {
    match fact {
        StockFact::Packaging => ("packaging", "kg/kg"),
        StockFact::ContainerHolds => ("content of a container", "kg"),
        StockFact::ContainerTare => ("mass of an empty container", "kg"),
        StockFact::GasPerKg => ("gas to transfer", "kg/kg"),
        StockFact::HoursPerKg => ("crew time to transfer", "h/kg"),
        StockFact::ReserveKg => ("reserve", "kg"),
        StockFact::ReserveDays => ("reserve", "d"),
        StockFact::TankTare => ("tare of tanks", "kg/kg"),
        StockFact::TankMass => ("mass of an empty tank", "kg"),
        StockFact::TankHolds => ("content of a tank", "kg"),
    }
}
