//! The least that a measure can be: of any plan, of a plan's hardware, or at a
//! plan's mass.

use super::measure::Measure;
use crate::answer::column_values;
use crate::audit::Plan;
use crate::network::Network;
use crate::program::{Column, ColumnId, Form, Program, Sense, formulate};
use crate::solve::{Fault, Options, Outcome, least, least_holding};

/// A payload that limits nothing, kg.
const NO_LIMIT_KG: f64 = 1e9;
/// How much a mass that is held may give, a share: as much as the proof's gap.
const GIVE: f64 = 1e-9;

/// The program of a network with the measure as a column of its own.
pub(super) struct Measured {
    program: Program,
    /// The same with pieces in fractions: only units, spares and running units are
    /// whole.
    in_fractions: Program,
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
            in_fractions: in_fractions(&program),
            program,
            column,
        })
    }

    /// No plan has less of it than this: the least with pieces in fractions, and
    /// with whole ones; none where it is not known.
    pub fn of_any(&self, whole: bool, options: &Options) -> Result<Option<f64>, Fault> {
        let program = if whole {
            &self.program
        } else {
            &self.in_fractions
        };
        known(least(program, self.column, options))
    }

    /// The least with a plan's units and spares, at any mass, with pieces in
    /// fractions; none where it is not known.
    pub fn of_hardware(&self, plan: &Plan, options: &Options) -> Result<Option<f64>, Fault> {
        let program = &self.in_fractions;
        let values = column_values(program, plan.answer());
        let held: Vec<(ColumnId, f64)> = hardware(program)
            .map(|column| (column, values[column.0]))
            .collect();
        known(least_holding(program, self.column, &held, None, options))
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

/// Units, spares, and who is chosen of a group.
fn hardware(program: &Program) -> impl Iterator<Item = ColumnId> {
    let counts = program.handles.count.iter().flatten().copied();
    let parts = program.parts.iter();
    let spares = parts.flat_map(|part| part.options.iter().map(|option| option.column));
    let groups = program.exclusive.iter().flatten();
    counts.chain(spares).chain(groups.map(|&(_, on)| on))
}

fn in_fractions(program: &Program) -> Program {
    let mut whole = vec![false; program.columns.len()];
    let running = program.handles.running.iter().flatten().flatten().copied();
    for column in hardware(program).chain(running) {
        whole[column.0] = true;
    }
    let mut program = program.clone();
    for (column, whole) in program.columns.iter_mut().zip(whole) {
        column.whole &= whole;
    }
    program
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
