//! `loopwright manifest`: what each flight carries.

use clap::Args;

use crate::report::{self, Findings};

use super::answered::{Asked, exit_of};
use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright manifest designs/ridge-outpost.ron
  loopwright manifest designs/ridge-outpost.ron --variant \"dusty ridge\"
  loopwright manifest designs/ridge-outpost.ron --format csv --output manifest.csv";

/// List what each flight of the lightest mix carries, to the container and the spare
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Manifest {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    effort: Effort,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
}

impl Manifest {
    /// Reads, plans and lists.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        let asked = Asked::read(session, &self.input)?;
        // What a plan is compared with is not loaded.
        let plan = match asked.plan(session, &self.effort.options())? {
            Ok(plan) => plan,
            Err(exit) => return Ok(exit),
        };
        let findings = Findings {
            plan: &plan,
            origin: &asked.origin,
            timings: None,
        };
        let page = report::manifest(&findings).map_err(Failure::internal)?;
        asked.show(session, page)?;
        Ok(exit_of(&plan))
    }
}
