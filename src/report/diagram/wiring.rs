//! From layers to places on the sheet: columns, the ends of streams at blocks, and lanes
//! for what runs back. Streams cross columns level and bend only between them, so none runs
//! over a block or a label; what runs back goes around everything.

mod columns;
mod lanes;
mod ports;
mod relax;

use super::layers::{self, Room};
use super::order::{self, Pull};
use crate::report::drawing::{Bounds, Point};

/// A block to place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Block {
    /// Its width, px.
    pub width: f64,
    /// Its height, px.
    pub height: f64,
    /// How much of it, from the top, streams do not touch, px.
    pub head: f64,
    /// The width of the part that streams touch, in the middle, px.
    pub body: f64,
}

/// Size of a label, px.
#[derive(Clone, Copy, Debug)]
pub(super) struct Label {
    /// Its width.
    pub width: f64,
    /// Its height; the stream runs through its middle.
    pub height: f64,
}

/// A stream to place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wire {
    /// Block it leaves.
    pub from: usize,
    /// Block it enters.
    pub to: usize,
    /// How thick it is, px.
    pub thickness: f64,
    /// Its label, if it has one.
    pub label: Option<Label>,
    /// What it costs to let it run back.
    pub return_cost: f64,
}

/// How the picture is spaced.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spacing {
    /// Between blocks and between streams.
    pub room: Room,
    /// Width of the space between columns in which streams bend, px.
    pub bend: f64,
    /// Between what runs back side by side, px.
    pub lane: f64,
    /// Whether the ends at a block stand apart, or one against the other.
    pub spread: bool,
}

/// A stream on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Course {
    /// What it goes through. Between the points of a forward stream it bends, from level to
    /// level; the points of one that runs back are corners.
    pub points: Vec<Point>,
    /// Where its label stands.
    pub label: Option<Bounds>,
    /// Whether it runs back.
    pub is_back: bool,
}

/// Everything on the sheet.
#[derive(Clone, Debug, Default)]
pub(super) struct Placed {
    /// Width of all, px.
    pub width: f64,
    /// Height of all, px.
    pub height: f64,
    /// The blocks.
    pub blocks: Vec<Bounds>,
    /// The streams.
    pub courses: Vec<Course>,
}

/// Places blocks and streams. Everything lies between 0 and the width and height.
pub(super) fn place(blocks: &[Block], wires: &[Wire], spacing: Spacing) -> Placed {
    if blocks.is_empty() {
        return Placed::default();
    }
    let pulls: Vec<Pull> = wires
        .iter()
        .map(|wire| Pull {
            from: wire.from,
            to: wire.to,
            cost: wire.return_cost,
        })
        .collect();
    let order = order::order(blocks.len(), &pulls);
    let mut rank = vec![0; blocks.len()];
    for (place, &node) in order.iter().enumerate() {
        rank[node] = place;
    }
    let is_back: Vec<bool> = wires
        .iter()
        .map(|wire| rank[wire.from] >= rank[wire.to])
        .collect();
    let forward: Vec<Pull> = pulls
        .iter()
        .zip(&is_back)
        .filter(|(_, is_back)| !**is_back)
        .map(|(pull, _)| *pull)
        .collect();
    let weights: Vec<f64> = forward.iter().map(|pull| pull.cost).collect();
    let layer = order::layers(&order, &forward, &weights);
    let mut heights = layers::heights(blocks, wires, &layer, &is_back, spacing.room);
    relax::relax(blocks, wires, &layer, &mut heights, spacing);
    let sides = lanes::assign(wires, &layer, &is_back, &heights.blocks);
    let ports = ports::ports(blocks, wires, &heights, &sides, spacing);
    let bends = columns::bends(wires, &layer, &heights, &ports, spacing);
    let columns = columns::Columns::new(blocks, wires, &layer, &sides, &bends, spacing);
    columns::sheet(
        blocks,
        wires,
        &columns::Plan {
            layer: &layer,
            heights: &heights,
            sides: &sides,
            ports: &ports,
            columns: &columns,
            spacing,
        },
    )
}
