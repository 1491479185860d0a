//! `loopwright sensitivity`: every number moved by itself.

use clap::Args;

use crate::design::Design;
use crate::diagnostic::{Diagnostic, codes, nearest};
use crate::report;
use crate::study::cell::Cell;
use crate::study::sensitivity::{Wanted, sensitivity};

use super::answered::Asked;
use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::many::Many;
use super::session::Session;
use super::studied::{Studied, Studying};
use super::sweep::exit_of;

/// How far a number moves where nothing else is asked for.
pub(super) const BY: f64 = 0.1;

const EXAMPLES: &str = "\
Examples:
  loopwright sensitivity designs/ridge-outpost.ron
  loopwright sensitivity designs/ridge-outpost.ron --only \"nodes.polisher\" --by \"20 %\"
  loopwright sensitivity designs/classroom.ron --thresholds 0 --format csv

A number with a spread goes to its 5th and 95th percentile, a whole number by one, any
other by --by. A yield moves against the largest other yield of its feed. Switches of
the portfolio are searched for within 50 % of a number, by full solves: steps outwards,
then halvings. Nearer ones may hide within a step; loopwright break-even misses none.";

/// Move every number of a design by itself and rank what that does to the mass
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct SensitivityOf {
    #[command(flatten)]
    pub(super) input: Input,
    /// How far a number without a spread moves: "10 %"
    #[arg(long, value_name = "SHARE", default_value = "10 %", value_parser = share)]
    pub(super) by: f64,
    /// Only numbers whose addresses begin so
    #[arg(long, value_name = "PREFIX")]
    pub(super) only: Option<String>,
    /// Of how many numbers, from the top, switches are searched for
    #[arg(long, value_name = "NUMBER", default_value = "10")]
    pub(super) thresholds: u32,
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

impl Studying for SensitivityOf {
    fn input(&self) -> &Input {
        &self.input
    }

    fn study(&self, _: &mut Session, asked: &Asked) -> Result<Studied, Failure> {
        if let Some(only) = &self.only {
            self.expect_numbers(&asked.design, only)?;
        }
        let options = self.effort.options();
        let wanted = Wanted {
            by: self.by,
            only: self.only.clone(),
            thresholds: self.thresholds as usize,
        };
        let question = format!("sensitivity by {} only {:?}", wanted.by, wanted.only);
        let found = self
            .many
            .run(&asked.design, &question, &options, |effort| {
                sensitivity(&asked.design, &wanted, effort)
            })?;
        let cells: Vec<Cell> = found.cells().into_iter().cloned().collect();
        if let Some((words, exit)) = self.many.share(&found.ends()) {
            return Ok(Studied::Words(words, exit));
        }
        let page = report::sensitivity(&asked.network, &found, &asked.origin);
        let exit = match (exit_of(&cells), &found.today) {
            (Exit::InternalFault, _) => Exit::InternalFault,
            (_, Cell::NoBalance) => Exit::NoBalance,
            (_, Cell::Unknown { .. } | Cell::NotReached) => Exit::NothingFound,
            (Exit::Done, _) if !found.is_complete() => Exit::FeasibleOnly,
            (exit, _) => exit,
        };
        Ok(Studied::Page(Box::new(page), exit))
    }
}

impl SensitivityOf {
    /// Some number of the design has an address that begins so.
    fn expect_numbers(&self, design: &Design, only: &str) -> Result<(), Failure> {
        let addresses = || design.numbers.iter().map(|one| one.address.as_str());
        if addresses().any(|address| address.starts_with(only)) {
            return Ok(());
        }
        let words = format!("no number's address begins with {only}");
        let help = match nearest(only, addresses()) {
            Some(near) => format!("did you mean {near}?"),
            None => "give the beginning of an address, such as nodes.".to_owned(),
        };
        let complaint = Diagnostic::error(codes::UNKNOWN_ADDRESS, words).help(help);
        Err(Failure::bad_input(vec![complaint]))
    }
}

/// Reads "10 %".
pub(super) fn share(text: &str) -> Result<f64, String> {
    let number = text.trim().strip_suffix('%').map(str::trim);
    match number.and_then(|number| number.parse::<f64>().ok()) {
        Some(percent) if percent > 0.0 && percent <= 100.0 => Ok(percent / 100.0),
        _ => Err("a share is such as \"10 %\", at most 100 %".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn shares_are_in_per_cent() {
        assert_eq!(super::share("10 %"), Ok(0.1));
        assert_eq!(super::share("2.5%"), Ok(0.025));
        for bad in ["10", "0 %", "-1 %", "x %", "101 %", "NaN %"] {
            assert!(super::share(bad).is_err(), "{bad}");
        }
    }
}
