//! Balances of a stretch: at every node as much comes of a substance as goes.

use petgraph::Direction;
use petgraph::visit::EdgeRef;

use super::{Needs, Writer};
use crate::catalogue::SubstanceId;
use crate::network::NodeId;
use crate::program::Sense;
use crate::timeline::faults::model::is_store;
use crate::timeline::levels::Kept;

impl Writer<'_> {
    pub(super) fn balances(&mut self, node: NodeId) {
        let network = self.model.network();
        let state = self.stretch.nodes[node.index()].clone();
        let mut substances = network.substances_at(node);
        let extra = state.acts.iter().flat_map(|act| &act.activity.takes);
        substances.extend(extra.map(|portion| portion.substance));
        substances.sort();
        substances.dedup();
        let is_need = state.acts.iter().any(|act| act.need.is_some());
        for substance in substances {
            let into = self.streams(node, substance, Direction::Incoming);
            let out = self.streams(node, substance, Direction::Outgoing);
            let mut used = Vec::new();
            let mut made = Vec::new();
            let mut wanted = Vec::new();
            let levels = &self.columns.level[node.index()];
            for (index, (act, level)) in state.acts.iter().zip(levels).enumerate() {
                let Some(level) = *level else { continue };
                let activity = &act.activity;
                let need = self.columns.wanted.get(&(node, index)).copied();
                for portion in activity
                    .takes
                    .iter()
                    .filter(|one| one.substance == substance)
                {
                    used.push((need.unwrap_or(level), portion.amount));
                    wanted.extend(need.map(|need| (need, portion.amount)));
                }
                for portion in activity
                    .gives
                    .iter()
                    .filter(|one| one.substance == substance)
                {
                    made.push((level, portion.amount));
                }
            }
            let short = self.columns.short.iter();
            let short = short.filter(|short| short.0 == node && short.2 == substance);
            used.extend(short.map(|short| (short.3, -1.0)));
            let passes = network.duties(node).passes.contains(&substance);
            let gift = self.gift(node, substance, wanted);
            let mut incoming = into;
            incoming.extend(gift.map(|gift| (gift, 1.0)));
            incoming.extend(minus(&used));
            let mut outgoing = made;
            outgoing.extend(minus(&out));
            if passes {
                incoming.extend(outgoing);
                let held = self.held(node, substance);
                incoming.extend(held.map(|held| (held, -1.0)));
                incoming.extend(self.kept(node, substance));
                self.balance(incoming);
            } else {
                self.balance(incoming);
                if is_need && !outgoing.is_empty() {
                    let held = self.held(node, substance);
                    outgoing.extend(held.map(|held| (held, -1.0)));
                }
                self.balance(outgoing);
            }
        }
    }

    fn balance(&mut self, terms: Vec<(usize, f64)>) {
        if !terms.is_empty() {
            self.program.row(terms, Sense::Equal, 0.0);
        }
    }

    fn streams(&self, node: NodeId, substance: SubstanceId, way: Direction) -> Vec<(usize, f64)> {
        let graph = &self.network().graph;
        let mut streams: Vec<_> = graph
            .edges_directed(node, way)
            .filter(|edge| edge.weight().substance == substance)
            .map(|edge| edge.id())
            .collect();
        streams.sort();
        streams
            .into_iter()
            .filter_map(|stream| Some((self.columns.flow[stream.index()]?, 1.0)))
            .collect()
    }

    /// What is given to needs, no more than they take.
    fn gift(
        &mut self,
        node: NodeId,
        substance: SubstanceId,
        wanted: Vec<(usize, f64)>,
    ) -> Option<usize> {
        if wanted.is_empty() || self.needs != Needs::Given {
            return None;
        }
        let gift = self.program.column(0.0, f64::INFINITY, self.prices().gift);
        let mut terms = minus(&wanted);
        terms.push((gift, 1.0));
        self.program.row(terms, Sense::AtMost, 0.0);
        self.columns.gift.push((node, substance, gift));
        Some(gift)
    }

    /// What is held up, rather where it is handed on than where it comes from.
    fn held(&mut self, node: NodeId, substance: SubstanceId) -> Option<usize> {
        let cost = match self.needs {
            Needs::Met | Needs::PeopleMet => return None,
            Needs::MayFail => self.prices().held,
            Needs::Given => self.prices().gift,
        };
        let passes = self.network().duties(node).passes.contains(&substance);
        let cost = if passes { cost } else { cost * 1.01 };
        let held = self.program.column(0.0, f64::INFINITY, cost);
        self.columns.held.push((node, substance, held));
        Some(held)
    }

    /// What a store gives and keeps, as part of its balance.
    fn kept(&self, node: NodeId, substance: SubstanceId) -> Vec<(usize, f64)> {
        let is_kept = is_store(self.network(), node)
            && self.network().duties(node).passes.contains(&substance);
        let stock = self.model.stock(node, Kept::Store).filter(|_| is_kept);
        let Some(stock) = stock else {
            return Vec::new();
        };
        let draw = self.columns.draw.get(&stock).map(|draw| (*draw, 1.0));
        let fill = self.columns.fill.get(&stock).map(|fill| (*fill, -1.0));
        draw.into_iter().chain(fill).collect()
    }
}

fn minus(terms: &[(usize, f64)]) -> Vec<(usize, f64)> {
    let terms = terms.iter();
    terms.map(|&(column, factor)| (column, -factor)).collect()
}
