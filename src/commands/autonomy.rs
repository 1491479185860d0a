//! `loopwright autonomy`: how long the crew can do without each thing.

use clap::Args;

use crate::quantity::{Dimension, parse};
use crate::report::{self, Findings};
use crate::timeline::autonomy;

use super::answered::{Asked, exit_of};
use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::progress::with_progress;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright autonomy designs/ridge-outpost.ron
  loopwright autonomy designs/ridge-outpost.ron --from \"300 d\"
  loopwright autonomy designs/long-transit.ron --format csv

A time limit is for the plan and for the table, each by itself; what was not looked at
by then is said.";

/// Show how long the crew can do without every node and every flight, and what would
/// have covered it
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct AutonomyOf {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    effort: Effort,
    /// Nodes fail on this day of the mission, or when they start if that is later
    #[arg(long, value_name = "TIME", default_value = "0 d", value_parser = day)]
    from: f64,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
}

impl AutonomyOf {
    /// Reads, plans, takes everything out once, and reports.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        let asked = Asked::read(session, &self.input)?;
        let options = self.effort.options();
        let plan = match asked.plan(session, &options)? {
            Ok(plan) => plan,
            Err(exit) => return Ok(exit),
        };
        for days in &plan.network().bad_days {
            session.warn(&days.cannot_be);
        }
        let found = with_progress("taking one after the other out", || {
            autonomy(&plan, self.from, &options)
        });
        let found = found.map_err(Failure::internal)?;
        let findings = Findings {
            plan: &plan,
            origin: &asked.origin,
            timings: None,
        };
        let page = report::autonomous(&findings, &found);
        asked.show(session, page)?;
        Ok(match found.left_out.is_empty() {
            true => exit_of(&plan),
            false => Exit::FeasibleOnly,
        })
    }
}

fn day(text: &str) -> Result<f64, String> {
    match parse(text, Dimension::Time) {
        Ok(day) if day >= 0.0 => Ok(day),
        Ok(_) => Err("a day of the mission is 0 d or later".to_owned()),
        Err(error) => Err(error.to_string()),
    }
}
