//! What both pictures share: the sheet around what is placed, heads of arrows, the key.

use super::key::{self, Entry};
use super::wiring::{Course, Placed};
use crate::report::drawing::{Bounds, Drawing, Point, Step};

/// Room around everything, px.
pub(super) const MARGIN: f64 = 16.0;
/// Room between the picture and its key, px.
const BEFORE_KEY: f64 = 14.0;

/// The width of a laptop's page, on which letters of 11 px keep their size, px.
const PAGE: f64 = 1300.0;
/// Pictures of many nodes may be wider: their letters are shrunk to 9 px there, px.
const WIDE_PAGE: f64 = 1690.0;
/// More nodes than this are many.
const FEW: usize = 15;

/// How wide a picture of so many nodes shall be at most, px.
pub(super) fn widest(nodes: usize) -> f64 {
    let page = if nodes > FEW { WIDE_PAGE } else { PAGE };
    page - 2.0 * MARGIN
}

/// A sheet at least so wide, with everything moved inside its margins; its height is still
/// to be found.
pub(super) fn sheet(mut placed: Placed, least: f64) -> (Drawing, Placed) {
    let width = placed.width.max(least).max(320.0);
    let x = MARGIN + (width - placed.width) / 2.0;
    let shift = |bounds: &mut Bounds| {
        bounds.left += x;
        bounds.right += x;
        bounds.top += MARGIN;
        bounds.bottom += MARGIN;
    };
    placed.blocks.iter_mut().for_each(shift);
    for course in &mut placed.courses {
        for point in &mut course.points {
            point.x += x;
            point.y += MARGIN;
        }
        course.label.iter_mut().for_each(shift);
    }
    (Drawing::new(width + 2.0 * MARGIN, 0.0), placed)
}

/// Adds the key and ends the sheet below it.
pub(super) fn finish(drawing: &mut Drawing, placed: &Placed, entries: &[Entry]) {
    let top = MARGIN + placed.height + BEFORE_KEY;
    let key = key::draw(drawing, entries, MARGIN, top);
    drawing.height = top + key + MARGIN;
}

/// A head with its tip at a point, to the right or (-1) to the left.
pub(super) fn arrow(tip: Point, length: f64, way: f64) -> Vec<Step> {
    let back = tip.x - way * length;
    vec![
        Step::Move(tip),
        Step::Line(Point::new(back, tip.y - length * 0.55)),
        Step::Line(Point::new(back, tip.y + length * 0.55)),
        Step::Close,
    ]
}

/// A second head on the lane itself, where a stream runs far from both its ends.
pub(super) fn arrow_on_lane(course: &Course, length: f64) -> Vec<Step> {
    let [from, to] = [course.points[2], course.points[3]];
    let tip = Point::new(to.x + (from.x - to.x) * 0.25, to.y);
    arrow(tip, length, (to.x - from.x).signum())
}
