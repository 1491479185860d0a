//! `loopwright prices`: what more or less of everything would cost.

use clap::Args;

use crate::report;
use crate::study::prices::{Effect, Prices, prices};

use super::answered::{Asked, exit_of};
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
        let asked = Asked::read(session, &self.input)?;
        let options = self.effort.options();
        let plan = match asked.plan(session, &options)? {
            Ok(plan) => plan,
            Err(exit) => return Ok(exit),
        };
        let found = with_progress("finding prices", || {
            prices(&asked.design, &plan, !self.at_this_hardware, &options)
        });
        let found = found.map_err(Failure::of)?;
        let page = report::priced(&plan, &found, &asked.origin);
        asked.show(session, page)?;
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
