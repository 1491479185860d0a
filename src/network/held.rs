//! Units held within stated counts.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use super::Network;
use crate::diagnostic::{Diagnostic, codes, nearest};
use crate::kinds::Count;

impl Network {
    /// The same network with the units of some nodes, by name, held within counts
    /// that it allows.
    ///
    /// # Errors
    ///
    /// Every name that is no node with a unit, and every range that is empty or
    /// that the node's own bounds leave out in part.
    pub fn holding(
        &self,
        counts: &BTreeMap<String, RangeInclusive<u32>>,
    ) -> Result<Network, Vec<Diagnostic>> {
        let mut held = self.clone();
        let mut complaints = Vec::new();
        for (name, units) in counts {
            let Some(node) = self.nodes().find(|&node| self.name(node) == name) else {
                let names = self.nodes().map(|node| self.name(node));
                let help = match nearest(name, names) {
                    Some(near) => format!("did you mean \"{near}\"?"),
                    None => "name a node of the design".to_owned(),
                };
                complaints.push(
                    Diagnostic::error(
                        codes::UNKNOWN_NODE,
                        format!("no node is called \"{name}\", so its units cannot be held"),
                    )
                    .help(help),
                );
                continue;
            };
            let place = self.graph[node].place;
            let duties = &mut held.graph[node].duties;
            let Count { lower, upper, .. } = duties.count;
            if duties.hardware.is_none() {
                complaints.push(
                    Diagnostic::error(
                        codes::COUNT_WITHOUT_UNIT,
                        format!("\"{name}\" has no unit whose count could be held"),
                    )
                    .at(place, "")
                    .help("hold nodes with a unit"),
                );
            } else if units.is_empty() || *units.start() < lower || *units.end() > upper {
                complaints.push(
                    Diagnostic::error(
                        codes::COUNT_RANGE,
                        format!(
                            "{} of \"{name}\" cannot be held: the design allows {}",
                            words(units),
                            duties.count
                        ),
                    )
                    .at(place, "")
                    .help("change its count in the design, or hold a count within it"),
                );
            } else {
                duties.count.lower = *units.start();
                duties.count.upper = *units.end();
            }
        }
        match complaints.is_empty() {
            true => Ok(held),
            false => Err(complaints),
        }
    }
}

fn words(units: &RangeInclusive<u32>) -> String {
    match units.start() == units.end() {
        true if *units.start() == 1 => "1 unit".to_owned(),
        true => format!("{} units", units.start()),
        false => format!("{} to {} units", units.start(), units.end()),
    }
}
