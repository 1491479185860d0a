//! The page of a solved design, in the order in which a planner reads it.

pub(super) mod closing;
mod flying;
pub(super) mod mass;
mod operation;
pub(super) mod outcome;

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
    flying::hardware(&mut page, plan);
    flying::cargo(&mut page, plan);
    flying::stores(&mut page, plan);
    mass::by_category(&mut page, plan);
    mass::by_flight(&mut page, plan);
    mass::lines(&mut page, plan);
    mass::equivalents(&mut page, plan);
    outcome::recovery(&mut page, plan);
    outcome::reference(&mut page, plan);
    operation::loads(&mut page, plan);
    operation::flows(&mut page, plan);
    operation::waste(&mut page, plan);
    closing::audit(&mut page, plan);
    closing::timings(&mut page, findings);
    closing::notes(&mut page, plan);
    closing::sources(&mut page, findings.origin);
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.data = serde_json::to_value(record::record(findings))?;
    Ok(page)
}
