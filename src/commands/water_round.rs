//! `loopwright water-round`: lines, coils, tanks, containers and heaters of a plan.

use clap::Args;

use crate::diagnostic::{Diagnostic, codes};
use crate::report;
use crate::study::water_round::water_round;

use super::answered::{Asked, exit_of};
use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright water-round designs/growing-base.ron
  loopwright water-round designs/growing-base.ron --set \"water_round.air.dew_point=9 °C\"
  loopwright water-round designs/growing-base.ron --format csv --output round.csv

What goes in is water_round in the design; see loopwright kinds WaterRound.";

/// Work out the water round of the plan: coils, lines, tanks, containers, drinks, cells
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct WaterRoundOf {
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

impl WaterRoundOf {
    /// Reads, plans, works out and reports.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        let asked = Asked::read(session, &self.input)?;
        if asked.network.water_round.is_none() {
            return Err(not_stated());
        }
        let plan = match asked.plan(session, &self.effort.options())? {
            Ok(plan) => plan,
            Err(exit) => return Ok(exit),
        };
        let round = water_round(&plan).ok_or_else(not_stated)?;
        asked.show(session, report::round(&plan, &round, &asked.origin))?;
        Ok(exit_of(&plan))
    }
}

fn not_stated() -> Failure {
    let complaint = Diagnostic::error(codes::WATER_ROUND, "the design states no water round")
        .help("add water_round: WaterRound(...); loopwright kinds WaterRound shows an example");
    Failure::bad_input(vec![complaint])
}
