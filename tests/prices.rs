//! Prices are what the design itself gives with the demand moved in its text, by
//! solves that share nothing with how the price was found.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;
#[path = "prices/rewritten.rs"]
mod rewritten;

use common::{LARGE, READY, run};
use designs_read::{Reading, path, read, text};
use loopwright::audit::Plan;
use loopwright::design::{self, Edits};
use loopwright::diagnostic::Sources;
use loopwright::kinds::Stock;
use loopwright::network::Network;
use loopwright::program::{Form, Program, formulate};
use loopwright::solve::{Options, Outcome, solve_whole};
use loopwright::study::prices::{Change, Effect, Price, Prices, What, prices};
use loopwright::{Hints, Planned, plan_network};

use rewritten::{GIFT, after, moved};

fn quick() -> Hints {
    Hints {
        reference: false,
        ..Hints::default()
    }
}

fn priced(reading: &Reading, plan: &Plan) -> Prices {
    prices(reading.design(), plan, true, &Options::default()).unwrap()
}

fn kg(change: &Change) -> f64 {
    match &change.effect {
        Effect::Mass { kg, proved, .. } => {
            assert!(proved);
            *kg
        }
        other => panic!("{other:?}"),
    }
}

fn find<'a>(prices: &'a Prices, network: &Network, wanted: &str) -> &'a Price {
    let mut prices = prices.prices.iter();
    prices
        .find(|price| price.what.words(network) == wanted)
        .unwrap_or_else(|| panic!("no price of {wanted}"))
}

// ---- a corner worked by hand

#[test]
fn at_a_corner_one_more_costs_something_else_than_one_less_saves() {
    let text = text(&path("tests/prices/corner.ron"));
    let corner = read("corner", &text, None, &[]);
    let plan = corner.plan();
    assert!((plan.answer().launch_mass_kg - 1700.0).abs() < 1e-6);
    let found = priced(&corner, &plan);
    let less = 100.0 * 0.2 / 0.9;
    for (index, what, held, free) in [
        (0, "wash water to washing", [150.0, -150.0], [150.0, -150.0]),
        (
            1,
            "potable water to garden",
            [150.0, -less],
            [40.0 + less, -less],
        ),
        (2, "wash water to washing", [150.0, -150.0], [150.0, -150.0]),
    ] {
        let price = &found.prices[index];
        assert_eq!(price.what.words(plan.network()), what);
        let pairs = price.at_this_hardware.iter().flatten().zip(held);
        for (change, wanted) in pairs {
            let found = change.per_unit().unwrap();
            assert!(
                (found - wanted).abs() < 1e-6,
                "{what}: {found}, not {wanted}"
            );
        }
        for (change, wanted) in price.hardware_free.iter().flatten().zip(free) {
            assert!((kg(change) - wanted).abs() < 1e-6, "{what}: {change:?}");
        }
    }
    let second = found.prices[1].hardware_free.as_ref().unwrap();
    let Effect::Mass { units, .. } = &second[0].effect else {
        panic!("{second:?}");
    };
    assert_eq!(units.len(), 1);
    assert_eq!((units[0].1, units[0].2), (1, 2), "a second filter");
}

#[test]
fn a_limit_is_moved_by_a_whole_step_or_by_all_there_is() {
    let text = text(&path("tests/prices/corner.ron"));
    let little = read("corner", &text, Some("little power"), &[]);
    let plan = little.plan();
    let found = priced(&little, &plan);
    let power = find(&found, plan.network(), "power");
    let [more, less] = power.hardware_free.as_ref().unwrap();
    assert_eq!((more.step, kg(more)), (100.0, 0.0));
    assert_eq!(less.step, -60.0);
    assert!((kg(less) - 880.0).abs() < 1e-6, "{less:?}");
    let [more, less] = power.at_this_hardware.as_ref().unwrap();
    assert!(kg(more).abs() < 1e-9 && kg(less).abs() < 1e-9);
    let garden = &found.prices[1].hardware_free.as_ref().unwrap()[0];
    assert!((kg(garden) - 150.0).abs() < 1e-6, "{garden:?}");
}

// ---- every demand of the ready designs

/// What a price is compared with.
#[derive(Clone, Copy, PartialEq)]
enum Compared {
    /// Prices at this hardware.
    Held,
    /// Those with hardware free as well.
    All,
}

/// Every demand is moved in the text of the design: more by a consumer beside it
/// that gives nothing back, less by a gift that covers part of it.
fn prices_of_demands_are_those_of_designs_with_the_demand_moved(file: &str, compared: Compared) {
    let text = text(&path(file));
    let reading = read_beside(file, &text);
    let plan = reading.plan();
    let free = compared == Compared::All;
    let found = prices(reading.design(), &plan, free, &Options::default()).unwrap();
    let form = form(plan.network());
    let before = in_fractions(&reading.network(), &plan, form).unwrap();
    let mut compared = 0;
    for price in &found.prices {
        let What::Demand { .. } = &price.what else {
            continue;
        };
        assert_eq!(price.hardware_free.is_some(), free);
        let held = price.at_this_hardware.iter().flatten();
        for (change, is_held) in held
            .map(|change| (change, true))
            .chain(price.hardware_free.iter().flatten().map(|one| (one, false)))
        {
            let changed = moved(&text, plan.network(), &price.what, change.step);
            let changed = given(read_beside(file, &changed).network());
            let mass = match is_held {
                true => in_fractions(&changed, &plan, form).unwrap() - before,
                false => match plan_network(&changed, &quick()) {
                    Ok(Planned::Plan(after)) => {
                        after.answer().minimised_kg() - plan.answer().minimised_kg()
                    }
                    other => panic!("{other:?}"),
                },
            };
            let words = price.what.words(plan.network());
            let off = (mass - kg(change)).abs();
            // Each of two masses is proved to 1e-9 of itself.
            assert!(
                off < 1e-9 * plan.answer().minimised_kg().max(1000.0),
                "{file}: {words} by {}: {} printed, {mass} with the text changed",
                change.step,
                kg(change)
            );
            compared += 1;
        }
    }
    assert!(compared >= 12, "{file}: only {compared} changes compared");
    println!("{file}: {compared} changes compared");
}

#[test]
fn demands_of_the_classroom() {
    prices_of_demands_are_those_of_designs_with_the_demand_moved(READY[0], Compared::All);
}

#[test]
fn demands_of_the_outpost() {
    prices_of_demands_are_those_of_designs_with_the_demand_moved(READY[1], Compared::All);
}

#[test]
fn demands_of_the_transit() {
    prices_of_demands_are_those_of_designs_with_the_demand_moved(READY[2], Compared::All);
}

#[test]
fn demands_of_the_laboratory() {
    prices_of_demands_are_those_of_designs_with_the_demand_moved(READY[3], Compared::All);
}

#[test]
fn demands_of_the_growing_base_at_its_hardware() {
    prices_of_demands_are_those_of_designs_with_the_demand_moved(LARGE[0], Compared::Held);
}

#[test]
fn demands_of_the_linked_modules_at_their_hardware() {
    prices_of_demands_are_those_of_designs_with_the_demand_moved(LARGE[1], Compared::Held);
}

/// Hundreds of searches of seconds each: `cargo test --release --test prices -- --ignored`.
#[test]
#[ignore = "takes minutes in release, an hour without"]
fn demands_of_the_large_designs_with_hardware_free() {
    for file in LARGE {
        prices_of_demands_are_those_of_designs_with_the_demand_moved(file, Compared::All);
    }
}

/// Reads a changed text of a design file, with the catalogues beside the file.
fn read_beside(file: &str, text: &str) -> Reading {
    let mut sources = Sources::new();
    let source = sources.add(file, text);
    let catalogues = design::uses(&sources, source)
        .iter()
        .map(|used| {
            let beside = path(file).with_file_name(&used.text);
            sources.add(used.text.clone(), designs_read::text(&beside))
        })
        .collect();
    let edits = Edits {
        catalogues,
        ..Edits::default()
    };
    let design = design::read(&sources, source, &edits);
    Reading { sources, design }
}

/// The network with its gift, if it has one, given by nobody: it weighs nothing on
/// any flight.
fn given(mut network: Network) -> Network {
    let gift = network.nodes().find(|&node| network.name(node) == GIFT);
    if let Some(gift) = gift {
        for activity in &mut network.graph[gift].duties.activities {
            activity.takes.clear();
            activity.conserves = false;
        }
    }
    network
}

/// Deliveries may be summed where flights do not differ.
fn form(network: &Network) -> Form {
    let calendar = &network.calendar;
    let alike = calendar.flights.iter().all(|flight| {
        flight.payload_kg.is_none() && flight.gear_ratio == calendar.flights[0].gear_ratio
    });
    let transferred = network.nodes().any(|node| {
        let stock = &network.duties(node).stock;
        matches!(stock, Some(Stock::Delivered { into: Some(_), .. }))
    });
    match alike && !transferred {
        true => Form::Totals,
        false => Form::PerFlight,
    }
}

/// The mass at a plan's units and spares with everything else in fractions, by
/// another solver.
fn in_fractions(network: &Network, plan: &Plan, form: Form) -> Option<f64> {
    let mut program = formulate(network, form);
    hold(&mut program, network, plan);
    match solve_whole(&program, &Options::default()).unwrap() {
        Outcome::Solved(solution) => Some(solution.objective_kg),
        _ => None,
    }
}

/// Holds units and spares by the names of their nodes; nothing else is whole.
fn hold(program: &mut Program, network: &Network, plan: &Plan) {
    let units = plan.units_by_name();
    for column in &mut program.columns {
        column.whole = false;
    }
    for node in network.nodes() {
        if let Some(column) = program.handles.count[node.index()] {
            let (_, count) = units
                .iter()
                .find(|(name, _)| name == network.name(node))
                .unwrap();
            program.columns[column.0].lower = f64::from(*count);
            program.columns[column.0].upper = f64::from(*count);
        }
    }
    for part in &program.parts {
        let mut spares = plan.answer().decisions.spares.iter();
        let held = spares.find(|held| held.part == part.name).unwrap();
        let counts: Vec<u32> = held
            .nodes
            .iter()
            .map(|node| plan.answer().decisions.counts[node.index()])
            .collect();
        for option in &part.options {
            let chosen = option.counts == counts && option.spares == held.spares;
            let column = &mut program.columns[option.column.0];
            column.lower = f64::from(u8::from(chosen));
            column.upper = column.lower;
        }
    }
}

// ---- what comes back, people and days

#[test]
fn prices_with_what_comes_back_are_those_of_the_demand_written_larger() {
    for (file, node, substance, amount) in [
        (
            "designs/ridge-outpost.ron",
            "laundry",
            "potable water",
            31.0,
        ),
        (
            "designs/ridge-outpost.ron",
            "suit cooling",
            "potable water",
            4.4,
        ),
        ("designs/ridge-outpost.ron", "airlock", "oxygen", 0.7),
    ] {
        let text = text(&path(file));
        let reading = read(file, &text, None, &[]);
        let plan = reading.plan();
        let found = priced(&reading, &plan);
        let words = format!("{substance} to {node}");
        let price = found
            .prices
            .iter()
            .find(|price| {
                matches!(price.what, What::Use { .. }) && price.what.words(plan.network()) == words
            })
            .unwrap();
        for change in price.hardware_free.iter().flatten() {
            let amount = amount * (1.0 + change.step / price.now);
            let after = match amount > 1e-9 {
                true => {
                    let setting = format!("nodes.{node}.takes.{substance}={amount} kg");
                    read(file, &text, None, &[&setting])
                }
                false => {
                    let without = format!("\"none\": Variant(without: [\"{node}\"]), ");
                    let text = after(&text, "\n    variants: {", &without);
                    read(file, &text, Some("none"), &[])
                }
            }
            .plan();
            let mass = after.answer().launch_mass_kg - plan.answer().launch_mass_kg;
            assert!(
                (mass - kg(change)).abs() < 1e-6,
                "{words}: {mass}, {change:?}"
            );
        }
    }
}

#[test]
fn prices_of_people_days_limits_and_units_are_those_of_the_edited_design() {
    let file = "designs/ridge-outpost.ron";
    let text = text(&path(file));
    let reading = read(file, &text, None, &[]);
    let plan = reading.plan();
    let found = priced(&reading, &plan);
    let mut compared = 0;
    for (what, phase, settings) in [
        (
            "people",
            Some(0),
            [
                "mission.phases.shakedown.crew=3",
                "mission.phases.shakedown.crew=1",
            ],
        ),
        (
            "people",
            Some(1),
            [
                "mission.phases.operations.crew=5",
                "mission.phases.operations.crew=3",
            ],
        ),
        (
            "days",
            Some(1),
            [
                "mission.phases.operations.length=686 d",
                "mission.phases.operations.length=684 d",
            ],
        ),
        (
            "volume",
            None,
            ["limits.volume=3.3 m³", "limits.volume=3.1 m³"],
        ),
        (
            "power",
            None,
            ["limits.power=5.3 kW", "limits.power=5.1 kW"],
        ),
        (
            "most units of methanator",
            None,
            [
                "nodes.methanator.count=UpTo(2)",
                "nodes.methanator.count=UpTo(0)",
            ],
        ),
        (
            "most units of grey water filter",
            None,
            [
                "nodes.grey water filter.count=UpTo(3)",
                "nodes.grey water filter.count=UpTo(1)",
            ],
        ),
    ] {
        let price = found
            .prices
            .iter()
            .find(|price| {
                price.what.words(plan.network()) == what
                    && phase.is_none_or(|phase| price.what.phases() == [phase])
            })
            .unwrap();
        let changes = price.hardware_free.iter().flatten();
        for (change, setting) in changes.zip(settings) {
            let after = read(file, &text, None, &[setting]).plan();
            let mass = after.answer().launch_mass_kg - plan.answer().launch_mass_kg;
            assert!(
                (mass - kg(change)).abs() < 1e-6,
                "{setting}: {mass}, {change:?}"
            );
            compared += 1;
        }
    }
    assert_eq!(compared, 14);
}

// ---- the command

#[test]
fn the_command_prints_the_same_bytes_each_time_and_data_that_match() {
    let words = ["prices", "designs/classroom.ron", "--format", "json"];
    let first = run(&words);
    assert_eq!(first.code, 0, "{}", first.err);
    assert_eq!(first.out, run(&words).out);
    let data = first.json();
    let all = data["prices"].as_array().unwrap();
    let oxygen = &all[0];
    assert_eq!(oxygen["what"], "oxygen to crew");
    assert_eq!(oxygen["phases"][0], "stay");
    // 60 d, packaging of 0.4 kg per kilogram.
    let held = oxygen["at_this_hardware"]["more"]["kg_per_unit"].as_f64();
    assert!((held.unwrap() - 84.0).abs() < 1e-6);
    let free = oxygen["hardware_free"]["less"]["change_kg"].as_f64();
    assert!((free.unwrap() + 84.0).abs() < 1e-6);
    let people = all.iter().find(|price| price["what"] == "people").unwrap();
    assert_eq!(people["hardware_free"]["more"]["outcome"], "no balance");
    let brief = run(&[
        "prices",
        "designs/classroom.ron",
        "--at-this-hardware",
        "--format",
        "json",
    ]);
    assert_eq!(brief.code, 0);
    let brief = brief.json();
    let brief = brief["prices"].as_array().unwrap();
    assert!(brief.iter().all(|price| price["hardware_free"].is_null()));
    for format in ["text", "markdown", "csv"] {
        let page = run(&["prices", "designs/classroom.ron", "--format", format]);
        assert_eq!(page.code, 0);
        assert!(page.out.contains("potable water to crew"), "{format}");
    }
}

#[test]
fn a_design_without_a_balance_has_no_prices() {
    let run = run(&[
        "prices",
        "designs/classroom.ron",
        "--set",
        "nodes.condenser.unit.capacity=1 kg/d",
    ]);
    assert_eq!(run.code, 3);
    assert!(run.out.contains("No balance"));
}
