//! Equivalency factors as written.

use crate::quantity::{KilogramsPerCubicMetre, KilogramsPerHour, KilogramsPerKilowatt};
use crate::written::{Entries, Named, record};

record! {
    /// What a kilowatt, a cubic metre and an hour of crew time weigh, by the
    /// published method of equivalent system mass.
    pub struct Equivalents {
        /// A published setting whose nominal factors hold where none is stated.
        setting: Option<Named>,
        /// Electric power at its peak.
        power: Option<KilogramsPerKilowatt>,
        /// Heat to the coolant at its peak.
        cooling: Option<KilogramsPerKilowatt>,
        /// Volume of all units.
        volume: Option<KilogramsPerCubicMetre>,
        /// Crew time over the mission.
        crew_time: Option<KilogramsPerHour>,
        /// Factors of single phases that differ.
        phases: Entries<Named, PhaseEquivalents> = Entries::default(),
    }
}

record! {
    /// Factors of one phase.
    pub struct PhaseEquivalents {
        /// Electric power.
        power: Option<KilogramsPerKilowatt>,
        /// Heat to the coolant.
        cooling: Option<KilogramsPerKilowatt>,
        /// Crew time.
        crew_time: Option<KilogramsPerHour>,
    }
}
