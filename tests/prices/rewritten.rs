//! A design's text with one demand a little larger or smaller.

use loopwright::network::Network;
use loopwright::study::prices::What;

/// The consumer that covers part of a demand.
pub const GIFT: &str = "gift";

/// The text with so much more (or less) of a demand: in every phase of it, more is
/// taken by a consumer fed as the first one is, which gives nothing back; less is
/// taken because a gift comes through a consumer that turns it into the substance.
pub fn moved(text: &str, network: &Network, what: &What, step: f64) -> String {
    let What::Demand {
        node,
        substance,
        phases,
    } = what
    else {
        panic!("{what:?} is no demand");
    };
    let name = network.name(*node);
    let substance_name = network.substances.name(*substance);
    let mut text = text.to_owned();
    let amount = step.abs();
    let (nodes, streams) = if step > 0.0 {
        let sources: Vec<String> = network
            .inflows(*node, *substance)
            .into_iter()
            .map(|stream| format!("{:?}", network.name(network.ends(stream).0)))
            .collect();
        let nodes = format!(
            r#"
        "extra demand": Consumer(takes: {{"{substance_name}": "{amount} kg"}},
                                 per: Occasion("extra time"), gives: {{"gone for good": 1.0}}),
        "extra outlet": Disposal(way: Overboard),"#
        );
        let ways = format!(r#"[[{}], "extra demand"]"#, sources.join(", "));
        let own = r#"
        "gone for good": [["extra demand", "extra outlet"]],"#;
        text = with_way(&text, substance_name, &ways);
        (nodes, own.to_owned())
    } else {
        let nodes = format!(
            r#"
        "gift cargo": Cargo(gives: "gone for good", packaging: 0.0),
        "{GIFT}": Consumer(takes: {{"gone for good": "{amount} kg"}},
                         per: Occasion("extra time"), gives: {{"{substance_name}": 1.0}}),"#
        );
        let own = format!(
            r#"
        "gone for good": [["gift cargo", "{GIFT}"]],"#
        );
        let way = format!(r#"["{GIFT}", "{name}"]"#);
        text = with_way(&text, substance_name, &way);
        (nodes, own)
    };
    text = after(&text, "\n    substances: {", "\"gone for good\": Opaque, ");
    text = after(&text, "\n    nodes: {", &nodes);
    text = after(&text, "\n    streams: {", &streams);
    for &phase in phases {
        text = with_occasion(&text, &network.calendar.phases[phase].name);
    }
    text
}

/// The text with more right after a mark.
pub fn after(text: &str, mark: &str, more: &str) -> String {
    let at = text.find(mark).unwrap_or_else(|| panic!("no {mark}")) + mark.len();
    format!("{}{more}{}", &text[..at], &text[at..])
}

/// One more way of a substance.
fn with_way(text: &str, substance: &str, way: &str) -> String {
    let streams = text.find("\n    streams: {").unwrap();
    let (head, tail) = text.split_at(streams);
    let key = format!("\n        \"{substance}\":");
    let at = tail.find(&key).unwrap() + key.len();
    let open = at + tail[at..].find('[').unwrap() + 1;
    format!("{head}{}{way}, {}", &tail[..open], &tail[open..])
}

/// Once a day, an occasion of its own in a phase.
fn with_occasion(text: &str, phase: &str) -> String {
    let start = text.find(&format!("Phase(name: \"{phase}\"")).unwrap();
    let (head, tail) = text.split_at(start);
    let end = tail[6..].find("Phase(").map_or(tail.len(), |at| at + 6);
    let occasion = "\"extra time\": \"1 /d\"";
    match tail[..end].find("occasions: {") {
        Some(at) => {
            let at = at + "occasions: {".len();
            format!("{head}{}{occasion}, {}", &tail[..at], &tail[at..])
        }
        None => {
            let at = tail.find(')').unwrap();
            format!(
                "{head}{}, occasions: {{{occasion}}}{}",
                &tail[..at],
                &tail[at..]
            )
        }
    }
}
