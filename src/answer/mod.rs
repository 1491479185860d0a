//! The answer in design words: what flies, what flows, what it weighs.
//!
//! [`Decisions`] are what a solve chose; [`Answer::of`] works out everything
//! that follows from them. An answer is not yet audited.

mod columns;
mod decisions;
mod deliveries;
mod equivalents;
mod interpret;
mod ledger;
mod operation;
mod proof;
mod recovery;
mod stores;
mod waste;

#[cfg(test)]
pub(crate) mod fixture;
#[cfg(test)]
mod tests;

pub use columns::column_values;
pub use decisions::{CargoPlan, CartridgePlan, ConsumablePlan, Decisions, SparesPlan, StorePlan};
pub use deliveries::{split_cartridges, split_consumables, split_deliveries};
pub use equivalents::{EquivalentLine, EquivalentMass};
pub use interpret::interpret;
pub use ledger::{Category, LedgerLine, Pieces};
pub use operation::{Draws, draws, throughput};
pub use proof::{FlightsForm, Proof, Status};
pub use recovery::Recovery;
pub use stores::{CargoStock, StockLevel, size_stores};
pub use waste::Waste;

use crate::network::Network;

/// Whole numbers that cover a need are rounded up only beyond this share of
/// one. A solve leaves noise of about 1e-9 of every flow; over a mission a
/// total that is meant to fill its last container misses it by up to a hundred
/// times that, and must not buy another one.
const WHOLE_SLACK: f64 = 1e-7;

/// An answer: decisions and what follows from them. Not yet audited.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// What was decided.
    pub decisions: Decisions,
    /// How sure it is.
    pub proof: Proof,
    /// Launch mass: every ledger line times its flight's gear ratio, kg.
    pub launch_mass_kg: f64,
    /// What is launched, line by line, by flight and then by category.
    pub ledger: Vec<LedgerLine>,
    /// Recovery figures.
    pub recovery: Recovery,
    /// Feed of every node: node, phase, kg/d.
    pub throughput: Vec<Vec<f64>>,
    /// What every cargo node gives, in file order.
    pub draws: Vec<Draws>,
    /// What is aboard of every cargo, in file order.
    pub stock: Vec<CargoStock>,
    /// Electric power by phase, W.
    pub power_w: Vec<f64>,
    /// Heat to the coolant by phase, W.
    pub heat_w: Vec<f64>,
    /// Crew time by phase, h/d.
    pub crew_time_h_per_day: Vec<f64>,
    /// Volume of all units, m³.
    pub volume_m3: f64,
    /// What every disposal takes, in file order.
    pub waste: Vec<Waste>,
    /// Equivalent system mass, where the design asks for it; then it is what was
    /// minimised.
    pub equivalents: Option<EquivalentMass>,
}

impl Answer {
    /// Works out everything that follows from the decisions, which must have
    /// the shape of the network.
    pub fn of(network: &Network, decisions: Decisions, proof: Proof) -> Self {
        let throughput = throughput(network, &decisions.levels);
        let draws = draws(network, &decisions.levels);
        let ledger = ledger::lines(network, &decisions, &throughput);
        let launch_mass_kg = ledger
            .iter()
            .map(|line| line.kg * network.calendar.flights[line.flight].gear_ratio)
            .sum();
        let power_w = operation::power_w(network, &decisions);
        let heat_w = operation::heat_w(network, &decisions);
        let crew_time_h_per_day = operation::crew_time_h_per_day(network, &decisions);
        let volume_m3 = operation::volume_m3(network, &decisions.counts);
        let loads = equivalents::Loads {
            power_w: &power_w,
            heat_w: &heat_w,
            crew_time_h_per_day: &crew_time_h_per_day,
            volume_m3,
        };
        Answer {
            equivalents: equivalents::mass(network, launch_mass_kg, loads),
            launch_mass_kg,
            ledger,
            recovery: recovery::figures(network, &decisions.levels),
            stock: stores::stocks(network, &draws, &decisions.cargo),
            power_w,
            heat_w,
            crew_time_h_per_day,
            volume_m3,
            waste: waste::totals(network, &decisions.levels),
            throughput,
            draws,
            decisions,
            proof,
        }
    }

    /// What was minimised, kg: equivalent system mass where the design asks for
    /// it, else launch mass.
    pub fn minimised_kg(&self) -> f64 {
        self.equivalents
            .as_ref()
            .map_or(self.launch_mass_kg, |equivalents| {
                equivalents.equivalent_system_mass_kg
            })
    }
}
