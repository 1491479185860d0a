//! Texts that are not well-formed: one complaint, at the right place, in words
//! that a person can act on.

use super::*;
use crate::written::{Shape, Value};
use proptest::prelude::*;

#[test]
fn each_mistake_has_its_own_message() {
    for (text, expected) in [
        (
            "",
            "1:1 LW0101 the text is empty | a design begins with Design(",
        ),
        (
            "  // only\n",
            "1:1 LW0101 the text is empty | a design begins with Design(",
        ),
        (
            "Unit(mass: 62 kg, x: 1)",
            "1:12 LW0112 a quantity with its unit stands in quotes | write \"62 kg\"",
        ),
        (
            "Unit(a: 5.5 kWh/kg) // so",
            "1:9 LW0112 a quantity with its unit stands in quotes | write \"5.5 kWh/kg\"",
        ),
        (
            "Unit(\n    a: 23 °C,\n)",
            "2:8 LW0112 a quantity with its unit stands in quotes | write \"23 °C\"",
        ),
        (
            "Unit(a: 9 /wk)",
            "1:9 LW0112 a quantity with its unit stands in quotes | write \"9 /wk\"",
        ),
        (
            "Unit(mass = \"62 kg\")",
            "1:11 LW0101 found = where a colon belongs | write name: value",
        ),
        (
            "{\"a\" = 1}",
            "1:6 LW0101 found = where a colon belongs | write name: value",
        ),
        (
            "Unit(a: 95%)",
            "1:9 LW0206 found a percentage, 95%; shares are written as fractions | write 0.95",
        ),
        (
            "Unit(a: 1/2)",
            "1:9 LW0206 found a division; a design states its result | write 0.5",
        ),
        (
            "Unit(a: 3 / 4, b: 1)",
            "1:9 LW0206 found a division; a design states its result | write 0.75",
        ),
        (
            "{urine still: 1}",
            "1:2 LW0112 a name stands in quotes | write \"urine still\"",
        ),
        (
            "Unit(a: urine still)",
            "1:9 LW0112 a name stands in quotes | write \"urine still\"",
        ),
        (
            "Unit(a: 1 b: 2)",
            "1:11 LW0101 expected a comma after 1, found b | write a comma before b",
        ),
        (
            "Unit(a: x b: 2)",
            "1:11 LW0101 expected a comma after x, found b | write a comma before b",
        ),
        (
            "[\"a\" \"b\"]",
            "1:6 LW0101 expected a comma after the value before, found a text | write a comma before a text",
        ),
        (
            "Unit(a: 1; b: 2)",
            "1:10 LW0101 found ; where a comma belongs | separate values with commas",
        ),
        (
            "Unit(a: 'x')",
            "1:9 LW0112 a text stands in double quotes, not in single ones | write it in double quotes: \"...\"",
        ),
        (
            "Unit(a: 'ab')",
            "1:9 LW0112 a text stands in double quotes, not in single ones | write it in double quotes: \"...\"",
        ),
        (
            "Unit(a: “x”)",
            "1:9 LW0112 texts stand in straight double quotes | write \"...\"",
        ),
        (
            "Unit(a: \"x)",
            "1:9 LW0101 a text in quotes is never closed | write \" where it ends",
        ),
        (
            "Unit(a: \"x\\q\")",
            "1:10 LW0101 a backslash in a text begins an escape that is not known | write a backslash as \\\\, or / if it is a path",
        ),
        (
            "Unit(a: \"x, b: \"y\")",
            "1:17 LW0112 a text is followed by y; is a quote missing or one too many? | look for the quote that opens or closes this text",
        ),
        (
            "Unit(a: [1, 2)",
            "1:14 LW0101 found ) where ] is expected | close [ with ]",
        ),
        (
            "Unit(\n  a: Unit(b: 1,\n  c: 2,\n",
            "2:10 LW0101 the text ends before this ( is closed | write ) where it ends",
        ),
        (
            "Unit(a: 1))",
            "1:11 LW0101 this ) closes nothing | take it out, or look for a bracket closed too early",
        ),
        (
            "Unit(a: 1) extra",
            "1:12 LW0101 found extra after the end of the value | take out what follows, or look for a bracket closed too early",
        ),
        (
            "Unit(a: 1,, b: 2)",
            "1:11 LW0101 found a comma with nothing before it | take the comma out",
        ),
        (
            "Unit(a: , b: 2)",
            "1:9 LW0101 a value is missing after the colon | add the value, or take the name out",
        ),
        (
            "Unit(a: )",
            "1:9 LW0101 a value is missing after the colon | add the value, or take the name out",
        ),
        (
            "/* open",
            "1:1 LW0101 a comment that begins with /* is never closed | write */ where it ends",
        ),
        (
            "Unit(\"a\": 1)",
            "1:9 LW0112 names of fields in parentheses stand without quotes | write field: value; only maps in braces have keys in quotes",
        ),
        (
            "[\"a\": 1]",
            "1:5 LW0101 a list in square brackets has no keys | close the list with ] before this key, or write a map in braces: {\"key\": value}",
        ),
        (
            "Unit(a 1)",
            "1:8 LW0101 expected a colon after a, found 1 | write a: value",
        ),
        (
            "{\"a\" 1}",
            "1:6 LW0101 expected a colon after the key, found 1 | write key: value",
        ),
        (
            "Unit(a: 1, 2)",
            "1:12 LW0101 expected the name of a field, found 2 | write field: value",
        ),
        (
            "Unit(a: 1,5)",
            "1:9 LW0204 a number has a point before its decimals, not a comma | write 1.5",
        ),
        (
            "Unit(my field: 1)",
            "1:6 LW0101 a field name is one word | join its words with _, as in my_field",
        ),
        (
            "Unit(my-field: 1)",
            "1:6 LW0101 a field name has no hyphen | hyphens become _; other names stand in quotes",
        ),
        (
            "Unit{a: 1}",
            "1:5 LW0101 Unit opens with parentheses, found { | write Unit(...)",
        ),
        (
            "Unit(a:: 1)",
            "1:8 LW0101 found a second colon | take one colon out",
        ),
        (
            "Unit(a: 1.2.3)",
            "1:9 LW0204 1.2.3 cannot be read as a number | write a number such as 12, 0.95 or 2e-3",
        ),
        (
            "#![enable(foo)]\nUnit(a: 1)",
            "1:11 LW0101 there is no RON extension foo | leave the #![enable(...)] line out; a design needs none",
        ),
        (
            "Unit(a: 1..2)",
            "1:9 LW0101 a range has no meaning in a design | write one number",
        ),
        (
            "Unit(a: b\"x\")",
            "1:9 LW0101 a byte text has no meaning in a design | write a plain text: \"...\"",
        ),
        (
            "@",
            "1:1 LW0101 expected a value, found @ | a value is a number, a text in quotes, a word, or stands in brackets",
        ),
    ] {
        assert_eq!(complaints::<Outlet>(text), [expected], "{text}");
    }
}

#[test]
fn a_byte_order_mark_moves_no_place() {
    let text = "\u{feff}Outlet(ways: Overboard)";
    assert_eq!(
        complaints::<Outlet>(text),
        ["1:8 LW0103 Outlet has no field ways | did you mean way? fields of Outlet: way"]
    );
    assert_eq!(
        complaints::<Outlet>("\u{feff}Outlet(way = 1)"),
        ["1:12 LW0101 found = where a colon belongs | write name: value"]
    );
}

#[test]
fn extensions_at_the_top_change_nothing() {
    let plain: Outlet = good("Outlet(way: Overboard)");
    let marked: Outlet = good(
        "#![enable(implicit_some, unwrap_newtypes)]\n#![enable(unwrap_variant_newtypes)]\nOutlet(way: Overboard)",
    );
    assert_eq!(plain, marked);
}

#[test]
fn deep_nesting_is_refused_and_wide_texts_are_read() {
    let deep = format!("{}{}", "[".repeat(5000), "]".repeat(5000));
    assert_eq!(
        complaints::<Outlet>(&deep),
        ["1:66 LW0102 brackets are nested too deep | take out the extra brackets"]
    );
    let entries: Vec<String> = (0..20_000)
        .map(|index| format!("    \"node {index}\": Outlet(way: Removed(per_flight: \"5 t\")),\n"))
        .collect();
    let wide = format!("Loop(nodes: {{\n{}}})", entries.concat());
    let (read, reading, _) = read::<Loop>(&wide);
    assert_eq!(read.unwrap().nodes.len(), 20_000);
    assert_eq!(
        reading.numbers.last().unwrap().address,
        "nodes.node 19999.way.per_flight"
    );
}

#[test]
fn every_value_knows_its_place() {
    let text = "Unit( // é\n  mass : /* m */ \"6\\\"2\" , list:[1 , r#\"raw\"#], map: { \"k\" : UpTo ( 2 ) },\n)";
    let mut sources = Sources::new();
    let id = sources.add("a", text);
    let tree = parse(id, text).unwrap();
    assert_eq!(sources.quote(tree.place), text);
    let Shape::Record { name, fields } = &tree.shape else {
        panic!("{tree:?}");
    };
    assert_eq!(sources.quote(name.as_ref().unwrap().place), "Unit");
    let quotes: Vec<(&str, &str)> = fields
        .iter()
        .map(|(name, value)| (sources.quote(name.place), sources.quote(value.place)))
        .collect();
    assert_eq!(
        quotes,
        [
            ("mass", "\"6\\\"2\""),
            ("list", "[1 , r#\"raw\"#]"),
            ("map", "{ \"k\" : UpTo ( 2 ) }"),
        ]
    );
    assert_eq!(tree.field("mass").unwrap().text(), Some("6\"2"));
    let Some(Value {
        shape: Shape::List(items),
        ..
    }) = tree.field("list")
    else {
        panic!("{tree:?}");
    };
    assert_eq!(items[1].text(), Some("raw"));
    assert_eq!(sources.line_column(items[1].place), (2, 37));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]

    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC*") {
        survives(&text);
    }

    #[test]
    fn no_heap_of_ron_makes_the_reader_panic(
        parts in prop::collection::vec(prop::sample::select(vec![
            "(", ")", "[", "]", "{", "}", ",", ":", "\"", "'", "\\", "//", "/*", "*/", "\n", " ",
            "Unit", "mass", "Some", "None", "Figure", "1", "0.5", "-", "e9", "%", "/", "=", "#",
            "r#", "b", "..", "_", "inf", "NaN", "°C", "³", "\"62 kg\"", "value: ", "spread: ", ";",
            "\u{feff}", "“",
        ]), 0..40),
    ) {
        survives(&parts.concat());
    }
}

/// Reading a text gives a value or a complaint that can be shown.
fn survives(text: &str) {
    let mut sources = Sources::new();
    let id = sources.add("a", text);
    match parse(id, text) {
        Ok(mut value) => {
            let mut reading = Reading::new();
            assert!(Loop::read(&value, &mut reading).is_some() || reading.has_errors());
            assert!(Vec::<Kilograms>::read(&value, &mut reading).is_some() || reading.has_errors());
            let _ = value.at(text);
            render_text(&reading.diagnostics, &sources, false);
        }
        Err(complaint) => {
            assert!(!render_text(&[complaint], &sources, true).is_empty());
        }
    }
}
