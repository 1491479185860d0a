//! The timeline of every design: its levels are the plan's stocks, exactly.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;

use std::path::PathBuf;
use std::sync::LazyLock;

use common::{OUTPOST, run};
use designs_read::{files, open, path};
use loopwright::audit::Plan;
use loopwright::kinds::Way;
use loopwright::network::NodeId;
use loopwright::timeline::{Happening, Kept, Timeline, Track};

/// Every design that has a plan, planned once, with its timeline.
static PLANS: LazyLock<Vec<(PathBuf, Plan, Timeline)>> = LazyLock::new(|| {
    let mut designs: Vec<PathBuf> = common::READY.iter().map(|file| path(file)).collect();
    designs.extend(files(&path("tests/hand_worked"), ".ron"));
    let plans: Vec<(PathBuf, Plan, Timeline)> = designs
        .into_iter()
        .filter_map(|file| {
            let plan = open(&file, None).planned()?;
            let timeline = Timeline::of(&plan);
            Some((file, plan, timeline))
        })
        .collect();
    assert!(plans.len() > 40, "{} designs", plans.len());
    plans
});

fn track(timeline: &Timeline, node: NodeId, what: Kept) -> &Track {
    let mut tracks = timeline.tracks.iter();
    tracks
        .find(|track| track.node == node && track.what == what)
        .unwrap()
}

fn near(left: f64, right: f64) -> bool {
    (left - right).abs() <= 1e-6 * left.abs().max(1.0)
}

#[test]
fn levels_are_the_stocks_at_both_ends_of_every_interval() {
    for (file, plan, timeline) in PLANS.iter() {
        let calendar = &plan.network().calendar;
        for stock in &plan.answer().stock {
            let mut tracks = timeline.tracks.iter();
            let here = tracks.find(|one| one.node == stock.node && one.what == Kept::Cargo);
            let Some(cargo) = here else {
                let mut levels = stock.levels.iter();
                assert!(
                    levels.all(|level| near(level.start_kg, 0.0)),
                    "{}",
                    file.display()
                );
                continue;
            };
            for (interval, level) in calendar.intervals.iter().zip(&stock.levels) {
                let start = cargo.level(interval.start).unwrap();
                assert!(near(start, level.start_kg), "{}", file.display());
                let mut points = cargo.points.iter();
                let end = points.find(|point| point.day == interval.end).unwrap();
                assert!(near(end.before, level.end_kg), "{}", file.display());
            }
        }
    }
}

#[test]
fn a_store_holds_its_reserve_and_what_is_transferred_into_it() {
    let mut transferred_into = 0;
    for (file, plan, timeline) in PLANS.iter() {
        for store in &plan.answer().decisions.stores {
            let track = track(timeline, store.node, Kept::Store);
            let cargo = plan.network().transferred_into(store.node);
            transferred_into += cargo.len();
            for (index, interval) in plan.network().calendar.intervals.iter().enumerate() {
                let stocks = plan.answer().stock.iter();
                let transferred: f64 = stocks
                    .filter(|stock| cargo.contains(&stock.node))
                    .map(|stock| stock.levels[index].start_kg)
                    .sum();
                let level = track.level(interval.start).unwrap();
                let wanted = store.reserve_kg + transferred;
                assert!(near(level, wanted), "{}", file.display());
            }
            assert!(
                track.most().level <= store.holds_kg * (1.0 + 1e-6) + 1e-6,
                "{}",
                file.display()
            );
        }
    }
    assert!(transferred_into > 3);
}

#[test]
fn waste_rises_to_what_every_window_brings() {
    let mut removed = 0;
    for (file, plan, timeline) in PLANS.iter() {
        for waste in &plan.answer().waste {
            if waste.way == Way::Overboard {
                continue;
            }
            if waste.kg < 1e-6 {
                continue;
            }
            let track = track(timeline, waste.node, Kept::Waste);
            let Way::Removed { .. } = waste.way else {
                assert!(near(track.at_end(), waste.kg), "{}", file.display());
                continue;
            };
            removed += 1;
            let calendar = &plan.network().calendar;
            for (flight, kg) in waste.windows_kg.iter().enumerate() {
                let until = calendar.next_flight_day(flight);
                let point = track.points.iter().find(|point| point.day == until);
                let point = point.unwrap();
                assert!(near(point.before, *kg), "{}", file.display());
                assert!(near(point.after, 0.0), "{}", file.display());
            }
        }
    }
    assert!(removed > 0);
}

#[test]
fn cartridges_are_exchanged_while_there_are_some() {
    let mut exchanges = 0;
    for (file, plan, timeline) in PLANS.iter() {
        for track in &timeline.tracks {
            if track.what == Kept::Waste {
                continue;
            }
            let least = track.least();
            assert!(
                least.level > -1e-6,
                "{}: {} on day {}",
                file.display(),
                plan.network().name(track.node),
                least.day
            );
        }
        for event in &timeline.events {
            let Happening::Cartridge { node, number, .. } = event.what else {
                continue;
            };
            exchanges += 1;
            let track = track(timeline, node, Kept::Cartridges);
            let by_then: u32 = plan
                .answer()
                .decisions
                .cartridges
                .iter()
                .filter(|plan| plan.node == node)
                .flat_map(|cartridges| cartridges.by_flight.iter().enumerate())
                .filter(|(flight, _)| {
                    plan.network().calendar.flights[*flight].day <= event.day + 1e-6
                })
                .map(|(_, number)| *number)
                .sum();
            // The first one is put in before any is exchanged.
            assert!(by_then > number, "{}", file.display());
            let left = track.level(event.day).unwrap();
            let spent = f64::from(by_then) - left;
            assert!(near(spent, f64::from(number)), "{}", file.display());
        }
    }
    assert!(exchanges > 20);
}

#[test]
fn every_flight_may_be_as_late_as_its_slip() {
    let mut slips = 0;
    for (file, _, timeline) in PLANS.iter() {
        for late in &timeline.lateness {
            slips += usize::from(late.slip_days > 0.0);
            if let Some(out) = late.runs_out {
                assert!(
                    out.after_days >= late.slip_days - 1e-6,
                    "{}: flight {} could be {} d late",
                    file.display(),
                    late.flight,
                    out.after_days
                );
            }
        }
    }
    assert!(slips > 1);
}

#[test]
fn events_come_in_order_and_every_flight_is_among_them() {
    for (file, plan, timeline) in PLANS.iter() {
        let days = timeline.events.windows(2);
        for pair in days {
            assert!(pair[0].day <= pair[1].day, "{}", file.display());
        }
        let arrivals = timeline.events.iter().filter_map(|event| match event.what {
            Happening::Arrival { brings_kg, .. } => Some(brings_kg),
            _ => None,
        });
        let carried: f64 = arrivals.sum();
        let lines = plan.answer().ledger.iter();
        let launched: f64 = lines.map(|line| line.kg).sum();
        assert!(near(carried, launched), "{}", file.display());
        let end = timeline.events.last().unwrap();
        assert!(matches!(end.what, Happening::End { .. }));
    }
}

#[test]
fn the_command_shows_dates_where_the_departure_is_stated() {
    let words = ["timeline", OUTPOST, "--format", "json"];
    let plain = run(&words).json();
    assert!(plain.get("departure").is_none());
    let dated = run(&[&words[..], &["--set", "mission.departure=2031-05-14"]].concat());
    assert_eq!(dated.code, 0);
    let dated = dated.json();
    assert_eq!(dated["departure"], "2031-05-14");
    // Half a year of 365.25 d after the departure.
    assert_eq!(dated["lateness"][0]["day"], 182.625);
    assert_eq!(dated["lateness"][0]["date"], "2031-11-12");
    let csv = run(&["timeline", OUTPOST, "--format", "csv"]);
    assert!(
        csv.out
            .starts_with("course,at,what,substance,unit,day,date,before,after\n")
    );
    let text = run(&["timeline", OUTPOST]);
    assert!(text.out.contains("HOW LATE FLIGHTS COULD BE"));
    assert!(text.out.contains('▄'));
}
