//! `loopwright alternatives`: the lightest portfolios of hardware counts.

use clap::Args;

use crate::quantity::{Dimension, parse};
use crate::report;
use crate::study::alternatives::{Ended, Margin, Wanted, alternatives};

use super::answered::{Asked, exit_of};
use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::progress::with_progress;
use super::session::Session;
use super::studied::{Studied, Studying};

/// As many as are listed where nothing else is asked for.
const TEN: usize = 10;

const EXAMPLES: &str = "\
Examples:
  loopwright alternatives designs/ridge-outpost.ron
  loopwright alternatives designs/ridge-outpost.ron --number 3
  loopwright alternatives designs/ridge-outpost.ron --within \"2 %\"
  loopwright alternatives designs/classroom.ron --within \"50 kg\" --format csv

A time limit is for all of them together; Ctrl-C stops and shows those found.";

/// List the lightest portfolios that differ in hardware counts, none left out
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct AlternativesOf {
    #[command(flatten)]
    pub(super) input: Input,
    #[command(flatten)]
    pub(super) effort: Effort,
    /// How many at most, the lightest included; ten, unless a margin is given
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..))]
    pub(super) number: Option<u32>,
    /// Only those that are heavier than the lightest by no more than this, such as
    /// "2 %" or "50 kg"
    #[arg(long, value_name = "MARGIN", value_parser = margin)]
    pub(super) within: Option<Margin>,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
}

impl Studying for AlternativesOf {
    fn input(&self) -> &Input {
        &self.input
    }

    fn study(&self, session: &mut Session, asked: &Asked) -> Result<Studied, Failure> {
        let options = self.effort.options();
        let plan = match asked.planned(session, &options)? {
            Ok(plan) => plan,
            Err(unplanned) => return Ok(Studied::of(*unplanned)),
        };
        let wanted = Wanted {
            most: match (self.number, self.within) {
                (Some(number), _) => Some(number as usize),
                (None, None) => Some(TEN),
                (None, Some(_)) => None,
            },
            within: self.within,
        };
        let found = with_progress("looking for alternatives", || {
            alternatives(&plan, wanted, &options)
        });
        let found = found.map_err(Failure::of)?;
        let page = report::alternatives(&plan, &found, &asked.origin);
        let certain = found.ended != Ended::Stopped && found.found.iter().all(|one| one.proved);
        let exit = match certain {
            true => exit_of(&plan),
            false => Exit::FeasibleOnly,
        };
        Ok(Studied::Page(Box::new(page), exit))
    }
}

/// A share of the lightest, or kilograms.
pub(super) fn margin(text: &str) -> Result<Margin, String> {
    let wanted = "a margin is a share of the lightest or a mass, such as \"2 %\" or \"50 kg\"";
    if let Some(number) = text.trim().strip_suffix('%') {
        return match number.trim().parse::<f64>() {
            Ok(percent) if percent >= 0.0 && percent.is_finite() => {
                Ok(Margin::Share(percent / 100.0))
            }
            _ => Err(wanted.to_owned()),
        };
    }
    match parse(text, Dimension::Mass) {
        Ok(kg) => Ok(Margin::Kilograms(kg)),
        Err(error) => Err(format!("{error}; {wanted}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn margins_are_shares_or_masses() {
        assert_eq!(margin("2 %"), Ok(Margin::Share(0.02)));
        assert_eq!(margin("0.5%"), Ok(Margin::Share(0.005)));
        assert_eq!(margin("0.1 t"), Ok(Margin::Kilograms(100.0)));
        for bad in ["2", "-1 %", "%", "inf %", "3 kW", "-5 kg"] {
            assert!(margin(bad).is_err(), "{bad}");
        }
    }
}
