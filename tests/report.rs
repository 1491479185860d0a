//! The report: one file that needs nothing else, sound in its structure, with everything
//! that it promises.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;

use std::collections::BTreeSet;

use common::run;

/// Elements without an end tag (HTML Living Standard, "void elements").
const VOID: [&str; 14] = [
    "area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track",
    "wbr", "doctype",
];

fn report(words: &[&str]) -> String {
    let run = run(&[&["report"], words].concat());
    assert_eq!(run.code, 0, "{}", run.err);
    run.out
}

/// Every tag of a page: its name, whether it opens, its attributes as written.
fn tags(page: &str) -> Vec<(String, bool, &str)> {
    let mut found = Vec::new();
    let mut rest = page;
    while let Some(start) = rest.find('<') {
        let end = start + rest[start..].find('>').unwrap();
        let tag = &rest[start + 1..end];
        let (opens, tag) = match tag.strip_prefix('/') {
            Some(tag) => (false, tag),
            None => (true, tag),
        };
        let name_end = tag.find([' ', '/']).unwrap_or(tag.len());
        let name = tag[..name_end].trim_start_matches('!').to_lowercase();
        rest = &rest[end + 1..];
        // What stands in a style is no markup.
        if name == "style" && opens {
            rest = &rest[rest.find("</style>").unwrap()..];
        }
        found.push((name, opens, &tag[name_end..]));
    }
    found
}

/// Words of pictures keep clear of each other and stay on their sheets, in fonts as wide as
/// usual ones get.
fn expect_readable(page: &str, of: &str) -> usize {
    let mut pictures = 0;
    for picture in page.split("<svg ").skip(1) {
        let picture = &picture[..picture.find("</svg>").unwrap()];
        let number = |attributes: &str, name: &str| -> f64 {
            let value = attribute(attributes, name).unwrap();
            value.parse().unwrap_or_else(|_| panic!("{name}: {value}"))
        };
        let head = format!(" {}", &picture[..picture.find('>').unwrap()]);
        let [width, height] = ["width", "height"].map(|name| number(&head, name));
        let mut boxes: Vec<(String, [f64; 4])> = Vec::new();
        for text in picture.split("<text").skip(1) {
            let (attributes, rest) = text.split_once('>').unwrap();
            let words = &rest[..rest.find('<').unwrap()];
            let words = words
                .replace("&amp;", "&")
                .replace("&lt;", "<")
                .replace("&gt;", ">");
            let size = number(attributes, "font-size");
            let bold = attributes.contains("bold");
            let long = loopwright::report::drawing::text_width(&words, size, bold);
            let [x, y] = ["x", "y"].map(|name| number(attributes, name));
            let left = match attribute(attributes, "text-anchor") {
                Some("middle") => x - long / 2.0,
                Some("end") => x - long,
                _ => x,
            };
            // Capitals and digits reach up 0.73 of the size, tails down 0.21.
            let own = [left, y - 0.73 * size, left + long, y + 0.21 * size];
            let inside =
                own[0] >= -0.5 && own[1] >= -0.5 && own[2] <= width + 0.5 && own[3] <= height + 0.5;
            assert!(
                inside,
                "{of}: {words:?} at {own:?} leaves its sheet of {width} by {height}"
            );
            for (other, there) in &boxes {
                let apart = own[2] <= there[0]
                    || there[2] <= own[0]
                    || own[3] <= there[1]
                    || there[3] <= own[1];
                assert!(
                    apart,
                    "{of}: {words:?} {own:?} lies over {other:?} {there:?}"
                );
            }
            boxes.push((words, own));
        }
        assert!(!boxes.is_empty(), "{of}: a picture without a word");
        pictures += 1;
    }
    pictures
}

fn attribute<'a>(attributes: &'a str, name: &str) -> Option<&'a str> {
    let start = attributes.find(&format!(" {name}=\""))? + name.len() + 3;
    let value = &attributes[start..];
    Some(&value[..value.find('"')?])
}

/// Nothing that a browser would fetch, and every tag closed where it was opened.
fn expect_sound(page: &str) {
    let mut open: Vec<String> = Vec::new();
    let mut ids = BTreeSet::new();
    let mut links = Vec::new();
    let mut level = 0;
    for (name, opens, attributes) in tags(page) {
        assert!(
            name != "script" && name != "link" && name != "iframe",
            "{name}"
        );
        for reference in ["src", "srcset", "data", "poster", "action", "xlink:href"] {
            assert_eq!(attribute(attributes, reference), None, "{name}{attributes}");
        }
        if let Some(link) = attribute(attributes, "href") {
            assert!(link.starts_with('#'), "{name}{attributes}");
            links.push(link[1..].to_owned());
        }
        if let Some(labels) = attribute(attributes, "aria-labelledby") {
            links.extend(labels.split(' ').map(str::to_owned));
        }
        if let Some(id) = attribute(attributes, "id") {
            assert!(ids.insert(id.to_owned()), "twice: {id}");
        }
        if opens && name.len() == 2 && name.starts_with('h') && name != "hr" {
            let next: u32 = name[1..].parse().unwrap();
            assert!(next <= level + 1, "a heading {next} below {level}");
            level = next;
        }
        if VOID.contains(&name.as_str()) || attributes.ends_with('/') {
            continue;
        }
        match opens {
            true => open.push(name),
            false => assert_eq!(open.pop(), Some(name)),
        }
    }
    assert!(open.is_empty(), "{open:?}");
    for link in links {
        assert!(ids.contains(&link), "nothing is called {link}");
    }
    assert!(!page.contains("url(") && !page.contains("@import"));
    assert!(page.contains("<html lang=\"en\">"));
}

#[test]
fn a_report_has_everything_and_needs_nothing_else() {
    let page = report(&["designs/long-transit.ron"]);
    expect_sound(&page);
    assert!(expect_readable(&page, "report") >= 3);
    let order = [
        "<h1>",
        "<strong>Optimal: ",
        "Not for operations",
        ">The loop</h2>",
        ">The plan</h2>",
        ">Flight by flight</h2>",
        ">Day by day</h2>",
        ">Days of autonomy</h2>",
        ">Study: ",
        ">What stands behind it</h2>",
        ">Audit</h3>",
        ">Sources</h3>",
        ">Inputs as solved</h2>",
    ];
    let mut from = 0;
    for words in order {
        let at = page[from..].find(words);
        from += at.unwrap_or_else(|| panic!("no {words} in its place"));
    }
    // The usual caution once, the text as it was written, and every number of it.
    assert_eq!(page.matches("certification or safety decisions").count(), 1);
    let text = std::fs::read_to_string("designs/long-transit.ron").unwrap();
    let escaped = text.replace('&', "&amp;").replace('<', "&lt;");
    let escaped = escaped.replace('>', "&gt;").replace('"', "&quot;");
    assert!(page.contains(&escaped));
    let json: serde_json::Value =
        serde_json::from_str(&report(&["designs/long-transit.ron", "--format", "json"])).unwrap();
    let solved = run(&["solve", "designs/long-transit.ron", "--format", "json"]).json();
    assert_eq!(json["plan"]["launch_mass_kg"], solved["launch_mass_kg"]);
    let numbers = json["numbers"].as_object().unwrap();
    assert!(numbers.len() > 50);
    for address in numbers.keys() {
        assert!(page.contains(&format!(">{address}</th>")), "{address}");
    }
    assert!(!json["studies"].as_object().unwrap().is_empty());
}

#[test]
fn parts_are_chosen_and_changes_are_told() {
    let set = "mission.phases.stay.length=90 d";
    let page = report(&[
        "designs/classroom.ron",
        "--only",
        "manifest,inputs",
        "--set",
        set,
    ]);
    expect_sound(&page);
    assert!(page.contains(">Flight by flight</h2>"));
    for part in [">Day by day</h2>", ">Days of autonomy</h2>", ">Study: "] {
        assert!(!page.contains(part), "{part}");
    }
    assert!(page.contains(&format!("<li>set {set}</li>")));
    let row = "<th scope=\"row\">mission.phases.stay.length</th><td class=\"number\">90</td>";
    assert!(page.contains(row));
    let without = report(&[
        "designs/classroom.ron",
        "--without",
        "inputs",
        "--format",
        "markdown",
    ]);
    assert!(without.contains("# Day by day") && !without.contains("# Inputs as solved"));
}

#[test]
fn every_page_can_be_had_as_html() {
    let design = "designs/classroom.ron";
    let over = "mission.length = 30 .. 40 d";
    let crew = "mission.phases.stay.crew = 1 .. 3";
    let spread = "nodes.filter.unit.mass = Triangular(80 kg, 130 kg)";
    let outpost = "designs/ridge-outpost.ron";
    let late = "Late(flight: 1, by: \"45 d\")";
    let commands: [(&[&str], usize); 18] = [
        (&["solve", design], 1),
        (&["solve", outpost], 1),
        (&["check", design], 0),
        (&["manifest", outpost], 1),
        (&["timeline", design], 1),
        (&["timeline", outpost, "--fault", late], 2),
        (&["autonomy", design], 0),
        (&["prices", design], 0),
        (&["alternatives", design], 1),
        (&["compare", outpost], 1),
        (&["failures", outpost, "--missions", "100"], 0),
        (&["sensitivity", design, "--thresholds", "0"], 1),
        (
            &["uncertainty", design, "--draws", "40", "--spread", spread],
            1,
        ),
        (
            &[
                "frontier",
                "designs/long-transit.ron",
                "--against",
                "power",
                "--steps",
                "8",
            ],
            1,
        ),
        (
            &[
                "break-even",
                design,
                "--over",
                "mission.length = 30 .. 90 d",
            ],
            2,
        ),
        (&["sweep", design, "--over", over], 1),
        (&["sweep", design, "--over", over, "--over", crew], 1),
        (&["explain", design, "--item", "filter"], 0),
    ];
    for (words, pictures) in commands {
        let run = run(&[words, &["--format", "html"]].concat());
        assert_eq!(run.code, 0, "{words:?}: {}", run.err);
        expect_sound(&run.out);
        let found = expect_readable(&run.out, &words.join(" "));
        assert!(found >= pictures, "{words:?}: {found} pictures");
    }
}

#[test]
fn without_a_plan_the_report_says_why() {
    let run = run(&[
        "report",
        "designs/ridge-outpost.ron",
        "--set",
        "limits.power=1 W",
    ]);
    assert_eq!(run.code, 3, "{}", run.err);
    expect_sound(&run.out);
    assert!(run.out.contains("<strong>No balance: "), "{}", run.out);
}
