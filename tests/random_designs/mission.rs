//! A random mission: phases, occasions, flights.

use std::collections::BTreeSet;

use super::dice::Dice;
use super::spoil::Spoil;

/// A mission.
pub struct Mission {
    pub phases: Vec<Phase>,
    pub flights: Flights,
    /// The date of day 0.
    pub departure: Option<String>,
}

/// A phase.
pub struct Phase {
    pub name: &'static str,
    pub days: usize,
    pub crew: usize,
    /// Outings in a week.
    pub outings: usize,
}

/// How the flights are written.
pub enum Flights {
    Departure,
    Resupply(String),
    Listed(Vec<String>),
}

/// What a person needs in a day with its packing, kg: for payloads that may or may
/// not suffice.
const NEEDS_KG_PER_DAY: f64 = 7.5;

impl Mission {
    pub fn thrown(
        dice: &mut Dice,
        features: &mut BTreeSet<&'static str>,
        spoil: Option<Spoil>,
    ) -> Self {
        let late = spoil == Some(Spoil::LateOxygen);
        let number = if late { 2 } else { 1 + dice.below(3) };
        let mut phases = Vec::new();
        for name in ["arrival", "work", "rest"].into_iter().take(number) {
            let outings = if dice.below(2) == 0 {
                1 + dice.below(4)
            } else {
                0
            };
            let crew = 1 + dice.below(4);
            phases.push(Phase {
                name,
                days: 30 + 5 * dice.below(40),
                crew,
                outings,
            });
        }
        if phases.iter().any(|phase| phase.crew != phases[0].crew) {
            features.insert("crew that changes");
        }
        let mut mission = Mission {
            phases,
            flights: Flights::Departure,
            departure: None,
        };
        let choice = dice.below(10);
        mission.flights = match (choice, spoil) {
            (_, Some(Spoil::Slip)) => mission.slipping(),
            (_, Some(Spoil::Payload)) | (4..7, _) => mission.listed(dice, features, spoil),
            (0..4, _) => mission.resupply(dice, features),
            _ => Flights::Departure,
        };
        mission
    }

    pub fn days(&self) -> usize {
        self.phases.iter().map(|phase| phase.days).sum()
    }

    pub fn largest_crew(&self) -> f64 {
        let most = self.phases.iter().map(|phase| phase.crew).max();
        most.unwrap_or(0) as f64
    }

    pub fn has_outings(&self) -> bool {
        self.phases.iter().any(|phase| phase.outings > 0)
    }

    /// A phase later than the first, if there is one.
    pub fn later_phase(&self, dice: &mut Dice) -> Option<&'static str> {
        let later = self
            .phases
            .len()
            .checked_sub(1)
            .filter(|&later| later > 0)?;
        Some(self.phases[1 + dice.below(later)].name)
    }

    /// A payload for so many days of the largest crew, in tonnes.
    fn payload(&self, dice: &mut Dice, days: f64, beside_t: f64) -> String {
        let needs = self.largest_crew() * days * NEEDS_KG_PER_DAY / 1000.0;
        format!("\"{:.2} t\"", needs * dice.between(0.75, 1.5) + beside_t)
    }

    fn resupply(&self, dice: &mut Dice, features: &mut BTreeSet<&'static str>) -> Flights {
        features.insert("resupply");
        let every = self.days() / (2 + dice.below(2)) + 1;
        let mut written = format!("every: \"{every} d\"");
        if dice.below(2) == 0 {
            features.insert("resupply payload");
            written += &format!(", payload: {}", self.payload(dice, every as f64, 0.2));
        }
        if dice.below(2) == 0 {
            features.insert("resupply slip");
            written += &format!(", slip: \"{} d\"", 5 + dice.below(30));
        }
        if dice.below(3) == 0 {
            features.insert("resupply gear ratio");
            written += &format!(", gear_ratio: {:.2}", dice.between(0.6, 4.0));
        }
        Flights::Resupply(written)
    }

    fn listed(
        &self,
        dice: &mut Dice,
        features: &mut BTreeSet<&'static str>,
        spoil: Option<Spoil>,
    ) -> Flights {
        features.insert("flights one by one");
        let count = 2 + dice.below(3);
        let step = self.days() / count;
        let mut written = Vec::new();
        let shared_gear = dice.below(2) == 0;
        for number in 0..count {
            let mut flight = format!("day: \"{} d\"", number * step);
            if spoil == Some(Spoil::Payload) {
                flight += ", payload: \"9 kg\"";
            } else if dice.below(2) == 0 {
                features.insert(if number == 0 {
                    "departure payload"
                } else {
                    "payload of a flight"
                });
                let beside = if number == 0 { 1.2 } else { 0.2 };
                flight += &format!(", payload: {}", self.payload(dice, step as f64, beside));
            }
            if number > 0 && dice.below(3) == 0 {
                features.insert("slip of a flight");
                flight += &format!(", slip: \"{} d\"", 5 + dice.below(30));
            }
            if shared_gear && dice.below(2) == 0 {
                features.insert("gear ratio of a flight");
                flight += &format!(", gear_ratio: {:.2}", dice.between(0.7, 4.5));
            }
            written.push(format!("Flight({flight})"));
        }
        Flights::Listed(written)
    }

    /// A second flight that may be late to the very end, beside a small departure.
    fn slipping(&self) -> Flights {
        let days = self.days();
        let departure_kg = self.largest_crew() * days as f64 * 0.4;
        let written = [
            format!("Flight(day: \"0 d\", payload: \"{departure_kg:.0} kg\")"),
            format!("Flight(day: \"{} d\", slip: \"{days} d\")", days / 4),
        ];
        Flights::Listed(written.to_vec())
    }

    pub fn text(&self) -> String {
        let phases: Vec<String> = self
            .phases
            .iter()
            .map(|phase| {
                let occasions = match phase.outings {
                    0 => String::new(),
                    often => format!(", occasions: {{\"outing\": \"{often} /wk\"}}"),
                };
                let Phase {
                    name, days, crew, ..
                } = phase;
                format!("Phase(name: \"{name}\", length: \"{days} d\", crew: {crew}{occasions})")
            })
            .collect();
        let phases = phases.join(", ");
        let departure = match &self.departure {
            Some(date) => format!("departure: \"{date}\", "),
            None => String::new(),
        };
        match &self.flights {
            Flights::Departure => format!("Mission({departure}phases: [{phases}])"),
            Flights::Resupply(resupply) => {
                format!("Mission({departure}phases: [{phases}], resupply: Resupply({resupply}))")
            }
            Flights::Listed(flights) => {
                format!(
                    "Mission({departure}phases: [{phases}], flights: [{}])",
                    flights.join(", ")
                )
            }
        }
    }
}
