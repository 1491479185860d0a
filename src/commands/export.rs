//! `loopwright export`: the whole program for other solvers.

use clap::{Args, ValueEnum};

use crate::network;
use crate::program::{self, Form};

use super::arguments::{Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright export designs/classroom.ron --to lp
  loopwright export designs/ridge-outpost.ron --to mps --output ridge.mps";

/// Write the whole mixed-integer program of a design for another solver
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Export {
    #[command(flatten)]
    input: Input,
    /// The file format
    #[arg(long, value_name = "FORMAT")]
    to: Target,
    #[command(flatten)]
    pub(super) output: Output,
}

/// A file format of mixed-integer programs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Target {
    /// Free MPS, which most solvers read.
    Mps,
    /// LP, which people can read.
    Lp,
}

impl Export {
    /// Reads, checks, formulates and writes.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        session.expect_writable()?;
        let design = session.read(&self.input)?;
        let checked = network::check(&design).map_err(Failure::bad_input)?;
        session.warn(&checked.warnings);
        let program = program::formulate(&checked.network, Form::PerFlight);
        let title = &checked.network.title;
        session.write(&match self.to {
            Target::Mps => program::to_mps(&program, title),
            Target::Lp => program::to_lp(&program, title),
        })?;
        Ok(Exit::Done)
    }
}
