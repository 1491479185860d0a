//! Sums of ledger lines for tables and data.

use crate::answer::{Category, SparesPlan};
use crate::audit::Plan;

/// A flight and what it carries.
pub(super) struct FlightTotal {
    /// Its number, 0 for the departure.
    pub flight: usize,
    /// Day of arrival.
    pub day: f64,
    /// Days until the next flight, or until the end of the mission.
    pub days_to_next: f64,
    /// Everything on it, kg, before the gear ratio.
    pub kg: f64,
    /// Initial mass per delivered kilogram.
    pub gear_ratio: f64,
    /// What it may carry, kg.
    pub payload_kg: Option<f64>,
}

impl FlightTotal {
    /// Its share of the launch mass, kg.
    pub fn launch_mass_kg(&self) -> f64 {
        self.kg * self.gear_ratio
    }

    /// Payload left, kg.
    pub fn spare_payload_kg(&self) -> Option<f64> {
        self.payload_kg.map(|payload| payload - self.kg)
    }
}

/// What every flight carries, in order of time.
pub(super) fn by_flight(plan: &Plan) -> Vec<FlightTotal> {
    let flights = plan.network().calendar.flights.iter().enumerate();
    flights
        .map(|(index, flight)| FlightTotal {
            flight: index,
            day: flight.day,
            days_to_next: plan.network().calendar.next_flight_day(index) - flight.day,
            kg: plan
                .answer()
                .ledger
                .iter()
                .filter(|line| line.flight == index)
                .map(|line| line.kg)
                .sum(),
            gear_ratio: flight.gear_ratio,
            payload_kg: flight.payload_kg,
        })
        .collect()
}

/// What a flight carries by category, kg, before the gear ratio.
pub(super) fn of_flight(plan: &Plan, flight: usize) -> Vec<(Category, f64)> {
    let mut all: Vec<(Category, f64)> = Vec::new();
    for line in plan
        .answer()
        .ledger
        .iter()
        .filter(|line| line.flight == flight)
    {
        match all
            .iter_mut()
            .find(|(category, _)| *category == line.category)
        {
            Some((_, kg)) => *kg += line.kg,
            None => all.push((line.category, line.kg)),
        }
    }
    all
}

/// The probability that the spares of every part suffice, `Π F`.
pub(super) fn system_confidence(parts: &[SparesPlan]) -> f64 {
    parts.iter().map(|part| part.confidence).product()
}

/// Each part's share of the risk that some spares do not suffice,
/// `ln F / Σ ln F`; nothing where there is no risk.
pub(super) fn risk_shares(parts: &[SparesPlan]) -> Option<Vec<f64>> {
    let risks: Vec<f64> = parts.iter().map(|part| -part.confidence.ln()).collect();
    let all: f64 = risks.iter().sum();
    (all > 0.0 && all.is_finite()).then(|| risks.iter().map(|risk| risk / all).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(confidence: f64) -> SparesPlan {
        SparesPlan {
            part: "pump".into(),
            nodes: Vec::new(),
            spares: 1,
            confidence,
        }
    }

    #[test]
    fn confidences_multiply_and_risks_share_out() {
        let parts = [part(0.9), part(0.9), part(1.0)];
        assert!((system_confidence(&parts) - 0.81).abs() < 1e-12);
        let shares = risk_shares(&parts).unwrap();
        assert!((shares[0] - 0.5).abs() < 1e-12 && shares[2] == 0.0);
        assert_eq!(risk_shares(&[part(1.0)]), None);
    }
}
