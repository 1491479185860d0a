//! The audit: everything an answer promises, re-checked from the network and
//! the answer alone.
//!
//! Nothing here knows how the program is written or how the answer's ledger
//! and figures are worked out; what both need is worked out twice, so that a
//! mistake must be made twice to pass. An answer that fails is an error, never
//! a result: only an answer that passes becomes a [`Plan`].

mod checks;
mod completeness;
mod deliveries;
mod elements;
mod facts;
mod figures;
mod flows;
mod hardware;
mod limits;
mod mass;
mod plan;
mod recovery;
mod spares;
mod stores;
mod waste;

pub use checks::{AuditFault, AuditReport, Check, Family, FamilyReport, TOLERANCE};
pub use plan::{Plan, Reference};

use crate::answer::Answer;
use crate::network::Network;

use checks::Checks;
use facts::Facts;

/// Re-checks an answer to a network and makes it a plan.
///
/// # Errors
/// The fault names every check whose residual is larger than [`TOLERANCE`].
pub fn audit(network: Network, answer: Answer) -> Result<Plan, AuditFault> {
    let report = report(&network, &answer)?;
    Ok(Plan::new(network, answer, report))
}

fn report(network: &Network, answer: &Answer) -> Result<AuditReport, AuditFault> {
    let mut checks = Checks::default();
    completeness::check(network, answer, &mut checks);
    if !checks.all_hold() {
        return checks.finish();
    }
    let facts = Facts::new(network, answer);
    for check in CHECKS {
        check(&facts, &mut checks);
    }
    checks.finish()
}

/// Every check of a complete answer, in order.
const CHECKS: [fn(&Facts, &mut Checks); 20] = [
    flows::nonnegativity,
    flows::balance,
    flows::fixed_levels,
    flows::starts,
    flows::feed_limits,
    hardware::counts,
    hardware::capacity,
    deliveries::stock,
    deliveries::containers,
    deliveries::consumables,
    stores::reserves,
    stores::tanks,
    spares::check,
    waste::check,
    limits::check,
    mass::check,
    elements::activities,
    elements::whole_mass,
    recovery::check,
    figures::check,
];

#[cfg(test)]
mod tests;
