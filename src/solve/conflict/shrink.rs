//! From an elastic program to smallest sets of statements that conflict.
//!
//! First the statements that give way most naturally are found (the *seeds*):
//! as little unmet need as possible, then as little matter without a way out,
//! then as little over the limits. Each seed belongs to a conflict that holding
//! it brings about; with the other seeds given up, statements are dropped one
//! after the other, from the far ones to the near, and kept only where the
//! conflict goes with them.

use std::collections::{BTreeMap, BTreeSet};

use super::elastic::Elastic;
use super::ground::{distances, outlet_weight};
use super::oracle::{Oracle, Verdict};
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

/// Most seeds looked into; a design with more has the first explained.
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
        for &(seed, _) in seeds.iter().take(SEEDS) {
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

/// The statements that give way and how far, those given up before left out.
fn seeds(
    elastic: &Elastic<'_>,
    oracle: &mut Oracle<'_>,
    given_up: &BTreeSet<usize>,
) -> Option<Vec<(usize, f64)>> {
    let may_give = |statement: usize, beyond: bool| {
        let what = elastic.statements[statement].what;
        !beyond
            && (what.is_limit()
                || matches!(
                    what,
                    What::Need { .. } | What::Product { .. } | What::Outlet { .. }
                ))
    };
    let mut rooms: Vec<f64> = elastic
        .slacks
        .iter()
        .map(|slack| {
            let open =
                given_up.contains(&slack.statement) || may_give(slack.statement, slack.beyond);
            if open { slack.most } else { 0.0 }
        })
        .collect();
    let stages: [fn(&Elastic<'_>, What) -> f64; 3] = [
        |_, what| f64::from(u8::from(matches!(what, What::Need { .. }))),
        |elastic, what| outlet_weight(elastic.network, what),
        |_, what| f64::from(u8::from(what.is_limit())),
    ];
    let mut values = Vec::new();
    let mut costs = Vec::new();
    for (stage, weight) in stages.into_iter().enumerate() {
        costs = elastic
            .slacks
            .iter()
            .map(|slack| {
                if given_up.contains(&slack.statement) {
                    return 0.0;
                }
                let weight = weight(elastic, elastic.statements[slack.statement].what);
                // Limits are of different units: each counts by its own size.
                if stage == 2 {
                    weight / slack.scale
                } else {
                    weight
                }
            })
            .collect::<Vec<f64>>();
        values = oracle.least(&rooms, &costs)?;
        if stage == 2 {
            break;
        }
        for (index, slack) in elastic.slacks.iter().enumerate() {
            if costs[index] > 0.0 {
                let held = values[index].max(0.0);
                let held = if held > tolerance(slack.scale) {
                    held * (1.0 + 1e-7) + 1e-9
                } else {
                    0.0
                };
                rooms[index] = held.min(slack.most);
            }
        }
    }
    if let Some(fewer) = fewer_limits(elastic, oracle, given_up, &rooms, &values) {
        values = oracle.least(&fewer, &costs)?;
        rooms = fewer;
    }
    if !oracle.whole && !elastic.weighs {
        // By how much a limit is exceeded depends on whole units; where that
        // cannot be had, the relaxation's amount is still a least one.
        for (index, &cost) in costs.iter().enumerate() {
            if cost > 0.0 && values[index] <= tolerance(elastic.slacks[index].scale) {
                rooms[index] = 0.0;
            }
        }
        oracle.whole = true;
        let whole = oracle.least(&rooms, &costs);
        oracle.whole = false;
        for (index, value) in whole.into_iter().flatten().enumerate() {
            if costs[index] > 0.0 {
                values[index] = values[index].max(value);
            }
        }
    }
    let mut seeds: Vec<(usize, f64)> = Vec::new();
    for (slack, &value) in elastic.slacks.iter().zip(&values) {
        if given_up.contains(&slack.statement) || value <= tolerance(slack.scale) {
            continue;
        }
        match seeds.iter_mut().find(|(seed, _)| *seed == slack.statement) {
            Some((_, short)) => *short += value,
            None => seeds.push((slack.statement, value)),
        }
    }
    Some(seeds)
}

/// Where limits of several sorts give way a little, one giving way more may do:
/// rooms that keep the sorts of limits that are not needed closed.
fn fewer_limits(
    elastic: &Elastic<'_>,
    oracle: &mut Oracle<'_>,
    given_up: &BTreeSet<usize>,
    rooms: &[f64],
    values: &[f64],
) -> Option<Vec<f64>> {
    let limit = |statement: usize| -> Option<What> {
        let what = elastic.statements[statement].what;
        (what.is_limit() && !given_up.contains(&statement)).then(|| what.whenever())
    };
    let mut sorts: BTreeMap<What, f64> = BTreeMap::new();
    for (slack, &value) in elastic.slacks.iter().zip(values) {
        if let Some(sort) = limit(slack.statement)
            && value > tolerance(slack.scale)
        {
            *sorts.entry(sort).or_insert(0.0) += value / slack.scale;
        }
    }
    if sorts.len() < 2 {
        return None;
    }
    let only = |open: &[What]| -> Vec<f64> {
        elastic
            .slacks
            .iter()
            .zip(rooms)
            .map(|(slack, &room)| match limit(slack.statement) {
                Some(sort) if open.contains(&sort) => slack.most,
                Some(_) => 0.0,
                None => room,
            })
            .collect()
    };
    let mut open: Vec<What> = sorts.keys().copied().collect();
    open.sort_by(|a, b| sorts[b].total_cmp(&sorts[a]));
    for sort in open.clone() {
        let fewer: Vec<What> = open.iter().copied().filter(|&one| one != sort).collect();
        if !fewer.is_empty() && oracle.ask(&only(&fewer)) == Verdict::Agree {
            open = fewer;
        }
    }
    (open.len() < sorts.len()).then(|| only(&open))
}

/// How far the first statement of a set gives way in the whole design: as a
/// seed, with all needs of the same substance in its set that are seeds, too;
/// or else by itself.
fn short(elastic: &Elastic<'_>, seeds: &[(usize, f64)], set: &Set) -> f64 {
    let what = |statement: usize| elastic.statements[statement].what;
    let Some(&first) = set.members.first() else {
        return 0.0;
    };
    let same = |other: usize| match (what(first), what(other)) {
        (
            What::Need {
                substance, phase, ..
            },
            What::Need {
                substance: other,
                phase: when,
                ..
            },
        ) => substance == other && phase == when,
        _ => false,
    };
    let short: f64 = seeds
        .iter()
        .filter(|&&(seed, _)| seed == first || (set.members.contains(&seed) && same(seed)))
        .map(|(_, short)| short)
        .sum();
    rounded(short, what(first)).max(set.short)
}

/// Without the last digits of a solver; what is counted, to whole numbers.
fn rounded(value: f64, what: What) -> f64 {
    if matches!(what, What::Units { .. } | What::Exclusive { .. }) {
        return (value - 1e-6).ceil();
    }
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let digit = 10_f64.powi(8 - value.abs().log10().floor() as i32);
    (value * digit).round() / digit
}

/// Slack below this is rounding.
fn tolerance(scale: f64) -> f64 {
    1e-7 * scale + 1e-9
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
