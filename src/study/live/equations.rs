//! The rows of a plan that decide how the loop runs: balances always, limits where
//! they are tight.

mod limits;

use super::Draft;
use super::calendar::Days;
use super::facts::Fact;
use super::formula::{CellId, Formula, difference, product, sum};
use super::hardware::Units;
use crate::kinds::{Level, Packing, Stock};
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
