//! What a plan is worth when something goes wrong: cases whose days follow from
//! division, what a planner reads off ready designs, and properties of random faults
//! in random designs.
//!
//! `LOOPWRIGHT_RANDOM_DESIGNS=500` tries more random designs.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;
#[path = "bad_days/faults.rs"]
mod faults;
#[path = "random_designs/mod.rs"]
#[allow(
    dead_code,
    unused_imports,
    reason = "what designs use is counted elsewhere"
)]
mod generator;

use common::{OUTPOST, READY, run};
use designs_read::{open, path, read};
use generator::random_design;
use loopwright::audit::Plan;
use loopwright::kinds::Role;
use loopwright::network::{BadDays, Fault, Network, NodeId, Window};
use loopwright::solve::{Backend, Options};
use loopwright::timeline::{
    Autonomy, Course, Kept, Lacking, OutOfAction, Outcome, Row, Shortfall, Timeline, Track,
    autonomy, outcome,
};

fn planned_text(text: &str) -> Plan {
    read("a case", text, None, &[]).plan()
}

fn planned_file(file: &str) -> Plan {
    open(&path(file), None).plan()
}

fn under(plan: &Plan, faults: Vec<Fault>) -> Outcome {
    let days = BadDays {
        name: "bad days".to_owned(),
        faults,
        cannot_be: Vec::new(),
    };
    outcome(plan, &days, Backend::Kernel).unwrap()
}

fn node(network: &Network, name: &str) -> NodeId {
    let mut nodes = network.nodes();
    nodes.find(|&node| network.name(node) == name).unwrap()
}

fn down(plan: &Plan, name: &str, from: f64) -> Fault {
    Fault::Down {
        node: node(plan.network(), name),
        units: None,
        window: Window {
            from,
            to: plan.network().calendar.mission_days(),
        },
    }
}

fn day(short: &Option<Shortfall>) -> f64 {
    short.as_ref().unwrap().day
}

fn first_substance<'a>(plan: &'a Plan, short: &Option<Shortfall>) -> &'a str {
    let lack = short.as_ref().unwrap().lacks[0];
    match lack.what {
        Lacking::Missing(substance) | Lacking::HeldUp(substance) => {
            plan.network().substances.name(substance)
        }
        Lacking::Supplies(what) => what.key(),
    }
}

#[track_caller]
fn near(left: f64, right: f64) {
    assert!(
        (left - right).abs() <= 1e-5 * right.abs().max(1.0),
        "{left}, not {right}"
    );
}

// ---- by division

/// Four kilograms a day; a flight on day 50 may be 5 d late; a reserve of 7 d.
const SLIP: &str = r#"
Design(
    format: 1,
    title: "Slip and reserve",
    mission: Mission(
        phases: [Phase(name: "stay", length: "100 d", crew: 2)],
        flights: [Flight(day: "0 d"), Flight(day: "50 d", slip: "5 d")],
    ),
    nodes: {
        "use":   Consumer(takes: {"potable water": "2 kg"}, gives: {"grey water": 1.0}),
        "tank":  Store(holds: "potable water", reserve: "7 d"),
        "water": Cargo(gives: "potable water"),
        "overboard": Disposal(way: Overboard),
    },
    streams: {
        "potable water": [["water", "tank", "use"]],
        "grey water":    [["use", "overboard"]],
    },
)
"#;

#[test]
fn stock_covers_the_slip_and_the_reserve_what_comes_after() {
    let plan = planned_text(SLIP);
    let late = |days: f64| under(&plan, vec![Fault::Late { flight: 1, days }]);
    for within in [1.0, 5.0, 8.0, 12.0] {
        let outcome = late(within);
        assert_eq!(outcome.replay.first, None, "{within} days");
        assert_eq!(outcome.reaction.first, None, "{within} days");
        assert!(outcome.cover.is_empty());
    }
    for beyond in [13.0, 20.0, 45.0] {
        let outcome = late(beyond);
        for course in [&outcome.replay, &outcome.reaction] {
            near(day(&course.first), 62.0);
            near(course.first.as_ref().unwrap().after_days, 12.0);
            near(course.unmet_kg(), 4.0 * (beyond - 12.0));
        }
        near(outcome.cover[0].kg, 4.0 * (beyond - 12.0));
    }
    // Cargo runs out on day 55, and the reserve has not been touched until then.
    let outcome = late(20.0);
    let tracks = &outcome.replay.tracks;
    let level = |what: Kept, day: f64| -> f64 {
        let track = tracks.iter().find(|track| track.what == what).unwrap();
        track.level(day).unwrap()
    };
    near(level(Kept::Cargo, 54.0), 4.0);
    near(level(Kept::Cargo, 55.0), 0.0);
    near(level(Kept::Store, 55.0), 28.0);
    near(level(Kept::Store, 60.0), 8.0);
}

#[test]
fn a_lost_flight_is_one_that_is_late_for_ever() {
    let plan = planned_text(SLIP);
    let lost = under(&plan, vec![Fault::Lost { flight: 1 }]);
    near(day(&lost.reaction.first), 62.0);
    near(lost.reaction.unmet_kg(), 4.0 * 38.0);
    let last = Timeline::of(&plan).lateness[0].clone();
    near(last.runs_out.unwrap().after_days, last.slip_days);
}

/// Common practice, no source: an emergency reserve in two tanks of 200 L.
#[test]
fn two_tanks_last_as_many_days_as_their_kilograms() {
    let cases = [
        (2, [80.0, 62.5]),
        (3, [53.333_333, 41.666_667]),
        (4, [40.0, 31.25]),
        (6, [26.666_667, 20.833_333]),
    ];
    for (people, days) in cases {
        for (kg, days) in [2.5, 3.2].into_iter().zip(days) {
            let text = format!(
                r#"Design(
                    format: 1,
                    title: "Two tanks",
                    mission: Mission(phases: [Phase(name: "stay", length: "100 d", crew: {people})]),
                    nodes: {{
                        "use":   Consumer(takes: {{"potable water": "{kg} kg"}}, gives: {{"grey water": 1.0}}),
                        "tanks": Store(holds: "potable water", reserve: "400 L", tank: Tank(mass: "41 kg", holds: "200 L")),
                        "water": Cargo(gives: "potable water"),
                        "overboard": Disposal(way: Overboard),
                    }},
                    streams: {{
                        "potable water": [["water", "tanks", "use"]],
                        "grey water":    [["use", "overboard"]],
                    }},
                )"#
            );
            let plan = planned_text(&text);
            let tanks = plan.answer().decisions.stores[0].tanks;
            assert_eq!(tanks, Some(2));
            let outcome = under(&plan, vec![down(&plan, "water", 0.0)]);
            near(day(&outcome.replay.first), days);
            near(day(&outcome.reaction.first), days);
        }
    }
}

/// A spring that has two units of 3 kg/d, a need of 2 kg/d a person, a reserve of 10 kg.
const SPRING: &str = r#"
Design(
    format: 1,
    title: "Spring",
    mission: Mission(phases: [Phase(name: "stay", length: "100 d", crew: 2)]),
    substances: {"mud": Opaque},
    nodes: {
        "people":  Consumer(takes: {"potable water": "2 kg"}, gives: {"grey water": 1.0}),
        "garden":  Consumer(takes: {"potable water": "1 kg"}, gives: {"grey water": 1.0}),
        "filter":  Processor(turns: {"grey water": {"potable water": 0.9, "mud": 0.1}},
                             unit: Unit(mass: "1 kg", capacity: "3 kg/d"), count: Exactly(2)),
        "tank":    Store(holds: "potable water", reserve: "10 kg"),
        "water":   Cargo(gives: "potable water", packaging: 1.0),
        "overboard": Disposal(way: Overboard),
    },
    streams: {
        "potable water": [[["water", "filter"], "tank", ["people", "garden"]]],
        "grey water":    [[["people", "garden"], ["filter", "overboard"]]],
        "mud":           [["filter", "overboard"]],
    },
)
"#;

#[test]
fn leaks_people_units_and_yields_draw_on_the_reserve_at_their_rates() {
    let plan = planned_text(SPRING);
    let network = plan.network();
    let water = network.substances.find("potable water").unwrap();
    let window = Window {
        from: 20.0,
        to: 100.0,
    };
    // 6 kg/d are used, 5.4 come back, 0.6 are drawn: 48 kg of cargo on day 20.
    let left = 0.6 * 80.0;
    let leak = under(
        &plan,
        vec![Fault::Leak {
            node: node(network, "tank"),
            substance: water,
            kg_per_day: 0.4,
            window,
        }],
    );
    // 1 kg/d is lost of the 10 kg of reserve and the 48 of cargo.
    near(day(&leak.replay.first), 20.0 + (10.0 + left) / 1.0);
    near(day(&leak.reaction.first), 20.0 + (10.0 + left) / 1.0);
    near(leak.cover[0].kg, 0.4 * 80.0 - 10.0);
    let yields = under(
        &plan,
        vec![Fault::LessYield {
            node: node(network, "filter"),
            product: water,
            lost: 0.5,
            window,
        }],
    );
    // Of 6 kg/d only 2.7 come back.
    near(day(&yields.reaction.first), 20.0 + (10.0 + left) / 3.3);
    let one_unit = under(
        &plan,
        vec![Fault::Down {
            node: node(network, "filter"),
            units: Some(1),
            window,
        }],
    );
    near(day(&one_unit.reaction.first), 20.0 + (10.0 + left) / 3.3);
    let guest = under(
        &plan,
        vec![Fault::MoreCrew {
            people: 1.0,
            window,
        }],
    );
    // 9 kg/d are used; two filters treat 6 and give 5.4 back.
    near(day(&guest.reaction.first), 20.0 + (10.0 + left) / 3.6);
    for outcome in [&leak, &yields, &one_unit, &guest] {
        for course in [&outcome.replay, &outcome.reaction] {
            assert!(course.mass.residual_kg().abs() < 1e-6);
        }
    }
}

/// People take 4 kg/d, the garden 2, and the reserve is 60 kg.
const GARDEN: &str = r#"
Design(
    format: 1,
    title: "Garden",
    mission: Mission(phases: [Phase(name: "stay", length: "100 d", crew: 2)]),
    nodes: {
        "people":  Crew(takes: {"potable water": "2 kg"}, gives: {"grey water": "2 kg"}),
        "garden":  Consumer(takes: {"potable water": "1 kg"}, gives: {"grey water": 1.0}),
        "tank":    Store(holds: "potable water", reserve: "60 kg"),
        "water":   Cargo(gives: "potable water"),
        "overboard": Disposal(way: Overboard),
    },
    streams: {
        "potable water": [["water", "tank", ["people", "garden"]]],
        "grey water":    [[["people", "garden"], "overboard"]],
    },
)
"#;

#[test]
fn people_come_before_what_they_do() {
    let plan = planned_text(GARDEN);
    let outcome = under(&plan, vec![down(&plan, "water", 0.0)]);
    near(day(&outcome.replay.first), 10.0);
    near(day(&outcome.reaction.first), 10.0);
    near(outcome.people_until.unwrap(), 15.0);
    // For two weeks 84 kg are wanted, and nothing may fall short before day 10.
    let window = Window {
        from: 0.0,
        to: 14.0,
    };
    let water = Fault::Down {
        node: node(plan.network(), "water"),
        units: None,
        window,
    };
    let outcome = under(&plan, vec![water]);
    near(day(&outcome.reaction.first), 10.0);
    near(outcome.reaction.unmet_kg(), 24.0);
    // People alone would have lasted until day 15, with the garden left dry.
    assert_eq!(outcome.people_until, None);
    // A leak of 1 kg/d comes before all of them.
    let network = plan.network();
    let leak = Fault::Leak {
        node: node(network, "tank"),
        substance: network.substances.find("potable water").unwrap(),
        kg_per_day: 1.0,
        window: Window {
            from: 0.0,
            to: 100.0,
        },
    };
    let outcome = under(&plan, vec![leak, down(&plan, "water", 0.0)]);
    near(day(&outcome.reaction.first), 60.0 / 7.0);
    near(outcome.people_until.unwrap(), 12.0);
}

/// The filter flies with flight 1 and works from day 50 on.
const SECOND: &str = r#"
Design(
    format: 1,
    title: "Hardware that is late",
    mission: Mission(
        phases: [Phase(name: "first", length: "50 d", crew: 2), Phase(name: "second", length: "50 d", crew: 2)],
        flights: [Flight(day: "0 d"), Flight(day: "50 d")],
    ),
    nodes: {
        "use":    Consumer(takes: {"potable water": "2 kg"}, gives: {"grey water": 1.0}),
        "filter": Processor(turns: {"grey water": {"potable water": 1.0}}, from: "second",
                            unit: Unit(mass: "5 kg", capacity: "4 kg/d", cartridge: Cartridge(mass: "1 kg", treats: "80 kg")),
                            count: Exactly(1)),
        "water":  Cargo(gives: "potable water"),
        "overboard": Disposal(way: Overboard),
    },
    streams: {
        "potable water": [[["water", "filter"], "use"]],
        "grey water":    [["use", ["filter", "overboard"]]],
    },
)
"#;

#[test]
fn hardware_and_cartridges_wait_for_their_flight() {
    let plan = planned_text(SECOND);
    let late = under(
        &plan,
        vec![Fault::Late {
            flight: 1,
            days: 10.0,
        }],
    );
    for course in [&late.replay, &late.reaction] {
        near(day(&course.first), 50.0);
        near(course.unmet_kg(), 40.0);
        near(course.mass.residual_kg(), 0.0);
    }
    near(late.cover[0].kg, 40.0);
    // The flight's three cartridges treat 200 kg; without it nothing is treated.
    let lost = under(&plan, vec![Fault::Lost { flight: 1 }]);
    near(lost.replay.unmet_kg(), 200.0);
    let lateness = &Timeline::of(&plan).lateness[0];
    near(lateness.stops.unwrap().after_days, 0.0);
}

// ---- nothing goes wrong

fn assert_as_planned(plan: &Plan, course: &Course, title: &str) {
    assert_eq!(course.first, None, "{title}");
    let timeline = Timeline::of(plan);
    for planned in &timeline.tracks {
        if planned.what == Kept::Upkeep {
            continue;
        }
        let mut tracks = course.tracks.iter();
        let here = |track: &&Track| track.node == planned.node && track.what == planned.what;
        let track = tracks.find(here).unwrap();
        for interval in &plan.network().calendar.intervals {
            for day in [interval.start, interval.end] {
                let points = |track: &Track| {
                    let mut points = track.points.iter();
                    points.find(|point| point.day == day).copied().unwrap()
                };
                let (here, there) = (points(track), points(planned));
                let scale = there.before.abs().max(there.after.abs()).max(1.0);
                let far = (here.before - there.before).abs() > 2e-6 * scale
                    || (here.after - there.after).abs() > 2e-6 * scale;
                assert!(
                    !far,
                    "{title}: {} on day {day}: {here:?}, planned {there:?}",
                    plan.network().name(planned.node)
                );
            }
        }
    }
}

#[test]
fn without_faults_the_replay_is_the_plan() {
    for file in READY {
        let plan = planned_file(file);
        let outcome = under(&plan, Vec::new());
        assert_as_planned(&plan, &outcome.replay, file);
    }
}

// ---- as a planner reads it

fn row<'a>(plan: &Plan, autonomy: &'a Autonomy, name: &str) -> &'a Row {
    let wanted = OutOfAction::Node(node(plan.network(), name));
    let mut rows = autonomy.rows.iter();
    rows.find(|row| row.what == wanted).unwrap()
}

#[test]
fn the_outpost_lives_on_its_oxygen_bottles_without_its_cell_stack() {
    let plan = planned_file("designs/ridge-outpost.ron");
    // In operations the bottles are meant to last 12 days.
    let table = autonomy(&plan, 100.0, &Options::default()).unwrap();
    for name in ["cell stack", "polisher"] {
        let row = row(&plan, &table, name);
        let best = &row.best;
        near(best.as_ref().unwrap().after_days, 12.0);
        assert_eq!(first_substance(&plan, best), "oxygen", "{name}");
        near(row.people_until.unwrap(), 112.0 + PEOPLE_SPARE);
    }
    // No slip is asked for, so a lost lander is missed at once.
    let flights = table.rows.iter();
    let flights: Vec<&Row> = flights
        .filter(|row| matches!(row.what, OutOfAction::Flight(_)))
        .collect();
    assert_eq!(flights.len(), 3);
    for row in flights {
        near(row.best.as_ref().unwrap().after_days, 0.0);
    }
}

/// Without outings the bottles last longer: 46.92 kg at 3.61 kg/d instead of 3.91.
const PEOPLE_SPARE: f64 = 46.92 / 3.61 - 12.0;

#[test]
fn worst_of_all_is_what_has_no_buffer() {
    for file in ["designs/ridge-outpost.ron", "designs/long-transit.ron"] {
        let plan = planned_file(file);
        let table = autonomy(&plan, 0.0, &Options::default()).unwrap();
        let condenser = row(&plan, &table, "condenser");
        near(condenser.best.as_ref().unwrap().after_days, 0.0);
        assert_eq!(first_substance(&plan, &condenser.best), "humidity");
        let lacks = &condenser.best.as_ref().unwrap().lacks;
        assert!(matches!(lacks[0].what, Lacking::HeldUp(_)));
        for row in &table.rows {
            let days = |short: &Option<Shortfall>| {
                short
                    .as_ref()
                    .map_or(f64::INFINITY, |short| short.after_days)
            };
            assert!(days(&row.best) >= days(&row.nobody_reacts) - 1e-5, "{file}");
            assert_eq!(row.cover.is_empty(), row.best.is_none(), "{file}");
        }
    }
}

#[test]
fn the_transit_reacts_to_a_dead_still_with_the_water_that_it_has() {
    let plan = planned_file("designs/long-transit.ron");
    let outcome = under(&plan, vec![down(&plan, "wiped-film still", 0.0)]);
    let (replay, reaction) = (&outcome.replay, &outcome.reaction);
    assert_eq!(first_substance(&plan, &reaction.first), "potable water");
    assert!(day(&reaction.first) > day(&replay.first) + 1.0);
    // What is missing to the end is what the still would have won back, but for the
    // reserve and what is done without it.
    let days = plan.network().calendar.mission_days();
    let leg = &replay.legs[0];
    let feed: f64 = plan.answer().throughput[node(plan.network(), "wiped-film still").index()][0];
    assert!(leg.to_day <= days);
    let won_back = 0.86 * feed * days;
    let reserve = plan.answer().decisions.stores[0].reserve_kg;
    let missing: f64 = outcome.cover.iter().map(|lack| lack.kg).sum();
    assert!(missing < won_back && missing > 0.5 * (won_back - reserve));
}

// ---- random faults

/// Mass is conserved, nothing is below nothing, conversions turn all they take, and
/// the best reaction is at least as good as none.
fn holds(plan: &Plan, outcome: &Outcome, name: &str) {
    let total: f64 = outcome.replay.mass.at_start_kg + outcome.replay.mass.brought_kg;
    for course in [&outcome.replay, &outcome.reaction] {
        let residual = course.mass.residual_kg();
        assert!(
            residual.abs() <= 1e-6 * (1.0 + total),
            "{name}: {residual} kg of {total} appear: {:?}",
            course.mass
        );
        for track in &course.tracks {
            let least = track.least();
            assert!(least.level >= -1e-5, "{name}: {least:?}");
        }
        let mut now = 0.0;
        for leg in &course.legs {
            assert!((leg.from_day - now).abs() < 1e-9, "{name}: a gap on {now}");
            now = leg.to_day;
            conversions_conserve(plan.network(), &leg.flows, name);
        }
        assert!((now - plan.network().calendar.mission_days()).abs() < 1e-9);
        let short = course.legs.iter().find(|leg| leg.falls_short());
        match (&course.first, short) {
            (Some(first), Some(leg)) => assert!(
                (first.day - leg.from_day).abs() < 1e-4,
                "{name}: first on {}, but a leg on {}",
                first.day,
                leg.from_day
            ),
            (None, None) => {}
            (first, leg) => panic!("{name}: {first:?}, {leg:?}"),
        }
    }
    let first = |course: &Course| {
        let first = course.first.as_ref();
        first.map_or(f64::INFINITY, |first| first.day)
    };
    assert!(
        first(&outcome.reaction) >= first(&outcome.replay) - 1e-4,
        "{name}: {} with the best reaction, {} without",
        first(&outcome.reaction),
        first(&outcome.replay)
    );
    if let (Some(until), Some(first)) = (outcome.people_until, &outcome.reaction.first) {
        assert!(until >= first.day - 1e-4, "{name}");
    }
}

fn conversions_conserve(network: &Network, flows: &[f64], name: &str) {
    for node in network.nodes() {
        let mut activities = network.duties(node).activities.iter();
        if !activities.any(|activity| activity.role == Role::Convert) {
            continue;
        }
        let (mut came, mut went) = (0.0, 0.0);
        for (stream, flow) in network.streams().zip(flows) {
            let (from, to) = network.ends(stream);
            came += if to == node { *flow } else { 0.0 };
            went += if from == node { *flow } else { 0.0 };
        }
        assert!(
            (came - went).abs() <= 1e-5 * (1.0 + came),
            "{name}: {} takes {came} and gives {went}",
            network.name(node)
        );
    }
}

#[test]
fn the_best_reaction_is_never_worse_than_none_and_mass_is_conserved() {
    let wanted = std::env::var("LOOPWRIGHT_RANDOM_DESIGNS").ok();
    let seeds: u64 = wanted.map_or(60, |number| number.parse().unwrap());
    let mut tried = 0;
    let mut later = 0;
    let mut short = 0;
    for seed in 0..seeds {
        let design = random_design(seed);
        let reading = read("random design", &design.text, design.variant, &[]);
        let Some(plan) = reading.planned() else {
            continue;
        };
        for throw in 0..3 {
            let faults = faults::thrown(plan.network(), seed * 10 + throw);
            let name = format!("design {seed}, throw {throw}: {faults:?}");
            let outcome = under(&plan, faults);
            holds(&plan, &outcome, &name);
            tried += 1;
            let replay = outcome.replay.first.as_ref().map(|first| first.day);
            let reaction = outcome.reaction.first.as_ref().map(|first| first.day);
            short += usize::from(replay.is_some());
            later += usize::from(match (replay, reaction) {
                (Some(replay), Some(reaction)) => reaction > replay + 1e-3,
                (Some(_), None) => true,
                _ => false,
            });
        }
    }
    println!("{tried} bad days: {short} fall short, {later} later or never with a reaction");
    assert!(seeds < 60 || (short > tried / 4 && later > tried / 20));
}

#[test]
fn ready_designs_stand_random_faults() {
    for file in READY {
        let plan = planned_file(file);
        for throw in 0..10 {
            let faults = faults::thrown(plan.network(), 1_000 + throw);
            let name = format!("{file}, throw {throw}: {faults:?}");
            let outcome = under(&plan, faults);
            holds(&plan, &outcome, &name);
        }
    }
}

// ---- the commands

#[test]
fn the_command_shows_both_courses() {
    let fault = "Down(node: \"polisher\", from: \"200 d\", to: \"260 d\")";
    let words = ["timeline", OUTPOST, "--fault", fault, "--format", "json"];
    let shown = run(&words);
    assert_eq!(shown.code, 0, "{}", shown.err);
    let data = shown.json();
    near(
        data["fault"]["nobody_reacts"]["first_shortfall"]["after_d"]
            .as_f64()
            .unwrap(),
        12.0,
    );
    near(
        data["fault"]["best_reaction"]["first_shortfall"]["day"]
            .as_f64()
            .unwrap(),
        212.0,
    );
    let csv = run(&["timeline", OUTPOST, "--fault", fault, "--format", "csv"]).out;
    for course in ["plan,", "nobody reacts,", "best reaction,"] {
        assert!(csv.lines().any(|line| line.starts_with(course)), "{course}");
    }
    let text = run(&["timeline", OUTPOST, "--fault", fault]).out;
    assert!(text.contains("Best reaction: 12.0 days after the fault, on day 212"));
}

#[test]
fn faults_that_cannot_be_are_refused_with_the_next_act() {
    let with = |fault: &str| run(&["timeline", OUTPOST, "--fault", fault]);
    let cases = [
        ("Lost(flight: 9)", "flights 1 to 3 arrive"),
        ("Lost(flight: 0)", "departure"),
        ("Down(node: \"polishr\")", "did you mean \"polisher\"?"),
        ("Down(node: \"crew\")", "is a need"),
        ("a dead still", "the design names no fault"),
        ("Late(flight: 1)", "the field by is missing"),
        (
            "Leak(node: \"cabin\", substance: \"food\", rate: \"1 kg/d\")",
            "holds no \"food\"",
        ),
        (
            "Down(node: \"polisher\", from: \"9000 d\")",
            "beyond the mission",
        ),
    ];
    for (fault, words) in cases {
        let refused = with(fault);
        assert_eq!(refused.code, 2, "{fault}");
        assert!(refused.err.contains(words), "{fault}: {}", refused.err);
    }
}

#[test]
fn a_table_that_is_stopped_says_what_it_leaves_out() {
    let plan = planned_file(OUTPOST);
    let whole = autonomy(&plan, 0.0, &Options::default()).unwrap();
    let options = Options {
        time_limit: Some(std::time::Duration::ZERO),
        ..Options::default()
    };
    let stopped = autonomy(&plan, 0.0, &options).unwrap();
    assert!(stopped.rows.is_empty() && whole.left_out.is_empty());
    let rows = whole.rows.iter().map(|row| row.what.clone());
    assert_eq!(stopped.left_out, rows.collect::<Vec<_>>());
}

#[test]
fn the_autonomy_command_has_a_row_for_every_loss() {
    let shown = run(&["autonomy", OUTPOST, "--from", "100 d", "--format", "json"]);
    assert_eq!(shown.code, 0, "{}", shown.err);
    let data = shown.json();
    let rows = data["rows"].as_array().unwrap();
    let of = |name: &str| {
        rows.iter()
            .find(|row| row["out_of_action"] == name)
            .unwrap()
    };
    near(
        of("polisher")["best_reaction"]["after_d"].as_f64().unwrap(),
        12.0,
    );
    assert_eq!(of("flight 3")["kind"], "flight");
    let csv = run(&["autonomy", OUTPOST, "--format", "csv"]).out;
    assert!(csv.starts_with("kind,out_of_action,from_day,nobody_reacts_d,"));
    assert_eq!(run(&["autonomy", OUTPOST, "--from", "-3 d"]).code, 2);
}
