use std::fmt;

/// What a quantity measures. Two dimensions with the same units are kept apart
/// where they mean different things: a mass flow (kg/d) and the mass charged
/// for an hour of crew time (kg/h).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Dimension {
    /// Mass, in kg.
    Mass,
    /// A stretch of the mission, in d.
    Time,
    /// Hours of work or between failures, in h.
    Hours,
    /// Mass flow, in kg/d.
    MassRate,
    /// Power or heat, in W.
    Power,
    /// Energy, in kWh.
    Energy,
    /// Energy per mass, in kWh/kg.
    SpecificEnergy,
    /// Volume, in m³.
    Volume,
    /// Crew time, in h/d.
    CrewTime,
    /// Temperature, in °C.
    Temperature,
    /// Absolute pressure, in Pa.
    Pressure,
    /// Voltage, in V.
    Voltage,
    /// Events per time, in /d.
    Frequency,
    /// Mass per mass, in kg/kg.
    MassRatio,
    /// Time per mass, in h/kg.
    TimePerMass,
    /// Volume flow, in m³/h.
    VolumeRate,
    /// Length, in m.
    Length,
    /// Mass charged for power, in kg/kW.
    MassPerPower,
    /// Mass charged for volume, or density, in kg/m³.
    MassPerVolume,
    /// Mass charged for crew time, in kg/h.
    MassPerCrewHour,
    /// A bare number from 0 to 1.
    Fraction,
    /// A bare number.
    Number,
    /// A whole number, 0 or more.
    Whole,
}

impl Dimension {
    /// Every dimension.
    pub const ALL: [Dimension; 23] = [
        Dimension::Mass,
        Dimension::Time,
        Dimension::Hours,
        Dimension::MassRate,
        Dimension::Power,
        Dimension::Energy,
        Dimension::SpecificEnergy,
        Dimension::Volume,
        Dimension::CrewTime,
        Dimension::Temperature,
        Dimension::Pressure,
        Dimension::Voltage,
        Dimension::Frequency,
        Dimension::MassRatio,
        Dimension::TimePerMass,
        Dimension::VolumeRate,
        Dimension::Length,
        Dimension::MassPerPower,
        Dimension::MassPerVolume,
        Dimension::MassPerCrewHour,
        Dimension::Fraction,
        Dimension::Number,
        Dimension::Whole,
    ];

    /// The unit in which the program keeps it; empty for bare numbers.
    pub const fn unit(self) -> &'static str {
        match self {
            Dimension::Mass => "kg",
            Dimension::Time => "d",
            Dimension::Hours => "h",
            Dimension::MassRate => "kg/d",
            Dimension::Power => "W",
            Dimension::Energy => "kWh",
            Dimension::SpecificEnergy => "kWh/kg",
            Dimension::Volume => "m³",
            Dimension::CrewTime => "h/d",
            Dimension::Temperature => "°C",
            Dimension::Pressure => "Pa",
            Dimension::Voltage => "V",
            Dimension::Frequency => "/d",
            Dimension::MassRatio => "kg/kg",
            Dimension::TimePerMass => "h/kg",
            Dimension::VolumeRate => "m³/h",
            Dimension::Length => "m",
            Dimension::MassPerPower => "kg/kW",
            Dimension::MassPerVolume => "kg/m³",
            Dimension::MassPerCrewHour => "kg/h",
            Dimension::Fraction | Dimension::Number | Dimension::Whole => "",
        }
    }

    /// Its name with an article, as messages use it: "a mass".
    pub const fn words(self) -> &'static str {
        match self {
            Dimension::Mass => "a mass",
            Dimension::Time => "a time",
            Dimension::Hours => "a number of hours",
            Dimension::MassRate => "a mass flow",
            Dimension::Power => "a power",
            Dimension::Energy => "an energy",
            Dimension::SpecificEnergy => "an energy per mass",
            Dimension::Volume => "a volume",
            Dimension::CrewTime => "a crew time",
            Dimension::Temperature => "a temperature",
            Dimension::Pressure => "a pressure",
            Dimension::Voltage => "a voltage",
            Dimension::Frequency => "a number of times per day",
            Dimension::MassRatio => "a mass per mass",
            Dimension::TimePerMass => "a time per mass",
            Dimension::VolumeRate => "a volume flow",
            Dimension::Length => "a length",
            Dimension::MassPerPower => "a mass per power",
            Dimension::MassPerVolume => "a mass per volume",
            Dimension::MassPerCrewHour => "a mass per crew hour",
            Dimension::Fraction => "a fraction between 0 and 1",
            Dimension::Number => "a number",
            Dimension::Whole => "a whole number",
        }
    }

    /// A value as a design file writes it, without quotes: `62 kg`.
    pub const fn example(self) -> &'static str {
        match self {
            Dimension::Mass => "62 kg",
            Dimension::Time => "180 d",
            Dimension::Hours => "26000 h",
            Dimension::MassRate => "9.6 kg/d",
            Dimension::Power => "520 W",
            Dimension::Energy => "3.5 kWh",
            Dimension::SpecificEnergy => "5.5 kWh/kg",
            Dimension::Volume => "0.4 m³",
            Dimension::CrewTime => "12 h/yr",
            Dimension::Temperature => "23 °C",
            Dimension::Pressure => "101 kPa",
            Dimension::Voltage => "1.85 V",
            Dimension::Frequency => "2 /wk",
            Dimension::MassRatio => "0.02 kg/kg",
            Dimension::TimePerMass => "0.05 h/kg",
            Dimension::VolumeRate => "200 m³/h",
            Dimension::Length => "4 m",
            Dimension::MassPerPower => "60 kg/kW",
            Dimension::MassPerVolume => "70 kg/m³",
            Dimension::MassPerCrewHour => "0.5 kg/h",
            Dimension::Fraction => "0.95",
            Dimension::Number => "1.5",
            Dimension::Whole => "2",
        }
    }

    /// Whether it is written as a bare number, without quotes and unit.
    pub const fn is_bare(self) -> bool {
        matches!(
            self,
            Dimension::Fraction | Dimension::Number | Dimension::Whole
        )
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.words())
    }
}
