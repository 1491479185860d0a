//! Finding values by address, and putting others in their place.

use super::*;
use crate::quantity::Dimension;
use crate::written::{AddressError, Setting, Value};

const TEXT: &str = r#"Loop(
    nodes: {
        "still": Still(takes: "urine", gives: {"a": 0.5, "a.b": 0.25}, count: UpTo(2)),
        "still no. 2": Still(takes: "x", unit: Unit(mass: "1 kg", capacity: "2 kg/d"), count: Between(1, 2)),
        "out": Outlet(way: Removed(per_flight: "5 t")),
    },
    phases: [Phase(name: "one", crew: 4), Phase(name: "two", crew: 6)],
)"#;

/// The loop after some settings, each a source of its own.
fn set(settings: &[&str]) -> (Option<Loop>, Vec<String>) {
    let mut sources = Sources::new();
    let id = sources.add("loop.ron", TEXT);
    let mut tree = parse(id, TEXT).unwrap();
    let mut reading = Reading::new();
    for text in settings {
        let id = sources.add("--set", *text);
        match Setting::from_text(id, text) {
            Ok(setting) => {
                reading.allow_unquoted(setting.value.place);
                if let Err(error) = tree.set(&setting) {
                    reading.complain(error.diagnostic(setting.address.place));
                }
            }
            Err(complaint) => reading.complain(complaint),
        }
    }
    let read = Loop::read(&tree, &mut reading);
    let complaints = reading
        .diagnostics
        .iter()
        .map(|complaint| line(complaint, &sources))
        .collect();
    (read, complaints)
}

fn still(settings: &[&str], name: &str) -> StillNode {
    let (read, complaints) = set(settings);
    assert!(complaints.is_empty(), "{complaints:?}");
    match read.unwrap().nodes.get(name) {
        Some(Kind::Still(still)) => still.clone(),
        other => panic!("{other:?}"),
    }
}

fn quote(address: &str) -> Result<String, AddressError> {
    let mut sources = Sources::new();
    let id = sources.add("loop.ron", TEXT);
    let mut tree = parse(id, TEXT).unwrap();
    tree.at(address)
        .map(|value| sources.quote(value.place).to_string())
}

#[test]
fn every_number_is_found_by_the_address_it_was_read_under() {
    let (_, reading, sources) = read::<Loop>(TEXT);
    assert_eq!(reading.numbers.len(), 10);
    let mut tree = parse(crate::diagnostic::SourceId(0), TEXT).unwrap();
    for number in &reading.numbers {
        let value = tree.at(&number.address).unwrap();
        let quote = sources.quote(value.place);
        assert!(quote.contains(sources.quote(number.place)), "{quote}");
        // Putting the same number there again changes nothing that is read.
        tree.set_number(&number.address, number.value, number.dimension)
            .unwrap();
    }
    let mut again = Reading::new();
    let (read, _, _) = read::<Loop>(TEXT);
    assert_eq!(Loop::read(&tree, &mut again), read);
}

#[test]
fn the_longest_match_wins() {
    assert_eq!(quote("nodes.still.gives.a.b").unwrap(), "0.25");
    assert_eq!(quote("nodes.still.gives.a").unwrap(), "0.5");
    assert_eq!(quote("nodes.still no. 2.unit.mass").unwrap(), "\"1 kg\"");
}

#[test]
fn items_go_by_name_or_index() {
    assert_eq!(quote("phases.two.crew").unwrap(), "6");
    assert_eq!(quote("phases.1.crew").unwrap(), "6");
    assert_eq!(quote("nodes.still no. 2.count.1").unwrap(), "2");
    assert_eq!(quote("nodes.still.count").unwrap(), "UpTo(2)");
}

#[test]
fn a_wrong_address_says_how_far_it_led() {
    for (address, message, near) in [
        (
            "nods.still",
            "no address nods.still in the design",
            Some("nodes.still"),
        ),
        (
            "nodes.stil.takes",
            "no address nodes.stil.takes: no stil.takes in nodes",
            Some("nodes.still.takes"),
        ),
        (
            "nodes.still no 2.unit.mas",
            "no address nodes.still no 2.unit.mas: no still no 2.unit.mas in nodes",
            Some("nodes.still no. 2"),
        ),
        (
            "phases.three.crew",
            "no address phases.three.crew: no three.crew in phases",
            None,
        ),
        (
            "nodes.out.way.per_flight.kg",
            "no address nodes.out.way.per_flight.kg: nodes.out.way.per_flight has nothing inside it",
            None,
        ),
        ("nodes.", "no address nodes. in the design", Some("nodes")),
    ] {
        let error = quote(address).unwrap_err();
        assert_eq!(error.to_string(), message);
        assert_eq!(error.nearest.as_deref(), near, "{address}");
    }
    assert_eq!(quote("phases.three").unwrap_err().among, ["one", "two"]);
}

#[test]
fn a_long_wrong_address_ends_soon() {
    let address = ["still."; 20_000].concat();
    assert!(quote(&format!("nodes.{address}")).is_err());
}

#[test]
fn quotes_may_be_left_out() {
    let changed = still(
        &[
            "nodes.still.takes=brine of 2 days",
            "nodes.still.gives.a.b=0.125",
            "nodes.still.unit = Unit(mass: \"3 kg\", capacity: \"1 kg/d\")",
            "nodes.still.unit.mass = 12 kg",
            "nodes.still.unit.power=5 W",
            "nodes.still.count=3",
        ],
        "still",
    );
    assert_eq!(changed.takes.as_str(), "brine of 2 days");
    assert_eq!(changed.gives.get("a.b"), Some(&Fraction(0.125)));
    let unit = changed.unit.unwrap();
    assert_eq!((unit.mass, unit.power), (Kilograms(12.0), Some(Watts(5.0))));
    assert_eq!(changed.count, Count::UpTo(3));
    assert_eq!(
        still(&["nodes.still.count=Exactly(1)"], "still").count,
        Count::Exactly(1)
    );
    assert_eq!(
        still(&["nodes.still.takes=water"], "still").takes.as_str(),
        "water"
    );
    assert_eq!(
        still(&["nodes.still.takes=2022"], "still").takes.as_str(),
        "2022"
    );
}

#[test]
fn none_takes_an_optional_field_out() {
    assert_eq!(
        still(&["nodes.still no. 2.unit=None"], "still no. 2").unit,
        None
    );
    assert_eq!(
        still(&["nodes.still.count=None"], "still").count,
        Count::Exactly(1)
    );
    let (_, complaints) = set(&["nodes.still.takes=None"]);
    assert_eq!(
        complaints,
        [
            "1:19 LW0107 nodes.still.takes: expected a name such as \"water tank\", found the word None | this one is not optional: state it"
        ]
    );
}

#[test]
fn mistakes_in_settings_point_into_the_setting() {
    for (setting, expected) in [
        (
            "nodes.still.takes",
            "1:1 LW0101 nodes.still.takes is not ADDRESS=VALUE | write it such as \"nodes.urine still.unit.mass=62 kg\"",
        ),
        (
            "nodes.still.takes=",
            "1:1 LW0101 nothing stands after the equals sign in nodes.still.takes= | write ADDRESS=VALUE; the value None takes an optional field out",
        ),
        (
            "=5",
            "1:1 LW0101 nothing stands before the equals sign in =5 | write ADDRESS=VALUE; the value None takes an optional field out",
        ),
        (
            "nodes.stil.takes=x",
            "1:1 LW0501 no address nodes.stil.takes: no stil.takes in nodes | did you mean nodes.still.takes?",
        ),
        (
            "nodes.still no. 2.unit.mass=5 kgs",
            "1:29 LW0202 nodes.still no. 2.unit.mass: unknown unit \"kgs\" for a mass | did you mean kg?",
        ),
        (
            "nodes.still no. 2.unit.mass=5",
            "1:29 LW0201 nodes.still no. 2.unit.mass: expected a mass such as \"62 kg\", found the number 5 without a unit | write it with its unit: \"5 kg\"",
        ),
        (
            "nodes.still no. 2.unit.mas=5 kg",
            "1:1 LW0103 nodes.still no. 2.unit: Unit has no field mas | fields of Unit: mass, capacity, power, availability, spares",
        ),
        (
            "nodes.still.count=UpTo(",
            "1:23 LW0101 the text ends before this ( is closed | write ) where it ends",
        ),
        (
            "nodes.new=Junction",
            "1:1 LW0501 no address nodes.new: no new in nodes | there are: still, still no. 2, out",
        ),
    ] {
        let (_, complaints) = set(&[setting]);
        assert_eq!(complaints, [expected], "{setting}");
    }
}

#[test]
fn the_entries_of_a_variant_are_settings_too() {
    let text = r#"{"count": "UpTo(7)", "takes": "two words", "share": 0.5}"#;
    let mut sources = Sources::new();
    let id = sources.add("variant", text);
    let Value {
        shape: super::super::Shape::Map(entries),
        ..
    } = parse(id, text).unwrap()
    else {
        panic!("a map");
    };
    let quotes: Vec<String> = entries
        .iter()
        .map(|(key, value)| {
            let name = Named::new(key.text().unwrap(), key.place);
            let setting = Setting::from_value(name, value).unwrap();
            format!(
                "{} {}",
                setting.value.described(),
                sources.quote(setting.value.place)
            )
        })
        .collect();
    assert_eq!(
        quotes,
        [
            "UpTo(...) UpTo(7)",
            "the text \"two words\" two words",
            "the number 0.5 0.5"
        ]
    );
}

#[test]
fn a_number_is_put_in_the_unit_of_the_file() {
    let mut tree = parse(crate::diagnostic::SourceId(0), TEXT).unwrap();
    tree.set_number("nodes.still.count", 4.0, Dimension::Whole)
        .unwrap();
    tree.set_number("nodes.out.way.per_flight", 1234.5, Dimension::Mass)
        .unwrap();
    let mut reading = Reading::new();
    let read = Loop::read(&tree, &mut reading).unwrap();
    assert_eq!(
        read.nodes.get("out"),
        Some(&Kind::Outlet(Outlet {
            way: Way::Removed {
                per_flight: Kilograms(1234.5)
            }
        }))
    );
    let Some(Kind::Still(still)) = read.nodes.get("still") else {
        panic!("{read:?}");
    };
    assert_eq!(still.count, Count::UpTo(4));
}
