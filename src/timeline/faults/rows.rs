//! The rows of one stretch: what every plan must obey, with what is not met.

mod balances;

use std::collections::BTreeMap;

use super::conditions::{Act, NodeState, Stretch};
use super::model::Model;
use crate::catalogue::SubstanceId;
use crate::kinds::{Hardware, Role};
use crate::network::{Limit, Network, NodeId};
use crate::program::Sense;
use crate::solve::LinearProgram;
use crate::timeline::levels::Kept;

/// How long a stretch is: columns are kilograms over it.
#[derive(Clone, Copy, Debug)]
pub(super) enum Length {
    /// So many days.
    Days(f64),
    /// As many as a column says.
    Column(usize),
}

/// What may be done.
#[derive(Clone, Copy, Debug)]
pub(super) enum Rule<'a> {
    /// As near to the plan as what is left of every stock lets it; the length is a
    /// day, so that columns are rates.
    AsPlanned {
        /// What is left of every stock.
        stocks: &'a [f64],
    },
    /// Whatever the units in action can do.
    Free,
}

/// How needs are met.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Needs {
    /// In full, and nothing is held up.
    Met,
    /// As far as possible; the rest is unmet or held up, at a cost.
    MayFail,
    /// Those of people in full, leaks made up for and nothing held up; other needs as
    /// far as possible.
    PeopleMet,
    /// In full, with what is missing given, at a cost by the kilogram.
    Given,
}

/// The columns of a stretch; kilograms over its length, or levels times days.
#[derive(Clone, Debug, Default)]
pub(super) struct Columns {
    /// By stream.
    pub flow: Vec<Option<usize>>,
    /// By node and act. Of a need, what it gives goes by this level, which is its own
    /// by the mass that it gets.
    pub level: Vec<Vec<Option<usize>>>,
    /// The level that a need should have: node, act, column.
    pub wanted: BTreeMap<(NodeId, usize), usize>,
    /// What a need goes without: node, act, substance, column.
    pub short: Vec<(NodeId, usize, SubstanceId, usize)>,
    /// What is given to a need.
    pub gift: Vec<(NodeId, SubstanceId, usize)>,
    /// What is held up.
    pub held: Vec<(NodeId, SubstanceId, usize)>,
    /// What stores give beyond what they get, by stock.
    pub draw: BTreeMap<usize, usize>,
    /// What they keep of what they get, by stock.
    pub fill: BTreeMap<usize, usize>,
}

/// What a kilogram that is missing costs: leaks come before people, people before
/// other needs, and needs before matter that is held up.
#[derive(Clone, Copy, Debug)]
struct Prices {
    leak: f64,
    people: f64,
    need: f64,
    held: f64,
    gift: f64,
}

/// Beside the costs of leaving the plan.
const AS_PLANNED: Prices = Prices {
    leak: 1e6,
    people: 1e5,
    need: 1e4,
    held: 1e3,
    gift: 1e3,
};
const FREE: Prices = Prices {
    leak: 1000.0,
    people: 300.0,
    need: 10.0,
    held: 1.0,
    gift: 1.0,
};
/// Costs of leaving the plan, per kilogram: first other ways, then the store, then
/// cargo ahead of plan, last of all units that do less.
const OTHER_WAY: f64 = 0.01;
const FROM_STORE: f64 = 0.1;
const AHEAD: f64 = 0.3;
const LESS: f64 = 1.0;
/// Costs without which what is free would be idle: per kilogram that flows, and
/// per kilogram of leaving the plan.
const FLOWS: f64 = 1e-5;
const TIDY: f64 = 1e-3;
/// By how much a planned level may be passed: rounding of the plan's own solve.
const ROUNDING: f64 = 1e-9;

/// Adds the columns and rows of a stretch to a program.
pub(super) fn stretch(
    program: &mut LinearProgram,
    model: &Model,
    stretch: &Stretch,
    length: Length,
    rule: Rule,
    needs: Needs,
) -> Columns {
    let mut writer = Writer {
        program,
        model,
        stretch,
        length,
        rule,
        needs,
        columns: Columns::default(),
    };
    writer.flows();
    writer.levels();
    writer.stores();
    for node in model.network().nodes() {
        writer.hardware(node);
        writer.balances(node);
    }
    if let Rule::Free = rule {
        writer.limits();
    }
    writer.columns
}

struct Writer<'a> {
    program: &'a mut LinearProgram,
    model: &'a Model<'a>,
    stretch: &'a Stretch,
    length: Length,
    rule: Rule<'a>,
    needs: Needs,
    columns: Columns,
}

impl Writer<'_> {
    fn network(&self) -> &Network {
        self.model.network()
    }

    fn prices(&self) -> Prices {
        match self.rule {
            Rule::AsPlanned { .. } => AS_PLANNED,
            Rule::Free => FREE,
        }
    }

    fn state(&self, node: NodeId) -> &NodeState {
        &self.stretch.nodes[node.index()]
    }

    /// Adds `Σ terms  sense  right × length`.
    fn row_per_day(&mut self, mut terms: Vec<(usize, f64)>, sense: Sense, right: f64) {
        let right = match self.length {
            Length::Days(days) => right * days,
            Length::Column(column) => {
                if right != 0.0 {
                    terms.push((column, -right));
                }
                0.0
            }
        };
        self.program.row(terms, sense, right);
    }

    /// A column that may leave a planned rate either way, at a cost for each
    /// kilogram.
    fn near(&mut self, planned: f64, own: f64, up: f64, down: f64) -> usize {
        let column = self.program.column(0.0, f64::INFINITY, own);
        let over = self.program.column(0.0, f64::INFINITY, up);
        let under = self.program.column(0.0, f64::INFINITY, down);
        let terms = vec![(column, 1.0), (over, -1.0), (under, 1.0)];
        self.row_per_day(terms, Sense::Equal, planned.max(0.0));
        column
    }

    fn flows(&mut self) {
        let plan = &self.model.plan.answer().decisions.flows;
        for stream in self.network().streams() {
            let (from, to) = self.network().ends(stream);
            let carries = self.state(from).works && self.state(to).works;
            // Parallel ways are told apart by their rank in the file.
            let rank = 1.0 + 1e-6 * stream.index() as f64;
            let column = carries.then(|| match self.rule {
                Rule::AsPlanned { .. } => {
                    let planned = plan[stream.index()][self.stretch.phase];
                    self.near(planned, 0.0, OTHER_WAY * rank, OTHER_WAY)
                }
                Rule::Free => self.program.column(0.0, f64::INFINITY, FLOWS * rank),
            });
            self.columns.flow.push(column);
        }
    }

    fn levels(&mut self) {
        for node in self.network().nodes() {
            let state = self.stretch.nodes[node.index()].clone();
            let mut columns = Vec::with_capacity(state.acts.len());
            for (index, act) in state.acts.iter().enumerate() {
                columns.push(match act.need {
                    Some(need) => self.need(node, index, act, need),
                    None => state.works.then(|| self.free(node, act)),
                });
            }
            self.columns.level.push(columns);
        }
    }

    /// A need gets what it takes, or goes without some of it; what it gives back goes
    /// by the mass that it gets: `Σ takes · level + Σ short = Σ takes · wanted`.
    fn need(&mut self, node: NodeId, index: usize, act: &Act, need: f64) -> Option<usize> {
        if need <= 0.0 {
            return None;
        }
        let wanted = self.program.column(0.0, f64::INFINITY, 0.0);
        self.row_per_day(vec![(wanted, 1.0)], Sense::Equal, need);
        self.columns.wanted.insert((node, index), wanted);
        let taken = taken(act);
        let price = match self.price_of(node, act) {
            Some(price) if taken > 0.0 => price,
            _ => return Some(wanted),
        };
        let level = self.program.column(0.0, f64::INFINITY, 0.0);
        let mut terms = vec![(level, taken), (wanted, -taken)];
        for take in act.activity.takes.iter().filter(|take| take.amount > 0.0) {
            let short = self.program.column(0.0, f64::INFINITY, price);
            let most = vec![(short, 1.0), (wanted, -take.amount)];
            self.program.row(most, Sense::AtMost, 0.0);
            terms.push((short, 1.0));
            self.columns
                .short
                .push((node, index, take.substance, short));
        }
        self.program.row(terms, Sense::Equal, 0.0);
        Some(level)
    }

    /// What a kilogram that a need goes without costs; none if it must be met.
    fn price_of(&self, node: NodeId, act: &Act) -> Option<f64> {
        let prices = self.prices();
        let is_people = self.network().duties(node).is_people;
        let is_leak = act.activity.role == Role::Lose;
        match self.needs {
            Needs::Met | Needs::Given => None,
            Needs::PeopleMet if is_people || is_leak => None,
            _ if is_leak => Some(prices.leak),
            _ if is_people => Some(prices.people),
            _ => Some(prices.need),
        }
    }

    /// What is chosen: conversions, cargo, disposal.
    fn free(&mut self, node: NodeId, act: &Act) -> usize {
        let kg = taken(act);
        match (&act.activity.role, self.rule) {
            (Role::Convert, Rule::AsPlanned { .. }) => {
                // No harder than planned; less of it costs.
                let most = act.planned.max(0.0) * (1.0 + ROUNDING) + ROUNDING;
                self.program.column(0.0, most, -LESS * kg)
            }
            (Role::Convert, Rule::Free) => self.near(act.planned, 0.0, TIDY * kg, TIDY * kg),
            (Role::Bring, Rule::AsPlanned { stocks }) => {
                let stock = self.model.stock(node, Kept::Cargo);
                match stock.is_some_and(|stock| stocks[stock] > 0.0) {
                    true => self.near(act.planned, 0.0, AHEAD, AHEAD),
                    false => self.program.column(0.0, 0.0, 0.0),
                }
            }
            (Role::Bring, Rule::Free) => self.near(act.planned, 0.0, TIDY, TIDY),
            _ => self.program.column(0.0, f64::INFINITY, 0.0),
        }
    }

    /// Stores give from what they hold, and keep what they have room for.
    fn stores(&mut self) {
        for (index, stock) in self.model.stocks.iter().enumerate() {
            if stock.what != Kept::Store || !self.stretch.nodes[stock.node.index()].works {
                continue;
            }
            let (most_out, most_in, cost) = match self.rule {
                Rule::AsPlanned { stocks } => {
                    let free = |is_free: bool| if is_free { f64::INFINITY } else { 0.0 };
                    let room = stocks[index] < stock.room;
                    (free(stocks[index] > 0.0), free(room), FROM_STORE)
                }
                Rule::Free => (f64::INFINITY, f64::INFINITY, TIDY),
            };
            let draw = self.program.column(0.0, most_out, cost);
            let fill = self.program.column(0.0, most_in, 0.1 * cost);
            self.columns.draw.insert(index, draw);
            self.columns.fill.insert(index, fill);
        }
    }

    /// Capacity of the units in action, and what cartridges and expendables allow.
    fn hardware(&mut self, node: NodeId) {
        let network = self.model.network();
        let duties = network.duties(node);
        let state = self.stretch.nodes[node.index()].clone();
        if !state.works {
            return;
        }
        let feed = self.feed(node);
        if let Some(Hardware {
            capacity_kg_per_day: Some(capacity),
            availability,
            ..
        }) = &duties.hardware
        {
            let most = capacity * availability * state.units;
            self.row_per_day(feed.clone(), Sense::AtMost, most);
        }
        if let Rule::AsPlanned { stocks } = self.rule {
            let spent = [Kept::Cartridges, Kept::Expendables]
                .into_iter()
                .any(|what| {
                    let stock = self.model.stock(node, what);
                    stock.is_some_and(|stock| stocks[stock] <= 0.0)
                });
            if spent && !feed.is_empty() {
                self.program.row(feed, Sense::AtMost, 0.0);
            }
        }
        for (index, act) in state.acts.iter().enumerate() {
            let Some(level) = self.columns.level[node.index()][index] else {
                continue;
            };
            for limit in &act.activity.feed_limits {
                let takes = act.activity.takes.iter();
                let takes = takes.filter(|portion| portion.substance == limit.substance);
                let amount: f64 = takes.map(|portion| portion.amount).sum();
                let mut terms = vec![(level, amount)];
                for stream in network.inflows(node, limit.substance) {
                    if let Some(flow) = self.columns.flow[stream.index()] {
                        terms.push((flow, -limit.share));
                    }
                }
                self.program.row(terms, Sense::AtMost, 0.0);
            }
        }
    }

    /// `Σ load · level` of a node.
    fn feed(&self, node: NodeId) -> Vec<(usize, f64)> {
        let acts = self.state(node).acts.iter();
        let levels = &self.columns.level[node.index()];
        acts.zip(levels)
            .filter_map(|(act, level)| Some(((*level)?, act.activity.load)))
            .filter(|(_, load)| *load != 0.0)
            .collect()
    }

    /// Power and heat of units in action stay within their limits; needs have the
    /// share that they have in the plan.
    fn limits(&mut self) {
        let limits = self.network().limits;
        let of_power: (PerUnit, PerLevel) = (|unit| unit.power_w, |act| act.activity.power_w);
        let of_heat: (PerUnit, PerLevel) = (|unit| unit.heat_w, |act| act.activity.heat_w);
        for (limit, (per_unit, per_level)) in [(limits.power_w, of_power), (limits.heat_w, of_heat)]
        {
            if let Some(limit) = limit {
                self.limit(limit, per_unit, per_level);
            }
        }
    }

    fn limit(&mut self, limit: Limit, per_unit: PerUnit, per_level: PerLevel) {
        let mut fixed = 0.0;
        let mut terms = Vec::new();
        for node in self.network().nodes() {
            let state = self.state(node);
            if !state.works {
                continue;
            }
            if let Some(hardware) = &self.network().duties(node).hardware {
                fixed += per_unit(hardware) * state.units;
            }
            for (act, level) in state.acts.iter().zip(&self.columns.level[node.index()]) {
                match (act.need, level) {
                    (Some(_), _) => fixed += per_level(act) * act.planned,
                    (None, Some(level)) => terms.push((*level, per_level(act))),
                    (None, None) => {}
                }
            }
        }
        terms.retain(|(_, factor)| *factor != 0.0);
        let left = (limit.value - fixed).max(0.0) * (1.0 + ROUNDING) + ROUNDING;
        self.row_per_day(terms, Sense::AtMost, left);
    }
}

type PerUnit = fn(&Hardware) -> f64;
type PerLevel = fn(&Act) -> f64;

/// Everything that an act takes at a level of one, kg/d.
pub(super) fn taken(act: &Act) -> f64 {
    let takes = act.activity.takes.iter();
    takes.map(|portion| portion.amount).sum()
}
