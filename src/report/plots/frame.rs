//! The frame of a plot: two axes, their ticks and names, and where values stand.

use super::axis::Axis;
use super::{LETTERS, SMALL, WIDTH};
use crate::report::drawing::{Anchor, Drawing, Ink, Mark, Point, text_width};

/// Room between an axis and its tick labels, px.
const GAP: f64 = 6.0;
/// Height of a line of letters, px.
pub(super) const LINE: f64 = 18.0;

/// A frame, and a sheet with its lines and labels on it.
pub(super) struct Frame {
    /// The sheet.
    pub drawing: Drawing,
    /// Left side of the field, px.
    pub left: f64,
    /// Its top.
    pub top: f64,
    /// Its right side.
    pub right: f64,
    /// Its bottom.
    pub bottom: f64,
    x: Axis,
    y: Axis,
}

impl Frame {
    /// A frame around a field of a height, with room above and below it beside that for
    /// its names.
    pub fn new(x: &Axis, y: &Axis, height: f64, above: f64, below: f64) -> Frame {
        let labels = y
            .ticks
            .iter()
            .map(|(_, name)| text_width(name, SMALL, false));
        let left = (labels.fold(0.0, f64::max) + GAP + 4.0).ceil();
        let top = above + LINE + 6.0;
        let bottom = top + height;
        let mut frame = Frame {
            drawing: Drawing::new(WIDTH, bottom + 2.0 * LINE + 8.0 + below),
            left,
            top,
            right: WIDTH - 16.0,
            bottom,
            x: x.clone(),
            y: y.clone(),
        };
        frame.name(above);
        frame.across();
        frame.up();
        frame
    }

    /// Where a value of the axis across stands, px.
    pub fn x(&self, value: f64) -> f64 {
        self.left + self.x.share(value) * (self.right - self.left)
    }

    /// Where a value of the upright axis stands, px.
    pub fn y(&self, value: f64) -> f64 {
        self.bottom - self.y.share(value) * (self.bottom - self.top)
    }

    /// Where a pair of values stands.
    pub fn at(&self, x: f64, y: f64) -> Point {
        Point::new(self.x(x), self.y(y))
    }

    /// Where the space below the names of the axes begins, px.
    pub fn below(&self) -> f64 {
        self.bottom + 2.0 * LINE + 4.0
    }

    /// Adds a mark.
    pub fn add(&mut self, mark: Mark) {
        self.drawing.add(mark);
    }

    /// The name of the upright axis stands above it, and so is read without turning.
    fn name(&mut self, above: f64) {
        let at = Point::new(2.0, above + LETTERS);
        self.add(Mark::text(at, self.y.name.clone(), LETTERS).filled(Ink::Quiet));
        let middle = (self.left + self.right) / 2.0;
        let at = Point::new(middle, self.bottom + 2.0 * LINE);
        let name = Mark::text(at, self.x.name.clone(), LETTERS).filled(Ink::Quiet);
        self.add(name.anchored(Anchor::Middle));
    }

    fn across(&mut self) {
        let mut free = 0.0;
        for (value, name) in self.x.ticks.clone() {
            let x = self.x(value);
            let (top, foot) = (Point::new(x, self.top), Point::new(x, self.bottom + 4.0));
            self.add(Mark::line(top, foot, Ink::Grid));
            let half = text_width(&name, SMALL, false) / 2.0;
            let middle = x.min(WIDTH - half);
            if middle - half < free {
                continue;
            }
            free = middle + half + 8.0;
            let label = Mark::text(Point::new(middle, self.bottom + LINE - 2.0), name, SMALL);
            self.add(label.filled(Ink::Quiet).anchored(Anchor::Middle));
        }
    }

    fn up(&mut self) {
        for (value, name) in self.y.ticks.clone() {
            let y = self.y(value);
            let (from, to) = (Point::new(self.left, y), Point::new(self.right, y));
            self.add(Mark::line(from, to, Ink::Grid));
            let label = Mark::text(Point::new(self.left - GAP, y + 4.0), name, SMALL);
            self.add(label.filled(Ink::Quiet).anchored(Anchor::End));
        }
        let (top, corner) = (
            Point::new(self.left, self.top),
            Point::new(self.left, self.bottom),
        );
        self.add(Mark::line(top, corner, Ink::Quiet));
        let end = Point::new(self.right, self.bottom);
        self.add(Mark::line(corner, end, Ink::Quiet));
    }
}
