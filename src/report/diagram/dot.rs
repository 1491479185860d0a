//! The graph in the DOT language of graph descriptions, for other programs to lay out.

use super::scene::{Part, Run, Scene};
use crate::audit::Plan;
use crate::network::Network;
use crate::report::drawing::Ink;
use crate::report::drawing::palette::hex;

/// Nodes, with their units, and streams, with their substance and flow, as a DOT graph.
/// Without a plan there are no flows. A stream has its number besides its label: `kg_per_day`,
/// the largest of the phases shown.
pub fn render_dot(network: &Network, plan: Option<&Plan>, phase: Option<usize>) -> String {
    let scene = Scene::of(network, plan, phase);
    let mut text = format!(
        "digraph {} {{\n  rankdir=LR;\n  node [shape=box];\n",
        quoted(&network.title)
    );
    for spot in &scene.spots {
        let mut label = spot.name.clone();
        if !spot.note.is_empty() {
            label.push_str(&format!("\n{}", spot.note));
        }
        let style = match (spot.is_used, spot.part) {
            (false, _) => ", style=dashed",
            (_, Part::Outlet) => ", style=rounded",
            _ => "",
        };
        text.push_str(&format!(
            "  {} [label={}{style}];\n",
            quoted(&spot.name),
            quoted(&label)
        ));
    }
    for run in &scene.runs {
        text.push_str(&format!("  {};\n", edge(&scene, run)));
    }
    text.push_str("}\n");
    text
}

fn edge(scene: &Scene, run: &Run) -> String {
    let [from, to] = [run.from, run.to].map(|spot| quoted(&scene.spots[spot].name));
    let mut label = run.substance.clone();
    let mut flow = String::new();
    if let Some(amount) = run.amount() {
        label.push_str(&format!("\n{amount} kg/d"));
        flow = format!(", kg_per_day={}", quoted(&run.most().to_string()));
    }
    let style = match run.is_used() {
        true => format!("color={}", quoted(&hex(Ink::Family(run.family)))),
        false => "style=dotted".to_owned(),
    };
    format!("{from} -> {to} [label={}, {style}{flow}]", quoted(&label))
}

/// A quoted string: only quotation marks and backslashes need an escape in DOT, and a line
/// break is written as one.
fn quoted(words: &str) -> String {
    let escaped = words.replace('\\', "\\\\").replace('"', "\\\"");
    format!("\"{}\"", escaped.replace('\n', "\\n"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_quoted() {
        assert_eq!(quoted("a \"b\" \\ c\nd"), r#""a \"b\" \\ c\nd""#);
    }
}
