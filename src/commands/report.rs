//! `loopwright report`: everything about a design on one page.

use clap::{Args, ValueEnum};

use crate::audit::Plan;
use crate::plan_checked;
use crate::report::{self, Findings, Inputs, Number, Page, Study, Whole};
use crate::solve::Options;
use crate::study::water_round::water_round;
use crate::timeline::{Autonomy, Outcome, Timeline, autonomy, outcome};

use super::answered::{Asked, exit_of, plan_of};
use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::many::Many;
use super::progress::{told, with_progress};
use super::session::Session;
use super::studied::Studied;
use super::study::Asking;

const EXAMPLES: &str = "\
Examples:
  loopwright report designs/ridge-outpost.ron -o report.html
  loopwright report designs/ridge-outpost.ron --without studies,autonomy -o report.html
  loopwright report designs/classroom.ron --format markdown

The page is one file: it opens and prints without a network. Studies are those that the
design names; --without studies leaves them out where they take long. With --watch the file is
written anew whenever the design is saved, until Ctrl-C.

Ctrl-C stops what runs: what is finished stands in the report, and it says what is not.";

/// Write everything about a design on one page: plan, manifest, timeline, autonomy,
/// studies, sources, inputs
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct ReportOf {
    #[command(flatten)]
    pub(super) input: Input,
    #[command(flatten)]
    effort: Effort,
    /// Only these parts beside the plan, with commas between them
    #[arg(
        long,
        value_enum,
        value_name = "PARTS",
        value_delimiter = ',',
        conflicts_with = "without"
    )]
    only: Option<Vec<Part>>,
    /// Leave these parts out
    #[arg(long, value_enum, value_name = "PARTS", value_delimiter = ',')]
    without: Vec<Part>,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "html")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
    /// Write it anew whenever the design file is saved
    #[arg(long)]
    pub(super) watch: bool,
}

/// A part of the report beside the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Part {
    /// What each flight carries.
    Manifest,
    /// Levels and events over the calendar, and the bad days that the design names.
    Timeline,
    /// What the crew can do without, and for how long.
    Autonomy,
    /// Pipes, coils and containers, if the design states them.
    WaterRound,
    /// The studies that the design names.
    Studies,
    /// The design as read, and every number as solved.
    Inputs,
}

impl ReportOf {
    /// Reads, plans, studies and writes.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        let asked = Asked::read(session, &self.input)?;
        let options = self.effort.options();
        let hints = options.clone().into();
        let planned = with_progress("solving", || {
            plan_checked(&asked.design, &asked.network, &hints)
        });
        let planned = planned.map_err(Failure::of)?;
        let plan = match plan_of(planned, &asked.design, &asked.origin, session) {
            Ok(plan) => plan,
            Err(unplanned) => {
                asked.show(session, unplanned.0)?;
                return Ok(unplanned.1);
            }
        };
        let (page, exit) = self.page(session, &asked, &plan, &options)?;
        asked.show(session, page)?;
        Ok(exit)
    }

    fn has(&self, part: Part) -> bool {
        match &self.only {
            Some(only) => only.contains(&part),
            None => !self.without.contains(&part),
        }
    }

    fn page(
        &self,
        session: &mut Session,
        asked: &Asked,
        plan: &Plan,
        options: &Options,
    ) -> Result<(Page, Exit), Failure> {
        let mut exit = exit_of(plan);
        let timeline = self.has(Part::Timeline).then(|| Timeline::of(plan));
        let bad_days = match timeline {
            Some(_) => bad_days(session, plan, options)?,
            None => Vec::new(),
        };
        let autonomy = match self.has(Part::Autonomy) {
            true => Some(out_of_action(plan, options)?),
            false => None,
        };
        if autonomy
            .as_ref()
            .is_some_and(|found| !found.left_out.is_empty())
        {
            exit = exit.max(Exit::FeasibleOnly);
        }
        let round = match self.has(Part::WaterRound) {
            true => water_round(plan),
            false => None,
        };
        let mut studies = Vec::new();
        if self.has(Part::Studies) {
            for (name, study) in &asked.design.written.studies {
                told(&format!("study \"{name}\""));
                let asking = Asking {
                    input: self.input.clone(),
                    many: Many::default(),
                    effort: self.effort.clone(),
                    format: self.format,
                    output: self.output.clone(),
                };
                let found = asking.for_study(study)?.study(session, asked)?;
                // Without files of cells there are no shares.
                if let Studied::Page(page, ended) = found {
                    exit = exit.max(ended);
                    studies.push(Study {
                        name: name.text.clone(),
                        page: *page,
                    });
                }
            }
        }
        let findings = Findings {
            plan,
            origin: &asked.origin,
            timings: None,
        };
        let page = report::whole(&Whole {
            findings,
            manifest: self.has(Part::Manifest),
            timeline: timeline.as_ref(),
            bad_days: &bad_days,
            autonomy: autonomy.as_ref(),
            round: round.as_ref(),
            studies,
            inputs: self.has(Part::Inputs).then(|| inputs(session, asked)),
        });
        Ok((page.map_err(Failure::internal)?, exit))
    }
}

/// What each of the design's own bad days does; those that cannot be in this mission
/// are told and left out.
fn bad_days(session: &Session, plan: &Plan, options: &Options) -> Result<Vec<Outcome>, Failure> {
    let mut found = Vec::new();
    for days in &plan.network().bad_days {
        session.warn(&days.cannot_be);
        if days.cannot_be.is_empty() {
            let of = with_progress("reacting", || outcome(plan, days, options.backend));
            found.push(of.map_err(Failure::internal)?);
        }
    }
    Ok(found)
}

fn out_of_action(plan: &Plan, options: &Options) -> Result<Autonomy, Failure> {
    let found = with_progress("taking one after the other out", || {
        autonomy(plan, 0.0, options)
    });
    found.map_err(Failure::internal)
}

/// The texts that were read, and the numbers as they were solved.
fn inputs(session: &Session, asked: &Asked) -> Inputs {
    let numbers = asked.design.numbers.iter().map(|number| Number {
        address: number.address.clone(),
        dimension: number.dimension,
        value: number.value,
    });
    Inputs {
        numbers: numbers.collect(),
        texts: session.files_read(),
    }
}
