//! Columns of blocks and of labels, which all rows share, and the spaces between them.

use super::lanes::Lanes;
use super::ports::Ports;
use super::rows::Rows;
use super::{Block, Spacing, Wire};
use crate::report::diagram::layers::Heights;

/// How much wider a space gets for a bend, as a share of its height and of the stream.
const BEND_BY_HEIGHT: f64 = 0.06;
const BEND_BY_THICKNESS: f64 = 0.3;
/// A space gets no wider than so many times the least.
const WIDEST_BEND: f64 = 2.2;

/// Columns from left to right: of blocks where even, of labels where odd.
#[derive(Clone, Debug)]
pub(super) struct Columns {
    /// Left and right side, px.
    pub sides: Vec<(f64, f64)>,
    /// By stream, where it leaves the column of its source for its lane, px.
    pub down: Vec<f64>,
    /// By stream, where it leaves its lane for its target, px.
    pub up: Vec<f64>,
    /// Width of all, px.
    pub width: f64,
}

/// What goes up or down beside a column, between a block and a lane.
struct Upright {
    wire: usize,
    thickness: f64,
    /// From the blocks outwards.
    place: (bool, usize),
    /// Upper and lower end: row or channel, and height or track in it.
    ends: [(usize, f64); 2],
}

impl Upright {
    fn meets(&self, other: &Upright) -> bool {
        let is_over = |one: (usize, f64), other: (usize, f64)| {
            one.0.cmp(&other.0).then(one.1.total_cmp(&other.1)).is_lt()
        };
        !is_over(self.ends[1], other.ends[0]) && !is_over(other.ends[1], self.ends[0])
    }
}

/// What decides how wide columns are.
pub(super) struct Sizes<'a> {
    /// Widths of the columns, px.
    pub widths: &'a [f64],
    pub wires: &'a [Wire],
    pub rows: &'a Rows,
    pub lanes: &'a Lanes,
    pub ports: &'a Ports,
    pub spacing: Spacing,
}

impl Columns {
    /// As wide as what stands in them; the spaces between as wide as what bends there and
    /// what goes up and down.
    pub fn new(sizes: &Sizes, bends: &[f64]) -> Columns {
        let last = sizes.widths.len() - 1;
        let many = sizes.wires.len();
        let mut columns = Columns {
            sides: Vec::new(),
            down: vec![0.0; many],
            up: vec![0.0; many],
            width: 0.0,
        };
        let mut x = 0.0;
        for (space, width) in sizes.widths.iter().copied().chain([0.0]).enumerate() {
            x = columns.stand(sizes, x, space, true);
            if 0 < space && space <= last {
                x += bends.get(space).copied().unwrap_or(sizes.spacing.bend);
            }
            x = columns.stand(sizes, x, space, false);
            if space <= last {
                columns.sides.push((x, x + width));
                x += width;
            }
        }
        columns.width = x;
        columns
    }

    /// Places what goes up and down in a space, from its left side; gives its right side.
    /// What does not meet stands one above the other.
    fn stand(&mut self, sizes: &Sizes, left: f64, space: usize, leaving: bool) -> f64 {
        let uprights = sizes.uprights(space, leaving);
        let mut slots = vec![0; uprights.len()];
        for (place, upright) in uprights.iter().enumerate() {
            let met = (0..place).filter(|&other| uprights[other].meets(upright));
            slots[place] = met.map(|other| slots[other] + 1).max().unwrap_or(0);
        }
        let many = slots.iter().max().map_or(0, |last| last + 1);
        let mut thickness = vec![0.0_f64; many];
        for (upright, &slot) in uprights.iter().zip(&slots) {
            thickness[slot] = thickness[slot].max(upright.thickness);
        }
        let lane = sizes.spacing.lane;
        let room: f64 = thickness.iter().map(|thick| lane + thick).sum();
        for (upright, &slot) in uprights.iter().zip(&slots) {
            let before: f64 = thickness[..slot].iter().map(|thick| lane + thick).sum();
            let out = before + lane + thickness[slot] / 2.0;
            match leaving {
                true => self.down[upright.wire] = left + out,
                false => self.up[upright.wire] = left + room - out,
            }
        }
        left + room
    }
}

impl Sizes<'_> {
    /// What goes up and down in a space beside the column on its left (or else its right),
    /// from the blocks outwards.
    fn uprights(&self, space: usize, leaving: bool) -> Vec<Upright> {
        let mut uprights: Vec<Upright> = Vec::new();
        for (index, wire) in self.wires.iter().enumerate() {
            let (block, port) = match leaving {
                true => (wire.from, self.ports.out[index]),
                false => (wire.to, self.ports.into[index]),
            };
            let beside = 2 * self.rows.layer[block] + usize::from(leaving);
            let leg = self.lanes.leg(index, wire, self.rows, leaving);
            if let (true, Some(leg), Some(lane)) = (beside == space, leg, self.lanes.of[index]) {
                // Channels and rows are counted together, from the top.
                let at_block = (2 * self.rows.row[block] + 1, port);
                let at_lane = (2 * lane.channel, lane.track as f64);
                uprights.push(Upright {
                    wire: index,
                    thickness: wire.thickness,
                    place: leg.place,
                    ends: match leg.up {
                        true => [at_lane, at_block],
                        false => [at_block, at_lane],
                    },
                });
            }
        }
        uprights.sort_by_key(|upright| (upright.place, upright.wire));
        uprights
    }
}

/// Widths of the columns: as wide as what stands in them, px. A label has a column to itself,
/// or for a stream on a lane some of those beside each other.
pub(super) fn widths(blocks: &[Block], wires: &[Wire], rows: &Rows, is_lane: &[bool]) -> Vec<f64> {
    let mut widths = vec![0.0_f64; (2 * rows.longest()).saturating_sub(1).max(1)];
    let last = widths.len() - 1;
    for (block, layer) in blocks.iter().zip(&rows.layer) {
        widths[2 * layer] = widths[2 * layer].max(block.width);
    }
    for (wire, is_lane) in wires.iter().zip(is_lane) {
        let Some(label) = wire.label else { continue };
        let [from, to] = [wire.from, wire.to].map(|block| 2 * rows.layer[block]);
        // The columns in which the label of a stream may stand.
        let (first, last) = match is_lane {
            false => ((from + 1).min(last), (from + 1).min(last)),
            true if from < to => (from + 1, to - 1),
            true => (to, from),
        };
        let widest = widths[first..=last].iter().copied().fold(0.0, f64::max);
        if widest < label.width {
            widths[first] = label.width;
        }
    }
    widths
}

/// Widths of the spaces in which streams bend, by the column on their right: wider where
/// they bend far, and where they are thick, so that no bend is steep.
pub(super) fn bends(
    wires: &[Wire],
    rows: &Rows,
    heights: &Heights,
    ports: &Ports,
    spacing: Spacing,
) -> Vec<f64> {
    let mut widths = vec![spacing.bend; 2 * rows.longest()];
    for (index, wire) in wires.iter().enumerate() {
        let mut y = ports.out[index];
        let stations = &heights.stations[index];
        let ends = stations
            .last()
            .map(|last| (last.column + 1, ports.into[index]));
        let passed = stations.iter().map(|station| (station.column, station.y));
        for (column, next) in passed.chain(ends) {
            let wanted = spacing.bend
                + BEND_BY_HEIGHT * (next - y).abs()
                + BEND_BY_THICKNESS * wire.thickness;
            widths[column] = widths[column].max(wanted.min(WIDEST_BEND * spacing.bend));
            y = next;
        }
    }
    widths
}
