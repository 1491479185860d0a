use super::*;
use crate::catalogue::crew_profile;
use crate::diagnostic::SourceId;

fn table() -> Substances {
    Substances::builtin(crew_profile("2022").expect("2022"))
}

fn at(start: usize) -> Place {
    Place {
        source: SourceId(0),
        start,
        end: start + 1,
    }
}

fn formula(text: &str) -> Formula {
    Formula::parse(text).expect(text)
}

fn id(table: &Substances, name: &str) -> SubstanceId {
    table.find(name).expect(name)
}

fn mixture(table: &Substances, parts: &[(&str, f64)]) -> Makeup {
    Makeup::Mixture(
        parts
            .iter()
            .map(|(name, share)| (id(table, name), *share))
            .collect(),
    )
}

#[test]
fn built_in_substances_are_whole_and_of_known_makeup() {
    let table = table();
    assert_eq!(table.names().count(), PURE.len() + GRADES.len() + 5);
    for id in table.ids() {
        assert!(
            (table.contents(id).mass() - 1.0).abs() < 1e-12,
            "{}",
            table.name(id)
        );
        assert!(
            !table.is_opaque(id) && table.place(id).is_none(),
            "{}",
            table.name(id)
        );
        assert_eq!(table.find(table.name(id)), Some(id));
    }
    for (name, text) in PURE {
        assert_eq!(table.makeup(id(&table, name)), &Makeup::Pure(formula(text)));
    }
}

#[test]
fn a_formula_finds_the_built_in_substance() {
    let mut table = table();
    let syngas = table
        .declare("bottled oxygen", Makeup::Pure(formula("O2")), at(0))
        .expect("new");
    let acetylene = table
        .declare("acetylene", Makeup::Pure(formula("C2H2")), at(1))
        .expect("new");
    assert_eq!(table.of_formula(&formula("O2")), table.find("oxygen"));
    assert_ne!(table.of_formula(&formula("O2")), Some(syngas));
    assert_eq!(table.of_formula(&formula("H2C2")), Some(acetylene));
    assert_eq!(table.of_formula(&formula("H2O")), table.find("water"));
    assert_eq!(table.of_formula(&formula("CO")), None);
}

/// Shares of the 2022 edition's rows: urine 1.420/1.481, food 0.760/1.560,
/// faeces 0.101/0.133.
#[test]
fn water_fractions() {
    let mut table = table();
    table.declare("salts", Makeup::Opaque, at(0)).expect("new");
    let brine = mixture(&table, &[("urine", 0.5), ("salts", 0.5)]);
    table.declare("brine", brine, at(1)).expect("new");
    table
        .declare("heavy rain", Makeup::Pure(formula("H2O")), at(2))
        .expect("new");
    for (name, fraction) in [
        ("water", 1.0),
        ("humidity", 1.0),
        ("condensate", 1.0),
        ("potable water", 1.0),
        ("hygiene water", 1.0),
        ("flush water", 1.0),
        ("grey water", 1.0),
        ("oxygen", 0.0),
        ("methane", 0.0),
        ("urine", 0.958_812),
        ("food", 0.487_179),
        ("faeces", 0.759_398),
        ("skin solids", 0.0),
        ("salts", 0.0),
        ("brine", 0.479_406),
        ("heavy rain", 1.0),
    ] {
        let id = id(&table, name);
        assert!(
            (table.water_fraction(id) - fraction).abs() < 1e-6,
            "{name}: {}",
            table.water_fraction(id)
        );
        assert_eq!(table.is_water_alone(id), fraction == 1.0, "{name}");
    }
}

/// The 1994 handbook's urine: 0.9622 water, 0.0378 solids.
#[test]
fn profile_substances_follow_the_profile() {
    let table = Substances::builtin(crew_profile("1994").expect("1994"));
    let urine = id(&table, "urine");
    assert!((table.water_fraction(urine) - 0.9622).abs() < 5e-5);
    assert!((table.contents(urine).opaque["urine solids"] - 0.0378).abs() < 5e-5);
    assert_eq!(table.makeup(urine), &Makeup::Profile);
    let dry = Substances::builtin(crew_profile("2004").expect("2004"));
    assert_eq!(dry.water_fraction(id(&dry, "food")), 0.0);
}

#[test]
fn declared_ids_count_on() {
    let mut table = table();
    let before = table.ids().count();
    let first = table
        .declare("distillate", mixture(&table, &[("water", 1.0)]), at(3))
        .expect("new");
    let second = table
        .declare("urine brine", Makeup::Opaque, at(5))
        .expect("new");
    assert_eq!(
        (first, second),
        (SubstanceId(before), SubstanceId(before + 1))
    );
    assert_eq!(table.place(second), Some(at(5)));
    assert!(table.is_water_alone(first) && table.is_opaque(second));
}

#[test]
fn a_repeated_declaration_must_agree() {
    let mut table = table();
    let water = mixture(&table, &[("water", 1.0)]);
    assert_eq!(
        table.declare("humidity", water.clone(), at(0)),
        Ok(id(&table, "humidity"))
    );
    assert_eq!(
        table.declare("oxygen", Makeup::Pure(formula("O2")), at(0)),
        Ok(id(&table, "oxygen"))
    );
    assert_eq!(table.place(id(&table, "humidity")), None);

    table.declare("distillate", water, at(7)).expect("new");
    let again = table
        .declare("distillate", Makeup::Opaque, at(9))
        .expect_err("differs");
    let SubstanceError::Disagrees { earlier, .. } = &again else {
        panic!("{again}")
    };
    assert_eq!(*earlier, Some(at(7)));
    assert_eq!(
        again.to_string(),
        "`distillate` was declared as 0.1119 H, 0.8881 O by mass, but is declared here as 1.0000 of no stated composition"
    );
    for (name, makeup) in [
        ("oxygen", Makeup::Pure(formula("O3H2"))),
        ("urine", Makeup::Opaque),
        ("food", mixture(&table, &[("water", 0.5), ("carbon", 0.5)])),
    ] {
        let error = table.declare(name, makeup, at(0)).expect_err(name);
        assert!(
            matches!(error, SubstanceError::Disagrees { earlier: None, .. }),
            "{error}"
        );
        assert!(error.to_string().contains("is built in as"), "{error}");
    }
}

#[test]
fn mixtures_hold_what_their_parts_hold() {
    let mut table = table();
    table.declare("salts", Makeup::Opaque, at(0)).expect("new");
    let parts = mixture(
        &table,
        &[("water", 0.7), ("skin solids", 0.2), ("salts", 0.1)],
    );
    let slurry = table.declare("slurry", parts, at(1)).expect("new");
    let contents = table.contents(slurry);
    assert!((contents.elements.values().sum::<f64>() - 0.7).abs() < 1e-12);
    assert!((contents.opaque["skin solids"] - 0.2).abs() < 1e-12);
    assert!((contents.unstated - 0.1).abs() < 1e-12);
    assert!(table.is_opaque(slurry));
}

#[test]
fn fractions_that_miss_one_a_little_are_rescaled() {
    let mut table = table();
    let thirds = mixture(
        &table,
        &[("oxygen", 0.333_333_3), ("nitrogen", 0.666_666_6)],
    );
    let air = table
        .declare("thin air", thirds, at(0))
        .expect("within 1e-6");
    assert!((table.contents(air).mass() - 1.0).abs() < 1e-12);
}

#[test]
fn fractions_out_of_range_are_refused() {
    let mut table = table();
    for (parts, part) in [
        (vec![("oxygen", 0.3), ("nitrogen", 0.6)], "sum to 0.9, not"),
        (vec![], "sum to 0, not"),
        (
            vec![("oxygen", 1.5), ("nitrogen", -0.5)],
            "fraction 1.5 of `oxygen`",
        ),
        (
            vec![("oxygen", 1.0), ("nitrogen", 0.0)],
            "fraction 0 of `nitrogen`",
        ),
        (vec![("oxygen", f64::NAN)], "fraction NaN of `oxygen`"),
    ] {
        let makeup = mixture(&table, &parts);
        let error = table.declare("air", makeup, at(0)).expect_err(part);
        assert!(error.to_string().contains(part), "{error}");
        assert_eq!(table.find("air"), None);
    }
    let error = table
        .declare("bread", Makeup::Profile, at(0))
        .expect_err("no such profile substance");
    assert_eq!(error.to_string(), "the crew profile has no `bread`");
    assert_eq!(
        table.declare("food", Makeup::Profile, at(0)),
        Ok(id(&table, "food"))
    );
}
