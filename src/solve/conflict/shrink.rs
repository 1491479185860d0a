//! From an elastic program to smallest sets of statements that conflict.
//!
//! Each seed belongs to a conflict that holding it brings about; with the other
//! seeds given up, statements are dropped one after the other, from the far ones
//! to the near, and kept only where the conflict goes with them.

use std::collections::BTreeSet;

use super::elastic::Elastic;
use super::ground::distances;
use super::oracle::{Oracle, Verdict};
use super::seeds::{rounded, seeds, short};
use super::statement::What;

/// Statements that cannot all hold, and any all but one can.
#[derive(Clone, Debug)]
pub(super) struct Set {
    /// Indices of the statements, the one that gives way most naturally first,
    /// then in file order.
    pub members: Vec<usize>,
    /// How far each must give way if the others hold and nothing else is asked.
    pub slack: Vec<f64>,
    /// How far the first must give way in the whole design.
    pub short: f64,
    /// Whether every statement was tested.
    pub smallest: bool,
}

/// Most seeds looked into; of a design with more, the first are explained.
const SEEDS: usize = 48;
/// Statements tested together before they are tested one by one.
const TOGETHER: usize = 8;

/// Finds the conflict sets of an elastic program, and whether all were found.
pub(super) fn sets(elastic: &Elastic<'_>, oracle: &mut Oracle<'_>) -> (Vec<Set>, bool) {
    let mut given_up: BTreeSet<usize> = BTreeSet::new();
    let mut found: Vec<Set> = Vec::new();
    // Linear conflicts first; then, with those given up, whole numbers.
    for whole in [false, true] {
        oracle.whole = whole;
        let rooms = elastic.rooms(|statement| !given_up.contains(&statement));
        if oracle.ask(&rooms) == Verdict::Agree {
            continue;
        }
        let Some(seeds) = seeds(elastic, oracle, &given_up) else {
            return (found, false);
        };
        let all: BTreeSet<usize> = seeds.iter().map(|&(seed, _)| seed).collect();
        for (index, &(seed, _)) in seeds.iter().enumerate() {
            if index >= SEEDS {
                return (found, false);
            }
            let mut dropped = given_up.clone();
            dropped.extend(all.iter().filter(|&&other| other != seed));
            let mut shrinking = Shrinking {
                elastic,
                oracle,
                seed,
                outlets: &all,
            };
            let Some(mut set) = shrinking.shrink(&dropped, &given_up) else {
                return (found, false);
            };
            set.short = short(elastic, &seeds, &set);
            if found.iter().all(|known| known.members != set.members) {
                found.push(set);
            }
        }
        given_up.extend(all);
    }
    (found, true)
}

struct Shrinking<'a, 'b, 'c> {
    elastic: &'a Elastic<'a>,
    oracle: &'b mut Oracle<'c>,
    seed: usize,
    /// The seeds: of all outlets, only these are statements; the rest is ground.
    outlets: &'b BTreeSet<usize>,
}

impl Shrinking<'_, '_, '_> {
    fn shrink(&mut self, dropped: &BTreeSet<usize>, given_up: &BTreeSet<usize>) -> Option<Set> {
        // With every other seed given up, holding this one brings the conflict
        // about; where seeds stand in for each other, they must be held, too.
        let mut candidates = self.candidates(dropped);
        if self.ask(&candidates) != Verdict::Conflict {
            candidates = self.candidates(given_up);
            if self.ask(&candidates) != Verdict::Conflict {
                return None;
            }
        }
        // Near statements may be enough.
        let mut near = TOGETHER;
        while near < candidates.len() {
            if self.ask(&candidates[..near]) == Verdict::Conflict {
                candidates.truncate(near);
                break;
            }
            near *= 2;
        }
        let mut end = candidates.len();
        while end > 1 {
            let start = end.saturating_sub(TOGETHER).max(1);
            let mut fewer = candidates.clone();
            fewer.drain(start..end);
            if end - start > 1 && self.ask(&fewer) == Verdict::Conflict {
                candidates = fewer;
            }
            end = start;
        }
        let mut smallest = self.one_by_one(&mut candidates);
        // What the relaxation wants may be more than whole numbers need.
        let whole = std::mem::replace(&mut self.oracle.whole, true);
        if !whole {
            smallest = self.one_by_one(&mut candidates);
        }
        let set = self.set(candidates, smallest);
        self.oracle.whole = whole;
        set
    }

    /// Drops every statement without which the others still conflict; whether
    /// all of them could be told.
    fn one_by_one(&mut self, candidates: &mut Vec<usize>) -> bool {
        let mut told = true;
        for index in (0..candidates.len()).rev() {
            let mut fewer = candidates.clone();
            fewer.remove(index);
            match self.ask(&fewer) {
                Verdict::Conflict => *candidates = fewer,
                Verdict::Agree => {}
                Verdict::Unsure => told = false,
            }
        }
        told
    }

    fn set(&mut self, mut members: Vec<usize>, smallest: bool) -> Option<Set> {
        let seeds = self.outlets;
        members.sort_by_key(|&member| {
            let what = self.elastic.statements[member].what;
            let other_seed = (!seeds.contains(&member), !what.is_limit());
            (member != self.seed, other_seed, rank(what), member)
        });
        if let Some(others) = members.get_mut(1..) {
            others.sort_unstable();
        }
        let mut slack = Vec::with_capacity(members.len());
        for &member in &members {
            slack.push(self.alone(&members, member)?);
        }
        Some(Set {
            short: slack.first().copied().unwrap_or(0.0),
            slack,
            members,
            smallest,
        })
    }

    /// Statements that may be part of the conflict: the seed first, then from
    /// near to far.
    fn candidates(&self, dropped: &BTreeSet<usize>) -> Vec<usize> {
        let seed = self.elastic.statements[self.seed].what;
        let away = distances(self.elastic.network, seed.node());
        let mut candidates: Vec<usize> = (0..self.elastic.statements.len())
            .filter(|&statement| !dropped.contains(&statement) && !self.is_ground(statement))
            .collect();
        candidates.sort_by_key(|&statement| {
            let what = self.elastic.statements[statement].what;
            let other_phase = matches!((what.phase(), seed.phase()), (Some(a), Some(b)) if a != b);
            let away = what.node().map_or(1, |node| away[node.index()]);
            (
                statement != self.seed,
                other_phase,
                away,
                rank(what),
                statement,
            )
        });
        candidates
    }

    fn is_ground(&self, statement: usize) -> bool {
        matches!(self.elastic.statements[statement].what, What::Outlet { .. })
            && !self.outlets.contains(&statement)
    }

    fn rooms(&self, held: &[usize]) -> Vec<f64> {
        self.elastic
            .rooms(|statement| held.contains(&statement) || self.is_ground(statement))
    }

    fn ask(&mut self, held: &[usize]) -> Verdict {
        let rooms = self.rooms(held);
        self.oracle.ask(&rooms)
    }

    /// How far one statement must give way if the others of its set hold.
    fn alone(&mut self, members: &[usize], one: usize) -> Option<f64> {
        let others: Vec<usize> = members
            .iter()
            .copied()
            .filter(|&member| member != one)
            .collect();
        let costs: Vec<f64> = self
            .elastic
            .slacks
            .iter()
            .map(|slack| f64::from(u8::from(slack.statement == one)))
            .collect();
        let rooms = self.rooms(&others);
        let values = self.oracle.least(&rooms, &costs).or_else(|| {
            self.oracle.whole = false;
            let relaxed = self.oracle.least(&rooms, &costs);
            self.oracle.whole = true;
            relaxed
        })?;
        let slack: f64 = values.iter().zip(&costs).map(|(v, cost)| v * cost).sum();
        let what = self.elastic.statements[one].what;
        Some(rounded(slack, what))
    }
}

/// Which of equally near statements is dropped first: the higher.
fn rank(what: What) -> u8 {
    match what {
        What::Power { .. }
        | What::Heat { .. }
        | What::CrewTime { .. }
        | What::Volume
        | What::Stowage
        | What::Stowed { .. }
        | What::Removed { .. }
        | What::Exclusive { .. }
        | What::Payload { .. }
        | What::Outlet { .. } => 0,
        What::Capacity { .. } | What::Turndown { .. } | What::Units { .. } => 1,
        What::Need { .. } => 2,
        What::Product { .. } => 3,
        What::Conversion { .. } => 4,
        _ => 5,
    }
}
