//! The program: what is chosen and what must hold, as columns and rows that
//! carry their words. Each family of rows is a file of its own and reads only
//! duties; the list in [`formulate`] is the table of contents.

mod balance;
mod builder;
mod capacity;
mod cartridges;
mod columns;
mod consumables;
mod conversion;
mod deliveries;
mod equivalents;
mod exclusives;
mod export;
mod hardware;
mod limits;
mod payload;
mod removal;
mod reserves;
mod spares;

pub use builder::Handles;
pub use export::{to_lp, to_mps};
pub use spares::{Part, PartOption};

use petgraph::Direction;

use crate::catalogue::SubstanceId;
use crate::diagnostic::Place;
use crate::network::{Network, NodeId};
use builder::Builder;

/// Writes the whole program of a network.
pub fn formulate(network: &Network, form: Form) -> Program {
    let mut builder = Builder::new(network, form);
    columns::declare(&mut builder);
    balance::rows(&mut builder);
    conversion::rows(&mut builder);
    hardware::charges(&mut builder);
    capacity::rows(&mut builder);
    exclusives::rows(&mut builder);
    deliveries::rows(&mut builder);
    reserves::rows(&mut builder);
    cartridges::rows(&mut builder);
    consumables::rows(&mut builder);
    spares::rows(&mut builder);
    removal::rows(&mut builder);
    limits::rows(&mut builder);
    payload::rows(&mut builder);
    equivalents::rows(&mut builder);
    builder.finish()
}

/// How deliveries are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Summed over the flights: a relaxation of [`Form::PerFlight`], and exact
    /// where no flight has a payload limit, all gear ratios are equal and no
    /// tank must hold what arrives.
    Totals,
    /// Flight by flight.
    PerFlight,
}

/// Index of a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ColumnId(pub usize);

/// Something chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Words: "flow of oxygen, electrolyser → cabin, operations".
    pub label: String,
    /// Where in the design it comes from.
    pub place: Option<Place>,
    /// Least value.
    pub lower: f64,
    /// Largest value, possibly infinite.
    pub upper: f64,
    /// Whether it must be whole.
    pub whole: bool,
    /// Initial mass per unit, kg (gear ratio included).
    pub cost: f64,
    /// Flow per unit over the mission, kg, streams weighted by their rank in the
    /// file: the second tie-break.
    pub circulation: f64,
    /// Earliness per unit, `Σ (T − t_k) · kg`: the third tie-break.
    pub earliness: f64,
    /// Whether the search should decide it before other whole columns: a total
    /// over all flights.
    pub decided_early: bool,
}

/// How the two sides of a row compare.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// Left side equal to the right.
    Equal,
    /// Left side at most the right.
    AtMost,
    /// Left side at least the right.
    AtLeast,
}

/// The families of rows, in the order in which they are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Family {
    /// In = out at every node, substance and phase.
    Balance,
    /// What a conversion may use of a feed.
    Conversion,
    /// What units can take.
    Capacity,
    /// At most one of a group.
    Exclusives,
    /// Cargo, containers, stock and late flights.
    Deliveries,
    /// Reserves and tanks.
    Reserves,
    /// Cartridges cover the throughput.
    Cartridges,
    /// Expendables and upkeep cover their use.
    Consumables,
    /// Spares and their confidence.
    Spares,
    /// Waste stowed or taken away.
    Removal,
    /// Power, heat, volume, crew time, stowage.
    Limits,
    /// What a flight may carry.
    Payload,
    /// What power and cooling weigh.
    Equivalents,
}

impl Family {
    /// What its rows say, in words, and as an equation.
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Family::Balance => (
                "balance",
                "what comes in and is made = what goes out and is used",
            ),
            Family::Conversion => (
                "conversion",
                "what is used of a feed ≤ share × what flows in",
            ),
            Family::Capacity => ("capacity", "feed ≤ capacity × availability × units"),
            Family::Exclusives => ("one of a group", "at most one node of a group has units"),
            Family::Deliveries => (
                "deliveries",
                "stock = stock before + delivered - days × draw, never below nothing",
            ),
            Family::Reserves => (
                "reserves and tanks",
                "days × what is fed ≤ reserve ≤ what tanks hold",
            ),
            Family::Cartridges => (
                "cartridges",
                "feed until the next flight ≤ delivered × what one treats",
            ),
            Family::Consumables => (
                "expendables and upkeep",
                "use until the next flight ≤ delivered",
            ),
            Family::Spares => (
                "spares",
                "so many units and so many spares, and they suffice",
            ),
            Family::Removal => ("waste", "waste ≤ what may be kept or is taken away"),
            Family::Limits => ("limits", "all units and what they treat ≤ limit"),
            Family::Payload => ("payload", "everything on a flight ≤ its payload"),
            Family::Equivalents => ("equivalents", "factor × load ≤ equivalent mass"),
        }
    }
}

/// Something that must hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Words: "oxygen into cabin, operations".
    pub label: String,
    /// Where in the design it comes from.
    pub place: Option<Place>,
    /// Its family.
    pub family: Family,
    /// Columns and factors, each column once.
    pub terms: Vec<(ColumnId, f64)>,
    /// Comparison.
    pub sense: Sense,
    /// Right side.
    pub right: f64,
    /// What of the network it speaks of.
    pub about: About,
}

/// What of the network a row speaks of.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct About {
    /// The node.
    pub node: Option<NodeId>,
    /// The substance.
    pub substance: Option<SubstanceId>,
    /// The side of the node, where the two sides are balanced apart.
    pub side: Option<Direction>,
    /// The phase.
    pub phase: Option<usize>,
    /// The flight.
    pub flight: Option<usize>,
}

impl Row {
    fn of(&mut self, node: NodeId) -> &mut Self {
        self.about.node = Some(node);
        self
    }

    fn carrying(&mut self, substance: SubstanceId) -> &mut Self {
        self.about.substance = Some(substance);
        self
    }

    fn on_side(&mut self, side: Direction) -> &mut Self {
        self.about.side = Some(side);
        self
    }

    fn during(&mut self, phase: usize) -> &mut Self {
        self.about.phase = Some(phase);
        self
    }

    fn by_flight(&mut self, flight: usize) -> &mut Self {
        self.about.flight = Some(flight);
        self
    }
}

/// The whole program of a design: minimise `constant + Σ cost · column`.
#[derive(Clone, Debug)]
pub struct Program {
    /// How deliveries are written.
    pub form: Form,
    /// What is chosen.
    pub columns: Vec<Column>,
    /// What must hold.
    pub rows: Vec<Row>,
    /// Launch mass that nothing chosen can change, kg.
    pub constant_kg: f64,
    /// Where to find the columns.
    pub handles: Handles,
    /// The parts that may fail, and what spares do for them.
    pub parts: Vec<Part>,
    /// Confidence that all parts together must reach; none if each has its own.
    pub system_confidence: Option<f64>,
    /// Count column and 0/1 column of every node of every exclusive group.
    pub exclusive: Vec<Vec<(ColumnId, ColumnId)>>,
}
