//! One cell of a study: the design with some numbers moved, planned anew.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::axis::MISSION_LENGTH;
use crate::answer::Status;
use crate::audit::Plan;
use crate::design::Design;
use crate::diagnostic::Diagnostic;
use crate::network::{self, Network, lasting};
use crate::quantity::Dimension;
use crate::solve::{Options, Ties, Trail};
use crate::{Hints, Planned, Refusal, plan_in_turn};

/// Units of the nodes that have any, by name in file order.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Portfolio(pub Vec<(String, u32)>);

impl Portfolio {
    /// The units of a plan.
    pub fn of(plan: &Plan) -> Self {
        let units = plan.units_by_name().into_iter();
        Portfolio(units.filter(|(_, units)| *units > 0).collect())
    }

    /// "condenser 2, polisher 1"; "no units" if there are none.
    pub fn words(&self) -> String {
        let words: Vec<String> = self
            .0
            .iter()
            .map(|(name, units)| format!("{name} {units}"))
            .collect();
        match words.is_empty() {
            true => "no units".to_owned(),
            false => words.join(", "),
        }
    }

    /// What differs from another portfolio: "drum still 1 → 0".
    pub fn changes_from(&self, other: &Portfolio) -> String {
        let units = |portfolio: &Portfolio, name: &str| {
            let mut found = portfolio.0.iter();
            found
                .find(|(known, _)| known == name)
                .map_or(0, |(_, units)| *units)
        };
        let mut names: Vec<&str> = other.0.iter().map(|(name, _)| name.as_str()).collect();
        for (name, _) in &self.0 {
            if !names.contains(&name.as_str()) {
                names.push(name);
            }
        }
        let changes = names.iter().filter_map(|name| {
            let (before, after) = (units(other, name), units(self, name));
            (before != after).then(|| format!("{name} {before} → {after}"))
        });
        changes.collect::<Vec<_>>().join(", ")
    }
}

/// What came of a cell.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cell {
    /// Planned and audited.
    Planned {
        /// What the design minimises, kg.
        kg: f64,
        /// No plan can be lighter than this, kg.
        bound_kg: f64,
        /// Whether the lightest is proved.
        proved: bool,
        /// The units chosen.
        portfolio: Portfolio,
    },
    /// Proved that nothing balances.
    NoBalance,
    /// The design does not allow it; the reason in words.
    NotAllowed(String),
    /// Stopped before any answer was found.
    Unknown {
        /// No plan can be lighter than this, kg.
        bound_kg: f64,
    },
    /// A failure of this tool, in words.
    Failed(String),
    /// Not reached before the study was stopped.
    NotReached,
}

impl Cell {
    /// What came of planning.
    pub fn of(planned: &Result<Planned, Refusal>) -> Self {
        match planned {
            Ok(Planned::Plan(plan)) => {
                let answer = plan.answer();
                Cell::Planned {
                    kg: answer.minimised_kg(),
                    bound_kg: answer.proof.bound_kg,
                    proved: answer.proof.status == Status::Optimal,
                    portfolio: Portfolio::of(plan),
                }
            }
            Ok(Planned::NoBalance(_)) => Cell::NoBalance,
            Ok(Planned::Unknown { bound_kg }) => Cell::Unknown {
                bound_kg: *bound_kg,
            },
            Err(Refusal::Design(complaints)) => Cell::NotAllowed(first_words(complaints)),
            Err(Refusal::Failure(failure)) => Cell::Failed(failure.to_string()),
        }
    }

    /// Mass and portfolio, where there is a plan.
    pub fn planned(&self) -> Option<(f64, &Portfolio)> {
        match self {
            Cell::Planned { kg, portfolio, .. } => Some((*kg, portfolio)),
            _ => None,
        }
    }

    /// Whether nothing more can be found out about it.
    pub fn is_certain(&self) -> bool {
        match self {
            Cell::Planned { proved, .. } => *proved,
            Cell::NoBalance | Cell::NotAllowed(_) => true,
            Cell::Unknown { .. } | Cell::Failed(_) | Cell::NotReached => false,
        }
    }

    /// Why there is no proved plan, in words; nothing if there is one.
    pub fn remark(&self) -> String {
        match self {
            Cell::Planned { proved: true, .. } => String::new(),
            Cell::Planned { kg, bound_kg, .. } => {
                let gap = 100.0 * (kg - bound_kg) / kg.max(1e-9);
                format!("not proved: may be {gap:.2} % lighter")
            }
            Cell::NoBalance => "no balance".to_owned(),
            Cell::NotAllowed(why) => format!("not allowed: {why}"),
            Cell::Unknown { .. } => "stopped before anything was found".to_owned(),
            Cell::Failed(why) => format!("failed: {why}"),
            Cell::NotReached => "not reached".to_owned(),
        }
    }
}

/// The design whose numbers are moved.
#[derive(Clone, Debug)]
pub struct Ground<'a> {
    design: &'a Design,
    hints: Hints,
    /// Whether every count is at its lower bound.
    lowest: bool,
}

impl<'a> Ground<'a> {
    /// Cells of a design.
    pub fn new(design: &'a Design, options: &Options) -> Self {
        let options = Options {
            ties: Ties::Counts,
            ..options.clone()
        };
        let hints = Hints {
            reference: false,
            causes: false,
            ..options.into()
        };
        Ground {
            design,
            hints,
            lowest: false,
        }
    }

    /// Cells of a design whose flights are looked at one by one, so that every tie is
    /// decided.
    pub fn to_the_flight(design: &'a Design, options: &Options) -> Self {
        let mut ground = Ground::new(design, options);
        ground.hints.options.ties = Ties::All;
        ground
    }

    /// Cells of a design with every count at its lower bound: resupply alone.
    pub fn at_lower_bounds(design: &'a Design, options: &Options) -> Self {
        Ground {
            lowest: true,
            ..Ground::new(design, options)
        }
    }

    /// The design with numbers moved, in canonical units.
    ///
    /// # Errors
    ///
    /// What the design does not allow.
    pub fn moved(
        &self,
        numbers: &[(&str, f64, Dimension)],
    ) -> Result<network::Checked, Vec<Diagnostic>> {
        let mut length = None;
        let mut ordinary = Vec::new();
        for &(address, value, dimension) in numbers {
            match address {
                MISSION_LENGTH => length = Some(value),
                _ => ordinary.push((address, value, dimension)),
            }
        }
        let moved;
        let design = match ordinary.is_empty() {
            true => self.design,
            false => {
                moved = self.design.with_numbers(&ordinary)?;
                &moved
            }
        };
        let checked = network::check(design)?;
        match length {
            None => Ok(checked),
            Some(days) => network::check(&lasting(design, &checked.network, days)),
        }
    }

    /// Plans a cell; `held` holds its units, all others at none.
    pub fn cell(&self, numbers: &[(&str, f64, Dimension)], held: Option<&Portfolio>) -> Cell {
        Cell::of(&self.plan(numbers, held))
    }

    /// Plans one of several cells in turn.
    pub fn cell_in_turn(&self, numbers: &[(&str, f64, Dimension)], trail: &mut Trail) -> Cell {
        let planned = self.network(numbers).map_err(Refusal::Design);
        Cell::of(&planned.and_then(|network| self.plan_of(&network, None, Some(trail))))
    }

    /// Plans a cell once for each of some portfolios: held, or free where there is
    /// none; those in turn with the free ones of other cells.
    pub fn cells(
        &self,
        numbers: &[(&str, f64, Dimension)],
        portfolios: &[Option<&Portfolio>],
        trail: &mut Trail,
    ) -> Vec<Cell> {
        match self.network(numbers) {
            Ok(network) => portfolios
                .iter()
                .map(|held| {
                    let trail = held.is_none().then_some(&mut *trail);
                    Cell::of(&self.plan_of(&network, *held, trail))
                })
                .collect(),
            Err(complaints) => {
                let refused = Cell::NotAllowed(first_words(&complaints));
                portfolios.iter().map(|_| refused.clone()).collect()
            }
        }
    }

    /// Plans a cell to the whole plan.
    ///
    /// # Errors
    ///
    /// What the design does not allow, or a failure of the solver or the audit.
    pub fn plan(
        &self,
        numbers: &[(&str, f64, Dimension)],
        held: Option<&Portfolio>,
    ) -> Result<Planned, Refusal> {
        let network = self.network(numbers).map_err(Refusal::Design)?;
        self.plan_of(&network, held, None)
    }

    fn network(&self, numbers: &[(&str, f64, Dimension)]) -> Result<Network, Vec<Diagnostic>> {
        let network = self.moved(numbers)?.network;
        Ok(match self.lowest {
            true => network.at_lower_bounds(),
            false => network,
        })
    }

    fn plan_of(
        &self,
        network: &Network,
        held: Option<&Portfolio>,
        trail: Option<&mut Trail>,
    ) -> Result<Planned, Refusal> {
        let mut hints = self.hints.clone();
        if let Some(held) = held {
            let units: BTreeMap<&str, u32> = held
                .0
                .iter()
                .map(|(name, units)| (name.as_str(), *units))
                .collect();
            for node in network.nodes() {
                if network.duties(node).hardware.is_some() {
                    let name = network.name(node);
                    let count = units.get(name).copied().unwrap_or(0);
                    hints.counts.insert(name.to_owned(), count..=count);
                }
            }
        }
        plan_in_turn(network, &hints, trail)
    }
}

fn first_words(complaints: &[Diagnostic]) -> String {
    let errors = complaints.iter().filter(|one| one.is_error());
    let first = errors.map(|one| one.headline.clone()).next();
    first.unwrap_or_else(|| "refused without a reason".to_owned())
}
