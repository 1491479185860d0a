//! The ledger: every kilogram launched, on which flight and why.

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
    /// Launched fill of stores.
    Reserves,
    /// Tanks of stores.
    Tanks,
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
}
