//! Streams as written: each substance and the ways it takes.

use indexmap::{IndexMap, IndexSet};

use crate::diagnostic::{Diagnostic, Place, codes, nearest};
use crate::written::{Form, Named, Read, Reading, Shape, Value};

/// A hop of a way: one node, or several of which each is joined to every one
/// of the next hop.
#[derive(Clone, Debug, PartialEq)]
pub struct Hop {
    /// The nodes.
    pub nodes: Vec<Named>,
    /// Where the hop is written.
    pub place: Place,
}

impl Read for Hop {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        let nodes = match &value.shape {
            Shape::List(_) => Vec::<Named>::read(value, reading)?,
            _ => vec![Named::read(value, reading)?],
        };
        Some(Hop {
            nodes,
            place: value.place,
        })
    }

    fn form() -> Form {
        Form::new("a node or a list of nodes", "\"cabin\"")
    }
}

/// Complaints about names in streams that are not among the nodes declared. A use is a
/// substance, a name under it, and the place of that; a wrong name is one mistake, wherever
/// it is used.
pub fn unknown_nodes<'a>(
    uses: impl IntoIterator<Item = (&'a str, &'a str, Place)>,
    declared: impl IntoIterator<Item = &'a str>,
) -> Vec<Diagnostic> {
    let declared: IndexSet<&str> = declared.into_iter().collect();
    let mut unknown: IndexMap<&str, Vec<(&str, Place)>> = IndexMap::new();
    for (substance, name, place) in uses {
        if !declared.contains(name) {
            unknown.entry(name).or_default().push((substance, place));
        }
    }
    let mut complaints = Vec::new();
    for (name, uses) in unknown {
        let help = match nearest(name, declared.iter().copied()) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => "declare it under nodes".to_owned(),
        };
        let [(substance, place), others @ ..] = uses.as_slice() else {
            continue;
        };
        let headline = match others {
            [] => format!("streams.{substance}: no node is called \"{name}\""),
            _ => format!("streams: no node is called \"{name}\""),
        };
        let complaint = Diagnostic::error(codes::UNKNOWN_NODE, headline).at(*place, "");
        let complaint = others.iter().fold(complaint, |complaint, (_, place)| {
            complaint.also(*place, "named here too")
        });
        complaints.push(complaint.help(help));
    }
    complaints
}

/// The same for a tree that cannot be read as a design yet; nothing where it has no
/// nodes to compare with.
pub(super) fn unknown_nodes_of(tree: &Value) -> Vec<Diagnostic> {
    let entries = |name: &str| match tree.field(name).map(|value| &value.shape) {
        Some(Shape::Map(entries)) => entries.as_slice(),
        _ => &[],
    };
    let nodes = entries("nodes");
    if nodes.is_empty() {
        return Vec::new();
    }
    let mut uses = Vec::new();
    for (substance, ways) in entries("streams") {
        let mut names = Vec::new();
        texts(ways, &mut names);
        let substance = substance.text().unwrap_or("?");
        uses.extend(
            names
                .into_iter()
                .map(|(name, place)| (substance, name, place)),
        );
    }
    unknown_nodes(uses, nodes.iter().filter_map(|(key, _)| key.text()))
}

/// Every text in lists within lists.
fn texts<'t>(value: &'t Value, found: &mut Vec<(&'t str, Place)>) {
    match &value.shape {
        Shape::Text(text) => found.push((text, value.place)),
        Shape::List(items) => items.iter().for_each(|item| texts(item, found)),
        _ => {}
    }
}
