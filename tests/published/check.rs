//! What a check looks like in `checks.ron`.

use indexmap::IndexMap;
use serde::Deserialize;

/// The whole file.
#[derive(Deserialize)]
pub struct Checks(pub Vec<Check>);

/// Values that one design must give.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Check {
    /// What is checked, in a few words.
    pub name: String,
    /// A file of `designs/`.
    pub design: String,
    /// The design's variant.
    pub variant: Option<String>,
    /// Numbers by address.
    #[serde(default)]
    pub set: IndexMap<String, String>,
    /// What is looked at, and what it should be.
    pub values: Vec<Expected>,
    /// Document, edition, table.
    pub source: String,
    /// How far the source was seen.
    pub mark: Mark,
    /// Why the values are not met.
    pub known_failure: Option<String>,
}

/// One value: what is looked at, what it should be, how near.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Value")]
pub struct Expected {
    /// What is looked at.
    pub of: Of,
    /// What it should be.
    pub is: f64,
    /// How near, absolute.
    pub within: f64,
}

/// How far a source was seen.
#[derive(Clone, Copy, Deserialize)]
pub enum Mark {
    /// Read in the source or its published abstract.
    SeenInSource,
    /// Read in a transcription that names the document.
    SecondHand,
    /// Found by the library or the algebra named.
    Computed,
    /// Recalled, not seen.
    Memory,
    /// Common practice, no source.
    CommonPractice,
}

impl Mark {
    /// The mark in words.
    pub fn words(self) -> &'static str {
        match self {
            Mark::SeenInSource => "seen",
            Mark::SecondHand => "second-hand",
            Mark::Computed => "computed",
            Mark::Memory => "memory",
            Mark::CommonPractice => "common practice",
        }
    }
}

/// What can be looked at.
#[derive(Deserialize)]
pub enum Of {
    /// Launch mass, kg.
    LaunchMass,
    /// Equivalent system mass, kg.
    EquivalentMass,
    /// 1 if the design has an answer, 0 if it has none.
    Possible,
    /// Water recovery of the whole mission.
    WaterRecovery,
    /// Oxygen closure of the whole mission.
    OxygenClosure,
    /// Drawn from a cargo node, kg/d.
    Draw(String),
    /// Level of a conversion over all its feeds, kg/d.
    Level(String),
    /// A substance from one node to another, kg/d.
    Flow(String, String, String),
    /// Units of a node.
    Count(String),
    /// Containers of a cargo node over all flights.
    Containers(String),
    /// Reserve of a store, kg.
    Reserve(String),
    /// Whole tanks of a store.
    Tanks(String),
    /// Spares of a part: a shared part's name, or the node's.
    Spares(String),
    /// Probability that they suffice.
    SparesConfidence(String),
    /// A figure of the water round, in its unit: station ("line: hose"), figure, and the
    /// number of the case (phase, flight, voltage) from 0.
    Round(String, String, usize),
    /// All of these together.
    Sum(Vec<Of>),
    /// The first less the second.
    Less(Box<Of>, Box<Of>),
    /// The first over the second.
    Ratio(Box<Of>, Box<Of>),
    /// A number.
    Const(f64),
}

impl Of {
    /// In words, for the table.
    pub fn words(&self) -> String {
        match self {
            Of::LaunchMass => "launch mass, kg".to_owned(),
            Of::EquivalentMass => "equivalent system mass, kg".to_owned(),
            Of::Possible => "has an answer".to_owned(),
            Of::WaterRecovery => "water recovery".to_owned(),
            Of::OxygenClosure => "oxygen closure".to_owned(),
            Of::Draw(cargo) => format!("{cargo}, kg/d"),
            Of::Level(node) => format!("{node}, kg/d"),
            Of::Flow(substance, from, to) => format!("{substance} {from} to {to}, kg/d"),
            Of::Count(node) => format!("units of {node}"),
            Of::Containers(cargo) => format!("containers of {cargo}"),
            Of::Reserve(store) => format!("reserve of {store}, kg"),
            Of::Tanks(store) => format!("tanks of {store}"),
            Of::Spares(part) => format!("spares of {part}"),
            Of::SparesConfidence(part) => format!("confidence in spares of {part}"),
            Of::Round(station, figure, _) => format!("{figure} of {station}"),
            Of::Sum(parts) => {
                let parts: Vec<String> = parts.iter().map(Of::words).collect();
                format!("({})", parts.join(" + "))
            }
            Of::Less(first, second) => format!("({} less {})", first.words(), second.words()),
            Of::Ratio(first, second) => format!("{} over {}", first.words(), second.words()),
            Of::Const(number) => number.to_string(),
        }
    }
}
