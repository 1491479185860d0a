//! `loopwright prices`: what more or less of everything would cost.

use clap::Args;

use crate::network;
use crate::report;
use crate::study::prices::{Effect, Prices, prices};
use crate::{Hints, plan};

use super::answered::{exit_of, origin, plan_of};
use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::progress::with_progress;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright prices designs/ridge-outpost.ron
  loopwright prices designs/classroom.ron --format json

A time limit is for all prices together; what is not known by then says so.";

/// What one more or one less of each demand, limit, person and day would cost
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct PricesAt {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    effort: Effort,
    /// Leave out the prices with hardware free, each of which is a search of its own
    #[arg(long)]
    at_this_hardware: bool,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
}

impl PricesAt {
    /// Reads, plans, moves everything a little and reports.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        session.expect_writable()?;
        let design = session.read(&self.input)?;
        let checked = network::check(&design).map_err(Failure::bad_input)?;
        session.warn(&checked.warnings);
        let options = self.effort.options();
        let hints = Hints {
            reference: false,
            ..options.clone().into()
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
        let found = with_progress("finding prices", || {
            prices(&design, &plan, !self.at_this_hardware, &options)
        });
        let found = found.map_err(Failure::of)?;
        let page = report::priced(&plan, &found, &origin);
        session.show_with(page, &checked.warnings)?;
        Ok(match is_proved(&found) {
            true => exit_of(&plan),
            false => Exit::FeasibleOnly,
        })
    }
}

/// Whether every price was found and is proved.
fn is_proved(prices: &Prices) -> bool {
    let changes = prices.prices.iter().flat_map(|price| {
        let held = price.at_this_hardware.iter().flatten();
        held.chain(price.hardware_free.iter().flatten())
    });
    changes.into_iter().all(|change| match &change.effect {
        Effect::Mass { proved, .. } => *proved,
        Effect::Unknown => false,
        Effect::NoBalance | Effect::NotAllowed(_) | Effect::NothingThere => true,
    })
}
