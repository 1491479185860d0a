//! The units that a file may use, as factors of whole numbers so that
//! conversion rounds once.

use super::Dimension;
use crate::diagnostic::nearest;

/// What one symbol measures.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Kind {
    Mass,
    Time,
    Power,
    Energy,
    Volume,
    Temperature,
    Pressure,
    Voltage,
    Length,
    /// Nothing above the stroke: "/d".
    Count,
}

/// One symbol: `times / per` of the kind's own base unit.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Symbol {
    pub text: &'static str,
    pub kind: Kind,
    pub times: f64,
    pub per: f64,
}

const fn symbol(text: &'static str, kind: Kind, times: f64, per: f64) -> Symbol {
    Symbol {
        text,
        kind,
        times,
        per,
    }
}

/// Base units: kg, d, W, kWh, m³, Pa, V, m. Of equal symbols for one unit the
/// first is the one that is suggested. Temperatures are converted apart, for
/// their zeros differ.
const SYMBOLS: &[Symbol] = &[
    symbol("kg", Kind::Mass, 1.0, 1.0),
    symbol("g", Kind::Mass, 1.0, 1e3),
    symbol("mg", Kind::Mass, 1.0, 1e6),
    symbol("t", Kind::Mass, 1e3, 1.0),
    symbol("d", Kind::Time, 1.0, 1.0),
    symbol("h", Kind::Time, 1.0, 24.0),
    symbol("min", Kind::Time, 1.0, 1440.0),
    symbol("s", Kind::Time, 1.0, 86400.0),
    symbol("wk", Kind::Time, 7.0, 1.0),
    symbol("yr", Kind::Time, 365.25, 1.0),
    symbol("W", Kind::Power, 1.0, 1.0),
    symbol("kW", Kind::Power, 1e3, 1.0),
    symbol("MW", Kind::Power, 1e6, 1.0),
    symbol("kWh", Kind::Energy, 1.0, 1.0),
    symbol("Wh", Kind::Energy, 1.0, 1e3),
    symbol("MWh", Kind::Energy, 1e3, 1.0),
    symbol("J", Kind::Energy, 1.0, 3.6e6),
    symbol("kJ", Kind::Energy, 1.0, 3600.0),
    symbol("MJ", Kind::Energy, 10.0, 36.0),
    symbol("m³", Kind::Volume, 1.0, 1.0),
    symbol("m^3", Kind::Volume, 1.0, 1.0),
    symbol("m3", Kind::Volume, 1.0, 1.0),
    symbol("L", Kind::Volume, 1.0, 1e3),
    symbol("l", Kind::Volume, 1.0, 1e3),
    symbol("mL", Kind::Volume, 1.0, 1e6),
    symbol("ml", Kind::Volume, 1.0, 1e6),
    symbol("°C", Kind::Temperature, 1.0, 1.0),
    symbol("K", Kind::Temperature, 1.0, 1.0),
    symbol("Pa", Kind::Pressure, 1.0, 1.0),
    symbol("hPa", Kind::Pressure, 100.0, 1.0),
    symbol("kPa", Kind::Pressure, 1e3, 1.0),
    symbol("MPa", Kind::Pressure, 1e6, 1.0),
    symbol("mbar", Kind::Pressure, 100.0, 1.0),
    symbol("bar", Kind::Pressure, 1e5, 1.0),
    symbol("atm", Kind::Pressure, 101_325.0, 1.0),
    symbol("V", Kind::Voltage, 1.0, 1.0),
    symbol("mV", Kind::Voltage, 1.0, 1e3),
    symbol("m", Kind::Length, 1.0, 1.0),
    symbol("mm", Kind::Length, 1.0, 1e3),
    symbol("cm", Kind::Length, 1.0, 100.0),
    symbol("km", Kind::Length, 1e3, 1.0),
];

/// Words that people write for a symbol; they are suggested, not read.
const WORDS: &[(&str, &str)] = &[
    ("kgs", "kg"),
    ("kilo", "kg"),
    ("kilos", "kg"),
    ("kilogram", "kg"),
    ("kilograms", "kg"),
    ("gram", "g"),
    ("grams", "g"),
    ("ton", "t"),
    ("tons", "t"),
    ("tonne", "t"),
    ("tonnes", "t"),
    ("day", "d"),
    ("days", "d"),
    ("hr", "h"),
    ("hrs", "h"),
    ("hour", "h"),
    ("hours", "h"),
    ("minute", "min"),
    ("minutes", "min"),
    ("sec", "s"),
    ("second", "s"),
    ("seconds", "s"),
    ("w", "wk"),
    ("week", "wk"),
    ("weeks", "wk"),
    ("a", "yr"),
    ("y", "yr"),
    ("year", "yr"),
    ("years", "yr"),
    ("watt", "W"),
    ("watts", "W"),
    ("kilowatt", "kW"),
    ("kilowatts", "kW"),
    ("litre", "L"),
    ("litres", "L"),
    ("liter", "L"),
    ("liters", "L"),
    ("C", "°C"),
    ("degC", "°C"),
    ("deg C", "°C"),
    ("° C", "°C"),
    ("kelvin", "K"),
    ("pascal", "Pa"),
    ("volt", "V"),
    ("volts", "V"),
    ("metre", "m"),
    ("metres", "m"),
];

fn lookup(text: &str) -> Option<Symbol> {
    SYMBOLS.iter().copied().find(|symbol| symbol.text == text)
}

/// What stands above and below the stroke, for a dimension with a unit.
fn shape(dimension: Dimension) -> Option<(Kind, Option<Kind>)> {
    Some(match dimension {
        Dimension::Mass => (Kind::Mass, None),
        Dimension::Time | Dimension::Hours => (Kind::Time, None),
        Dimension::MassRate | Dimension::MassPerCrewHour => (Kind::Mass, Some(Kind::Time)),
        Dimension::Power => (Kind::Power, None),
        Dimension::Energy => (Kind::Energy, None),
        Dimension::SpecificEnergy => (Kind::Energy, Some(Kind::Mass)),
        Dimension::Volume => (Kind::Volume, None),
        Dimension::CrewTime => (Kind::Time, Some(Kind::Time)),
        Dimension::Temperature => (Kind::Temperature, None),
        Dimension::Pressure => (Kind::Pressure, None),
        Dimension::Voltage => (Kind::Voltage, None),
        Dimension::Frequency => (Kind::Count, Some(Kind::Time)),
        Dimension::MassRatio => (Kind::Mass, Some(Kind::Mass)),
        Dimension::TimePerMass => (Kind::Time, Some(Kind::Mass)),
        Dimension::VolumeRate => (Kind::Volume, Some(Kind::Time)),
        Dimension::Length => (Kind::Length, None),
        Dimension::MassPerPower => (Kind::Mass, Some(Kind::Power)),
        Dimension::MassPerVolume => (Kind::Mass, Some(Kind::Volume)),
        Dimension::Fraction | Dimension::Number | Dimension::Whole => return None,
    })
}

/// A unit as read: one symbol, or one over another.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Unit {
    above: Option<Symbol>,
    below: Option<Symbol>,
}

impl Unit {
    /// Reads `kg`, `kg/d`, `/wk`; spaces around the stroke are allowed.
    pub(super) fn find(text: &str) -> Option<Unit> {
        match text.split_once('/') {
            None => Some(Unit {
                above: Some(lookup(text.trim())?),
                below: None,
            }),
            Some((above, below)) => {
                let above = match above.trim() {
                    "" => None,
                    text => Some(lookup(text)?),
                };
                Some(Unit {
                    above,
                    below: Some(lookup(below.trim())?),
                })
            }
        }
    }

    fn shape(self) -> (Kind, Option<Kind>) {
        (
            self.above.map_or(Kind::Count, |symbol| symbol.kind),
            self.below.map(|symbol| symbol.kind),
        )
    }

    /// Whether it measures this dimension.
    pub(super) fn measures(self, dimension: Dimension) -> bool {
        shape(dimension) == Some(self.shape())
    }

    /// The first dimension that it measures.
    pub(super) fn dimension(self) -> Option<Dimension> {
        Dimension::ALL
            .into_iter()
            .find(|dimension| self.measures(*dimension))
    }

    /// Whether it is litres where the wanted dimension has a mass.
    pub(super) fn litres_for(self, wanted: Dimension) -> bool {
        let (above, below) = self.shape();
        above == Kind::Volume && shape(wanted) == Some((Kind::Mass, below))
    }

    fn factor(self) -> (f64, f64) {
        let (above_times, above_per) = self.above.map_or((1.0, 1.0), |s| (s.times, s.per));
        let (below_times, below_per) = self.below.map_or((1.0, 1.0), |s| (s.times, s.per));
        (above_times * below_per, above_per * below_times)
    }

    /// From this unit to the canonical unit of the dimension, which it must
    /// measure.
    pub(super) fn convert(self, value: f64, dimension: Dimension) -> f64 {
        if dimension == Dimension::Temperature {
            return match self.above {
                Some(Symbol { text: "K", .. }) => value - 273.15,
                _ => value,
            };
        }
        let (times, per) = self.factor();
        let (canonical_times, canonical_per) =
            Unit::find(dimension.unit()).map_or((1.0, 1.0), Unit::factor);
        scale(value, times * canonical_per, per * canonical_times)
    }

    /// Litres as kilograms of water, in the canonical unit of the dimension.
    pub(super) fn convert_water(self, value: f64, dimension: Dimension) -> f64 {
        // A litre of water counts as a kilogram, so a cubic metre as a tonne.
        let (times, per) = self.factor();
        let (canonical_times, canonical_per) =
            Unit::find(dimension.unit()).map_or((1.0, 1.0), Unit::factor);
        scale(value, times * 1e3 * canonical_per, per * canonical_times)
    }
}

/// `value · times / per`, without rounding a whole factor.
fn scale(value: f64, times: f64, per: f64) -> f64 {
    if times >= per && (times / per).fract() == 0.0 {
        value * (times / per)
    } else if (per / times).fract() == 0.0 {
        value / (per / times)
    } else {
        value * times / per
    }
}

/// All units that measure a dimension, the canonical one first.
fn all(dimension: Dimension) -> Vec<String> {
    let Some((above, below)) = shape(dimension) else {
        return Vec::new();
    };
    let of = |kind: Kind| {
        SYMBOLS
            .iter()
            .filter(move |symbol| symbol.kind == kind)
            .map(|symbol| symbol.text)
    };
    let aboves: Vec<&str> = match above {
        Kind::Count => vec![""],
        kind => of(kind).collect(),
    };
    let mut units = vec![dimension.unit().to_string()];
    match below {
        None => units.extend(aboves.iter().map(ToString::to_string)),
        Some(below) => units.extend(
            aboves
                .iter()
                .flat_map(|above| of(below).map(move |below| format!("{above}/{below}"))),
        ),
    }
    units
}

/// The units that help texts list.
pub(super) fn usual(dimension: Dimension) -> Vec<&'static str> {
    match dimension {
        Dimension::Mass => vec!["kg", "g", "t"],
        Dimension::Time => vec!["d", "h", "wk", "yr"],
        Dimension::Hours => vec!["h", "min", "d", "yr"],
        Dimension::MassRate => vec!["kg/d", "kg/h", "g/d", "kg/wk", "kg/yr"],
        Dimension::Power => vec!["W", "kW"],
        Dimension::Energy => vec!["kWh", "Wh", "MJ", "kJ"],
        Dimension::SpecificEnergy => vec!["kWh/kg", "Wh/kg", "MJ/kg", "kJ/kg"],
        Dimension::Volume => vec!["m³", "L", "mL"],
        Dimension::CrewTime => vec!["h/d", "h/wk", "h/yr", "min/d"],
        Dimension::Temperature => vec!["°C", "K"],
        Dimension::Pressure => vec!["Pa", "kPa", "bar", "atm"],
        Dimension::Voltage => vec!["V", "mV"],
        Dimension::Frequency => vec!["/d", "/wk", "/yr"],
        Dimension::MassRatio => vec!["kg/kg", "g/kg"],
        Dimension::TimePerMass => vec!["h/kg", "min/kg"],
        Dimension::VolumeRate => vec!["m³/h", "m³/min", "L/min"],
        Dimension::Length => vec!["m", "cm", "mm"],
        Dimension::MassPerPower => vec!["kg/kW", "kg/W"],
        Dimension::MassPerVolume => vec!["kg/m³", "kg/L"],
        Dimension::MassPerCrewHour => vec!["kg/h"],
        Dimension::Fraction | Dimension::Number | Dimension::Whole => Vec::new(),
    }
}

/// The unit of the wanted dimension that was most likely meant.
pub(super) fn nearest_unit(text: &str, wanted: Dimension) -> Option<String> {
    let units = all(wanted);
    let compact: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    // "kg per day" and "kilograms/day" first become kg/d.
    let symbols = compact
        .replace(" per ", "/")
        .split('/')
        .map(|part| {
            let part = part.trim();
            WORDS
                .iter()
                .find(|(word, _)| word.eq_ignore_ascii_case(part))
                .filter(|_| lookup(part).is_none())
                .map_or(part, |(_, symbol)| symbol)
                .to_string()
        })
        .collect::<Vec<_>>()
        .join("/");
    if units.contains(&symbols) {
        return Some(symbols);
    }
    nearest(&symbols, units.iter().map(String::as_str))
        .or_else(|| nearest(&compact, units.iter().map(String::as_str)))
        .map(str::to_string)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_canonical_and_usual_unit_measures_its_dimension() {
        for dimension in Dimension::ALL {
            if dimension.is_bare() {
                continue;
            }
            for unit in usual(dimension).into_iter().chain([dimension.unit()]) {
                assert!(
                    Unit::find(unit).is_some_and(|unit| unit.measures(dimension)),
                    "{unit} for {dimension}"
                );
            }
            assert!(usual(dimension).contains(&dimension.unit()));
        }
    }

    #[test]
    fn typos_find_the_unit_of_the_wanted_dimension() {
        for (typo, wanted, unit) in [
            ("kg/day", Dimension::MassRate, "kg/d"),
            ("Kg/D", Dimension::MassRate, "kg/d"),
            ("kilograms per day", Dimension::MassRate, "kg/d"),
            ("hours", Dimension::Time, "h"),
            ("weeks", Dimension::Time, "wk"),
            ("w", Dimension::Time, "wk"),
            ("w", Dimension::Power, "W"),
            ("Watt", Dimension::Power, "W"),
            ("kwh/kg", Dimension::SpecificEnergy, "kWh/kg"),
            ("C", Dimension::Temperature, "°C"),
            ("liters", Dimension::Volume, "L"),
        ] {
            assert_eq!(nearest_unit(typo, wanted).as_deref(), Some(unit), "{typo}");
        }
        assert_eq!(nearest_unit("furlongs", Dimension::Mass), None);
    }
}
