//! From layers to places on the sheet: rows, columns, the ends of streams at blocks, and
//! lanes for what runs back or to another row. Streams cross columns level and bend only
//! between them, so none runs over a block or a label; lanes lie between the rows.

mod columns;
mod kept;
mod lanes;
mod place;
mod ports;
mod relax;
mod rows;

use super::layers::Room;
use super::order::{self, Pull, order as order_of};
use crate::report::drawing::{Bounds, Point};
pub use kept::KeptLayouts;
pub(super) use rows::Rows;

/// Rows are never shorter than this, in layers.
const SHORTEST_ROW: usize = 2;

/// A block to place.
#[derive(Clone, Copy, Debug, PartialEq)]
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
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Label {
    /// Its width.
    pub width: f64,
    /// How far it reaches above the middle of the stream.
    pub above: f64,
    /// How far it reaches below.
    pub below: f64,
}

/// A stream to place.
#[derive(Clone, Copy, Debug, PartialEq)]
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
#[derive(Clone, Copy, Debug, PartialEq)]
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
pub(super) fn place(
    blocks: &[Block],
    wires: &[Wire],
    spacing: Spacing,
    widest: f64,
    kept: &KeptLayouts,
) -> Placed {
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
    let folded = |layers| rows::folded(&order, &forward, wires, &is_back, layers);
    // Heights take long to find: they are found for rows that may fit, and where none does
    // for those of the others that may become the narrowest.
    let mut narrowest: Option<Placed> = None;
    let mut too_wide: Option<Folding> = None;
    let mut last: Option<Rows> = None;
    let mut layers = usize::MAX;
    let mut width = f64::INFINITY;
    loop {
        let rows = folded(layers);
        layers = layers.min(rows.longest());
        if last.as_ref() != Some(&rows) {
            let folding = Folding::new(blocks, wires, rows.clone(), &is_back, spacing);
            last = Some(rows);
            width = folding.least_width;
            if width <= widest {
                let placed = folding.placed(kept);
                width = placed.width;
                narrowest = Some(narrower(narrowest, placed));
            } else if too_wide
                .as_ref()
                .is_none_or(|known| width < known.least_width)
            {
                too_wide = Some(folding);
            }
        }
        if width <= widest || layers <= SHORTEST_ROW {
            break;
        }
        let fitting = (layers as f64 * widest / width).ceil() as usize;
        layers = fitting.clamp(SHORTEST_ROW, layers - 1);
    }
    let known = narrowest
        .as_ref()
        .map_or(f64::INFINITY, |placed| placed.width);
    match too_wide.filter(|folding| known > widest && folding.least_width < known) {
        Some(folding) => narrower(narrowest, folding.placed(kept)),
        None => narrowest.unwrap_or_default(),
    }
}

/// The narrower one, the first of two as wide.
fn narrower(known: Option<Placed>, placed: Placed) -> Placed {
    match known {
        Some(known) if known.width <= placed.width => known,
        _ => placed,
    }
}

/// Blocks and streams in their rows.
struct Folding<'a> {
    blocks: &'a [Block],
    wires: &'a [Wire],
    rows: Rows,
    is_lane: Vec<bool>,
    spacing: Spacing,
    /// Columns of blocks and of labels are at least so wide, px.
    widths: Vec<f64>,
    /// The whole is at least so wide, px.
    least_width: f64,
}

impl<'a> Folding<'a> {
    fn new(
        blocks: &'a [Block],
        wires: &'a [Wire],
        rows: Rows,
        is_back: &[bool],
        spacing: Spacing,
    ) -> Self {
        let is_lane: Vec<bool> = wires
            .iter()
            .zip(is_back)
            .map(|(wire, is_back)| *is_back || rows.row[wire.from] != rows.row[wire.to])
            .collect();
        let widths = columns::widths(blocks, wires, &rows, &is_lane);
        let bends = spacing.bend * (widths.len() - 1) as f64;
        Folding {
            blocks,
            wires,
            rows,
            is_lane,
            spacing,
            least_width: widths.iter().sum::<f64>() + bends,
            widths,
        }
    }

    fn placed(&self, kept: &KeptLayouts) -> Placed {
        let (blocks, wires, rows, spacing) = (self.blocks, self.wires, &self.rows, self.spacing);
        let heights = kept.heights(blocks, wires, rows, &self.is_lane, spacing);
        let lanes = lanes::assign(wires, rows, &self.is_lane, &heights.blocks);
        let ports = ports::ports(
            blocks,
            wires,
            &heights,
            |wire, leaving| lanes.leg(wire, &wires[wire], rows, leaving),
            spacing,
        );
        let bends = columns::bends(wires, rows, &heights, &ports, spacing);
        let sizes = columns::Sizes {
            widths: &self.widths,
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
}
