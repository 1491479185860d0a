//! The plan: an audited answer, and what it is compared with.

use crate::answer::{Answer, Category};
use crate::network::Network;

use super::AuditReport;

/// Less waste than this is noise of the linear solver, kg.
const NOISE_KG: f64 = 1e-6;

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

    /// Flights that must fly: those that carry something or take waste away.
    pub fn flights(&self) -> usize {
        let flights = 0..self.network.calendar.flights.len();
        flights.filter(|&flight| self.must_fly(flight)).count()
    }

    /// Whether a flight carries something or takes waste away; otherwise it need
    /// not fly.
    pub fn must_fly(&self, flight: usize) -> bool {
        let mut lines = self.answer.ledger.iter();
        let carries = lines.any(|line| line.flight == flight && line.kg > 0.0);
        let takes_away = flight.checked_sub(1).is_some_and(|window| {
            let mut waste = self.answer.waste.iter();
            waste.any(|waste| {
                waste
                    .windows_kg
                    .get(window)
                    .is_some_and(|kg| *kg > NOISE_KG)
            })
        });
        carries || takes_away
    }

    /// What all flights with a payload limit carry, over what they may carry;
    /// none where no flight has a limit.
    pub fn payload_used(&self) -> Option<f64> {
        let (carried, payloads) = self.limited();
        let allowed: f64 = payloads.iter().sum();
        (allowed > 0.0).then(|| carried / allowed)
    }

    /// How many flights with a payload limit, the largest first, could carry by
    /// mass alone what all of them carry; none where no flight has a limit.
    pub fn flights_by_mass(&self) -> Option<usize> {
        let (mut left, mut payloads) = self.limited();
        payloads.sort_by(|one, other| other.total_cmp(one));
        let filled = payloads.iter().take_while(|payload| {
            let wanted = left > NOISE_KG;
            left -= **payload;
            wanted
        });
        let fewest = filled.count();
        (!payloads.is_empty()).then_some(fewest)
    }

    /// What all flights with a payload limit carry, kg, and the limits.
    fn limited(&self) -> (f64, Vec<f64>) {
        let flights = &self.network.calendar.flights;
        let lines = self.answer.ledger.iter();
        let carried = lines
            .filter(|line| flights[line.flight].payload_kg.is_some())
            .map(|line| line.kg)
            .sum();
        let payloads = flights.iter().filter_map(|flight| flight.payload_kg);
        (carried, payloads.collect())
    }

    /// What the launch mass costs, where the design states a price; in its
    /// currency.
    pub fn launch_cost(&self) -> Option<f64> {
        let price = self.network.launch_price.as_ref()?;
        Some(price.per_kg * self.answer.launch_mass_kg)
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

    /// Flights of the reference that need not fly in this plan; none where there
    /// is no reference or it has no balance. Negative where this plan needs more.
    pub fn saving_flights(&self) -> Option<i64> {
        let reference = self.reference.as_ref()?.flights?;
        // No calendar has more flights than fit.
        Some(reference as i64 - self.flights() as i64)
    }

    /// Launch mass by category, kg, gear ratios included; categories without a
    /// line are left out.
    pub fn by_category(&self) -> Vec<(Category, f64)> {
        let flights = &self.network.calendar.flights;
        let lines = |category: Category| {
            let lines = self.answer.ledger.iter();
            lines.filter(move |line| line.category == category)
        };
        let mass = |category: Category| -> f64 {
            let masses = lines(category);
            masses
                .map(|line| line.kg * flights[line.flight].gear_ratio)
                .sum()
        };
        let categories = Category::ALL.into_iter();
        categories
            .filter(|&category| lines(category).next().is_some())
            .map(|category| (category, mass(category)))
            .collect()
    }

    /// Launch cost saved against the reference; none where either has no price
    /// or they are in different currencies.
    pub fn saving_cost(&self) -> Option<f64> {
        let (reference, currency) = self.reference.as_ref()?.launch_cost.as_ref()?;
        let price = self.network.launch_price.as_ref()?;
        (*currency == price.currency).then_some(reference - self.launch_cost()?)
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
    by_category: Vec<(Category, f64)>,
    flights: Option<usize>,
    payload_used: Option<f64>,
    flights_by_mass: Option<usize>,
    /// Cost and currency.
    launch_cost: Option<(f64, String)>,
}

impl Reference {
    /// A reference that has a plan; `status` in words, such as "optimal".
    pub fn planned(name: impl Into<String>, status: impl Into<String>, plan: &Plan) -> Self {
        Reference {
            name: name.into(),
            status: status.into(),
            launch_mass_kg: Some(plan.answer.launch_mass_kg),
            by_category: plan.by_category(),
            flights: Some(plan.flights()),
            payload_used: plan.payload_used(),
            flights_by_mass: plan.flights_by_mass(),
            launch_cost: plan.launch_cost().and_then(|cost| {
                let price = plan.network.launch_price.as_ref()?;
                Some((cost, price.currency.clone()))
            }),
        }
    }

    /// A reference without a plan; `status` says why, such as "no balance".
    pub fn unplanned(name: impl Into<String>, status: impl Into<String>) -> Self {
        Reference {
            name: name.into(),
            status: status.into(),
            launch_mass_kg: None,
            by_category: Vec::new(),
            flights: None,
            payload_used: None,
            flights_by_mass: None,
            launch_cost: None,
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

    /// Its launch mass by category, kg; empty without a plan.
    pub fn by_category(&self) -> &[(Category, f64)] {
        &self.by_category
    }

    /// Flights that must fly, if it has a plan.
    pub fn flights(&self) -> Option<usize> {
        self.flights
    }

    /// Share of its payload limits that it uses, if it has a plan and limits.
    pub fn payload_used(&self) -> Option<f64> {
        self.payload_used
    }

    /// How many of its flights with a payload limit could carry what all of them
    /// do, by mass alone.
    pub fn flights_by_mass(&self) -> Option<usize> {
        self.flights_by_mass
    }

    /// What its launch mass costs and the currency, if it has a plan and a price.
    pub fn launch_cost(&self) -> Option<(f64, &str)> {
        let (cost, currency) = self.launch_cost.as_ref()?;
        Some((*cost, currency))
    }
}
