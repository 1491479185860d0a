//! The design file as written.

use crate::kinds::WrittenNode;
use crate::quantity::{CubicMetres, Fraction, HoursPerDay, Kilograms, Watts};
use crate::written::{Entries, Form, Named, Placed, Read, Reading, Value, choice, record};

use super::NOWHERE;
use super::equivalents::Equivalents;
use super::faults::Fault;
use super::mission::Mission;
use super::streams::Hop;
use super::water_round::WaterRound;

record! {
    /// A loop: its mission, its nodes, its streams, and what is asked of it.
    pub struct Written as "Design" {
        /// Version of the file's format: 1.
        format: Placed<u32>,
        /// What the design is called.
        title: String,
        /// What it is, in a sentence.
        summary: Option<String>,
        /// Catalogue files whose units and substances the design uses.
        uses: Vec<Named> = Vec::new(),
        /// How long, who, and which flights.
        mission: Mission,
        /// Substances beyond the built-in ones.
        substances: Entries<Named, Declared> = Entries::default(),
        /// The nodes, by name.
        nodes: Entries<Named, WrittenNode>,
        /// Each substance and the ways it takes through the graph.
        streams: Entries<Named, Vec<Vec<Hop>>>,
        /// Groups of which at most one node may have units.
        exclusive: Vec<Placed<Vec<Named>>> = Vec::new(),
        /// Limits on the whole design.
        limits: Limits = Limits::NONE,
        /// Which spares are carried; left out, none.
        spares: Option<SparesWanted>,
        /// What power, cooling, volume and crew time weigh; left out, only launch
        /// mass counts.
        equivalents: Option<Equivalents>,
        /// Bad days, by name: what goes wrong together.
        faults: Entries<Named, Vec<Fault>> = Entries::default(),
        /// What is worked out beside the plan about lines, tanks, containers and heaters.
        water_round: Option<WaterRound>,
        /// Questions about the design, by name: `loopwright study FILE NAME`.
        studies: Entries<Named, Study> = Entries::default(),
        /// The design with something changed.
        variants: Entries<Named, Variant> = Entries::default(),
        /// The variant that the saving is stated against.
        reference: Option<Named>,
    }
}

choice! {
    /// What a substance is made of.
    pub enum Declared {
        /// A chemical formula.
        Pure(Named),
        /// Mass fractions of other substances.
        Mixture(Entries<Named, Fraction>),
        /// Not stated: may be anything.
        Opaque,
    }
}

record! {
    /// Limits on the whole design.
    pub struct Limits {
        /// Electric power in any phase.
        power: Option<Placed<Watts>>,
        /// Heat to the coolant in any phase.
        heat: Option<Placed<Watts>>,
        /// Volume of all units.
        volume: Option<Placed<CubicMetres>>,
        /// Crew time in any phase.
        crew_time: Option<Placed<HoursPerDay>>,
        /// All waste stowed aboard.
        stowage: Option<Placed<Kilograms>>,
    }
}

impl Limits {
    /// No limit at all.
    pub const NONE: Limits = Limits {
        power: None,
        heat: None,
        volume: None,
        crew_time: None,
        stowage: None,
    };
}

choice! {
    /// Which spares are carried.
    pub enum SparesWanted {
        /// Every part reaches the confidence by itself.
        EachNode {
            /// Probability that its spares suffice.
            confidence: Placed<Fraction>,
        },
        /// All parts together reach the confidence.
        WholeSystem {
            /// Probability that the spares of every part suffice.
            confidence: Placed<Fraction>,
        },
    }
}

choice! {
    /// A question that takes many plans.
    pub enum Study {
        /// One or two numbers moved through values, every cell solved.
        Sweep {
            /// "ADDRESS = VALUES", once or twice.
            over: Vec<Named>,
        },
        /// Every switch of portfolio over a range.
        BreakEven {
            /// "ADDRESS = VALUES".
            over: Named,
        },
        /// Flights more or less often.
        Cadence {
            /// Days between arrivals: values.
            every: Named,
        },
        /// Variants side by side; all of them if none are named.
        Compare {
            /// The variants.
            variants: Vec<Named> = Vec::new(),
        },
        /// The lightest portfolios that differ in counts.
        Alternatives {
            /// How many at most; ten, unless a margin is given.
            number: Option<Placed<u32>>,
            /// How much heavier than the lightest: "2 %" or "50 kg".
            within: Option<Named>,
        },
        /// Launch mass against something else.
        Frontier {
            /// Against what.
            against: Measure,
            /// How finely a measure is walked that has no few values.
            steps: Placed<u32> = Placed { value: 60, place: NOWHERE },
        },
        /// Every number moved by itself.
        Sensitivity {
            /// How far a number without a spread moves: "10 %", unless given.
            by: Option<Named>,
            /// Only numbers whose addresses begin so.
            only: Option<Named>,
            /// Of how many numbers, from the top, switches are searched for.
            thresholds: u32 = 10,
        },
        /// Numbers with spreads drawn together.
        Uncertainty {
            /// How many draws.
            draws: Placed<u32> = Placed { value: 2000, place: NOWHERE },
            /// What the draws start from.
            seed: u32 = 1,
        },
    }
}

choice! {
    /// What launch mass is set against; less of it is better, but of confidence.
    pub enum Measure {
        /// Electric power in the phase where it is largest.
        Power,
        /// Crew time in the phase where it is largest.
        CrewTime,
        /// Volume of all units.
        Volume,
        /// What the fullest flight carries.
        MassPerFlight,
        /// The probability that the spares of all parts suffice.
        Confidence,
    }
}

impl Copy for Measure {}
impl Eq for Measure {}

record! {
    /// The design with something changed.
    pub struct Variant {
        /// Nodes that are taken out with their streams.
        without: Vec<Named> = Vec::new(),
        /// Values that are changed, by address.
        set: Entries<Named, Raw> = Entries::default(),
    }
}

/// A value that is read only once it is known where it goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Raw(pub Value);

impl Read for Raw {
    fn read(value: &Value, _: &mut Reading) -> Option<Self> {
        Some(Raw(value.clone()))
    }

    fn form() -> Form {
        Form::new("a value", "\"0.88\"")
    }
}
