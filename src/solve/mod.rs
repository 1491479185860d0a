//! Solving: a search over hardware counts proves the lightest launch mass.
//!
//! Status comes first, values after. The linear programs are solved by a
//! pure-Rust back-end; nothing outside this room touches a solver.

mod algebra;
mod basis;
mod conflict;
mod cuts;
mod factors;
mod held;
mod kernel;
mod least;
mod linear;
mod mixed;
mod portfolio;
mod proof;
mod reduce;
mod relaxation;
mod scaling;
mod search;
mod spares;
mod stopwatch;
mod ties;
mod tighten;
mod whole;

use std::fmt;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use crate::program::Program;
pub use search::Trail;
use search::{Incumbent, Question};

pub use conflict::{Conflict, NoBalance, Statement, What, explain, program_of};
pub use held::{HeldHardware, at_held_hardware};
pub use least::{least, least_holding};
pub use linear::{LinearOutcome, LinearProgram};
pub(crate) use stopwatch::timed;
pub use stopwatch::{Step, Stopwatch};
pub use whole::solve_whole;

/// What solves the linear programs of the search.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Backend {
    /// The kernel of this crate, with the library's simplex where the kernel
    /// cannot make sure of its result.
    #[default]
    Kernel,
    /// The library's simplex alone, from scratch for every program: a referee.
    Library,
}

impl Backend {
    /// Its name, as results carry it.
    pub fn name(self) -> &'static str {
        match self {
            Backend::Kernel => "loopwright bounded simplex",
            Backend::Library => "microlp",
        }
    }

    /// Its version, as results carry it.
    pub fn version(self) -> &'static str {
        match self {
            Backend::Kernel => env!("CARGO_PKG_VERSION"),
            Backend::Library => "0.6",
        }
    }
}

/// Which ties between equally light answers are decided.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Ties {
    /// Counts, then flows, then deliveries: one answer.
    #[default]
    All,
    /// Counts alone, for questions that ask no more than mass and counts.
    Counts,
}

/// How to solve.
#[derive(Clone, Debug)]
pub struct Options {
    /// Relative gap to which the optimum is proved.
    pub gap: f64,
    /// Stop after this long and give the best found.
    pub time_limit: Option<Duration>,
    /// Set from outside to stop and give the best found.
    pub interrupt: Option<&'static AtomicBool>,
    /// What solves the linear programs.
    pub backend: Backend,
    /// Answers that weigh as much or more are of no interest, kg: where there is
    /// none below, it is as if there were none.
    pub below_kg: f64,
    /// Which ties are decided.
    pub ties: Ties,
    /// Counts the time of every step, if somebody wants to know.
    pub stopwatch: Option<Arc<Stopwatch>>,
}

impl Options {
    /// The stopwatch, where there is one.
    pub(crate) fn watch(&self) -> Option<&Stopwatch> {
        self.stopwatch.as_deref()
    }
}

impl Default for Options {
    fn default() -> Self {
        Options {
            gap: 1e-9,
            time_limit: None,
            interrupt: None,
            backend: Backend::default(),
            below_kg: f64::INFINITY,
            ties: Ties::default(),
            stopwatch: None,
        }
    }
}

/// When to stop.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Clock {
    deadline: Option<Instant>,
    interrupt: Option<&'static AtomicBool>,
}

impl Clock {
    /// Starts counting.
    pub fn start(options: &Options) -> Self {
        Clock {
            deadline: options
                .time_limit
                .and_then(|limit| Instant::now().checked_add(limit)),
            interrupt: options.interrupt,
        }
    }

    /// Whether it is time to stop.
    pub fn is_over(&self) -> bool {
        self.deadline
            .is_some_and(|deadline| Instant::now() >= deadline)
            || self
                .interrupt
                .is_some_and(|flag| flag.load(Ordering::Relaxed))
    }
}

/// What came of solving a program.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// An answer, proved or not.
    Solved(Solution),
    /// Proved that there is none, or none below the mass asked for.
    Infeasible,
    /// Stopped before any answer was found.
    Unknown {
        /// No answer can be lighter than this, kg.
        bound_kg: f64,
    },
}

/// Values of every column of the whole program.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// By column; whole columns are whole.
    pub values: Vec<f64>,
    /// Launch mass by the solver, kg; the ledger is recomputed from the values.
    pub objective_kg: f64,
    /// No answer can be lighter than this, kg.
    pub bound_kg: f64,
    /// Whether the gap asked for is proved.
    pub proved: bool,
    /// Linear programs solved.
    pub relaxations: usize,
    /// This answer and all others, with other units, that weigh the same; none
    /// where the search cannot say.
    alike: Option<Vec<Incumbent>>,
}

/// Something went wrong that is not the design's fault.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// A program that can be lightened without end: a mistake in the rows.
    Unbounded,
    /// The back-end stopped without a word.
    Interrupted,
    /// The back-end failed.
    Backend(String),
    /// The search lost its way: values that do not satisfy the rows.
    Inconsistent(String),
}

impl fmt::Display for Fault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::Unbounded => write!(formatter, "the program can be lightened without end"),
            Fault::Interrupted => write!(formatter, "the linear solver stopped without a result"),
            Fault::Backend(words) => write!(formatter, "the linear solver failed: {words}"),
            Fault::Inconsistent(words) => write!(formatter, "the search is inconsistent: {words}"),
        }
    }
}

impl std::error::Error for Fault {}

/// Proves the lightest launch mass of a program and decides ties. `near` is the
/// units, by node index, of the answer to a relaxation: if they do here too, the
/// search has less left to look at. A `trail` tells what the searches for neighbours have
/// found, and is told what this one has. Both change the time it takes, not the answer.
///
/// # Errors
///
/// A [`Fault`] where the back-end fails; a design without an answer is not a
/// fault but [`Outcome::Infeasible`].
pub fn solve(
    program: &Program,
    near: Option<&[u32]>,
    trail: Option<&mut Trail>,
    options: &Options,
) -> Result<Outcome, Fault> {
    let clock = Clock::start(options);
    let counts = program.handles.count.iter().zip(near.unwrap_or_default());
    let question = Question {
        cutoff_kg: options.below_kg,
        alike: true,
        near: counts
            .filter_map(|(count, &units)| count.map(|column| (column.0, units)))
            .collect(),
        ..Question::default()
    };
    let found = timed(options.watch(), Step::Search, || {
        search::lightest(program, options, &clock, &question, trail)
    })?;
    match found {
        Outcome::Solved(solution) if solution.proved => {
            let decided = timed(options.watch(), Step::Ties, || {
                ties::decide(program, options, &clock, solution)
            });
            Ok(Outcome::Solved(decided?))
        }
        other => Ok(other),
    }
}
