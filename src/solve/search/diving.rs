//! A first answer by one way down: the choices nearest to a decision are decided,
//! the rest answers, and so on until every group has its units.

use super::WHOLE;
use super::open::Open;
use super::relaxing::Least;
use super::tree::Search;
use crate::solve::Fault;

/// A weight from which a choice counts as made.
const NEARLY: f64 = 0.9;

impl Search<'_> {
    /// Decides units until all are decided, and completes an answer; gives up where
    /// two decisions in a row leave nothing, or nothing lighter.
    pub(super) fn dive_for_units(&mut self, open: &Open, values: &[f64]) -> Result<(), Fault> {
        let mut held = open.clone();
        let mut values = values.to_vec();
        while !self.clock.is_over() {
            let decisions = self.decisions(&held, &values);
            let Some(nearest) = decisions.first() else {
                break;
            };
            let clear = decisions.iter().take_while(|one| one.2 >= NEARLY).count();
            let mut next = held.clone();
            for (group, units, _) in &decisions[..clear.max(1)] {
                next.boxes[*group] = units.iter().map(|&count| (count, count)).collect();
            }
            let mut found = self.relax(&next, self.prune_at())?;
            if matches!(found, Least::Nothing) {
                // The nearest alone, but with more units rather than fewer.
                let (group, units, _) = nearest;
                next = held.clone();
                for (bounds, &count) in next.boxes[*group].iter_mut().zip(units) {
                    bounds.0 = (count + 1).min(bounds.1);
                }
                found = self.relax(&next, self.prune_at())?;
            }
            let Least::At(mass, following) = found else {
                return Ok(());
            };
            if mass >= self.prune_at() {
                return Ok(());
            }
            held = next;
            values = following;
        }
        let means = self.means(&values);
        self.try_rounding(&held, &means)
    }

    /// Groups whose weights are spread, with their heaviest choice and its weight,
    /// the heaviest first.
    fn decisions(&self, open: &Open, values: &[f64]) -> Vec<(usize, Vec<u32>, f64)> {
        let mut decisions = Vec::new();
        for (index, group) in self.portfolio.groups.iter().enumerate() {
            if open.boxes[index].iter().all(|&(least, most)| least == most) {
                continue;
            }
            let weights = group
                .options
                .iter()
                .map(|option| (self.weight(values, option.weight), &option.units));
            let heaviest = weights.max_by(|one, other| one.0.total_cmp(&other.0));
            if let Some((weight, units)) = heaviest
                && weight < 1.0 - WHOLE
            {
                decisions.push((index, units.clone(), weight));
            }
        }
        decisions.sort_by(|one, other| other.2.total_cmp(&one.2).then(one.0.cmp(&other.0)));
        decisions
    }
}
