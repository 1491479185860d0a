//! `loopwright sweep`: one or two numbers moved, every cell solved.

use clap::Args;

use crate::design::Design;
use crate::diagnostic::{Diagnostic, codes};
use crate::report;
use crate::study::axis::Axis;
use crate::study::cell::Cell;
use crate::study::sweep::sweep;

use super::answered::Asked;
use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::many::Many;
use super::session::Session;
use super::studied::{Studied, Studying};

const EXAMPLES: &str = "\
Examples:
  loopwright sweep designs/ridge-outpost.ron --over \"mission.phases.operations.crew = 2 .. 6\"
  loopwright sweep designs/classroom.ron --over \"mission.length = 30 .. 360 by 30 d\"
  loopwright sweep designs/ridge-outpost.ron \\
    --over \"mission.length = 100 .. 1500 by 100 d\" \\
    --over \"mission.phases.operations.crew = 1 .. 8\"

With two numbers the page shows which portfolio is lightest where. Values are lists
\"30, 60, 90 d\", ranges \"1 .. 1500 d\", \"0.7 .. 0.95 by 0.05\", \"1 .. 9 kg in 5\" or
\"10 .. 1000 kg log 9\", or several of them. The mission is cut or stretched to
mission.length: its last phase changes, later flights and nodes go.

On several machines: give each a share, then put them together.
  parallel loopwright sweep FILE --over VALUES --shard {}/40 --resume {}.cells ::: $(seq 40)
  loopwright sweep FILE --over VALUES --merge *.cells

Ctrl-C stops and shows the cells that are finished; --resume goes on later.";

/// Move one or two numbers of a design through values and solve every cell
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct SweepOf {
    #[command(flatten)]
    pub(super) input: Input,
    /// Which number, and its values: "ADDRESS = VALUES"; once or twice
    #[arg(long, value_name = "VALUES", required = true)]
    pub(super) over: Vec<String>,
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

impl Studying for SweepOf {
    fn input(&self) -> &Input {
        &self.input
    }

    fn study(&self, session: &mut Session, asked: &Asked) -> Result<Studied, Failure> {
        let axes = axes(session, &self.over, &asked.design)?;
        let options = self.effort.options();
        let question = format!("sweep {axes:?}");
        let found = self
            .many
            .run(&asked.design, &question, &options, |effort| {
                sweep(&asked.design, axes, effort)
            })?;
        if let Some((words, exit)) = self.many.share(&found.cells) {
            return Ok(Studied::Words(words, exit));
        }
        let page = report::sweep(&asked.network, &found, &asked.origin);
        let exit = exit_of(&found.cells);
        Ok(Studied::Page(Box::new(page), exit))
    }
}

/// Reads the numbers that move and their values; one or two.
pub(super) fn axes(
    session: &mut Session,
    texts: &[String],
    design: &Design,
) -> Result<Vec<Axis>, Failure> {
    let mut axes: Vec<Axis> = Vec::new();
    let mut complaints = Vec::new();
    for text in texts {
        let source = session.sources.add("--over", text.as_str());
        match Axis::read(source, text, design) {
            Ok(axis) => axes.push(axis),
            Err(complaint) => complaints.push(complaint),
        }
    }
    let repeated = axes.len() == 2 && axes[0].address == axes[1].address;
    if complaints.is_empty() && (axes.len() > 2 || repeated) {
        complaints.push(
            Diagnostic::error(
                codes::VALUES,
                "a study moves one number or two different ones",
            )
            .help("give --over once or twice"),
        );
    }
    match complaints.is_empty() {
        true => Ok(axes),
        false => Err(Failure::bad_input(complaints)),
    }
}

/// A study is done where every cell is certain.
pub(super) fn exit_of(cells: &[Cell]) -> Exit {
    if cells.iter().any(|cell| matches!(cell, Cell::Failed(_))) {
        return Exit::InternalFault;
    }
    match cells.iter().all(Cell::is_certain) {
        true => Exit::Done,
        false => Exit::FeasibleOnly,
    }
}
