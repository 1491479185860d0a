//! What a plan says of nodes and streams, by phase.

use crate::audit::Plan;
use crate::kinds::Activity;
use crate::network::{NodeId, StreamId};
use crate::quantity::{Dimension, written};

/// One value for every phase.
pub(super) fn by_phase(plan: &Plan, value: impl Fn(usize) -> f64) -> Vec<f64> {
    (0..plan.network().calendar.phases.len())
        .map(value)
        .collect()
}

/// Flow of some streams together, kg/d.
pub(super) fn flow(plan: &Plan, streams: &[StreamId], phase: usize) -> f64 {
    let flows = &plan.answer().decisions.flows;
    streams
        .iter()
        .map(|stream| flows[stream.index()][phase])
        .sum()
}

/// Feed of a node, kg/d.
pub(super) fn feed(plan: &Plan, node: NodeId, phase: usize) -> f64 {
    plan.answer().throughput[node.index()][phase]
}

/// Units of a node.
pub(super) fn units(plan: &Plan, node: NodeId) -> f64 {
    f64::from(plan.answer().decisions.counts[node.index()])
}

/// `Σ of · level` over a node's activities.
pub(super) fn sum(plan: &Plan, node: NodeId, phase: usize, of: impl Fn(&Activity) -> f64) -> f64 {
    let activities = &plan.network().duties(node).activities;
    let levels = &plan.answer().decisions.levels[node.index()];
    let each = activities.iter().zip(levels);
    each.map(|(activity, level)| of(activity) * level[phase])
        .sum()
}

/// A value as a design file would state it: to five significant digits.
pub(super) fn stated(value: f64, dimension: Dimension) -> String {
    let rounded = format!("{value:.4e}").parse().unwrap_or(value);
    written(rounded, dimension)
}

/// The largest of some values; 0 of none.
pub(super) fn largest(values: &[f64]) -> f64 {
    values.iter().copied().fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::stated;
    use crate::quantity::Dimension;

    #[test]
    fn five_digits_are_stated_and_read_again() {
        let wanted = "0.000027757 kWh/kg";
        assert_eq!(stated(2.775_705_8e-5, Dimension::SpecificEnergy), wanted);
        assert_eq!(stated(151_987.5, Dimension::Pressure), "151990 Pa");
        assert_eq!(stated(0.0, Dimension::CrewTime), "0 h/d");
    }
}
