//! Random calendars, draws and hardware: what the answer splits over the
//! flights passes the audit, and nothing of it can wait for the next flight.

use proptest::prelude::*;

use super::*;
use crate::answer::fixture::{Sketch, spare, unit};
use crate::answer::{
    SparesPlan, draws, size_stores, split_cartridges, split_consumables, split_deliveries,
    throughput,
};
use crate::kinds::{Cartridge, Packing, Reserve};
use crate::physics::failures::FailureCount;

/// A calendar and a filter fed from bottles and from a tank.
#[derive(Clone, Debug)]
struct Case {
    /// Days of every phase, and draws from bottles and bulk cargo, kg/d.
    phases: Vec<(f64, f64, f64)>,
    /// Arrivals as shares of the mission, days they may be late, gear ratios.
    arrivals: Vec<(f64, f64, f64)>,
    starts_in_phase: usize,
    units: u32,
    holds_kg: f64,
    treats_kg: f64,
    life_days: f64,
    mtbf_days: f64,
    error_factor: Option<f64>,
    reserve_days: f64,
}

fn cases() -> impl Strategy<Value = Case> {
    let phase = (1.0..200.0_f64, 0.0..5.0_f64, 0.0..5.0_f64);
    let arrival = (0.01..0.99_f64, 0.0..80.0_f64, 1.0..3.0_f64);
    let hardware = (1..4_u32, 0.5..30.0_f64, 1.0..200.0_f64, 5.0..500.0_f64);
    let spares = (50.0..5000.0_f64, prop::option::of(1.0..6.0_f64));
    (
        prop::collection::vec(phase, 1..4),
        prop::collection::vec(arrival, 0..5),
        0..3_usize,
        hardware,
        spares,
        0.0..40.0_f64,
    )
        .prop_map(
            |(phases, arrivals, start, hardware, spares, reserve_days)| Case {
                starts_in_phase: start.min(phases.len() - 1),
                phases,
                arrivals,
                units: hardware.0,
                holds_kg: hardware.1,
                treats_kg: hardware.2,
                life_days: hardware.3,
                mtbf_days: spares.0,
                error_factor: spares.1,
                reserve_days,
            },
        )
}

fn network(case: &Case) -> Network {
    let names = ["first", "second", "third"];
    let phases: Vec<(&str, f64, f64)> = names
        .into_iter()
        .zip(&case.phases)
        .map(|(name, phase)| (name, phase.0, 1.0))
        .collect();
    let mission: f64 = case.phases.iter().map(|phase| phase.0).sum();
    let mut flights = vec![(0.0, None, 0.0, 1.0)];
    let mut arrivals = case.arrivals.clone();
    arrivals.sort_by(|left, right| left.0.total_cmp(&right.0));
    arrivals.dedup_by(|left, right| left.0 - right.0 < 1e-3);
    for (share, slip, gear_ratio) in arrivals {
        flights.push((share * mission, None, slip, gear_ratio));
    }
    let mut sketch = Sketch::new(&phases, &flights);
    let container = Packing::Container {
        holds_kg: case.holds_kg,
        tare_kg: 0.5,
    };
    sketch.cargo("bottles", "potable water", container, None);
    let packaging = Packing::Fraction(0.2);
    sketch.cargo("bulk", "potable water", packaging, Some("tank"));
    let tank = Tank::Whole {
        mass_kg: 20.0,
        holds_kg: 100.0,
    };
    let reserve = Reserve::Days(case.reserve_days);
    sketch.store("tank", "potable water", reserve, tank);
    let does = sketch.convert("", &[("potable water", 1.0)], &[("condensate", 1.0)]);
    let mut part = spare(7.0, case.mtbf_days, 0.8, None).unwrap();
    part.error_factor = case.error_factor;
    let filter = Hardware {
        life_days: Some(case.life_days),
        cartridge: Some(Cartridge {
            mass_kg: 3.0,
            treats_kg: case.treats_kg,
        }),
        expendables_kg_per_kg: 0.03,
        upkeep_kg_per_day: 0.02,
        spares: Some(part),
        ..unit(80.0, 10.0)
    };
    sketch.hardware("filter", filter, (1, 3), vec![does]);
    sketch.disposal("overboard", Way::Overboard, &["condensate"]);
    sketch.stream("potable water", "bottles", "filter");
    sketch.stream("potable water", "bulk", "tank");
    sketch.stream("potable water", "tank", "filter");
    sketch.stream("condensate", "filter", "overboard");
    let mut network = sketch.network;
    duties(&mut network, "filter").starts_in_phase = case.starts_in_phase;
    network.spares = Some(SparesPolicy::EachNode { confidence: 0.95 });
    network
}

fn decisions(case: &Case, network: &Network) -> Decisions {
    let by_phase = |draw: fn(&(f64, f64, f64)) -> f64| -> Vec<f64> {
        let phases = case.phases.iter().enumerate();
        phases
            .map(|(index, phase)| match index < case.starts_in_phase {
                true => 0.0,
                false => draw(phase),
            })
            .collect()
    };
    let bottles = by_phase(|phase| phase.1);
    let bulk = by_phase(|phase| phase.2);
    let fed = by_phase(|phase| phase.1 + phase.2);
    let levels = vec![
        vec![bottles.clone()],
        vec![bulk.clone()],
        vec![],
        vec![fed.clone()],
        vec![fed.clone()],
    ];
    let flows = vec![bottles, bulk.clone(), bulk, fed];
    let counts = vec![1, 1, 1, case.units, 1];
    let drawn = draws(network, &levels);
    let feed = throughput(network, &levels);
    let cargo = split_deliveries(network, &drawn);
    let filter = node(network, "filter");
    let mean = network.mean_failures(&[filter], &[case.units]);
    let failures = FailureCount::new(mean, case.error_factor);
    let spares = failures.spares_for(0.95);
    Decisions {
        running: vec![None; 5],
        cartridges: split_cartridges(network, &feed),
        consumables: split_consumables(network, &counts, &feed),
        spares: vec![SparesPlan {
            part: "filter".to_owned(),
            nodes: vec![filter],
            spares,
            confidence: failures.log_probability(spares).exp(),
        }],
        stores: size_stores(network, &flows, &drawn, &cargo),
        counts,
        levels,
        flows,
        cargo,
    }
}

fn audited(network: &Network, decisions: Decisions) -> Result<AuditReport, AuditFault> {
    let mut answer = Answer::of(network, decisions, fixture::proof());
    answer.proof.bound_kg = answer.launch_mass_kg;
    report(network, &answer)
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 200,
        failure_persistence: None,
        // The same cases every time: once in a million one falls within the
        // audit's tolerance of needing a piece less.
        rng_seed: proptest::test_runner::RngSeed::Fixed(1),
        ..ProptestConfig::default()
    })]

    #[test]
    fn what_is_split_over_the_flights_holds_and_comes_as_late_as_it_can(case in cases()) {
        let network = network(&case);
        let good = decisions(&case, &network);
        let report = audited(&network, good.clone());
        prop_assert!(report.is_ok(), "{}", report.unwrap_err());
        prop_assert!(report.unwrap().worst_residual < 1e-6);
        let flights = network.calendar.flights.len();
        for plan in 0..good.cargo.len() {
            let total: f64 = good.cargo[plan].kg.iter().sum();
            for flight in 0..flights - 1 {
                let kg = good.cargo[plan].kg[flight];
                if kg > 1e-3 * total {
                    let mut later = good.clone();
                    later.cargo[plan].kg[flight] -= kg / 2.0;
                    later.cargo[plan].kg[flight + 1] += kg / 2.0;
                    prop_assert!(audited(&network, later).is_err(), "{plan} on {flight}");
                }
            }
        }
        for flight in 0..flights - 1 {
            if good.cartridges[0].by_flight[flight] > 0 {
                let mut later = good.clone();
                later.cartridges[0].by_flight[flight] -= 1;
                later.cartridges[0].by_flight[flight + 1] += 1;
                prop_assert!(audited(&network, later).is_err(), "cartridge on {flight}");
            }
        }
    }
}
