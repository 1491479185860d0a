//! What launch mass is set against.

use crate::audit::Plan;
pub use crate::design::Measure;
use crate::network::{Limit, Network, SparesPolicy};

impl Measure {
    /// Every one, in the order of a reference.
    pub const ALL: [Measure; 5] = [
        Measure::Power,
        Measure::CrewTime,
        Measure::Volume,
        Measure::MassPerFlight,
        Measure::Confidence,
    ];

    /// Its words and its unit.
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Measure::Power => ("power", "W"),
            Measure::CrewTime => ("crew time", "h/d"),
            Measure::Volume => ("volume", "m³"),
            Measure::MassPerFlight => ("mass per flight", "kg"),
            Measure::Confidence => ("confidence", ""),
        }
    }

    /// What a plan has of it.
    pub fn of(self, plan: &Plan) -> f64 {
        let answer = plan.answer();
        let most = |loads: &[f64]| loads.iter().copied().fold(0.0, f64::max);
        match self {
            Measure::Power => most(&answer.power_w),
            Measure::CrewTime => most(&answer.crew_time_h_per_day),
            Measure::Volume => answer.volume_m3,
            Measure::MassPerFlight => {
                let mut carried = vec![0.0; plan.network().calendar.flights.len()];
                for line in &answer.ledger {
                    carried[line.flight] += line.kg;
                }
                most(&carried)
            }
            Measure::Confidence => {
                let parts = answer.decisions.spares.iter();
                parts.map(|part| part.confidence).product()
            }
        }
    }

    /// A number that falls as the measure gets better, on the scale on which its
    /// steps are even: the logarithm of the shortfall for confidence, else itself.
    pub fn level(self, value: f64) -> f64 {
        match self {
            Measure::Confidence => (1.0 - value).max(f64::MIN_POSITIVE).ln(),
            _ => value,
        }
    }

    /// The measure at such a level.
    pub(super) fn at(self, level: f64) -> f64 {
        match self {
            Measure::Confidence => 1.0 - level.exp(),
            _ => level,
        }
    }

    /// Whether units alone decide it, so that it has few values.
    pub(super) fn is_of_units(self, network: &Network) -> bool {
        match self {
            Measure::Volume => true,
            Measure::CrewTime => network.nodes().all(|node| network.transfer(node).is_none()),
            Measure::Power | Measure::MassPerFlight | Measure::Confidence => false,
        }
    }

    /// The network with the measure limited to a value, where the design does not
    /// limit it further.
    pub(super) fn limited(self, network: &Network, value: f64) -> Network {
        let now = match self {
            Measure::Power => network.limits.power_w.map(|limit| limit.value),
            Measure::CrewTime => network.limits.crew_time_h_per_day.map(|limit| limit.value),
            Measure::Volume => network.limits.volume_m3.map(|limit| limit.value),
            Measure::MassPerFlight => {
                let mut limited = network.clone();
                for flight in &mut limited.calendar.flights {
                    let payload = flight.payload_kg.unwrap_or(f64::INFINITY);
                    flight.payload_kg = Some(payload.min(value));
                }
                return limited;
            }
            Measure::Confidence => None,
        };
        self.set(network, now.unwrap_or(f64::INFINITY).min(value))
    }

    /// The network with this limit in place of its own.
    pub(super) fn set(self, network: &Network, value: f64) -> Network {
        let mut limited = network.clone();
        let limit = network.nodes().next().map(|node| Limit {
            value,
            place: network.graph[node].place,
        });
        match self {
            Measure::Power => limited.limits.power_w = limit,
            Measure::CrewTime => limited.limits.crew_time_h_per_day = limit,
            Measure::Volume => limited.limits.volume_m3 = limit,
            Measure::MassPerFlight => {
                for flight in &mut limited.calendar.flights {
                    flight.payload_kg = Some(value);
                }
            }
            Measure::Confidence => {
                limited.spares = Some(SparesPolicy::WholeSystem { confidence: value });
            }
        }
        limited
    }
}
