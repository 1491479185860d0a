//! `Figure(...)`: where a number comes from and how sure it is.

use super::*;
use crate::quantity::{Days, WithLitres};
use crate::written::{Either, Spread};

fn spread<T: Read>(text: &str) -> Spread {
    let (_, reading, sources) = read::<T>(text);
    let shown = render_text(&reading.diagnostics, &sources, false);
    assert!(reading.diagnostics.is_empty(), "{shown}");
    reading.figures[0].spread.unwrap()
}

#[test]
fn a_figure_is_its_value_and_a_note() {
    let text =
        r#"Figure(value: "128 kg", source: "invented", spread: Triangular("110 kg", "0.16 t"))"#;
    let (mass, reading, sources) = read::<Kilograms>(text);
    assert_eq!(mass, Some(Kilograms(128.0)));
    let note = &reading.figures[0];
    assert_eq!(note.source.as_deref(), Some("invented"));
    assert_eq!(
        note.spread,
        Some(Spread::Triangular {
            low: 110.0,
            high: 160.0
        })
    );
    assert_eq!(reading.numbers.len(), 1);
    assert_eq!(sources.quote(reading.numbers[0].place), "\"128 kg\"");

    let plain: Fraction = good("Figure(value: 0.5)");
    assert_eq!(plain, Fraction(0.5));
}

#[test]
fn each_spread_is_read_in_the_unit_of_its_number() {
    assert_eq!(
        spread::<Fraction>("Figure(value: 0.5, spread: Uniform(0.4, 0.6))"),
        Spread::Uniform {
            low: 0.4,
            high: 0.6
        }
    );
    assert_eq!(
        spread::<Hours>(r#"Figure(value: "100 h", spread: Normal("1 d"))"#),
        Spread::Normal {
            standard_deviation: 24.0
        }
    );
    assert_eq!(
        spread::<Celsius>(r#"Figure(value: "300 K", spread: Normal("2 K"))"#),
        Spread::Normal {
            standard_deviation: 2.0
        }
    );
    assert_eq!(
        spread::<Kilograms>(r#"Figure(value: "3 kg", spread: Lognormal(2.5))"#),
        Spread::Lognormal { factor: 2.5 }
    );
}

#[test]
fn a_spread_must_fit_its_number() {
    for (inside, expected) in [
        (
            "Triangular(\"4 kg\", \"2 kg\")",
            "the lower bound is not below the upper one",
        ),
        (
            "Uniform(\"4 kg\", \"5 kg\")",
            "the number is not between its bounds",
        ),
        (
            "Normal(\"0 kg\")",
            "the standard deviation is not above zero",
        ),
        (
            "Lognormal(1)",
            "the factor of a lognormal spread is not above 1",
        ),
        ("Uniform(\"1 kg\")", "Uniform takes two bounds, found 1"),
        ("Normal()", "Normal takes one value, found 0"),
        ("Gamma(\"1 kg\")", "Gamma is not a spread"),
        ("0.5", "expected a spread, found the number 0.5"),
    ] {
        let text = format!("Figure(value: \"3 kg\", spread: {inside})");
        let (_, reading, _) = read::<Kilograms>(&text);
        let headlines: Vec<&str> = reading
            .diagnostics
            .iter()
            .map(|complaint| complaint.headline.as_str())
            .collect();
        assert_eq!(headlines, [format!("spread: {expected}")], "{inside}");
    }
    assert_eq!(
        complaints::<Kilograms>(r#"Figure(value: "3 kg", spread: Uniform(2, "5 W"))"#),
        [
            "1:39 LW0201 spread.0: expected a mass such as \"62 kg\", found the number 2 without a unit | write it with its unit: \"2 kg\"",
            "1:42 LW0203 spread.1: expected a mass, but \"W\" measures a power | units for mass: kg, g, t",
        ]
    );
    assert_eq!(
        complaints::<Kilograms>(r#"Figure(vale: "3 kg")"#),
        [
            "1:8 LW0103 Figure has no field vale | did you mean value? fields of Figure: value, source, spread"
        ]
    );
    assert_eq!(
        complaints::<Kilograms>(r#"Figure(source: "x")"#),
        ["1:1 LW0104 the field value is missing in Figure | add value: \"128 kg\""]
    );
}

#[test]
fn litres_wait_for_the_substance() {
    let mass: WithLitres<Kilograms> = good("\"1.3 L\"");
    assert_eq!(mass.known(true), Some(Kilograms(1.3)));
    assert_eq!(mass.known(false), None);
    let rate: WithLitres<KilogramsPerDay> = good("\"2 L/h\"");
    assert_eq!(rate.known(true), Some(KilogramsPerDay(48.0)));
    let mass: WithLitres<Kilograms> = good("\"0.5 t\"");
    assert_eq!(mass.known(false), Some(Kilograms(500.0)));
    assert_eq!(
        complaints::<Kilograms>("\"1.3 L\""),
        [
            "1:1 LW0208 expected a mass, but \"L\" measures a volume | a litre counts as a kilogram only for grades of water; write kg"
        ]
    );
}

#[test]
fn the_unit_tells_one_quantity_from_another() {
    type Content = Either<Days, WithLitres<Kilograms>>;
    let Either::Second(water) = good::<Content>("\"3 L\"") else {
        panic!("litres are a mass of water");
    };
    assert_eq!(water, WithLitres::new(Kilograms(3.0), true));

    type Reserve = Either<Days, Kilograms>;
    let (time, reading, _) = read::<Reserve>("\"2 wk\"");
    assert_eq!(time, Some(Either::First(Days(14.0))));
    assert_eq!(
        reading.numbers[0].dimension,
        crate::quantity::Dimension::Time
    );
    assert_eq!(
        good::<Reserve>("\"0.4 t\""),
        Either::Second(Kilograms(400.0))
    );
    let (_, reading, _) =
        read::<Reserve>("Figure(value: \"30 d\", spread: Uniform(\"20 d\", \"40 d\"))");
    assert_eq!(reading.figures.len(), 1);
    for (text, expected) in [
        (
            "\"30 W\"",
            "1:1 LW0203 expected a time such as \"180 d\" or a mass such as \"62 kg\", found W | units for time: d, h, wk, yr; units for mass: kg, g, t",
        ),
        (
            "30",
            "1:1 LW0201 expected a time such as \"180 d\" or a mass such as \"62 kg\", found 30 | units for time: d, h, wk, yr; units for mass: kg, g, t",
        ),
        (
            "\"30 kgs\"",
            "1:1 LW0202 expected a time such as \"180 d\" or a mass such as \"62 kg\", found kgs | did you mean kg?",
        ),
        (
            "\"-30 kg\"",
            "1:1 LW0207 expected a mass of 0 or more, found -30 kg | write 0 or more",
        ),
        (
            "\"-30 d\"",
            "1:1 LW0207 expected a time of 0 or more, found -30 d | write 0 or more",
        ),
        (
            "\"3 L\"",
            "1:1 LW0208 expected a mass, but \"L\" measures a volume | a litre counts as a kilogram only for grades of water; write kg",
        ),
        (
            "\"x\"",
            "1:1 LW0204 expected a time such as \"180 d\", found \"x\" | write it such as \"180 d\"",
        ),
        (
            "[]",
            "1:1 LW0107 expected a time such as \"180 d\" or a mass such as \"62 kg\", found a list in square brackets | write it such as \"62 kg\"",
        ),
    ] {
        assert_eq!(complaints::<Reserve>(text), [expected], "{text}");
    }
}
