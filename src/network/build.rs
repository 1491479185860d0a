//! From a design to its network: every name is resolved, every kind states its
//! duties, and the checks that need the whole graph are made.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use indexmap::{IndexMap, IndexSet};
use petgraph::graph::DiGraph;

use crate::catalogue::{self, DEFAULT_PROFILE, SubstanceId, Substances};
use crate::design::Design;
use crate::diagnostic::{Diagnostic, Place, codes, nearest};
use crate::kinds::{Context, without_repeats};
use crate::written::Named;

use super::{
    Exclusive, Limit, Limits, Network, Node, NodeId, SparesPolicy, Stream, calendar_of, checks,
    equivalents_of, faults_of, price_of, substances_of, water_round,
};

/// A network, and what a reader should look at.
#[derive(Clone, Debug)]
pub struct Checked {
    /// The network.
    pub network: Network,
    /// Warnings.
    pub warnings: Vec<Diagnostic>,
}

/// A stream before its ends are nodes of a graph.
struct Link {
    from: usize,
    to: usize,
    substance: SubstanceId,
    place: Place,
}

/// Checks a design and builds its network.
///
/// # Errors
///
/// Every mistake found, each with its place.
pub fn check(design: &Design) -> Result<Checked, Vec<Diagnostic>> {
    let mut diagnostics: Vec<Diagnostic> = design.complaints.clone();
    let written = &design.written;
    let calendar = calendar_of::calendar(&written.mission, &mut diagnostics);
    let profile = profile_of(design, &mut diagnostics);
    let substances = substances_of::substances(&written.substances, profile, &mut diagnostics);
    let names: Vec<&Named> = written
        .nodes
        .keys()
        .filter(|name| !design.without.contains(name))
        .collect();
    let links = links(design, &names, &substances, &mut diagnostics);
    let Some(calendar) = calendar else {
        return Err(errors(diagnostics));
    };
    let (inflows, outflows) = substances_at(&links, names.len());
    let mut graph: DiGraph<Node, Stream> = DiGraph::new();
    // Nodes that were complained about; nothing is known of them.
    let mut unsound: Vec<NodeId> = Vec::new();
    let kept = |(name, _): &&(Named, _)| !design.without.contains(name);
    for (index, (name, node)) in written.nodes.iter().filter(kept).enumerate() {
        let mut context = Context {
            node: name,
            substances: &substances,
            phases: &calendar.phases,
            inflows: &inflows[index],
            outflows: &outflows[index],
            diagnostics: &mut diagnostics,
        };
        let duties = node.kind.duties(&mut context);
        if duties.is_none() {
            unsound.push(NodeId::new(index));
        }
        let mut duties = duties.unwrap_or_default();
        silence_before_start(&mut duties);
        graph.add_node(Node {
            name: name.text.clone(),
            place: name.place,
            kind: node.entry.name,
            duties,
        });
    }
    if diagnostics
        .iter()
        .any(|one| one.code == codes::UNKNOWN_NODE)
    {
        // What streams lack is known only once all their names are.
        diagnostics.retain(|one| ![codes::NOWHERE_TO_GO, codes::NOBODY_GIVES].contains(&one.code));
    }
    for link in links {
        graph.add_edge(
            NodeId::new(link.from),
            NodeId::new(link.to),
            Stream {
                substance: link.substance,
                place: link.place,
            },
        );
    }
    let exclusive = exclusive(design, &names, &graph, &unsound, &mut diagnostics);
    let equivalents = equivalents_of::equivalents(
        written.equivalents.as_ref(),
        &calendar.phases,
        &mut diagnostics,
    );
    let launch_price =
        price_of::launch_price(written.mission.launch_price.as_ref(), &mut diagnostics);
    let mut network = Network {
        title: written.title.clone(),
        summary: written.summary.clone(),
        calendar,
        substances,
        graph,
        exclusive,
        limits: limits(design),
        spares: spares(design, &mut diagnostics),
        equivalents,
        launch_price,
        bad_days: Vec::new(),
        water_round: None,
        notes: profile
            .map(|profile| notes(profile, design))
            .unwrap_or_default(),
    };
    if !diagnostics.iter().any(Diagnostic::is_error) {
        // Names can be resolved once the network stands.
        network.bad_days = faults_of::faults(design, &network, &mut diagnostics);
        checks::whole_graph(&network, design, &mut diagnostics);
        network.water_round = water_round::resolve(design, &network, &mut diagnostics);
    }
    if diagnostics.iter().any(Diagnostic::is_error) {
        return Err(errors(diagnostics));
    }
    Ok(Checked {
        network,
        warnings: without_repeats(diagnostics),
    })
}

fn errors(diagnostics: Vec<Diagnostic>) -> Vec<Diagnostic> {
    without_repeats(diagnostics)
}

/// What streams bring to every node, and what they take from it, by id.
fn substances_at(links: &[Link], nodes: usize) -> (Vec<Vec<SubstanceId>>, Vec<Vec<SubstanceId>>) {
    let (mut inflows, mut outflows) = (vec![Vec::new(); nodes], vec![Vec::new(); nodes]);
    for link in links {
        inflows[link.to].push(link.substance);
        outflows[link.from].push(link.substance);
    }
    for found in inflows.iter_mut().chain(&mut outflows) {
        found.sort();
        found.dedup();
    }
    (inflows, outflows)
}

/// Before its start a node does nothing.
fn silence_before_start(duties: &mut crate::kinds::Duties) {
    let start = duties.starts_in_phase;
    for activity in &mut duties.activities {
        if let crate::kinds::Level::Fixed(values) = &mut activity.level {
            for value in values.iter_mut().take(start) {
                *value = 0.0;
            }
        }
    }
}

/// The one crew profile that gives food, urine and the like their make-up.
fn profile_of(
    design: &Design,
    diagnostics: &mut Vec<Diagnostic>,
) -> Option<&'static catalogue::CrewProfile> {
    let mut first: Option<&Named> = None;
    for node in design.written.nodes.values() {
        let Some(name) = node.kind.crew_profile() else {
            continue;
        };
        // An unknown name is the crew node's own complaint.
        if catalogue::crew_profile(&name.text).is_none() {
            continue;
        }
        match first {
            None => first = Some(name),
            Some(known) if known != name => diagnostics.push(
                Diagnostic::error(
                    codes::PROFILES_DIFFER,
                    format!("crew profiles \"{known}\" and \"{name}\" in one design"),
                )
                .at(name.place, "another edition here")
                .also(known.place, "first named here")
                .help("name one edition everywhere: editions mixed do not close"),
            ),
            Some(_) => {}
        }
    }
    catalogue::crew_profile(first.map_or(DEFAULT_PROFILE, |name| name.text.as_str()))
}

fn notes(profile: &catalogue::CrewProfile, design: &Design) -> Vec<String> {
    let any_crew = design
        .written
        .nodes
        .values()
        .any(|node| node.kind.crew_share().is_some());
    if !any_crew {
        return Vec::new();
    }
    profile
        .notes()
        .into_iter()
        .map(|note| format!("crew profile {}: {note}", profile.name))
        .collect()
}

/// Expands every way into streams, in file order.
fn links(
    design: &Design,
    names: &[&Named],
    substances: &Substances,
    diagnostics: &mut Vec<Diagnostic>,
) -> Vec<Link> {
    let mut links = Links::default();
    // One wrong name is one mistake, wherever it is used.
    let mut unknown: IndexMap<&Named, Vec<(&Named, Place)>> = IndexMap::new();
    let indices: BTreeMap<&str, usize> = names
        .iter()
        .enumerate()
        .map(|(index, name)| (name.as_str(), index))
        .collect();
    let index_of = |name: &Named| indices.get(name.as_str()).copied();
    let declared: IndexSet<&str> = design.written.nodes.keys().map(Named::as_str).collect();
    for (substance, ways) in &design.written.streams {
        let Some(id) = substances.find(&substance.text) else {
            let help = match nearest(&substance.text, substances.names()) {
                Some(near) => format!("did you mean \"{near}\"? else declare it under substances"),
                None => "declare it under substances".to_owned(),
            };
            diagnostics.push(
                Diagnostic::error(
                    codes::UNKNOWN_SUBSTANCE,
                    format!("streams: no substance is called \"{substance}\""),
                )
                .at(substance.place, "")
                .help(help),
            );
            continue;
        };
        for way in ways {
            if way.len() < 2 {
                let place = way.first().map_or(substance.place, |hop| hop.place);
                diagnostics.push(
                    Diagnostic::error(
                        codes::SHORT_WAY,
                        format!("streams.{substance}: a way with {} hop", way.len()),
                    )
                    .at(place, "")
                    .help("a way names at least where it starts and where it ends"),
                );
                continue;
            }
            for name in way.iter().flat_map(|hop| &hop.nodes) {
                if !declared.contains(name.as_str()) {
                    unknown
                        .entry(name)
                        .or_default()
                        .push((substance, name.place));
                }
            }
            for pair in way.windows(2) {
                for from in &pair[0].nodes {
                    for to in &pair[1].nodes {
                        let (Some(start), Some(end)) = (index_of(from), index_of(to)) else {
                            continue;
                        };
                        let link = Link {
                            from: start,
                            to: end,
                            substance: id,
                            place: to.place,
                        };
                        links.join(link, from, to, substance, diagnostics);
                    }
                }
            }
        }
    }
    for (name, uses) in unknown {
        let help = match nearest(&name.text, declared.iter().copied()) {
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
        diagnostics.push(complaint.help(help));
    }
    links.all
}

/// Streams so far, and where each was first written.
#[derive(Default)]
struct Links {
    all: Vec<Link>,
    first: BTreeMap<(usize, usize, SubstanceId), Place>,
}

impl Links {
    fn join(
        &mut self,
        link: Link,
        from: &Named,
        to: &Named,
        substance: &Named,
        diagnostics: &mut Vec<Diagnostic>,
    ) {
        if link.from == link.to {
            diagnostics.push(
                Diagnostic::error(
                    codes::TO_ITSELF,
                    format!("streams.{substance}: a stream from \"{from}\" to itself"),
                )
                .at(to.place, "")
                .help("leave it out: what a node keeps needs no stream"),
            );
            return;
        }
        match self.first.entry((link.from, link.to, link.substance)) {
            Entry::Occupied(known) => diagnostics.push(
                Diagnostic::warning(
                    codes::REPEATED_STREAM,
                    format!("streams.{substance}: \"{from}\" to \"{to}\" is written twice"),
                )
                .at(link.place, "written again here")
                .also(*known.get(), "first written here")
                .help("it counts once; leave one out"),
            ),
            Entry::Vacant(new) => {
                new.insert(link.place);
                self.all.push(link);
            }
        }
    }
}

fn exclusive(
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
            let Some(index) = names.iter().position(|known| *known == name) else {
                let help = match nearest(&name.text, names.iter().map(|name| name.as_str())) {
                    Some(near) => format!("did you mean \"{near}\"?"),
                    None => "name nodes of the design".to_owned(),
                };
                complain(name.place, format!("no node is called \"{name}\""), &help);
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

fn limits(design: &Design) -> Limits {
    let limits = &design.written.limits;
    let limit = |value: Option<f64>, place: Option<Place>| -> Option<Limit> {
        Some(Limit {
            value: value?,
            place: place?,
        })
    };
    Limits {
        power_w: limit(
            limits.power.map(|placed| placed.value.0),
            limits.power.map(|placed| placed.place),
        ),
        heat_w: limit(
            limits.heat.map(|placed| placed.value.0),
            limits.heat.map(|placed| placed.place),
        ),
        volume_m3: limit(
            limits.volume.map(|placed| placed.value.0),
            limits.volume.map(|placed| placed.place),
        ),
        crew_time_h_per_day: limit(
            limits.crew_time.map(|placed| placed.value.0),
            limits.crew_time.map(|placed| placed.place),
        ),
        stowage_kg: limit(
            limits.stowage.map(|placed| placed.value.0),
            limits.stowage.map(|placed| placed.place),
        ),
    }
}

fn spares(design: &Design, diagnostics: &mut Vec<Diagnostic>) -> Option<SparesPolicy> {
    use crate::design::SparesWanted;
    let (confidence, policy): (_, fn(f64) -> SparesPolicy) = match design.written.spares.as_ref()? {
        SparesWanted::EachNode { confidence } => (confidence, |confidence| {
            SparesPolicy::EachNode { confidence }
        }),
        SparesWanted::WholeSystem { confidence } => (confidence, |confidence| {
            SparesPolicy::WholeSystem { confidence }
        }),
    };
    let value = confidence.value.0;
    if value <= 0.0 || value >= 1.0 {
        diagnostics.push(
            Diagnostic::error(
                codes::CONFIDENCE,
                format!("spares: a confidence of {value}"),
            )
            .at(confidence.place, "")
            .help("state a probability between 0 and 1, such as 0.99; no spares reach 1"),
        );
    }
    Some(policy(value))
}
