//! The line of a stream: level through columns, bent between them, round at corners.

use super::wiring::Course;
use crate::report::drawing::{Point, Step};

/// Least radius of a corner, px.
const CORNER: f64 = 8.0;
/// How far a bend leans on its levels, as a share of its width.
const LEAN: f64 = 0.5;

/// The steps of a course for a line of a width, ending `short` px before its end.
pub(super) fn steps(course: &Course, width: f64, short: f64) -> Vec<Step> {
    let mut points = course.points.clone();
    if let Some(last) = points.last_mut() {
        last.x -= short;
    }
    match course.on_lane {
        true => cornered(&points, CORNER + width / 2.0),
        false => bent(&points),
    }
}

fn bent(points: &[Point]) -> Vec<Step> {
    let mut steps = Vec::new();
    for (place, &to) in points.iter().enumerate() {
        let Some(from) = place.checked_sub(1).map(|before| points[before]) else {
            steps.push(Step::Move(to));
            continue;
        };
        if place % 2 == 1 || (from.y - to.y).abs() < 0.01 {
            steps.push(Step::Line(to));
            continue;
        }
        let lean = (to.x - from.x) * LEAN;
        steps.push(Step::Curve(
            Point::new(from.x + lean, from.y),
            Point::new(to.x - lean, to.y),
            to,
        ));
    }
    steps
}

fn cornered(points: &[Point], radius: f64) -> Vec<Step> {
    let mut steps: Vec<Step> = points
        .first()
        .map(|&at| Step::Move(at))
        .into_iter()
        .collect();
    for corner in points.windows(3) {
        let [before, at, after] = [corner[0], corner[1], corner[2]];
        let room = distance(before, at).min(distance(at, after)) / 2.0;
        let radius = radius.min(room);
        let (enters, leaves) = (towards(at, before, radius), towards(at, after, radius));
        // A quarter of a circle as a cubic curve leans this far towards the corner.
        let lean = radius * (1.0 - 0.552_284_75);
        steps.push(Step::Line(enters));
        steps.push(Step::Curve(
            towards(at, before, lean),
            towards(at, after, lean),
            leaves,
        ));
    }
    steps.extend(points.last().map(|&at| Step::Line(at)));
    steps
}

fn distance(one: Point, other: Point) -> f64 {
    (one.x - other.x).hypot(one.y - other.y)
}

fn towards(from: Point, to: Point, length: f64) -> Point {
    let whole = distance(from, to);
    if whole < 1e-9 {
        return from;
    }
    let share = length / whole;
    Point::new(
        from.x + (to.x - from.x) * share,
        from.y + (to.y - from.y) * share,
    )
}
