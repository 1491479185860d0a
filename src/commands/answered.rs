//! What commands about a design share: reading it, planning it, where it came from,
//! and what they say without a plan.

use std::time::{Duration, Instant};

use crate::answer::Status;
use crate::audit::Plan;
use crate::catalogue::{DEFAULT_PROFILE, Makeup, crew_profile};
use crate::design::Design;
use crate::diagnostic::{Diagnostic, Place, Sources};
use crate::network::{self, Network};
use crate::report::{self, Cause, Origin, Page, Source, Statement};
use crate::solve::{Conflict, NoBalance, Options};
use crate::{Hints, Planned, plan, plan_network};

use super::arguments::Input;
use super::exit::Exit;
use super::failure::Failure;
use super::progress::with_progress;
use super::session::Session;

/// A design that a command asks about: read, checked, its warnings told.
pub(super) struct Asked {
    /// As read.
    pub design: Design,
    /// As checked.
    pub network: Network,
    /// Where it came from.
    pub origin: Origin,
    /// How long reading and checking took.
    pub spent: [Duration; 2],
    warnings: Vec<Diagnostic>,
}

impl Asked {
    /// Reads and checks the design, once the output is known to be writable.
    pub fn read(session: &mut Session, input: &Input) -> Result<Asked, Failure> {
        session.expect_writable()?;
        let start = Instant::now();
        let design = session.read(input)?;
        let reading = start.elapsed();
        let checked = network::check(&design).map_err(Failure::bad_input)?;
        let checking = start.elapsed() - reading;
        session.warn(&checked.warnings);
        Ok(Asked {
            origin: origin(&design, &checked.network, input),
            design,
            network: checked.network,
            spent: [reading, checking],
            warnings: checked.warnings,
        })
    }

    /// Plans it without a reference. Where there is no plan, that is shown, and the
    /// run is over.
    pub fn plan(
        &self,
        session: &Session,
        options: &Options,
    ) -> Result<Result<Box<Plan>, Exit>, Failure> {
        Ok(match self.planned(session, options)? {
            Ok(plan) => Ok(plan),
            Err(unplanned) => {
                self.show(session, unplanned.0)?;
                Err(unplanned.1)
            }
        })
    }

    /// Plans it without a reference; without a plan, the page that says so.
    pub fn planned(
        &self,
        session: &Session,
        options: &Options,
    ) -> Result<Result<Box<Plan>, Unplanned>, Failure> {
        let hints = Hints {
            reference: false,
            ..options.clone().into()
        };
        let planned = with_progress("solving", || plan_network(&self.network, &hints));
        let planned = planned.map_err(Failure::of)?;
        Ok(plan_of(planned, &self.design, &self.origin, session))
    }

    /// Plans the design as it is without the settings of the command line. Where
    /// there is no plan, that is shown, and the run is over.
    pub fn plan_before(
        &self,
        session: &Session,
        options: &Options,
    ) -> Result<Result<Box<Plan>, Exit>, Failure> {
        let before = self.design.without_settings().map_err(Failure::bad_input)?;
        let hints = Hints {
            reference: false,
            ..options.clone().into()
        };
        let planned = with_progress("solving", || plan(&before, &hints));
        let planned = planned.map_err(Failure::of)?;
        Ok(match plan_of(planned, &before, &self.origin, session) {
            Ok(plan) => Ok(plan),
            Err(unplanned) => {
                self.show(session, unplanned.0)?;
                Err(unplanned.1)
            }
        })
    }

    /// Writes a page, with the warnings about the design in the data.
    pub fn show(&self, session: &Session, page: Page) -> Result<(), Failure> {
        session.show_with(page, &self.warnings)
    }
}

/// A page for a design without a plan, and how the run ends.
pub(super) type Unplanned = Box<(Page, Exit)>;

/// The plan, or the page that says why there is none, after complaining about
/// the causes.
pub(super) fn plan_of(
    planned: Planned,
    design: &Design,
    origin: &Origin,
    session: &Session,
) -> Result<Box<Plan>, Unplanned> {
    let title = &design.written.title;
    let (page, exit) = match planned {
        Planned::Plan(plan) => return Ok(plan),
        Planned::NoBalance(why) => {
            let diagnostics = why.causes.iter().map(|cause| cause.diagnostic.clone());
            session.warn(&diagnostics.collect::<Vec<Diagnostic>>());
            let causes = causes(&why, &session.sources);
            (report::no_balance(title, &causes, origin), Exit::NoBalance)
        }
        Planned::Unknown { bound_kg } => (
            report::nothing_found(title, bound_kg, origin),
            Exit::NothingFound,
        ),
    };
    Err(Box::new((page, exit)))
}

/// Why nothing balances as a page shows it: places by line and column.
pub(super) fn causes(why: &NoBalance, sources: &Sources) -> Vec<Cause> {
    let causes = why.causes.iter();
    causes.map(|conflict| cause(conflict, sources)).collect()
}

fn cause(conflict: &Conflict, sources: &Sources) -> Cause {
    let place = |place: Place| {
        let (line, column) = sources.line_column(place);
        (sources.name(place.source).to_owned(), line, column)
    };
    let statements = conflict.statements.iter().map(|statement| Statement {
        words: statement.words.clone(),
        place: statement.place.map(place),
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
pub(super) fn exit_of(plan: &Plan) -> Exit {
    match plan.answer().proof.status {
        Status::Optimal => Exit::Done,
        Status::Feasible => Exit::FeasibleOnly,
    }
}

/// What was read, and where its figures come from.
pub(super) fn origin(design: &Design, network: &Network, input: &Input) -> Origin {
    let stated = design.figures.iter().filter_map(|figure| {
        Some(Source {
            figure: figure.address.clone(),
            words: figure.source.clone()?,
        })
    });
    Origin {
        input_sha256: design.input_sha256.clone(),
        variant: input.changes.variant.clone(),
        edits: input.changes.settings.clone(),
        held: false,
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
