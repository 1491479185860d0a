//! The same design with its nodes and streams in another order.

use loopwright::diagnostic::SourceId;
use loopwright::written::{Shape, Value, parse};

use crate::dice::Dice;

/// Shuffles the nodes, the substances under streams, their ways, and the names of
/// every hop that has several.
pub fn nodes_and_streams(text: &str, dice: &mut Dice) -> String {
    let tree = parse(SourceId(0), text).expect("a design");
    let nodes = tree.field("nodes").expect("nodes");
    let streams = tree.field("streams").expect("streams");
    let words = |value: &Value| &text[value.place.start..value.place.end];
    let mut new_nodes: Vec<String> = entries(nodes)
        .iter()
        .map(|(name, node)| format!("        {}: {},\n", words(name), words(node)))
        .collect();
    dice.shuffle(&mut new_nodes);
    let mut new_streams: Vec<String> = Vec::new();
    for (substance, ways) in entries(streams) {
        let ways = list(ways, dice, &mut |way, dice| {
            let hops: Vec<String> = items(way)
                .iter()
                .map(|hop| match &hop.shape {
                    Shape::List(_) => list(hop, dice, &mut |name, _| words(name).to_owned()),
                    _ => words(hop).to_owned(),
                })
                .collect();
            format!("[{}]", hops.join(", "))
        });
        new_streams.push(format!("        {}: {ways},\n", words(substance)));
    }
    dice.shuffle(&mut new_streams);
    let mut parts = [
        (nodes.place, new_nodes.concat()),
        (streams.place, new_streams.concat()),
    ];
    parts.sort_by_key(|(place, _)| place.start);
    let [(first, first_words), (second, second_words)] = parts;
    format!(
        "{}{{\n{first_words}    }}{}{{\n{second_words}    }}{}",
        &text[..first.start],
        &text[first.end..second.start],
        &text[second.end..]
    )
}

/// A list in another order, each item written by `write`.
fn list(
    value: &Value,
    dice: &mut Dice,
    write: &mut dyn FnMut(&Value, &mut Dice) -> String,
) -> String {
    let mut written: Vec<String> = items(value).iter().map(|item| write(item, dice)).collect();
    dice.shuffle(&mut written);
    format!("[{}]", written.join(", "))
}

fn entries(value: &Value) -> &[(Value, Value)] {
    match &value.shape {
        Shape::Map(entries) => entries,
        other => panic!("{other:?}"),
    }
}

fn items(value: &Value) -> &[Value] {
    match &value.shape {
        Shape::List(items) => items,
        other => panic!("{other:?}"),
    }
}
