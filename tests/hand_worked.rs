//! Designs worked by hand, each for one feature alone. The algebra stands in a
//! comment at the head of each file in `tests/hand_worked`, and below it what
//! follows from it:
//!
//! ```text
//! // family: capacity               the rows without which the mass would be less
//! // within 1e-3                    how near, where not 1e-6
//! // expect mass = 180
//! // expect units of "filter" = 2
//! // expect mass of "a variant" = 90
//! // expect no balance
//! ```
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod designs_read;
#[path = "hand_worked/look.rs"]
mod look;
#[path = "hand_worked/spares_by_force.rs"]
mod spares_by_force;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use designs_read::{files, name, open, path, text};
use look::Wanted;
use loopwright::Planned;
use loopwright::audit::Plan;
use loopwright::program::{Form, Program, formulate};
use loopwright::solve::{Options, Outcome, solve_whole};

fn designs() -> Vec<PathBuf> {
    let designs = files(&path("tests/hand_worked"), ".ron");
    assert!(designs.len() > 30, "{} designs", designs.len());
    designs
}

/// What a file states about itself.
struct Case {
    file: PathBuf,
    wanted: Vec<Wanted>,
    within: f64,
    family: Option<String>,
    no_balance: bool,
}

impl Case {
    fn of(file: &Path) -> Self {
        let text = text(file);
        let lines: Vec<&str> = text
            .lines()
            .filter_map(|line| line.strip_prefix("// "))
            .collect();
        let after = |start: &str| lines.iter().find_map(|line| line.strip_prefix(start));
        let case = Case {
            file: file.to_owned(),
            wanted: lines.iter().filter_map(|line| Wanted::of(line)).collect(),
            within: after("within ").map_or(1e-6, |within| within.parse().unwrap()),
            family: after("family: ").map(str::to_owned),
            no_balance: lines.contains(&"expect no balance"),
        };
        assert!(
            case.no_balance != case.wanted.iter().any(Wanted::is_mass),
            "{}: a mass or none",
            name(file)
        );
        case
    }

    fn planned(&self, variant: Option<&str>) -> Planned {
        let reading = open(&self.file, variant);
        loopwright::plan(reading.design(), &Default::default())
            .unwrap_or_else(|refusal| panic!("{}: {refusal:?}", self.file.display()))
    }

    fn plan(&self, variant: Option<&str>) -> Plan {
        match self.planned(variant) {
            Planned::Plan(plan) => *plan,
            other => panic!("{}: {other:?}", self.file.display()),
        }
    }

    /// What is minimised, kg: equivalent system mass where it is asked for.
    fn minimised(&self) -> f64 {
        let of = |is: fn(&Wanted) -> bool| self.wanted.iter().find(|wanted| is(wanted));
        let mass = of(Wanted::is_equivalent_mass).or_else(|| of(Wanted::is_mass));
        mass.unwrap().value
    }

    fn program(&self, form: Form) -> Program {
        formulate(&open(&self.file, None).network(), form)
    }
}

#[test]
fn answers_are_those_worked_by_hand() {
    let mut wrong = Vec::new();
    for file in designs() {
        let case = Case::of(&file);
        if case.no_balance {
            let planned = case.planned(None);
            assert!(
                matches!(planned, Planned::NoBalance(_)),
                "{}: {planned:?}",
                file.display()
            );
            continue;
        }
        let plan = case.plan(None);
        for wanted in &case.wanted {
            let found = match wanted.variant() {
                Some(variant) => case.plan(Some(variant)).answer().launch_mass_kg,
                None => look::found(&plan, wanted),
            };
            if (found - wanted.value).abs() > case.within {
                wrong.push(format!(
                    "{}: {}: {} worked by hand, {found} found",
                    name(&file),
                    wanted.what,
                    wanted.value
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The whole program, flight by flight, in one piece through another solver.
#[test]
fn the_whole_program_has_the_same_optimum() {
    for file in designs() {
        let case = Case::of(&file);
        let outcome = solve_whole(&case.program(Form::PerFlight), &Options::default()).unwrap();
        match outcome {
            Outcome::Solved(solution) if !case.no_balance => {
                let off = (solution.objective_kg - case.minimised()).abs();
                assert!(
                    off <= case.within,
                    "{}: {}",
                    file.display(),
                    solution.objective_kg
                );
            }
            Outcome::Infeasible if case.no_balance => {}
            other => panic!("{}: {other:?}", file.display()),
        }
    }
}

/// Rows that could be left out without anybody noticing would not be tested.
#[test]
fn without_its_family_of_rows_each_design_is_lighter() {
    let mut families = BTreeSet::new();
    for file in designs() {
        let case = Case::of(&file);
        let Some(family) = &case.family else { continue };
        let mut program = case.program(Form::PerFlight);
        let all = program.rows.len();
        program
            .rows
            .retain(|row| format!("{:?}", row.family).to_lowercase() != *family);
        assert!(
            program.rows.len() < all,
            "{}: no rows of {family}",
            file.display()
        );
        match solve_whole(&program, &Options::default()).unwrap() {
            Outcome::Solved(solution) => {
                let saved = case.minimised() - solution.objective_kg;
                assert!(
                    saved > 0.01,
                    "{}: {saved} kg without {family}",
                    file.display()
                );
            }
            other => panic!("{}: {other:?}", file.display()),
        }
        families.insert(family.clone());
    }
    let known: BTreeSet<String> = files(&path("src/program"), ".rs")
        .iter()
        .filter(|file| text(file).contains("pub(super) fn rows("))
        .map(|file| name(file).replace(".rs", ""))
        .collect();
    assert_eq!(
        families, known,
        "families of rows with a design of their own, and all"
    );
}
