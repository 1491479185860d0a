//! The search from its beginning: beside a neighbour's, or round after round with what
//! an answer has ruled out left out of the program.

use std::collections::{BTreeMap, VecDeque};

use super::alike::{Alike, SAME_MASS_KG};
use super::leaves::Incumbent;
use super::root::strengthen;
use super::trail::{Tracks, leading_to};
use super::tree::Search;
use crate::program::Program;
use crate::solve::kernel::Kernel;
use crate::solve::portfolio::Portfolio;
use crate::solve::reduce::reduce;
use crate::solve::tighten::{Bounds, tighten};
use crate::solve::{Clock, Fault, Options, Outcome};

/// Times that a search may begin again with fewer choices.
const RESTARTS: usize = 4;

/// What is wanted of a search, and what it may begin with.
pub(super) struct Task<'t> {
    /// Answers at or above this mass are of no interest, kg.
    pub cutoff_kg: f64,
    /// The answers that weigh the same, if they are asked for.
    pub alike: Option<Alike>,
    /// Units that may do, by count column of the whole program; empty if none are
    /// known.
    pub near: &'t [(usize, u32)],
    /// Where the search for a neighbour has left its tracks, and this one is to leave
    /// its own.
    pub trail: Option<&'t mut Option<Tracks>>,
}

impl Task<'_> {
    /// The lightest below a mass, from nothing.
    pub fn below(cutoff_kg: f64) -> Self {
        Task {
            cutoff_kg,
            alike: None,
            near: &[],
            trail: None,
        }
    }
}

impl Search<'_> {
    /// Searches a portfolio. Beside a neighbour it goes on from what that has left.
    /// Otherwise what an answer with given units rules out leaves the program first;
    /// then rows are tightened and cut until no more comes of it. Where many choices
    /// turn out not to be lighter, they leave the program too and all that is done
    /// once more.
    pub(super) fn run(
        mut portfolio: Portfolio,
        program: Option<&Program>,
        options: &Options,
        clock: &Clock,
        task: Task<'_>,
    ) -> Result<Outcome, Fault> {
        let Task {
            cutoff_kg: cutoff,
            mut alike,
            near,
            mut trail,
        } = task;
        let mut incumbent: Option<Incumbent> = None;
        let mut relaxations = 0;
        let mut tracks = leading_to(&portfolio, trail.as_deref_mut());
        let mut restarts = 0;
        // Cuts are for what is left once the first answer has ruled out its part.
        let mut cuts = near.is_empty();
        loop {
            let closed = |incumbent: Option<Incumbent>| match incumbent {
                Some(best) => Ok(Outcome::Solved(best.proved(relaxations))),
                None => Ok(Outcome::Infeasible),
            };
            let own = Bounds::of(&portfolio.mixed);
            let Ok(whole) = tighten(&mut portfolio.mixed, own) else {
                return closed(incumbent);
            };
            let Ok(mut reduced) = reduce(&portfolio.mixed) else {
                return closed(incumbent);
            };
            // Substitution hides what the rows have told of a column.
            let known = whole.within(&reduced.origin, Bounds::of(&reduced.program));
            let Ok(bounds) = tighten(&mut reduced.program, known) else {
                return closed(incumbent);
            };
            let mut kernel = Kernel::new(&reduced.program, &bounds);
            let enough = incumbent.as_ref().map_or(cutoff, |best: &Incumbent| {
                (best.cost + SAME_MASS_KG).min(cutoff)
            });
            let own_rows = reduced.program.rows.len();
            if cuts
                && tracks.is_none()
                && !strengthen(
                    &mut reduced.program,
                    &mut kernel,
                    &bounds,
                    options,
                    clock,
                    enough,
                )?
            {
                return closed(incumbent);
            }
            let columns = &reduced.program.columns;
            let mut search = Search {
                portfolio: &portfolio,
                program,
                reduced: &reduced,
                own_rows,
                options,
                clock,
                incumbent,
                alike,
                cutoff,
                relaxations,
                numbered: 0,
                lowest_closed: f64::INFINITY,
                tried: BTreeMap::new(),
                kernel,
                recent: VecDeque::new(),
                moved: true,
                lower: columns.iter().map(|column| column.lower).collect(),
                upper: columns.iter().map(|column| column.upper).collect(),
                root: None,
                experience: BTreeMap::new(),
                of_units: BTreeMap::new(),
                leaves_tracks: trail.is_some(),
                parts: Vec::new(),
            };
            if let Some(before) = tracks.take() {
                if let Some(found) = search.beside(&before, near)? {
                    if let Some(trail) = trail {
                        *trail = search.tracks(&found, Some(&before));
                    }
                    return Ok(found);
                }
                // That took too long: from nothing, but for the answers found.
                (incumbent, alike, relaxations) = search.found();
                continue;
            }
            if cuts {
                search.first_answers()?;
            } else {
                search.rule_out(near)?;
            }
            let (all, left) = search.choices_left();
            let many = left * 4 < all * 3;
            let again = restarts < RESTARTS && (many || !cuts);
            if !again {
                let everything = vec![search.everything()];
                let stopped_at = search.explore(everything, usize::MAX)?;
                let found = search.outcome(stopped_at);
                if let Some(trail) = trail {
                    *trail = search.tracks(&found, None);
                }
                return Ok(found);
            }
            let (lower, upper) = (search.lower.clone(), search.upper.clone());
            (incumbent, alike, relaxations) = search.found();
            reduced.carry_back(own_rows, &lower, &upper, &mut portfolio.mixed);
            restarts += 1;
            cuts = true;
        }
    }

    /// What has been found so far, for a search that begins again.
    fn found(self) -> (Option<Incumbent>, Option<Alike>, usize) {
        (self.incumbent, self.alike, self.relaxations)
    }
}
