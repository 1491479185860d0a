//! Checks that need the whole graph: streams that fit their ends, products with
//! somewhere to go, needs that something brings, elements, shares, parts.

use petgraph::Direction;

use crate::catalogue::{Contents, SubstanceId};
use crate::design::Design;
use crate::diagnostic::{Diagnostic, codes};
use crate::kinds::{Activity, Level, Portion, Stock};
use crate::quantity::{Dimension, shown};

use super::{Network, NodeId, pieces_in_reach, spares_in_reach};

/// Every check of the whole graph.
pub(super) fn whole_graph(network: &Network, design: &Design, diagnostics: &mut Vec<Diagnostic>) {
    streams_fit(network, diagnostics);
    ways_in_and_out(network, design, diagnostics);
    cargo_into_stores(network, diagnostics);
    elements(network, diagnostics);
    shares(design, diagnostics);
    parts(network, diagnostics);
    spares_in_reach::complain(network, diagnostics);
    pieces_in_reach::complain(network, diagnostics);
}

/// What a node can take in or give out, by substance.
fn handles(network: &Network, node: NodeId, way: Direction) -> Vec<SubstanceId> {
    let duties = network.duties(node);
    let mut handled = duties.passes.clone();
    for activity in &duties.activities {
        let portions = match way {
            Direction::Incoming => &activity.takes,
            Direction::Outgoing => &activity.gives,
        };
        handled.extend(portions.iter().map(|portion| portion.substance));
    }
    handled.sort();
    handled.dedup();
    handled
}

fn streams_fit(network: &Network, diagnostics: &mut Vec<Diagnostic>) {
    let of = |way| -> Vec<Vec<SubstanceId>> {
        let nodes = network.nodes();
        nodes.map(|node| handles(network, node, way)).collect()
    };
    let (given, taken) = (of(Direction::Outgoing), of(Direction::Incoming));
    for stream in network.streams() {
        let (from, to) = network.ends(stream);
        let data = &network.graph[stream];
        let substance = network.substances.name(data.substance);
        for (node, all, code, does) in [
            (from, &given, codes::NOT_GIVEN, "give"),
            (to, &taken, codes::NOT_TAKEN, "take"),
        ] {
            let handled = &all[node.index()];
            if handled.contains(&data.substance) {
                continue;
            }
            let name = network.name(node);
            let what: Vec<String> = handled
                .iter()
                .map(|&id| format!("\"{}\"", network.substances.name(id)))
                .collect();
            let help = if what.is_empty() {
                format!("\"{name}\" {does}s nothing at all")
            } else {
                format!("\"{name}\" {does}s {}", what.join(", "))
            };
            diagnostics.push(
                Diagnostic::error(
                    code,
                    format!("streams.{substance}: \"{name}\" does not {does} \"{substance}\""),
                )
                .at(data.place, "this stream")
                .also(
                    network.graph[node].place,
                    format!("a {}", network.graph[node].kind),
                )
                .help(help),
            );
        }
    }
}

/// What must flow needs a stream: an error where the level is given, a warning
/// where the node merely cannot be used so.
fn ways_in_and_out(network: &Network, design: &Design, diagnostics: &mut Vec<Diagnostic>) {
    for node in network.nodes() {
        let duties = network.duties(node);
        for activity in &duties.activities {
            let must = match &activity.level {
                Level::Fixed(values) => values.iter().any(|&value| value > 0.0),
                Level::Free => false,
            };
            // A variant that takes nodes out leaves ends on purpose.
            if !must && !design.without.is_empty() {
                continue;
            }
            for portion in &activity.takes {
                let passes = duties.passes.contains(&portion.substance);
                let none = network.inflows(node, portion.substance).is_empty();
                if none && !passes && portion.amount > 0.0 {
                    diagnostics.push(dangling(network, node, activity, portion, must, true));
                }
            }
            for portion in &activity.gives {
                let passes = duties.passes.contains(&portion.substance);
                let none = network.outflows(node, portion.substance).is_empty();
                if none && !passes && portion.amount > 0.0 {
                    diagnostics.push(dangling(network, node, activity, portion, must, false));
                }
            }
        }
        if design.without.is_empty() {
            diagnostics.extend(unreached(network, node));
        }
        let Some(Stock::Kept { substance, .. }) = duties.stock else {
            continue;
        };
        if network.outflows(node, substance).is_empty() {
            diagnostics.push(
                Diagnostic::warning(
                    codes::NEVER_DRAWN,
                    format!(
                        "nodes.{}: nothing is drawn from this store",
                        network.name(node)
                    ),
                )
                .at(network.graph[node].place, "")
                .help("add streams from it, or take it out"),
            );
        }
    }
}

/// A node that hands on needs both sides, and a disposal something to take; all
/// others are told what they lack by substance.
fn unreached(network: &Network, node: NodeId) -> Vec<Diagnostic> {
    let duties = network.duties(node);
    let name = network.name(node);
    let warning = |message: String, help: String| {
        Diagnostic::warning(codes::UNREACHED, format!("nodes.{name}: {message}"))
            .at(network.graph[node].place, "")
            .help(help)
    };
    let touched = network
        .graph
        .edges_directed(node, Direction::Incoming)
        .chain(network.graph.edges_directed(node, Direction::Outgoing))
        .next()
        .is_some();
    if !touched && duties.activities.is_empty() {
        return vec![warning(
            "no stream comes here or goes from here".to_owned(),
            "put it into a way under streams, or take it out".to_owned(),
        )];
    }
    let mut warnings = Vec::new();
    for &substance in &duties.passes {
        let of = |portions: fn(&Activity) -> &Vec<Portion>| {
            let all = duties.activities.iter().flat_map(portions);
            all.into_iter()
                .any(|portion| portion.substance == substance)
        };
        let comes = !network.inflows(node, substance).is_empty() || of(|one| &one.gives);
        let goes = !network.outflows(node, substance).is_empty() || of(|one| &one.takes);
        let kept = duties.stock.is_some();
        let what = network.substances.name(substance);
        match (comes, goes) {
            (true, false) if !kept => warnings.push(warning(
                format!("\"{what}\" comes here, and no stream leads on"),
                format!("add a way from here: \"{what}\": [[\"{name}\", ...]]"),
            )),
            (false, true) => warnings.push(warning(
                format!("\"{what}\" goes from here, and no stream brings any"),
                format!("add a way that ends here: \"{what}\": [[..., \"{name}\"]]"),
            )),
            _ => {}
        }
    }
    warnings
}

fn dangling(
    network: &Network,
    node: NodeId,
    activity: &Activity,
    portion: &Portion,
    must: bool,
    coming: bool,
) -> Diagnostic {
    let name = network.name(node);
    let substance = network.substances.name(portion.substance);
    let most = match &activity.level {
        Level::Fixed(values) => values.iter().copied().fold(0.0, f64::max) * portion.amount,
        Level::Free => 0.0,
    };
    let rate = shown(most, Dimension::MassRate);
    let (code, message, help) = match (must, coming) {
        (true, true) => (
            codes::NOBODY_GIVES,
            format!("needs {rate} of \"{substance}\", and no stream brings any"),
            format!("add a way that ends here: \"{substance}\": [[..., \"{name}\"]]"),
        ),
        (true, false) => (
            codes::NOWHERE_TO_GO,
            format!("gives {rate} of \"{substance}\", which has nowhere to go"),
            format!("add a way that starts here: \"{substance}\": [[\"{name}\", ...]]"),
        ),
        (false, true) => (
            codes::NOBODY_GIVES,
            format!("takes \"{substance}\", but no stream brings any"),
            "it cannot be used so: add a way, or take this feed out".to_owned(),
        ),
        (false, false) => (
            codes::NOWHERE_TO_GO,
            format!("gives \"{substance}\", which has nowhere to go"),
            "it cannot be used so: add a way out, to a Disposal if nothing wants it".to_owned(),
        ),
    };
    let headline = format!("nodes.{name}: {message}");
    let diagnostic = if must {
        Diagnostic::error(code, headline)
    } else {
        Diagnostic::warning(code, headline)
    };
    diagnostic.at(network.graph[node].place, "").help(help)
}

fn cargo_into_stores(network: &Network, diagnostics: &mut Vec<Diagnostic>) {
    for node in network.nodes() {
        let Some(Stock::Delivered {
            substance,
            into: Some(into),
            ..
        }) = &network.duties(node).stock
        else {
            continue;
        };
        let store = network
            .nodes()
            .find(|&other| network.name(other) == into.text);
        let holds = store.is_some_and(|store| {
            matches!(network.duties(store).stock,
                Some(Stock::Kept { substance: held, .. }) if held == *substance)
        });
        let joined = store.is_some_and(|store| {
            network
                .graph
                .edges_connecting(node, store)
                .any(|edge| edge.weight().substance == *substance)
        });
        let name = network.name(node);
        let substance = network.substances.name(*substance);
        let (message, help) = match (store, holds, joined) {
            (_, true, true) => continue,
            (None, ..) => (
                format!("no node is called \"{into}\""),
                "name a Store of the same substance".to_owned(),
            ),
            (Some(_), false, _) => (
                format!("\"{into}\" is not a store of \"{substance}\""),
                "name a Store of the same substance".to_owned(),
            ),
            (Some(_), true, false) => (
                format!("it is transferred into \"{into}\", but no stream goes there"),
                format!("add the stream \"{substance}\": [[\"{name}\", \"{into}\"]]"),
            ),
        };
        diagnostics.push(
            Diagnostic::error(codes::INTO_STORE, format!("nodes.{name}: {message}"))
                .at(into.place, "")
                .help(help),
        );
    }
}

/// Unexplained kilograms per kilogram of feed that are rounding, not a mistake.
const ELEMENT_SLACK: f64 = 1e-6;

/// Every activity that conserves: each element in equals out; what opaque
/// substances leave unexplained must fit into their mass.
fn elements(network: &Network, diagnostics: &mut Vec<Diagnostic>) {
    for node in network.nodes() {
        for activity in &network.duties(node).activities {
            let is_closed = !activity.takes.is_empty() && !activity.gives.is_empty();
            if !activity.conserves || !is_closed {
                continue;
            }
            let taken = contents(network, &activity.takes);
            let given = contents(network, &activity.gives);
            let scale: f64 = activity.takes.iter().map(|portion| portion.amount).sum();
            let open = unexplained(&taken, &given, ELEMENT_SLACK * scale);
            if open.is_empty() {
                continue;
            }
            let words = network.activity_words(node, activity);
            diagnostics.push(
                Diagnostic::error(
                    codes::ELEMENTS,
                    format!("nodes.{words}: does not balance: {}", open.join("; ")),
                )
                .at(network.graph[node].place, "")
                .help("correct the yields or the make-up of the substances, or declare a product as Opaque if its make-up is not known"),
            );
        }
    }
}

fn contents(network: &Network, portions: &[Portion]) -> Contents {
    Contents::sum(portions.iter().map(|portion| {
        (
            portion.amount,
            network.substances.contents(portion.substance),
        )
    }))
}

/// Elements (and named opaque parts) whose difference the matter of no stated
/// make-up cannot explain, both sides shown.
fn unexplained(taken: &Contents, given: &Contents, slack: f64) -> Vec<String> {
    let mut differences: Vec<(String, f64, f64)> = Vec::new();
    let elements = taken.elements.keys().chain(given.elements.keys());
    let mut seen: Vec<String> = Vec::new();
    for element in elements {
        let name = element.to_string();
        if seen.contains(&name) {
            continue;
        }
        seen.push(name.clone());
        let on = |side: &Contents| side.elements.get(element).copied().unwrap_or(0.0);
        differences.push((name, on(taken), on(given)));
    }
    for part in taken.opaque.keys().chain(given.opaque.keys()) {
        if seen.contains(part) {
            continue;
        }
        seen.push(part.clone());
        let on = |side: &Contents| side.opaque.get(part).copied().unwrap_or(0.0);
        differences.push((part.clone(), on(taken), on(given)));
    }
    let lost: f64 = differences.iter().map(|(_, a, b)| (a - b).max(0.0)).sum();
    let gained: f64 = differences.iter().map(|(_, a, b)| (b - a).max(0.0)).sum();
    // What vanishes may be in an opaque product, what appears in an opaque feed.
    let lost_fits = lost <= given.unstated + slack;
    let gained_fits = gained <= taken.unstated + slack;
    differences
        .into_iter()
        .filter(|(_, taken, given)| {
            (taken - given > slack && !lost_fits) || (given - taken > slack && !gained_fits)
        })
        .map(|(name, taken, given)| format!("{name} {taken:.6} kg in, {given:.6} kg out"))
        .collect()
}

fn shares(design: &Design, diagnostics: &mut Vec<Diagnostic>) {
    let crews: Vec<_> = design
        .written
        .nodes
        .iter()
        .filter(|(name, _)| !design.without.contains(name))
        .filter_map(|(name, node)| Some((name, node.kind.crew_share()?.0)))
        .collect();
    let sum: f64 = crews.iter().map(|(_, share)| share).sum();
    let Some((last, _)) = crews.last() else {
        return;
    };
    if (sum - 1.0).abs() <= 1e-6 {
        return;
    }
    let message = format!("the crew nodes' shares add up to {sum}");
    let diagnostic = if sum > 1.0 {
        Diagnostic::error(codes::SHARES_SUM, message)
            .help("shares divide the crew: they add up to 1")
    } else {
        Diagnostic::warning(codes::SHARES_SUM, message)
            .help("the rest of the crew breathes and drinks nowhere: shares should add up to 1")
    };
    let mut diagnostic = diagnostic.at(last.place, "");
    for (name, share) in crews.iter().rev().skip(1) {
        diagnostic = diagnostic.also(name.place, format!("share {share}"));
    }
    diagnostics.push(diagnostic);
}

/// Nodes that name the same part agree in its mass and error factor.
fn parts(network: &Network, diagnostics: &mut Vec<Diagnostic>) {
    for pool in network.pools() {
        for &node in &pool.nodes {
            let Some(part) = network
                .duties(node)
                .hardware
                .as_ref()
                .and_then(|hardware| hardware.spares.as_ref())
            else {
                continue;
            };
            let Some(name) = &part.part else { continue };
            let same =
                part.mass_kg == pool.part.mass_kg && part.error_factor == pool.part.error_factor;
            if same {
                continue;
            }
            let first = pool
                .part
                .part
                .as_ref()
                .map_or(name.place, |name| name.place);
            diagnostics.push(
                Diagnostic::error(
                    codes::SHARED_PART,
                    format!(
                        "nodes.{}: the shared part \"{name}\" has another mass or error factor elsewhere",
                        network.name(node)
                    ),
                )
                .at(name.place, format!("{} kg here", part.mass_kg))
                .also(first, format!("{} kg here", pool.part.mass_kg))
                .help("one part has one mass and one error factor; else give them names of their own"),
            );
        }
    }
}
