//! One newtype for each dimension that has a unit, and the fraction.

use super::{Dimension, shown};
use std::fmt;

/// A number with a meaning, kept in the canonical unit of its dimension.
pub trait Quantity: Copy {
    /// What it measures.
    const DIMENSION: Dimension;
    /// The canonical unit; empty for a bare number.
    const UNIT: &'static str = Self::DIMENSION.unit();
    /// From a number in the canonical unit.
    fn from_canonical(value: f64) -> Self;
    /// The number in the canonical unit.
    fn canonical(self) -> f64;
}

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident is $dimension:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, PartialOrd, Debug, Default)]
        pub struct $name(pub f64);

        impl Quantity for $name {
            const DIMENSION: Dimension = Dimension::$dimension;
            fn from_canonical(value: f64) -> Self {
                Self(value)
            }
            fn canonical(self) -> f64 {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.pad(&shown(self.0, Dimension::$dimension))
            }
        }
    )*};
}

quantities! {
    /// A mass in kg.
    Kilograms is Mass;
    /// A stretch of the mission in d.
    Days is Time;
    /// Hours of work or between failures.
    Hours is Hours;
    /// A mass flow in kg/d.
    KilogramsPerDay is MassRate;
    /// A power in W.
    Watts is Power;
    /// An energy in kWh.
    KilowattHours is Energy;
    /// An energy per mass in kWh/kg.
    KilowattHoursPerKilogram is SpecificEnergy;
    /// A volume in m³.
    CubicMetres is Volume;
    /// Crew time in h/d.
    HoursPerDay is CrewTime;
    /// A temperature in °C.
    Celsius is Temperature;
    /// An absolute pressure in Pa.
    Pascals is Pressure;
    /// A voltage in V.
    Volts is Voltage;
    /// Events per day.
    PerDay is Frequency;
    /// A mass per mass in kg/kg.
    KilogramsPerKilogram is MassRatio;
    /// Hours of work per kg.
    HoursPerKilogram is TimePerMass;
    /// A volume flow in m³/h.
    CubicMetresPerHour is VolumeRate;
    /// A length in m.
    Metres is Length;
    /// The mass charged for a kilowatt, in kg/kW.
    KilogramsPerKilowatt is MassPerPower;
    /// The mass charged for a cubic metre, or a density, in kg/m³.
    KilogramsPerCubicMetre is MassPerVolume;
    /// The mass charged for an hour of crew time, in kg/h.
    KilogramsPerHour is MassPerCrewHour;
    /// A share from 0 to 1.
    Fraction is Fraction;
}

impl Fraction {
    /// Nothing of it.
    pub const ZERO: Fraction = Fraction(0.0);
    /// All of it.
    pub const ONE: Fraction = Fraction(1.0);

    /// The share that remains: 1 − f.
    #[must_use]
    pub fn complement(self) -> Fraction {
        Fraction(1.0 - self.0)
    }
}
