//! Boxes of hardware counts, and how a box falls apart around a portfolio.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use crate::audit::Plan;
use crate::network::{Network, NodeId};

/// Portfolios whose counts lie within these ranges.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Region {
    /// Nodes with a choice of units, in file order.
    ranges: Vec<(NodeId, RangeInclusive<u32>)>,
}

impl Region {
    /// Everything that a network allows.
    pub fn all_of(network: &Network) -> Self {
        let ranges = network.nodes().filter_map(|node| {
            let duties = network.duties(node);
            let count = duties.count;
            let chosen = duties.hardware.is_some() && count.lower < count.upper;
            chosen.then_some((node, count.lower..=count.upper))
        });
        Region {
            ranges: ranges.collect(),
        }
    }

    /// Boxes that together hold every portfolio of this one but the plan's, each
    /// of them once: the counts before a node are those of the plan, its own are
    /// fewer or more, those after it are free.
    pub fn without(&self, plan: &Plan) -> Vec<Region> {
        let mut held = self.clone();
        let mut boxes = Vec::new();
        for index in 0..held.ranges.len() {
            let (node, range) = held.ranges[index].clone();
            let units = plan.answer().decisions.counts[node.index()];
            let (least, most) = range.into_inner();
            if let Some(fewer) = units.checked_sub(1).filter(|&fewer| fewer >= least) {
                boxes.push(held.with(index, least..=fewer));
            }
            if units < most {
                boxes.push(held.with(index, units + 1..=most));
            }
            held = held.with(index, units..=units);
        }
        boxes
    }

    fn with(&self, index: usize, range: RangeInclusive<u32>) -> Self {
        let mut other = self.clone();
        other.ranges[index].1 = range;
        other
    }

    /// As hints take it.
    pub fn counts(&self, network: &Network) -> BTreeMap<String, RangeInclusive<u32>> {
        let ranges = self.ranges.iter();
        ranges
            .map(|(node, range)| (network.name(*node).to_owned(), range.clone()))
            .collect()
    }
}
