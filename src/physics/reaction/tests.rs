use super::*;

fn reaction(text: &str) -> Reaction {
    Reaction::parse(text).expect(text)
}

/// Mass of one species per kg of another.
fn per_kg(reaction: &Reaction, of: &str, per: &str) -> f64 {
    let mass = |text: &str| {
        let formula = Formula::parse(text).expect(text);
        let mut all = reaction.reactants.iter().chain(&reaction.products);
        all.find(|species| species.formula == formula)
            .map(|species| species.kg_per_kg)
            .expect(text)
    };
    mass(of) / mass(per)
}

const METHANATION: &str = "CO2 + 4 H2 -> CH4 + 2 H2O";
const BOSCH: &str = "CO2 + 2 H2 -> C + 2 H2O";

/// kg of a species per kg of another: molar masses computed with periodictable
/// 2.1.0.
#[test]
fn masses_follow_from_molar_masses() {
    for (text, per, of, expected) in [
        ("2 H2O → 2 H2 + O2", "H2O", "O2", 0.888_093),
        ("2 H2O → 2 H2 + O2", "H2O", "H2", 0.111_907),
        ("2 H2O → 2 H2 + O2", "O2", "H2O", 1.126_008),
        ("2 H2O → 2 H2 + O2", "O2", "H2", 0.126_008),
        (METHANATION, "CO2", "H2", 0.183_235),
        (METHANATION, "CO2", "CH4", 0.364_539),
        (METHANATION, "CO2", "H2O", 0.818_696),
        (BOSCH, "CO2", "H2", 0.091_618),
        (BOSCH, "CO2", "C", 0.272_921),
        (BOSCH, "CO2", "H2O", 0.818_696),
        ("CH4 -> C + 2 H2", "CH4", "C", 0.748_675),
        ("CH4 -> C + 2 H2", "CH4", "H2", 0.251_325),
        ("2 CH4 -> C2H2 + 3 H2", "CH4", "C2H2", 0.811_507),
        ("2 CH4 -> C2H2 + 3 H2", "CH4", "H2", 0.188_493),
        ("2 LiOH + CO2 -> Li2CO3 + H2O", "CO2", "LiOH", 1.088_277),
        ("2 LiOH + CO2 -> Li2CO3 + H2O", "CO2", "Li2CO3", 1.678_929),
        ("2 LiOH + CO2 -> Li2CO3 + H2O", "CO2", "H2O", 0.409_348),
    ] {
        let found = per_kg(&reaction(text), of, per);
        assert!(
            (found - expected).abs() < 6e-7,
            "{text}: {of} per {per} is {found}"
        );
    }
}

#[test]
fn a_balanced_reaction_keeps_its_mass() {
    for text in [
        METHANATION,
        BOSCH,
        "CO + 1/2 O2 -> CO2",
        "0.5 CH4 + O2 -> 0.5 CO2 + H2O",
    ] {
        let reaction = reaction(text);
        assert_eq!(reaction.imbalance(), [], "{text}");
        for side in [&reaction.reactants, &reaction.products] {
            assert!(
                (side.iter().map(|species| species.kg_per_kg).sum::<f64>() - 1.0).abs() < 1e-12,
                "{text}"
            );
        }
    }
}

/// Hydrogen-limited loop, all oxygen from electrolysis, every edition of the
/// crew's oxygen and carbon dioxide (kg per person and day); share of carbon
/// dioxide reduced, and water returned, electrolysed, carbon dioxide and
/// methane vented: computed with periodictable 2.1.0.
#[test]
fn hydrogen_limits_methanation_to_half_of_the_water() {
    for (oxygen, dioxide, share, returned, electrolysed, vented, methane) in [
        (
            0.84, 1.00, 0.577_654, 0.472_923, 0.945_847, 0.422_346, 0.210_578,
        ),
        (
            0.835, 0.998, 0.575_367, 0.470_108, 0.940_217, 0.423_784, 0.209_324,
        ),
        (
            0.816, 1.04, 0.539_567, 0.459_411, 0.918_822, 0.478_850, 0.204_561,
        ),
        (
            0.895, 1.085, 0.567_260, 0.503_889, 1.007_777, 0.469_523, 0.224_365,
        ),
    ] {
        let splitting = reaction("2 H2O -> 2 H2 + O2");
        let methanation = reaction(METHANATION);
        let water = oxygen * per_kg(&splitting, "H2O", "O2");
        let reduced = oxygen * per_kg(&splitting, "H2", "O2") * per_kg(&methanation, "CO2", "H2");
        let back = reduced * per_kg(&methanation, "H2O", "CO2");
        for (found, expected) in [
            (reduced / dioxide, share),
            (back, returned),
            (water, electrolysed),
            (dioxide - reduced, vented),
            (reduced * per_kg(&methanation, "CH4", "CO2"), methane),
        ] {
            assert!(
                (found - expected).abs() < 1e-6,
                "{found}, expected {expected}"
            );
        }
        assert!((back / water - 0.5).abs() < 1e-12);
    }
}

#[test]
fn only_unbalanced_elements_are_listed() {
    let listed = |text: &str| -> Vec<(&'static str, f64, f64)> {
        reaction(text)
            .imbalance()
            .into_iter()
            .map(|(element, left, right)| (element.symbol(), left, right))
            .collect()
    };
    assert_eq!(listed("CO2 + 3 H2 -> CH4 + H2O"), [("O", 2.0, 1.0)]);
    assert_eq!(
        listed("CH4 -> C2H2 + 3 H2"),
        [("C", 1.0, 2.0), ("H", 4.0, 8.0)]
    );
    assert_eq!(listed("H2 -> C"), [("C", 0.0, 1.0), ("H", 2.0, 0.0)]);
}

#[test]
fn errors_say_what_and_where() {
    for (text, at, part) in [
        ("CO2 + 4 H2", "CO2 + 4 H2", "has an arrow"),
        ("CO2 = C + O2", "CO2 = C + O2", "has an arrow"),
        ("C -> CO -> CO2", "->", "one arrow"),
        ("C → CO -> CO2", "->", "one arrow"),
        ("-> CO2", "", "missing"),
        ("C + -> CO2", "", "missing"),
        ("C + O2 ->", "", "missing"),
        ("0 C -> CO2", "0", "no coefficient"),
        ("1.2.3 C -> CO2", "1.2.3", "no coefficient"),
        ("1/0 C -> CO2", "1/0", "no coefficient"),
        ("4 -> CO2", "", "at least one element"),
        ("CO2 + 4 Hx -> CH4", "Hx", "no element"),
        ("2 H2O → 2 h2 + O2", "h", "start with a capital"),
        ("H2O(g) -> H2 + O2", "g", "start with a capital"),
        ("CO2 + CO2 -> C", "CO2", "written twice"),
        ("CO2 + O2 -> C + 2 O2", "2 O2", "written twice"),
    ] {
        let error = Reaction::parse(text).expect_err(text);
        assert!(error.message.contains(part), "{text}: {error}");
        assert_eq!(text.get(error.at.clone()), Some(at), "{text}: {error}");
    }
}

#[test]
fn absurd_coefficients_are_refused() {
    let huge = format!("{}0 H2O -> H2 + O2", "9".repeat(308));
    assert!(Reaction::parse(&huge).is_err());
}

proptest::proptest! {
    #[test]
    fn any_text_is_read_or_refused_with_a_place(text in "([CHO0-9+./ →é]|->|H2O|CO2){0,16}") {
        match Reaction::parse(&text) {
            Err(error) => assert!(text.get(error.at).is_some(), "{text}"),
            Ok(found) => assert!(found.reactants.iter().all(|species| species.kg_per_kg.is_finite()), "{text}"),
        }
    }
}
