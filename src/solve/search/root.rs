//! Before anything is split: rows that cut fractional answers off, round after
//! round, while they lift the bound.

use super::{WHOLE, solve_linear};
use crate::solve::cuts::{Cut, Cutter};
use crate::solve::kernel::Kernel;
use crate::solve::mixed::Mixed;
use crate::solve::relaxation::Relaxed;
use crate::solve::tighten::Bounds;
use crate::solve::{Clock, Fault, Options};

/// Rounds of cuts at most.
const ROUNDS: usize = 40;
/// Rounds without progress after which no more is expected.
const IDLE: usize = 1;
/// Cuts of one round at most.
const CUTS: usize = 60;
/// A bound has moved if it moves by this share.
const PROGRESS: f64 = 5e-3;
/// Cosine above which two cuts say the same.
const PARALLEL: f64 = 0.95;

/// Adds cuts to a program, until its bound is enough to close it; false if it turns out that nothing satisfies it.
pub(super) fn strengthen(
    mixed: &mut Mixed,
    kernel: &mut Kernel,
    bounds: &Bounds,
    options: &Options,
    clock: &Clock,
    enough: f64,
) -> Result<bool, Fault> {
    let own_rows = mixed.rows.len();
    let lower: Vec<f64> = mixed.columns.iter().map(|column| column.lower).collect();
    let upper: Vec<f64> = mixed.columns.iter().map(|column| column.upper).collect();
    let mut best = f64::NEG_INFINITY;
    let mut idle = 0;
    for _ in 0..ROUNDS {
        let relaxed = solve_linear(kernel, mixed, &lower, &upper, options.backend)?;
        let Relaxed::Optimal { objective, values } = relaxed else {
            return Ok(false);
        };
        drop_slack(mixed, kernel, &values, own_rows);
        if objective > best + PROGRESS * (1.0 + objective.abs()) {
            best = objective;
            idle = 0;
        } else {
            idle += 1;
        }
        if idle >= IDLE || objective >= enough || clock.is_over() {
            break;
        }
        let chosen = choose(find(mixed, kernel, bounds, &values));
        if chosen.is_empty() {
            break;
        }
        let rows: Vec<_> = chosen.into_iter().map(|cut| cut.row).collect();
        kernel.append(&rows);
        mixed.rows.extend(rows);
    }
    Ok(true)
}

/// Cuts from every row by itself and from the combination of rows behind every
/// fractional column.
fn find(mixed: &Mixed, kernel: &Kernel, bounds: &Bounds, values: &[f64]) -> Vec<Cut> {
    let mut cutter = Cutter::new(mixed, bounds, values);
    let mut found = Vec::new();
    for row in 0..mixed.rows.len() {
        found.extend(cutter.cut(&vec![(row, 1.0)]));
    }
    for (column, data) in mixed.columns.iter().enumerate() {
        let away = (values[column] - values[column].round()).abs();
        if data.integral && away > WHOLE {
            let combination = kernel
                .certificate()
                .and_then(|_| kernel.combination(column));
            found.extend(combination.and_then(|combination| cutter.cut(&combination)));
        }
    }
    found
}

/// The deepest cuts that do not say nearly the same as one already taken.
fn choose(mut found: Vec<Cut>) -> Vec<Cut> {
    found.sort_by(|a, b| b.depth.total_cmp(&a.depth));
    let mut chosen: Vec<Cut> = Vec::new();
    for cut in found {
        if chosen.len() == CUTS {
            break;
        }
        if chosen.iter().all(|other| cosine(&cut, other) < PARALLEL) {
            chosen.push(cut);
        }
    }
    chosen
}

fn cosine(one: &Cut, other: &Cut) -> f64 {
    // Terms are in order of columns.
    let mut product = 0.0;
    let mut others = other.row.terms.iter().peekable();
    for &(column, factor) in &one.row.terms {
        while others.next_if(|&&(at, _)| at < column).is_some() {}
        if let Some(&&(at, value)) = others.peek()
            && at == column
        {
            product += factor * value;
        }
    }
    let length = |cut: &Cut| -> f64 {
        cut.row
            .terms
            .iter()
            .map(|(_, factor)| factor * factor)
            .sum::<f64>()
            .sqrt()
    };
    product / (length(one) * length(other))
}

/// Drops cuts that the present optimum does not touch.
fn drop_slack(mixed: &mut Mixed, kernel: &mut Kernel, values: &[f64], own_rows: usize) {
    let slack = |index: usize| -> bool {
        let row = &mixed.rows[index];
        let used: f64 = row
            .terms
            .iter()
            .map(|&(column, factor)| factor * values[column])
            .sum();
        index >= own_rows && used < row.right - 1e-6 * (1.0 + row.right.abs())
    };
    let mut drop: Vec<bool> = (0..mixed.rows.len()).map(slack).collect();
    if !drop.contains(&true) {
        return;
    }
    kernel.drop_rows(&mut drop);
    let mut dropped = drop.iter();
    mixed
        .rows
        .retain(|_| !dropped.next().copied().unwrap_or(false));
}
