//! One question at a time: what does this step do?

use super::moved;
use super::what::{Limited, What};
use super::{Change, Effect, small_step, whole_step};
use crate::answer::Status;
use crate::audit::Plan;
use crate::design::Design;
use crate::diagnostic::Diagnostic;
use crate::network::Network;
use crate::program::{self, Form};
use crate::solve::{HeldHardware, Options, Outcome, at_held_hardware};
use crate::study::differences;
use crate::study::time_left::TimeLeft;
use crate::{Failure, Hints, Planned, Refusal, plan, plan_network};

/// Masses closer than this are the same, kg.
const SAME_KG: f64 = 1e-6;

/// Whether the hardware is held, and which way the step goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Asked {
    /// Whether units are held.
    pub held: bool,
    /// 1 for more, -1 for less.
    way: f64,
}

impl Asked {
    /// In the order in which answers are taken.
    pub const ALL: [Asked; 4] = [
        Asked::new(true, 1.0),
        Asked::new(true, -1.0),
        Asked::new(false, 1.0),
        Asked::new(false, -1.0),
    ];

    const fn new(held: bool, way: f64) -> Self {
        Asked { held, way }
    }
}

/// What all questions share.
pub(super) struct Study<'a> {
    design: &'a Design,
    plan: &'a Plan,
    time: TimeLeft,
    options: Options,
    form: Form,
    hardware: HeldHardware,
    /// See [`super::Prices::in_fractions_kg`].
    pub in_fractions_kg: Option<f64>,
}

impl<'a> Study<'a> {
    /// Solves what prices at this hardware start from.
    pub fn new(design: &'a Design, plan: &'a Plan, options: &Options) -> Result<Self, Refusal> {
        let decisions = &plan.answer().decisions;
        let mut study = Study {
            design,
            plan,
            time: TimeLeft::new(options),
            options: options.clone(),
            form: exact_form(plan.network()),
            hardware: HeldHardware {
                units: decisions.counts.clone(),
                spares: decisions.spares.iter().map(|part| part.spares).collect(),
            },
            in_fractions_kg: None,
        };
        study.in_fractions_kg = match study.in_fractions(plan.network())? {
            Outcome::Solved(solution) if solution.proved => Some(solution.objective_kg),
            _ => None,
        };
        Ok(study)
    }

    /// One change; none where the question means nothing.
    pub fn change(&self, what: &What, asked: Asked) -> Result<Option<Change>, Refusal> {
        let network = self.plan.network();
        let moves_units = matches!(what, What::Count { .. });
        if asked.held && moves_units {
            return Ok(None);
        }
        let moves_design = matches!(what, What::Person { .. } | What::Day { .. });
        let size = match asked.held && !moves_design {
            true => small_step(what),
            false => whole_step(what),
        };
        let now = what.now(network);
        // A mission keeps its phases, a node its least units.
        let floor = match what {
            What::Count { node } => f64::from(network.duties(*node).count.lower),
            _ => 0.0,
        };
        let room = now - floor;
        let step = match asked.way > 0.0 {
            true => size,
            false if moves_units || moves_design => -size,
            false => -size.min(room),
        };
        let nothing_there = match what {
            What::Day { .. } => now + step <= 0.0,
            _ => room <= 0.0 || now + step < floor,
        };
        if asked.way < 0.0 && nothing_there {
            let effect = Effect::NothingThere;
            return Ok(Some(Change { step, effect }));
        }
        let effect = self.effect(what, asked, step)?;
        Ok(Some(Change { step, effect }))
    }

    fn effect(&self, what: &What, asked: Asked, step: f64) -> Result<Effect, Refusal> {
        let network = self.plan.network();
        if asked.way < 0.0 && !asked.held && self.has_room(what, step) {
            return Ok(Effect::Mass {
                kg: 0.0,
                proved: self.is_proved(),
                units: Vec::new(),
            });
        }
        let Some(options) = self.time.now() else {
            return Ok(Effect::Unknown);
        };
        let hints = Hints {
            reference: false,
            causes: false,
            ..options.into()
        };
        if let Some(moved) = moved::design(self.design, network, what, step) {
            return self.of_design(moved, &hints, asked.held);
        }
        let Some(moved) = moved::network(network, what, step) else {
            return Ok(Effect::Unknown);
        };
        match asked.held {
            true => self.of_fractions(&moved),
            false => self.of_planned(plan_network(&moved, &hints)),
        }
    }

    /// Whether a tighter bound leaves the plan as it is: then nothing is lighter.
    fn has_room(&self, what: &What, step: f64) -> bool {
        let answer = self.plan.answer();
        let most = |loads: &[f64]| loads.iter().copied().fold(0.0, f64::max);
        let used = match what {
            What::Count { node } => f64::from(answer.decisions.counts[node.index()]),
            What::Limit(Limited::Power) => most(&answer.power_w),
            What::Limit(Limited::Heat) => most(&answer.heat_w),
            What::Limit(Limited::CrewTime) => most(&answer.crew_time_h_per_day),
            What::Limit(Limited::Volume) => answer.volume_m3,
            _ => return false,
        };
        used <= what.now(self.plan.network()) + step
    }

    fn of_design(
        &self,
        moved: Result<Design, Vec<Diagnostic>>,
        hints: &Hints,
        held: bool,
    ) -> Result<Effect, Refusal> {
        let moved = match moved {
            Ok(moved) => moved,
            Err(complaints) => return Ok(not_allowed(&complaints)),
        };
        let mut hints = hints.clone();
        if held {
            hints = hints.with_units_of(self.plan);
        }
        self.of_planned(plan(&moved, &hints))
    }

    fn of_planned(&self, planned: Result<Planned, Refusal>) -> Result<Effect, Refusal> {
        let moved = match planned {
            Ok(Planned::Plan(moved)) => moved,
            Ok(Planned::NoBalance(_)) => return Ok(Effect::NoBalance),
            Ok(Planned::Unknown { .. }) => return Ok(Effect::Unknown),
            Err(Refusal::Design(complaints)) => return Ok(not_allowed(&complaints)),
            Err(failure) => return Err(failure),
        };
        let (before, after) = (self.plan.answer(), moved.answer());
        Ok(Effect::Mass {
            kg: settled(after.minimised_kg() - before.minimised_kg()),
            proved: self.is_proved() && after.proof.status == Status::Optimal,
            units: differences::units(self.plan, &moved),
        })
    }

    fn of_fractions(&self, moved: &Network) -> Result<Effect, Refusal> {
        let Some(before) = self.in_fractions_kg else {
            return Ok(Effect::Unknown);
        };
        Ok(match self.in_fractions(moved)? {
            Outcome::Solved(after) if after.proved => Effect::Mass {
                kg: after.objective_kg - before,
                proved: self.is_proved(),
                units: Vec::new(),
            },
            Outcome::Infeasible => Effect::NoBalance,
            Outcome::Solved(_) | Outcome::Unknown { .. } => Effect::Unknown,
        })
    }

    fn in_fractions(&self, network: &Network) -> Result<Outcome, Refusal> {
        let program = program::formulate(network, self.form);
        at_held_hardware(&program, &self.hardware, &self.options)
            .map_err(|fault| Refusal::Failure(Failure::Solver(fault)))
    }

    fn is_proved(&self) -> bool {
        self.plan.answer().proof.status == Status::Optimal
    }
}

fn not_allowed(complaints: &[Diagnostic]) -> Effect {
    let words = complaints.iter().map(|one| one.headline.as_str());
    Effect::NotAllowed(words.collect::<Vec<_>>().join("; "))
}

/// Whole solves agree to a share of a milligram.
fn settled(kg: f64) -> f64 {
    if kg.abs() < SAME_KG { 0.0 } else { kg }
}

/// The shortest form that is exact: flight by flight only where flights differ.
fn exact_form(network: &Network) -> Form {
    let calendar = &network.calendar;
    let unlimited = calendar
        .flights
        .iter()
        .all(|flight| flight.payload_kg.is_none());
    match unlimited && calendar.equal_gear_ratios() && !network.tanks_hold_cargo() {
        true => Form::Totals,
        false => Form::PerFlight,
    }
}
