//! The walk from a design to an audited plan.

use std::collections::BTreeMap;
use std::fmt;
use std::ops::RangeInclusive;
use std::panic::resume_unwind;
use std::thread;

use crate::answer::{Answer, FlightsForm, Proof, Status, interpret};
use crate::audit::{self, AuditFault, Plan, Reference};
use crate::design::Design;
use crate::diagnostic::Diagnostic;
use crate::network::{self, Network};
use crate::program::{self, Form};
use crate::solve::{self, Fault, NoBalance, Options, Outcome, Step, Trail, timed};

/// How hard to try, and what is asked beyond the design itself: a hint changes
/// the question or the time it takes, never the answer to it.
#[derive(Clone, Debug)]
pub struct Hints {
    /// How to solve.
    pub options: Options,
    /// Units held within these counts, by the names of their nodes; each within
    /// what the design allows.
    pub counts: BTreeMap<String, RangeInclusive<u32>>,
    /// Whether the plan is compared with its reference, which stays the design's
    /// own whatever is held.
    pub reference: bool,
    /// Whether to look for the causes where nothing balances.
    pub causes: bool,
}

impl Hints {
    /// The same hints with the units of every node held at those of a plan.
    #[must_use]
    pub fn with_units_of(mut self, plan: &Plan) -> Self {
        let units = plan.units_by_name().into_iter();
        self.counts = units.map(|(name, units)| (name, units..=units)).collect();
        self
    }
}

impl Default for Hints {
    fn default() -> Self {
        Options::default().into()
    }
}

impl From<Options> for Hints {
    fn from(options: Options) -> Self {
        Hints {
            options,
            counts: BTreeMap::new(),
            reference: true,
            causes: true,
        }
    }
}

/// What came of planning a network.
#[derive(Clone, Debug)]
pub enum Planned {
    /// An audited answer, proved or marked as the best found.
    Plan(Box<Plan>),
    /// Proved that nothing balances within the limits, and why; or nothing that
    /// weighs less than what the options ask for.
    NoBalance(NoBalance),
    /// Stopped before any answer was found.
    Unknown {
        /// No answer can be lighter than this, kg.
        bound_kg: f64,
    },
}

/// Something that is not the design's fault.
#[derive(Clone, Debug)]
pub enum Failure {
    /// The solver failed.
    Solver(Fault),
    /// The answer did not pass the audit.
    Audit(AuditFault),
}

impl fmt::Display for Failure {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Failure::Solver(fault) => write!(formatter, "{fault}"),
            Failure::Audit(fault) => write!(formatter, "{fault}"),
        }
    }
}

impl std::error::Error for Failure {}

impl From<Fault> for Failure {
    fn from(fault: Fault) -> Self {
        Failure::Solver(fault)
    }
}

/// Why a design could not be planned.
#[derive(Clone, Debug)]
pub enum Refusal {
    /// Mistakes in the design.
    Design(Vec<Diagnostic>),
    /// Something that is not the design's fault.
    Failure(Failure),
}

/// Plans a design and compares it with its reference: the variant that it
/// names, or the same design with every count at its lower bound.
///
/// # Errors
///
/// Mistakes in the design, counts to hold that it does not allow, or a failure of
/// the solver or the audit.
pub fn plan(design: &Design, hints: &Hints) -> Result<Planned, Refusal> {
    let checked = network::check(design).map_err(Refusal::Design)?;
    plan_checked(design, &checked.network, hints)
}

/// The same for a design whose network is at hand.
///
/// # Errors
///
/// See [`plan`].
pub fn plan_checked(design: &Design, network: &Network, hints: &Hints) -> Result<Planned, Refusal> {
    if !hints.reference {
        return plan_network(network, hints);
    }
    let options = Options {
        below_kg: f64::INFINITY,
        stopwatch: None,
        ..hints.options.clone()
    };
    // Neither needs the other.
    let (planned, reference) = thread::scope(|scope| {
        let reference = scope.spawn(|| reference(design, network, &options));
        let planned = plan_network(network, hints);
        let reference = reference
            .join()
            .unwrap_or_else(|cause| resume_unwind(cause));
        (planned, reference)
    });
    Ok(match planned? {
        Planned::Plan(plan) => Planned::Plan(Box::new(plan.with_reference(reference?))),
        other => other,
    })
}

fn reference(design: &Design, network: &Network, options: &Options) -> Result<Reference, Refusal> {
    let (name, network) = match &design.written.reference {
        Some(name) => {
            let variant = design.as_variant(&name.text).map_err(Refusal::Design)?;
            match network::check(&variant) {
                Ok(checked) => (name.text.clone(), checked.network),
                Err(_) => {
                    return Ok(Reference::unplanned(name.text.clone(), "bad input"));
                }
            }
        }
        None => ("resupply alone".to_owned(), network.at_lower_bounds()),
    };
    let attempt = attempts(&network, None, options).map_err(Refusal::Failure)?;
    Ok(match attempt {
        Attempt::Answer(answer) => {
            let plan = audited(network, *answer).map_err(Refusal::Failure)?;
            let status = match plan.answer().proof.status {
                Status::Optimal => "optimal",
                Status::Feasible => "feasible",
            };
            Reference::planned(name, status, &plan)
        }
        Attempt::NoBalance(_) => Reference::unplanned(name, "infeasible"),
        Attempt::Unknown { .. } => Reference::unplanned(name, "unknown"),
    })
}

/// Masses that agree to this share are the same.
const SAME: f64 = 1e-9;

/// Plans a network without comparing it.
///
/// Where every flight lifts a kilogram for the same initial mass, the totals
/// form is solved first: it is a relaxation of the program flight by flight, so
/// if its answer splits over the flights at the same mass and within every
/// payload, it is proved. Otherwise the program is solved flight by flight.
///
/// # Errors
///
/// Counts to hold that the network does not allow, or a failure of the solver or
/// the audit.
pub fn plan_network(network: &Network, hints: &Hints) -> Result<Planned, Refusal> {
    plan_in_turn(network, hints, None)
}

/// The same for one of several neighbours in turn: what the searches for those before
/// it have found makes this one quicker. The answer is the same but for rounding.
///
/// # Errors
///
/// See [`plan_network`].
pub fn plan_in_turn(
    network: &Network,
    hints: &Hints,
    trail: Option<&mut Trail>,
) -> Result<Planned, Refusal> {
    let held;
    let network = if hints.counts.is_empty() {
        network
    } else {
        held = network.holding(&hints.counts).map_err(Refusal::Design)?;
        &held
    };
    let options = &hints.options;
    Ok(
        match attempts(network, trail, options).map_err(Refusal::Failure)? {
            Attempt::Answer(answer) => {
                let plan = timed(options.watch(), Step::Audit, || {
                    audited(network.clone(), *answer)
                });
                Planned::Plan(Box::new(plan.map_err(Refusal::Failure)?))
            }
            Attempt::NoBalance(form) => Planned::NoBalance(if hints.causes {
                solve::explain(network, form, options)
            } else {
                NoBalance::unexplained(form)
            }),
            Attempt::Unknown { bound_kg } => Planned::Unknown { bound_kg },
        },
    )
}

fn audited(network: Network, answer: Answer) -> Result<Plan, Failure> {
    audit::audit(network, answer).map_err(Failure::Audit)
}

/// Solves the forms of a network one after the other.
fn attempts(
    network: &Network,
    mut trail: Option<&mut Trail>,
    options: &Options,
) -> Result<Attempt, Failure> {
    if network.calendar.equal_gear_ratios() {
        let totals = attempt(network, Form::Totals, None, trail.as_deref_mut(), options)?;
        let Attempt::Answer(answer) = totals else {
            // A relaxation without an answer leaves none for the whole.
            return Ok(totals);
        };
        if splits(network, &answer) {
            return Ok(Attempt::Answer(answer));
        }
        // Its units may do flight by flight too.
        let units = &answer.decisions.counts;
        return attempt(network, Form::PerFlight, Some(units), trail, options);
    }
    attempt(network, Form::PerFlight, None, trail, options)
}

/// A solved form before the audit.
enum Attempt {
    Answer(Box<Answer>),
    /// Proved to have none in this form.
    NoBalance(Form),
    Unknown {
        bound_kg: f64,
    },
}

fn attempt(
    network: &Network,
    form: Form,
    near: Option<&[u32]>,
    trail: Option<&mut Trail>,
    options: &Options,
) -> Result<Attempt, Failure> {
    let program = timed(options.watch(), Step::Build, || {
        program::formulate(network, form)
    });
    let solution = match solve::solve(&program, near, trail, options)? {
        Outcome::Solved(solution) => solution,
        Outcome::Infeasible => return Ok(Attempt::NoBalance(form)),
        Outcome::Unknown { bound_kg } => return Ok(Attempt::Unknown { bound_kg }),
    };
    let decisions = interpret(network, &program, &solution.values);
    let gap = (solution.objective_kg - solution.bound_kg) / solution.objective_kg.max(1e-9);
    let proof = Proof {
        status: if solution.proved {
            Status::Optimal
        } else {
            Status::Feasible
        },
        bound_kg: solution.bound_kg,
        gap: gap.max(0.0),
        backend: options.backend.name(),
        backend_version: options.backend.version(),
        relaxations: solution.relaxations,
        flights_form: match form {
            Form::Totals => FlightsForm::TotalsSplit,
            Form::PerFlight => FlightsForm::PerFlight,
        },
    };
    Ok(Attempt::Answer(Box::new(Answer::of(
        network, decisions, proof,
    ))))
}

/// Whether a totals answer, split over the flights, weighs what the totals do
/// and stays within every payload, and within the crew's time, which transfers
/// take when a flight arrives.
fn splits(network: &Network, answer: &Answer) -> bool {
    let totals = answer.proof.bound_kg / (1.0 - answer.proof.gap).max(SAME);
    let same = answer.minimised_kg() <= totals * (1.0 + 10.0 * SAME) + 1e-6;
    let fits = network
        .calendar
        .flights
        .iter()
        .enumerate()
        .all(|(index, flight)| {
            let carried: f64 = answer
                .ledger
                .iter()
                .filter(|line| line.flight == index)
                .map(|line| line.kg)
                .sum();
            flight
                .payload_kg
                .is_none_or(|payload| carried <= payload * (1.0 + SAME))
        });
    let limit = network.limits.crew_time_h_per_day;
    let mut hours = answer.crew_time_h_per_day.iter();
    let timely =
        hours.all(|&hours| limit.is_none_or(|limit| hours <= limit.value * (1.0 + SAME) + SAME));
    same && fits && timely
}
