//! What a report is made from.

use serde_json::{Value, json};

use crate::answer::Status;
use crate::audit::Plan;
use crate::network::Network;

/// A plan, and what a reader should know about how it came about.
#[derive(Clone, Copy, Debug)]
pub struct Findings<'a> {
    /// The audited plan.
    pub plan: &'a Plan,
    /// Where it came from.
    pub origin: &'a Origin,
    /// How long each step took; none to keep the report the same on every run.
    pub timings: Option<&'a [Timing]>,
}

/// What was read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Origin {
    /// SHA-256 of the design file, in hexadecimal.
    pub input_sha256: String,
    /// The variant that was taken, if one was.
    pub variant: Option<String>,
    /// Numbers changed on the command line, as given: `ADDRESS=VALUE`.
    pub edits: Vec<String>,
    /// Whether units are held at those of the design before the edits.
    pub held: bool,
    /// Where figures come from.
    pub sources: Vec<Source>,
}

impl Origin {
    /// Writes into data what was read, and by which version of this tool.
    pub(super) fn sign(&self, data: &mut Value) {
        if let Some(variant) = &self.variant {
            data["variant"] = json!(variant);
        }
        if !self.edits.is_empty() {
            data["edits"] = json!(self.edits);
        }
        if self.held {
            data["held_units"] = json!(true);
        }
        data["input_sha256"] = json!(self.input_sha256);
        data["tool_version"] = json!(env!("CARGO_PKG_VERSION"));
    }
}

/// Where a figure comes from, as the design or the catalogue says.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// The figure: an address of the design, or words.
    pub figure: String,
    /// Document, edition, table.
    pub words: String,
}

/// How long a step took.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Timing {
    /// The step: "read", "solve".
    pub step: &'static str,
    /// Wall time, s.
    pub seconds: f64,
}

/// "optimal" or "feasible".
pub fn status_words(status: Status) -> &'static str {
    match status {
        Status::Optimal => "optimal",
        Status::Feasible => "feasible",
    }
}

/// What a plan minimises, in words.
pub(super) fn minimised(plan: &Plan) -> &'static str {
    minimised_by(plan.network())
}

/// What the plans of a design minimise, in words.
pub(super) fn minimised_by(network: &Network) -> &'static str {
    match network.equivalents {
        Some(_) => "equivalent system mass",
        None => "launch mass",
    }
}
