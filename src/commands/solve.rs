//! `loopwright solve`: the lightest mix, audited.

use std::time::Instant;

use clap::Args;

use crate::answer::Status;
use crate::audit::Plan;
use crate::catalogue::{DEFAULT_PROFILE, Makeup, crew_profile};
use crate::design::Design;
use crate::diagnostic::{Diagnostic, render_json};
use crate::network::{self, Network};
use crate::report::{self, Cause, Findings, Origin, Source, Statement, Timing};
use crate::solve::Conflict;
use crate::{Planned, Refusal, plan};

use super::arguments::{Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::progress::with_progress;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright solve designs/ridge-outpost.ron
  loopwright solve designs/ridge-outpost.ron --format json --output answer.json
  loopwright solve designs/classroom.ron --set \"mission.phases.stay.length=120 d\"
  loopwright solve - < designs/classroom.ron

Ctrl-C stops the search and prints the best answer found; a second one ends at once.";

/// Find the lightest mix of recovery hardware and resupply
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Solve {
    #[command(flatten)]
    input: Input,
    #[command(flatten)]
    effort: Effort,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
    /// Say how long each step took; the output then differs from run to run
    #[arg(long)]
    timings: bool,
}

impl Solve {
    /// Reads, plans and reports.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        session.expect_writable()?;
        let start = Instant::now();
        let design = session.read(&self.input)?;
        let checked = network::check(&design).map_err(Failure::bad_input)?;
        session.warn(&checked.warnings);
        let read = start.elapsed();
        let hints = self.effort.options().into();
        let planned = with_progress("solving", || plan(&design, &hints));
        let planned = planned.map_err(|refusal| match refusal {
            Refusal::Design(diagnostics) => Failure::bad_input(diagnostics),
            Refusal::Failure(failure) => Failure::internal(failure),
        })?;
        let timings = [
            Timing {
                step: "read",
                seconds: read.as_secs_f64(),
            },
            Timing {
                step: "plan",
                seconds: (start.elapsed() - read).as_secs_f64(),
            },
        ];
        let origin = origin(&design, &checked.network, &self.input);
        let title = &design.written.title;
        let (mut page, exit) = match planned {
            Planned::Plan(plan) => {
                let findings = Findings {
                    plan: &plan,
                    origin: &origin,
                    timings: self.timings.then_some(&timings),
                };
                let page = report::solved(&findings).map_err(Failure::internal)?;
                (page, exit_of(&plan))
            }
            Planned::NoBalance(why) => {
                let diagnostics = why.causes.iter().map(|cause| cause.diagnostic.clone());
                session.warn(&diagnostics.collect::<Vec<Diagnostic>>());
                let causes: Vec<Cause> = why
                    .causes
                    .iter()
                    .map(|conflict| cause(conflict, session))
                    .collect();
                (report::no_balance(title, &causes, &origin), Exit::NoBalance)
            }
            Planned::Unknown { bound_kg } => (
                report::nothing_found(title, bound_kg, &origin),
                Exit::NothingFound,
            ),
        };
        if !checked.warnings.is_empty() {
            page.data["warnings"] = render_json(&checked.warnings, &session.sources);
        }
        session.show(&page)?;
        Ok(exit)
    }
}

/// A cause as a page shows it: places by line and column.
fn cause(conflict: &Conflict, session: &Session) -> Cause {
    let statements = conflict.statements.iter().map(|statement| Statement {
        words: statement.words.clone(),
        place: statement.place.map(|place| session.place(place)),
        slack: statement.slack,
        unit: statement.unit,
    });
    Cause {
        code: conflict.diagnostic.code.to_string(),
        words: conflict.diagnostic.headline.clone(),
        help: conflict.diagnostic.help.clone(),
        statements: statements.collect(),
    }
}

/// The answer's own word decides.
fn exit_of(plan: &Plan) -> Exit {
    match plan.answer().proof.status {
        Status::Optimal => Exit::Done,
        Status::Feasible => Exit::FeasibleOnly,
    }
}

fn origin(design: &Design, network: &Network, input: &Input) -> Origin {
    let stated = design.figures.iter().filter_map(|figure| {
        Some(Source {
            figure: figure.address.clone(),
            words: figure.source.clone()?,
        })
    });
    Origin {
        input_sha256: design.input_sha256.clone(),
        variant: input.variant.clone(),
        edits: input.settings.clone(),
        sources: published_crew(design, network)
            .into_iter()
            .chain(published_equivalents(network))
            .chain(stated)
            .collect(),
    }
}

/// The crew profile that rates or substances in use come from.
fn published_crew(design: &Design, network: &Network) -> Option<Source> {
    let mut nodes = design.written.nodes.values();
    let named = nodes.find_map(|node| node.kind.crew_profile());
    let flows = network
        .graph
        .edge_weights()
        .any(|stream| matches!(network.substances.makeup(stream.substance), Makeup::Profile));
    let name = match named {
        Some(name) => name.text.as_str(),
        None if flows => DEFAULT_PROFILE,
        None => return None,
    };
    let profile = crew_profile(name)?;
    Some(Source {
        figure: format!("crew profile {name}"),
        words: profile.citation.to_string(),
    })
}

/// Published factors of equivalent system mass that the design takes.
fn published_equivalents(network: &Network) -> impl Iterator<Item = Source> {
    let sources = network.equivalents.iter().flat_map(|one| &one.sources);
    sources.map(|words| Source {
        figure: "equivalency factors".to_owned(),
        words: words.clone(),
    })
}
