//! What a derivation is about.

use std::collections::BTreeSet;

use crate::diagnostic::{Diagnostic, codes, nearest};
use crate::network::{Network, NodeId};
use crate::program::{ColumnId, Family, Program, Row};
use crate::study::prices::Limited;

/// What a derivation is about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Item {
    /// A node.
    Node(NodeId),
    /// A limit on the whole design.
    Limit(Limited),
    /// A flight, by its number.
    Flight(usize),
}

impl Item {
    /// Every item of a network, with its name.
    pub fn all(network: &Network) -> Vec<(String, Item)> {
        let nodes = network
            .nodes()
            .map(|node| (network.name(node).to_owned(), Item::Node(node)));
        let limits = Limited::ALL
            .into_iter()
            .filter(|limited| limited.of(network).is_some())
            .map(|limited| (limited.words().0.to_owned(), Item::Limit(limited)));
        let flights = (0..network.calendar.flights.len())
            .map(|flight| (format!("flight {flight}"), Item::Flight(flight)));
        nodes.chain(limits).chain(flights).collect()
    }

    /// The item of a name; a node goes before a limit or flight of the same name.
    ///
    /// # Errors
    ///
    /// The likely name, or the names there are.
    pub fn find(network: &Network, name: &str) -> Result<Item, Diagnostic> {
        let all = Item::all(network);
        if let Some((_, item)) = all.iter().find(|(known, _)| known == name) {
            return Ok(*item);
        }
        let names = || all.iter().map(|(known, _)| known.as_str());
        let help = match nearest(name, names()) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => format!("there are: {}", names().collect::<Vec<_>>().join(", ")),
        };
        let words = format!("no node, limit or flight is called \"{name}\"");
        Err(Diagnostic::error(codes::UNKNOWN_NODE, words).help(help))
    }

    /// Rows that speak of it.
    pub(super) fn rows(self, network: &Network, program: &Program) -> Vec<usize> {
        let own = self.columns(network, program);
        let place = match self {
            Item::Node(node) => Some(network.graph[node].place),
            Item::Limit(limited) => limited.of(network).map(|limit| limit.place),
            Item::Flight(_) => None,
        };
        let is_about = |row: &Row| match self {
            Item::Node(node) => {
                row.about.node == Some(node)
                    || row.place == place
                    || row.terms.iter().any(|(column, _)| own.contains(column))
            }
            Item::Limit(_) => row.family == Family::Limits && row.place == place,
            Item::Flight(flight) => row.about.flight == Some(flight),
        };
        // Running totals of pieces are how the program writes them, no more.
        let totals: BTreeSet<ColumnId> = program
            .handles
            .running_totals
            .iter()
            .map(|(total, _)| *total)
            .collect();
        let counts_up = |row: &Row| row.terms.iter().any(|(column, _)| totals.contains(column));
        let mut rows: Vec<usize> = (0..program.rows.len())
            .filter(|&row| is_about(&program.rows[row]) && !counts_up(&program.rows[row]))
            .collect();
        rows.sort_by_key(|&row| program.rows[row].family);
        rows
    }

    /// What is chosen at it, in rows that speak of much else.
    pub(super) fn columns(self, network: &Network, program: &Program) -> BTreeSet<ColumnId> {
        let all = || (0..program.columns.len()).map(ColumnId);
        let Item::Node(node) = self else {
            // A limit or a payload is about everything in it.
            return all().collect();
        };
        let place = Some(network.graph[node].place);
        let mut own: BTreeSet<ColumnId> = all()
            .filter(|column| program.columns[column.0].place == place)
            .collect();
        for part in &program.parts {
            if part.nodes.contains(&node) {
                own.extend(part.options.iter().map(|option| option.column));
            }
        }
        let count = program.handles.count[node.index()];
        let groups = program.exclusive.iter().flatten();
        own.extend(
            groups
                .filter(|(units, _)| count == Some(*units))
                .map(|(_, on)| on),
        );
        own
    }
}
