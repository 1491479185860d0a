//! `loopwright manifest`: what each flight carries.

use clap::Args;

use crate::report::{self, Findings};
use crate::{Hints, network, plan};

use super::answered::{exit_of, origin, plan_of};
use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::progress::with_progress;
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
        session.expect_writable()?;
        let design = session.read(&self.input)?;
        let checked = network::check(&design).map_err(Failure::bad_input)?;
        session.warn(&checked.warnings);
        // What a plan is compared with is not loaded.
        let hints = Hints {
            reference: false,
            ..self.effort.options().into()
        };
        let planned = with_progress("solving", || plan(&design, &hints));
        let planned = planned.map_err(Failure::of)?;
        let origin = origin(&design, &checked.network, &self.input);
        let (page, exit) = match plan_of(planned, &design, &origin, session) {
            Ok(plan) => {
                let findings = Findings {
                    plan: &plan,
                    origin: &origin,
                    timings: None,
                };
                let page = report::manifest(&findings).map_err(Failure::internal)?;
                (page, exit_of(&plan))
            }
            Err(unplanned) => *unplanned,
        };
        session.show_with(page, &checked.warnings)?;
        Ok(exit)
    }
}
