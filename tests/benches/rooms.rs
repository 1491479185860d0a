//! Where time goes, room by room: `cargo bench --bench rooms`, or with `-- solve` one of
//! them. Ready designs, then a family that grows in options, phases and flights.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a measurement that cannot go on stops"
)]

#[path = "../designs_read/mod.rs"]
mod designs_read;
#[path = "../family/mod.rs"]
mod family;

use std::fmt;
use std::process::Command;

use designs_read::{Reading, files, name, open, path, read, text};
use divan::Bencher;
use family::Member;
use loopwright::audit::audit;
use loopwright::network::{self, Network};
use loopwright::program::{Form, formulate};
use loopwright::quantity::Dimension;
use loopwright::solve::Options;
use loopwright::study::cell::Ground;
use loopwright::{Hints, Planned, plan_network};

fn main() {
    divan::main();
}

/// A design by its name.
#[derive(Clone)]
struct Named {
    name: String,
    text: String,
}

impl Named {
    /// Ready designs use files beside them.
    fn reading(&self) -> Reading {
        match self.name.ends_with(".ron") {
            true => open(&path("designs").join(&self.name), None),
            false => read(&self.name, &self.text, None, &[]),
        }
    }
}

impl fmt::Display for Named {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.name)
    }
}

/// Ready designs and the family up to 15 options.
fn designs() -> Vec<Named> {
    let ready = files(&path("designs"), ".ron")
        .into_iter()
        .map(|file| Named {
            name: name(&file),
            text: text(&file),
        });
    let members = [5, 10, 15]
        .into_iter()
        .flat_map(|options| [1, 2, 6].map(|phases| Member::new(options, phases, 1)));
    let members = members.map(|member| Named {
        name: member.name(),
        text: member.text(),
    });
    ready.chain(members).collect()
}

/// The same and one of a megabyte, which is read and checked but not solved.
fn designs_to_read() -> Vec<Named> {
    let large = Member {
        modules: 1200,
        ..Member::new(60, 2, 1)
    };
    let large = Named {
        name: large.name(),
        text: large.text(),
    };
    designs().into_iter().chain([large]).collect()
}

fn network(design: &Named) -> Network {
    design.reading().network()
}

fn hints() -> Hints {
    Hints {
        reference: false,
        ..Hints::default()
    }
}

#[divan::bench(args = designs_to_read())]
fn read_text(bencher: Bencher<'_, '_>, design: &Named) {
    bencher.bench(|| design.reading());
}

#[divan::bench(args = designs_to_read())]
fn check(bencher: Bencher<'_, '_>, design: &Named) {
    let reading = design.reading();
    let design = reading.design();
    bencher.bench(|| network::check(design).map(|checked| checked.network));
}

/// The whole process of `loopwright check`.
#[divan::bench(args = designs_to_read(), sample_count = 20, sample_size = 1)]
fn check_process(bencher: Bencher<'_, '_>, design: &Named) {
    let folder = tempfile::tempdir().unwrap();
    let file = match design.name.ends_with(".ron") {
        true => path("designs").join(&design.name),
        false => folder.path().join("design.ron"),
    };
    if !design.name.ends_with(".ron") {
        std::fs::write(&file, &design.text).unwrap();
    }
    bencher.bench(|| {
        let check = Command::new(env!("CARGO_BIN_EXE_loopwright"))
            .arg("check")
            .arg(&file)
            .output();
        assert!(check.unwrap().status.success());
    });
}

#[divan::bench(args = designs())]
fn build(bencher: Bencher<'_, '_>, design: &Named) {
    let network = network(design);
    bencher.bench(|| formulate(&network, Form::PerFlight));
}

#[divan::bench(args = designs(), sample_count = 5, sample_size = 1)]
fn solve(bencher: Bencher<'_, '_>, design: &Named) {
    let (network, hints) = (network(design), hints());
    bencher.bench(|| plan_network(&network, &hints));
}

#[divan::bench(args = designs(), sample_count = 5)]
fn check_again(bencher: Bencher<'_, '_>, design: &Named) {
    let network = network(design);
    let Ok(Planned::Plan(plan)) = plan_network(&network, &hints()) else {
        return;
    };
    bencher.bench(|| audit(network.clone(), plan.answer().clone()));
}

/// One cell: a number of the design moved, and the whole solved again.
#[divan::bench(args = designs(), sample_count = 5, sample_size = 1)]
fn sweep_step(bencher: Bencher<'_, '_>, design: &Named) {
    let reading = design.reading();
    let options = Options::default();
    let ground = Ground::new(reading.design(), &options);
    let days: f64 = {
        let phases = reading.design().written.mission.phases.iter();
        phases.map(|phase| phase.length.value.0).sum()
    };
    let numbers = [("mission.length", 1.01 * days, Dimension::Time)];
    bencher.bench(|| ground.cell(&numbers, None));
}
