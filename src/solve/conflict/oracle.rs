//! The oracle: do statements conflict, and how far must they give way?

use super::elastic::Elastic;
use crate::program::Program;
use crate::solve::kernel::Kernel;
use crate::solve::mixed::Mixed;
use crate::solve::portfolio::rewrite;
use crate::solve::reduce::{Reduced, reduce};
use crate::solve::relaxation::{Relaxed, relax};
use crate::solve::tighten::Bounds;
use crate::solve::{Clock, Fault, Options, Outcome, search};

/// What the oracle says of a set of statements.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    /// All can hold.
    Agree,
    /// They cannot all hold.
    Conflict,
    /// Not known: out of time, or the solver could not tell.
    Unsure,
}

/// Answers questions about an elastic program. The linear relaxation, reduced
/// once, is asked first: every question changes bounds only. Only where it sees
/// nothing wrong and `whole` is set, the search decides.
pub(super) struct Oracle<'a> {
    elastic: &'a Elastic<'a>,
    reduced: Reduced,
    kernel: Kernel,
    /// The reduced column of every slack.
    columns: Vec<usize>,
    options: &'a Options,
    clock: &'a Clock,
    /// Whether whole numbers count.
    pub whole: bool,
}

impl<'a> Oracle<'a> {
    /// Reduces the elastic program; none if even with every statement given up
    /// its rows contradict each other.
    pub fn new(elastic: &'a Elastic<'a>, options: &'a Options, clock: &'a Clock) -> Option<Self> {
        let mut portfolio = rewrite(&elastic.program, None);
        for slack in &elastic.slacks {
            portfolio.mixed.columns[slack.column.0].kept = true;
        }
        let reduced = reduce(&portfolio.mixed).ok()?;
        let columns: Option<Vec<usize>> = elastic
            .slacks
            .iter()
            .map(|slack| reduced.left[slack.column.0])
            .collect();
        Some(Oracle {
            elastic,
            kernel: Kernel::new(&reduced.program, &Bounds::of(&reduced.program)),
            columns: columns?,
            reduced,
            options,
            clock,
            whole: false,
        })
    }

    /// Whether the slacks within these rooms let everything hold.
    pub fn ask(&mut self, rooms: &[f64]) -> Verdict {
        let (lower, upper) = self.bounds(rooms);
        let program = &self.reduced.program;
        let relaxed = match self.kernel.solve(program, &lower, &upper) {
            Ok(relaxed) => Ok(relaxed),
            Err(_) => relax(program, &lower, &upper),
        };
        match relaxed {
            Ok(Relaxed::Infeasible) => return Verdict::Conflict,
            Ok(Relaxed::Optimal { .. }) if !self.whole => return Verdict::Agree,
            Ok(Relaxed::Optimal { .. }) => {}
            Err(_) if !self.whole => return Verdict::Unsure,
            Err(_) => {}
        }
        // Any answer will do: half of one kilogram is a gap wide enough.
        match self.lightest(self.elastic.program_within(rooms), 0.5) {
            Ok(Outcome::Solved(_)) => Verdict::Agree,
            Ok(Outcome::Infeasible) => Verdict::Conflict,
            Ok(Outcome::Unknown { .. }) | Err(_) => Verdict::Unsure,
        }
    }

    /// The lightest of a program that weighs a kilogram more, so that a gap has
    /// something to be a share of.
    fn lightest(&self, mut program: Program, gap: f64) -> Result<Outcome, Fault> {
        program.constant_kg = 1.0;
        let options = Options {
            gap,
            ..self.options.clone()
        };
        let question = search::Question::default();
        search::lightest(&program, &options, self.clock, &question, None)
    }

    /// The slacks of least total cost within these rooms; none if even the
    /// rooms are too small, or nothing is known.
    pub fn least(&self, rooms: &[f64], costs: &[f64]) -> Option<Vec<f64>> {
        if self.whole {
            return self.least_whole(rooms, costs);
        }
        let mut program: Mixed = self.reduced.program.clone();
        for (&column, &cost) in self.columns.iter().zip(costs) {
            program.columns[column].cost = cost;
        }
        let (lower, upper) = self.bounds(rooms);
        let relaxed = Kernel::new(&program, &Bounds::of(&program))
            .solve(&program, &lower, &upper)
            .or_else(|_| relax(&program, &lower, &upper))
            .ok()?;
        match relaxed {
            Relaxed::Optimal { values, .. } => {
                Some(self.columns.iter().map(|&column| values[column]).collect())
            }
            Relaxed::Infeasible => None,
        }
    }

    fn least_whole(&self, rooms: &[f64], costs: &[f64]) -> Option<Vec<f64>> {
        let mut priced = self.elastic.slacks.iter().zip(costs);
        if priced.any(|(slack, &cost)| cost > 0.0 && self.elastic.frees_spares(slack)) {
            return None;
        }
        let mut program = self.elastic.program_within(rooms);
        for (slack, &cost) in self.elastic.slacks.iter().zip(costs) {
            program.columns[slack.column.0].cost = cost;
        }
        match self.lightest(program, 1e-9).ok()? {
            Outcome::Solved(solution) => Some(
                self.elastic
                    .slacks
                    .iter()
                    .map(|slack| solution.values[slack.column.0])
                    .collect(),
            ),
            Outcome::Infeasible | Outcome::Unknown { .. } => None,
        }
    }

    fn bounds(&self, rooms: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let columns = &self.reduced.program.columns;
        let lower = columns.iter().map(|column| column.lower).collect();
        let mut upper: Vec<f64> = columns.iter().map(|column| column.upper).collect();
        for (&column, &room) in self.columns.iter().zip(rooms) {
            upper[column] = room;
        }
        (lower, upper)
    }
}
