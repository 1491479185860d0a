//! What a target does with an input. A panic is a finding, and so is an internal
//! fault: whatever is written, it is the design that is at fault or nothing. Each
//! says whether the input got to its end.

// Each target uses a part of it.
#![allow(dead_code)]
#![allow(clippy::panic, reason = "a panic is how a target reports")]

#[path = "worsened.rs"]
pub mod worsened;

use std::hint::black_box;
use std::time::Duration;

use loopwright::design::{self, Design, Edits};
use loopwright::diagnostic::{Diagnostic, Sources, render_json, render_text};
use loopwright::network::{self, Network};
use loopwright::quantity::{self, Dimension};
use loopwright::report::{self, Findings, Origin};
use loopwright::solve::Options;
use loopwright::{Hints, Planned, Refusal, plan};

/// A target and its name.
type Target = (&'static str, fn(&[u8]) -> bool);

/// Every target.
pub const TARGETS: [Target; 5] = [
    ("reader", reader),
    ("quantities", quantities),
    ("addresses", addresses),
    ("check", check),
    ("solve", solve),
];

/// Reads a text as a design, as a catalogue and for what it uses.
pub fn reader(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let mut sources = Sources::new();
    let source = sources.add("design.ron", text.as_ref());
    black_box(design::uses(&sources, source));
    let reads = shown(&sources, read(&sources, source, &[]).map(|_| ()));
    let edits = Edits {
        catalogues: vec![source],
        ..Edits::default()
    };
    let empty = sources.add("empty.ron", "Design(format: 1)");
    shown(&sources, design::read(&sources, empty, &edits).map(|_| ()));
    reads
}

/// Reads a quantity in every dimension; what is read is shown, and written so that
/// it reads again as the same number.
pub fn quantities(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let mut reads = false;
    for dimension in Dimension::ALL {
        match quantity::parse(&text, dimension) {
            Ok(value) => {
                reads = true;
                assert!(value.is_finite(), "{text:?} as {dimension:?} is {value}");
                black_box(quantity::shown(value, dimension));
                let written = quantity::written(value, dimension);
                let again = quantity::parse(&written, dimension);
                assert!(
                    again.as_ref().is_ok_and(|again| near(*again, value)),
                    "{text:?} as {dimension:?} is {value}, written {written:?}, read {again:?}"
                );
            }
            Err(error) => {
                black_box(error.to_string());
            }
        }
    }
    let _ = black_box(quantity::number(&text));
    let _ = black_box(quantity::parse_water_mass(&text));
    let _ = black_box(quantity::parse_water_rate(&text));
    reads
}

/// Temperatures are shifted on reading, which costs a last digit.
fn near(left: f64, right: f64) -> bool {
    (left - right).abs() <= 1e-12 * left.abs().max(right.abs()).max(300.0)
}

/// Sets values in a design, one `ADDRESS=VALUE` a line.
pub fn addresses(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let mut sources = Sources::new();
    let source = sources.add("design.ron", include_str!("../../designs/growing-base.ron"));
    let settings: Vec<&str> = text.lines().take(4).collect();
    let settings: Vec<_> = settings
        .into_iter()
        .map(|line| sources.add("--set", line))
        .collect();
    let design = read(&sources, source, &settings);
    let checked = design.and_then(|design| network::check(&design).map(|_| ()));
    shown(&sources, checked)
}

/// Reads a design and checks it whole, also as each of its variants.
pub fn check(bytes: &[u8]) -> bool {
    let (sources, design) = design(bytes);
    let network = design.as_ref().map_err(Clone::clone);
    let network = network.and_then(|design| network::check(design).map(|_| ()));
    let checks = shown(&sources, network);
    let Ok(design) = design else { return false };
    for (name, _) in design.written.variants.iter().take(4) {
        let variant = design.as_variant(&name.text);
        shown(
            &sources,
            variant.and_then(|variant| network::check(&variant).map(|_| ())),
        );
    }
    checks
}

/// Solves a small design and renders every page of it.
pub fn solve(bytes: &[u8]) -> bool {
    let (sources, design) = design(bytes);
    let Ok(design) = design else { return false };
    let Ok(checked) = network::check(&design) else {
        return false;
    };
    if !is_small(&checked.network) {
        return false;
    }
    let options = Options {
        time_limit: Some(Duration::from_secs(1)),
        ..Options::default()
    };
    match plan(&design, &Hints::from(options)) {
        Ok(Planned::Plan(plan)) => {
            let findings = Findings {
                plan: &plan,
                origin: &Origin::default(),
                timings: None,
            };
            let page = report::solved(&findings);
            let page = page.unwrap_or_else(|words| panic!("no page: {words:?}"));
            black_box(report::render_text(&page));
            black_box(report::render_markdown(&page));
            black_box(report::render_json(&page));
            let _ = black_box(report::render_csv(&page));
        }
        Ok(Planned::NoBalance(why)) => {
            let causes = why.causes.into_iter().map(|cause| cause.diagnostic);
            shown(&sources, Err(causes.collect()));
        }
        Ok(Planned::Unknown { .. }) => {}
        Err(Refusal::Design(complaints)) => {
            shown(&sources, Err(complaints));
        }
        Err(Refusal::Failure(failure)) => panic!("internal fault: {failure}"),
    }
    true
}

/// Small enough that a second should do for each of its few solves.
fn is_small(network: &Network) -> bool {
    let hardware = network
        .nodes()
        .map(|node| network.duties(node))
        .filter(|duties| duties.hardware.is_some());
    let units: u32 = hardware.map(|duties| duties.count.upper).sum();
    network.nodes().count() <= 40
        && network.calendar.flights.len() <= 8
        && network.calendar.phases.len() <= 6
        && units <= 60
}

fn design(bytes: &[u8]) -> (Sources, Result<Design, Vec<Diagnostic>>) {
    let mut sources = Sources::new();
    let source = sources.add("design.ron", worsened::design_of(bytes));
    let design = read(&sources, source, &[]);
    (sources, design)
}

fn read(
    sources: &Sources,
    source: loopwright::diagnostic::SourceId,
    settings: &[loopwright::diagnostic::SourceId],
) -> Result<Design, Vec<Diagnostic>> {
    let edits = Edits {
        settings: settings.to_vec(),
        ..Edits::default()
    };
    design::read(sources, source, &edits)
}

/// What a person would see of complaints; whether there are none.
fn shown(sources: &Sources, result: Result<(), Vec<Diagnostic>>) -> bool {
    let fine = result.is_ok();
    if let Err(complaints) = result {
        assert!(!complaints.is_empty(), "refused without a word");
        black_box(render_text(&complaints, sources, true));
        black_box(render_json(&complaints, sources));
    }
    fine
}
