//! Answers that misstate what follows from their decisions.

use super::*;
use crate::answer::Category;

#[test]
fn ledgers() {
    let line = |answer: &Answer, category: Category| {
        answer
            .ledger
            .iter()
            .position(|line| line.category == category)
            .unwrap()
    };
    let result = misstated(|answer| {
        let line = line(answer, Category::Hardware);
        answer.ledger[line].kg += 0.01;
    });
    rejected(
        result,
        &[Family::Ledger],
        "hardware of condenser on flight 0",
    );
    let result = misstated(|answer| {
        let line = line(answer, Category::Tanks);
        answer.ledger.remove(line);
    });
    rejected(result, &[Family::Ledger], "tanks of water tank on flight 0");
    let result = misstated(|answer| {
        let line = line(answer, Category::ReplacementUnits);
        answer.ledger[line].flight = 0;
    });
    rejected(
        result,
        &[Family::Ledger],
        "replacement units of urine still on flight 1",
    );
    let result = misstated(|answer| {
        let line = line(answer, Category::Spares);
        answer.ledger[line].item = "spring".to_owned();
    });
    rejected(result, &[Family::Ledger], "spares of spring on flight 0");
    let result = misstated(|answer| {
        let line = line(answer, Category::Packaging);
        answer.ledger[line].category = Category::Cargo;
    });
    rejected(
        result,
        &[Family::Ledger],
        "packaging of water cargo on flight 0",
    );
    // Two lines that say together what one should.
    let result = misstated(|answer| {
        let line = line(answer, Category::Cargo);
        answer.ledger[line].kg /= 2.0;
        let half = answer.ledger[line].clone();
        answer.ledger.push(half);
    });
    assert!(result.is_ok());
}

/// Every line is missed when it is left out. On the first flight units of 4
/// nodes, spares of 2 parts, cartridges, expendables, upkeep, 4 cargoes and
/// their packing, 2 reserves, 2 tanks; on the second a replacement, cartridges,
/// expendables, upkeep, 4 cargoes and their packing.
#[test]
fn no_ledger_line_is_idle() {
    let lines = fixture::answer(&fixture::network()).ledger.len();
    assert_eq!(lines, 21 + 12);
    for line in 0..lines {
        let result = misstated(|answer| drop(answer.ledger.remove(line)));
        assert!(result.is_err(), "{line}");
    }
}

#[test]
fn launch_mass() {
    let result = misstated(|answer| answer.launch_mass_kg += 0.1);
    rejected(result, &[Family::LaunchMass], "launch mass");
    let result = misstated(|answer| answer.launch_mass_kg = f64::NAN);
    rejected(result, &[Family::LaunchMass], "launch mass");
    // The gear ratio counts.
    let result = misstated(|answer| {
        answer.launch_mass_kg = answer.ledger.iter().map(|line| line.kg).sum();
    });
    rejected(result, &[Family::LaunchMass], "launch mass");
}

#[test]
fn masses_that_prove_too_much() {
    let result = misstated(|answer| answer.proof.bound_kg += 1.0);
    let name = "launch mass is not below the mass proved to be needed";
    rejected(result, &[Family::LaunchMass], name);
    let result = misstated(|answer| answer.proof.gap = 0.01);
    let name = "gap between the launch mass and the mass proved to be needed";
    rejected(result, &[Family::LaunchMass], name);
    let result = misstated(|answer| {
        answer.proof.gap = 0.25;
        answer.proof.bound_kg = 0.75 * answer.launch_mass_kg;
    });
    assert!(result.is_ok());
    // Nothing proved yet.
    let result = misstated(|answer| answer.proof.bound_kg = f64::NEG_INFINITY);
    assert!(result.is_ok());
}

#[test]
fn recovery_figures() {
    type Change = fn(&mut Answer);
    let wrong: [(&str, Change); 4] = [
        ("water recovery", |a| a.recovery.water_recovery = Some(0.99)),
        ("water lost share", |a| {
            a.recovery.water_lost_share = Some(0.01)
        }),
        ("oxygen closure", |a| a.recovery.oxygen_closure = Some(0.5)),
        ("loop closure by mass", |a| {
            a.recovery.loop_closure_by_mass = Some(f64::NAN)
        }),
    ];
    for (name, change) in wrong {
        rejected(misstated(change), &[Family::Recovery], name);
    }
    let absent: [(&str, Change); 4] = [
        ("water recovery", |a| a.recovery.water_recovery = None),
        ("water lost share", |a| a.recovery.water_lost_share = None),
        ("oxygen closure", |a| a.recovery.oxygen_closure = None),
        ("loop closure by mass", |a| {
            a.recovery.loop_closure_by_mass = None
        }),
    ];
    for (name, change) in absent {
        let name = format!("whether there is a {name}");
        rejected(misstated(change), &[Family::Recovery], &name);
    }
}

#[test]
fn other_figures() {
    type Change = fn(&mut Answer);
    let wrong: [(&str, Change); 11] = [
        ("feed of condenser, operations", |a| {
            a.throughput[3][1] = 8.9
        }),
        ("draw of water cargo, shakedown", |a| {
            a.draws[0].kg_per_day[0] = 0.21
        }),
        ("stated stock of tanker water on day 90", |a| {
            a.stock[1].levels[2].start_kg = 7.5
        }),
        ("stated stock of ration cargo on day 180", |a| {
            a.stock[3].levels[2].end_kg = 1.0
        }),
        ("power, shakedown", |a| a.power_w[0] += 1.0),
        ("heat, operations", |a| a.heat_w[1] = 0.0),
        ("crew time, operations", |a| a.crew_time_h_per_day[1] = 0.1),
        ("volume of all units", |a| a.volume_m3 = 1.0),
        ("waste of stowage", |a| a.waste[1].kg -= 1.0),
        ("waste of removal, day 0 to 90", |a| {
            a.waste[2].windows_kg[0] = 0.0
        }),
        ("departures that take waste from removal", |a| {
            a.waste[2].windows_kg.pop();
        }),
    ];
    for (name, change) in wrong {
        rejected(misstated(change), &[Family::Figures], name);
    }
    let result = misstated(|answer| answer.waste[1].way = Way::Overboard);
    rejected(result, &[Family::Figures], "how waste leaves stowage");
}
