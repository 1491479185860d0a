//! The tree: every part of the answers is bounded, closed or split.

use std::collections::{BTreeMap, BinaryHeap, VecDeque};
use std::rc::Rc;

use super::alike::Alike;
use super::branching::Experience;
use super::leaves::{ExactSpares, Incumbent};
use super::open::{Open, is_fixed};
use super::relaxing::Least;
use super::trail::{Part, Side};
use crate::program::Program;
use crate::solve::basis::Checkpoint;
use crate::solve::kernel::Kernel;
use crate::solve::portfolio::Portfolio;
use crate::solve::proof::Certificate;
use crate::solve::reduce::Reduced;
use crate::solve::{Clock, Fault, Options, Outcome, Solution};

/// Share of the gap asked for that a search uses up; the rest is for what rounding
/// and ties add to the mass.
const WITHIN_GAP: f64 = 0.9;
/// Parts whose factors and reduced costs are kept, for what is split from them.
const RECENT: usize = 16;

pub(super) struct Search<'a> {
    pub(super) portfolio: &'a Portfolio,
    /// The whole program, where spares may have to be chosen with the flights.
    pub(super) program: Option<&'a Program>,
    pub(super) reduced: &'a Reduced,
    /// Rows of the reduced program that are not cuts.
    pub(super) own_rows: usize,
    pub(super) options: &'a Options,
    pub(super) clock: &'a Clock,
    pub(super) incumbent: Option<Incumbent>,
    /// Others that weigh the same, if they are asked for.
    pub(super) alike: Option<Alike>,
    pub(super) cutoff: f64,
    pub(super) relaxations: usize,
    pub(super) numbered: usize,
    /// Lowest bound that was given up because nothing there can be lighter.
    pub(super) lowest_closed: f64,
    pub(super) tried: BTreeMap<Vec<Vec<u32>>, ()>,
    pub(super) kernel: Kernel,
    /// Where the parts visited last have ended, the latest at the end.
    pub(super) recent: VecDeque<Checkpoint>,
    /// Whether the kernel has gone on from the latest.
    pub(super) moved: bool,
    /// Bounds of the reduced columns, narrowed as better answers are found.
    pub(super) lower: Vec<f64>,
    /// See `lower`.
    pub(super) upper: Vec<f64>,
    /// What proves the bound of the whole.
    pub(super) root: Option<Certificate>,
    /// What rounding a whole column down or up has cost so far, kg per unit.
    pub(super) experience: BTreeMap<usize, Experience>,
    /// The same for units: by group, node and the most units of the lower half.
    pub(super) of_units: BTreeMap<(usize, usize, u32), Experience>,
    /// Whether the parts that are not split further are kept for a neighbour.
    pub(super) leaves_tracks: bool,
    /// They.
    pub(super) parts: Vec<Part>,
}

impl Search<'_> {
    /// Bounds, closes and splits these parts until nothing is left of them, or more
    /// linear programs are solved than this: then no answer that is left can be lighter
    /// than what it gives, kg.
    pub(super) fn explore(
        &mut self,
        parts: Vec<Open>,
        most_relaxations: usize,
    ) -> Result<Option<f64>, Fault> {
        let mut heap = BinaryHeap::from(parts);
        let mut next: Option<Open> = None;
        while let Some(open) = next.take().or_else(|| heap.pop()) {
            if open.bound >= self.prune_at() {
                self.lowest_closed = self.lowest_closed.min(open.bound);
                self.leave(open.path, open.start);
                continue;
            }
            if self.clock.is_over() || self.relaxations > most_relaxations {
                let waiting = heap.peek().map_or(f64::INFINITY, |other| other.bound);
                return Ok(Some(open.bound.min(waiting)));
            }
            let path = open.path.clone();
            next = self.visit(open, &mut heap)?;
            if next.is_none() {
                let start = self.stands();
                self.leave(path, start);
            }
        }
        Ok(None)
    }

    pub(super) fn outcome(&mut self, stopped_at: Option<f64>) -> Outcome {
        let bound = stopped_at.unwrap_or(f64::INFINITY).min(self.lowest_closed);
        match self.incumbent.take() {
            Some(incumbent) => {
                let bound_kg = bound.min(incumbent.cost);
                let gap = (incumbent.cost - bound_kg) / incumbent.cost.abs().max(1e-9);
                Outcome::Solved(Solution {
                    values: incumbent.values,
                    objective_kg: incumbent.cost,
                    bound_kg: if bound_kg.is_finite() { bound_kg } else { 0.0 },
                    proved: stopped_at.is_none() || gap <= self.options.gap,
                    relaxations: self.relaxations,
                    alike: self.all_alike(incumbent.cost, stopped_at.is_none()),
                })
            }
            None => match stopped_at {
                Some(bound) => Outcome::Unknown {
                    bound_kg: bound.max(0.0),
                },
                None => Outcome::Infeasible,
            },
        }
    }

    /// Answers at or above this may be ruled out without changing what is proved.
    pub(super) fn no_better(&self) -> f64 {
        self.incumbent.as_ref().map_or(self.cutoff, |best| {
            let beyond = self.beyond(best.cost).unwrap_or(0.0);
            (best.cost + beyond).min(self.cutoff)
        })
    }

    /// Answers at or above this are not lighter than the best.
    pub(super) fn prune_at(&self) -> f64 {
        match &self.incumbent {
            Some(incumbent) => {
                let cost = incumbent.cost;
                let gap = WITHIN_GAP * self.options.gap;
                let until = match self.beyond(cost) {
                    Some(beyond) => cost + beyond,
                    None => cost - gap * cost.abs(),
                };
                until.min(self.cutoff)
            }
            None => self.cutoff,
        }
    }

    /// Bounds a part of the answers and splits it; gives the half to go on with,
    /// the other waits in the heap.
    pub(super) fn visit(
        &mut self,
        mut open: Open,
        heap: &mut BinaryHeap<Open>,
    ) -> Result<Option<Open>, Fault> {
        let fixed = is_fixed(&open.boxes);
        let mut spares = ExactSpares::default();
        if fixed {
            let Some(exact) = self.exact_spares(&open.boxes) else {
                return Ok(None);
            };
            exact.hold(&mut open);
            spares = exact;
        }
        if let Some(start) = open.start.take() {
            self.stand(&start);
        }
        let least = match self.relax(&open, self.prune_at() - spares.more) {
            Err(Fault::Backend(words)) => return self.go_on_blindly(open, &spares, words, heap),
            other => other?,
        };
        let (objective, values) = match least {
            Least::Nothing => return Ok(None),
            Least::Beyond(bound) => {
                let bound = (bound + spares.more).max(open.bound);
                self.lowest_closed = self.lowest_closed.min(bound);
                return Ok(None);
            }
            Least::At(objective, values) => (objective, values),
        };
        let bound = (objective + spares.more).max(open.bound);
        if bound >= self.prune_at() {
            self.lowest_closed = self.lowest_closed.min(bound);
            return Ok(None);
        }
        open.bound = bound;
        let checkpoint = self.kernel.checkpoint();
        open.start = Some(Rc::clone(&checkpoint.standing));
        if self.recent.len() == RECENT {
            self.recent.pop_front();
        }
        self.recent.push_back(checkpoint);
        self.moved = false;
        self.narrow(&mut open, spares.more);
        if spares.compete {
            self.choose_spares_with_flights(&open)?;
            return Ok(None);
        }
        if fixed {
            return self.close(open, &spares, objective, &values, heap);
        }
        let means = self.means(&values);
        self.try_rounding(&open, &means)?;
        if open.bound >= self.prune_at() {
            self.lowest_closed = self.lowest_closed.min(open.bound);
            return Ok(None);
        }
        if let Some((split, bounds)) = self.choose_split(&open, objective, &values, &means)? {
            let [mut low, mut high] = open.halves(&split);
            low.bound = bounds[0];
            high.bound = bounds[1];
            let upward = means[split.group][split.node] > f64::from(split.at) + 0.5;
            return Ok(Some(self.follow(low, high, upward, heap)));
        }
        if self.fractional(&values).is_some() {
            let column = self.choose_whole(&open, objective, &values)?;
            return Ok(Some(self.split_whole(open, column, values[column], heap)));
        }
        let split = self.any_split(&open, &values, &means);
        let [low, high] = open.halves(&split);
        let upward = means[split.group][split.node] > f64::from(split.at) + 0.5;
        Ok(Some(self.follow(low, high, upward, heap)))
    }

    /// Splits a part of the answers that no solver could cope with: it has no better
    /// bound than the part that it was split from. Fixed units leave another, smaller
    /// program.
    fn go_on_blindly(
        &mut self,
        open: Open,
        spares: &ExactSpares,
        words: String,
        heap: &mut BinaryHeap<Open>,
    ) -> Result<Option<Open>, Fault> {
        if self.portfolio.groups.is_empty() || spares.compete {
            return Err(Fault::Backend(words));
        }
        if is_fixed(&open.boxes) {
            self.solve_leaf(&open, spares)?;
            return Ok(None);
        }
        let values = vec![0.0; self.reduced.program.columns.len()];
        let split = self.any_split(&open, &values, &self.means(&values));
        let [low, high] = open.halves(&split);
        Ok(Some(self.follow(low, high, true, heap)))
    }

    /// Closes a part of the answers with its units fixed, or splits what else
    /// must be whole.
    fn close(
        &mut self,
        open: Open,
        spares: &ExactSpares,
        objective: f64,
        values: &[f64],
        heap: &mut BinaryHeap<Open>,
    ) -> Result<Option<Open>, Fault> {
        if self.fractional(values).is_some() {
            if !self.portfolio.groups.is_empty() {
                self.solve_leaf(&open, spares)?;
                return Ok(None);
            }
            self.try_whole(&open, values)?;
            let column = self.choose_whole(&open, objective, values)?;
            return Ok(Some(self.split_whole(open, column, values[column], heap)));
        }
        let Some(column) = self.nearly_whole(values) else {
            self.accept(open.bound, values, &spares.columns);
            return Ok(None);
        };
        // Whole but for rounding, on which the rest may lean.
        self.try_whole(&open, values)?;
        if open.bound >= self.prune_at() {
            self.lowest_closed = self.lowest_closed.min(open.bound);
            return Ok(None);
        }
        Ok(Some(self.split_whole(open, column, values[column], heap)))
    }

    /// Numbers two halves, puts one into the heap and gives the other.
    pub(super) fn follow(
        &mut self,
        mut low: Open,
        mut high: Open,
        upward: bool,
        heap: &mut BinaryHeap<Open>,
    ) -> Open {
        for half in [&mut low, &mut high] {
            self.numbered += 1;
            half.number = self.numbered;
            half.depth += 1;
        }
        let (next, other) = if upward { (high, low) } else { (low, high) };
        heap.push(other);
        next
    }

    pub(super) fn split_whole(
        &mut self,
        open: Open,
        column: usize,
        value: f64,
        heap: &mut BinaryHeap<Open>,
    ) -> Open {
        let at = value.floor();
        let data = self.reduced.program.columns[column];
        let (least, most) = open
            .whole
            .get(&column)
            .copied()
            .unwrap_or((data.lower, data.upper));
        let origin = self.reduced.origin[column];
        let mut low = open.clone();
        low.whole.insert(column, (least, at));
        low.path = open.path.and(Side::UpTo {
            column: origin,
            value: at,
        });
        let mut high = open;
        high.whole.insert(column, (at + 1.0, most));
        high.path = high.path.and(Side::From {
            column: origin,
            value: at + 1.0,
        });
        // More of anything whole (containers, cartridges, tanks) fits sooner.
        self.follow(low, high, true, heap)
    }
}
