//! `loopwright cadence`: how often flights should come.

use clap::Args;

use crate::diagnostic::{Diagnostic, codes};
use crate::report;
use crate::study::cadence::{EVERY, cadence};

use super::answered::Asked;
use super::arguments::{Effort, Format, Input, Output};
use super::failure::Failure;
use super::many::Many;
use super::session::Session;
use super::studied::{Studied, Studying};
use super::sweep::{axes, exit_of};

const EXAMPLES: &str = "\
Examples:
  loopwright cadence designs/ridge-outpost.ron
  loopwright cadence designs/ridge-outpost.ron --every \"45, 90, 180, 365 d\"

The design states its flights as a resupply: Resupply(every: ...).";

/// Compare cadences of resupply: flights, payload of each, tanks, reserves and total
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct CadenceOf {
    #[command(flatten)]
    pub(super) input: Input,
    /// Days between arrivals: a list or ranges
    #[arg(long, value_name = "VALUES", default_value = "60 .. 360 by 30 d")]
    pub(super) every: String,
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

impl Studying for CadenceOf {
    fn input(&self) -> &Input {
        &self.input
    }

    fn study(&self, session: &mut Session, asked: &Asked) -> Result<Studied, Failure> {
        if asked.design.written.mission.resupply.is_none() {
            return Err(Failure::bad_input(vec![
                Diagnostic::error(codes::VALUES, "the design has no resupply whose cadence could move")
                    .help("state resupply: Resupply(every: \"90 d\") in the mission, in place of single flights"),
            ]));
        }
        let over = format!("{EVERY} = {}", self.every);
        let mut axes = axes(session, std::slice::from_ref(&over), &asked.design)?;
        let Some(axis) = axes.pop() else {
            return Err(Failure::internal("no cadence"));
        };
        let options = self.effort.options();
        let question = format!("cadence {axis:?}");
        let found = self
            .many
            .run(&asked.design, &question, &options, |effort| {
                cadence(&asked.design, axis, effort)
            })?;
        let cells: Vec<_> = found.cells.iter().map(|one| one.cell.clone()).collect();
        if let Some((words, exit)) = self.many.share(&cells) {
            return Ok(Studied::Words(words, exit));
        }
        let page = report::cadence(&asked.network, &found, &asked.origin);
        let exit = exit_of(&cells);
        Ok(Studied::Page(Box::new(page), exit))
    }
}
