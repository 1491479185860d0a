//! Neighbours planned in turn, each beside the one before, against the same designs
//! planned alone: what a search leaves behind changes the time, not the answer.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod designs_read;
mod family;

use std::time::Duration;

use designs_read::{path, read, text};
use family::Member;
use loopwright::audit::Plan;
use loopwright::design::Design;
use loopwright::network::{Network, lasting};
use loopwright::solve::{Options, Trail};
use loopwright::{Hints, Planned, Refusal, network, plan_in_turn, plan_network};

/// Both prove to this share of the mass.
const AGREES: f64 = 2e-9;

/// Linear programs solved in turn, and alone.
type Effort = (usize, usize);

/// Plans networks in turn and alone, and compares.
fn in_turn(what: &str, networks: &[Network]) -> Effort {
    let hints = Hints {
        reference: false,
        causes: false,
        ..Hints::default()
    };
    let mut trail = Trail::default();
    let mut effort = (0, 0);
    for (index, network) in networks.iter().enumerate() {
        let beside = planned(plan_in_turn(network, &hints, Some(&mut trail)));
        let alone = planned(plan_network(network, &hints));
        let (Some(beside), Some(alone)) = (&beside, &alone) else {
            assert_eq!(beside.is_some(), alone.is_some(), "{what} {index}");
            continue;
        };
        let masses = [beside, alone].map(|plan| plan.answer().minimised_kg());
        assert!(
            (masses[0] - masses[1]).abs() <= AGREES * masses[1],
            "{what} {index}: {masses:?} kg"
        );
        assert_eq!(
            beside.units_by_name(),
            alone.units_by_name(),
            "{what} {index}"
        );
        effort.0 += beside.answer().proof.relaxations;
        effort.1 += alone.answer().proof.relaxations;
    }
    effort
}

fn planned(found: Result<Planned, Refusal>) -> Option<Plan> {
    match found.unwrap() {
        Planned::Plan(plan) => Some(*plan),
        Planned::NoBalance(_) => None,
        Planned::Unknown { .. } => panic!("not solved"),
    }
}

/// A ready design.
fn ready(name: &str) -> Design {
    let text = text(&path(&format!("designs/{name}.ron")));
    read(name, &text, None, &[]).design.unwrap()
}

/// Every ready design that is quick to plan, cut and stretched.
#[test]
fn missions_of_other_lengths() {
    for name in [
        "classroom",
        "ridge-outpost",
        "long-transit",
        "orbital-laboratory",
    ] {
        let design = ready(name);
        let network = network::check(&design).unwrap().network;
        let whole = network.calendar.mission_days();
        // Flights and phases come and go at some of the steps.
        let networks: Vec<Network> = [0.5, 0.505, 0.51, 0.6, 0.8, 0.81, 1.0, 1.01]
            .into_iter()
            .map(|share| lasting(&design, &network, share * whole))
            .map(|design| network::check(&design).unwrap().network)
            .collect();
        let (turn, alone) = in_turn(name, &networks);
        println!("{name}: {turn} linear programs in turn, {alone} alone");
    }
}

/// Neighbours in name only: crews of one and of nine in turn, and masses that have
/// nothing to do with each other. What one leaves is of little use to the next, and
/// does no harm.
#[test]
fn strangers() {
    for (options, phases, payload_kg) in [(6, 1, None), (12, 2, None), (8, 2, Some(3_000.0))] {
        let member = Member {
            payload_kg,
            ..Member::new(options, phases, 3)
        };
        let networks: Vec<Network> = (0..8)
            .map(|number| {
                let crew = format!("mission.phases.phase 0.crew={}", [1, 9, 3, 2][number % 4]);
                let kg = [20, 900, 90, 300, 1_500][number % 5];
                let kind = ["still", "filter", "dryer"][number % 3];
                let mass = format!("nodes.{kind} 1.unit.mass={kg} kg");
                read("member", &member.text(), None, &[&crew, &mass]).network()
            })
            .collect();
        let (turn, alone) = in_turn(&member.name(), &networks);
        assert_ne!(turn, alone, "{}: no trail was followed", member.name());
        println!(
            "{}: {turn} linear programs in turn, {alone} alone",
            member.name()
        );
    }
}

/// A neighbour a little longer has most of its work done.
#[test]
fn a_close_neighbour_needs_fewer_linear_programs() {
    let design = ready("ridge-outpost");
    let network = network::check(&design).unwrap().network;
    let networks: Vec<Network> = (0..8)
        .map(|step| lasting(&design, &network, 400.0 + 0.5 * f64::from(step)))
        .map(|design| network::check(&design).unwrap().network)
        .collect();
    let (turn, alone) = in_turn("ridge-outpost", &networks);
    assert!(4 * turn < 3 * alone, "{turn} against {alone}");
}

/// Where the time is over before its parts are looked at, a bound is still known: that
/// of the relaxation without cuts, some four fifths of the mass.
#[test]
fn a_search_that_is_stopped_has_a_bound() {
    let design = ready("ridge-outpost");
    let network = network::check(&design).unwrap().network;
    let hints = |time_limit| Hints {
        reference: false,
        ..Hints::from(Options {
            time_limit,
            ..Options::default()
        })
    };
    let mut trail = Trail::default();
    let plan = planned(plan_in_turn(&network, &hints(None), Some(&mut trail))).unwrap();
    let kg = plan.answer().minimised_kg();
    let stopped = plan_in_turn(&network, &hints(Some(Duration::ZERO)), Some(&mut trail));
    let bound_kg = match stopped.unwrap() {
        Planned::Plan(plan) => plan.answer().proof.bound_kg,
        Planned::Unknown { bound_kg } => bound_kg,
        Planned::NoBalance(_) => panic!("there is a plan"),
    };
    assert!(
        bound_kg > 0.75 * kg && bound_kg < kg,
        "{bound_kg} of {kg} kg"
    );
}
