//! Reading and printing quantities.

use super::{Dimension, parse, parse_water_mass, parse_water_rate, shown, written};
use proptest::prelude::*;

#[test]
fn good_texts() {
    for (text, dimension, value) in [
        ("9.6 kg/d", Dimension::MassRate, 9.6),
        ("9.6kg/d", Dimension::MassRate, 9.6),
        (" 0.4 kg / h ", Dimension::MassRate, 0.4 * 24.0),
        ("2 L", Dimension::Volume, 0.002),
        ("350 l/min", Dimension::VolumeRate, 21.0),
        ("0.4 m³", Dimension::Volume, 0.4),
        ("0.4 m^3", Dimension::Volume, 0.4),
        ("0.4 m3", Dimension::Volume, 0.4),
        ("2 yr", Dimension::Time, 730.5),
        ("2 wk", Dimension::Time, 14.0),
        ("36 h", Dimension::Time, 1.5),
        ("3 yr", Dimension::Hours, 26298.0),
        ("12 h/yr", Dimension::CrewTime, 12.0 / 365.25),
        ("90 min/d", Dimension::CrewTime, 1.5),
        ("2 /wk", Dimension::Frequency, 2.0 / 7.0),
        ("1/d", Dimension::Frequency, 1.0),
        ("5.5 kWh/kg", Dimension::SpecificEnergy, 5.5),
        ("18 MJ/kg", Dimension::SpecificEnergy, 5.0),
        ("23 °C", Dimension::Temperature, 23.0),
        ("300 K", Dimension::Temperature, 300.0 - 273.15),
        ("-20 °C", Dimension::Temperature, -20.0),
        ("−20 °C", Dimension::Temperature, -20.0),
        ("101 kPa", Dimension::Pressure, 101_000.0),
        ("1 atm", Dimension::Pressure, 101_325.0),
        ("1.2 bar", Dimension::Pressure, 120_000.0),
        ("1.85 V", Dimension::Voltage, 1.85),
        ("9 kW", Dimension::Power, 9000.0),
        ("12,500 kg", Dimension::Mass, 12_500.0),
        ("12_500 kg", Dimension::Mass, 12_500.0),
        (".5 t", Dimension::Mass, 500.0),
        ("5. g", Dimension::Mass, 0.005),
        ("2e3 kg", Dimension::Mass, 2000.0),
        ("80 kg/kW", Dimension::MassPerPower, 80.0),
        ("1 kg/L", Dimension::MassPerVolume, 1000.0),
        ("0.5 kg/h", Dimension::MassPerCrewHour, 0.5),
        ("6 min/kg", Dimension::TimePerMass, 0.1),
        ("25 g/kg", Dimension::MassRatio, 0.025),
        ("25 mm", Dimension::Length, 0.025),
        ("-0 kg", Dimension::Mass, 0.0),
        ("0.95", Dimension::Fraction, 0.95),
        ("3.9", Dimension::Number, 3.9),
        ("2", Dimension::Whole, 2.0),
    ] {
        assert_eq!(parse(text, dimension), Ok(value), "{text}");
    }
}

#[test]
fn bad_texts_say_why() {
    for (text, wanted, message, help) in [
        (
            "62",
            Dimension::Mass,
            "expected a mass such as \"62 kg\", found the number 62 without a unit",
            "write it with its unit: \"62 kg\"",
        ),
        (
            "",
            Dimension::Mass,
            "expected a mass such as \"62 kg\", found \"\"",
            "write it such as \"62 kg\"",
        ),
        (
            "kg 62",
            Dimension::Mass,
            "expected a mass such as \"62 kg\", found \"kg 62\"",
            "write it such as \"62 kg\"",
        ),
        (
            "62 kgs",
            Dimension::Mass,
            "unknown unit \"kgs\" for a mass",
            "did you mean kg?",
        ),
        (
            "62 stone",
            Dimension::Mass,
            "unknown unit \"stone\" for a mass",
            "units for mass: kg, g, t",
        ),
        (
            "9 kg/day",
            Dimension::MassRate,
            "unknown unit \"kg/day\" for a mass flow",
            "did you mean kg/d?",
        ),
        (
            "9 kg per day",
            Dimension::MassRate,
            "unknown unit \"kg per day\" for a mass flow",
            "did you mean kg/d?",
        ),
        (
            "9 kg/d/d",
            Dimension::MassRate,
            "unknown unit \"kg/d/d\" for a mass flow",
            "did you mean kg/d?",
        ),
        (
            "9 kg",
            Dimension::MassRate,
            "expected a mass flow, but \"kg\" measures a mass",
            "units for mass flow: kg/d, kg/h, g/d, kg/wk, kg/yr",
        ),
        (
            "9 W/kg",
            Dimension::Power,
            "unknown unit \"W/kg\" for a power",
            "units for power: W, kW",
        ),
        (
            "23 C",
            Dimension::Temperature,
            "unknown unit \"C\" for a temperature",
            "did you mean °C?",
        ),
        (
            "2 L",
            Dimension::Mass,
            "expected a mass, but \"L\" measures a volume",
            "a litre counts as a kilogram only for grades of water; write kg",
        ),
        (
            "2 L/d",
            Dimension::MassRate,
            "expected a mass flow, but \"L/d\" measures a volume flow",
            "a litre counts as a kilogram only for grades of water; write kg/d",
        ),
        (
            "1,5 kg",
            Dimension::Mass,
            "\"1,5\" has a comma that does not set off thousands",
            "write a point for the decimals: 1.5",
        ),
        (
            "0,125 kg",
            Dimension::Mass,
            "\"0,125\" has a comma that does not set off thousands",
            "write a point for the decimals: 0.125",
        ),
        (
            "NaN kg",
            Dimension::Mass,
            "NaN is not a finite number",
            "leave it out if there is no limit",
        ),
        (
            "1e400 kg",
            Dimension::Mass,
            "1e400 is not a finite number",
            "leave it out if there is no limit",
        ),
        (
            "1e308 t",
            Dimension::Mass,
            "1e308 t is not a finite number",
            "leave it out if there is no limit",
        ),
        (
            "2e6 t",
            Dimension::Mass,
            "expected a mass of at most 1,000,000,000 kg, found 2e6 t",
            "look for a slip of the keyboard in the number or its unit",
        ),
        (
            "-5 kg",
            Dimension::Mass,
            "expected a mass of 0 or more, found -5 kg",
            "write 0 or more",
        ),
        (
            "-1 K",
            Dimension::Temperature,
            "-1 K is below absolute zero",
            "nothing is colder than -273.15 °C",
        ),
        (
            "95 %",
            Dimension::Fraction,
            "expected a fraction between 0 and 1, found a percentage, 95%",
            "write 0.95",
        ),
        (
            "95%",
            Dimension::Mass,
            "expected a mass, found a percentage, 95%",
            "units for mass: kg, g, t",
        ),
        (
            "1/8",
            Dimension::Fraction,
            "expected a fraction between 0 and 1, found the division 1/8",
            "write 0.125",
        ),
        (
            "1/0",
            Dimension::Fraction,
            "expected a fraction between 0 and 1, found the division 1/0",
            "write a number from 0 to 1",
        ),
        (
            "1.5",
            Dimension::Fraction,
            "expected a fraction between 0 and 1, found 1.5",
            "write a number from 0 to 1",
        ),
        (
            "1.0230000000000001",
            Dimension::Fraction,
            "expected a fraction between 0 and 1, found 1.023",
            "write a number from 0 to 1",
        ),
        (
            "-5.000000000000001 kg",
            Dimension::Mass,
            "expected a mass of 0 or more, found -5 kg",
            "write 0 or more",
        ),
        (
            "2 kg",
            Dimension::Whole,
            "expected a whole number without a unit, found \"2 kg\"",
            "write it such as 2",
        ),
    ] {
        let error = parse(text, wanted).unwrap_err();
        assert_eq!(error.to_string(), message, "{text}");
        assert_eq!(error.help(), help, "{text}");
    }
}

#[test]
fn litres_of_water_are_kilograms() {
    assert_eq!(parse_water_mass("250 mL"), Ok(0.25));
    assert_eq!(parse_water_mass("0.3 m³"), Ok(300.0));
    assert_eq!(parse_water_mass("2 kg"), Ok(2.0));
    assert_eq!(parse_water_rate("2 L/h"), Ok(48.0));
    assert!(parse_water_mass("2 L/h").is_err());
}

proptest! {
    #[test]
    fn no_text_makes_it_panic(text in "\\PC*", index in 0..Dimension::ALL.len()) {
        if let Err(error) = parse(&text, Dimension::ALL[index]) {
            prop_assert!(!error.to_string().is_empty() && !error.help().is_empty());
        }
    }

    #[test]
    fn no_number_with_something_behind_it_makes_it_panic(
        text in "[-+−]?[0-9_.,]{0,6}(e[-+]?[0-9]{1,4})? ?[kgLWmdhy°C³/%A-Za-z ]{0,6}",
        index in 0..Dimension::ALL.len(),
    ) {
        if let Err(error) = parse(&text, Dimension::ALL[index]) {
            prop_assert!(!error.to_string().is_empty() && !error.help().is_empty());
        }
    }

    #[test]
    fn what_is_written_reads_back_exactly(
        value in prop::num::f64::POSITIVE | prop::num::f64::ZERO,
        index in 0..Dimension::ALL.len(),
    ) {
        let dimension = Dimension::ALL[index];
        let value = match dimension {
            Dimension::Fraction => value.min(1.0),
            Dimension::Whole => value.min(4e9).round(),
            Dimension::Number => value,
            _ => value.min(1e9),
        };
        prop_assert_eq!(parse(&written(value, dimension), dimension), Ok(value));
    }

    #[test]
    fn what_is_shown_reads_back_to_what_is_shown(
        value in -1e6..1e9_f64,
        small in 0.0..1.0_f64,
        index in 0..Dimension::ALL.len(),
    ) {
        let dimension = Dimension::ALL[index];
        for value in [value, small, value * small] {
            let value = match dimension {
                Dimension::Fraction => small,
                Dimension::Whole => value.abs().min(4e9).round(),
                Dimension::Number => value,
                Dimension::Temperature => value.max(-273.15),
                _ => value.abs(),
            };
            let text = shown(value, dimension);
            let read = parse(&text, dimension);
            prop_assert!(read.is_ok(), "{} {:?}", text, read);
            let read = read.unwrap_or_default();
            prop_assert!((read - value).abs() <= 5e-4 * value.abs().max(1e-9) + 1e-12);
            prop_assert_eq!(shown(read, dimension), text);
        }
    }
}
