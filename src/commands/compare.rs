//! `loopwright compare`: variants side by side.

use clap::Args;

use crate::report;
use crate::study::cell::Cell;
use crate::study::compare::compare;

use super::answered::Asked;
use super::arguments::{Effort, Format, Input, Output};
use super::failure::Failure;
use super::progress::with_progress;
use super::session::Session;
use super::studied::{Studied, Studying};
use super::sweep::exit_of;

const EXAMPLES: &str = "\
Examples:
  loopwright compare designs/ridge-outpost.ron
  loopwright compare designs/ridge-outpost.ron --variants \"resupply only\" --format csv

--variants may be given several times; left out, all variants are compared.";

/// Solve the design as it stands and its variants, side by side
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct CompareOf {
    #[command(flatten)]
    pub(super) input: Input,
    /// A variant to compare; left out, all of them
    #[arg(long, value_name = "NAME")]
    pub(super) variants: Vec<String>,
    #[command(flatten)]
    pub(super) effort: Effort,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
}

impl Studying for CompareOf {
    fn input(&self) -> &Input {
        &self.input
    }

    fn study(&self, _: &mut Session, asked: &Asked) -> Result<Studied, Failure> {
        let options = self.effort.options();
        let found = with_progress("solving variants", || {
            compare(&asked.design, &self.variants, &options)
        });
        let found = found.map_err(Failure::bad_input)?;
        let page = report::compare(&asked.network, &found, &asked.origin);
        let cells: Vec<Cell> = found.into_iter().map(|one| one.cell).collect();
        let exit = exit_of(&cells);
        Ok(Studied::Page(Box::new(page), exit))
    }
}
