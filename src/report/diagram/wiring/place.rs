//! The finished sheet: rows and channels of lanes one below the other.

use super::columns::Columns;
use super::lanes::{Lane, Lanes};
use super::ports::Ports;
use super::rows::Rows;
use super::{Block, Course, Label, Placed, Spacing, Wire};
use crate::report::diagram::layers::Heights;
use crate::report::drawing::{Bounds, Point};

/// Room around a label on a lane, px.
const LABEL_ROOM: f64 = 4.0;
/// Between rows with no lanes between them, px.
const ROW_ROOM: f64 = 24.0;

/// Everything that decides where things stand.
pub(super) struct Plan<'a> {
    pub blocks: &'a [Block],
    pub wires: &'a [Wire],
    pub rows: &'a Rows,
    pub heights: &'a Heights,
    pub lanes: &'a Lanes,
    pub ports: &'a Ports,
    pub columns: &'a Columns,
    pub spacing: Spacing,
}

/// Where rows and lanes lie.
struct Levels {
    /// By row, what is added to the heights in it, px.
    shift: Vec<f64>,
    /// By channel and track, the middle, px.
    tracks: Vec<Vec<f64>>,
    /// Height of all, px.
    height: f64,
}

/// The sheet: a channel of lanes above, between and below all rows.
pub(super) fn sheet(plan: &Plan) -> Placed {
    let levels = plan.levels();
    let middles = plan.rows.layer.iter().map(|layer| {
        let (left, right) = plan.columns.sides[2 * layer];
        (left + right) / 2.0
    });
    let boxes: Vec<Bounds> = plan
        .blocks
        .iter()
        .zip(middles)
        .enumerate()
        .map(|(index, (block, x))| {
            let y = plan.heights.blocks[index] + levels.shift[plan.rows.row[index]];
            Bounds {
                left: x - block.width / 2.0,
                top: y - block.height / 2.0,
                right: x + block.width / 2.0,
                bottom: y + block.height / 2.0,
            }
        })
        .collect();
    let ends: Vec<(Point, Point)> = (0..plan.wires.len())
        .map(|wire| plan.ends(wire, &boxes, &levels))
        .collect();
    let lane_y = |lane: Lane| levels.tracks[lane.channel][lane.track];
    let uprights: Vec<Upright> = (0..plan.wires.len())
        .filter_map(|wire| plan.lanes.of[wire].map(|lane| (wire, lane_y(lane))))
        .flat_map(|(wire, y)| {
            let (start, end) = ends[wire];
            [
                (start.y, plan.columns.down[wire]),
                (end.y, plan.columns.up[wire]),
            ]
            .map(|(at_block, x)| Upright {
                wire,
                x,
                top: at_block.min(y),
                bottom: at_block.max(y),
            })
        })
        .collect();
    let courses = (0..plan.wires.len())
        .map(|wire| match plan.lanes.of[wire] {
            None => plan.within_row(wire, ends[wire], &levels),
            Some(lane) => plan.on_lane(wire, ends[wire], lane_y(lane), &uprights),
        })
        .collect();
    Placed {
        width: plan.columns.width,
        height: levels.height,
        blocks: boxes,
        courses,
    }
}

/// What goes up or down between a block and a lane.
struct Upright {
    wire: usize,
    x: f64,
    top: f64,
    bottom: f64,
}

impl Plan<'_> {
    fn levels(&self) -> Levels {
        let rows = self.rows.count();
        let mut levels = Levels {
            shift: Vec::new(),
            tracks: Vec::new(),
            height: 0.0,
        };
        let mut y = 0.0;
        for channel in 0..=rows {
            let reaches = self.reaches(channel);
            if !reaches.is_empty() && channel > 0 {
                y += 2.0 * self.spacing.lane;
            }
            let mut tracks = Vec::new();
            for (track, (above, below)) in reaches.iter().enumerate() {
                if track > 0 {
                    y += self.spacing.lane;
                }
                tracks.push(y + above);
                y += above + below;
            }
            if channel < rows {
                y += match (reaches.is_empty(), channel) {
                    (false, _) => 2.0 * self.spacing.lane,
                    (true, 0) => 0.0,
                    (true, _) => ROW_ROOM,
                };
                let (top, bottom) = self.extent(channel);
                levels.shift.push(y - top);
                y += bottom - top;
            }
            levels.tracks.push(tracks);
        }
        levels.height = y;
        levels
    }

    /// How far the tracks of a channel reach above and below their middles, with labels.
    fn reaches(&self, channel: usize) -> Vec<(f64, f64)> {
        let mut reaches = vec![(0.0_f64, 0.0_f64); self.lanes.tracks[channel]];
        for (wire, lane) in self.wires.iter().zip(&self.lanes.of) {
            if let Some(lane) = lane.filter(|lane| lane.channel == channel) {
                let (above, below) = wire.reach(true);
                let track = &mut reaches[lane.track];
                *track = (track.0.max(above), track.1.max(below));
            }
        }
        reaches
    }

    /// Top and bottom of all that stands in a row.
    fn extent(&self, row: usize) -> (f64, f64) {
        let mut extent = (f64::INFINITY, f64::NEG_INFINITY);
        let mut include = |middle: f64, (above, below): (f64, f64)| {
            extent = (extent.0.min(middle - above), extent.1.max(middle + below));
        };
        for (index, block) in self.blocks.iter().enumerate() {
            if self.rows.row[index] == row {
                let half = block.height / 2.0;
                include(self.heights.blocks[index], (half, half));
            }
        }
        for (wire, stations) in self.wires.iter().zip(&self.heights.stations) {
            if self.rows.row[wire.from] == row {
                for (place, station) in stations.iter().enumerate() {
                    include(station.y, wire.reach(place == 0));
                }
            }
        }
        extent
    }

    /// Both ends of a stream: the sides of the bodies of its blocks.
    fn ends(&self, index: usize, boxes: &[Bounds], levels: &Levels) -> (Point, Point) {
        let wire = &self.wires[index];
        let middle = |block: usize| (boxes[block].left + boxes[block].right) / 2.0;
        let shift = |block: usize| levels.shift[self.rows.row[block]];
        (
            Point::new(
                middle(wire.from) + self.blocks[wire.from].body / 2.0,
                self.ports.out[index] + shift(wire.from),
            ),
            Point::new(
                middle(wire.to) - self.blocks[wire.to].body / 2.0,
                self.ports.into[index] + shift(wire.to),
            ),
        )
    }

    fn within_row(&self, index: usize, (start, end): (Point, Point), levels: &Levels) -> Course {
        let wire = &self.wires[index];
        let side = |block: usize| self.columns.sides[2 * self.rows.layer[block]];
        // Level out of the column of the source and into that of the target.
        let mut points = vec![start, Point::new(side(wire.from).1, start.y)];
        let mut label = None;
        for (place, station) in self.heights.stations[index].iter().enumerate() {
            let (left, right) = self.columns.sides[station.column];
            let y = station.y + levels.shift[self.rows.row[wire.from]];
            points.push(Point::new(left, y));
            points.push(Point::new(right, y));
            if let (0, Some(size)) = (place, wire.label) {
                label = Some(around(Point::new((left + right) / 2.0, y), size));
            }
        }
        points.push(Point::new(side(wire.to).0, end.y));
        points.push(end);
        Course {
            points,
            label,
            on_lane: false,
        }
    }

    fn on_lane(
        &self,
        index: usize,
        (start, end): (Point, Point),
        y: f64,
        uprights: &[Upright],
    ) -> Course {
        let (down, up) = (self.columns.down[index], self.columns.up[index]);
        let label = self.wires[index].label.map(|size| {
            let x = self.free_place(index, y, size, uprights);
            around(Point::new(x, y), size)
        });
        Course {
            points: vec![
                start,
                Point::new(down, start.y),
                Point::new(down, y),
                Point::new(up, y),
                Point::new(up, end.y),
                end,
            ],
            label,
            on_lane: true,
        }
    }

    /// The middle of a place for a label on a lane through which nothing goes up or down: the
    /// one nearest to where the stream comes from; where none is wide enough, the widest.
    fn free_place(&self, index: usize, y: f64, size: Label, uprights: &[Upright]) -> f64 {
        let (down, up) = (self.columns.down[index], self.columns.up[index]);
        let (left, right) = (down.min(up), down.max(up));
        let half = |wire: usize| self.wires[wire].thickness / 2.0;
        let mut hurdles: Vec<(f64, f64)> = uprights
            .iter()
            .filter(|upright| {
                let meets = upright.top < y + size.below && y - size.above < upright.bottom;
                let is_own_end = upright.wire == index;
                is_own_end || meets && (left..=right).contains(&upright.x)
            })
            .map(|upright| {
                (
                    upright.x - half(upright.wire),
                    upright.x + half(upright.wire),
                )
            })
            .collect();
        hurdles.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut gaps: Vec<(f64, f64)> = hurdles
            .windows(2)
            .map(|pair| (pair[0].1, pair[1].0))
            .collect();
        if up < down {
            gaps.reverse();
        }
        let width = size.width + 2.0 * LABEL_ROOM;
        let wide_enough = gaps.iter().find(|gap| gap.1 - gap.0 >= width);
        let widest = || {
            gaps.iter()
                .max_by(|one, other| (one.1 - one.0).total_cmp(&(other.1 - other.0)))
        };
        match wide_enough.or_else(widest) {
            Some(&(left, right)) if right - left < width => (left + right) / 2.0,
            Some(&(_, right)) if up < down => right - width / 2.0,
            Some(&(left, _)) => left + width / 2.0,
            None => (up + down) / 2.0,
        }
    }
}

/// The box of a label on a stream.
fn around(middle: Point, size: Label) -> Bounds {
    Bounds {
        left: middle.x - size.width / 2.0,
        top: middle.y - size.above,
        right: middle.x + size.width / 2.0,
        bottom: middle.y + size.below,
    }
}
