//! `loopwright water-round`: lines, coils, tanks, containers and heaters of a plan.

use clap::Args;

use crate::diagnostic::{Diagnostic, codes};
use crate::study::water_round::water_round;
use crate::{Hints, network, plan, report};

use super::answered::{exit_of, origin, plan_of};
use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::progress::with_progress;
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
        session.expect_writable()?;
        let design = session.read(&self.input)?;
        let checked = network::check(&design).map_err(Failure::bad_input)?;
        session.warn(&checked.warnings);
        if checked.network.water_round.is_none() {
            return Err(not_stated());
        }
        let hints = Hints {
            reference: false,
            ..self.effort.options().into()
        };
        let planned = with_progress("solving", || plan(&design, &hints)).map_err(Failure::of)?;
        let origin = origin(&design, &checked.network, &self.input);
        let plan = match plan_of(planned, &design, &origin, session) {
            Ok(plan) => plan,
            Err(unplanned) => {
                session.show(&unplanned.0)?;
                return Ok(unplanned.1);
            }
        };
        let round = water_round(&plan).ok_or_else(not_stated)?;
        session.show_with(report::round(&plan, &round, &origin), &checked.warnings)?;
        Ok(exit_of(&plan))
    }
}

fn not_stated() -> Failure {
    let complaint = Diagnostic::error(codes::WATER_ROUND, "the design states no water round")
        .help("add water_round: WaterRound(...); loopwright kinds WaterRound shows an example");
    Failure::bad_input(vec![complaint])
}
