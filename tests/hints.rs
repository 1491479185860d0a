//! Hints change the question or the time it takes, never the answer to it.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod designs_read;

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use designs_read::{path, read, text};
use loopwright::audit::Plan;
use loopwright::design::Design;
use loopwright::quantity::Dimension;
use loopwright::{Hints, Planned, Refusal, plan};

fn design(file: &str, settings: &[&str]) -> Design {
    read(file, &text(&path(file)), None, settings)
        .design()
        .clone()
}

fn holding(name: &str, units: RangeInclusive<u32>) -> Hints {
    Hints {
        counts: [(name.to_owned(), units)]
            .into_iter()
            .collect::<BTreeMap<_, _>>(),
        ..Hints::default()
    }
}

fn planned(design: &Design, hints: &Hints) -> Plan {
    match plan(design, hints) {
        Ok(Planned::Plan(plan)) => *plan,
        other => panic!("{other:?}"),
    }
}

#[test]
fn held_counts_give_what_the_design_gives_with_those_counts() {
    for (file, name, counts) in [
        ("designs/classroom.ron", "filter", 0..=2),
        ("designs/ridge-outpost.ron", "brine dryer", 0..=2),
    ] {
        for units in counts {
            let held = planned(&design(file, &[]), &holding(name, units..=units));
            let setting = format!("nodes.{name}.count=Exactly({units})");
            let stated = planned(&design(file, &[&setting]), &Hints::default());
            assert_eq!(
                held.answer().launch_mass_kg,
                stated.answer().launch_mass_kg,
                "{file}: {setting}"
            );
        }
    }
}

#[test]
fn units_held_within_a_range_are_the_lightest_of_it() {
    let outpost = design("designs/ridge-outpost.ron", &[]);
    let mass = |units: RangeInclusive<u32>| {
        let plan = planned(&outpost, &holding("brine dryer", units.clone()));
        let held = plan.units_by_name().into_iter();
        let mut held = held.filter(|(name, _)| name == "brine dryer");
        assert!(units.contains(&held.next().unwrap().1));
        plan.answer().launch_mass_kg
    };
    let each: Vec<f64> = (0..=2).map(|units| mass(units..=units)).collect();
    for (units, least) in [
        (0..=1, each[0].min(each[1])),
        (1..=2, each[1].min(each[2])),
        (0..=2, each[0].min(each[1]).min(each[2])),
    ] {
        assert!((mass(units.clone()) - least).abs() < 1e-6, "{units:?}");
    }
}

#[test]
fn the_reference_is_the_designs_own_or_left_out() {
    let classroom = design("designs/classroom.ron", &[]);
    let free = planned(&classroom, &Hints::default());
    let hints = holding("filter", 2..=2);
    let held = planned(&classroom, &hints);
    assert!(held.reference().is_some());
    assert_eq!(held.reference(), free.reference());
    let alone = Hints {
        reference: false,
        ..hints
    };
    assert!(planned(&classroom, &alone).reference().is_none());
}

#[test]
fn counts_that_the_design_does_not_allow_are_refused_with_words() {
    let classroom = design("designs/classroom.ron", &[]);
    for (name, units, words) in [
        ("filter", 3..=3, "3 units of \"filter\""),
        (
            "filter",
            1..=3,
            "1 to 3 units of \"filter\" cannot be held: the design allows 0 to 2",
        ),
        ("condenser", 0..=0, "the design allows exactly 1"),
        ("filtre", 1..=1, "no node is called \"filtre\""),
        ("cabin", 1..=1, "has no unit"),
    ] {
        match plan(&classroom, &holding(name, units)) {
            Err(Refusal::Design(complaints)) => {
                assert_eq!(complaints.len(), 1);
                assert!(complaints[0].headline.contains(words), "{complaints:?}");
            }
            other => panic!("{name}: {other:?}"),
        }
    }
}

#[test]
fn causes_are_looked_for_only_where_they_are_asked_for() {
    let short = design(
        "designs/classroom.ron",
        &["nodes.condenser.unit.capacity=1 kg/d"],
    );
    for causes in [true, false] {
        let hints = Hints {
            causes,
            ..Hints::default()
        };
        match plan(&short, &hints) {
            Ok(Planned::NoBalance(why)) => assert_eq!(!why.causes.is_empty(), causes),
            other => panic!("{other:?}"),
        }
    }
}

#[test]
fn numbers_put_into_a_design_come_last_and_are_checked() {
    let nine = read(
        "laboratory",
        &text(&path("designs/orbital-laboratory.ron")),
        Some("nine aboard"),
        &["mission.phases.science.length=300 d"],
    );
    let changed = nine
        .design()
        .with_numbers(&[
            ("mission.phases.science.crew", 8.0, Dimension::Whole),
            ("mission.phases.science.length", 301.5, Dimension::Time),
        ])
        .unwrap();
    let science = |design: &Design| {
        let mut phases = design.written.mission.phases.iter();
        let phase = phases.find(|phase| phase.name.text == "science").unwrap();
        (phase.crew, phase.length.value.0)
    };
    assert_eq!(science(nine.design()), (9, 300.0));
    assert_eq!(science(&changed), (8, 301.5));
    let last = |design: &Design| design.written.mission.phases.last().unwrap().crew;
    assert_eq!(
        (last(&changed), last(nine.design())),
        (9, 9),
        "the variant stays"
    );
    let wrong =
        nine.design()
            .with_numbers(&[("mission.phases.science.crew", 8.5, Dimension::Whole)]);
    assert!(wrong.is_err());
}
