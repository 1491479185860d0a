//! Where to split: counts by their weights, other whole numbers by trial and
//! experience.

use super::open::{Boxes, Open};
use super::tree::Search;
use super::{EXACT, WHOLE};
use crate::solve::Fault;

/// Whole columns looked at closely before one is split.
const CANDIDATES: usize = 8;
/// Trials after which experience is trusted.
const TRIALS: u32 = 4;

/// What rounding a whole column has cost, summed over trials, kg per unit.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Experience {
    trials: u32,
    down: f64,
    up: f64,
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

    /// Where to split: an undecided on/off choice first, then the count whose
    /// weights are spread most.
    pub(super) fn branch(
        &self,
        boxes: &Boxes,
        values: &[f64],
        means: &[Vec<f64>],
    ) -> (usize, usize, u32) {
        let mut best: Option<(bool, f64, (usize, usize, u32))> = None;
        for (index, group) in self.portfolio.groups.iter().enumerate() {
            for node in 0..group.counts.len() {
                let (least, most) = boxes[index][node];
                if least == most {
                    continue;
                }
                let mean = means[index][node];
                let none: f64 = group
                    .options
                    .iter()
                    .filter(|option| option.units[node] == 0)
                    .map(|option| self.weight(values, option.weight))
                    .sum();
                let spread: f64 = group
                    .options
                    .iter()
                    .map(|option| {
                        (f64::from(option.units[node]) - mean).abs()
                            * self.weight(values, option.weight)
                    })
                    .sum();
                let undecided = least == 0 && none > WHOLE && none < 1.0 - WHOLE;
                let mass: f64 = group
                    .options
                    .iter()
                    .map(|option| self.portfolio.mixed.columns[option.weight].cost)
                    .fold(0.0, f64::max);
                let at = if undecided {
                    0
                } else {
                    ((mean + WHOLE).floor().max(f64::from(least)) as u32).min(most - 1)
                };
                let score = if undecided {
                    none.min(1.0 - none) * mass.max(1e-6)
                } else {
                    spread * mass.max(1e-6)
                };
                let better = best.as_ref().is_none_or(|&(known, most, _)| {
                    undecided && !known || undecided == known && score > most
                });
                if better {
                    best = Some((undecided, score, (index, node, at)));
                }
            }
        }
        best.map_or((0, 0, 0), |(_, _, place)| place)
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
            let known = if known.trials < TRIALS {
                self.try_split(open, objective, column, value, known)?
            } else {
                known
            };
            let trials = f64::from(known.trials.max(1));
            let lower = known.down / trials * down;
            let higher = known.up / trials * (1.0 - down);
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
            *cost = match self.relax(&half)? {
                Some((bound, _)) => (bound - objective).max(0.0),
                // Nothing is left on this side: as good as any cost.
                None => self.prune_at().min(2.0 * objective.abs() + 1.0) - objective,
            };
        }
        let down = value - at;
        let known = Experience {
            trials: known.trials + 1,
            down: known.down + costs[0].max(0.0) / down,
            up: known.up + costs[1].max(0.0) / (1.0 - down),
        };
        self.experience.insert(column, known);
        Ok(known)
    }
}
