//! `loopwright check`: is the design sound?

use clap::Args;
use serde_json::json;

use crate::network::Network;
use crate::report::{Block, Page, Tone};

use super::answered::Asked;
use super::arguments::{Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright check designs/ridge-outpost.ron
  loopwright check - --format json < designs/classroom.ron";

/// Look for mistakes in a design without solving it
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Check {
    #[command(flatten)]
    input: Input,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
}

impl Check {
    /// Reads and checks.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        let asked = Asked::read(session, &self.input)?;
        let page = page(&asked.network);
        asked.show(session, page)?;
        Ok(Exit::Done)
    }
}

/// What was found sound.
fn page(network: &Network) -> Page {
    let size = |number: usize, noun: &str| crate::report::counted(number, noun);
    let (nodes, streams) = (network.graph.node_count(), network.graph.edge_count());
    let (phases, flights) = (
        network.calendar.phases.len(),
        network.calendar.flights.len(),
    );
    let mut page = Page::new(network.title.as_str());
    page.blocks.push(Block::Outcome {
        tone: Tone::Good,
        words: format!("{}: no errors.", network.title),
    });
    page.paragraph(format!(
        "{}, {}, {}, {}.",
        size(nodes, "node"),
        size(streams, "stream"),
        size(phases, "phase"),
        size(flights, "flight"),
    ));
    page.points(network.notes.clone());
    page.data = json!({
        "status": "sound",
        "title": network.title,
        "nodes": nodes,
        "streams": streams,
        "phases": phases,
        "flights": flights,
    });
    if !network.notes.is_empty() {
        page.data["notes"] = json!(network.notes);
    }
    page.data["tool_version"] = json!(env!("CARGO_PKG_VERSION"));
    page
}
