//! Where streams touch blocks.

use std::cmp::Ordering;

use super::lanes::Leg;
use super::{Block, Spacing, Wire};
use crate::report::diagram::layers::Heights;

/// Heights of both ends of every stream, px.
#[derive(Clone, Debug)]
pub(super) struct Ports {
    /// Where it leaves.
    pub out: Vec<f64>,
    /// Where it enters.
    pub into: Vec<f64>,
}

/// The ends of the streams at every block, in an order in which they cross no more than
/// they must; `leg` says how a stream with a lane leaves (or else enters).
pub(super) fn ports(
    blocks: &[Block],
    wires: &[Wire],
    heights: &Heights,
    leg: impl Fn(usize, bool) -> Option<Leg>,
    spacing: Spacing,
) -> Ports {
    let mut ports = Ports {
        out: vec![0.0; wires.len()],
        into: vec![0.0; wires.len()],
    };
    for (index, block) in blocks.iter().enumerate() {
        let top = heights.blocks[index] - block.height / 2.0 + block.head;
        let bottom = heights.blocks[index] + block.height / 2.0;
        for leaving in [true, false] {
            let at_block = |wire: &usize| {
                let wire = &wires[*wire];
                index == if leaving { wire.from } else { wire.to }
            };
            let mut here: Vec<usize> = (0..wires.len()).filter(at_block).collect();
            let next = |wire: usize| {
                let stations = &heights.stations[wire];
                let station = if leaving {
                    stations.first()
                } else {
                    stations.last()
                };
                station.map_or(heights.blocks[index], |station| station.y)
            };
            here.sort_by(|&one, &other| compare(one, other, |wire| leg(wire, leaving), next));
            let places = if leaving {
                &mut ports.out
            } else {
                &mut ports.into
            };
            let thickness: Vec<f64> = here.iter().map(|&wire| wires[wire].thickness).collect();
            for (wire, y) in here
                .iter()
                .zip(stacked(&thickness, top, bottom, spacing.spread))
            {
                places[*wire] = y;
            }
        }
    }
    ports
}

/// From the top: what goes up to a lane, the leg nearest to the block first; what goes on,
/// as it goes on; what goes down to a lane, the nearest leg last.
fn compare(
    one: usize,
    other: usize,
    leg: impl Fn(usize) -> Option<Leg>,
    next: impl Fn(usize) -> f64,
) -> Ordering {
    let [mine, others] = [leg(one), leg(other)];
    let group = |leg: Option<Leg>| leg.map_or(1, |leg| if leg.up { 0 } else { 2 });
    let by_leg = match (mine, others) {
        (Some(mine), Some(others)) if mine.up => mine.place.cmp(&others.place),
        (Some(mine), Some(others)) => others.place.cmp(&mine.place),
        _ => Ordering::Equal,
    };
    group(mine)
        .cmp(&group(others))
        .then(by_leg)
        .then(next(one).total_cmp(&next(other)))
        .then(one.cmp(&other))
}

/// Middles of streams one below the other: spread over the height, or close together.
fn stacked(thickness: &[f64], top: f64, bottom: f64, spread: bool) -> Vec<f64> {
    let whole: f64 = thickness.iter().sum();
    let free = (bottom - top - whole).max(0.0);
    let gap = match spread {
        true => free / (thickness.len() + 1) as f64,
        false => 0.0,
    };
    let mut y = top + gap;
    thickness
        .iter()
        .map(|thick| {
            let middle = y + thick / 2.0;
            y += thick + gap;
            middle
        })
        .collect()
}
