//! What must hold for every design: mass is neither made nor lost, more choice
//! is never heavier, more demand never lighter, and neither the order of a file
//! nor a second run changes anything.
//!
//! The designs are the ready ones, those worked by hand, and small random edits
//! of them. A failure prints the seed; `LOOPWRIGHT_SEEDS=100` tries more of them.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;
#[path = "properties/dice.rs"]
mod dice;
#[path = "properties/edits.rs"]
mod edits;
#[path = "properties/shuffle.rs"]
mod shuffle;

use std::path::{Path, PathBuf};

use common::READY;
use designs_read::balance::mass_in_is_mass_out;
use designs_read::{files, name, open, path, read, text};
use dice::Dice;
use loopwright::Planned;
use loopwright::answer::Status;
use loopwright::audit::Plan;
use loopwright::kinds::{Packing, Role, Stock, Way};
use loopwright::network::{Network, NodeId};

fn ready() -> Vec<PathBuf> {
    READY.iter().map(|file| path(file)).collect()
}

/// Designs in which, at the lower bounds of all counts, there is nothing to choose.
const NO_CHOICE: [&str; 5] = [
    "designs/classroom.ron",
    "tests/kinds/cabin/good.ron",
    "tests/kinds/cargo/good.ron",
    "tests/kinds/consumer/good.ron",
    "tests/kinds/crew/good.ron",
];

fn worked() -> Vec<PathBuf> {
    files(&path("tests/hand_worked"), ".ron")
}

fn seeds() -> std::ops::Range<u64> {
    let wanted = std::env::var("LOOPWRIGHT_SEEDS").ok();
    0..wanted.map_or(4, |number| number.parse().expect("a number"))
}

/// An edit of a design: the seed, and the network after it.
fn edited(file: &Path) -> impl Iterator<Item = (String, Network)> + use<> {
    let network = open(file, None).network();
    let file = name(file);
    seeds().map(move |seed| {
        let mut network = network.clone();
        if seed > 0 {
            edits::small(&mut network, &mut Dice::new(seed));
        }
        (format!("{file}, seed {seed}"), network)
    })
}

/// The proved answer, or none where nothing balances.
fn plan(network: &Network, what: &str) -> Option<Plan> {
    match loopwright::plan_network(network, &Default::default()) {
        Ok(Planned::Plan(plan)) => {
            assert_eq!(plan.answer().proof.status, Status::Optimal, "{what}");
            Some(*plan)
        }
        Ok(Planned::NoBalance(_)) => None,
        other => panic!("{what}: {other:?}"),
    }
}

/// What was minimised, kg; endless where nothing balances.
fn mass(network: &Network, what: &str) -> f64 {
    plan(network, what).map_or(f64::INFINITY, |plan| plan.answer().minimised_kg())
}

/// Proved to 1e-9 each, two masses may differ by twice that.
fn not_above(lighter: f64, heavier: f64) -> bool {
    lighter <= heavier + 1e-6 + 2e-9 * heavier.abs()
}

#[test]
fn nothing_is_made_or_lost() {
    let mut plans = 0;
    let mut tried = 0;
    for file in ready().iter().chain(&worked()) {
        for (what, network) in edited(file) {
            tried += 1;
            let Some(plan) = plan(&network, &what) else {
                continue;
            };
            plans += 1;
            if let Err(words) = mass_in_is_mass_out(&network, &plan) {
                panic!("{what}: {words}");
            }
        }
    }
    assert!(plans * 2 > tried, "{plans} of {tried} edits have a balance");
}

#[test]
fn more_choice_is_never_heavier() {
    let mut lighter = 0;
    for file in ready().iter().chain(&worked()) {
        for (what, network) in edited(file) {
            let before = mass(&network, &what);
            for (more, wider) in edits::wider(&network, &mut Dice::new(what.len() as u64)) {
                let after = mass(&wider, &format!("{what}, {more}"));
                assert!(
                    not_above(after, before),
                    "{what}: {before} kg, and {after} kg with {more}"
                );
                lighter += usize::from(after < before - 0.1);
            }
        }
    }
    assert!(lighter > 10, "only {lighter} wider choices were used");
}

#[test]
fn more_demand_is_never_lighter() {
    let mut raised = 0;
    for file in ready().iter().chain(&worked()) {
        for (what, network) in edited(file) {
            if has_turndown(&network) {
                continue;
            }
            let before = mass(&network, &what);
            for node in network
                .nodes()
                .filter(|&node| only_feeds_outlets(&network, node))
            {
                let mut hungrier = network.clone();
                edits::scale_demand(&mut hungrier, node, 1.1);
                let what = format!("{what}, more for {}", network.name(node));
                let after = mass(&hungrier, &what);
                assert!(
                    not_above(before, after),
                    "{what}: {before} kg before, {after} kg after"
                );
                raised += usize::from(after > before + 0.1);
            }
        }
    }
    assert!(raised > 50, "only {raised} raised demands weigh more");
}

fn has_turndown(network: &Network) -> bool {
    let mut units = network
        .nodes()
        .filter_map(|node| network.duties(node).hardware.as_ref());
    units.any(|unit| unit.turndown.is_some())
}

/// A consumer from whose returns nothing can be recovered, or whose returns may all
/// go overboard as well. (One whose returns are scarce elsewhere could make a loop
/// lighter: people breathe out what a methanator wants.)
fn only_feeds_outlets(network: &Network, node: NodeId) -> bool {
    let duties = network.duties(node);
    let overboard = |node: NodeId| {
        let mut activities = network.duties(node).activities.iter();
        activities.any(|activity| activity.role == Role::Leave(Way::Overboard))
    };
    let uses = duties
        .activities
        .iter()
        .any(|activity| activity.role == Role::Use && activity.conserves);
    let mut gives = duties
        .activities
        .iter()
        .flat_map(|activity| &activity.gives);
    uses && gives.all(|portion| {
        let streams = network.outflows(node, portion.substance);
        streams
            .into_iter()
            .all(|stream| overboard(network.ends(stream).1))
    })
}

#[test]
fn the_order_of_a_file_changes_no_mass() {
    for file in ready().iter().chain(&worked()) {
        let original = text(file);
        if original.contains("uses:") {
            continue;
        }
        let before = mass(&open(file, None).network(), &name(file));
        for seed in seeds().skip(1) {
            let shuffled = shuffle::nodes_and_streams(&original, &mut Dice::new(seed));
            assert_ne!(shuffled, original, "{}, seed {seed}", name(file));
            let what = format!("{}, order of seed {seed}", name(file));
            let after = mass(&read(&what, &shuffled, None, &[]).network(), &what);
            let same = before == after || not_above(after, before) && not_above(before, after);
            assert!(same, "{what}: {before} kg as written, {after} kg");
        }
    }
}

#[test]
fn the_same_input_gives_the_same_decisions() {
    for file in ready().iter().chain(&worked()) {
        let network = open(file, None).network();
        let decisions = || plan(&network, &name(file)).map(|plan| format!("{:?}", plan.answer()));
        let here = decisions();
        let elsewhere = std::thread::scope(|scope| scope.spawn(decisions).join().unwrap());
        assert_eq!(here, elsewhere, "{}", name(file));
    }
}

/// With nothing to choose, how cargo is packed changes what packing weighs, and
/// not the cargo.
#[test]
fn cargo_is_the_same_however_it_is_packed() {
    for file in NO_CHOICE.map(path) {
        let network = open(&file, None).network().at_lower_bounds();
        let bare = packed(&network, |_| Packing::Fraction(0.0));
        let cargo = cargo_masses(&bare, &name(&file));
        assert!(cargo.iter().any(|(_, kg)| *kg > 0.0), "{}", name(&file));
        for seed in seeds() {
            let mut dice = Dice::new(seed);
            let network = packed(&network, |_| match dice.below(2) {
                0 => Packing::Fraction(dice.between(0.0, 0.8)),
                _ => Packing::Container {
                    holds_kg: dice.between(3.0, 40.0),
                    tare_kg: dice.between(0.5, 4.0),
                },
            });
            let what = format!("{}, packing of seed {seed}", name(&file));
            for ((node, before), (_, after)) in cargo.iter().zip(cargo_masses(&network, &what)) {
                let off = (before - after).abs();
                assert!(
                    off <= 1e-6 * before.max(1.0),
                    "{what}: {node} {before} kg bare, {after} kg"
                );
            }
        }
    }
}

fn packed(network: &Network, mut packing: impl FnMut(NodeId) -> Packing) -> Network {
    let mut network = network.clone();
    for node in network.nodes() {
        if let Some(Stock::Delivered { packing: old, .. }) = &mut network.graph[node].duties.stock {
            *old = packing(node);
        }
    }
    network
}

fn cargo_masses(network: &Network, what: &str) -> Vec<(String, f64)> {
    let plan = plan(network, what).unwrap_or_else(|| panic!("{what}: no balance"));
    let cargo = &plan.answer().decisions.cargo;
    cargo
        .iter()
        .map(|cargo| (network.name(cargo.node).to_owned(), cargo.kg.iter().sum()))
        .collect()
}
