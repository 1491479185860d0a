//! The least that a measure can be: of any plan, of a plan's hardware, or at a
//! plan's mass.

use super::measure::Measure;
use crate::answer::column_values;
use crate::audit::Plan;
use crate::network::Network;
use crate::program::{Column, ColumnId, Family, Form, Program, Sense, formulate};
use crate::solve::{Fault, Options, Outcome, least, least_holding};

/// A payload that limits nothing, kg.
const NO_LIMIT_KG: f64 = 1e9;
/// How much a mass that is held may give, a share: as much as the proof's gap.
const GIVE: f64 = 1e-9;

/// The program of a network with the measure as a column of its own.
pub(super) struct Measured {
    program: Program,
    /// The same with less to satisfy: no spares, and pieces in fractions; only units
    /// and running units are whole.
    loose: Program,
    column: ColumnId,
}

impl Measured {
    /// Over every row in which a limit of the measure would stand, that is, whose
    /// right side moves with it: `sum ≤ limit` becomes `sum ≤ column`.
    pub fn new(network: &Network, measure: Measure) -> Result<Self, Fault> {
        let mut network = network.clone();
        if measure == Measure::MassPerFlight {
            network = measure.limited(&network, NO_LIMIT_KG);
        }
        let [one, two] = [1.0, 2.0].map(|limit| measure.set(&network, limit));
        let mut program = formulate(&network, Form::PerFlight);
        let [one, two] = [one, two].map(|limited| formulate(&limited, Form::PerFlight));
        let same = |other: &Program| other.columns.len() == program.columns.len();
        if !same(&one) || one.rows.len() != two.rows.len() {
            let words = "a limit changes what is chosen".to_owned();
            return Err(Fault::Inconsistent(words));
        }
        let column = ColumnId(program.columns.len());
        program.columns.push(Column {
            label: measure.words().0.to_owned(),
            place: None,
            lower: 0.0,
            upper: f64::INFINITY,
            whole: false,
            cost: 0.0,
            circulation: 0.0,
            earliness: 0.0,
            decided_early: false,
        });
        for (row, moved) in one.rows.into_iter().zip(&two.rows) {
            let per_limit = moved.right - row.right;
            if per_limit != 0.0 && row.sense == Sense::AtMost {
                let mut row = row;
                row.right -= per_limit;
                row.terms.push((column, -per_limit));
                program.rows.push(row);
            }
        }
        Ok(Measured {
            loose: loose(&program),
            program,
            column,
        })
    }

    /// No plan has less of it than this: with everything to satisfy the least that
    /// any has, else a bound; none where it is not known.
    pub fn of_any(&self, exact: bool, options: &Options) -> Result<Option<f64>, Fault> {
        let program = if exact { &self.program } else { &self.loose };
        known(least(program, self.column, options))
    }

    /// No plan with a plan's units has less of it than this; none where it is not
    /// known.
    pub fn of_units(&self, plan: &Plan, options: &Options) -> Result<Option<f64>, Fault> {
        let values = column_values(&self.loose, plan.answer());
        let held: Vec<(ColumnId, f64)> = units(&self.loose)
            .map(|column| (column, values[column.0]))
            .collect();
        let found = least_holding(&self.loose, self.column, &held, None, options);
        known(found)
    }

    /// The least at a plan's mass with all its whole numbers; none where it is not
    /// known.
    pub fn at_mass(&self, plan: &Plan, options: &Options) -> Result<Option<f64>, Fault> {
        let values = column_values(&self.program, plan.answer());
        let columns = self.program.columns.iter().zip(&values).enumerate();
        let held: Vec<(ColumnId, f64)> = columns
            .filter(|(_, (column, _))| column.whole)
            .map(|(index, (_, &value))| (ColumnId(index), value))
            .collect();
        let kg = Some(plan.answer().minimised_kg() * (1.0 + GIVE));
        known(least_holding(
            &self.program,
            self.column,
            &held,
            kg,
            options,
        ))
    }
}

/// Units, and who is chosen of a group.
fn units(program: &Program) -> impl Iterator<Item = ColumnId> {
    let counts = program.handles.count.iter().flatten().copied();
    let groups = program.exclusive.iter().flatten();
    counts.chain(groups.map(|&(_, on)| on))
}

fn loose(program: &Program) -> Program {
    let mut whole = vec![false; program.columns.len()];
    let running = program.handles.running.iter().flatten().flatten().copied();
    for column in units(program).chain(running) {
        whole[column.0] = true;
    }
    let mut loose = program.clone();
    for (column, whole) in loose.columns.iter_mut().zip(whole) {
        column.whole &= whole;
    }
    loose.parts.clear();
    loose.system_confidence = None;
    // Without their rows, the columns of spares may be nothing.
    loose.rows.retain(|row| row.family != Family::Spares);
    loose
}

/// A value that is proved. Points do not rest on it, so where the back-end fails it
/// is not known, which is said.
fn known(outcome: Result<Outcome, Fault>) -> Result<Option<f64>, Fault> {
    match outcome {
        Ok(Outcome::Solved(solution)) if solution.proved => Ok(Some(solution.objective_kg)),
        Ok(_) | Err(Fault::Backend(_)) => Ok(None),
        Err(fault) => Err(fault),
    }
}
