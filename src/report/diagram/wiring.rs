//! From layers to places on the sheet: rows, columns, the ends of streams at blocks, and
//! lanes for what runs back or to another row. Streams cross columns level and bend only
//! between them, so none runs over a block or a label; lanes lie between the rows.

mod columns;
mod lanes;
mod place;
mod ports;
mod relax;
mod rows;

use super::layers::{self, Room};
use super::order::{self, Pull, order as order_of};
use crate::report::drawing::{Bounds, Point};
pub(super) use rows::Rows;

/// Rows are never shorter than this, in layers.
const SHORTEST_ROW: usize = 2;

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
    /// How far it reaches above the middle of the stream.
    pub above: f64,
    /// How far it reaches below.
    pub below: f64,
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

impl Wire {
    /// A thin one without a label.
    #[cfg(test)]
    fn plain(from: usize, to: usize) -> Self {
        Wire {
            from,
            to,
            thickness: 2.0,
            label: None,
            return_cost: 1.0,
        }
    }

    /// How far it reaches above and below its middle, px, with its label or without.
    pub fn reach(&self, labelled: bool) -> (f64, f64) {
        let half = self.thickness / 2.0;
        match self.label.filter(|_| labelled) {
            Some(label) => (half.max(label.above), half.max(label.below)),
            None => (half, half),
        }
    }
}

/// How the picture is spaced.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spacing {
    /// Between blocks and between streams.
    pub room: Room,
    /// Width of the space between columns in which streams bend, px.
    pub bend: f64,
    /// Between lanes side by side, px.
    pub lane: f64,
    /// Whether the ends at a block stand apart, or one against the other.
    pub spread: bool,
}

/// A stream on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Course {
    /// What it goes through. Between the points of a stream within its row it bends, from
    /// level to level; the points of one on a lane are corners.
    pub points: Vec<Point>,
    /// Where its label stands.
    pub label: Option<Bounds>,
    /// Whether it runs on a lane, from its third point to its fourth.
    pub on_lane: bool,
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

/// Places blocks and streams, in as few rows as keep all no wider than `widest`, px, if that
/// can be. Everything lies between 0 and the width and height.
pub(super) fn place(blocks: &[Block], wires: &[Wire], spacing: Spacing, widest: f64) -> Placed {
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
    let unfolded = rows::folded(&order, &forward, wires, &is_back, usize::MAX);
    let mut narrowest = laid(blocks, wires, &unfolded, &is_back, spacing);
    let (mut layers, mut width) = (unfolded.longest(), narrowest.width);
    while width > widest && layers > SHORTEST_ROW {
        let fitting = (layers as f64 * widest / width).ceil() as usize;
        layers = fitting.clamp(SHORTEST_ROW, layers - 1);
        let rows = rows::folded(&order, &forward, wires, &is_back, layers);
        let placed = laid(blocks, wires, &rows, &is_back, spacing);
        width = placed.width;
        if width < narrowest.width {
            narrowest = placed;
        }
    }
    narrowest
}

fn laid(
    blocks: &[Block],
    wires: &[Wire],
    rows: &Rows,
    is_back: &[bool],
    spacing: Spacing,
) -> Placed {
    let is_lane: Vec<bool> = wires
        .iter()
        .zip(is_back)
        .map(|(wire, is_back)| *is_back || rows.row[wire.from] != rows.row[wire.to])
        .collect();
    let mut heights = layers::heights(blocks, wires, rows, &is_lane, spacing.room);
    relax::relax(blocks, wires, rows, &mut heights, spacing);
    let lanes = lanes::assign(wires, rows, &is_lane, &heights.blocks);
    let ports = ports::ports(
        blocks,
        wires,
        &heights,
        |wire, leaving| lanes.leg(wire, &wires[wire], rows, leaving),
        spacing,
    );
    let bends = columns::bends(wires, rows, &heights, &ports, spacing);
    let sizes = columns::Sizes {
        blocks,
        wires,
        rows,
        lanes: &lanes,
        ports: &ports,
        spacing,
    };
    place::sheet(&place::Plan {
        blocks,
        wires,
        rows,
        heights: &heights,
        lanes: &lanes,
        ports: &ports,
        columns: &columns::Columns::new(&sizes, &bends),
        spacing,
    })
}
