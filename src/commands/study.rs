//! `loopwright study`: a question that the design itself holds.

use std::ops::RangeInclusive;

use clap::Args;

use crate::design::Study;
use crate::diagnostic::{Diagnostic, codes, nearest};
use crate::study::uncertainty::draws::MOST_DRAWS;
use crate::written::{Named, Placed};

use super::alternatives::{AlternativesOf, margin};
use super::answered::Asked;
use super::arguments::{Effort, Format, Input, Output};
use super::break_even::BreakEvenOf;
use super::cadence::CadenceOf;
use super::compare::CompareOf;
use super::exit::Exit;
use super::failure::Failure;
use super::frontier::{FrontierOf, MOST_STEPS};
use super::many::Many;
use super::sensitivity::{BY, SensitivityOf, share};
use super::session::Session;
use super::studied::{self, Studying};
use super::sweep::SweepOf;
use super::uncertainty::UncertaintyOf;

const EXAMPLES: &str = "\
Examples:
  loopwright study designs/classroom.ron
  loopwright study designs/classroom.ron \"when to bring a filter\"

A design names its studies as
  studies: {\"when to bring a filter\": BreakEven(over: \"mission.length = 10 .. 100 d\")}
Without a name, those of the design are listed.";

/// Run a study that the design names
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct StudyOf {
    #[command(flatten)]
    input: Input,
    /// The name of the study; left out, the studies of the design are listed
    #[arg(value_name = "NAME")]
    name: Option<String>,
    #[command(flatten)]
    many: Many,
    #[command(flatten)]
    effort: Effort,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
}

impl StudyOf {
    /// Finds the study and runs it.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        let asked = Asked::read(session, &self.input)?;
        let studies = &asked.design.written.studies;
        let Some(name) = &self.name else {
            let names = studies.keys().map(|name| format!("{name}\n"));
            session.write(&names.collect::<String>())?;
            return Ok(Exit::Done);
        };
        let Some(study) = studies.get(name) else {
            let names = || studies.keys().map(Named::as_str);
            let help = match nearest(name, names()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None if studies.is_empty() => "the design names no studies".to_owned(),
                None => format!("studies: {}", names().collect::<Vec<_>>().join(", ")),
            };
            let words = format!("the design has no study \"{name}\"");
            return Err(Failure::bad_input(vec![
                Diagnostic::error(codes::UNKNOWN_NAME, words).help(help),
            ]));
        };
        if matches!(study, Study::Alternatives { .. } | Study::Frontier { .. }) {
            self.expect_no_cells(name)?;
        }
        let asking = Asking {
            input: self.input.clone(),
            many: self.many.clone(),
            effort: self.effort.clone(),
            format: self.format,
            output: self.output.clone(),
        };
        let study = asking.for_study(study)?;
        studied::show(study.as_ref(), session, &asked)
    }

    /// Files of cells are given only to a study that has cells.
    fn expect_no_cells(&self, name: &str) -> Result<(), Failure> {
        if !self.many.is_kept() {
            return Ok(());
        }
        let words = format!("the study \"{name}\" has no cells to keep, share or put together");
        Err(Failure::bad_input(vec![
            Diagnostic::error(codes::UNKNOWN_NAME, words)
                .help("leave out --resume, --shard and --merge"),
        ]))
    }
}

/// Reads a text of the design as the command line would.
fn worded<T>(text: &Named, read: fn(&str) -> Result<T, String>) -> Result<T, Failure> {
    read(text.as_str()).map_err(|words| {
        Failure::bad_input(vec![
            Diagnostic::error(codes::VALUES, words).at(text.place, ""),
        ])
    })
}

/// A number of the design that a study takes.
fn counted(number: &Placed<u32>, legal: RangeInclusive<u32>) -> Result<u32, Failure> {
    if legal.contains(&number.value) {
        return Ok(number.value);
    }
    let words = match *legal.end() {
        u32::MAX => format!("at least {} is wanted", legal.start()),
        most => format!("{} to {most} are possible", legal.start()),
    };
    let words = format!("{words} here, found {}", number.value);
    Err(Failure::bad_input(vec![
        Diagnostic::error(codes::VALUES, words).at(number.place, ""),
    ]))
}

/// What a study is run with beside what the design says of it.
pub(super) struct Asking {
    /// Which design.
    pub input: Input,
    /// How its plans are found.
    pub many: Many,
    /// How hard to try.
    pub effort: Effort,
    /// What is written.
    pub format: Format,
    /// Where.
    pub output: Output,
}

impl Asking {
    /// A study of the design as the command of its name.
    pub fn for_study(self, study: &Study) -> Result<Box<dyn Studying>, Failure> {
        let text = |name: &Named| name.text.clone();
        let Asking {
            input,
            many,
            effort,
            format,
            output,
        } = self;
        Ok(match study {
            Study::Sweep { over } => Box::new(SweepOf {
                input,
                over: over.iter().map(text).collect(),
                many,
                effort,
                format,
                output,
            }),
            Study::BreakEven { over } => Box::new(BreakEvenOf {
                input,
                over: text(over),
                many,
                effort,
                format,
                output,
            }),
            Study::Cadence { every } => Box::new(CadenceOf {
                input,
                every: text(every),
                many,
                effort,
                format,
                output,
            }),
            Study::Compare { variants } => Box::new(CompareOf {
                input,
                variants: variants.iter().map(text).collect(),
                effort,
                format,
                output,
            }),
            Study::Alternatives { number, within } => Box::new(AlternativesOf {
                input,
                effort,
                number: number
                    .as_ref()
                    .map(|number| counted(number, 1..=u32::MAX))
                    .transpose()?,
                within: within
                    .as_ref()
                    .map(|text| worded(text, margin))
                    .transpose()?,
                format,
                output,
            }),
            Study::Frontier { against, steps } => Box::new(FrontierOf {
                input,
                effort,
                against: *against,
                steps: counted(steps, 1..=MOST_STEPS)?,
                format,
                output,
            }),
            Study::Sensitivity {
                by,
                only,
                thresholds,
            } => Box::new(SensitivityOf {
                input,
                by: by.as_ref().map_or(Ok(BY), |text| worded(text, share))?,
                only: only.as_ref().map(text),
                thresholds: *thresholds,
                many,
                effort,
                format,
                output,
            }),
            Study::Uncertainty { draws, seed } => Box::new(UncertaintyOf {
                input,
                draws: counted(draws, 1..=MOST_DRAWS as u32)?,
                seed: *seed,
                spread: Vec::new(),
                many,
                effort,
                format,
                output,
            }),
        })
    }
}
