//! From a design to its network: every name is resolved, every kind states its
//! duties, and the checks that need the whole graph are made.

use petgraph::graph::DiGraph;

use crate::catalogue::{self, DEFAULT_PROFILE};
use crate::design::Design;
use crate::diagnostic::{Diagnostic, Place, codes};
use crate::kinds::{Context, without_repeats};
use crate::written::Named;

use super::{
    Limit, Limits, Network, Node, NodeId, SparesPolicy, Stream, calendar_of, checks,
    equivalents_of, exclusive_of, faults_of, links, price_of, substances_of, water_round,
};

/// A network, and what a reader should look at.
#[derive(Clone, Debug)]
pub struct Checked {
    /// The network.
    pub network: Network,
    /// Warnings.
    pub warnings: Vec<Diagnostic>,
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
    let links = links::links(design, &names, &substances, &mut diagnostics);
    let Some(calendar) = calendar else {
        return Err(errors(diagnostics));
    };
    let (inflows, outflows) = links::substances_at(&links, names.len());
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
    let exclusive = exclusive_of::exclusive(design, &names, &graph, &unsound, &mut diagnostics);
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
