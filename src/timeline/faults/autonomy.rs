//! How long the crew can do without each node and each flight.

use super::conditions::Conditions;
use super::lack::{Lack, Shortfall};
use super::model::Model;
use super::{reaction, replay};
use crate::audit::Plan;
use crate::kinds::Role;
use crate::network::{Fault, Network, NodeId, Window};
use crate::solve::{self, Backend, Clock, Options};
use crate::timeline::levels::NOISE;

/// Every node out of action for good, every flight lost, and the bad days that the
/// design names.
#[derive(Clone, Debug, PartialEq)]
pub struct Autonomy {
    /// Nodes in file order, then flights, then named bad days.
    pub rows: Vec<Row>,
    /// What was not looked at, because it was stopped before.
    pub left_out: Vec<OutOfAction>,
}

/// What one thing out of action does.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What is out of action.
    pub what: OutOfAction,
    /// From which day on it matters.
    pub from_day: f64,
    /// The first shortfall if nobody reacts.
    pub nobody_reacts: Option<Shortfall>,
    /// The first shortfall with the best reaction.
    pub best: Option<Shortfall>,
    /// The latest day until which people can be served, if not to the end: everything
    /// else is rationed from the beginning, and nothing is held up.
    pub people_until: Option<f64>,
    /// The least that, had it been aboard or taken away, would have left no
    /// shortfall under the best reaction.
    pub cover: Vec<Lack>,
}

/// What is out of action.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OutOfAction {
    /// A node, for good.
    Node(NodeId),
    /// A flight, which never comes.
    Flight(usize),
    /// Bad days of the design, by name.
    BadDays(String),
}

/// The days of autonomy of a plan. Nodes fail on `from_day`, or when they start if
/// that is later; left out are those that the plan does not use after it, needs,
/// what only holds or hands on, and bad days that cannot be in this mission.
///
/// # Errors
///
/// A fault of the linear solver.
pub fn autonomy(plan: &Plan, from_day: f64, options: &Options) -> Result<Autonomy, solve::Fault> {
    let clock = Clock::start(options);
    let network = plan.network();
    let end = network.calendar.mission_days();
    let mut asked: Vec<(OutOfAction, Vec<Fault>)> = Vec::new();
    for node in network.nodes() {
        let from = from_day.max(network.start_day(node));
        if from < end && acts(network, node) && is_used(plan, node, from) {
            let down = Fault::Down {
                node,
                units: None,
                window: Window { from, to: end },
            };
            asked.push((OutOfAction::Node(node), vec![down]));
        }
    }
    for flight in 1..network.calendar.flights.len() {
        asked.push((OutOfAction::Flight(flight), vec![Fault::Lost { flight }]));
    }
    let possible = network.bad_days.iter();
    for days in possible.filter(|days| days.cannot_be.is_empty()) {
        asked.push((OutOfAction::BadDays(days.name.clone()), days.faults.clone()));
    }
    let model = Model::of(plan);
    let mut found = Autonomy {
        rows: Vec::with_capacity(asked.len()),
        left_out: Vec::new(),
    };
    for (what, faults) in asked {
        match clock.is_over() {
            true => found.left_out.push(what),
            false => found
                .rows
                .push(row(&model, what, &faults, options.backend)?),
        }
    }
    Ok(found)
}

fn row(
    model: &Model,
    what: OutOfAction,
    faults: &[Fault],
    backend: Backend,
) -> Result<Row, solve::Fault> {
    let conditions = Conditions::of(model, faults);
    let replayed = replay::run(model, &conditions, backend)?;
    let reacted = reaction::run(model, &conditions, &replayed, backend)?;
    Ok(Row {
        what,
        from_day: conditions.from_day,
        nobody_reacts: replayed.course.first,
        best: reacted.course.first,
        people_until: reacted.people_until,
        cover: reacted.cover,
    })
}

/// Whether a node does something that can stop: turns, brings or takes away.
fn acts(network: &Network, node: NodeId) -> bool {
    let activities = &network.duties(node).activities;
    network.can_be_down(node)
        && activities
            .iter()
            .any(|activity| matches!(activity.role, Role::Convert | Role::Bring | Role::Leave(_)))
}

/// Whether the plan uses a node after a day.
fn is_used(plan: &Plan, node: NodeId, from: f64) -> bool {
    let calendar = &plan.network().calendar;
    let end = calendar.mission_days();
    let days = calendar.phase_days_between(from, end);
    let levels = plan.answer().decisions.levels[node.index()].iter();
    levels
        .flat_map(|levels| levels.iter().zip(&days))
        .any(|(level, days)| *days > 0.0 && *level > NOISE)
}

impl Row {
    /// Days from the fault to the first shortfall with the best reaction; none if
    /// there is none.
    pub fn days(&self) -> Option<f64> {
        self.best.as_ref().map(|best| best.after_days)
    }
}
