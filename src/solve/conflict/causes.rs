//! Causes in words: every conflict becomes a diagnostic.

use petgraph::Direction;

use super::amounts::dimension;
use super::elastic::Elastic;
use super::shrink::Set;
use super::statement::What;
use super::words::{self, in_phase, listed, statement, window};
use super::{Conflict, Statement};
use crate::diagnostic::{Diagnostic, codes};
use crate::network::Network;

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

/// Most statements marked in the text; of more, the first ones.
const LABELS: usize = 12;

/// One conflict, ready to be put into words.
pub(super) struct Cause<'a> {
    /// The network.
    pub network: &'a Network,
    /// The one that gives way most naturally first.
    pub statements: Vec<What>,
    /// How far each gives way for the others to hold.
    pub slack: &'a [f64],
    /// How far the first gives way in the whole design.
    pub short: f64,
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
        for (index, &what) in self.statements.iter().take(LABELS).enumerate() {
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
        diagnostic = match self.statements.len() {
            few if few <= LABELS => self.streams(diagnostic),
            _ => diagnostic,
        };
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
