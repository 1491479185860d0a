//! Columns of blocks and of labels, the spaces between them, and the finished sheet.

use super::lanes::Lane;
use super::ports::Ports;
use super::{Block, Course, Placed, Spacing, Wire};
use crate::report::diagram::layers::Heights;
use crate::report::drawing::{Bounds, Point};

/// Room around a label on a lane, px.
const LABEL_ROOM: f64 = 4.0;

/// Columns from left to right: of blocks where even, of labels where odd.
#[derive(Clone, Debug)]
pub(super) struct Columns {
    /// Left and right side, px.
    sides: Vec<(f64, f64)>,
    /// By stream, where it leaves the column of its source for its lane, px.
    down: Vec<f64>,
    /// By stream, where it leaves its lane for its target, px.
    up: Vec<f64>,
    /// Width of all, px.
    width: f64,
}

/// Everything that decides where things stand.
pub(super) struct Plan<'a> {
    pub layer: &'a [usize],
    pub heights: &'a Heights,
    pub sides: &'a [Option<Lane>],
    pub ports: &'a Ports,
    pub columns: &'a Columns,
    pub spacing: Spacing,
}

impl Columns {
    /// As wide as what stands in them; the spaces between as wide as what goes up and down
    /// there.
    pub fn new(
        blocks: &[Block],
        wires: &[Wire],
        layer: &[usize],
        lanes: &[Option<Lane>],
        bends: &[f64],
        spacing: Spacing,
    ) -> Columns {
        let last = 2 * layer.iter().copied().max().unwrap_or(0);
        let mut widths = vec![0.0_f64; last + 1];
        for (block, layer) in blocks.iter().zip(layer) {
            widths[2 * layer] = widths[2 * layer].max(block.width);
        }
        for (wire, lane) in wires.iter().zip(lanes) {
            if let (Some(label), None) = (wire.label, lane) {
                let column = (2 * layer[wire.from] + 1).min(last);
                widths[column] = widths[column].max(label.width);
            }
        }
        let mut columns = Columns {
            sides: Vec::new(),
            down: vec![0.0; wires.len()],
            up: vec![0.0; wires.len()],
            width: 0.0,
        };
        let mut x = 0.0;
        for (space, width) in widths.iter().copied().chain([0.0]).enumerate() {
            let leaving = |wire: usize| 2 * layer[wires[wire].from] + 1 == space;
            let entering = |wire: usize| 2 * layer[wires[wire].to] == space;
            // Outwards from the column on its left, the deepest lane last; then towards the
            // column on its right, the deepest lane first.
            x = columns.legs(x, wires, lanes, spacing, leaving, true);
            let inner = 0 < space && space <= last;
            if inner {
                x += bends.get(space).copied().unwrap_or(spacing.bend);
            }
            x = columns.legs(x, wires, lanes, spacing, entering, false);
            if space <= last {
                columns.sides.push((x, x + width));
                x += width;
            }
        }
        columns.width = x;
        columns
    }

    /// Places what goes up and down in a space, from its left side; gives its right side.
    fn legs(
        &mut self,
        left: f64,
        wires: &[Wire],
        lanes: &[Option<Lane>],
        spacing: Spacing,
        here: impl Fn(usize) -> bool,
        leaving: bool,
    ) -> f64 {
        let mut legs: Vec<(usize, bool, usize)> = lanes
            .iter()
            .enumerate()
            .filter(|&(wire, _)| here(wire))
            .filter_map(|(wire, lane)| lane.map(|lane| (lane.depth, lane.above, wire)))
            .collect();
        legs.sort_unstable();
        if !leaving {
            legs.reverse();
        }
        let mut x = left;
        for (_, _, wire) in legs {
            let thick = wires[wire].thickness;
            if leaving {
                x += spacing.lane + thick;
                self.down[wire] = x - thick / 2.0;
            } else {
                self.up[wire] = x + thick / 2.0;
                x += spacing.lane + thick;
            }
        }
        x
    }
}

/// Widths of the spaces in which streams bend, by the column on their right: wider where
/// they bend far, and where they are thick, so that no bend is steep.
pub(super) fn bends(
    wires: &[Wire],
    layer: &[usize],
    heights: &Heights,
    ports: &Ports,
    spacing: Spacing,
) -> Vec<f64> {
    let last = 2 * layer.iter().copied().max().unwrap_or(0);
    let mut widths = vec![spacing.bend; last + 1];
    for (index, wire) in wires.iter().enumerate() {
        let mut y = ports.out[index];
        let stations = &heights.stations[index];
        let ends = stations
            .last()
            .map(|last| (last.column + 1, ports.into[index]));
        let passed = stations.iter().map(|station| (station.column, station.y));
        for (column, next) in passed.chain(ends) {
            let wanted = spacing.bend + 0.11 * (next - y).abs() + 0.3 * wire.thickness;
            widths[column] = widths[column].max(wanted.min(3.0 * spacing.bend));
            y = next;
        }
    }
    widths
}

/// The sheet: lanes above, everything in the middle, lanes below.
pub(super) fn sheet(blocks: &[Block], wires: &[Wire], plan: &Plan) -> Placed {
    let mut boxes: Vec<Bounds> = blocks
        .iter()
        .enumerate()
        .map(|(index, block)| {
            let (left, right) = plan.columns.sides[2 * plan.layer[index]];
            let [x, y] = [(left + right) / 2.0, plan.heights.blocks[index]];
            Bounds {
                left: x - block.width / 2.0,
                top: y - block.height / 2.0,
                right: x + block.width / 2.0,
                bottom: y + block.height / 2.0,
            }
        })
        .collect();
    let (top, bottom) = extent(&boxes, wires, plan);
    let lane_y = lane_heights(wires, plan, top, bottom);
    let mut courses: Vec<Course> = (0..wires.len())
        .map(|wire| match plan.sides[wire] {
            None => forward(wire, &wires[wire], blocks, &boxes, plan),
            Some(_) => back(wire, &wires[wire], blocks, &boxes, plan, lane_y[wire]),
        })
        .collect();
    let (mut above, mut below) = (top, bottom);
    for (wire, course) in wires.iter().zip(&courses) {
        let half = wire.thickness / 2.0;
        for point in &course.points {
            above = above.min(point.y - half);
            below = below.max(point.y + half);
        }
        if let Some(label) = &course.label {
            above = above.min(label.top);
            below = below.max(label.bottom);
        }
    }
    for bounds in &mut boxes {
        bounds.top -= above;
        bounds.bottom -= above;
    }
    for course in &mut courses {
        course.points.iter_mut().for_each(|point| point.y -= above);
        if let Some(label) = &mut course.label {
            label.top -= above;
            label.bottom -= above;
        }
    }
    Placed {
        width: plan.columns.width,
        height: below - above,
        blocks: boxes,
        courses,
    }
}

/// Top and bottom of all that stands between the lanes.
fn extent(boxes: &[Bounds], wires: &[Wire], plan: &Plan) -> (f64, f64) {
    let mut extent = (f64::INFINITY, f64::NEG_INFINITY);
    let mut reach = |top: f64, bottom: f64| {
        extent = (extent.0.min(top), extent.1.max(bottom));
    };
    for bounds in boxes {
        reach(bounds.top, bounds.bottom);
    }
    for (wire, stations) in wires.iter().zip(&plan.heights.stations) {
        for (place, station) in stations.iter().enumerate() {
            let label = wire.label.filter(|_| place == 0);
            let half = label.map_or(0.0, |label| label.height).max(wire.thickness) / 2.0;
            reach(station.y - half, station.y + half);
        }
    }
    extent
}

/// Height of the middle of every lane, by stream.
fn lane_heights(wires: &[Wire], plan: &Plan, top: f64, bottom: f64) -> Vec<f64> {
    let mut heights = vec![0.0; wires.len()];
    for above in [true, false] {
        let mut edge = spacing_from(plan.spacing);
        let mut depth = 0;
        loop {
            let lane = Some(Lane { above, depth });
            let here: Vec<usize> = (0..wires.len())
                .filter(|&wire| plan.sides[wire] == lane)
                .collect();
            if here.is_empty() {
                break;
            }
            let room = here.iter().map(|&wire| {
                let label = wires[wire].label.map_or(0.0, |label| label.height);
                label.max(wires[wire].thickness)
            });
            let room = room.fold(0.0, f64::max);
            for wire in here {
                heights[wire] = match above {
                    true => top - edge - room / 2.0,
                    false => bottom + edge + room / 2.0,
                };
            }
            edge += room + plan.spacing.lane;
            depth += 1;
        }
    }
    heights
}

fn spacing_from(spacing: Spacing) -> f64 {
    2.0 * spacing.lane
}

/// Both ends of a stream: the sides of the bodies of its blocks.
fn ends(
    index: usize,
    wire: &Wire,
    blocks: &[Block],
    boxes: &[Bounds],
    plan: &Plan,
) -> (Point, Point) {
    let middle = |block: usize| (boxes[block].left + boxes[block].right) / 2.0;
    (
        Point::new(
            middle(wire.from) + blocks[wire.from].body / 2.0,
            plan.ports.out[index],
        ),
        Point::new(
            middle(wire.to) - blocks[wire.to].body / 2.0,
            plan.ports.into[index],
        ),
    )
}

fn forward(index: usize, wire: &Wire, blocks: &[Block], boxes: &[Bounds], plan: &Plan) -> Course {
    let (start, end) = ends(index, wire, blocks, boxes, plan);
    let side = |block: usize| plan.columns.sides[2 * plan.layer[block]];
    // Level out of the column of the source and into that of the target.
    let mut points = vec![start, Point::new(side(wire.from).1, start.y)];
    let mut label = None;
    for (place, station) in plan.heights.stations[index].iter().enumerate() {
        let (left, right) = plan.columns.sides[station.column];
        points.push(Point::new(left, station.y));
        points.push(Point::new(right, station.y));
        if let (0, Some(size)) = (place, wire.label) {
            let middle = (left + right) / 2.0;
            label = Some(Bounds {
                left: middle - size.width / 2.0,
                top: station.y - size.height / 2.0,
                right: middle + size.width / 2.0,
                bottom: station.y + size.height / 2.0,
            });
        }
    }
    points.push(Point::new(side(wire.to).0, end.y));
    points.push(end);
    Course {
        points,
        label,
        is_back: false,
    }
}

fn back(
    index: usize,
    wire: &Wire,
    blocks: &[Block],
    boxes: &[Bounds],
    plan: &Plan,
    lane: f64,
) -> Course {
    let (start, end) = ends(index, wire, blocks, boxes, plan);
    let (down, up) = (plan.columns.down[index], plan.columns.up[index]);
    let label = wire.label.map(|size| {
        let middle = free_place(index, wire, plan, size.width + 2.0 * LABEL_ROOM);
        Bounds {
            left: middle - size.width / 2.0,
            top: lane - size.height / 2.0,
            right: middle + size.width / 2.0,
            bottom: lane + size.height / 2.0,
        }
    });
    Course {
        points: vec![
            start,
            Point::new(down, start.y),
            Point::new(down, lane),
            Point::new(up, lane),
            Point::new(up, end.y),
            end,
        ],
        label,
        is_back: true,
    }
}

/// The middle of a place for a label on a lane that no deeper lane's stream comes through:
/// the one nearest to where the stream leaves; where none is wide enough, the widest.
fn free_place(index: usize, wire: &Wire, plan: &Plan, width: f64) -> f64 {
    let (down, up) = (plan.columns.down[index], plan.columns.up[index]);
    let half = wire.thickness / 2.0;
    let mut hurdles = vec![(up, up + half), (down - half, down)];
    if let Some(own) = plan.sides[index] {
        for (other, lane) in plan.sides.iter().enumerate() {
            if lane.is_some_and(|lane| lane.above == own.above && lane.depth > own.depth) {
                hurdles.push((plan.columns.down[other], plan.columns.down[other]));
                hurdles.push((plan.columns.up[other], plan.columns.up[other]));
            }
        }
    }
    hurdles.retain(|&(left, right)| up <= left && right <= down);
    hurdles.sort_by(|one, other| one.0.total_cmp(&other.0));
    let gaps = hurdles.windows(2).map(|pair| (pair[0].1, pair[1].0));
    let gaps: Vec<(f64, f64)> = gaps.collect();
    let wide_enough = gaps.iter().rev().find(|gap| gap.1 - gap.0 >= width);
    let widest = || {
        gaps.iter()
            .max_by(|one, other| (one.1 - one.0).total_cmp(&(other.1 - other.0)))
    };
    match wide_enough.or_else(widest) {
        Some((left, right)) if right - left >= width => right - width / 2.0,
        Some((left, right)) => (left + right) / 2.0,
        None => (up + down) / 2.0,
    }
}
