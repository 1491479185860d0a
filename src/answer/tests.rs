//! The whole answer of the loop worked out by hand.

use approx::assert_relative_eq;

use super::fixture::{self, OXYGEN_OF_WATER, WATER, node, oxygen_drawn};
use super::{
    Category, Draws, draws, size_stores, split_cartridges, split_consumables, split_deliveries,
    throughput,
};
use crate::kinds::Packing;

fn close(left: f64, right: f64) {
    assert_relative_eq!(left, right, max_relative = 1e-12, epsilon = 1e-10);
}

fn all_close(left: &[f64], right: &[f64]) {
    assert_eq!(left.len(), right.len());
    for (left, right) in left.iter().zip(right) {
        close(*left, *right);
    }
}

/// The sum of the terms that the fixture lists.
#[test]
fn launch_mass_by_hand() {
    let network = fixture::network();
    let answer = fixture::answer(&network);
    close(answer.launch_mass_kg, fixture::launch_mass_kg());
    let departure: f64 = [
        546.0, 30.0, 20.0, 3.84, 1.8, 210.0, 48.0, 19.576, 2.0, 4.00268, 403.2,
    ]
    .iter()
    .sum();
    close(departure, 1288.41868);
    let arrival: f64 = [134.0, 30.0, 5.76, 1.8, 5.0, 0.5, 8.00536, 460.8]
        .iter()
        .sum();
    close(arrival, 645.86536);
}

#[test]
fn every_ledger_line_says_how_it_came_about() {
    let network = fixture::network();
    let answer = fixture::answer(&network);
    let line = |flight: usize, category: Category, item: &str| {
        let mut lines = answer.ledger.iter();
        let found = lines
            .find(|line| line.flight == flight && line.category == category && line.item == item);
        found.unwrap_or_else(|| panic!("no {category:?} of {item} on flight {flight}"))
    };
    for (flight, category, item, kg, how) in [
        (0, Category::Hardware, "polisher", 280.0, "2 units × 140 kg"),
        (0, Category::Hardware, "methanator", 70.0, "1 unit × 70 kg"),
        (
            1,
            Category::ReplacementUnits,
            "urine still",
            134.0,
            "1 unit × 1 replacement × 134 kg",
        ),
        (0, Category::Spares, "pump", 18.0, "2 spares × 9 kg"),
        (
            1,
            Category::Cartridges,
            "urine still",
            30.0,
            "6 cartridges × 5 kg",
        ),
        (
            1,
            Category::Expendables,
            "urine still",
            5.76,
            "0.01 kg/kg × 576 kg of 960 kg fed",
        ),
        (
            0,
            Category::Upkeep,
            "urine still",
            1.8,
            "1 unit × 0.02 kg/d × 90 d",
        ),
        (
            0,
            Category::Cargo,
            "water cargo",
            19.576,
            "19.576 kg of potable water in 4 containers",
        ),
        (
            1,
            Category::Packaging,
            "water cargo",
            0.5,
            "1 container × 0.5 kg",
        ),
        (
            1,
            Category::Packaging,
            "tanker water",
            1.38936,
            "0.21 × 6.616 kg",
        ),
        (
            0,
            Category::Reserves,
            "water tank",
            190.0,
            "10 d × 19 kg/d in the worst phase",
        ),
        (0, Category::Reserves, "oxygen bottle", 20.0, "as stated"),
        (0, Category::Tanks, "water tank", 42.0, "2 tanks × 21 kg"),
        (0, Category::Tanks, "oxygen bottle", 6.0, "0.3 × 20 kg"),
    ] {
        let line = line(flight, category, item);
        close(line.kg, kg);
        assert_eq!(line.how, how);
    }
    assert!(answer.ledger.iter().all(|line| line.item != "electrolyser"));
    assert!(
        answer
            .ledger
            .is_sorted_by_key(|line| (line.flight, line.category))
    );
}

/// The greedy split gives the deliveries that the fixture lists by hand.
#[test]
fn the_split_is_the_one_found_by_hand() {
    let network = fixture::network();
    let decisions = fixture::decisions(&network);
    let draws = draws(&network, &decisions.levels);
    let throughput = throughput(&network, &decisions.levels);
    let cargo = split_deliveries(&network, &draws);
    for (found, wanted) in cargo.iter().zip(&decisions.cargo) {
        assert_eq!(
            (found.node, &found.containers),
            (wanted.node, &wanted.containers)
        );
        all_close(&found.kg, &wanted.kg);
    }
    assert_eq!(cargo.len(), decisions.cargo.len());
    assert_eq!(
        split_cartridges(&network, &throughput),
        decisions.cartridges
    );
    let consumables = split_consumables(&network, &decisions.counts, &throughput);
    assert_eq!(consumables.len(), 1);
    all_close(
        &consumables[0].expendables_kg,
        &decisions.consumables[0].expendables_kg,
    );
    all_close(
        &consumables[0].upkeep_kg,
        &decisions.consumables[0].upkeep_kg,
    );
    let stores = size_stores(&network, &decisions.flows, &draws, &cargo);
    for (found, wanted) in stores.iter().zip(&decisions.stores) {
        assert_eq!((found.node, found.tanks), (wanted.node, wanted.tanks));
        close(found.reserve_kg, wanted.reserve_kg);
        close(found.holds_kg, wanted.holds_kg);
    }
    assert_eq!(stores.len(), 2);
}

/// A flight that may be so late that it comes after the next one must be
/// covered all the while; containers keep count.
#[test]
fn a_long_slip_reaches_past_the_next_flight() {
    let mut sketch = fixture::Sketch::new(
        &[("stay", 100.0, 1.0)],
        &[
            (0.0, None, 0.0, 1.0),
            (40.0, None, 50.0, 1.0),
            (70.0, None, 0.0, 1.0),
        ],
    );
    let container = Packing::Container {
        holds_kg: 8.0,
        tare_kg: 1.0,
    };
    sketch.cargo("bottles", "oxygen", container, None);
    sketch.cargo("bulk", "oxygen", Packing::Fraction(0.1), None);
    let draws = |kg_per_day: f64| -> Vec<Draws> {
        let nodes = sketch.network.nodes();
        nodes
            .map(|node| Draws {
                node,
                kg_per_day: vec![kg_per_day],
            })
            .collect()
    };
    // By the departure what is drawn to day 90, by the last flight all 100 kg.
    let plans = split_deliveries(&sketch.network, &draws(1.0));
    all_close(&plans[1].kg, &[90.0, 0.0, 10.0]);
    // 12 containers for 90 kg, one more for 100 kg: 92 of 96 kg fly first.
    assert_eq!(plans[0].containers, Some(vec![12, 0, 1]));
    all_close(&plans[0].kg, &[92.0, 0.0, 8.0]);
    // Exactly 12 containers of cargo, give or take a solver's noise.
    for noise in [0.0, 1e-11, -1e-11] {
        let plans = split_deliveries(&sketch.network, &draws(0.96 * (1.0 + noise)));
        assert_eq!(plans[0].containers, Some(vec![11, 0, 1]), "{noise}");
        assert!(plans[0].kg[0] <= 88.0 + 1e-6);
    }
    // Nothing drawn, nothing flown.
    let plans = split_deliveries(&sketch.network, &draws(0.0));
    assert_eq!(plans[0].containers, Some(vec![0, 0, 0]));
    all_close(&plans[0].kg, &[0.0; 3]);
}

/// Water aboard of the tanker: 3.308 until day 60, then 0.0827 a day less;
/// 6.616 more on day 90.
#[test]
fn stocks_by_interval() {
    let network = fixture::network();
    let answer = fixture::answer(&network);
    let stock = &answer.stock[1];
    assert_eq!(stock.node, node(&network, "tanker water"));
    let levels: Vec<f64> = stock
        .levels
        .iter()
        .flat_map(|level| [level.start_kg, level.end_kg])
        .collect();
    all_close(&levels, &[3.308, 3.308, 3.308, 0.827, 7.443, 0.0]);
}

/// Condenser 400 W, still 300 W, two polishers 200 W; 200 W per kg/d split.
/// Heat: 400, 310 and 200 W, 28 W per kg/d condensed and 40 W per kg/d split.
#[test]
fn power_heat_crew_time_and_volume() {
    let network = fixture::network();
    let answer = fixture::answer(&network);
    all_close(&answer.power_w, &[900.0 + 200.0, 900.0 + 600.0]);
    all_close(
        &answer.heat_w,
        &[910.0 + 28.0 * 4.4 + 40.0, 910.0 + 28.0 * 8.8 + 120.0],
    );
    all_close(&answer.crew_time_h_per_day, &[0.2, 0.2]);
    close(answer.volume_m3, 0.35 + 2.0 * 0.5);
}

/// Until day 90 the crew leaves 60 · 0.4 + 30 · 0.8 = 48 kg, then 90 · 0.8.
#[test]
fn waste_by_departure() {
    let network = fixture::network();
    let answer = fixture::answer(&network);
    let names: Vec<&str> = answer
        .waste
        .iter()
        .map(|waste| network.name(waste.node))
        .collect();
    assert_eq!(names, ["overboard", "stowage", "removal"]);
    all_close(&answer.waste[2].windows_kg, &[48.0, 72.0]);
    close(answer.waste[2].kg, 120.0);
    // 60 · (0.64 + 0.1696) + 120 · (1.28 + 0.3527)
    close(answer.waste[1].kg, 48.576 + 195.924);
    assert!(answer.waste[1].windows_kg.is_empty());
}

/// Over 60 and 120 days. Grades of water used: 60 · 8 + 120 · 16 = 2400;
/// drawn from cargo: 60 · 0.2096 + 120 · 0.1827 = 34.5; split less made:
/// 60 · 1 + 120 · (3 − 1.35) = 258. Oxygen used: 60 · 1.6 + 120 · 3.2 = 480.
/// Everything used: rations 720 as well. Water given back: humidity
/// 60 · 4.4 + 120 · 8.8 = 1320, grey water 600, urine 960 at its water content;
/// of water as such only the 12 kg dumped are lost.
#[test]
fn recovery_by_definition() {
    let network = fixture::network();
    let recovery = fixture::answer(&network).recovery;
    let [first, second] = oxygen_drawn();
    let oxygen = 60.0 * first + 120.0 * second;
    let urine = network.substances.find("urine").unwrap();
    let given_back = 1920.0 + 960.0 * network.substances.water_fraction(urine);
    close(
        recovery.water_recovery.unwrap(),
        1.0 - (34.5 - 258.0) / 2400.0,
    );
    close(recovery.water_lost_share.unwrap(), 12.0 / given_back);
    close(
        recovery.oxygen_closure.unwrap(),
        1.0 - (oxygen + 0.888_093 * 258.0) / 480.0,
    );
    close(
        recovery.loop_closure_by_mass.unwrap(),
        1.0 - (34.5 + 720.0 + oxygen) / 3600.0,
    );
    // The electrolyser gives 0.888093 kg/d of oxygen per kg/d of water.
    close((1.64 - first) * WATER, OXYGEN_OF_WATER);
}

/// Nobody uses anything: there is nothing to be a share of.
#[test]
fn no_use_no_figures() {
    let network = fixture::network();
    let mut decisions = fixture::decisions(&network);
    for level in decisions.levels.iter_mut().flatten().flatten() {
        *level = 0.0;
    }
    let answer = super::Answer::of(&network, decisions, fixture::proof());
    assert_eq!(answer.recovery, super::Recovery::default());
}

/// A life so short that replacements cannot be counted one by one.
#[test]
fn very_short_lives_take_no_time() {
    let mut network = fixture::network();
    let still = node(&network, "urine still");
    let hardware = network.graph[still].duties.hardware.as_mut().unwrap();
    hardware.life_days = Some(1e-9);
    let answer = fixture::answer(&network);
    let of_still = answer
        .ledger
        .iter()
        .filter(|line| line.category == Category::ReplacementUnits && line.item == "urine still");
    // 180 / 1e-9 lives, less the first.
    close(of_still.map(|line| line.kg / 134.0).sum(), 1.8e11 - 1.0);
}
