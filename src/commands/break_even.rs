//! `loopwright break-even`: every switch over a range.

use clap::Args;

use crate::diagnostic::{Diagnostic, codes};
use crate::report;
use crate::study::break_even::break_even;

use super::answered::Asked;
use super::arguments::{Effort, Format, Input, Output};
use super::failure::Failure;
use super::many::Many;
use super::session::Session;
use super::studied::{Studied, Studying};
use super::sweep::{axes, exit_of};

const EXAMPLES: &str = "\
Examples:
  loopwright break-even designs/ridge-outpost.ron --over \"mission.length = 1 .. 1500 d\"
  loopwright break-even designs/classroom.ron --over \"mission.length = 30 .. 400 d\"
  loopwright break-even designs/ridge-outpost.ron --over \"mission.resupply.every = 30 .. 360 d\"

Every value is solved to proof, for portfolios flip back: whole cartridges and spares
make it so. The baseline is the variant that the design names as its reference, or
resupply alone.

Ctrl-C stops and shows what is finished; --resume goes on later.";

/// Find every value of a range at which the lightest portfolio switches
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct BreakEvenOf {
    #[command(flatten)]
    pub(super) input: Input,
    /// Which number, and its values: "ADDRESS = VALUES"
    #[arg(long, value_name = "VALUES")]
    pub(super) over: String,
    #[command(flatten)]
    pub(super) many: Many,
    #[command(flatten)]
    pub(super) effort: Effort,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
}

impl Studying for BreakEvenOf {
    fn input(&self) -> &Input {
        &self.input
    }

    fn study(&self, session: &mut Session, asked: &Asked) -> Result<Studied, Failure> {
        let mut axes = axes(session, std::slice::from_ref(&self.over), &asked.design)?;
        let Some(axis) = axes.pop() else {
            return Err(Failure::internal("no number to move"));
        };
        if axis.values.windows(2).any(|pair| pair[1] <= pair[0]) {
            return Err(Failure::bad_input(vec![
                Diagnostic::error(codes::VALUES, "a break-even goes through rising values")
                    .help("write a range such as \"mission.length = 1 .. 1500 d\""),
            ]));
        }
        let options = self.effort.options();
        let question = format!("break-even {axis:?}");
        let mut wrong = Vec::new();
        let found = self.many.run(
            &asked.design,
            &question,
            &options,
            |effort| match break_even(&asked.design, axis, effort) {
                Ok(found) => found.map(Some),
                Err(complaints) => {
                    wrong = complaints;
                    Ok(None)
                }
            },
        )?;
        let Some(found) = found else {
            return Err(Failure::bad_input(wrong));
        };
        let all: Vec<_> = found
            .cells
            .iter()
            .chain(&found.baseline.cells)
            .cloned()
            .collect();
        if let Some((words, exit)) = self.many.share(&all) {
            return Ok(Studied::Words(words, exit));
        }
        let page = report::break_even(&asked.network, &found, &asked.origin);
        let exit = exit_of(&found.cells);
        Ok(Studied::Page(Box::new(page), exit))
    }
}
