//! `loopwright failures`: missions with random failures and the plan's spares.

use clap::Args;

use crate::report;
use crate::study::failures::failures;

use super::answered::{Asked, exit_of};
use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::interrupt;
use super::progress::with_progress;
use super::session::Session;

/// More missions than this show nothing new.
const MOST_MISSIONS: u64 = 10_000_000;

const EXAMPLES: &str = "\
Examples:
  loopwright failures designs/ridge-outpost.ron
  loopwright failures designs/long-transit.ron --missions 100000 --seed 7
  loopwright failures designs/ridge-outpost.ron --format json

The same seed and number of missions give the same bytes, whatever the number of
cores. Ctrl-C stops the missions; those flown so far are reported.";

/// Fly many missions with random failures, and count on how many the spares last
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct FailuresOf {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    effort: Effort,
    /// How many missions to fly
    #[arg(long, value_name = "NUMBER", default_value_t = 20_000,
          value_parser = clap::value_parser!(u64).range(1..=MOST_MISSIONS))]
    missions: u64,
    /// What the random numbers start from
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
}

impl FailuresOf {
    /// Reads, plans, flies and reports.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        let asked = Asked::read(session, &self.input)?;
        let plan = match asked.plan(session, &self.effort.options())? {
            Ok(plan) => plan,
            Err(exit) => return Ok(exit),
        };
        let found = with_progress("flying missions", || {
            failures(&plan, self.missions, self.seed, Some(interrupt::flag()))
        });
        let page = report::outlasted(&plan, &found, &asked.origin);
        asked.show(session, page)?;
        Ok(match (found.missions, found.missions == self.missions) {
            (0, _) => Exit::NothingFound,
            (_, false) => Exit::FeasibleOnly,
            (_, true) => exit_of(&plan),
        })
    }
}
