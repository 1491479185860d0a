//! Groups of nodes of which at most one may fly.

use petgraph::graph::DiGraph;

use crate::design::Design;
use crate::diagnostic::{Diagnostic, Place, codes};
use crate::written::Named;

use super::{Exclusive, Node, NodeId, Stream};

/// The groups of a design, by the nodes that are kept; of those in `unsound` nothing is
/// known.
pub fn exclusive(
    design: &Design,
    names: &[&Named],
    graph: &DiGraph<Node, Stream>,
    unsound: &[NodeId],
    diagnostics: &mut Vec<Diagnostic>,
) -> Vec<Exclusive> {
    let mut groups = Vec::new();
    for group in &design.written.exclusive {
        let mut nodes: Vec<NodeId> = Vec::new();
        let mut must = Vec::new();
        let mut complain = |place: Place, message: String, help: &str| {
            diagnostics.push(
                Diagnostic::error(codes::EXCLUSIVE, format!("exclusive: {message}"))
                    .at(place, "")
                    .help(help),
            );
        };
        for name in &group.value {
            if design.without.contains(name) {
                continue;
            }
            // A name of no node is told with the other names of the file.
            let Some(index) = names.iter().position(|known| *known == name) else {
                continue;
            };
            let id = NodeId::new(index);
            if unsound.contains(&id) {
                continue;
            }
            let duties = &graph[id].duties;
            if duties.hardware.is_none() {
                complain(
                    name.place,
                    format!("\"{name}\" has no unit"),
                    "only nodes whose units are counted can exclude each other",
                );
            } else if nodes.contains(&id) {
                complain(
                    name.place,
                    format!("\"{name}\" is named twice"),
                    "name it once",
                );
            } else {
                if duties.count.lower > 0 {
                    must.push(name);
                }
                nodes.push(id);
            }
        }
        if let [first, second, ..] = must.as_slice() {
            complain(
                second.place,
                format!("\"{first}\" and \"{second}\" must both fly"),
                "let the count of all but one start at 0, such as UpTo(1)",
            );
        }
        if group.value.len() < 2 {
            complain(
                group.place,
                "a group of fewer than two".to_owned(),
                "name the nodes of which at most one may be chosen",
            );
        }
        groups.push(Exclusive {
            nodes,
            place: group.place,
        });
    }
    groups
}
