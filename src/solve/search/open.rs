//! Parts of the answers that are still open.

use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::rc::Rc;

use super::branching::Split;
use super::trail::{Path, Side};
use crate::solve::basis::Standing;

/// Bounds on the units of one node: group, node of the group.
pub(super) type Boxes = Vec<Vec<(u32, u32)>>;

/// A part of the answers still open.
#[derive(Clone, Debug)]
pub(super) struct Open {
    pub bound: f64,
    pub depth: usize,
    pub number: usize,
    pub boxes: Boxes,
    /// The splits that have led here.
    pub path: Path,
    /// Bounds on other whole columns of the reduced program.
    pub whole: BTreeMap<usize, (f64, f64)>,
    /// What the exact spares weigh beyond the least, by payload row, kg; empty
    /// until the units are fixed.
    pub excess: Vec<f64>,
    /// The 0/1 columns of the exact spares, where they are columns; empty until
    /// the units are fixed.
    pub spares: Vec<usize>,
    /// Where the linear program of the part it was split from has ended.
    pub start: Option<Rc<Standing>>,
}

impl Open {
    /// The part with at most so many units of a node, and the part with more.
    pub fn halves(&self, split: &Split) -> [Open; 2] {
        let &Split {
            group, node, at, ..
        } = split;
        let (least, most) = self.boxes[group][node];
        let mut low = self.clone();
        low.boxes[group][node] = (least, at);
        low.path = self.path.and(Side::AtMost { group, node, at });
        let mut high = self.clone();
        high.boxes[group][node] = (at + 1, most);
        high.path = self.path.and(Side::More { group, node, at });
        [low, high]
    }
}

impl PartialEq for Open {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Open {}

impl PartialOrd for Open {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Open {
    /// The heap gives the lowest bound first, then the deepest, then the oldest.
    fn cmp(&self, other: &Self) -> Ordering {
        other
            .bound
            .total_cmp(&self.bound)
            .then(self.depth.cmp(&other.depth))
            .then(other.number.cmp(&self.number))
    }
}

pub(super) fn fits(units: &[u32], boxes: &[(u32, u32)]) -> bool {
    units
        .iter()
        .zip(boxes)
        .all(|(&units, &(least, most))| units >= least && units <= most)
}

pub(super) fn is_fixed(boxes: &Boxes) -> bool {
    boxes
        .iter()
        .all(|group| group.iter().all(|&(least, most)| least == most))
}
