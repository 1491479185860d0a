//! `loopwright draw`: a picture of the loop or of its flows.

use std::path::Path;

use clap::{Args, ValueEnum};

use crate::audit::Plan;
use crate::diagnostic::{Diagnostic, codes, nearest};
use crate::network::Network;
use crate::report::drawing::render_svg;
use crate::report::{self, Figure, KeptLayouts};

use super::answered::{Asked, exit_of};
use super::arguments::{Effort, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::output;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright draw designs/ridge-outpost.ron -o loop.svg
  loopwright draw designs/ridge-outpost.ron --without-plan -o options.svg
  loopwright draw designs/ridge-outpost.ron --picture flows -o flows.svg
  loopwright draw designs/ridge-outpost.ron --picture flows --phase shakedown -o flows.svg
  loopwright draw designs/ridge-outpost.ron -o loop.dot

PNG is there where the tool was built with \"cargo build --features png\".";

/// Draw the loop, or its flows as wide as they are much
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Draw {
    #[command(flatten)]
    input: Input,
    /// What to draw
    #[arg(long, value_name = "PICTURE", default_value = "loop")]
    picture: Picture,
    /// Draw the flows of this phase; else the loop shows every phase, and the flows are
    /// those of the longest
    #[arg(long, value_name = "NAME")]
    phase: Option<String>,
    /// Draw what may be connected, without solving
    #[arg(long, conflicts_with = "phase")]
    without_plan: bool,
    /// What to write; else the ending of the output file says so, or it is SVG
    #[arg(long, value_name = "FORMAT")]
    to: Option<Target>,
    #[command(flatten)]
    effort: Effort,
    #[command(flatten)]
    pub(super) output: Output,
}

/// What to draw.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Picture {
    /// Nodes and streams in layers, with units and flows
    Loop,
    /// Bands as wide as what flows
    Flows,
}

/// How a picture is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Target {
    /// SVG, for browsers and documents
    Svg,
    /// PNG, twice as fine as a screen shows it
    Png,
    /// The graph in the DOT language, for other layout programs
    Dot,
}

impl Draw {
    /// Reads, plans, draws and writes.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        let target = self.target()?;
        if let Some(path) = &self.output.output {
            output::expect_directory(path).map_err(|error| Failure::unwritable(path, &error))?;
        }
        let asked = Asked::read(session, &self.input)?;
        let phase = self.phase(&asked.network)?;
        if self.without_plan {
            self.write(target, &asked.network, None, None)?;
            return Ok(Exit::Done);
        }
        let plan = match asked.plan(session, &self.effort.options())? {
            Ok(plan) => plan,
            Err(exit) => return Ok(exit),
        };
        self.write(target, plan.network(), Some(&plan), phase)?;
        Ok(exit_of(&plan))
    }

    fn write(
        &self,
        target: Target,
        network: &Network,
        plan: Option<&Plan>,
        phase: Option<usize>,
    ) -> Result<(), Failure> {
        let figure = || match (self.picture, plan) {
            (Picture::Flows, Some(plan)) => {
                report::flow_figure(plan, phase.unwrap_or_else(|| longest(network)))
            }
            _ => report::loop_figure(network, plan, phase, &KeptLayouts::default()),
        };
        let bytes = match target {
            Target::Dot => report::render_dot(network, plan, phase).into_bytes(),
            Target::Svg => svg(&figure()).into_bytes(),
            Target::Png => png(&figure())?,
        };
        match &self.output.output {
            Some(path) => {
                output::write_bytes(path, &bytes).map_err(|error| Failure::unwritable(path, &error))
            }
            None => output::print_bytes(&bytes)
                .map_err(|error| Failure::unwritable(Path::new("standard output"), &error)),
        }
    }

    /// What to write, or why that cannot be.
    fn target(&self) -> Result<Target, Failure> {
        let ending = self.output.output.as_deref().and_then(Path::extension);
        let target = match (self.to, ending) {
            (Some(target), _) => target,
            (None, None) => Target::Svg,
            (None, Some(ending)) => {
                let known = ending.to_str().map(str::to_lowercase);
                let known = known.and_then(|ending| Target::from_str(&ending, true).ok());
                known.ok_or_else(|| {
                    let words = format!("no picture is written as .{}", ending.display());
                    not_written(words, "end the file in .svg, .png or .dot, or say --to svg")
                })?
            }
        };
        if self.picture == Picture::Flows && self.without_plan {
            let words = "flows are those of a plan: without one there are none to draw";
            return Err(not_written(
                words.to_owned(),
                "leave out --without-plan, or draw the loop",
            ));
        }
        if (self.picture, target) == (Picture::Flows, Target::Dot) {
            let words = "DOT holds the graph of nodes and streams, not the flow diagram";
            return Err(not_written(
                words.to_owned(),
                "leave out --picture flows: the streams of the graph carry their kg/d",
            ));
        }
        #[cfg(not(feature = "png"))]
        if target == Target::Png {
            return Err(no_png());
        }
        Ok(target)
    }

    /// The phase named, by index.
    fn phase(&self, network: &Network) -> Result<Option<usize>, Failure> {
        let Some(name) = &self.phase else {
            return Ok(None);
        };
        let phases = &network.calendar.phases;
        let found = phases.iter().position(|phase| phase.name == *name);
        found.map(Some).ok_or_else(|| {
            let names = || phases.iter().map(|phase| phase.name.as_str());
            let help = match nearest(name, names()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => format!("the phases are: {}", names().collect::<Vec<_>>().join(", ")),
            };
            let words = format!("the design has no phase \"{name}\"");
            Failure::bad_input(vec![
                Diagnostic::error(codes::UNKNOWN_NAME, words).help(help),
            ])
        })
    }
}

/// The longest phase, the first among equals.
fn longest(network: &Network) -> usize {
    let phases = &network.calendar.phases;
    (0..phases.len()).fold(0, |longest, phase| {
        match phases[phase].days > phases[longest].days {
            true => phase,
            false => longest,
        }
    })
}

fn svg(figure: &Figure) -> String {
    render_svg(&figure.drawing, &figure.caption, &figure.description)
}

#[cfg(feature = "png")]
fn png(figure: &Figure) -> Result<Vec<u8>, Failure> {
    report::drawing::render_png(&svg(figure)).map_err(|why| {
        not_written(
            format!("no PNG can be made: {why}"),
            "write SVG: a browser shows and prints it",
        )
    })
}

#[cfg(not(feature = "png"))]
fn png(_: &Figure) -> Result<Vec<u8>, Failure> {
    Err(no_png())
}

#[cfg(not(feature = "png"))]
fn no_png() -> Failure {
    not_written(
        "this build of the tool does not write PNG".to_owned(),
        "write SVG, or build it with \"cargo build --release --features png\"",
    )
}

fn not_written(words: String, help: &str) -> Failure {
    Failure::bad_input(vec![Diagnostic::error(codes::PICTURE, words).help(help)])
}
