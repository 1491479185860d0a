//! Names and ranges of a water round, with complaints.

use crate::catalogue::SubstanceId;
use crate::design::Design;
use crate::diagnostic::{Code, Diagnostic, Place, codes, nearest};
use crate::network::{Network, NodeId, StreamId};
use crate::quantity::{Dimension, Quantity, shown};
use crate::written::{Named, Placed};

/// What the parts of a water round are looked up in, and where complaints go.
pub(super) struct Lookup<'a> {
    pub design: &'a Design,
    pub network: &'a Network,
    pub diagnostics: &'a mut Vec<Diagnostic>,
    /// The part that is looked at: "water_round.lines.to the polisher".
    pub part: String,
    /// Parts whose nodes a variant takes out.
    pub left_out: Vec<String>,
}

impl Lookup<'_> {
    pub fn error(&mut self, code: Code, place: Place, message: &str, help: &str) {
        let headline = format!("{}: {message}", self.part);
        let complaint = Diagnostic::error(code, headline).at(place, "").help(help);
        self.diagnostics.push(complaint);
    }

    /// The node of a name; none after a complaint, or where a variant takes it out.
    pub fn node(&mut self, name: &Named) -> Option<NodeId> {
        let network = self.network;
        let found = network
            .nodes()
            .find(|&node| network.name(node) == name.as_str());
        if found.is_some() {
            return found;
        }
        if self.design.without.contains(name) {
            if !self.left_out.contains(&self.part) {
                self.left_out.push(self.part.clone());
            }
            return None;
        }
        let names = self.design.written.nodes.keys().map(Named::as_str);
        let help = match nearest(&name.text, names) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => "name a node of the design".to_owned(),
        };
        let message = format!("no node is called \"{name}\"");
        self.error(codes::UNKNOWN_NODE, name.place, &message, &help);
        None
    }

    /// The node of a name, which must be of a kind.
    pub fn node_of_kind(&mut self, name: &Named, kind: &str) -> Option<NodeId> {
        let node = self.node(name)?;
        let found = self.network.graph[node].kind;
        if found == kind {
            return Some(node);
        }
        let message = format!("\"{name}\" is a {found}, not of the kind {kind}");
        let help = format!("name a node of the kind {kind}, or take this part out");
        self.error(codes::WATER_ROUND, name.place, &message, &help);
        None
    }

    /// A grade of water by its name.
    pub fn water(&mut self, name: &Named) -> Option<SubstanceId> {
        let substances = &self.network.substances;
        let Some(found) = substances.find(&name.text) else {
            let help = match nearest(&name.text, substances.names()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => "name a substance of the design".to_owned(),
            };
            let message = format!("no substance is called \"{name}\"");
            self.error(codes::UNKNOWN_SUBSTANCE, name.place, &message, &help);
            return None;
        };
        if substances.is_water_alone(found) {
            return Some(found);
        }
        let message = format!("\"{name}\" is not a grade of water");
        self.error(codes::WATER_ROUND, name.place, &message, ONLY_WATER);
        None
    }

    /// The streams of one grade of water, or of all, between two nodes.
    pub fn streams(&self, from: NodeId, to: NodeId, carries: Option<SubstanceId>) -> Vec<StreamId> {
        let network = self.network;
        let is_carried = |stream: &StreamId| {
            let substance = network.graph[*stream].substance;
            network.ends(*stream) == (from, to)
                && carries.is_none_or(|wanted| wanted == substance)
                && network.substances.is_water_alone(substance)
        };
        network.streams().filter(is_carried).collect()
    }

    /// A number in a range, both ends included.
    pub fn within<Q: Quantity>(
        &mut self,
        field: &str,
        written: Placed<Q>,
        range: (f64, f64),
    ) -> Option<f64> {
        let value = written.value.canonical();
        self.number_within(field, value, written.place, range, Q::DIMENSION)
    }

    /// The same of a number of any dimension.
    pub fn number_within(
        &mut self,
        field: &str,
        value: f64,
        place: Place,
        (low, high): (f64, f64),
        dimension: Dimension,
    ) -> Option<f64> {
        if (low..=high).contains(&value) {
            return Some(value);
        }
        let message = format!("{field} of {}", shown(value, dimension));
        let help = format!(
            "state one between {} and {}",
            shown(low, dimension),
            shown(high, dimension)
        );
        self.error(codes::OUT_OF_RANGE, place, &message, &help);
        None
    }
}

/// Why nothing else will do.
pub(super) const ONLY_WATER: &str =
    "the figures of a water round are those of water: name a substance that is water alone";
