//! No point of a frontier is beaten in both, its ends are the best of either, and
//! nothing between the points is left out: by designs with the limit in their text.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;

use std::collections::BTreeMap;
use std::time::Duration;

use common::{OUTPOST, run};
use designs_read::{path, read, text};
use loopwright::audit::Plan;
use loopwright::report::{self, Origin, render_csv, render_json, render_markdown, render_text};
use loopwright::solve::Options;
use loopwright::study::frontier::{Frontier, Measure, frontier};
use loopwright::{Hints, Planned, plan};

/// The design with these settings, planned; none where it has no balance or its
/// counts contradict an exclusive group.
fn planned(file: &str, settings: &[String]) -> Option<Plan> {
    let settings: Vec<&str> = settings.iter().map(String::as_str).collect();
    read(file, &text(&path(file)), None, &settings).planned()
}

fn walked(file: &str, settings: &[String], measure: Measure, steps: u32) -> (Plan, Frontier) {
    let best = planned(file, settings).unwrap();
    let found = frontier(&best, measure, steps, &Options::default()).unwrap();
    assert!(found.failed.is_empty(), "{:?}", found.failed);
    assert!(found.points.iter().all(|point| point.proved));
    (best, found)
}

fn kg(plan: &Plan) -> f64 {
    plan.answer().minimised_kg()
}

/// The setting that limits a measure in the text of the outpost.
fn limit(measure: Measure, value: f64) -> String {
    match measure {
        Measure::Power => format!("limits.power={value} W"),
        Measure::CrewTime => format!("limits.crew_time={value} h/d"),
        Measure::Volume => format!("limits.volume={value} m³"),
        Measure::MassPerFlight | Measure::Confidence => panic!("{measure:?} is no limit"),
    }
}

/// A limit that a plan which is just at it keeps, and one that it just does not.
const KEPT: f64 = 1.0 + 1e-8;
const BROKEN: f64 = 1.0 - 1e-5;

#[test]
fn no_point_of_the_outpost_is_beaten_and_its_ends_are_the_best_of_either() {
    for measure in [Measure::Volume, Measure::CrewTime, Measure::Power] {
        let (best, found) = walked(OUTPOST, &[], measure, 24);
        let points = &found.points;
        assert!(points.len() > 8, "{measure:?}: {} points", points.len());
        assert!((kg(&points[0].plan) - kg(&best)).abs() < 1e-6);
        for pair in points.windows(2) {
            assert!(kg(&pair[0].plan) < kg(&pair[1].plan));
            assert!(pair[0].value > pair[1].value);
        }
        for (index, point) in points.iter().enumerate() {
            assert!((measure.of(&point.plan) - point.value).abs() < 1e-9);
            // Nothing with as little of it is lighter.
            let same = planned(OUTPOST, &[limit(measure, point.value * KEPT)]).unwrap();
            let off = kg(&same) - kg(&point.plan);
            assert!(off.abs() < 2e-4, "{measure:?} {}: {off}", point.value);
            // Nothing with less of it is as light; at the end nothing has less.
            if point.value == 0.0 {
                continue;
            }
            let less = planned(OUTPOST, &[limit(measure, point.value * BROKEN)]);
            match less {
                Some(less) => {
                    assert!(index + 1 < points.len(), "{measure:?}: not the least");
                    assert!(kg(&less) > kg(&point.plan) + 1e-4);
                }
                None => assert_eq!(index + 1, points.len(), "{measure:?}"),
            }
            // Beyond the step that is stated, nothing is lighter than the next.
            let step = found.step.unwrap_or(0.0) + point.value * (1.0 - BROKEN);
            if let Some(next) = points.get(index + 1) {
                let beyond = limit(measure, (point.value - step).max(next.value * KEPT));
                let beyond = planned(OUTPOST, &[beyond]).unwrap();
                let off = kg(&beyond) - kg(&next.plan);
                assert!(off > -2e-4, "{measure:?} {}: {off}", point.value);
            }
        }
    }
}

/// Nodes of the outpost whose counts are free, with the most units of each; the
/// others have the counts of its lightest plan.
const FREE: [(&str, u32); 4] = [
    ("methanator", 1),
    ("drum still", 1),
    ("membrane still", 2),
    ("grey water filter", 2),
];

#[test]
fn portfolios_against_volume_are_those_of_trying_every_combination() {
    let lightest = planned(OUTPOST, &[]).unwrap();
    let mut combinations: Vec<Vec<String>> = vec![Vec::new()];
    let mut settings: Vec<String> = Vec::new();
    for (name, units) in lightest.units_by_name() {
        let free = FREE.iter().find(|(free, _)| *free == name);
        let most = free.map(|(_, most)| *most);
        settings.push(match most {
            Some(most) => format!("nodes.{name}.count=UpTo({most})"),
            None => format!("nodes.{name}.count=Exactly({units})"),
        });
        let counts = if let Some(most) = most {
            0..=most
        } else {
            units..=units
        };
        combinations = combinations
            .into_iter()
            .flat_map(|before| {
                counts.clone().map({
                    let name = name.clone();
                    move |units| {
                        let mut settings = before.clone();
                        settings.push(format!("nodes.{name}.count=Exactly({units})"));
                        settings
                    }
                })
            })
            .collect();
    }
    assert_eq!(combinations.len(), 36);
    let tried: Vec<Plan> = combinations
        .iter()
        .filter_map(|settings| planned(OUTPOST, settings))
        .collect();
    let volume = |plan: &Plan| plan.answer().volume_m3;
    let beaten = |plan: &Plan| {
        tried.iter().any(|other| {
            let (lighter, smaller) = (kg(other) - kg(plan), volume(other) - volume(plan));
            lighter < 1e-6 && smaller < 1e-9 && (lighter < -1e-6 || smaller < -1e-9)
        })
    };
    let mut wanted: Vec<&Plan> = tried.iter().filter(|plan| !beaten(plan)).collect();
    wanted.sort_by(|one, other| kg(one).total_cmp(&kg(other)));
    let (_, found) = walked(OUTPOST, &settings, Measure::Volume, 1);
    assert!(wanted.len() > 4 && wanted.len() < tried.len());
    assert_eq!(found.points.len(), wanted.len());
    assert_eq!(found.portfolios.len(), wanted.len());
    for (point, plan) in found.points.iter().zip(wanted) {
        assert_eq!(point.plan.units_by_name(), plan.units_by_name());
        assert!((kg(&point.plan) - kg(plan)).abs() < 1e-6);
    }
}

#[test]
fn what_the_units_of_a_portfolio_allow_is_what_the_design_with_them_allows() {
    let (_, found) = walked(OUTPOST, &[], Measure::Power, 8);
    let mut compared = 0;
    for (index, portfolio) in found.portfolios.iter().enumerate() {
        let mut points = found.points.iter();
        let point = points.find(|point| point.portfolio == index).unwrap();
        let held: Vec<String> = point
            .plan
            .units_by_name()
            .into_iter()
            .map(|(name, units)| format!("nodes.{name}.count=Exactly({units})"))
            .collect();
        let with = |value: f64| [&held[..], &[limit(Measure::Power, value)]].concat();
        let (lightest, least) = (portfolio.lightest.unwrap(), portfolio.least.unwrap());
        assert!((kg(&planned(OUTPOST, &held).unwrap()) - lightest.kg).abs() < 1e-4);
        let at_least = planned(OUTPOST, &with(least.value * KEPT)).unwrap();
        // Where a watt is many kilograms, the looser limit of the text is lighter.
        let off = (kg(&at_least) - least.kg) / least.kg;
        assert!(off.abs() < 1e-5, "{} {off}", least.value);
        assert!(planned(OUTPOST, &with(least.value * BROKEN)).is_none());
        assert!(least.value <= point.value * KEPT && lightest.kg <= kg(&point.plan) + 1e-4);
        compared += 1;
    }
    assert!(compared > 4);
}

/// The design names the confidence; each of these has to be bought.
#[test]
fn confidence_costs_what_the_design_with_that_confidence_weighs() {
    let file = "tests/hand_worked/spares_system.ron";
    let (_, found) = walked(file, &[], Measure::Confidence, 40);
    assert!(found.points.len() > 2, "{} points", found.points.len());
    let at = |confidence: f64| {
        let setting = format!("spares.confidence={confidence}");
        kg(&planned(file, &[setting]).unwrap())
    };
    for (index, point) in found.points.iter().enumerate() {
        assert!((at(point.value - 1e-9) - kg(&point.plan)).abs() < 1e-6);
        if index + 1 < found.points.len() {
            assert!(at(point.value + 1e-7) > kg(&point.plan) + 1e-6);
        }
        if let Some(next) = found.points.get(index + 1) {
            assert!(next.value > point.value);
        }
    }
    let last = found.points.last().unwrap();
    assert!(last.value >= 0.9999 - 1e-12);
}

/// Half of 200 kg of water on each of two flights, or a filter on the first; either
/// way a purifier and the two spares that 0.95 takes of the most they could be.
const TWO_FLIGHTS: &str = r#"
Design(
    format: 1,
    title: "Two flights",
    mission: Mission(phases: [Phase(name: "stay", length: "100 d", crew: 0)],
                     flights: [Flight(day: "0 d"), Flight(day: "50 d")]),
    nodes: {
        "use": Consumer(takes: {"potable water": "2 kg"}, per: Day, gives: {"grey water": 1.0}),
        "filter": Processor(turns: {"grey water": {"condensate": 1.0}},
            unit: Unit(mass: "150 kg", capacity: "2 kg/d"), count: UpTo(1)),
        "purifier": Processor(turns: {"condensate": {"potable water": 1.0}},
            unit: Unit(mass: "10 kg", spares: Spares(mass: "10 kg", mtbf: "4800 h"))),
        "cargo": Cargo(gives: "condensate"),
        "overboard": Disposal(way: Overboard),
    },
    streams: {
        "potable water": [["purifier", "use"]],
        "grey water": [["use", ["filter", "overboard"]]],
        "condensate": [[["filter", "cargo"], "purifier"]],
    },
    spares: WholeSystem(confidence: 0.95),
)
"#;

#[test]
fn the_fullest_of_two_flights_by_hand() {
    let reading = read("two flights", TWO_FLIGHTS, None, &[]);
    let Ok(Planned::Plan(best)) = plan(reading.design(), &Hints::default()) else {
        panic!("it has a plan");
    };
    let found = frontier(&best, Measure::MassPerFlight, 10, &Options::default()).unwrap();
    assert!(found.failed.is_empty());
    let points: Vec<(f64, f64)> = found
        .points
        .iter()
        .map(|point| (kg(&point.plan), point.value))
        .collect();
    // 150 + 10 + 2 × 10 on the first flight; 200 + 30, of which 100 on the second.
    let wanted = [(180.0, 180.0), (230.0, 130.0)];
    assert_eq!(points.len(), wanted.len(), "{points:?}");
    for (found, wanted) in points.iter().zip(wanted) {
        let off = (found.0 - wanted.0).abs() + (found.1 - wanted.1).abs();
        assert!(off < 1e-5, "{found:?}, not {wanted:?}");
    }
    assert!(found.points.iter().all(|point| point.proved));
}

#[test]
fn the_fullest_flight_carries_less_the_heavier_the_plan() {
    let (best, found) = walked(OUTPOST, &[], Measure::MassPerFlight, 4);
    let mut carried: BTreeMap<usize, f64> = BTreeMap::new();
    for line in &best.answer().ledger {
        *carried.entry(line.flight).or_default() += line.kg;
    }
    let fullest = carried.values().copied().fold(0.0, f64::max);
    assert!(found.points[0].value <= fullest + 1e-6);
    assert!((kg(&found.points[0].plan) - kg(&best)).abs() < 1e-6);
    for pair in found.points.windows(2) {
        assert!(kg(&pair[0].plan) < kg(&pair[1].plan) && pair[0].value > pair[1].value);
    }
}

#[test]
fn a_limit_without_a_point_is_shown_in_every_format() {
    let best = planned(OUTPOST, &[]).unwrap();
    let options = Options {
        time_limit: Some(Duration::ZERO),
        ..Options::default()
    };
    let found = frontier(&best, Measure::Power, 8, &options).unwrap();
    assert_eq!((found.points.len(), found.failed.len()), (1, 1));
    assert!(
        !found.points[0].proved,
        "its power is not known to be least"
    );
    let page = report::frontier(&best, &found, &Origin::default());
    for shown in [
        render_text(&page),
        render_markdown(&page),
        render_csv(&page).unwrap(),
        render_json(&page),
    ] {
        assert!(shown.contains("is not known: out of time"), "{shown}");
        assert!(!shown.contains("each proved"));
    }
}

#[test]
fn the_command_shows_plot_table_and_data() {
    let words = [
        "frontier",
        "tests/hand_worked/limit_volume.ron",
        "--against",
        "volume",
    ];
    let data = run(&[&words[..], &["--format", "json"]].concat());
    assert_eq!(data.code, 0, "{}", data.err);
    let data = data.json();
    assert_eq!(
        (&data["against"], &data["unit"]),
        (&"volume".into(), &"m³".into())
    );
    let points = data["points"].as_array().unwrap();
    let portfolios = data["portfolios"].as_array().unwrap();
    assert!(points.len() > 1 && points.len() == portfolios.len());
    assert_eq!(points[0]["status"], "optimal");
    assert!(
        portfolios[1]["units_that_differ"]
            .as_object()
            .unwrap()
            .len()
            == 1
    );
    let page = run(&words);
    assert!(
        page.out.contains("│") && page.out.contains("volume, m³"),
        "{}",
        page.out
    );
    let table = run(&[&words[..], &["--format", "csv"]].concat());
    assert_eq!(table.out.lines().count(), points.len() + 1);
    assert_eq!(
        run(&[&words[..2], &["--against", "beauty"]].concat()).code,
        2
    );
    assert_eq!(
        table.out,
        run(&[&words[..], &["--format", "csv"]].concat()).out
    );
}
