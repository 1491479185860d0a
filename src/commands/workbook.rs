//! `loopwright workbook`: the plan as a workbook whose formulas follow its inputs.

use std::path::Path;

use clap::Args;

use crate::report::{self, Findings};
use crate::study::live::{self, LivePlan, Part, Reach};

use super::answered::{Asked, exit_of};
use super::arguments::{Effort, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::progress::with_progress;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright workbook designs/classroom.ron --output plan.xlsx
  loopwright workbook designs/ridge-outpost.ron --reach 0.05 --output plan.xlsx

Inputs are named cells. The hardware stays as solved; what is brought and the total
follow the inputs, as with: loopwright solve FILE --hold --set ADDRESS=VALUE.
Each input has a range in which the formulas were compared with such a solve; beyond
it, or where a limit is broken, the workbook says that it wants a new solve.";

/// Write the plan as a workbook whose formulas follow its inputs
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct WorkbookOf {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    effort: Effort,
    /// How far every input is followed, as a share of itself; with 0 nothing is
    /// compared, and every change asks for a new solve
    #[arg(long, value_name = "SHARE", default_value = "0.1", value_parser = share)]
    reach: f64,
    #[command(flatten)]
    pub(super) output: Output,
}

impl WorkbookOf {
    /// Reads, plans, follows every number back to the inputs, and writes.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        session.expect_file("a workbook is no text: name its file, as in --output plan.xlsx")?;
        let asked = Asked::read(session, &self.input)?;
        let options = self.effort.options();
        let plan = match asked.plan(session, &options)? {
            Ok(plan) => plan,
            Err(exit) => return Ok(exit),
        };
        let reach = Reach {
            share: self.reach,
            options,
        };
        let live = with_progress("following the inputs", || {
            live::live(&asked.design, &plan, &reach)
        });
        let live = live.map_err(Failure::internal)?;
        let findings = Findings {
            plan: &plan,
            origin: &asked.origin,
            timings: None,
        };
        let bytes = report::render_workbook(&findings, &live).map_err(Failure::internal)?;
        session.write_bytes(&bytes, &self.written(&live))?;
        Ok(exit_of(&plan))
    }
}

impl WorkbookOf {
    /// What was written, in a sentence.
    fn written(&self, live: &LivePlan) -> String {
        let (mut followed, mut fixed, mut rest) = (0, 0, 0);
        for (input, range) in live.inputs.iter().zip(&live.ranges) {
            match (input.part, range.from < range.to) {
                (Part::Rest, _) => rest += 1,
                (_, true) => followed += 1,
                (_, false) => fixed += 1,
            }
        }
        let file = self.output.output.as_deref().unwrap_or(Path::new("-"));
        let kg = report::fixed(live.book.number(live.minimised), 2);
        let rest = match rest {
            0 => String::new(),
            rest => format!(", {rest} take the rest of their shares"),
        };
        format!(
            "{}: {kg} kg. {}: {followed} followed, {fixed} want a new solve{rest}.\n",
            file.display(),
            report::counted(live.inputs.len(), "input"),
        )
    }
}

fn share(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(share) if (0.0..1.0).contains(&share) => Ok(share),
        _ => Err("a share is a number from 0 to below 1, such as 0.1".to_owned()),
    }
}
