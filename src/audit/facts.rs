//! What the audit works out for itself before it compares: time, and what
//! flows in, flows out, is fed and is drawn at every node.

use std::collections::BTreeMap;

use petgraph::visit::EdgeRef;

use crate::answer::{Answer, Decisions};
use crate::catalogue::SubstanceId;
use crate::kinds::{Activity, Duties, Hardware, Portion};
use crate::network::{Network, NodeId};

/// Days closer than this are the same day.
const SAME_DAY: f64 = 1e-6;

/// Amounts by substance and phase, kg/d.
pub(super) type BySubstance = BTreeMap<SubstanceId, Vec<f64>>;

/// The network, the answer, and sums over both.
pub(super) struct Facts<'a> {
    pub network: &'a Network,
    pub answer: &'a Answer,
    pub decisions: &'a Decisions,
    /// What streams bring to every node.
    pub into: Vec<BySubstance>,
    /// What streams carry away from every node.
    pub out_of: Vec<BySubstance>,
    /// Number of phases.
    pub phases: usize,
}

impl<'a> Facts<'a> {
    /// Sums the flows; the answer must be complete.
    pub fn new(network: &'a Network, answer: &'a Answer) -> Self {
        let phases = network.calendar.phases.len();
        let nodes = network.graph.node_count();
        let mut into = vec![BySubstance::new(); nodes];
        let mut out_of = vec![BySubstance::new(); nodes];
        for edge in network.graph.edge_references() {
            let flow = &answer.decisions.flows[edge.id().index()];
            let substance = edge.weight().substance;
            add(&mut into[edge.target().index()], substance, flow);
            add(&mut out_of[edge.source().index()], substance, flow);
        }
        Facts {
            network,
            answer,
            decisions: &answer.decisions,
            into,
            out_of,
            phases,
        }
    }

    /// Every node with its duties, in file order.
    pub fn nodes(&self) -> impl Iterator<Item = (NodeId, &'a Duties)> + use<'a> {
        let network = self.network;
        network
            .graph
            .node_indices()
            .map(move |node| (node, &network.graph[node].duties))
    }

    /// Every node with hardware, and how many units.
    pub fn hardware(&self) -> Vec<(NodeId, &'a Duties, &'a Hardware, f64)> {
        self.nodes()
            .filter_map(|(node, duties)| {
                let units = f64::from(self.decisions.counts[node.index()]);
                Some((node, duties, duties.hardware.as_ref()?, units))
            })
            .collect()
    }

    /// Name of a node.
    pub fn name(&self, node: NodeId) -> &'a str {
        &self.network.graph[node].name
    }

    /// Name of a phase.
    pub fn phase_name(&self, phase: usize) -> &'a str {
        &self.network.calendar.phases[phase].name
    }

    /// Levels of a node's activities, by phase.
    pub fn levels(&self, node: NodeId) -> &'a [Vec<f64>] {
        &self.decisions.levels[node.index()]
    }

    /// `Σ factor · level` over a node's activities in a phase.
    pub fn sum(&self, node: NodeId, phase: usize, factor: impl Fn(&Activity) -> f64) -> f64 {
        let activities = &self.network.graph[node].duties.activities;
        let levels = self.levels(node);
        let mut sum = 0.0;
        for (activity, level) in activities.iter().zip(levels) {
            sum += factor(activity) * level[phase];
        }
        sum
    }

    /// `Σ factor · level` over a node's activities, by phase.
    pub fn by_phase(&self, node: NodeId, factor: impl Fn(&Activity) -> f64) -> Vec<f64> {
        (0..self.phases)
            .map(|phase| self.sum(node, phase, &factor))
            .collect()
    }

    /// Feed of a node by phase, kg/d.
    pub fn feed(&self, node: NodeId) -> Vec<f64> {
        self.by_phase(node, |activity| activity.load)
    }

    /// What a cargo node gives by phase, kg/d.
    pub fn draw(&self, node: NodeId) -> Vec<f64> {
        self.by_phase(node, |activity| total(&activity.gives))
    }

    /// What a disposal takes by phase, kg/d.
    pub fn taken(&self, node: NodeId) -> Vec<f64> {
        self.by_phase(node, |activity| total(&activity.takes))
    }

    /// The day the mission ends.
    pub fn end(&self) -> f64 {
        self.first_day(self.phases)
    }

    /// The first day of a phase.
    pub fn first_day(&self, phase: usize) -> f64 {
        let before = self.network.calendar.phases.iter().take(phase);
        before.map(|phase| phase.days).sum()
    }

    /// The first day on which a node works.
    pub fn start(&self, duties: &Duties) -> f64 {
        self.first_day(duties.starts_in_phase)
    }

    /// `∫ rate dt` between two days for a rate by phase.
    pub fn between(&self, per_day: &[f64], from: f64, to: f64) -> f64 {
        let mut sum = 0.0;
        for (phase, rate) in per_day.iter().enumerate() {
            let first = self.first_day(phase).max(from);
            let last = self.first_day(phase + 1).min(to);
            if last > first {
                sum += rate * (last - first);
            }
        }
        sum
    }

    /// Over the whole mission.
    pub fn over_mission(&self, per_day: &[f64]) -> f64 {
        self.between(per_day, 0.0, self.end())
    }

    /// Number of flights.
    pub fn flights(&self) -> usize {
        self.network.calendar.flights.len()
    }

    /// The day a flight arrives; the end of the mission for the one after the last.
    pub fn flight_day(&self, flight: usize) -> f64 {
        let flights = &self.network.calendar.flights;
        flights
            .get(flight)
            .map_or_else(|| self.end(), |flight| flight.day)
    }

    /// The last flight that comes not after a day.
    pub fn flight_by(&self, day: f64) -> usize {
        let mut last = 0;
        for flight in 0..self.flights() {
            if self.flight_day(flight) <= day + SAME_DAY {
                last = flight;
            }
        }
        last
    }

    /// Words for an activity: "urine still: urine".
    pub fn words(&self, node: NodeId, activity: &Activity) -> String {
        match activity.label.as_str() {
            "" => self.name(node).to_owned(),
            label => format!("{}: {label}", self.name(node)),
        }
    }

    /// Name of a substance.
    pub fn substance(&self, substance: SubstanceId) -> &'a str {
        self.network.substances.name(substance)
    }
}

/// The sum of all portions.
pub(super) fn total(portions: &[Portion]) -> f64 {
    portions.iter().map(|portion| portion.amount).sum()
}

/// How much of a substance is among the portions.
pub(super) fn amount_of(portions: &[Portion], substance: SubstanceId) -> f64 {
    let of_it = portions
        .iter()
        .filter(|portion| portion.substance == substance);
    of_it.map(|portion| portion.amount).sum()
}

fn add(sums: &mut BySubstance, substance: SubstanceId, flow: &[f64]) {
    let sum = sums
        .entry(substance)
        .or_insert_with(|| vec![0.0; flow.len()]);
    for (sum, flow) in sum.iter_mut().zip(flow) {
        *sum += flow;
    }
}
