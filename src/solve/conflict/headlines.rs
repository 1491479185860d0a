//! What a conflict is called: a headline that stands alone, with the amount,
//! and the next act, by the statement that gives way most naturally.

use petgraph::Direction;

use super::amounts::{self, dimension};
use super::causes::Cause;
use super::ground::ends;
use super::statement::What;
use super::words::{
    self, flight, in_phase, limited, listed, mass, name, rate, statement, substance, window,
};
use crate::catalogue::SubstanceId;
use crate::diagnostic::{Code, codes};
use crate::kinds::{Role, Way};
use crate::network::NodeId;
use crate::quantity::{Dimension, shown};

/// A code, a headline and the next act.
pub(super) type Told = (Code, String, String);

impl Cause<'_> {
    pub(super) fn shortage(&self, node: NodeId, wanted: SubstanceId, phase: usize) -> Told {
        let network = self.network;
        let mut takers = vec![name(network, node)];
        let mut total = amounts::need(network, node, wanted, phase);
        let mut beside = Vec::new();
        for &other in &self.statements[1..] {
            if let What::Need {
                node,
                substance: what,
                phase: when,
            } = other
            {
                if what == wanted && when == phase {
                    takers.push(name(network, node));
                    total += amounts::need(network, node, what, when);
                } else {
                    beside.push(statement(network, other));
                }
            }
        }
        let most = (total - self.slack[0]).max(0.0);
        let (need, them) = match takers.len() {
            1 => ("needs", "it"),
            _ => ("need", "them"),
        };
        let together = if takers.len() > 1 { " together" } else { "" };
        let mut headline = format!(
            "{} {need} {}{together} of {} {}; ",
            listed(&takers),
            rate(total),
            substance(network, wanted),
            in_phase(network, phase),
        );
        let held = self.held_back(node, wanted, phase, Direction::Incoming);
        if most <= 1e-9 * total {
            headline.push_str(&format!("nothing can reach {them}"));
        } else {
            headline.push_str(&format!(
                "what can reach {them} gives at most {}",
                rate(most)
            ));
        }
        if !held.is_empty() {
            headline.push_str(&format!(": {}", held.join(", ")));
        }
        if !beside.is_empty() {
            headline.push_str(&format!(", while {}", listed(&beside)));
        }
        if self.short > self.slack[0] * (1.0 + 1e-6) {
            headline.push_str(&format!(
                "; with all else that draws on it, {} are missing",
                rate(self.short)
            ));
        }
        let wanted = network.substances.name(wanted);
        let help = format!(
            "bring more \"{wanted}\", such as by a Cargo(gives: \"{wanted}\") with a stream{}, or lower the need",
            self.more_units(",")
        );
        (codes::SHORTAGE, headline, help)
    }

    /// `made` tells whether the place makes the substance or receives it; none
    /// where it gives it at a given rate.
    pub(super) fn surplus(
        &self,
        node: NodeId,
        what: SubstanceId,
        phase: usize,
        made: Option<bool>,
    ) -> Told {
        let network = self.network;
        let (too_much, verb) = match made {
            Some(true) => (rate(self.short), "is made"),
            Some(false) => (rate(self.short), "comes in"),
            None => (rate(self.short), "is given"),
        };
        let mut headline = format!(
            "{} has nowhere to go at {} {}: {too_much} more {verb} than everything that takes it can use",
            substance(network, what),
            name(network, node),
            in_phase(network, phase),
        );
        let held = self.held_back(node, what, phase, Direction::Outgoing);
        if !held.is_empty() {
            headline.push_str(&format!(" ({})", held.join(", ")));
        }
        let overboard = network.nodes().find(|&node| {
            let mut activities = network.duties(node).activities.iter();
            activities.any(|activity| activity.role == Role::Leave(Way::Overboard))
        });
        let stream = |to: &str| {
            format!(
                "[\"{}\", \"{to}\"] among the streams of {}",
                network.name(node),
                substance(network, what)
            )
        };
        let more = self.more_units(", or");
        let help = match overboard {
            Some(disposal) => format!(
                "give it a way out, such as {}{more}",
                stream(network.name(disposal))
            ),
            None => format!(
                "give it a way out, such as a Disposal(way: Overboard) called \"overboard\" and {}{more}",
                stream("overboard")
            ),
        };
        (codes::SURPLUS, headline, help)
    }

    /// That the nodes whose capacity is in the way could treat more.
    fn more_units(&self, joined: &str) -> String {
        let mut nodes: Vec<String> = Vec::new();
        for what in &self.statements {
            if let What::Capacity { node, .. } = *what {
                nodes.push(name(self.network, node));
            }
        }
        nodes.dedup();
        match nodes.is_empty() {
            true => String::new(),
            false => format!("{joined} let {} treat more", listed(&nodes)),
        }
    }

    /// What holds a flow back: at the nodes where it begins or ends, then
    /// further along.
    fn held_back(
        &self,
        node: NodeId,
        what: SubstanceId,
        phase: usize,
        way: Direction,
    ) -> Vec<String> {
        let network = self.network;
        let mut held = Vec::new();
        let mut told = Vec::new();
        for end in ends(network, node, what, way) {
            let at = name(network, end);
            if !network.works(end, phase) {
                let start = network.duties(end).starts_in_phase;
                let start = network.calendar.phases.get(start);
                let start = start.map_or("", |phase| phase.name.as_str());
                held.push(format!("{at} works only from phase `{start}`"));
                continue;
            }
            let capacity = What::Capacity { node: end, phase };
            let turndown = What::Turndown { node: end, phase };
            if self.statements.contains(&turndown) {
                told.push(capacity);
            } else if self.statements.contains(&capacity) {
                let gives = way == Direction::Incoming;
                let ratio = amounts::per_feed(network, end, what, gives);
                let most = amounts::capacity(network, end).unwrap_or(0.0);
                held.push(match network.duties(end).count.upper {
                    0 => format!("{at} may have no unit"),
                    _ => format!("{at} {} (capacity)", rate(most * ratio)),
                });
                told.push(capacity);
            }
            let need = What::Need {
                node: end,
                substance: what,
                phase,
            };
            if way == Direction::Outgoing && self.statements.contains(&need) {
                let needed = amounts::need(network, end, what, phase);
                held.push(format!("{at} {}", rate(needed)));
                told.push(need);
            }
        }
        for &other in &self.statements[1..] {
            if told.contains(&other) {
                continue;
            }
            let at = other.node().map(|node| name(network, node));
            match (other, at) {
                (What::Capacity { node, .. }, Some(at)) => {
                    let most = amounts::capacity(network, node).unwrap_or(0.0);
                    held.push(format!("{at} {} (capacity)", rate(most)));
                }
                (What::Conversion { .. }, _)
                | (What::Exclusive { .. }, _)
                | (What::Stowed { .. } | What::Removed { .. }, _) => {
                    held.push(statement(network, other));
                }
                (other, _) if other.is_limit() => held.push(statement(network, other)),
                _ => {}
            }
        }
        held
    }

    pub(super) fn turndown(&self) -> Option<String> {
        let network = self.network;
        let runs: Vec<String> = self
            .statements
            .iter()
            .filter_map(|what| match *what {
                What::Turndown { node, .. } => Some(format!(
                    "every unit of {} that runs treats at least {} (turndown)",
                    name(network, node),
                    rate(words::least_feed(network, node))
                )),
                _ => None,
            })
            .collect();
        if runs.is_empty() {
            return None;
        }
        Some(format!("; {}", runs.join("; ")))
    }

    pub(super) fn limit(&self, seed: What) -> Told {
        let network = self.network;
        let most = amounts::limit(network, seed);
        let unit = dimension(seed);
        let phase = match seed.phase() {
            Some(phase) => format!(" {}", in_phase(network, phase)),
            None => String::new(),
        };
        let headline = format!(
            "{}{phase} comes to at least {}, {} above its limit of {}",
            limited(seed),
            shown(most + self.short, unit),
            shown(self.short, unit),
            shown(most, unit),
        );
        let help = format!(
            "raise the limit to {} or more, or let what asks for it ask for less",
            shown(most + self.short, unit)
        );
        (codes::LIMIT_EXCEEDED, headline, help)
    }

    pub(super) fn waste(&self, seed: What) -> Told {
        let network = self.network;
        let (most, headline) = match seed {
            What::Removed { node, flight } => {
                let most = amounts::waste(network, node);
                let headline = format!(
                    "at least {} of waste comes to {} from {}, {} more than departing vehicles take away ({} per flight)",
                    mass(most + self.short),
                    name(network, node),
                    window(network, flight),
                    mass(self.short),
                    mass(most)
                );
                (most, headline)
            }
            What::Stowed { node } => {
                let most = amounts::waste(network, node);
                let headline = format!(
                    "at least {} of waste comes to {} over the mission, {} above its limit of {}",
                    mass(most + self.short),
                    name(network, node),
                    mass(self.short),
                    mass(most)
                );
                (most, headline)
            }
            _ => {
                let most = amounts::limit(network, seed);
                let headline = format!(
                    "{} comes to at least {}, {} above its limit of {}",
                    limited(seed),
                    mass(most + self.short),
                    mass(self.short),
                    mass(most)
                );
                (most, headline)
            }
        };
        let help = format!(
            "allow {} or more, or give some of the waste another way out",
            mass(most + self.short)
        );
        (codes::WASTE, headline, help)
    }

    pub(super) fn payload(&self) -> Told {
        let network = self.network;
        let mut flights: Vec<usize> = self
            .statements
            .iter()
            .filter_map(|what| match *what {
                What::Payload { flight } => Some(flight),
                _ => None,
            })
            .collect();
        flights.sort_unstable();
        let most = amounts::payload(network, &flights);
        let names: Vec<String> = flights
            .iter()
            .map(|&index| flight(network, index))
            .collect();
        let (carry, together) = match flights.len() {
            1 => ("carries", ""),
            _ => ("carry", " together"),
        };
        let headline = format!(
            "{} {carry} at most {}{together}, at least {} less than what must fly by then",
            listed(&names),
            mass(most),
            mass(self.short),
        );
        let help = "raise a payload, add an earlier flight, or let less be needed".to_owned();
        (codes::PAYLOAD_EXCEEDED, headline, help)
    }

    pub(super) fn exclusive(&self, seed: What) -> Told {
        let network = self.network;
        let needs: Vec<String> = self
            .statements
            .iter()
            .filter(|what| {
                matches!(
                    what,
                    What::Need { .. } | What::Product { .. } | What::Units { .. }
                )
            })
            .map(|&what| statement(network, what))
            .collect();
        let group = match seed {
            What::Exclusive { group } => words::group(network, group),
            _ => String::new(),
        };
        let headline = format!(
            "only one of {group} may have units, but at least {} must, because {}",
            shown(1.0 + self.short, Dimension::Whole),
            listed(&needs)
        );
        let help = "take a node out of the group, or let one of them do the work alone".to_owned();
        (codes::EXCLUSIVE_EXCEEDED, headline, help)
    }
}
