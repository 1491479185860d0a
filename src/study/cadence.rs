//! How often flights should come: the design at several cadences, flight by flight.

use serde::{Deserialize, Serialize};

use super::axis::Axis;
use super::cell::{Cell, Ground, Portfolio};
use super::many::{Effort, Keepable, Trouble, answers};
use super::sweep::portfolios;
use crate::Planned;
use crate::answer::Category;
use crate::audit::Plan;
use crate::design::Design;

/// The address of the days between arrivals.
pub const EVERY: &str = "mission.resupply.every";

/// A design at several cadences.
#[derive(Clone, Debug, PartialEq)]
pub struct Cadence {
    /// Days between arrivals.
    pub axis: Axis,
    /// One for every value.
    pub cells: Vec<CadenceCell>,
    /// Portfolios in the order in which they are met.
    pub portfolios: Vec<Portfolio>,
}

/// A design at one cadence.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CadenceCell {
    /// Mass and portfolio, or why there is none.
    pub cell: Cell,
    /// What flies, where there is a plan.
    pub flown: Option<Flown>,
}

/// What flies at one cadence.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Flown {
    /// What every flight carries, the departure first, kg before gear ratios.
    pub carried_kg: Vec<f64>,
    /// What a flight after the departure may carry, kg.
    pub payload_kg: Option<f64>,
    /// Tanks of stores, kg.
    pub tanks_kg: f64,
    /// Launched fill of stores, kg.
    pub reserves_kg: f64,
    /// Content of cargo with its containers and packaging, kg.
    pub cargo_kg: f64,
    /// Flights that a payload limit would need for the mass alone.
    pub flights_by_mass: Option<usize>,
}

impl Keepable for CadenceCell {
    fn is_certain(&self) -> bool {
        self.cell.is_certain()
    }
}

/// Plans a design at every cadence of an axis over [`EVERY`].
///
/// # Errors
///
/// A file of kept cells that is of no use.
pub fn cadence(design: &Design, axis: Axis, effort: &mut Effort<'_>) -> Result<Cadence, Trouble> {
    let found = answers(&axis.values, effort, |&days, _, options| {
        let ground = Ground::to_the_flight(design, options);
        let planned = ground.plan(&[(axis.address.as_str(), days, axis.dimension)], None);
        let flown = match &planned {
            Ok(Planned::Plan(plan)) => Some(flown(plan)),
            _ => None,
        };
        let cell = Cell::of(&planned);
        CadenceCell { cell, flown }
    })?;
    let not_reached = || CadenceCell {
        cell: Cell::NotReached,
        flown: None,
    };
    let found = found.into_iter();
    let cells: Vec<CadenceCell> = found.map(|cell| cell.unwrap_or_else(not_reached)).collect();
    let portfolios = portfolios(cells.iter().map(|one| &one.cell));
    Ok(Cadence {
        axis,
        cells,
        portfolios,
    })
}

fn flown(plan: &Plan) -> Flown {
    let network = plan.network();
    let ledger = &plan.answer().ledger;
    let of = |categories: &[Category]| -> f64 {
        let lines = ledger
            .iter()
            .filter(|line| categories.contains(&line.category));
        lines.map(|line| line.kg).sum()
    };
    let flights = &network.calendar.flights;
    let carried = (0..flights.len()).map(|flight| {
        let lines = ledger.iter().filter(|line| line.flight == flight);
        lines.map(|line| line.kg).sum()
    });
    Flown {
        carried_kg: carried.collect(),
        payload_kg: flights.get(1).and_then(|flight| flight.payload_kg),
        tanks_kg: of(&[Category::Tanks]),
        reserves_kg: of(&[Category::Reserves]),
        cargo_kg: of(&[Category::Cargo, Category::Packaging]),
        flights_by_mass: plan.flights_by_mass(),
    }
}
