//! Seeds: the statements that give way most naturally for everything else to
//! hold, and how far.
//!
//! First as little unmet need as possible, then as little matter without a way
//! out, then as little over the limits: so a limit is blamed wherever raising it
//! would do, and a shortage only where nothing else would.

use std::collections::{BTreeMap, BTreeSet};

use super::elastic::{Elastic, Slack};
use super::ground::outlet_weight;
use super::oracle::{Oracle, Verdict};
use super::shrink::Set;
use super::statement::What;

/// Statements and how far each gives way in the whole design.
pub(super) type Seeds = Vec<(usize, f64)>;

/// The statements that give way and how far, those given up before left out;
/// none where that is not known.
pub(super) fn seeds(
    elastic: &Elastic<'_>,
    oracle: &mut Oracle<'_>,
    given_up: &BTreeSet<usize>,
) -> Option<Seeds> {
    let what = |slack: &Slack| elastic.statements[slack.statement].what;
    let costs = |weight: &dyn Fn(&Slack) -> f64| -> Vec<f64> {
        let slacks = elastic.slacks.iter();
        slacks
            .map(|slack| match given_up.contains(&slack.statement) {
                true => 0.0,
                false => weight(slack),
            })
            .collect()
    };
    let mut rooms: Vec<f64> = elastic
        .slacks
        .iter()
        .map(|slack| {
            let may_give = gives_way(what(slack)) && !slack.beyond;
            match may_give || given_up.contains(&slack.statement) {
                true => slack.most,
                false => 0.0,
            }
        })
        .collect();
    let needs = costs(&|slack| f64::from(u8::from(matches!(what(slack), What::Need { .. }))));
    let outlets = costs(&|slack| outlet_weight(elastic.network, what(slack)));
    for costs in [needs, outlets] {
        let values = oracle.least(&rooms, &costs)?;
        for (index, slack) in elastic.slacks.iter().enumerate() {
            if costs[index] > 0.0 {
                rooms[index] = match values[index] > tolerance(slack.scale) {
                    true => (values[index] * (1.0 + 1e-7) + 1e-9).min(slack.most),
                    false => 0.0,
                };
            }
        }
    }
    // Limits are of different units: each counts by its own size.
    let limits = costs(&|slack| match what(slack).is_limit() {
        true => 1.0 / slack.scale,
        false => 0.0,
    });
    let mut values = oracle.least(&rooms, &limits)?;
    if let Some(fewer) = fewer_limits(elastic, oracle, given_up, &rooms, &values) {
        values = oracle.least(&fewer, &limits)?;
        rooms = fewer;
    }
    if !oracle.whole && !elastic.weighs {
        in_whole_numbers(elastic, oracle, rooms, &limits, &mut values);
    }
    let mut seeds = Seeds::new();
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

/// Whether a statement may be a seed.
fn gives_way(what: What) -> bool {
    what.is_limit()
        || matches!(
            what,
            What::Need { .. } | What::Product { .. } | What::Outlet { .. }
        )
}

/// By how much a limit is exceeded depends on whole units; where that cannot be
/// had, the relaxation's amount is still a least one.
fn in_whole_numbers(
    elastic: &Elastic<'_>,
    oracle: &mut Oracle<'_>,
    mut rooms: Vec<f64>,
    limits: &[f64],
    values: &mut [f64],
) {
    for (index, slack) in elastic.slacks.iter().enumerate() {
        if limits[index] > 0.0 && values[index] <= tolerance(slack.scale) {
            rooms[index] = 0.0;
        }
    }
    oracle.whole = true;
    let whole = oracle.least(&rooms, limits);
    oracle.whole = false;
    for (index, value) in whole.into_iter().flatten().enumerate() {
        if limits[index] > 0.0 {
            values[index] = values[index].max(value);
        }
    }
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
pub(super) fn short(elastic: &Elastic<'_>, seeds: &[(usize, f64)], set: &Set) -> f64 {
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
pub(super) fn rounded(value: f64, what: What) -> f64 {
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
