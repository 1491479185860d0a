//! `loopwright timeline`: what is aboard on every day.

use clap::Args;

use crate::report::{self, Findings};
use crate::timeline::{Timeline, outcome};

use super::answered::{Asked, exit_of};
use super::arguments::{Effort, Format, Input, Output};
use super::bad_days::bad_days;
use super::exit::Exit;
use super::failure::Failure;
use super::progress::with_progress;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright timeline designs/ridge-outpost.ron
  loopwright timeline designs/ridge-outpost.ron --set \"mission.departure=2031-05-14\"
  loopwright timeline designs/ridge-outpost.ron --fault 'Late(flight: 1, by: \"45 d\")'
  loopwright timeline designs/ridge-outpost.ron --fault 'Down(node: \"polisher\", from: \"200 d\")'
  loopwright timeline designs/ridge-outpost.ron --format csv --output levels.csv

Faults: Late, Lost, Down, Leak, MoreCrew, LessYield; \"loopwright kinds Fault\" has their
fields. Those that a design names under faults go by their name.";

/// Show the levels of everything aboard over the calendar, and what happens when
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct TimelineOf {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    effort: Effort,
    /// What goes wrong: a fault as the design file writes it, or the name of one in the
    /// design; may be given several times, and then all come together
    #[arg(long = "fault", value_name = "FAULT")]
    faults: Vec<String>,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
}

impl TimelineOf {
    /// Reads, plans and lists.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        let asked = Asked::read(session, &self.input)?;
        let plan = match asked.plan(session, &self.effort.options())? {
            Ok(plan) => plan,
            Err(exit) => return Ok(exit),
        };
        let backend = self.effort.options().backend;
        let outcome = bad_days(&self.faults, plan.network(), session)?
            .map(|days| with_progress("reacting", || outcome(&plan, &days, backend)))
            .transpose()
            .map_err(Failure::internal)?;
        let findings = Findings {
            plan: &plan,
            origin: &asked.origin,
            timings: None,
        };
        let page = report::timed(&findings, &Timeline::of(&plan), outcome.as_ref());
        asked.show(session, page)?;
        Ok(exit_of(&plan))
    }
}
