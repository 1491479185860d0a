//! `loopwright frontier`: launch mass against something else.

use clap::builder::PossibleValue;
use clap::{Args, ValueEnum};

use crate::report;
use crate::study::frontier::{Measure, frontier};

use super::answered::{Asked, exit_of};
use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::progress::with_progress;
use super::session::Session;
use super::studied::{Studied, Studying};

/// Steps of a measure at most.
pub(super) const MOST_STEPS: u32 = 100_000;

const EXAMPLES: &str = "\
Examples:
  loopwright frontier designs/ridge-outpost.ron --against volume
  loopwright frontier designs/ridge-outpost.ron --against power --steps 20
  loopwright frontier designs/long-transit.ron --against confidence --format csv

A time limit is for all points together; Ctrl-C stops and shows those found.";

/// Show what less power, crew time, volume or mass per flight, or more confidence,
/// costs in mass
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct FrontierOf {
    #[command(flatten)]
    pub(super) input: Input,
    #[command(flatten)]
    pub(super) effort: Effort,
    /// What launch mass is set against
    #[arg(long, value_enum, value_name = "MEASURE")]
    pub(super) against: Measure,
    /// How finely a measure is walked that has no few values
    #[arg(long, value_name = "NUMBER", default_value_t = 60,
          value_parser = clap::value_parser!(u32).range(1..=i64::from(MOST_STEPS)))]
    pub(super) steps: u32,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
}

impl ValueEnum for Measure {
    fn value_variants<'a>() -> &'a [Self] {
        &Measure::ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        let name = match self {
            Measure::Power => "power",
            Measure::CrewTime => "crew-time",
            Measure::Volume => "volume",
            Measure::MassPerFlight => "mass-per-flight",
            Measure::Confidence => "confidence",
        };
        let place = Measure::ALL.iter().position(|one| one == self)?;
        let words = Measure::variants()[place].doc.trim();
        Some(PossibleValue::new(name).help(words.trim_end_matches('.')))
    }
}

impl Studying for FrontierOf {
    fn input(&self) -> &Input {
        &self.input
    }

    fn study(&self, session: &mut Session, asked: &Asked) -> Result<Studied, Failure> {
        let options = self.effort.options();
        let plan = match asked.planned(session, &options)? {
            Ok(plan) => plan,
            Err(unplanned) => return Ok(Studied::of(*unplanned)),
        };
        let found = with_progress("walking the frontier", || {
            frontier(&plan, self.against, self.steps, &options)
        });
        let found = found.map_err(Failure::of)?;
        let page = report::frontier(&plan, &found, &asked.origin);
        let certain = found.failed.is_empty() && found.points.iter().all(|point| point.proved);
        let exit = match certain {
            true => exit_of(&plan),
            false => Exit::FeasibleOnly,
        };
        Ok(Studied::Page(Box::new(page), exit))
    }
}
