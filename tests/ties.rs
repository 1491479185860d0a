//! Twins: portfolios that weigh the same, few enough to be listed on the way and so
//! many that they are not. Either way the smallest counts in file order are chosen.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod designs_read;

use std::collections::BTreeMap;
use std::fmt::Write;

use designs_read::read;
use loopwright::audit::Plan;
use loopwright::network::Network;
use loopwright::program::{Form, formulate};
use loopwright::solve::{Backend, Options, Outcome, solve_whole};
use loopwright::{Hints, Planned, plan_network};

/// Filters that differ in their names alone. Every one saves 1 kg/d over a hundred
/// days and weighs less than that, so as many fly as 4 kg/d of grey water ask for.
struct Twins {
    what: &'static str,
    /// As many nodes, each up to so many units.
    nodes: usize,
    most: u32,
    /// What else a unit states.
    unit: &'static str,
    /// Where they stand in the mission, and what flies them.
    mission: &'static str,
    from: &'static str,
    /// What else the design states.
    more: &'static str,
    /// The smallest counts in file order.
    counts: &'static [u32],
}

const ONE_PHASE: &str = "phases: [Phase(name: \"stay\", length: \"100 d\", crew: 0)]";

const CASES: [Twins; 6] = [
    Twins {
        what: "six twins, fifteen ways",
        nodes: 6,
        most: 1,
        unit: "",
        mission: ONE_PHASE,
        from: "",
        more: "",
        counts: &[0, 0, 1, 1, 1, 1],
    },
    Twins {
        what: "eight twins, seventy ways",
        nodes: 8,
        most: 1,
        unit: "",
        mission: ONE_PHASE,
        from: "",
        more: "",
        counts: &[0, 0, 0, 0, 1, 1, 1, 1],
    },
    Twins {
        what: "six twins of up to three units, 120 ways",
        nodes: 6,
        most: 3,
        unit: "",
        mission: ONE_PHASE,
        from: "",
        more: "",
        counts: &[0, 0, 0, 0, 1, 3],
    },
    Twins {
        what: "eight twins with spares",
        nodes: 8,
        most: 1,
        unit: ", spares: Spares(mass: \"3 kg\", mtbf: \"9000 h\")",
        mission: ONE_PHASE,
        from: "",
        more: "spares: WholeSystem(confidence: 0.95),",
        counts: &[0, 0, 0, 0, 1, 1, 1, 1],
    },
    Twins {
        what: "eight twins with whole cartridges",
        nodes: 8,
        most: 1,
        unit: ", cartridge: Cartridge(mass: \"2 kg\", treats: \"30 kg\")",
        mission: ONE_PHASE,
        from: "",
        more: "",
        counts: &[0, 0, 0, 0, 1, 1, 1, 1],
    },
    // Over the second fifty days only three of 15 kg fit on the flight.
    Twins {
        what: "eight twins on a flight that binds, 56 ways",
        nodes: 8,
        most: 1,
        unit: "",
        mission: "phases: [Phase(name: \"before\", length: \"50 d\", crew: 0), \
                  Phase(name: \"stay\", length: \"50 d\", crew: 0)], \
                  flights: [Flight(day: \"50 d\", payload: \"50 kg\")]",
        from: ", from: \"stay\"",
        more: "",
        counts: &[0, 0, 0, 0, 0, 1, 1, 1],
    },
];

impl Twins {
    fn network(&self) -> Network {
        let (mut nodes, mut names) = (String::new(), Vec::new());
        for number in 0..self.nodes {
            let (unit, most, from) = (self.unit, self.most, self.from);
            names.push(format!("\"filter {number}\""));
            let _ = writeln!(
                nodes,
                "\"filter {number}\": Processor(turns: {{\"grey water\": {{\"potable water\": 1.0}}}}, \
                 unit: Unit(mass: \"15 kg\", capacity: \"1 kg/d\"{unit}), count: UpTo({most}){from}),"
            );
        }
        let filters = names.join(", ");
        let text = format!(
            "// Every number is invented.\nDesign(format: 1, title: \"Twins\", mission: Mission({}),\nnodes: {{\n\
             \"use\": Consumer(takes: {{\"potable water\": \"4 kg\"}}, per: Day, gives: {{\"grey water\": 1.0}}),\n\
             {nodes}\"water cargo\": Cargo(gives: \"potable water\"),\n\"overboard\": Disposal(way: Overboard),\n}},\n\
             streams: {{\n\"potable water\": [[[{filters}, \"water cargo\"], \"use\"]],\n\
             \"grey water\": [[\"use\", [{filters}, \"overboard\"]]],\n}},\n{})\n",
            self.mission, self.more
        );
        read(self.what, &text, None, &[]).network()
    }

    /// The lightest plan with counts held, or with none held.
    fn plan(&self, network: &Network, counts: Option<&[u32]>, backend: Backend) -> Plan {
        let held = counts.into_iter().flatten().enumerate();
        let hints = Hints {
            counts: held
                .map(|(number, &units)| (format!("filter {number}"), units..=units))
                .collect::<BTreeMap<_, _>>(),
            options: Options {
                backend,
                ..Options::default()
            },
            ..Hints::default()
        };
        match plan_network(network, &hints) {
            Ok(Planned::Plan(plan)) => *plan,
            other => panic!("{}: {other:?}", self.what),
        }
    }

    fn counts(plan: &Plan) -> Vec<u32> {
        let units = plan.units_by_name().into_iter();
        let filters = units.filter(|(name, _)| name.starts_with("filter"));
        filters.map(|(_, units)| units).collect()
    }
}

#[test]
fn of_twins_the_smallest_counts_in_file_order_fly() {
    for twins in &CASES {
        let network = twins.network();
        for backend in [Backend::Kernel, Backend::Library] {
            let plan = twins.plan(&network, None, backend);
            assert_eq!(
                Twins::counts(&plan),
                twins.counts,
                "{} {backend:?}",
                twins.what
            );
        }
    }
}

#[test]
fn twins_the_other_way_round_weigh_the_same_and_what_the_whole_program_says() {
    for twins in &CASES {
        let network = twins.network();
        let chosen = twins.plan(&network, None, Backend::Kernel);
        let chosen_kg = chosen.answer().minimised_kg();
        let turned: Vec<u32> = twins.counts.iter().rev().copied().collect();
        let other = twins.plan(&network, Some(&turned), Backend::Kernel);
        assert_eq!(Twins::counts(&other), turned);
        let other_kg = other.answer().minimised_kg();
        assert!(
            (chosen_kg - other_kg).abs() < 1e-6,
            "{}: {chosen_kg} {other_kg}",
            twins.what
        );
        let program = formulate(&network, Form::PerFlight);
        match solve_whole(&program, &Options::default()) {
            Ok(Outcome::Solved(whole)) => {
                let whole_kg = whole.objective_kg;
                assert!(
                    (chosen_kg - whole_kg).abs() < 1e-6,
                    "{}: {chosen_kg} {whole_kg}",
                    twins.what
                );
            }
            other => panic!("{}: {other:?}", twins.what),
        }
    }
}
