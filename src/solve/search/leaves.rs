//! Complete answers: exact spares for fixed units, and rounding that finds
//! answers early.

use super::open::{Boxes, Open, fits};
use super::relaxing::Least;
use super::rounds::Task;
use super::tree::Search;
use super::{WHOLE, narrow};
use crate::solve::portfolio::{Portfolio, rewrite};
use crate::solve::{Fault, Outcome, Solution, Step, timed};

/// The best answer so far, in the whole program's columns.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::solve) struct Incumbent {
    /// kg.
    pub cost: f64,
    /// Of the whole program's columns.
    pub values: Vec<f64>,
}

impl Incumbent {
    /// As the proven end of a search.
    pub fn proved(self, relaxations: usize) -> Solution {
        Solution {
            alike: None,
            bound_kg: self.cost,
            objective_kg: self.cost,
            values: self.values,
            proved: true,
            relaxations,
        }
    }
}

/// The spares of fixed units.
#[derive(Clone, Debug, Default)]
pub(super) struct ExactSpares {
    /// What they weigh beyond what the linear program was charged, kg.
    pub more: f64,
    /// Their 0/1 columns.
    pub columns: Vec<usize>,
    /// What they weigh beyond the least on every flight with a payload row, kg.
    pub excess: Vec<f64>,
    /// Whether spares on several flights compete for payload.
    pub compete: bool,
    /// Whether every number of spares is a column of its own.
    pub explicit: bool,
}

impl ExactSpares {
    /// Holds a part of the answers to these spares.
    pub fn hold(&self, open: &mut Open) {
        if self.compete {
            return;
        }
        if self.explicit {
            open.spares.clone_from(&self.columns);
        } else {
            open.excess.clone_from(&self.excess);
        }
    }
}

/// An answer that could not be completed because no solver could cope is one less.
fn one_less(completed: Result<(), Fault>) -> Result<(), Fault> {
    match completed {
        Err(Fault::Backend(_)) => Ok(()),
        other => other,
    }
}

impl Search<'_> {
    /// Exact mass of the spares over what the linear program was charged, for
    /// counts that are fixed; none if no number of spares suffices.
    pub(super) fn exact_spares(&self, boxes: &Boxes) -> Option<ExactSpares> {
        let explicit = !self.portfolio.spares_apart;
        if explicit && self.portfolio.weighed.is_empty() {
            return Some(ExactSpares::default());
        }
        let mut combinations = vec![0; self.portfolio.tables.parts.len()];
        let mut priced = self.portfolio.spares_constant;
        for (group, boxes) in self.portfolio.groups.iter().zip(boxes) {
            let Some(part) = group.part else { continue };
            let option = group
                .options
                .iter()
                .position(|option| fits(&option.units, boxes))?;
            combinations[part] = option;
            priced += group.options[option].priced;
        }
        let tables = &self.portfolio.tables;
        let lightest = tables.lightest(&combinations)?;
        let mut excess = Vec::with_capacity(self.portfolio.weighed.len());
        let mut flights_with_choice = 0;
        for weighed in &self.portfolio.weighed {
            let mass = |column: usize| weighed.mass.get(&column).copied().unwrap_or(0.0);
            let chosen: f64 = lightest.columns.iter().map(|&column| mass(column)).sum();
            let mut least = 0.0;
            let mut choice = false;
            for (part, &combination) in combinations.iter().enumerate() {
                let fewest = weighed.least[part][combination];
                least += fewest;
                choice |= tables.parts[part][combination]
                    .iter()
                    .any(|choice| mass(choice.column) > fewest);
            }
            excess.push(chosen - least);
            flights_with_choice += usize::from(choice);
        }
        let compete = flights_with_choice > 1;
        if explicit && compete {
            // They are columns; the search decides them with the flights.
            return Some(ExactSpares::default());
        }
        Some(ExactSpares {
            more: if explicit {
                0.0
            } else {
                lightest.cost - priced
            },
            columns: lightest.columns,
            excess,
            compete,
            explicit,
        })
    }

    /// With units fixed and spares on several flights with payload limits, the
    /// lightest spares need not be those that fit best: every number of spares
    /// becomes a column, and this part of the answers is searched by itself.
    pub(super) fn choose_spares_with_flights(&mut self, open: &Open) -> Result<(), Fault> {
        let Some(program) = self.program else {
            return Ok(());
        };
        let mut bounds = Vec::new();
        for (group, boxes) in self.portfolio.groups.iter().zip(&open.boxes) {
            for (&count, &(least, most)) in group.counts.iter().zip(boxes) {
                bounds.push((count, f64::from(least), f64::from(most)));
            }
        }
        let narrowed = narrow(program, &bounds);
        let portfolio = rewrite(&narrowed, None);
        let found = self.run_below(portfolio, self.prune_at())?;
        self.settle(found, open, &ExactSpares::default());
        Ok(())
    }

    /// Searches a part of the answers by itself, below a mass.
    fn run_below(&self, portfolio: Portfolio, cutoff: f64) -> Result<Outcome, Fault> {
        let (options, clock) = (self.options, self.clock);
        Search::run(portfolio, None, options, clock, Task::below(cutoff))
    }

    /// Takes in what a search of a part of the answers by itself has found; `spares`
    /// are left out of it.
    fn settle(&mut self, found: Outcome, open: &Open, spares: &ExactSpares) {
        match found {
            Outcome::Solved(solution) => {
                self.relaxations += solution.relaxations;
                if !solution.proved {
                    self.lowest_closed = self.lowest_closed.min(open.bound);
                }
                let mut values = solution.values;
                for &column in &spares.columns {
                    values[column] = 1.0;
                }
                self.better(solution.objective_kg + spares.more, values);
            }
            Outcome::Infeasible => {
                self.lowest_closed = self.lowest_closed.min(self.prune_at());
            }
            Outcome::Unknown { .. } => {
                self.lowest_closed = self.lowest_closed.min(open.bound);
            }
        }
    }

    /// With units and spares fixed, what is left is searched by itself, with its
    /// rows tightened and cut for these units.
    pub(super) fn solve_leaf(&mut self, open: &Open, spares: &ExactSpares) -> Result<(), Fault> {
        let Some((lower, upper)) = self.bounds(open) else {
            return Ok(());
        };
        let mut portfolio = self.portfolio.leaf();
        self.reduced
            .carry_back(self.own_rows, &lower, &upper, &mut portfolio.mixed);
        for column in self.portfolio.weighed.iter().filter_map(|one| one.column) {
            if let Some(left) = self.reduced.left[column] {
                portfolio.mixed.columns[column].lower = lower[left];
                portfolio.mixed.columns[column].upper = upper[left];
            }
        }
        let cutoff = self.prune_at() - spares.more;
        // Leaves of leaves are part of them.
        let watch = self.options.watch().filter(|_| self.program.is_some());
        let found = timed(watch, Step::Leaves, || self.run_below(portfolio, cutoff));
        self.settle(found?, open, spares);
        Ok(())
    }

    /// Keeps a complete answer if it is lighter than the best.
    fn better(&mut self, cost: f64, values: Vec<f64>) {
        if cost >= self.prune_at() {
            return;
        }
        let answer = Incumbent { cost, values };
        self.remember(&answer);
        if self.incumbent.as_ref().is_none_or(|best| cost < best.cost) {
            self.incumbent = Some(answer);
            self.fix_by_root();
        }
    }

    pub(super) fn accept(&mut self, cost: f64, values: &[f64], spares: &[usize]) {
        if cost < self.prune_at() {
            let all = self.reduced.expand(values);
            let mut values = self.portfolio.unwrite(&all);
            for &column in spares {
                values[column] = 1.0;
            }
            self.better(cost, values);
        }
    }

    /// Rounds the counts up, holds them, and completes an answer.
    pub(super) fn try_rounding(&mut self, open: &Open, means: &[Vec<f64>]) -> Result<(), Fault> {
        let units: Vec<Vec<u32>> = means
            .iter()
            .zip(&open.boxes)
            .map(|(means, boxes)| {
                means
                    .iter()
                    .zip(boxes)
                    .map(|(&mean, &(least, most))| {
                        ((mean - 1e-6).ceil().max(0.0) as u32).clamp(least, most)
                    })
                    .collect()
            })
            .collect();
        self.try_units(open, units)
    }

    /// Holds units, by group and node, and completes an answer, unless that was
    /// tried before or they are not allowed.
    pub(super) fn try_units(&mut self, open: &Open, units: Vec<Vec<u32>>) -> Result<(), Fault> {
        if self.tried.insert(units.clone(), ()).is_some() {
            return Ok(());
        }
        one_less(self.complete(open, &units))
    }

    fn complete(&mut self, open: &Open, units: &[Vec<u32>]) -> Result<(), Fault> {
        let mut held = Open {
            boxes: units
                .iter()
                .map(|units| units.iter().map(|&count| (count, count)).collect())
                .collect(),
            ..open.clone()
        };
        // Where spares are on no row, what they weigh is only of interest if the
        // rest is light enough.
        let apart = self.portfolio.spares_apart && self.portfolio.weighed.is_empty();
        let mut relaxed = Least::Nothing;
        if apart {
            relaxed = self.relax(&held, self.prune_at())?;
            match relaxed {
                Least::At(mass, _) if mass < self.prune_at() => {}
                _ => return Ok(()),
            }
        }
        let Some(spares) = self
            .exact_spares(&held.boxes)
            .filter(|spares| !spares.compete)
        else {
            return Ok(());
        };
        spares.hold(&mut held);
        if !apart {
            relaxed = self.relax(&held, self.prune_at() - spares.more)?;
        }
        let Least::At(objective, values) = relaxed else {
            return Ok(());
        };
        if self.fractional(&values).is_none() && self.nearly_whole(&values).is_none() {
            self.accept(objective + spares.more, &values, &spares.columns);
            return Ok(());
        }
        self.try_whole(&held, &values)
    }

    /// Rounds the other whole numbers up, holds them, and completes an answer;
    /// where that is too much, rounds one after the other.
    pub(super) fn try_whole(&mut self, open: &Open, values: &[f64]) -> Result<(), Fault> {
        one_less(self.round_up(open, values))
    }

    fn round_up(&mut self, open: &Open, values: &[f64]) -> Result<(), Fault> {
        let held = self.rounded(open, values, |value| (value - WHOLE).ceil());
        match self.relax(&held, f64::INFINITY)? {
            Least::At(objective, values) => {
                if let Some(spares) = self.exact_spares(&held.boxes) {
                    self.accept(objective + spares.more, &values, &spares.columns);
                }
                Ok(())
            }
            Least::Beyond(_) => Ok(()),
            Least::Nothing => self.dive(open, values),
        }
    }

    /// Rounds one whole number after the other, each time with the others free
    /// to answer, until all are whole or nothing is left.
    fn dive(&mut self, open: &Open, values: &[f64]) -> Result<(), Fault> {
        let mut held = open.clone();
        let mut values = values.to_vec();
        while let Some(column) = self.fractional(&values) {
            let value = values[column];
            let mut order = [value.ceil(), value.floor()];
            if value - value.floor() < 0.3 {
                order.reverse();
            }
            let mut found = Least::Nothing;
            for value in order {
                held.whole.insert(column, (value, value));
                found = self.relax(&held, self.prune_at())?;
                if !matches!(found, Least::Nothing) {
                    break;
                }
            }
            let Least::At(objective, next) = found else {
                return Ok(());
            };
            if objective >= self.prune_at() {
                return Ok(());
            }
            values = next;
        }
        let held = self.rounded(&held, &values, f64::round);
        if let Least::At(objective, values) = self.relax(&held, f64::INFINITY)?
            && let Some(spares) = self.exact_spares(&held.boxes)
        {
            self.accept(objective + spares.more, &values, &spares.columns);
        }
        Ok(())
    }

    /// The same part of the answers with every whole number held.
    fn rounded(&self, open: &Open, values: &[f64], round: impl Fn(f64) -> f64) -> Open {
        let mut held = open.clone();
        for (column, data) in self.reduced.program.columns.iter().enumerate() {
            if data.whole {
                let value = round(values[column]);
                held.whole.insert(column, (value, value));
            }
        }
        held
    }
}
