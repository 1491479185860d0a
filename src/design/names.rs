//! Names in the text that stand for nodes and variants, looked up in the text itself: what
//! else is wrong with it is no reason to tell of a wrong name a run later.

use indexmap::IndexSet;

use crate::diagnostic::{Code, Diagnostic, Place, codes, nearest};
use crate::written::{Read, Reading, Shape, Value};

use super::{Variant, apply};

/// Complaints about names under `exclusive`, `variants` and `reference` that nothing has. A
/// variant changes the file as written; groups name nodes of the file after variant and
/// settings. The reading of that file says where a name may stand without quotes.
pub(super) fn unknown(original: &Value, edited: &Value, reading: &Reading) -> Vec<Diagnostic> {
    let nodes: IndexSet<&str> = names_of(edited, "nodes").into_iter().collect();
    let mut complaints = Vec::new();
    for (name, variant) in entries(edited, "variants") {
        // Its other mistakes are reported with those of the whole file, and where that has
        // any, what an address lacks below a node may be one of them.
        if let Some(mut variant) = Variant::read(variant, &mut Reading::new()) {
            if reading.has_errors() {
                variant
                    .set
                    .0
                    .retain(|(address, _)| names_no_node(&address.text, &nodes));
            }
            if !variant.set.0.is_empty() {
                complaints.extend(apply(&mut original.clone(), &variant));
            }
        }
        let at = format!("variants.{}", name.text().unwrap_or("?"));
        for node in variant.field("without").into_iter().flat_map(items) {
            complaints.extend(unknown_node(
                codes::UNKNOWN_NODE,
                &at,
                name_of(node, reading),
                &nodes,
            ));
        }
    }
    for group in edited.field("exclusive").into_iter().flat_map(items) {
        for node in items(group) {
            complaints.extend(unknown_node(
                codes::EXCLUSIVE,
                "exclusive",
                name_of(node, reading),
                &nodes,
            ));
        }
    }
    complaints.extend(unknown_reference(edited, reading));
    complaints
}

/// The complaint about a name that no node has; none where no node could be read.
fn unknown_node(
    code: Code,
    at: &str,
    node: Option<(&str, Place)>,
    nodes: &IndexSet<&str>,
) -> Option<Diagnostic> {
    let (name, place) = node?;
    if nodes.is_empty() || nodes.contains(name) {
        return None;
    }
    let help = match nearest(name, nodes.iter().copied()) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => "name nodes of the design".to_owned(),
    };
    let headline = format!("{at}: no node is called \"{name}\"");
    Some(Diagnostic::error(code, headline).at(place, "").help(help))
}

/// Whether an address leads to a node that is not there.
fn names_no_node(address: &str, nodes: &IndexSet<&str>) -> bool {
    let is_in = |below: &str, node: &str| {
        let rest = below.strip_prefix(node);
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    address
        .strip_prefix("nodes.")
        .is_some_and(|below| !nodes.is_empty() && !nodes.iter().any(|node| is_in(below, node)))
}

fn unknown_reference(tree: &Value, reading: &Reading) -> Option<Diagnostic> {
    let (name, place) = name_of(tree.field("reference")?, reading)?;
    let variants = names_of(tree, "variants");
    if variants.contains(&name) {
        return None;
    }
    let help = match nearest(name, variants.iter().copied()) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None if variants.is_empty() => "the design has no variants".to_owned(),
        None => format!("variants: {}", variants.join(", ")),
    };
    let headline = format!("reference: no variant is called \"{name}\"");
    Some(
        Diagnostic::error(codes::UNKNOWN_VARIANT, headline)
            .at(place, "")
            .help(help),
    )
}

/// A name and its place, where one is written as names are.
fn name_of<'t>(value: &'t Value, reading: &Reading) -> Option<(&'t str, Place)> {
    let name = match &value.shape {
        Shape::Text(text) => text,
        Shape::Word(word) if word == "None" => return None,
        Shape::Word(text) | Shape::Number(text) if reading.unquoted_allowed(value.place) => text,
        _ => return None,
    };
    (!name.trim().is_empty()).then_some((name, value.place))
}

fn entries<'t>(tree: &'t Value, field: &str) -> &'t [(Value, Value)] {
    match tree.field(field).map(|value| &value.shape) {
        Some(Shape::Map(entries)) => entries,
        _ => &[],
    }
}

fn names_of<'t>(tree: &'t Value, field: &str) -> Vec<&'t str> {
    let entries = entries(tree, field).iter();
    entries.filter_map(|(key, _)| key.text()).collect()
}

fn items(value: &Value) -> &[Value] {
    match &value.shape {
        Shape::List(items) => items,
        _ => &[],
    }
}
