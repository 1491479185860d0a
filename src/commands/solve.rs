//! `loopwright solve`: the lightest mix, audited.

use std::time::Instant;

use clap::Args;

use crate::plan;
use crate::report::{self, Findings, Timing};

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
        let start = Instant::now();
        let asked = Asked::read(session, &self.input)?;
        let read = start.elapsed();
        let hints = self.effort.options().into();
        let planned = with_progress("solving", || plan(&asked.design, &hints));
        let planned = planned.map_err(Failure::of)?;
        let timings = [
            Timing {
                step: "read",
                seconds: read.as_secs_f64(),
            },
            Timing {
                step: "plan",
                seconds: (start.elapsed() - read).as_secs_f64(),
            },
        ];
        let origin = &asked.origin;
        let (page, exit) = match plan_of(planned, &asked.design, origin, session) {
            Ok(plan) => {
                let findings = Findings {
                    plan: &plan,
                    origin,
                    timings: self.timings.then_some(&timings),
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
