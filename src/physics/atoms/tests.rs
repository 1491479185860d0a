use super::*;

fn molar_mass(text: &str) -> f64 {
    Formula::parse(text).expect(text).molar_mass_g_per_mol()
}

#[test]
fn the_table_is_sorted_so_that_every_symbol_is_found() {
    for (symbol, weight) in WEIGHTS {
        assert_eq!(
            Element::of_symbol(symbol).map(Element::atomic_weight),
            Some(weight)
        );
    }
    assert!(WEIGHTS.is_sorted_by(|a, b| a.0 < b.0));
}

/// Molar masses, g/mol, computed with periodictable 2.1.0 `formula(..).mass`.
#[test]
fn molar_masses_agree_with_a_periodic_table_library() {
    for (text, expected) in [
        ("H2O", 18.015),
        ("H2", 2.016),
        ("O2", 31.998),
        ("CO2", 44.009),
        ("CO", 28.010),
        ("CH4", 16.043),
        ("C2H2", 26.038),
        ("N2", 28.014),
        ("NH3", 17.031),
        ("LiOH", 23.947),
        ("Li2CO3", 73.888),
        ("NaCl", 58.440),
        ("CaSO4", 136.134),
        ("CH4N2O", 60.056),
        ("C6H12O6", 180.156),
    ] {
        assert!(
            (molar_mass(text) - expected).abs() < 1e-3,
            "{text}: {}",
            molar_mass(text)
        );
    }
}

/// Weights the periodictable 2.1.0 library prints, abridged; g/mol.
#[test]
fn atomic_weights_agree_with_a_periodic_table_library() {
    for (symbol, expected) in [
        ("H", 1.008),
        ("C", 12.011),
        ("N", 14.007),
        ("O", 15.999),
        ("P", 30.974),
        ("S", 32.06),
        ("Cl", 35.45),
        ("Na", 22.990),
        ("K", 39.098),
        ("Ca", 40.078),
        ("Fe", 55.845),
        ("Ni", 58.693),
        ("Li", 6.94),
    ] {
        assert_eq!(
            Element::of_symbol(symbol).map(Element::atomic_weight),
            Some(expected)
        );
    }
}

#[test]
fn groups_multiply_and_nest() {
    assert_eq!(Formula::parse("Ca(OH)2"), Formula::parse("CaO2H2"));
    assert_eq!(Formula::parse("((CH3)2N)2"), Formula::parse("C4H12N2"));
    assert_eq!(Formula::parse("CO₂"), Formula::parse("O2C"));
    assert_eq!(
        Formula::parse("Ca(OH)2").expect("lime").to_string(),
        "Ca(OH)2"
    );
}

#[test]
fn mass_fractions_sum_to_one() {
    let fractions = Formula::parse("CH4N2O").expect("urea").mass_fractions();
    assert!((fractions.values().sum::<f64>() - 1.0).abs() < 1e-15);
}

#[test]
fn errors_say_what_and_where() {
    for (text, at, part) in [
        ("", 0..0, "at least one element"),
        ("H2Q", 2..3, "`Q` is no element"),
        ("Hx2", 0..2, "`Hx` is no element"),
        ("co2", 0..1, "start with a capital"),
        ("2H2", 0..1, "after its element"),
        ("H0", 1..2, "zero"),
        ("H2.5", 2..3, "whole numbers"),
        ("C99999999999", 1..12, "more than"),
        ("((H1000)1000)1000", 12..17, "more than"),
        ("Ca(OH", 2..3, "`(` without `)`"),
        ("CaOH)2", 4..5, "`)` without `(`"),
        ("Ca()2", 3..4, "nothing between"),
        ("H₂O·é", 5..7, "no place"),
    ] {
        let error = Formula::parse(text).expect_err(text);
        assert!(error.message.contains(part), "{text}: {error}");
        assert_eq!(error.at, at, "{text}");
        assert!(
            text.get(error.at.clone()).is_some(),
            "{text}: not on a character boundary"
        );
    }
}

proptest::proptest! {
    #[test]
    fn any_text_is_read_or_refused_with_a_place(text in "[A-Za-z0-9()₂. é]{0,24}") {
        if let Err(error) = Formula::parse(&text) {
            assert!(text.get(error.at).is_some(), "{text}");
        }
    }
}
