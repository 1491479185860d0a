//! What a search leaves behind for that of a neighbour, a program with other numbers:
//! its units, and the parts into which it has split all answers. Every part of them is
//! bounded anew, most of them by a linear program that begins where it has ended, and
//! few have to be split further.

use std::rc::Rc;

use super::open::Open;
use super::relaxing::Least;
use super::tree::Search;
use crate::program::Form;
use crate::solve::basis::Standing;
use crate::solve::portfolio::Portfolio;
use crate::solve::{Fault, Outcome};

/// More parts than this are not kept: a search of its own has cuts, and needs fewer.
const MOST_PARTS: usize = 1_000;
/// A search beside another gives up where it needs so many times as many linear
/// programs as the last one from nothing, and this many more.
const PATIENCE: (usize, usize) = (2, 30);

/// What the searches for a chain of neighbours leave behind, each for the next.
#[derive(Debug, Default)]
pub struct Trail {
    totals: Option<Tracks>,
    per_flight: Option<Tracks>,
}

impl Trail {
    /// What the last search in this form has left.
    pub(in crate::solve) fn of(&mut self, form: Form) -> &mut Option<Tracks> {
        match form {
            Form::Totals => &mut self.totals,
            Form::PerFlight => &mut self.per_flight,
        }
    }
}

/// What one search has left behind.
#[derive(Debug)]
pub(in crate::solve) struct Tracks {
    /// Of the lightest answer, by group and node.
    units: Vec<Vec<u32>>,
    /// Together all answers.
    parts: Vec<Part>,
    /// Columns of the mixed program, by whether they are whole.
    whole: Vec<bool>,
    /// Linear programs of the last search from nothing.
    relaxations: usize,
}

/// A part of the answers that was not split further.
#[derive(Debug)]
pub(super) struct Part {
    path: Path,
    start: Option<Rc<Standing>>,
}

/// The splits that lead from all answers to a part of them, the last first.
#[derive(Clone, Debug, Default)]
pub(super) struct Path(Option<Rc<(Side, Path)>>);

/// One side of a split.
#[derive(Clone, Copy, Debug)]
pub(super) enum Side {
    /// At most so many units of a node of a group.
    AtMost { group: usize, node: usize, at: u32 },
    /// More than that.
    More { group: usize, node: usize, at: u32 },
    /// A column of the mixed program up to a whole number.
    UpTo { column: usize, value: f64 },
    /// A column of the mixed program from a whole number.
    From { column: usize, value: f64 },
}

impl Path {
    /// The path with one more split.
    pub fn and(&self, side: Side) -> Path {
        Path(Some(Rc::new((side, self.clone()))))
    }

    fn sides(&self) -> impl Iterator<Item = Side> {
        let mut rest = self;
        std::iter::from_fn(move || {
            let (side, before) = rest.0.as_deref()?;
            rest = before;
            Some(*side)
        })
    }
}

impl Tracks {
    /// Whether they are those of a neighbour of this portfolio: the same choices
    /// between units and the same whole numbers. Numbers may differ.
    fn lead_to(&self, portfolio: &Portfolio) -> bool {
        let nodes = portfolio.groups.iter().map(|group| group.counts.len());
        nodes.eq(self.units.iter().map(Vec::len)) && whole(portfolio).eq(self.whole.iter().copied())
    }

    /// Linear programs after which a search beside this one gives up.
    fn patience(&self) -> usize {
        PATIENCE.0 * self.relaxations + PATIENCE.1
    }
}

fn whole(portfolio: &Portfolio) -> impl Iterator<Item = bool> {
    portfolio.mixed.columns.iter().map(|column| column.whole)
}

/// The tracks to begin with, where they lead to this portfolio.
pub(super) fn leading_to(
    portfolio: &Portfolio,
    trail: Option<&mut Option<Tracks>>,
) -> Option<Tracks> {
    let tracks = trail.and_then(Option::take);
    tracks.filter(|tracks| tracks.lead_to(portfolio))
}

impl Search<'_> {
    /// Searches beside a neighbour: completes an answer with its units, and with those
    /// that are `near`, and goes on from its parts. None where that takes longer than a
    /// search of its own should.
    pub(super) fn beside(
        &mut self,
        tracks: &Tracks,
        near: &[(usize, u32)],
    ) -> Result<Option<Outcome>, Fault> {
        let everything = self.everything();
        if !near.is_empty() {
            self.try_near(&everything, near)?;
        }
        self.try_units(&everything, tracks.units.clone())?;
        let Some(mut parts) = tracks
            .parts
            .iter()
            .map(|part| self.part_of(&everything, part))
            .collect::<Option<Vec<Open>>>()
        else {
            return Ok(None);
        };
        for part in &mut parts {
            self.numbered += 1;
            part.number = self.numbered;
        }
        let stopped_at = self.explore(parts, self.relaxations + tracks.patience())?;
        if stopped_at.is_some() && !self.clock.is_over() {
            return Ok(None);
        }
        let stopped_at = match stopped_at {
            // What was not reached is bounded together.
            Some(f64::NEG_INFINITY) => match self.relax(&everything, f64::INFINITY)? {
                Least::At(bound, _) | Least::Beyond(bound) => Some(bound),
                Least::Nothing => None,
            },
            other => other,
        };
        Ok(Some(self.outcome(stopped_at)))
    }

    /// A neighbour's part, here; none if a column that it splits has gone.
    fn part_of(&self, everything: &Open, part: &Part) -> Option<Open> {
        let mut open = everything.clone();
        for side in part.path.sides() {
            match side {
                Side::AtMost { group, node, at } => {
                    let most = &mut open.boxes[group][node].1;
                    *most = (*most).min(at);
                }
                Side::More { group, node, at } => {
                    let least = &mut open.boxes[group][node].0;
                    *least = (*least).max(at + 1);
                }
                Side::UpTo { column, value } => {
                    let left = self.reduced.left[column]?;
                    let most = &mut open.whole.entry(left).or_insert(self.anything(left)).1;
                    *most = most.min(value);
                }
                Side::From { column, value } => {
                    let left = self.reduced.left[column]?;
                    let least = &mut open.whole.entry(left).or_insert(self.anything(left)).0;
                    *least = least.max(value);
                }
            }
        }
        open.path = part.path.clone();
        let (rows, columns) = (self.own_rows, self.reduced.program.columns.len());
        let start = part.start.as_ref();
        open.start = start.filter(|start| start.fits(rows, columns)).cloned();
        Some(open)
    }

    fn anything(&self, column: usize) -> (f64, f64) {
        (self.lower[column], self.upper[column])
    }

    /// Remembers a part that is not split further.
    pub(super) fn leave(&mut self, path: Path, start: Option<Rc<Standing>>) {
        if self.leaves_tracks {
            self.parts.push(Part { path, start });
        }
    }

    /// Where the kernel stands after a part of its own rows.
    pub(super) fn stands(&self) -> Option<Rc<Standing>> {
        let plain = self.leaves_tracks && self.own_rows == self.reduced.program.rows.len();
        plain.then(|| Rc::new(self.kernel.standing()))
    }

    /// What a finished search leaves behind; `before` is what it has begun with.
    pub(super) fn tracks(&mut self, found: &Outcome, before: Option<&Tracks>) -> Option<Tracks> {
        let Outcome::Solved(solution) = found else {
            return None;
        };
        if !solution.proved || self.parts.len() > MOST_PARTS {
            return None;
        }
        let groups = self.portfolio.groups.iter();
        let units = |count: &usize| solution.values[*count].round() as u32;
        Some(Tracks {
            units: groups
                .map(|group| group.counts.iter().map(units).collect())
                .collect(),
            parts: std::mem::take(&mut self.parts),
            whole: whole(self.portfolio).collect(),
            relaxations: before.map_or(solution.relaxations, |before| before.relaxations),
        })
    }
}
