//! Streams as written become links between nodes, one for each pair of hops.

use indexmap::IndexMap;
use indexmap::map::Entry;

use crate::catalogue::{SubstanceId, Substances};
use crate::design::{Design, unknown_nodes};
use crate::diagnostic::{Diagnostic, Place, codes, nearest};
use crate::written::Named;

/// A stream before its ends are nodes of a graph.
pub struct Link {
    pub from: usize,
    pub to: usize,
    pub substance: SubstanceId,
    pub place: Place,
}

/// Expands every way into streams, in file order.
pub fn links(
    design: &Design,
    names: &[&Named],
    substances: &Substances,
    diagnostics: &mut Vec<Diagnostic>,
) -> Vec<Link> {
    let mut links = Links::default();
    let indices: IndexMap<&str, usize> = names
        .iter()
        .enumerate()
        .map(|(index, name)| (name.as_str(), index))
        .collect();
    let index_of = |name: &Named| indices.get(name.as_str()).copied();
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
            // Names that no node has are complained about below.
            let hops: Vec<Vec<(usize, &Named)>> = way
                .iter()
                .map(|hop| {
                    let nodes = hop.nodes.iter();
                    nodes
                        .filter_map(|name| Some((index_of(name)?, name)))
                        .collect()
                })
                .collect();
            for pair in hops.windows(2) {
                for &(start, from) in &pair[0] {
                    for &(end, to) in &pair[1] {
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
    let uses = design.written.streams.iter().flat_map(|(substance, ways)| {
        let names = ways.iter().flatten().flat_map(|hop| &hop.nodes);
        names.map(|name| (substance.as_str(), name.as_str(), name.place))
    });
    let declared = design.written.nodes.keys().map(Named::as_str);
    diagnostics.extend(unknown_nodes(uses, declared));
    links.all
}

/// Streams so far, and where each was first written.
#[derive(Default)]
struct Links {
    all: Vec<Link>,
    first: IndexMap<(usize, usize, SubstanceId), Place>,
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

/// What streams bring to every node, and what they take from it, by id.
pub fn substances_at(
    links: &[Link],
    nodes: usize,
) -> (Vec<Vec<SubstanceId>>, Vec<Vec<SubstanceId>>) {
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
