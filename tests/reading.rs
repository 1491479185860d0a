//! Reading for everyone: the same design written as other editors and other
//! people write it, single mistakes in a long design, and files of any size.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;

use std::fmt::Write;
use std::time::{Duration, Instant};

use common::{CLASSROOM, OUTPOST, run, run_with};
use designs_read::{path, read, text};
use loopwright::diagnostic::{Diagnostic, Sources, render_text};

/// Everything that is complained about in a text.
fn complaints(text: &str) -> (Vec<Diagnostic>, Sources) {
    let reading = read("design.ron", text, None, &[]);
    let found = match reading.checked() {
        Ok(checked) => checked.warnings,
        Err(complaints) => complaints,
    };
    (found, reading.sources)
}

#[test]
fn marks_tabs_line_ends_and_trailing_commas_change_nothing() {
    let plain = text(&path(CLASSROOM));
    let wanted = run(&["solve", CLASSROOM]);
    for (what, changed) in [
        ("a byte-order mark", format!("\u{feff}{plain}")),
        ("tabs", plain.replace("    ", "\t")),
        ("Windows line ends", plain.replace('\n', "\r\n")),
        (
            "a mark and Windows line ends",
            format!("\u{feff}{}", plain.replace('\n', "\r\n")),
        ),
        ("no line end at the end", plain.trim_end().to_owned()),
        (
            "trailing commas",
            plain
                .replace("]],\n", ",],],\n")
                .replace("]]]", "],],]")
                .replace(",,", ","),
        ),
        ("one line", without_comments(&plain)),
        ("exponents for numbers", plain.replace("0.97", "97e-2")),
    ] {
        assert_ne!(changed, plain, "{what}");
        let told = run_with(&["solve", "-"], &changed);
        assert_eq!((told.code, told.err.as_str()), (0, ""), "{what}");
        assert_eq!(told.out, wanted.out, "{what}");
    }
}

fn without_comments(text: &str) -> String {
    let lines = text.lines().map(|line| line.split("//").next().unwrap());
    lines.collect::<Vec<_>>().join(" ")
}

#[test]
fn names_may_be_in_any_script() {
    let plain = text(&path(CLASSROOM));
    let (names, others) = (
        [
            "\"filter\"",
            "\"rinse\"",
            "\"cabin\"",
            "\"water cargo\"",
            "\"stay\"",
        ],
        [
            "\"浄水器\"",
            "\"Spülwasser\"",
            "\"كابينة\"",
            "\"груз: вода (1.5)\"",
            "\"séjour 🛰\"",
        ],
    );
    let renamed = names
        .iter()
        .zip(others)
        .fold(plain, |text, (from, to)| text.replace(from, to));
    let told = run_with(&["solve", "-"], &renamed);
    assert_eq!((told.code, told.err.as_str()), (0, ""));
    for name in others {
        assert!(
            told.out.contains(name.trim_matches('"')),
            "{name}: {}",
            told.out
        );
    }
    let broken = renamed.replace("capacity: \"4.4 kg/d\"", "capacity: \"4.4 kg\"");
    let told = run_with(&["check", "-"], &broken);
    assert_eq!(told.code, 2);
    assert!(
        told.err
            .contains("nodes.浄水器.unit.capacity: expected a mass flow"),
        "{}",
        told.err
    );
    let named = run_with(
        &[
            "check",
            "-",
            "--set",
            "nodes.груз: вода (1.5).container.tare=2 kg",
        ],
        &renamed,
    );
    assert_eq!((named.code, named.err.as_str()), (0, ""));
}

/// A single mistake in the outpost: what was right, what is wrong, the code,
/// and what the message says that mends it.
const SLIPS: &[(&str, &str, &str, &str)] = &[
    (
        "availability: 0.96",
        "availabilty: 0.96",
        "LW0103",
        "did you mean availability?",
    ),
    (
        "mass: \"137 kg\"",
        "mass: \"137 kW\"",
        "LW0203",
        "units for mass: kg, g, t",
    ),
    (
        "capacity: \"13 kg/d\"",
        "capacity: \"13 kg/day\"",
        "LW0202",
        "did you mean kg/d?",
    ),
    (
        "mtbf: \"14000 h\"",
        "mtbf: \"14000\"",
        "LW0201",
        "write it with its unit: \"14000 h\"",
    ),
    (
        "        \"urine\":          [[\"crew\", [\"drum still\", \"membrane still\", \"stowage\"]]],\n",
        "",
        "LW0404",
        "add a way that starts here: \"urine\": [[\"crew\", ...]]",
    ),
    (
        "        \"food\":           [[\"food cargo\", \"crew\"]],\n",
        "",
        "LW0405",
        "add a way that ends here: \"food\": [[..., \"crew\"]]",
    ),
    (
        "        \"nitrogen\":       [[\"nitrogen cargo\", \"cabin\"]],\n",
        "",
        "LW0405",
        "add a stream of it that ends in or passes \"cabin\"",
    ),
    (
        "[[\"hand washing\", \"laundry\"], [\"grey water filter\"",
        "[[\"hand washing\", \"laundry\"], [\"gray water filter\"",
        "LW0401",
        "did you mean \"grey water filter\"?",
    ),
    (
        "        \"distillate\":     [[",
        "        \"destillate\":     [[",
        "LW0302",
        "did you mean \"distillate\"?",
    ),
    (
        "\"nitrogen\": \"0.09 kg/d\"}),",
        "\"nitrogen\": \"0.09 kg/d\"})",
        "LW0101",
        "write a comma at the end of that line",
    ),
    (
        "mass: \"121 kg\", volume",
        "mass: \"121 kg\" volume",
        "LW0101",
        "write a comma before volume",
    ),
    (
        "count: Between(1, 3)),",
        "count: Between(1, 3),",
        "LW0101",
        "write ) where it ends, before this",
    ),
    (
        "\"brine dryer\"], \"cabin\", \"condenser\"]],",
        "\"brine dryer\"], \"cabin\", \"condenser\"],",
        "LW0101",
        "close the list with ] before this key",
    ),
    (
        "\"still brine\": 0.16}},",
        "\"still brine\": 0.16},",
        "LW0101",
        "close { with }",
    ),
    (
        "\"cabin\": Cabin(",
        "\"cabin: Cabin(",
        "LW0112",
        "close the name with a quote before its colon",
    ),
    (
        "\"oxygen\", packaging: 0.42",
        "\"oxygen\"; packaging: 0.42",
        "LW0101",
        "separate values with commas",
    ),
    (
        "count: UpTo(3)),\n        \"mineraliser\"",
        "count: 3),\n        \"mineraliser\"",
        "LW0107",
        "write one of: Exactly(2), UpTo(2), Between(1, 2), Installed(2)",
    ),
    (
        "count: Between(1, 3)",
        "count: Between(3, 1)",
        "LW0306",
        "write the smaller number first: Between(1, 3)",
    ),
    ("crew: 4,", "crew: 4.0,", "LW0209", "write 4"),
    (
        "mass: \"137 kg\"",
        "mass: \"-137 kg\"",
        "LW0207",
        "write 0 or more",
    ),
    (
        "availability: 0.96",
        "availability: 96",
        "LW0207",
        "if 96 % is meant, 0.96",
    ),
    (
        "availability: 0.96",
        "availability: 96 %",
        "LW0206",
        "write 0.96",
    ),
    ("conversion: 0.8", "conversion: 0,8", "LW0204", "write 0.8"),
    (
        "\"still brine\": 0.16}}",
        "\"still brine\": 0.26}}",
        "LW0303",
        "take 0.1 away",
    ),
    (
        "\"CO2 + 4 H2 -> CH4 + 2 H2O\"",
        "\"CO2 + 3 H2 -> CH4 + 2 H2O\"",
        "LW0313",
        "H: 6 on the left, 8 on the right",
    ),
    (
        "from: \"operations\"),\n        \"pyrolyser\"",
        "from: \"operation\"),\n        \"pyrolyser\"",
        "LW0502",
        "did you mean \"operations\"?",
    ),
    (
        "profile: \"2022\"",
        "profile: 2022",
        "LW0107",
        "write it in quotes: \"2022\"",
    ),
    (
        "[[\"food cargo\", \"crew\"]]",
        "[\"food cargo\", \"crew\"]",
        "LW0107",
        "write one more pair of square brackets",
    ),
    (
        "way: Overboard",
        "way: \"Overboard\"",
        "LW0112",
        "without quotes",
    ),
    (
        "Reactor(reaction: \"2 CH4",
        "Reacter(reaction: \"2 CH4",
        "LW0301",
        "did you mean Reactor?",
    ),
    (
        "limits: Limits(power: \"5.2 kW\"",
        "limits: Limits(power: 5.2",
        "LW0201",
        "write it with its unit",
    ),
    (
        "reference: \"resupply only\"",
        "reference: \"resuply only\"",
        "LW0508",
        "did you mean \"resupply only\"?",
    ),
];

#[test]
fn the_message_of_a_single_slip_says_how_to_mend_it() {
    let outpost = text(&path(OUTPOST));
    let mut faults = Vec::new();
    for (right, wrong, code, mending) in SLIPS {
        assert!(outpost.contains(right), "the outpost has no {right}");
        let (found, sources) = complaints(&outpost.replacen(right, wrong, 1));
        let errors: Vec<&Diagnostic> = found.iter().filter(|one| one.is_error()).collect();
        let said = render_text(&found, &sources, false);
        if errors.len() != 1 || errors[0].code.0 != *code || !said.contains(mending) {
            faults.push(format!("{wrong}: wanted {code}, {mending}\n{said}"));
            continue;
        }
        // Where it points is the line of the slip, or the one before or after it.
        let line = 1 + outpost.split(right).next().unwrap().matches('\n').count();
        let (place, _) = errors[0].primary.as_ref().unwrap();
        let told = sources.line_column(*place).0;
        let about = [*place]
            .into_iter()
            .chain(errors[0].further.iter().map(|(place, _)| *place));
        let near = about
            .map(|place| sources.line_column(place).0.abs_diff(line))
            .min()
            .unwrap();
        if near > 3 && !wrong.is_empty() {
            faults.push(format!("{wrong}: line {line}, told {told}\n{said}"));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn all_slips_that_leave_the_file_well_formed_are_told_in_one_run() {
    let outpost = text(&path(OUTPOST));
    let slips = [
        ("availability: 0.96", "availabilty: 0.96"),
        ("mass: \"121 kg\"", "mass: \"121 kW\""),
        ("count: Between(1, 3)", "count: Betwen(1, 3)"),
        ("crew: 4,", "crew: 4.5,"),
        ("mtbf: \"31000 h\"", "mtbf: 31000"),
        ("way: Overboard", "way: Overbord"),
        ("[[\"crew\", [\"drum still\"", "[[\"crew\", [\"drum stil\""),
        ("\"one-way canisters\"]]", "\"one-way canister\"]]"),
        (
            "Variant(without: [\"cell stack\"",
            "Variant(without: [\"cell stak\"",
        ),
        (
            "{\"nodes.drum still.turns.urine.distillate\"",
            "{\"nodes.drum sill.turns.urine.distillate\"",
        ),
        (
            "reference: \"resupply only\"",
            "reference: \"resuply only\"",
        ),
    ];
    let broken = slips.iter().fold(outpost, |text, (right, wrong)| {
        text.replacen(right, wrong, 1)
    });
    let (found, sources) = complaints(&broken);
    assert_eq!(
        found.len(),
        slips.len(),
        "{}",
        render_text(&found, &sources, false)
    );
}

#[test]
fn no_message_names_what_only_a_programmer_knows() {
    let mut shown = 0;
    let folders = std::fs::read_dir(path("tests/kinds")).unwrap();
    let mut designs: Vec<_> = folders
        .flat_map(|folder| designs_read::files(&folder.unwrap().path(), ".ron"))
        .filter(|file| designs_read::name(file).starts_with("bad_"))
        .collect();
    designs.extend(designs_read::files(&path("tests/bad"), ".ron"));
    for file in designs {
        let (found, sources) = complaints(&text(&file));
        for one in &found {
            let said = render_text(std::slice::from_ref(one), &sources, false);
            let words = format!("{} {}", one.headline, one.help.as_deref().unwrap_or(""));
            for inner in [
                "::",
                "f64",
                "u32",
                "usize",
                "Option<",
                "Vec<",
                "Entries",
                "WithLitres",
                "Placed",
                "Named",
                "RawValue",
                "NaN != ",
                "invalid",
                "Invalid",
                "unwrap",
                "enum",
                "struct",
            ] {
                assert!(
                    !words.contains(inner),
                    "{}: {inner}\n{said}",
                    file.display()
                );
            }
            assert!(one.primary.is_some(), "no place: {said}");
            assert!(
                one.help.as_ref().is_some_and(|help| help.len() > 4),
                "no next act: {said}"
            );
            assert!(one.headline.len() > 10, "too short: {said}");
            assert!(
                !words.contains(": \u{20}") && !words.trim_end().ends_with(':'),
                "{said}"
            );
            shown += 1;
        }
    }
    assert!(shown >= 120, "{shown} messages");
}

#[test]
fn huge_and_deep_files_end_soon() {
    let mut nodes = String::new();
    let mut ways = String::new();
    for number in 0..20_000 {
        let _ = writeln!(
            nodes,
            "\"washing {number}\": Consumer(takes: {{\"potable water\": \"1 kg\"}}, gives: {{\"grey water\": 1.0}}),"
        );
        let _ = write!(ways, "\"washing {number}\", ");
    }
    let huge = format!(
        "Design(format: 1, title: \"Huge\", mission: Mission(phases: [Phase(name: \"stay\", length: \"1 d\", crew: 1)]),
        nodes: {{ {nodes} \"water\": Cargo(gives: \"potable water\"), \"out\": Disposal(way: Overboard) }},
        streams: {{ \"potable water\": [[\"water\", [{ways}]]], \"grey water\": [[[{ways}], \"out\"]] }})"
    );
    let start = Instant::now();
    let (found, sources) = complaints(&huge);
    assert!(found.is_empty(), "{}", render_text(&found, &sources, false));
    assert!(
        start.elapsed() < Duration::from_secs(60),
        "{:?}",
        start.elapsed()
    );
    for deep in ["(", "[", "{", "Some(", "{\"a\":", "Design(nodes:{\"a\":"] {
        let start = Instant::now();
        let (found, _) = complaints(&deep.repeat(200_000));
        assert!(!found.is_empty(), "{deep}");
        assert!(
            start.elapsed() < Duration::from_secs(20),
            "{deep}: {:?}",
            start.elapsed()
        );
    }
}
