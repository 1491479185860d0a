//! A plan as formulas of the design's numbers: what it runs, brings and weighs,
//! followed back to inputs that may be changed.
//!
//! The hardware stays as the plan has it. How the loop runs is the solution of the
//! rows of the plan that are tight; containers, cartridges, tanks and spares are
//! rounded up anew; the ledger follows. Where that is no longer feasible, or is not
//! known to be the lightest, a check says so.

mod book;
mod calendar;
mod checks;
mod deliveries;
mod equations;
mod facts;
mod formula;
mod hardware;
mod inputs;
mod ledger;
mod operation;
mod order;
mod ranges;
mod spares;
mod stores;
mod trace;

use std::collections::BTreeMap;

pub use book::{Book, BookCell, Content, Entry, Ring, Sheet, Show, Table};
pub use formula::{CellId, Comparison, Formula, Function, Value};
pub use inputs::{Input, Part};
pub use ranges::{Range, Reach};

use crate::answer::Answer;
use crate::audit::Plan;
use crate::design::Design;
use crate::network::Network;
use facts::{Fact, Facts};
use inputs::Number;
use trace::Traced;

/// A plan as formulas.
#[derive(Clone, Debug)]
pub struct LivePlan {
    /// Cells and the tables that show them.
    pub book: Book,
    /// The design's numbers.
    pub inputs: Vec<Input>,
    /// How far each input was followed, in the order of the inputs.
    pub ranges: Vec<Range>,
    /// Launch mass, kg.
    pub launch_mass: CellId,
    /// What the plan minimises, kg.
    pub minimised: CellId,
    /// How many checks fail.
    pub failed: CellId,
    /// Whether the totals hold, in words.
    pub verdict: CellId,
}

/// Formulas that do not give the plan's own numbers: a fault of this tool.
#[derive(Clone, Debug, PartialEq)]
pub struct Astray(pub Vec<String>);

impl std::fmt::Display for Astray {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "formulas miss the plan: {}", self.0.join("; "))
    }
}

impl std::error::Error for Astray {}

/// Writes a plan of a design as formulas; `reach` says how far inputs are followed.
///
/// # Errors
///
/// Formulas that do not give the plan's own numbers.
pub fn live(design: &Design, plan: &Plan, reach: &Reach) -> Result<LivePlan, Astray> {
    let network = plan.network();
    let facts = Facts::of(network);
    let numbers = inputs::numbers(design);
    let traced = trace::trace(design, &facts, &numbers);
    let mut book = Book::default();
    let inputs = inputs::cells(&mut book, &numbers, &traced.parts);
    let mut draft = Draft {
        network,
        answer: plan.answer(),
        book,
        inputs,
        facts,
        numbers,
        traced,
        steady: design.written.mission.resupply.is_some(),
        known: BTreeMap::new(),
        rates: Table::new(
            Sheet::Rates,
            "What nodes take, give and ask for",
            &[("number", Show::Long), ("value", Show::Plain), ("unit", Show::Short)],
        )
        .noted("Per person, per occasion, or per kilogram fed; numbers that stand on Inputs as they are, are not repeated here."),
    };
    let days = calendar::calendar(&mut draft);
    let units = hardware::units(&mut draft);
    let operation = operation::operation(&mut draft, &days, &units);
    let brought = deliveries::deliveries(&mut draft, &days, &units, &operation);
    let spares = spares::spares(&mut draft, &days, &units);
    let stores = stores::stores(&mut draft, &days, &operation, &brought);
    let loads = operation::loads(&mut draft, &days, &units, &operation, &brought);
    let totals = ledger::ledger(
        &mut draft,
        &ledger::Parts {
            days: &days,
            units: &units,
            brought: &brought,
            spares: &spares,
            stores: &stores,
            loads: &loads,
        },
    );
    let holding = checks::Holding {
        days: &days,
        units: &units,
        operation: &operation,
        brought: &brought,
        spares: &spares,
        loads: &loads,
        totals: &totals,
    };
    let checks = checks::checks(&mut draft, &holding);
    let rates = std::mem::replace(&mut draft.rates, Table::new(Sheet::Rates, "", &[]));
    draft.book.table(rates);
    if !draft.book.astray.is_empty() {
        return Err(Astray(draft.book.astray));
    }
    let ranges = ranges::ranges(design, plan, &draft, &checks, &totals, reach);
    let (failed, verdict) = checks::verdict(&mut draft, checks, &ranges);
    Ok(LivePlan {
        book: draft.book,
        inputs: draft.inputs,
        ranges,
        launch_mass: totals.launch_mass,
        minimised: totals.minimised,
        failed,
        verdict,
    })
}

/// A book while it is written.
struct Draft<'a> {
    network: &'a Network,
    answer: &'a Answer,
    book: Book,
    inputs: Vec<Input>,
    facts: Facts,
    numbers: Vec<Number>,
    traced: Traced,
    /// Whether flights come at a steady cadence.
    steady: bool,
    known: BTreeMap<Fact, Formula>,
    rates: Table,
}

impl Draft<'_> {
    /// A fact as a formula: nothing, one, an input, or a cell among the rates.
    fn fact(&mut self, fact: Fact) -> Formula {
        if let Some(known) = self.known.get(&fact) {
            return known.clone();
        }
        let number = self.facts.numbers.get(&fact).copied().unwrap_or(0.0);
        let traced = self.traced.formula(fact, number, &self.inputs);
        let formula = match traced {
            Formula::Number(0.0 | 1.0) | Formula::Cell(_) => traced,
            traced => {
                let (words, unit) = facts::words(self.network, fact);
                let cell = match traced {
                    Formula::Number(number) => {
                        self.book.add(Content::Given, Value::Number(number), None)
                    }
                    traced => self.book.planned(&words, traced, number),
                };
                self.rates
                    .rows
                    .push(vec![words.into(), cell.into(), unit.into()]);
                cell.into()
            }
        };
        self.known.insert(fact, formula.clone());
        formula
    }

    /// A fact as a formula of inputs, for a cell of its own.
    fn fact_here(&self, fact: Fact) -> Formula {
        let number = self.facts.numbers.get(&fact).copied().unwrap_or(0.0);
        self.traced.formula(fact, number, &self.inputs)
    }

    /// Whether the network has a fact.
    fn has(&self, fact: Fact) -> bool {
        self.facts.numbers.contains_key(&fact)
    }

    /// What a formula comes to for the design as it stands.
    fn number(&self, formula: &Formula) -> f64 {
        formula.number(self.book.values())
    }

    /// Names of the phases.
    fn phase_names(&self) -> Vec<String> {
        let phases = self.network.calendar.phases.iter();
        phases.map(|phase| phase.name.clone()).collect()
    }
}
