//! Well-formed texts that say something wrong: every mistake is reported, each
//! with its own message.

use super::*;

/// A still whose unit is as given.
fn unit(fields: &str) -> Vec<String> {
    complaints::<Unit>(&format!("Unit({fields})"))
}

#[test]
fn all_mistakes_of_one_node_are_reported() {
    let text = r#"Still(
    takes: urine,
    gives: {"distillate": "0.82", "brine": 18, "brine": 0.1},
    unit: Unit(mass: 5, capacty: "3 kg", power: "310 kg"),
    count: 2,
    temperature: "-300 °C",
)"#;
    assert_eq!(
        complaints::<Kind>(text),
        [
            "2:12 LW0112 takes: expected a name such as \"water tank\", found the word urine without quotes | write it in quotes: \"urine\"",
            "3:27 LW0112 gives.distillate: expected a fraction between 0 and 1, found a number in quotes | write it without quotes: 0.82",
            "3:44 LW0207 gives.brine: expected a fraction between 0 and 1, found 18 | write a number from 0 to 1; if 18 % is meant, 0.18",
            "3:48 LW0106 gives: \"brine\" is given twice | rename one or take it out",
            "4:25 LW0103 unit: Unit has no field capacty | did you mean capacity? fields of Unit: mass, capacity, power, availability, spares",
            "4:22 LW0201 unit.mass: expected a mass such as \"62 kg\", found the number 5 without a unit | write it with its unit: \"5 kg\"",
            "4:49 LW0203 unit.power: expected a power, but \"kg\" measures a mass | units for power: W, kW",
            "5:12 LW0107 count: expected a count such as Exactly(2), found the number 2 | write one of: Exactly(2), UpTo(2), Between(1, 2)",
            "6:18 LW0207 temperature: -300 °C is below absolute zero | nothing is colder than -273.15 °C",
        ]
    );
}

#[test]
fn a_doubled_key_shows_both_places() {
    let (_, reading, sources) = read::<Loop>("Loop(nodes: {\n\"a\": Junction,\n\"a\": Junction})");
    let complaint = &reading.diagnostics[0];
    let (place, _) = complaint.further[0];
    assert_eq!(sources.line_column(place), (2, 1));
    let (_, reading, sources) = read::<Outlet>("Outlet(way: Overboard,\n way: Overboard)");
    let complaint = &reading.diagnostics[0];
    assert_eq!(complaint.headline, "the field way is given twice");
    assert_eq!(sources.line_column(complaint.further[0].0), (1, 8));
}

#[test]
fn fields_are_missed_together() {
    assert_eq!(
        unit(""),
        [
            "1:1 LW0104 the fields mass and capacity are missing in Unit | add mass: \"62 kg\", capacity: \"9.6 kg/d\""
        ]
    );
    assert_eq!(
        unit(r#"mass: "1 kg", power: None"#),
        ["1:1 LW0104 the field capacity is missing in Unit | add capacity: \"9.6 kg/d\""]
    );
    assert_eq!(
        unit(r#"mass: "1 kg", capacity: "1 kg/d", colour: "red""#),
        [
            "1:40 LW0103 Unit has no field colour | fields of Unit: mass, capacity, power, availability, spares"
        ]
    );
}

#[test]
fn none_takes_out_what_is_optional_only() {
    let read: Unit =
        good(r#"Unit(mass: "1 kg", capacity: "1 kg/d", availability: None, spares: None)"#);
    assert_eq!(read.availability, Fraction::ONE);
    assert_eq!(
        unit(r#"mass: None, capacity: "1 kg/d""#),
        [
            "1:12 LW0107 mass: expected a mass such as \"62 kg\", found the word None | this one is not optional: state it"
        ]
    );
}

#[test]
fn some_is_not_written_out() {
    let expected = |address: &str, column: usize| {
        format!(
            "1:{column} LW0111 {address}: Some(...) is not written out in a design file | write the value alone, without Some( )"
        )
    };
    assert_eq!(
        unit(
            r#"mass: "1 kg", capacity: "1 kg/d", power: Some("5 W"), spares: Some(Spares(mass: "1 kg", mtbf: "1 h"))"#
        ),
        [expected("power", 47), expected("spares", 68)]
    );
    assert_eq!(
        complaints::<Kind>(r#"Still(takes: Some("urine"), count: Some(UpTo(2)))"#),
        [expected("takes", 14), expected("count", 36)]
    );
}

#[test]
fn choices_say_what_they_want() {
    for (text, expected) in [
        (
            "UpTo(2.0)",
            "1:6 LW0209 expected a whole number, found 2.0 | write 2",
        ),
        (
            "UpTo(2.5)",
            "1:6 LW0209 expected a whole number, found 2.5 | write a whole number such as 2",
        ),
        (
            "UpTo(-1)",
            "1:6 LW0207 expected a whole number of 0 or more, found -1 | write a whole number, 0 or more, of no more than nine digits",
        ),
        (
            "UpTo(99999999999)",
            "1:6 LW0207 expected a whole number of 0 or more, found 99999999999 | write a whole number, 0 or more, of no more than nine digits",
        ),
        (
            "UpTo(\"2\")",
            "1:6 LW0112 expected a whole number, found a number in quotes | write it without quotes: 2",
        ),
        (
            "UpTo",
            "1:1 LW0110 UpTo needs one value in parentheses | write it such as UpTo(2)",
        ),
        (
            "UpTo()",
            "1:1 LW0109 UpTo takes one value, found 0 | write it such as UpTo(2)",
        ),
        (
            "Between(2)",
            "1:1 LW0109 Between takes two values, found 1 | write it such as Between(1, 2)",
        ),
        (
            "UpTo(count: 2)",
            "1:1 LW0110 UpTo takes one value without field names | write it such as UpTo(2)",
        ),
        (
            "Upto(2)",
            "1:1 LW0108 Upto is not a count | did you mean UpTo?",
        ),
        (
            "Perhaps(2)",
            "1:1 LW0108 Perhaps is not a count | there are: Exactly, UpTo, Between",
        ),
        (
            "None",
            "1:1 LW0107 expected a count such as Exactly(2), found the word None | this one is not optional: state it",
        ),
    ] {
        assert_eq!(complaints::<Count>(text), [expected], "{text}");
    }
    assert_eq!(
        complaints::<Count>("Between(1.5, -2)"),
        [
            "1:9 LW0209 0: expected a whole number, found 1.5 | write a whole number such as 2",
            "1:14 LW0207 1: expected a whole number of 0 or more, found -2 | write a whole number, 0 or more, of no more than nine digits",
        ]
    );
    for (text, expected) in [
        (
            "Overboard()",
            "1:1 LW0110 Overboard takes no parentheses | write Overboard",
        ),
        (
            "Overboard(1)",
            "1:1 LW0110 Overboard takes no value | write Overboard",
        ),
        (
            "\"Overboard\"",
            "1:1 LW0112 Overboard is a word here, not a text | write it without quotes: Overboard",
        ),
        (
            "Removed",
            "1:1 LW0110 Removed needs its parentheses | write Removed(...)",
        ),
        (
            "Removed(\"5 t\")",
            "1:1 LW0107 Removed holds fields, found values without names | write each value with its field: Removed(field: value)",
        ),
        (
            "Removed(per_fligt: \"5 t\")",
            "1:9 LW0103 Removed has no field per_fligt | did you mean per_flight? fields of Removed: per_flight",
        ),
    ] {
        assert_eq!(complaints::<Way>(text), [expected], "{text}");
    }
}

#[test]
fn a_kind_needs_its_parentheses_and_its_name() {
    for (text, expected) in [
        (
            "Outlet",
            "1:1 LW0110 Outlet needs its parentheses | write Outlet(...)",
        ),
        (
            "Junction()",
            "1:1 LW0110 Junction takes no parentheses | write Junction",
        ),
        (
            "Outlets(way: Overboard)",
            "1:1 LW0108 Outlets is not a kind | did you mean Outlet?",
        ),
        (
            "(way: Overboard)",
            "1:1 LW0107 expected a kind such as Still(...), found fields in parentheses | write one of: Still(...), Outlet(...), Junction",
        ),
    ] {
        assert_eq!(complaints::<Kind>(text), [expected], "{text}");
    }
    for (text, expected) in [
        (
            "{way: Overboard}",
            "1:1 LW0107 expected Outlet(...), found a map in braces | write fields in parentheses: Outlet(field: value)",
        ),
        (
            "Inlet(way: Overboard)",
            "1:1 LW0107 expected Outlet(...), found Inlet(...) | write Outlet(...)",
        ),
    ] {
        assert_eq!(complaints::<Outlet>(text), [expected], "{text}");
    }
}

#[test]
fn lists_and_maps_are_told_apart() {
    for (text, expected) in [
        (
            "Loop(nodes: [])",
            "1:13 LW0107 nodes: expected a map in braces such as {\"water tank\": Still(...)}, found a list in square brackets | write it in braces: {\"water tank\": Still(...)}",
        ),
        (
            "Loop(nodes: {}, phases: Phase(name: \"a\", crew: 1))",
            "1:25 LW0107 phases: expected a list such as [Phase(...)], found Phase(...) | write it in square brackets, even if it is one: [Phase(...)]",
        ),
        (
            "Loop(nodes: {}, phases: [Phase(name: \"a\", crew: x)])",
            "1:49 LW0107 phases.a.crew: expected a whole number such as 2, found the word x | write it such as 2",
        ),
        (
            "Loop(nodes: {}, phases: [Phase(name: \" \", crew: 1)])",
            "1:38 LW0107 phases. .name: expected a name such as \"water tank\", found an empty one | write the name between the quotes, or take out what has none",
        ),
    ] {
        assert_eq!(complaints::<Loop>(text), [expected], "{text}");
    }
    assert_eq!(
        complaints::<Loop>("Loop(nodes: {urine: Outlet(way: Over)})"),
        [
            "1:14 LW0112 nodes: expected a name such as \"water tank\", found the word urine without quotes | write it in quotes: \"urine\"",
            "1:33 LW0108 nodes.urine.way: Over is not a way out | there are: Overboard, Removed",
        ]
    );
}

#[test]
fn numbers_are_finite_and_bare_where_they_should_be() {
    for (text, expected) in [
        (
            "1e400",
            "1:1 LW0205 1e400 is not a finite number | leave it out if there is no limit",
        ),
        (
            "inf",
            "1:1 LW0205 inf is not a finite number | leave it out if there is no limit",
        ),
        (
            "-inf",
            "1:1 LW0205 -inf is not a finite number | leave it out if there is no limit",
        ),
        (
            "NaN",
            "1:1 LW0205 NaN is not a finite number | leave it out if there is no limit",
        ),
        (
            "\"95%\"",
            "1:1 LW0206 expected a fraction between 0 and 1, found a percentage, 95% | write 0.95",
        ),
        (
            "\"1/2\"",
            "1:1 LW0206 expected a fraction between 0 and 1, found the division 1/2 | write 0.5",
        ),
        (
            "\"half\"",
            "1:1 LW0204 expected a fraction between 0 and 1 such as 0.95, found \"half\" | write it such as 0.95",
        ),
        (
            "\"0.5 kg\"",
            "1:1 LW0203 expected a fraction between 0 and 1 without a unit, found \"0.5 kg\" | write it such as 0.95",
        ),
        (
            "0x10",
            "1:1 LW0203 expected a fraction between 0 and 1 without a unit, found \"0x10\" | write it such as 0.95",
        ),
        (
            "-0.1",
            "1:1 LW0207 expected a fraction between 0 and 1, found -0.1 | write a number from 0 to 1",
        ),
    ] {
        assert_eq!(complaints::<Fraction>(text), [expected], "{text}");
    }
    assert_eq!(good::<f64>("1_000.5"), 1000.5);
    assert_eq!(good::<Fraction>("1"), Fraction::ONE);
    assert!(good::<bool>("true"));
    assert_eq!(
        complaints::<bool>("True"),
        ["1:1 LW0107 expected true or false, found the word True | write true or false"]
    );
}
