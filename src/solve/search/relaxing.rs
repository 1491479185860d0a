//! A part of the answers as a linear program: its bounds, where the kernel begins, and
//! the lightest that is in it with whole numbers relaxed.

use std::rc::Rc;

use super::open::{Open, fits};
use super::solve_below;
use super::tree::Search;
use crate::solve::Fault;
use crate::solve::basis::Standing;
use crate::solve::kernel::{Kernel, Limited};
use crate::solve::relaxation::Relaxed;
use crate::solve::tighten::Bounds;

/// The lightest of a part of the answers with whole numbers relaxed.
pub(super) enum Least {
    /// Nothing is in it.
    Nothing,
    /// Nothing in it is lighter than this, kg, which is beyond the limit given.
    Beyond(f64),
    /// It weighs this, kg, with these values of the reduced columns.
    At(f64, Vec<f64>),
}

impl Search<'_> {
    /// Bounds of the reduced columns within a part of the answers; none if no
    /// choice is left for a group.
    pub(super) fn bounds(&self, open: &Open) -> Option<(Vec<f64>, Vec<f64>)> {
        let mut lower = self.lower.clone();
        let mut upper = self.upper.clone();
        for (group, boxes) in self.portfolio.groups.iter().zip(&open.boxes) {
            let mut allowed = 0;
            let mut last = None;
            for option in &group.options {
                let Some(weight) = self.reduced.left[option.weight] else {
                    continue;
                };
                if fits(&option.units, boxes) && upper[weight] > 0.5 {
                    allowed += 1;
                    last = Some(weight);
                } else {
                    upper[weight] = 0.0;
                }
            }
            match (allowed, last) {
                (0, _) => return None,
                (1, Some(weight)) => lower[weight] = 1.0,
                _ => {}
            }
        }
        for (&column, &(least, most)) in &open.whole {
            lower[column] = lower[column].max(least);
            upper[column] = upper[column].min(most);
        }
        for (index, weighed) in self.portfolio.weighed.iter().enumerate() {
            if let Some(column) = weighed.column.and_then(|column| self.reduced.left[column]) {
                let excess = open.excess.get(index).copied().unwrap_or(0.0);
                lower[column] = excess;
                upper[column] = excess;
            }
        }
        if !open.spares.is_empty() {
            for column in self.portfolio.spares_columns() {
                if let Some(left) = self.reduced.left[column] {
                    let value = f64::from(u8::from(open.spares.contains(&column)));
                    lower[left] = value;
                    upper[left] = value;
                }
            }
        }
        Some((lower, upper))
    }

    /// The lightest of a part of the answers with whole numbers relaxed. From `limit` on
    /// it is of no interest, kg.
    pub(super) fn relax(&mut self, open: &Open, limit: f64) -> Result<Least, Fault> {
        let Some((lower, upper)) = self.bounds(open) else {
            return Ok(Least::Nothing);
        };
        self.relaxations += 1;
        self.moved = true;
        let program = &self.reduced.program;
        let backend = self.options.backend;
        let solved = solve_below(&mut self.kernel, program, &lower, &upper, backend, limit);
        let limited = match solved {
            // Cuts may be what neither can cope with; without them the bound is
            // weaker, but a bound.
            Err(Fault::Backend(_)) if self.own_rows < program.rows.len() => {
                let mut plain = program.clone();
                plain.rows.truncate(self.own_rows);
                let mut kernel = Kernel::new(&plain, &Bounds::of(&plain));
                solve_below(&mut kernel, &plain, &lower, &upper, backend, limit)?
            }
            other => other?,
        };
        Ok(match limited {
            Limited::Beyond(bound) => Least::Beyond(bound),
            Limited::Relaxed(Relaxed::Optimal { objective, values }) => {
                Least::At(objective, values)
            }
            Limited::Relaxed(Relaxed::Infeasible) => Least::Nothing,
        })
    }

    /// Lets the next linear program begin where another has ended.
    pub(super) fn stand(&mut self, start: &Rc<Standing>) {
        let recent = &self.recent;
        let known = recent
            .iter()
            .rposition(|known| Rc::ptr_eq(&known.standing, start));
        match known {
            Some(latest) if latest + 1 == recent.len() && !self.moved => return,
            Some(known) => self.kernel.return_to(&recent[known]),
            None => self.kernel.stand(start),
        }
        self.moved = true;
    }
}
