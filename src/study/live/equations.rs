//! The rows of a plan that decide how the loop runs: balances always, limits where
//! they are tight.

use super::Draft;
use super::calendar::Days;
use super::facts::{Fact, StockFact, UnitFact, WholeFact};
use super::formula::{CellId, Formula, difference, negative, product, sum};
use super::hardware::Units;
use crate::kinds::{Level, Packing, Role, Stock, Way};
use crate::network::{NodeId, StreamId};

/// Something that runs at a rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Variable {
    /// Level of an activity: node, activity, phase.
    Level(usize, usize, usize),
    /// Flow of a stream: stream, phase.
    Flow(usize, usize),
}

/// What a row holds at its plan's number where it is tight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Holds {
    /// Nothing beyond units.
    Nothing,
    /// So many pieces as a cell says, by some flight in all.
    Pieces(Pieces, CellId),
}

/// Whole pieces that a plan brings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Pieces {
    /// Cartridges of a node.
    Cartridges(usize),
    /// Containers of a cargo.
    Containers(usize),
}

impl Holds {
    /// The pieces that are held.
    pub fn pieces(self) -> Option<Pieces> {
        match self {
            Holds::Nothing => None,
            Holds::Pieces(pieces, _) => Some(pieces),
        }
    }
}

/// `Σ factor · variable = given`.
#[derive(Clone, Debug)]
pub(super) struct Equation {
    /// What it says.
    pub words: String,
    /// Variables and factors.
    pub terms: Vec<(Variable, Formula)>,
    /// What is given.
    pub given: Formula,
    /// Whether it holds always; otherwise only where it is tight.
    pub always: bool,
    /// What it holds where it is tight.
    pub holds: Holds,
    /// Whether its left side must be at least what is given, not at most.
    pub least: bool,
    /// The unit of its sides.
    pub unit: &'static str,
}

/// A sum on its way into an equation.
#[derive(Clone, Debug, Default)]
struct Terms {
    terms: Vec<(Variable, Formula)>,
    given: Vec<Formula>,
}

impl Terms {
    fn add(&mut self, other: Terms, factor: &Formula) {
        for (variable, own) in other.terms {
            let scaled = product([factor.clone(), own]);
            match self.terms.iter_mut().find(|(known, _)| *known == variable) {
                Some((_, known)) => *known = sum([known.clone(), scaled]),
                None => self.terms.push((variable, scaled)),
            }
        }
        let given = other.given.into_iter();
        self.given
            .extend(given.map(|one| product([factor.clone(), one])));
    }

    fn plus(&mut self, other: Terms) {
        self.add(other, &1.0.into());
    }

    fn minus(&mut self, other: Terms) {
        self.add(other, &Formula::Number(-1.0));
    }

    /// `self = right`.
    fn equals(self, right: Formula, words: String, always: bool, holds: Holds) -> Equation {
        let terms = self.terms.into_iter();
        Equation {
            words,
            terms: terms.filter(|(_, factor)| !factor.is_number(0.0)).collect(),
            given: difference(right, sum(self.given)),
            always,
            holds,
            least: false,
            unit: "kg/d",
        }
    }
}

impl Equation {
    /// The same at least what is given.
    fn at_least(mut self) -> Self {
        self.least = true;
        self
    }

    /// The same in another unit.
    fn in_unit(mut self, unit: &'static str) -> Self {
        self.unit = unit;
        self
    }
}

/// Fixed levels as cells: node, activity, phase; none where the level is free.
pub(super) type FixedLevels = Vec<Vec<Option<Vec<Formula>>>>;

/// Writes equations.
pub(super) struct Writer<'d, 'a> {
    pub draft: &'d mut Draft<'a>,
    pub days: &'d Days,
    pub units: &'d Units,
    pub fixed: &'d FixedLevels,
}

impl Writer<'_, '_> {
    /// Every balance, and every limit that may be tight.
    pub fn equations(mut self) -> Vec<Equation> {
        let mut all = Vec::new();
        let nodes: Vec<NodeId> = self.draft.network.nodes().collect();
        for &node in &nodes {
            self.balances(node, &mut all);
        }
        for &node in &nodes {
            self.capacity(node, &mut all);
        }
        for &node in &nodes {
            self.conversions(node, &mut all);
        }
        for &node in &nodes {
            self.turndown(node, &mut all);
            self.cartridges(node, &mut all);
            self.containers(node, &mut all);
            self.waste(node, &mut all);
        }
        self.burdens(&mut all);
        all
    }

    fn phases(&self) -> usize {
        self.days.phases.len()
    }

    fn level(&self, node: NodeId, activity: usize, phase: usize) -> Terms {
        let index = node.index();
        match &self.fixed[index][activity] {
            Some(levels) => Terms {
                terms: Vec::new(),
                given: vec![levels[phase].clone()],
            },
            None if self.draft.network.works(node, phase) => Terms {
                terms: vec![(Variable::Level(index, activity, phase), 1.0.into())],
                given: Vec::new(),
            },
            None => Terms::default(),
        }
    }

    fn flows(&self, streams: &[StreamId], phase: usize) -> Terms {
        let network = self.draft.network;
        let carried = streams
            .iter()
            .filter(|&&stream| network.carries(stream, phase));
        Terms {
            terms: carried
                .map(|stream| (Variable::Flow(stream.index(), phase), 1.0.into()))
                .collect(),
            given: Vec::new(),
        }
    }

    /// `Σ factor · level` over a node's activities.
    fn levels(
        &mut self,
        node: NodeId,
        phase: usize,
        factor: impl Fn(&mut Draft, usize) -> Formula,
    ) -> Terms {
        let mut all = Terms::default();
        for activity in 0..self.draft.network.duties(node).activities.len() {
            let factor = factor(self.draft, activity);
            if !factor.is_number(0.0) {
                all.add(self.level(node, activity, phase), &factor);
            }
        }
        all
    }

    fn feed(&mut self, node: NodeId, phase: usize) -> Terms {
        let index = node.index();
        self.levels(node, phase, |draft, activity| {
            draft.fact(Fact::Load(index, activity))
        })
    }

    fn balances(&mut self, node: NodeId, all: &mut Vec<Equation>) {
        let network = self.draft.network;
        let duties = network.duties(node);
        let index = node.index();
        for substance in network.substances_at(node) {
            let inflows = network.inflows(node, substance);
            let outflows = network.outflows(node, substance);
            let passes = duties.passes.contains(&substance);
            for phase in 0..self.phases() {
                let (mut used, mut made) = (Terms::default(), Terms::default());
                for (number, activity) in duties.activities.iter().enumerate() {
                    for (portion, data) in activity.takes.iter().enumerate() {
                        if data.substance == substance {
                            let amount = self.draft.fact(Fact::Takes(index, number, portion));
                            used.add(self.level(node, number, phase), &amount);
                        }
                    }
                    for (portion, data) in activity.gives.iter().enumerate() {
                        if data.substance == substance {
                            let amount = self.draft.fact(Fact::Gives(index, number, portion));
                            made.add(self.level(node, number, phase), &amount);
                        }
                    }
                }
                let mut into = self.flows(&inflows, phase);
                let mut out = self.flows(&outflows, phase);
                let words = network.substances.name(substance);
                let at = format!("{}, {}", network.name(node), self.phase(phase));
                let mut state = |terms: Terms, way: &str| {
                    if !terms.terms.is_empty() {
                        let words = format!("{words} {way} {at}");
                        all.push(terms.equals(0.0.into(), words, true, Holds::Nothing));
                    }
                };
                if passes {
                    into.plus(made);
                    into.minus(out);
                    into.minus(used);
                    state(into, "through");
                } else {
                    into.minus(used);
                    state(into, "into");
                    out.minus(made);
                    state(out, "out of");
                }
            }
        }
    }

    fn phase(&self, phase: usize) -> &str {
        &self.draft.network.calendar.phases[phase].name
    }

    fn capacity(&mut self, node: NodeId, all: &mut Vec<Equation>) {
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

    fn turndown(&mut self, node: NodeId, all: &mut Vec<Equation>) {
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

    fn conversions(&mut self, node: NodeId, all: &mut Vec<Equation>) {
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

    fn cartridges(&mut self, node: NodeId, all: &mut Vec<Equation>) {
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

    fn containers(&mut self, node: NodeId, all: &mut Vec<Equation>) {
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

    fn waste(&mut self, node: NodeId, all: &mut Vec<Equation>) {
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
    fn burdens(&mut self, all: &mut Vec<Equation>) {
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

/// Given per unit of level, all substances together.
pub(super) fn gives(draft: &mut Draft, node: NodeId, activity: usize) -> Formula {
    let portions = draft.network.duties(node).activities[activity].gives.len();
    let amounts: Vec<Formula> = (0..portions)
        .map(|portion| draft.fact(Fact::Gives(node.index(), activity, portion)))
        .collect();
    sum(amounts)
}

/// Taken per unit of level, all substances together.
pub(super) fn takes(draft: &mut Draft, node: NodeId, activity: usize) -> Formula {
    let portions = draft.network.duties(node).activities[activity].takes.len();
    let amounts: Vec<Formula> = (0..portions)
        .map(|portion| draft.fact(Fact::Takes(node.index(), activity, portion)))
        .collect();
    sum(amounts)
}

/// Fixed levels as cells.
pub(super) fn fixed_levels(draft: &mut Draft) -> FixedLevels {
    let network = draft.network;
    let phases = network.calendar.phases.len();
    let mut all = Vec::new();
    for node in network.nodes() {
        let mut of_node = Vec::new();
        for (number, activity) in network.duties(node).activities.iter().enumerate() {
            of_node.push(match &activity.level {
                Level::Free => None,
                Level::Fixed(_) => {
                    let levels = (0..phases).map(|phase| {
                        let formula = draft.fact_here(Fact::Level(node.index(), number, phase));
                        match formula.is_number(0.0) {
                            true => formula,
                            false => Formula::Cell(draft.book.formula(formula)),
                        }
                    });
                    Some(levels.collect())
                }
            });
        }
        all.push(of_node);
    }
    all
}

/// Whether a node's cargo comes in containers.
pub(super) fn in_containers(stock: Option<&Stock>) -> bool {
    matches!(
        stock,
        Some(Stock::Delivered {
            packing: Packing::Container { .. },
            ..
        })
    )
}
