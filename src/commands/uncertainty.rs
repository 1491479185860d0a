//! `loopwright uncertainty`: numbers with spreads, every draw solved.

use clap::Args;

use crate::report;
use crate::study::cell::Cell;
use crate::study::uncertainty::draws::MOST_DRAWS;
use crate::study::uncertainty::{Draw, uncertain, uncertainty};

use super::answered::Asked;
use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::many::Many;
use super::session::Session;
use super::studied::{Studied, Studying};
use super::sweep::exit_of;

const EXAMPLES: &str = "\
Examples:
  loopwright uncertainty designs/ridge-outpost.ron
  loopwright uncertainty designs/ridge-outpost.ron --draws 500 --seed 7
  loopwright uncertainty designs/classroom.ron --draws 200 \\
    --spread \"nodes.filter.unit.mass = Triangular(80 kg, 130 kg)\" \\
    --spread \"nodes.filter.turns.condensate.potable water = Uniform(0.9, 0.99)\"

Spreads are those that the design states, as Figure(value: .., spread: ..), and those of
--spread: Uniform(low, high), Triangular(low, high) with the number as its mode,
Normal(standard deviation) about it, Lognormal(95th over 50th percentile) with it as
median. A yield moves against the largest other yield of its feed.

On several machines: give each a share, then put them together.
  parallel loopwright uncertainty FILE --shard {}/40 --resume {}.cells ::: $(seq 40)
  loopwright uncertainty FILE --merge *.cells

Ctrl-C stops and shows the draws that are finished; --resume goes on later.";

/// Draw uncertain numbers many times and solve every draw
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct UncertaintyOf {
    #[command(flatten)]
    pub(super) input: Input,
    /// How many draws; powers of two spread most evenly
    #[arg(
        long,
        value_name = "NUMBER",
        default_value = "2000",
        value_parser = clap::value_parser!(u32).range(1..=MOST_DRAWS as i64)
    )]
    pub(super) draws: u32,
    /// What the draws start from: the same seed draws the same
    #[arg(long, value_name = "NUMBER", default_value = "1")]
    pub(super) seed: u32,
    /// One more number with a spread: "ADDRESS = Triangular(110 kg, 160 kg)"
    #[arg(long, value_name = "SPREAD")]
    pub(super) spread: Vec<String>,
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

impl Studying for UncertaintyOf {
    fn input(&self) -> &Input {
        &self.input
    }

    fn study(&self, session: &mut Session, asked: &Asked) -> Result<Studied, Failure> {
        let texts = self.spread.iter().map(String::as_str);
        let texts: Vec<_> = texts
            .map(|text| session.sources.add("--spread", text))
            .collect();
        let numbers =
            uncertain(&asked.design, &session.sources, &texts).map_err(Failure::bad_input)?;
        let options = self.effort.options();
        let question = format!(
            "uncertainty {numbers:?} draws {} seed {}",
            self.draws, self.seed
        );
        let found = self
            .many
            .run(&asked.design, &question, &options, |effort| {
                uncertainty(
                    &asked.design,
                    numbers,
                    self.draws as usize,
                    self.seed,
                    effort,
                )
            })?;
        if let Some((words, exit)) = self.many.share(&least_certain(&found.draws)) {
            return Ok(Studied::Words(words, exit));
        }
        let page = report::uncertainty(&asked.network, &found, &asked.origin);
        let mut cells = least_certain(&found.draws);
        cells.push(found.today);
        let exit = match exit_of(&cells) {
            Exit::Done if found.stopped => Exit::FeasibleOnly,
            exit => exit,
        };
        Ok(Studied::Page(Box::new(page), exit))
    }
}

/// Of every draw the cell that is least certain.
fn least_certain(draws: &[Draw]) -> Vec<Cell> {
    let cells = draws.iter().map(|draw| {
        let failed = |cell: &Cell| matches!(cell, Cell::Failed(_));
        match failed(&draw.held) || draw.lightest.is_certain() {
            true => &draw.held,
            false => &draw.lightest,
        }
    });
    cells.cloned().collect()
}
