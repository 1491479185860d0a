//! The page of a solved design, in the order in which a planner reads it.

pub(super) mod closing;
mod flying;
pub(super) mod mass;
mod operation;
pub(super) mod outcome;

use crate::audit::Plan;

use super::findings::Findings;
use super::page::{Block, Page};
use super::record;

/// What is printed under every plan.
pub const CAUTION: &str = "Concept-level estimates for comparing designs. Not for operations, \
    certification or safety decisions: those follow the governing standards and the judgement \
    of qualified practitioners.";

/// The page of a plan: outcome, what to fly, ledger, recovery, reference,
/// operation, audit, notes, sources, caution.
///
/// # Errors
///
/// If the plan cannot be written as data, which would be a fault of this tool.
pub fn solved(findings: &Findings) -> Result<Page, serde_json::Error> {
    let plan = findings.plan;
    let mut page = Page::new(plan.network().title.as_str());
    outcome::outcome(&mut page, findings);
    answer(&mut page, plan);
    behind(&mut page, findings);
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.data = serde_json::to_value(record::record(findings))?;
    Ok(page)
}

/// What is flown, what it weighs and what it does.
pub(super) fn answer(page: &mut Page, plan: &Plan) {
    flying::hardware(page, plan);
    flying::cargo(page, plan);
    flying::stores(page, plan);
    mass::by_category(page, plan);
    mass::by_flight(page, plan);
    mass::lines(page, plan);
    mass::equivalents(page, plan);
    outcome::recovery(page, plan);
    outcome::reference(page, plan);
    operation::loads(page, plan);
    operation::flows(page, plan);
    operation::waste(page, plan);
}

/// What stands behind the figures.
pub(super) fn behind(page: &mut Page, findings: &Findings) {
    closing::audit(page, findings.plan);
    closing::timings(page, findings);
    closing::notes(page, findings.plan);
    closing::sources(page, findings.origin);
}
