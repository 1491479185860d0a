//! What stands behind the figures: audit, notes, sources.

use crate::answer::FlightsForm;
use crate::audit::Plan;
use crate::report::findings::{Findings, Origin};
use crate::report::number::counted;
use crate::report::page::{Cell, Fact, Page};

/// What the audit found, and what it could not check.
pub(in crate::report) fn audit(page: &mut Page, plan: &Plan) {
    let report = plan.report();
    let proof = &plan.answer().proof;
    page.heading("Audit");
    page.paragraph(format!(
        "{} made from the design and the answer alone; the worst is off by {:.1e}.",
        counted(report.checks, "check"),
        report.worst_residual,
    ));
    if !report.unchecked.is_empty() {
        page.paragraph("What could not be checked in full:");
        page.points(report.unchecked.clone());
    }
    let deliveries = match (proof.flights_form, plan.network().calendar.flights.len()) {
        (_, 1) => "",
        (FlightsForm::TotalsSplit, _) => {
            "; deliveries were decided in total, then split over the flights as late as possible"
        }
        (FlightsForm::PerFlight, _) => "; deliveries were decided flight by flight",
    };
    page.paragraph(format!(
        "Solved by {} {}{deliveries}.",
        proof.backend, proof.backend_version,
    ));
}

/// How long each step took, if that was asked for.
pub(in crate::report) fn timings(page: &mut Page, findings: &Findings) {
    let timings = findings.timings.unwrap_or(&[]).iter();
    page.facts(
        timings
            .map(|timing| Fact {
                name: format!("time to {}", timing.step),
                value: Cell::Number {
                    value: timing.seconds,
                    decimals: 3,
                },
                unit: "s",
                definition: None,
            })
            .collect(),
    );
}

/// Remarks of the network.
pub(super) fn notes(page: &mut Page, plan: &Plan) {
    let notes = &plan.network().notes;
    if !notes.is_empty() {
        page.heading("Notes");
        page.points(notes.clone());
    }
}

/// Where figures come from.
pub(in crate::report) fn sources(page: &mut Page, origin: &Origin) {
    let sources = &origin.sources;
    if !sources.is_empty() {
        page.heading("Sources");
        page.points(
            sources
                .iter()
                .map(|source| format!("{}: {}", source.figure, source.words))
                .collect(),
        );
    }
}
