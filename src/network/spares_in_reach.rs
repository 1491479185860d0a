//! Spares that tables can hold: a slip in a mean time between failures, or many
//! nodes that share a part, would ask for more numbers of spares than a search can
//! go through.

use crate::diagnostic::{Diagnostic, codes};
use crate::quantity::shown_number;

use super::{Network, Pool};

/// More failures of one part than any mission repairs.
const MOST_FAILURES: f64 = 2_000.0;
/// Numbers of units times numbers of spares of one part.
const MOST_CHOICES: f64 = 20_000.0;

/// Complains of parts whose spares are beyond reach.
pub(super) fn complain(network: &Network, diagnostics: &mut Vec<Diagnostic>) {
    if network.spares.is_none() {
        return;
    }
    for pool in network.pools() {
        let complaint = too_often(network, &pool).or_else(|| too_many(network, &pool));
        diagnostics.extend(complaint);
    }
}

/// The mean number of failures with as many units as may fly.
fn failures(network: &Network, pool: &Pool) -> f64 {
    let most: Vec<u32> = pool
        .nodes
        .iter()
        .map(|&node| network.duties(node).count.upper)
        .collect();
    network.mean_failures(&pool.nodes, &most)
}

fn too_often(network: &Network, pool: &Pool) -> Option<Diagnostic> {
    let failures = failures(network, pool);
    let node = pool.nodes.first()?;
    (failures > MOST_FAILURES).then(|| {
        let message = format!(
            "the part \"{}\" would fail {} times over the mission",
            pool.name,
            shown_number(failures.round())
        );
        Diagnostic::error(codes::OUT_OF_RANGE, message)
            .at(network.graph[*node].place, "")
            .help(format!(
                "more than {} failures are not repaired but designed out: state a longer mtbf, or fewer units",
                shown_number(MOST_FAILURES)
            ))
    })
}

/// Every combination of units asks for its own numbers of spares, about six
/// standard deviations of them.
fn too_many(network: &Network, pool: &Pool) -> Option<Diagnostic> {
    let combinations: f64 = pool
        .nodes
        .iter()
        .map(|&node| {
            let count = network.duties(node).count;
            f64::from(count.upper - count.lower) + 1.0
        })
        .product();
    let choices = combinations * (10.0 + 6.0 * failures(network, pool).sqrt());
    let node = pool.nodes.first()?;
    (choices > MOST_CHOICES).then(|| {
        let message = format!(
            "the units that share the part \"{}\" can be combined in {} ways, each with its own spares",
            pool.name,
            shown_number(combinations)
        );
        let diagnostic = Diagnostic::error(codes::OUT_OF_RANGE, message)
            .at(network.graph[*node].place, "")
            .help("narrow the counts of these nodes, or give some of them a part of their own");
        let others = pool.nodes.iter().skip(1);
        others.fold(diagnostic, |diagnostic, &node| {
            diagnostic.also(network.graph[node].place, "shares it")
        })
    })
}
