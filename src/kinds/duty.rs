//! Duties: what a node does, said in four nouns.
//!
//! A kind turns what a person wrote into an [`Activity`] list, one piece of
//! [`Hardware`], a [`Stock`] and the substances it hands through. Everything
//! after this room reads duties and knows no kind.

use std::fmt;

use crate::catalogue::SubstanceId;
use crate::written::Named;

/// Everything one node does.
#[derive(Clone, Debug, Default)]
pub struct Duties {
    /// What it takes and gives, each at a level of its own.
    pub activities: Vec<Activity>,
    /// Substances handed through: inflow + given = outflow + taken in one sum.
    /// Any other substance is balanced separately on the way in and the way out.
    pub passes: Vec<SubstanceId>,
    /// The units that do the work; without them a node is free and unlimited.
    pub hardware: Option<Hardware>,
    /// How many units may fly.
    pub count: Count,
    /// The first phase (by index) in which the node works.
    pub starts_in_phase: usize,
    /// What is delivered to or kept at the node.
    pub stock: Option<Stock>,
    /// Whether its needs are those of people themselves: where there is not enough
    /// for all, they come before what people do.
    pub is_people: bool,
}

/// Something a node does, in proportion to one level per phase.
#[derive(Clone, Debug)]
pub struct Activity {
    /// Words for the level, read after the node's name: "urine", "reaction".
    pub label: String,
    /// The level in every phase, chosen or fixed.
    pub level: Level,
    /// What the level counts: "kg/d", "people", "times/d".
    pub level_unit: &'static str,
    /// Taken per unit of level, kg/d (never negative).
    pub takes: Vec<Portion>,
    /// Given per unit of level, kg/d (never negative).
    pub gives: Vec<Portion>,
    /// Load on the hardware's capacity, kg/d per unit of level.
    pub load: f64,
    /// Takes that may use at most a share of what flows in.
    pub feed_limits: Vec<FeedLimit>,
    /// Electric power, W per unit of level.
    pub power_w: f64,
    /// Heat to the coolant, W per unit of level.
    pub heat_w: f64,
    /// What the activity is to the loop as a whole.
    pub role: Role,
    /// Whether mass and elements must balance; false only for crew rates that a
    /// design states itself and that do not close.
    pub conserves: bool,
}

/// A substance and how much of it, kg/d per unit of level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Portion {
    /// Which substance.
    pub substance: SubstanceId,
    /// kg/d per unit of level.
    pub amount: f64,
}

/// The level of an activity.
#[derive(Clone, Debug, PartialEq)]
pub enum Level {
    /// Chosen by the answer, at least zero.
    Free,
    /// Given, one value per phase.
    Fixed(Vec<f64>),
}

/// The activity's take of a substance is at most `share` of the node's inflow of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FeedLimit {
    /// The substance taken.
    pub substance: SubstanceId,
    /// The largest share of the inflow, in [0, 1].
    pub share: f64,
}

/// What an activity is to the loop as a whole.
#[derive(Clone, Debug, PartialEq)]
pub enum Role {
    /// People or their equipment use and give back (crew, consumers).
    Use,
    /// Hardware turns one thing into another.
    Convert,
    /// Mass enters the loop from outside.
    Bring,
    /// Mass leaves the loop.
    Leave(Way),
    /// Mass is lost unwanted (a leak).
    Lose,
}

/// How mass leaves the loop.
#[derive(Clone, Debug, PartialEq)]
pub enum Way {
    /// Vented or dumped, without limit.
    Overboard,
    /// Kept aboard to the end, up to a limit.
    Stowed {
        /// The largest amount over the mission, kg; none means no limit of its own.
        limit_kg: Option<f64>,
    },
    /// Taken away by departing vehicles.
    Removed {
        /// The largest amount between two departures, kg.
        per_flight_kg: f64,
    },
}

/// One unit of a node's hardware.
#[derive(Clone, Debug, PartialEq)]
pub struct Hardware {
    /// Launch mass of a unit, kg.
    pub mass_kg: f64,
    /// Volume of a unit, m³.
    pub volume_m3: f64,
    /// Feed a unit can take, kg/d; none means unlimited.
    pub capacity_kg_per_day: Option<f64>,
    /// Share of time a unit works, in (0, 1].
    pub availability: f64,
    /// Smallest feed of a running unit as a share of its capacity.
    pub turndown: Option<f64>,
    /// Power of a unit whatever it treats, W.
    pub power_w: f64,
    /// Heat of a unit to the coolant whatever it treats, W (its power included).
    pub heat_w: f64,
    /// Crew time of a unit, h/d.
    pub crew_time_h_per_day: f64,
    /// Days in service after which a unit is replaced.
    pub life_days: Option<f64>,
    /// The spare part that keeps it going.
    pub spares: Option<SparePart>,
    /// A throughput-limited expendable exchanged whole.
    pub cartridge: Option<Cartridge>,
    /// Expendables, kg per kg of feed.
    pub expendables_kg_per_kg: f64,
    /// Upkeep of a unit whatever it treats, kg/d.
    pub upkeep_kg_per_day: f64,
}

/// What fails and is exchanged.
#[derive(Clone, Debug, PartialEq)]
pub struct SparePart {
    /// Mass of a spare, kg.
    pub mass_kg: f64,
    /// Mean time between failures of a unit at work, days.
    pub mtbf_days: f64,
    /// Share of the time in service at work, in (0, 1].
    pub duty: f64,
    /// Name under which nodes share one pool of spares.
    pub part: Option<Named>,
    /// 95th over 50th percentile of the uncertain failure rate; none means it is known.
    pub error_factor: Option<f64>,
}

/// A filter bed or the like, exchanged whole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cartridge {
    /// Mass of a cartridge, kg.
    pub mass_kg: f64,
    /// Feed a cartridge treats before it is spent, kg.
    pub treats_kg: f64,
}

/// How many units of a node may fly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Count {
    /// At least this many.
    pub lower: u32,
    /// At most this many.
    pub upper: u32,
    /// Already there: no launch mass for the first set.
    pub installed: bool,
}

impl Default for Count {
    fn default() -> Self {
        Count {
            lower: 1,
            upper: 1,
            installed: false,
        }
    }
}

impl fmt::Display for Count {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Count { lower, upper, .. } = self;
        match lower == upper {
            true => write!(out, "exactly {upper}"),
            false => write!(out, "{lower} to {upper}"),
        }
    }
}

impl Count {
    /// Whether there is anything to choose.
    pub fn is_open(&self) -> bool {
        self.lower < self.upper
    }
}

/// What is delivered to, or kept at, a node.
#[derive(Clone, Debug, PartialEq)]
pub enum Stock {
    /// Brought by flights and drawn from what has arrived.
    Delivered {
        /// What is delivered.
        substance: SubstanceId,
        /// What it is packed in.
        packing: Packing,
        /// The store into which it is transferred on arrival.
        into: Option<Named>,
        /// What every transferred kilogram takes beside itself, if it is described.
        transfer: Option<Transfer>,
    },
    /// Held at a store.
    Kept {
        /// What is held.
        substance: SubstanceId,
        /// What must be held back.
        reserve: Option<Reserve>,
        /// What the held mass is kept in; none weighs nothing.
        tank: Option<Tank>,
    },
}

/// What it takes to transfer a kilogram of cargo into its store.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transfer {
    /// The gas that pushes it.
    pub gas: SubstanceId,
    /// Gas per kilogram pushed, kg/kg; it flies with the cargo.
    pub gas_kg_per_kg: f64,
    /// Crew time per kilogram, h/kg.
    pub crew_h_per_kg: f64,
}

/// What cargo is packed in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Packing {
    /// A fraction of the cargo's own mass.
    Fraction(f64),
    /// Whole containers.
    Container {
        /// Content, kg.
        holds_kg: f64,
        /// Empty mass, kg.
        tare_kg: f64,
    },
}

/// What a store holds back for bad days.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reserve {
    /// A stated mass, kg.
    Kilograms(f64),
    /// So many days of what the store feeds, in its worst phase.
    Days(f64),
}

/// What a store's content is kept in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tank {
    /// Empty mass as a fraction of the content.
    Tare(f64),
    /// Whole tanks.
    Whole {
        /// Empty mass of one, kg.
        mass_kg: f64,
        /// Content of one, kg.
        holds_kg: f64,
    },
}
