//! Where to split: counts by their weights, other whole numbers by trial and
//! experience.

use super::open::{Boxes, Open};
use super::relaxing::Least;
use super::tree::Search;
use super::{EXACT, WHOLE};
use crate::solve::Fault;

/// Whole columns looked at closely before one is split.
const CANDIDATES: usize = 8;
/// Trials after which experience is trusted: one is enough where nodes are many and
/// programs small.
const TRIALS: u32 = 1;

/// What rounding a whole column has cost, summed over trials, kg per unit.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Experience {
    trials: u32,
    down: f64,
    up: f64,
}

impl Experience {
    /// With one more trial: what rounding down and up has cost, with this much
    /// above the lower whole number.
    fn with(self, costs: [f64; 2], above: f64) -> Self {
        Experience {
            trials: self.trials + 1,
            down: self.down + costs[0].max(0.0) / above,
            up: self.up + costs[1].max(0.0) / (1.0 - above),
        }
    }

    /// What rounding down and up may cost.
    fn expected(self, above: f64) -> [f64; 2] {
        let trials = f64::from(self.trials.max(1));
        [self.down / trials * above, self.up / trials * (1.0 - above)]
    }
}

/// A place to split: at most `at` units of a node, or more.
#[derive(Clone, Copy, Debug)]
pub(super) struct Split {
    pub group: usize,
    pub node: usize,
    pub at: u32,
    /// Weight of more.
    pub above: f64,
}

/// The cost of a trial that no solver could cope with: it has told nothing.
fn nothing_told(fault: Fault) -> Result<f64, Fault> {
    match fault {
        Fault::Backend(_) => Ok(0.0),
        fault => Err(fault),
    }
}

impl Search<'_> {
    /// Mean units of every node under the weights.
    pub(super) fn means(&self, values: &[f64]) -> Vec<Vec<f64>> {
        self.portfolio
            .groups
            .iter()
            .map(|group| {
                (0..group.counts.len())
                    .map(|node| {
                        group
                            .options
                            .iter()
                            .map(|option| {
                                f64::from(option.units[node]) * self.weight(values, option.weight)
                            })
                            .sum()
                    })
                    .collect()
            })
            .collect()
    }

    pub(super) fn weight(&self, values: &[f64], weight: usize) -> f64 {
        self.reduced.left[weight].map_or(0.0, |column| values[column])
    }

    /// Where the units of a part of the answers may be split, the most promising
    /// first: undecided on/off choices, then counts whose weights are spread.
    fn splits(&self, boxes: &Boxes, values: &[f64], means: &[Vec<f64>]) -> Vec<Split> {
        let mut splits: Vec<(bool, f64, Split)> = Vec::new();
        for (index, group) in self.portfolio.groups.iter().enumerate() {
            for node in 0..group.counts.len() {
                let (least, most) = boxes[index][node];
                if least == most {
                    continue;
                }
                let mean = means[index][node];
                let weights = || {
                    let options = group.options.iter();
                    options.map(|option| (option.units[node], self.weight(values, option.weight)))
                };
                let none: f64 = weights().filter(|one| one.0 == 0).map(|one| one.1).sum();
                let undecided = least == 0 && none > WHOLE && none < 1.0 - WHOLE;
                let at = if undecided {
                    0
                } else {
                    ((mean + WHOLE).floor().max(f64::from(least)) as u32).min(most - 1)
                };
                let above: f64 = weights().filter(|one| one.0 > at).map(|one| one.1).sum();
                let mass: f64 = group
                    .options
                    .iter()
                    .map(|option| self.portfolio.mixed.columns[option.weight].cost)
                    .fold(0.0, f64::max);
                let spread: f64 = if undecided {
                    none.min(1.0 - none)
                } else {
                    weights()
                        .map(|(units, weight)| (f64::from(units) - mean).abs() * weight)
                        .sum()
                };
                let split = Split {
                    group: index,
                    node,
                    at,
                    above,
                };
                splits.push((undecided, spread * mass.max(1e-6), split));
            }
        }
        splits.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)));
        splits.into_iter().map(|(_, _, split)| split).collect()
    }

    /// A split where weights are not spread: the heaviest choice still open.
    pub(super) fn any_split(&self, open: &Open, values: &[f64], means: &[Vec<f64>]) -> Split {
        let splits = self.splits(&open.boxes, values, means);
        splits.first().copied().unwrap_or(Split {
            group: 0,
            node: 0,
            at: 0,
            above: 0.0,
        })
    }

    /// Where to split the units: among the most promising places where weights
    /// are spread, the one that costs most both ways, by trial until enough is
    /// known of it. With it what trials have told of the two halves.
    pub(super) fn choose_split(
        &mut self,
        open: &Open,
        objective: f64,
        values: &[f64],
        means: &[Vec<f64>],
    ) -> Result<Option<(Split, [f64; 2])>, Fault> {
        let splits = self.splits(&open.boxes, values, means);
        let mut best: Option<(f64, Split, [f64; 2])> = None;
        let divided = |split: &&Split| split.above > WHOLE && split.above < 1.0 - WHOLE;
        for &split in splits.iter().filter(divided).take(CANDIDATES) {
            if best.is_some() && self.clock.is_over() {
                break;
            }
            let key = (split.group, split.node, split.at);
            let mut known = self.of_units.get(&key).copied().unwrap_or_default();
            let mut bounds = [open.bound; 2];
            let costs = if known.trials < TRIALS {
                let mut costs = [0.0; 2];
                for (side, half) in open.halves(&split).into_iter().enumerate() {
                    if let Some(start) = &open.start {
                        self.stand(start);
                    }
                    costs[side] = match self.relax(&half, self.prune_at()) {
                        Ok(Least::At(bound, _) | Least::Beyond(bound)) => {
                            bounds[side] = bounds[side].max(bound);
                            (bound - objective).max(0.0)
                        }
                        Ok(Least::Nothing) => {
                            bounds[side] = f64::INFINITY;
                            self.prune_at().min(2.0 * objective.abs() + 1.0) - objective
                        }
                        Err(fault) => nothing_told(fault)?,
                    };
                }
                known = known.with(costs, split.above);
                self.of_units.insert(key, known);
                costs
            } else {
                known.expected(split.above)
            };
            let score = costs[0].max(1e-6) * costs[1].max(1e-6);
            if best.as_ref().is_none_or(|&(known, ..)| score > known) {
                best = Some((score, split, bounds));
            }
        }
        Ok(best.map(|(_, split, bounds)| (split, bounds)))
    }

    /// A whole column of the reduced program that is not whole: totals over all
    /// flights first, then the one nearest to a half.
    pub(super) fn fractional(&self, values: &[f64]) -> Option<usize> {
        let mut best: Option<((bool, f64), usize)> = None;
        for (column, data) in self.reduced.program.columns.iter().enumerate() {
            if !data.whole {
                continue;
            }
            let away = (values[column] - values[column].round()).abs();
            if away <= WHOLE {
                continue;
            }
            let key = (self.portfolio.is_early(self.reduced.origin[column]), away);
            let better = best
                .is_none_or(|(known, _)| key.0 && !known.0 || key.0 == known.0 && key.1 > known.1);
            if better {
                best = Some((key, column));
            }
        }
        best.map(|(_, column)| column)
    }

    /// A whole column of the reduced program that is whole but for rounding: the one
    /// farthest from it.
    pub(super) fn nearly_whole(&self, values: &[f64]) -> Option<usize> {
        let columns = self.reduced.program.columns.iter().enumerate();
        columns
            .filter(|(_, data)| data.whole)
            .map(|(column, _)| (column, (values[column] - values[column].round()).abs()))
            .filter(|&(_, away)| away > EXACT)
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(column, _)| column)
    }

    /// The whole column to split: totals over all flights first; among the most
    /// promising, the one whose rounding costs most both ways, by trial until
    /// enough is known of it.
    pub(super) fn choose_whole(
        &mut self,
        open: &Open,
        objective: f64,
        values: &[f64],
    ) -> Result<usize, Fault> {
        let mut candidates: Vec<(bool, f64, usize)> = Vec::new();
        for (column, data) in self.reduced.program.columns.iter().enumerate() {
            let away = (values[column] - values[column].round()).abs();
            if data.whole && away > WHOLE {
                let early = self.portfolio.is_early(self.reduced.origin[column]);
                candidates.push((early, away, column));
            }
        }
        candidates.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)).then(a.2.cmp(&b.2)));
        if let Some(&(true, _, column)) = candidates.first() {
            return Ok(column);
        }
        candidates.truncate(CANDIDATES);
        let mut best = (
            f64::NEG_INFINITY,
            candidates.first().map_or(0, |first| first.2),
        );
        for (_, _, column) in candidates {
            let value = values[column];
            let down = value - value.floor();
            let known = self.experience.get(&column).copied().unwrap_or_default();
            let known = if known.trials < TRIALS && !self.clock.is_over() {
                self.try_split(open, objective, column, value, known)?
            } else {
                known
            };
            let [lower, higher] = known.expected(down);
            let score = lower.max(1e-6) * higher.max(1e-6);
            if score > best.0 {
                best = (score, column);
            }
        }
        Ok(best.1)
    }

    /// Rounds a column both ways and remembers what that costs.
    pub(super) fn try_split(
        &mut self,
        open: &Open,
        objective: f64,
        column: usize,
        value: f64,
        known: Experience,
    ) -> Result<Experience, Fault> {
        let data = self.reduced.program.columns[column];
        let (least, most) = open
            .whole
            .get(&column)
            .copied()
            .unwrap_or((data.lower, data.upper));
        let at = value.floor();
        let mut costs = [0.0; 2];
        for (cost, bounds) in costs.iter_mut().zip([(least, at), (at + 1.0, most)]) {
            let mut half = open.clone();
            half.whole.insert(column, bounds);
            *cost = match self.relax(&half, self.prune_at()) {
                Ok(Least::At(bound, _) | Least::Beyond(bound)) => (bound - objective).max(0.0),
                // Nothing is left on this side: as good as any cost.
                Ok(Least::Nothing) => self.prune_at().min(2.0 * objective.abs() + 1.0) - objective,
                Err(fault) => nothing_told(fault)?,
            };
        }
        let known = known.with(costs, value - at);
        self.experience.insert(column, known);
        Ok(known)
    }
}
