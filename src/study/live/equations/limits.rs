//! Limits on units, cartridges, containers, ways out and the whole design: rows that hold at
//! the plan's number where they are tight.

use super::{Equation, Holds, Pieces, Terms, Writer, gives, takes};
use crate::kinds::{Role, Way};
use crate::network::NodeId;
use crate::study::live::Draft;
use crate::study::live::facts::{Fact, StockFact, UnitFact, WholeFact};
use crate::study::live::formula::{CellId, Formula, negative, product, sum};

impl Writer<'_, '_> {
    pub(super) fn capacity(&mut self, node: NodeId, all: &mut Vec<Equation>) {
        let index = node.index();
        for phase in 0..self.phases() {
            let Some(most) = self.units.most(self.draft, node, phase) else {
                continue;
            };
            let feed = self.feed(node, phase);
            let words = format!(
                "capacity of {}, {}",
                self.units.name(index),
                self.phase(phase)
            );
            all.push(feed.equals(most, words, false, Holds::Nothing));
        }
    }

    pub(super) fn turndown(&mut self, node: NodeId, all: &mut Vec<Equation>) {
        let index = node.index();
        for phase in 0..self.phases() {
            let Some(least) = self.units.least(self.draft, node, phase) else {
                continue;
            };
            let feed = self.feed(node, phase);
            let words = format!(
                "turndown of {}, {}",
                self.units.name(index),
                self.phase(phase)
            );
            all.push(feed.equals(least, words, false, Holds::Nothing).at_least());
        }
    }

    pub(super) fn conversions(&mut self, node: NodeId, all: &mut Vec<Equation>) {
        let network = self.draft.network;
        let index = node.index();
        for (number, activity) in network.duties(node).activities.iter().enumerate() {
            for (place, limit) in activity.feed_limits.iter().enumerate() {
                let inflows = network.inflows(node, limit.substance);
                let share = self.draft.fact(Fact::Share(index, number, place));
                let mut takes = Vec::new();
                for (portion, data) in activity.takes.iter().enumerate() {
                    if data.substance == limit.substance {
                        takes.push(self.draft.fact(Fact::Takes(index, number, portion)));
                    }
                }
                let takes = sum(takes);
                for phase in (0..self.phases()).filter(|&phase| network.works(node, phase)) {
                    let mut all_in = Terms::default();
                    all_in.add(self.level(node, number, phase), &takes);
                    all_in.add(self.flows(&inflows, phase), &negative(share.clone()));
                    let substance = network.substances.name(limit.substance);
                    let words = format!(
                        "share of {substance} converted by {}, {}",
                        network.name(node),
                        self.phase(phase)
                    );
                    all.push(all_in.equals(0.0.into(), words, false, Holds::Nothing));
                }
            }
        }
    }

    /// `Σ days · Σ factor · level`, over the phases.
    fn over(
        &mut self,
        node: NodeId,
        days: &[CellId],
        factor: impl Fn(&mut Draft, usize) -> Formula,
    ) -> Terms {
        let mut total = Terms::default();
        for (phase, &days) in days.iter().enumerate() {
            let levels = self.levels(node, phase, &factor);
            total.add(levels, &days.into());
        }
        total
    }

    pub(super) fn cartridges(&mut self, node: NodeId, all: &mut Vec<Equation>) {
        let index = node.index();
        let fact = Fact::Unit(index, UnitFact::CartridgeTreats);
        let mut plans = self.draft.answer.decisions.cartridges.iter();
        let Some(plan) = plans.find(|plan| plan.node == node) else {
            return;
        };
        let mut flown = 0;
        for (flight, pieces) in plan.by_flight.iter().enumerate() {
            flown += pieces;
            let treats = self.draft.fact(fact);
            let held = self.draft.book.held(f64::from(flown));
            let right = product([held.into(), treats]);
            let days = self.days.used[flight].clone();
            let feed = self.over(node, &days, |draft, activity| {
                draft.fact(Fact::Load(index, activity))
            });
            let words = format!("cartridges of {}, flight {flight}", self.units.name(index));
            all.push(
                feed.equals(
                    right,
                    words,
                    false,
                    Holds::Pieces(Pieces::Cartridges(index), held),
                )
                .in_unit("kg"),
            );
        }
    }

    pub(super) fn containers(&mut self, node: NodeId, all: &mut Vec<Equation>) {
        let index = node.index();
        let mut plans = self.draft.answer.decisions.cargo.iter();
        let Some(plan) = plans.find(|plan| plan.node == node) else {
            return;
        };
        let Some(containers) = &plan.containers else {
            return;
        };
        let mut flown = 0;
        for (flight, pieces) in containers.iter().enumerate() {
            flown += pieces;
            let holds = self
                .draft
                .fact(Fact::Stock(index, StockFact::ContainerHolds));
            let held = self.draft.book.held(f64::from(flown));
            let right = product([held.into(), holds]);
            let days = self.days.covered[flight].clone();
            let drawn = self.over(node, &days, |draft, activity| gives(draft, node, activity));
            let words = format!(
                "containers of {}, flight {flight}",
                self.draft.network.name(node)
            );
            all.push(
                drawn
                    .equals(
                        right,
                        words,
                        false,
                        Holds::Pieces(Pieces::Containers(index), held),
                    )
                    .in_unit("kg"),
            );
        }
    }

    pub(super) fn waste(&mut self, node: NodeId, all: &mut Vec<Equation>) {
        let network = self.draft.network;
        let index = node.index();
        let mut ways = network.duties(node).activities.iter();
        let way = ways.find_map(|activity| match &activity.role {
            Role::Leave(way) => Some(way.clone()),
            _ => None,
        });
        let name = network.name(node).to_owned();
        match way {
            Some(Way::Stowed { limit_kg: Some(_) }) => {
                let days = self.days.phases.clone();
                let limit = self.draft.fact(Fact::Waste(index));
                let waste = self.over(node, &days, |draft, activity| takes(draft, node, activity));
                let words = format!("waste stowed in {name}");
                all.push(
                    waste
                        .equals(limit, words, false, Holds::Nothing)
                        .in_unit("kg"),
                );
            }
            Some(Way::Removed { .. }) => {
                for flight in 0..self.days.flights.len() {
                    let limit = self.draft.fact(Fact::Waste(index));
                    let days = self.days.used[flight].clone();
                    let mut waste =
                        self.over(node, &days, |draft, activity| takes(draft, node, activity));
                    if let Some(before) = flight.checked_sub(1) {
                        let days = self.days.used[before].clone();
                        let earlier =
                            self.over(node, &days, |draft, activity| takes(draft, node, activity));
                        waste.minus(earlier);
                    }
                    let words = format!("waste removed from {name} after flight {flight}");
                    all.push(
                        waste
                            .equals(limit, words, false, Holds::Nothing)
                            .in_unit("kg"),
                    );
                }
            }
            _ => {}
        }
    }

    /// Limits of power and heat in every phase.
    pub(super) fn burdens(&mut self, all: &mut Vec<Equation>) {
        type PerLevel = fn(usize, usize) -> Fact;
        let limits: [(_, _, _, PerLevel); 2] = [
            ("power", WholeFact::Power, UnitFact::Power, Fact::Power),
            ("heat", WholeFact::Heat, UnitFact::Heat, Fact::Heat),
        ];
        let nodes: Vec<NodeId> = self.draft.network.nodes().collect();
        for (what, limit, of_unit, of_level) in limits {
            if !self.draft.has(Fact::Whole(limit)) {
                continue;
            }
            for phase in 0..self.phases() {
                let mut load = Terms::default();
                for &node in &nodes {
                    if !self.draft.network.works(node, phase) {
                        continue;
                    }
                    let index = node.index();
                    let units = self.units.of(index);
                    if !units.is_number(0.0) {
                        let each = self.draft.fact(Fact::Unit(index, of_unit));
                        load.given.push(product([units, each]));
                    }
                    let levels = self.levels(node, phase, |draft, activity| {
                        draft.fact(of_level(index, activity))
                    });
                    load.plus(levels);
                }
                let limit = self.draft.fact(Fact::Whole(limit));
                let words = format!("limit of {what}, {}", self.phase(phase));
                all.push(
                    load.equals(limit, words, false, Holds::Nothing)
                        .in_unit("W"),
                );
            }
        }
    }
}
