//! The plan: an audited answer, and what it is compared with.

use std::collections::BTreeSet;

use crate::answer::Answer;
use crate::network::Network;

use super::AuditReport;

/// An answer that passed the audit, with its network. Only the audit makes
/// one, so whatever is printed has been checked.
#[derive(Clone, Debug)]
pub struct Plan {
    network: Network,
    answer: Answer,
    report: AuditReport,
    reference: Option<Reference>,
}

impl Plan {
    pub(super) fn new(network: Network, answer: Answer, report: AuditReport) -> Self {
        Plan {
            network,
            answer,
            report,
            reference: None,
        }
    }

    /// The network that was planned.
    pub fn network(&self) -> &Network {
        &self.network
    }

    /// The answer.
    pub fn answer(&self) -> &Answer {
        &self.answer
    }

    /// What the audit found.
    pub fn report(&self) -> &AuditReport {
        &self.report
    }

    /// Units of every node with hardware, by its name, in file order.
    pub fn units_by_name(&self) -> Vec<(String, u32)> {
        let network = &self.network;
        network
            .nodes()
            .filter(|&node| network.duties(node).hardware.is_some())
            .map(|node| {
                let units = self.answer.decisions.counts[node.index()];
                (network.name(node).to_owned(), units)
            })
            .collect()
    }

    /// Flights that carry something.
    pub fn flights(&self) -> usize {
        let lines = self.answer.ledger.iter().filter(|line| line.kg > 0.0);
        lines.map(|line| line.flight).collect::<BTreeSet<_>>().len()
    }

    /// The same plan, compared with a reference.
    #[must_use]
    pub fn with_reference(mut self, reference: Reference) -> Self {
        self.reference = Some(reference);
        self
    }

    /// What it is compared with, if anything.
    pub fn reference(&self) -> Option<&Reference> {
        self.reference.as_ref()
    }

    /// Launch mass saved against the reference, kg; none where there is no
    /// reference or it has no balance. Negative where the reference is lighter.
    pub fn saving_kg(&self) -> Option<f64> {
        let reference = self.reference.as_ref()?.launch_mass_kg?;
        Some(reference - self.answer.launch_mass_kg)
    }
}

/// What a plan is compared with: the same design with every count at its lower
/// bound, or a variant that the design names. Its mass comes from a plan of its
/// own, so it is audited too.
#[derive(Clone, Debug, PartialEq)]
pub struct Reference {
    name: String,
    status: String,
    launch_mass_kg: Option<f64>,
    flights: Option<usize>,
}

impl Reference {
    /// A reference that has a plan; `status` in words, such as "optimal".
    pub fn planned(name: impl Into<String>, status: impl Into<String>, plan: &Plan) -> Self {
        Reference {
            name: name.into(),
            status: status.into(),
            launch_mass_kg: Some(plan.answer.launch_mass_kg),
            flights: Some(plan.flights()),
        }
    }

    /// A reference without a plan; `status` says why, such as "no balance".
    pub fn unplanned(name: impl Into<String>, status: impl Into<String>) -> Self {
        Reference {
            name: name.into(),
            status: status.into(),
            launch_mass_kg: None,
            flights: None,
        }
    }

    /// What it is: "resupply alone", or the name of the variant.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// How its solve ended, in words.
    pub fn status(&self) -> &str {
        &self.status
    }

    /// Its launch mass, kg, if it has a plan.
    pub fn launch_mass_kg(&self) -> Option<f64> {
        self.launch_mass_kg
    }

    /// Flights that carry something, if it has a plan.
    pub fn flights(&self) -> Option<usize> {
        self.flights
    }
}
