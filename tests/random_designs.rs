//! Random designs with every feature of the format, solved by this tool and, as
//! an exported program, by a second solver: both find the same optimum, or both
//! find that nothing balances.
//!
//! `LOOPWRIGHT_RANDOM_DESIGNS=500` tries more of them than the hundred, and `500..1000`
//! those of these seeds. A design that fails is kept with its program under
//! `target/random_designs`; those that once failed are in `tests/random_designs/found`.
//! Without the second solver the comparison says that it was skipped; with
//! LOOPWRIGHT_SECOND_SOLVER=required (as `.ci/run` sets) it fails instead.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod designs_read;
#[path = "random_designs/mod.rs"]
mod generator;
#[path = "second_solver/mod.rs"]
mod referee;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::ops::Range;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::{Arc, Mutex, OnceLock};
use std::time::Duration;

use designs_read::balance::mass_in_is_mass_out;
use designs_read::{files, name, path, read, text};
use generator::{FEATURES, RandomDesign, random_design};
use libtest_mimic::{Arguments, Failed, Trial};
use loopwright::answer::{FlightsForm, Status};
use loopwright::network::Network;
use loopwright::program::{Form, formulate, to_mps};
use loopwright::solve::Options;
use loopwright::{Planned, Refusal};
use referee::{Referee, Verdict, find_python, is_required};

/// Two optima may differ by this share.
const AGREES: f64 = 1e-6;

/// How long one design may take.
const PATIENCE: Duration = Duration::from_secs(60);

fn main() -> ExitCode {
    let arguments = Arguments::from_args();
    let wanted = std::env::var("LOOPWRIGHT_RANDOM_DESIGNS").ok();
    let seeds = wanted.map_or(0..100, |words| seeds(&words));
    let referee = find_python().and_then(|python| {
        let referee = Referee::start(&python).map_err(|error| error.to_string())?;
        Ok(Mutex::new(referee))
    });
    let skipped = referee.is_err() && !is_required();
    if let (Err(reason), true) = (&referee, skipped) {
        eprintln!("second solver skipped: {reason}");
    }
    let mut designs: Vec<(String, RandomDesign)> = seeds
        .map(|seed| (format!("random design {seed}"), random_design(seed)))
        .collect();
    let seeds = designs.len();
    for file in files(&path("tests/random_designs/found"), ".ron") {
        let text = text(&file);
        let other = text.contains("variants:").then_some(Some("other"));
        designs.extend([None].into_iter().chain(other).map(|variant| {
            let design = RandomDesign {
                text: text.clone(),
                variant,
                features: BTreeSet::new(),
            };
            let name = format!("{} {}", name(&file), variant.unwrap_or("as it is"));
            (name, design)
        }));
    }
    let court = Arc::new(Court {
        referee,
        seeds,
        cases: designs.iter().map(|_| OnceLock::new()).collect(),
        designs,
    });
    let mut trials: Vec<Trial> = (0..court.designs.len())
        .flat_map(|number| {
            let name = &court.designs[number].0;
            let (here, there) = (court.clone(), court.clone());
            let plans = Trial::test(format!("{name} passes its audit"), move || {
                here.case(number).plans()
            });
            let agrees = Trial::test(format!("second solver agrees on {name}"), move || {
                there.compare(number)
            });
            match skipped {
                true => [plans, agrees.with_kind("skipped").with_ignored_flag(true)],
                false => [plans, agrees],
            }
        })
        .collect();
    if seeds >= 100 {
        trials.push(Trial::test(
            "every feature is in a random design that balances",
            move || court.count_features(),
        ));
    }
    libtest_mimic::run(&arguments, trials).exit_code()
}

/// So many from the first, or `FIRST..END`.
fn seeds(words: &str) -> Range<u64> {
    let (first, end) = words.split_once("..").unwrap_or(("0", words));
    first.parse().unwrap()..end.parse().unwrap()
}

/// Every design once, and who judges them.
struct Court {
    referee: Result<Mutex<Referee>, String>,
    /// Designs of so many seeds, then those that once failed.
    seeds: usize,
    designs: Vec<(String, RandomDesign)>,
    cases: Vec<OnceLock<Case>>,
}

impl Court {
    /// Solves a design, if nobody has yet.
    fn case(&self, number: usize) -> &Case {
        let (name, design) = &self.designs[number];
        self.cases[number].get_or_init(|| Case::of(name, design))
    }

    fn compare(&self, number: usize) -> Result<(), Failed> {
        let case = self.case(number);
        let Ok(referee) = &self.referee else {
            return Err("the second solver is required, but absent".into());
        };
        let program = formulate(&case.network, Form::PerFlight);
        let file = case.file("mps");
        fs::write(&file, to_mps(&program, &case.network.title))?;
        let mut referee = referee.lock().unwrap();
        let same = |theirs: Verdict| match (case.minimised_kg(), theirs) {
            (Some(ours), Verdict::Optimal(theirs)) => {
                (ours - theirs).abs() <= AGREES * ours.abs().max(1.0)
            }
            (None, Verdict::Infeasible) => true,
            _ => false,
        };
        let mut theirs = referee.solve(&file)?;
        if !same(theirs) {
            theirs = referee.solve_plainly(&file)?;
        }
        if same(theirs) {
            fs::remove_file(&file)?;
            return Ok(());
        }
        let ours = case.words();
        Err(format!(
            "{ours} here, {theirs:?} by the second solver; see {}",
            case.keep().display()
        )
        .into())
    }

    fn count_features(&self) -> Result<(), Failed> {
        let mut balanced: BTreeMap<&str, usize> = FEATURES.iter().map(|name| (*name, 0)).collect();
        let mut none = 0;
        for seed in 0..self.seeds {
            let case = self.case(seed);
            let found = case.at_work();
            none += usize::from(found.is_none());
            for feature in found.into_iter().flatten() {
                *balanced.entry(feature).or_default() += 1;
            }
        }
        println!(
            "{none} of {} have no balance; features of the others: {balanced:#?}",
            self.seeds
        );
        let missing: Vec<_> = balanced.iter().filter(|(_, count)| **count == 0).collect();
        if !missing.is_empty() {
            return Err(format!("no design with a balance has {missing:?}").into());
        }
        let share = none as f64 / self.seeds as f64;
        match (0.15..0.4).contains(&share) {
            true => Ok(()),
            false => Err(format!("{none} designs have no balance").into()),
        }
    }
}

/// A design as solved here.
struct Case {
    name: String,
    text: String,
    features: BTreeSet<&'static str>,
    network: Network,
    planned: Result<Planned, String>,
}

impl Case {
    fn of(name: &str, design: &RandomDesign) -> Self {
        let network = read(name, &design.text, design.variant, &[]).checked();
        let network = network.unwrap_or_else(|complaints| {
            let words: Vec<&str> = complaints.iter().map(|one| one.headline.as_str()).collect();
            panic!("{name} is refused: {words:#?}\n{}", design.text)
        });
        let options = Options {
            time_limit: Some(PATIENCE),
            ..Options::default()
        };
        let planned = loopwright::plan_network(&network.network, &options.into());
        Case {
            name: name.to_owned(),
            text: design.text.clone(),
            features: design.features.clone(),
            network: network.network,
            planned: planned.map_err(|refusal| match refusal {
                Refusal::Failure(failure) => failure.to_string(),
                Refusal::Design(complaints) => format!("{complaints:?}"),
            }),
        }
    }

    /// Solved to the end, audited, and nothing lost.
    fn plans(&self) -> Result<(), Failed> {
        let fault = match &self.planned {
            Ok(Planned::Plan(plan)) if plan.answer().proof.status == Status::Optimal => {
                mass_in_is_mass_out(&self.network, plan).err()
            }
            Ok(Planned::NoBalance(why)) => why
                .causes
                .is_empty()
                .then(|| "nothing balances, and no cause is found".to_owned()),
            _ => Some(self.words()),
        };
        match fault {
            None => Ok(()),
            Some(words) => Err(format!("{words}; see {}", self.keep().display()).into()),
        }
    }

    /// What was minimised, kg, where something balances.
    fn minimised_kg(&self) -> Option<f64> {
        match &self.planned {
            Ok(Planned::Plan(plan)) => Some(plan.answer().minimised_kg()),
            _ => None,
        }
    }

    fn words(&self) -> String {
        match &self.planned {
            Ok(Planned::Plan(plan)) => {
                let answer = plan.answer();
                let proof = &answer.proof;
                format!(
                    "{:?} {} kg, {:?}",
                    proof.status,
                    answer.minimised_kg(),
                    proof.flights_form
                )
            }
            Ok(Planned::NoBalance(_)) => "no balance".to_owned(),
            Ok(Planned::Unknown { .. }) => "stopped with nothing found".to_owned(),
            Err(words) => words.clone(),
        }
    }

    /// What the format offers and the answer uses, where something balances.
    fn at_work(&self) -> Option<BTreeSet<&'static str>> {
        let Ok(Planned::Plan(plan)) = &self.planned else {
            return None;
        };
        let answer = plan.answer();
        let mut found = self.features.clone();
        found.insert(match answer.proof.flights_form {
            FlightsForm::TotalsSplit => "summed over the flights",
            FlightsForm::PerFlight => "flight by flight",
        });
        found.extend(answer.ledger.iter().map(|line| line.category.words()));
        Some(found)
    }

    /// Keeps the design for whoever looks into it.
    fn keep(&self) -> PathBuf {
        let file = self.file("ron");
        fs::write(&file, &self.text).unwrap();
        file
    }

    /// A file for what belongs to the design.
    fn file(&self, ending: &str) -> PathBuf {
        let folder = path("target/random_designs");
        fs::create_dir_all(&folder).unwrap();
        folder.join(format!("{}.{ending}", self.name.replace(' ', "_")))
    }
}
