//! `loopwright solve`: the lightest mix, audited.

use std::sync::Arc;
use std::time::{Duration, Instant};

use clap::Args;

use crate::report::{self, Findings, Origin, Timing};
use crate::solve::{Options, Step, Stopwatch};
use crate::{Hints, plan_checked};

use super::answered::{Asked, exit_of, plan_of};
use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::progress::with_progress;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright solve designs/ridge-outpost.ron
  loopwright solve designs/ridge-outpost.ron --format json --output answer.json
  loopwright solve designs/classroom.ron --set \"mission.phases.stay.length=120 d\"
  loopwright solve designs/classroom.ron --hold --set \"mission.phases.stay.length=120 d\"
  loopwright solve - < designs/classroom.ron

Ctrl-C stops the search and prints the best answer found; a second one ends at once.";

/// Find the lightest mix of recovery hardware and resupply
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Solve {
    #[command(flatten)]
    pub(super) input: Input,
    #[command(flatten)]
    effort: Effort,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
    /// Hold the units at those of the same design before --set: what is brought is
    /// planned anew, the hardware stays
    #[arg(long, requires = "settings")]
    hold: bool,
    /// Say how long each step took; the output then differs from run to run
    #[arg(long)]
    timings: bool,
    /// Solve anew whenever the design file is saved
    #[arg(long)]
    pub(super) watch: bool,
}

impl Solve {
    /// Reads, plans and reports.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        let asked = Asked::read(session, &self.input)?;
        let stopwatch = self.timings.then(Arc::<Stopwatch>::default);
        let options = self.effort.options();
        let held = match self.hold {
            false => None,
            true => match asked.plan_before(session, &options)? {
                Ok(plan) => Some(plan),
                Err(exit) => return Ok(exit),
            },
        };
        let hints = Hints::from(Options {
            stopwatch: stopwatch.clone(),
            ..options
        });
        let hints = match &held {
            Some(plan) => hints.with_units_of(plan),
            None => hints,
        };
        let begun = Instant::now();
        let planned = with_progress("solving", || {
            plan_checked(&asked.design, &asked.network, &hints)
        });
        let planned = planned.map_err(Failure::of)?;
        let timings = stopwatch.map(|watch| timings(asked.spent, begun.elapsed(), &watch));
        let origin = &Origin {
            held: self.hold,
            ..asked.origin.clone()
        };
        let (page, exit) = match plan_of(planned, &asked.design, origin, session) {
            Ok(plan) => {
                let findings = Findings {
                    plan: &plan,
                    origin,
                    timings: timings.as_deref(),
                };
                let page = report::solved(&findings).map_err(Failure::internal)?;
                (page, exit_of(&plan))
            }
            Err(unplanned) => *unplanned,
        };
        asked.show(session, page)?;
        Ok(exit)
    }
}

/// Where the time went. What is left of planning after its steps is waiting for the
/// reference that the saving is stated against, which is planned beside it.
fn timings([read, check]: [Duration; 2], planning: Duration, watch: &Stopwatch) -> Vec<Timing> {
    let spent = |step| watch.spent(step);
    let (search, leaves) = (spent(Step::Search), spent(Step::Leaves));
    let (build, ties, audit) = (spent(Step::Build), spent(Step::Ties), spent(Step::Audit));
    let rest = planning.saturating_sub(build + search + ties + audit);
    let steps = [
        ("read", read),
        ("check", check),
        ("build", build),
        ("search", search.saturating_sub(leaves)),
        ("solve leaves", leaves),
        ("decide ties", ties),
        ("audit", audit),
        ("wait for the reference", rest),
    ];
    let timing = |(step, time): (&'static str, Duration)| Timing {
        step,
        seconds: time.as_secs_f64(),
    };
    steps.map(timing).to_vec()
}
