//! One part over one mission: units fail, spares take their place.

use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

use rand::Rng;
use rand_distr::{Distribution, Exp1, Gamma};

use crate::audit::Plan;
use crate::network::NodeId;
use crate::physics::failures::FailureCount;
use crate::physics::gamma_rate::shape_of_error_factor;

/// A part as it flies: its units at work, and its spares.
#[derive(Clone, Debug)]
pub(super) struct FlownPool {
    pub name: String,
    pub nodes: Vec<NodeId>,
    pub units: u64,
    pub spares: u32,
    groups: Vec<Group>,
    error_factor: Option<f64>,
    /// Of the failure rate over its mean, where the rate is uncertain.
    rate: Option<Gamma<f64>>,
    end_day: f64,
}

/// The units of one node.
#[derive(Clone, Copy, Debug)]
pub(super) struct Group {
    pub units: u32,
    pub start_day: f64,
    /// Mean life of a unit in days of the calendar: time between failures over duty.
    pub mean_life_days: f64,
}

/// What became of a part on one mission.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Fate {
    pub spares_used: u32,
    /// The day on which a unit failed with no spare left.
    pub short_on: Option<f64>,
    /// Days of units that stayed down.
    pub unit_days_down: f64,
}

impl FlownPool {
    /// Every part of a plan that has units, with them and the spares that fly; where the
    /// design asks for none, none do.
    pub fn all(plan: &Plan) -> Vec<FlownPool> {
        let network = plan.network();
        let decisions = &plan.answer().decisions;
        let flown = |nodes: &[NodeId]| {
            let mut plans = decisions.spares.iter();
            plans
                .find(|plan| plan.nodes == nodes)
                .map_or(0, |plan| plan.spares)
        };
        let mut pools = Vec::new();
        for pool in network.pools() {
            let groups: Vec<Group> = pool
                .nodes
                .iter()
                .filter_map(|&node| {
                    let part = network.duties(node).hardware.as_ref()?.spares.as_ref()?;
                    Some(Group {
                        units: decisions.counts[node.index()],
                        start_day: network.start_day(node),
                        mean_life_days: part.mtbf_days / part.duty,
                    })
                })
                .collect();
            let spares = flown(&pool.nodes);
            let factor = pool.part.error_factor;
            pools.push(FlownPool {
                name: pool.name,
                nodes: pool.nodes,
                ..FlownPool::new(groups, spares, factor, network.calendar.mission_days())
            });
        }
        pools.retain(|pool| pool.units > 0);
        pools
    }

    /// Units with their spares, nameless.
    pub fn new(groups: Vec<Group>, spares: u32, error_factor: Option<f64>, end_day: f64) -> Self {
        FlownPool {
            name: String::new(),
            nodes: Vec::new(),
            units: groups.iter().map(|group| u64::from(group.units)).sum(),
            spares,
            groups,
            error_factor,
            rate: error_factor
                .filter(|factor| *factor > 1.0)
                .map(shape_of_error_factor)
                .and_then(|shape| Gamma::new(shape, 1.0 / shape).ok()),
            end_day,
        }
    }

    /// The number of failures up to a day, as the model of spares has it.
    pub fn failures_by(&self, day: f64) -> FailureCount {
        let mean = self.groups.iter().map(|group| {
            let days = (day - group.start_day).max(0.0);
            f64::from(group.units) * days / group.mean_life_days
        });
        FailureCount::new(mean.sum(), self.error_factor)
    }

    /// Lives through one mission: every unit lasts an exponentially distributed
    /// time; a spare takes its place at once, or it stays down to the end.
    pub fn live(&self, random: &mut impl Rng) -> Fate {
        let rate = self.rate.map_or(1.0, |rate| rate.sample(random));
        let life_of = |group: Group, random: &mut _| {
            let life: f64 = Exp1.sample(random);
            group.mean_life_days * life / rate
        };
        let mut failures = BinaryHeap::new();
        for (index, &group) in self.groups.iter().enumerate() {
            for _ in 0..group.units {
                let day = group.start_day + life_of(group, random);
                if day < self.end_day {
                    failures.push(Reverse(Failure { day, group: index }));
                }
            }
        }
        let mut fate = Fate::default();
        while let Some(Reverse(Failure { day, group })) = failures.pop() {
            if fate.spares_used == self.spares {
                fate.short_on.get_or_insert(day);
                fate.unit_days_down += self.end_day - day;
                continue;
            }
            fate.spares_used += 1;
            let next = day + life_of(self.groups[group], random);
            if next < self.end_day {
                failures.push(Reverse(Failure { day: next, group }));
            }
        }
        fate
    }
}

/// A failure that is still to come.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Failure {
    day: f64,
    group: usize,
}

impl Eq for Failure {}

impl Ord for Failure {
    fn cmp(&self, other: &Self) -> Ordering {
        let day = self.day.total_cmp(&other.day);
        day.then(self.group.cmp(&other.group))
    }
}

impl PartialOrd for Failure {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
