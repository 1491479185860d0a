//! What can be left out because nothing there is lighter than the best answer:
//! moving a column from the bound that its reduced cost prefers costs at least
//! that much per unit.

use std::collections::BTreeMap;

use super::open::{Boxes, Open};
use super::relaxing::Least;
use super::trail::Path;
use super::tree::Search;
use crate::solve::Fault;

/// Reduced costs below this say nothing, kg per unit.
const NOTHING: f64 = 1e-7;

impl Search<'_> {
    /// All answers that are still allowed.
    pub(super) fn everything(&self) -> Open {
        let boxes: Boxes = self
            .portfolio
            .groups
            .iter()
            .map(|group| {
                (0..group.counts.len())
                    .map(|node| {
                        let allowed = group.options.iter().filter(|option| {
                            self.reduced.left[option.weight]
                                .is_some_and(|weight| self.upper[weight] > 0.5)
                        });
                        let units = allowed.map(|option| option.units[node]);
                        (units.clone().min().unwrap_or(0), units.max().unwrap_or(0))
                    })
                    .collect()
            })
            .collect();
        Open {
            bound: self
                .root
                .as_ref()
                .map_or(f64::NEG_INFINITY, |root| root.bound),
            depth: 0,
            number: 0,
            boxes,
            path: Path::default(),
            whole: BTreeMap::new(),
            excess: Vec::new(),
            spares: Vec::new(),
            start: None,
        }
    }

    /// Relaxes the whole, keeps what proves its bound, and rounds it to a first
    /// answer.
    pub(super) fn first_answers(&mut self) -> Result<(), Fault> {
        let open = self.everything();
        let Least::At(_, values) = self.relax(&open, f64::INFINITY)? else {
            return Ok(());
        };
        self.root = self.kernel.certificate().cloned();
        self.fix_by_root();
        let means = self.means(&values);
        self.try_rounding(&open, &means)?;
        if self.incumbent.is_none() {
            self.dive_for_units(&open, &values)?;
        }
        Ok(())
    }

    /// Relaxes the whole, completes an answer with these units, and takes out what it
    /// rules out.
    pub(super) fn rule_out(&mut self, near: &[(usize, u32)]) -> Result<(), Fault> {
        let open = self.everything();
        let Least::At(..) = self.relax(&open, f64::INFINITY)? else {
            return Ok(());
        };
        self.root = self.kernel.certificate().cloned();
        self.try_near(&open, near)
    }

    /// Completes an answer with units by count column, none where nothing is said.
    pub(super) fn try_near(&mut self, open: &Open, near: &[(usize, u32)]) -> Result<(), Fault> {
        let units_of = |count: &usize| {
            let known = near.iter().find(|(column, _)| column == count);
            known.map_or(0, |&(_, units)| units)
        };
        let groups = self.portfolio.groups.iter();
        let units = groups
            .map(|group| group.counts.iter().map(units_of).collect())
            .collect();
        self.try_units(open, units)
    }

    /// Choices of the program, and those that are still open.
    pub(super) fn choices_left(&self) -> (usize, usize) {
        let columns = &self.reduced.program.columns;
        let mut all = 0;
        let mut open = 0;
        for (index, column) in columns.iter().enumerate() {
            if column.integral && column.lower < column.upper {
                all += 1;
                open += usize::from(self.lower[index] < self.upper[index]);
            }
        }
        (all, open)
    }

    /// Takes out of the whole search what the best answer rules out.
    pub(super) fn fix_by_root(&mut self) {
        let room = self.no_better();
        let Some(root) = self.root.as_ref().filter(|_| room.is_finite()) else {
            return;
        };
        let room = room - root.bound;
        for (index, &reduced) in root.reduced.iter().enumerate() {
            if !self.reduced.program.columns[index].integral || reduced.abs() < NOTHING {
                continue;
            }
            let column = self.reduced.program.columns[index];
            let steps = (room / reduced.abs() + 1e-6).floor().max(0.0);
            if reduced > 0.0 {
                self.upper[index] = self.upper[index].min(column.lower + steps);
            } else {
                self.lower[index] = self.lower[index].max(column.upper - steps);
            }
        }
    }

    /// Takes out of one part of the answers what the best answer rules out,
    /// after a relaxation of it; `more` is what its exact spares weigh beyond
    /// that, kg.
    pub(super) fn narrow(&self, open: &mut Open, more: f64) {
        let room = self.no_better() - more;
        let Some(proof) = self.kernel.certificate().filter(|_| room.is_finite()) else {
            return;
        };
        let Some((lower, upper)) = self.bounds(open) else {
            return;
        };
        let room = room - proof.bound;
        for (index, &reduced) in proof.reduced.iter().enumerate() {
            let (least, most) = (lower[index], upper[index]);
            if !self.reduced.program.columns[index].integral
                || reduced.abs() < NOTHING
                || least == most
            {
                continue;
            }
            let steps = (room / reduced.abs() + 1e-6).floor().max(0.0);
            let narrower = if reduced > 0.0 {
                (least, most.min(least + steps))
            } else {
                (least.max(most - steps), most)
            };
            if narrower != (least, most) {
                open.whole.insert(index, narrower);
            }
        }
    }
}
