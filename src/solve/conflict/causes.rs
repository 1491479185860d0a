//! Causes in words: every conflict becomes a diagnostic.

use petgraph::Direction;

use super::amounts::{self, dimension};
use super::elastic::Elastic;
use super::ground::ends;
use super::shrink::Set;
use super::statement::What;
use super::words::{
    self, flight, in_phase, limited, listed, mass, name, rate, statement, substance, window,
};
use super::{Conflict, Statement};
use crate::catalogue::SubstanceId;
use crate::diagnostic::{Code, Diagnostic, codes};
use crate::kinds::{Role, Way};
use crate::network::{Network, NodeId};
use crate::quantity::{Dimension, shown};

/// Conflicts that say the same of several phases become one, the worst first.
pub(super) fn causes(elastic: &Elastic<'_>, sets: &[Set], all: bool) -> Vec<Conflict> {
    let network = elastic.network;
    let what = |member: usize| elastic.statements[member].what;
    let mut alike: Vec<(Vec<What>, Vec<&Set>)> = Vec::new();
    for set in sets {
        let mut shape: Vec<What> = set.members.iter().map(|&m| what(m).whenever()).collect();
        shape.sort();
        shape.dedup();
        match alike.iter_mut().find(|(known, _)| *known == shape) {
            Some((_, sets)) => sets.push(set),
            None => alike.push((shape, vec![set])),
        }
    }
    let mut causes: Vec<Conflict> = alike
        .into_iter()
        .filter_map(|(_, mut sets)| {
            sets.sort_by(|a, b| b.short.total_cmp(&a.short));
            let worst = sets.first()?;
            let cause = Cause {
                network,
                statements: worst.members.iter().map(|&member| what(member)).collect(),
                slack: &worst.slack,
                short: worst.short,
            };
            let mut elsewhere: Vec<What> = sets[1..]
                .iter()
                .filter_map(|set| set.members.first().map(|&member| what(member)))
                .filter(|&other| other.whenever() == cause.statements[0].whenever())
                .collect();
            elsewhere.sort();
            Some(cause.conflict(&elsewhere, worst))
        })
        .collect();
    if causes.is_empty() || !all {
        causes.push(untold(causes.is_empty()));
    }
    causes
}

/// What is said where the search for causes was not brought to its end.
fn untold(none: bool) -> Conflict {
    let headline = if none {
        "nothing balances, but which statements conflict could not be told in the time allowed"
    } else {
        "there may be further causes: the search for them ran out of time"
    };
    Conflict {
        diagnostic: Diagnostic::error(codes::CAUSE_UNTOLD, headline).help(
            "leave out limits, payloads or turndowns one at a time until the design balances",
        ),
        statements: Vec::new(),
    }
}

/// One conflict, ready to be put into words.
struct Cause<'a> {
    network: &'a Network,
    /// The seed first.
    statements: Vec<What>,
    slack: &'a [f64],
    short: f64,
}

impl Cause<'_> {
    fn conflict(&self, elsewhere: &[What], set: &Set) -> Conflict {
        let seed = self.statements[0];
        let (mut code, mut headline, help) = match seed {
            What::Need {
                node,
                substance,
                phase,
            } => self.shortage(node, substance, phase),
            What::Product {
                node,
                substance,
                phase,
            } => self.surplus(node, substance, phase, None),
            What::Outlet {
                node,
                substance,
                phase,
                made,
            } => self.surplus(node, substance, phase, Some(made)),
            What::Stowed { .. } | What::Removed { .. } | What::Stowage => self.waste(seed),
            What::Payload { .. } => self.payload(),
            What::Exclusive { .. } => self.exclusive(seed),
            _ => self.limit(seed),
        };
        if let Some(turndown) = self.turndown() {
            code = codes::TURNDOWN;
            headline.push_str(&turndown);
        }
        if let Some(others) = self.elsewhere(elsewhere) {
            headline.push_str(&others);
        }
        if !set.smallest {
            headline.push_str("; in the time allowed, fewer statements were not found to conflict");
        }
        let mut diagnostic = Diagnostic::error(code, headline).help(help);
        for (index, &what) in self.statements.iter().enumerate() {
            let Some(place) = words::place(self.network, what) else {
                continue;
            };
            let label = statement(self.network, what);
            diagnostic = if index == 0 {
                diagnostic.at(place, label)
            } else {
                diagnostic.also(place, label)
            };
        }
        diagnostic = self.streams(diagnostic);
        Conflict {
            diagnostic,
            statements: self
                .statements
                .iter()
                .zip(self.slack)
                .map(|(&what, &slack)| Statement {
                    what,
                    words: statement(self.network, what),
                    place: words::place(self.network, what),
                    slack,
                    unit: dimension(what).unit(),
                })
                .collect(),
        }
    }

    /// The streams by which a surplus leaves and a need is met, as far as they
    /// end at the place named.
    fn streams(&self, mut diagnostic: Diagnostic) -> Diagnostic {
        let (node, substance, way) = match self.statements[0] {
            What::Need {
                node, substance, ..
            } => (node, substance, Direction::Incoming),
            What::Product {
                node, substance, ..
            }
            | What::Outlet {
                node, substance, ..
            } => (node, substance, Direction::Outgoing),
            _ => return diagnostic,
        };
        let streams = match way {
            Direction::Incoming => self.network.inflows(node, substance),
            Direction::Outgoing => self.network.outflows(node, substance),
        };
        let mut told = Vec::new();
        for stream in streams {
            let place = self.network.graph[stream].place;
            if told.contains(&place) {
                continue;
            }
            told.push(place);
            let label = match way {
                Direction::Incoming => "what comes in",
                Direction::Outgoing => "a way out",
            };
            diagnostic = diagnostic.also(place, label);
        }
        diagnostic
    }

    fn shortage(&self, node: NodeId, wanted: SubstanceId, phase: usize) -> (Code, String, String) {
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
            "bring more \"{wanted}\", such as by a Cargo(gives: \"{wanted}\") with a stream, let more units fly, or lower the need"
        );
        (codes::SHORTAGE, headline, help)
    }

    /// `made` tells whether the place makes the substance or receives it; none
    /// where it gives it at a given rate.
    fn surplus(
        &self,
        node: NodeId,
        what: SubstanceId,
        phase: usize,
        made: Option<bool>,
    ) -> (Code, String, String) {
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
                "\"{}\": [[\"{}\", \"{to}\"]]",
                network.substances.name(what),
                network.name(node)
            )
        };
        let help = match overboard {
            Some(disposal) => format!(
                "give it a way out, such as the stream {}",
                stream(network.name(disposal))
            ),
            None => format!(
                "give it a way out, such as a Disposal(way: Overboard) called \"overboard\" and the stream {}",
                stream("overboard")
            ),
        };
        (codes::SURPLUS, headline, help)
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

    fn turndown(&self) -> Option<String> {
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

    fn limit(&self, seed: What) -> (Code, String, String) {
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

    fn waste(&self, seed: What) -> (Code, String, String) {
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

    fn payload(&self) -> (Code, String, String) {
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
            "{} {carry} at most {}{together}, {} less than what must fly by then",
            listed(&names),
            mass(most),
            mass(self.short),
        );
        let help = "raise a payload, add an earlier flight, or let less be needed".to_owned();
        (codes::PAYLOAD_EXCEEDED, headline, help)
    }

    fn exclusive(&self, seed: What) -> (Code, String, String) {
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

    /// Other phases or windows that say the same.
    fn elsewhere(&self, others: &[What]) -> Option<String> {
        let network = self.network;
        let mut places: Vec<String> = others
            .iter()
            .filter_map(|what| match *what {
                What::Removed { flight, .. } => Some(format!("from {}", window(network, flight))),
                other => Some(in_phase(network, other.phase()?)),
            })
            .collect();
        places.dedup();
        if places.is_empty() {
            return None;
        }
        Some(format!("; likewise {}", listed(&places)))
    }
}
