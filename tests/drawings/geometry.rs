//! What every picture must keep to, read off its marks alone.

use loopwright::report::Figure;
use loopwright::report::drawing::{Bounds, Dash, Drawing, Ink, Mark, Point, Shape, Step};

/// Places that touch may miss each other by rounding, px.
const TOUCH: f64 = 0.01;
/// What a picture has on a laptop, px.
const LAPTOP: f64 = 1400.0;
/// Points looked at on every curve.
const POINTS: usize = 24;

/// What is wrong with a loop diagram; nothing if all is well.
pub fn faults_of_loop(figure: &Figure) -> Vec<String> {
    let drawing = &figure.drawing;
    let mut faults = faults_of_labels(drawing);
    let nodes = boxes(drawing, |mark| mark.stroke.is_some());
    for (index, one) in nodes.iter().enumerate() {
        for other in &nodes[..index] {
            if one.overlaps(other) {
                faults.push(format!("nodes lie over each other at {one:?}"));
            }
        }
    }
    for (mark, line) in lines(drawing) {
        let name = mark.title.as_deref().unwrap_or("a stream");
        for (words, label) in drawing.labels() {
            // Half the line lies beside its middle.
            if runs_through(&line, &grown(&label, mark.stroke_width / 2.0 - TOUCH)) {
                faults.push(format!("{name} runs through \"{words}\""));
            }
        }
        for node in &nodes {
            if runs_through(&line, &grown(node, -TOUCH)) {
                faults.push(format!("{name} runs through the node at {node:?}"));
            }
        }
    }
    let mut arrows = 0;
    for mark in &drawing.marks {
        let Some(tip) = arrow(mark) else {
            continue;
        };
        if nodes.iter().any(|node| is_on_left_side(tip, node)) {
            arrows += 1;
        } else if !lines(drawing)
            .iter()
            .any(|(line, points)| line.stroke == mark.fill && is_along(tip, points))
        {
            // Not a sign on a lane either.
            faults.push(format!("an arrow ends at {tip:?}, on no node"));
        }
    }
    let streams = lines(drawing).len();
    if arrows != streams {
        faults.push(format!("{streams} streams have {arrows} arrows"));
    }
    faults
}

/// What is wrong with a flow diagram; nothing if all is well.
pub fn faults_of_flows(figure: &Figure) -> Vec<String> {
    let drawing = &figure.drawing;
    let mut faults = faults_of_labels(drawing);
    let bars = boxes(drawing, |mark| mark.title.is_some());
    for (index, one) in bars.iter().enumerate() {
        for other in &bars[..index] {
            if one.overlaps(other) {
                faults.push(format!("bars lie over each other at {one:?}"));
            }
        }
    }
    for (mark, line) in lines(drawing) {
        let name = mark.title.as_deref().unwrap_or("a band");
        let half = mark.stroke_width / 2.0;
        for bar in &bars {
            // Only the middle between its sides: a band ends on them.
            let inside = Bounds {
                left: bar.left + TOUCH,
                right: bar.right - TOUCH,
                top: bar.top - half + TOUCH,
                bottom: bar.bottom + half - TOUCH,
            };
            if runs_through(&line, &inside) {
                faults.push(format!("{name} runs over the bar at {bar:?}"));
            }
        }
        let ends = [line.first(), line.last()];
        let [Some(from), Some(to)] = ends else {
            faults.push(format!("{name} is empty"));
            continue;
        };
        let leaves = |bar: &Bounds| (from.x - bar.right).abs() < TOUCH && spans(bar, from.y);
        // A thin one ends in an arrow.
        let room = if mark.dash == Dash::Solid { TOUCH } else { 8.0 };
        let enters =
            |bar: &Bounds| (0.0 - TOUCH..room).contains(&(bar.left - to.x)) && spans(bar, to.y);
        if !bars.iter().any(leaves) {
            faults.push(format!("{name} begins at {from:?}, at no bar"));
        }
        if !bars.iter().any(enters) {
            faults.push(format!("{name} ends at {to:?}, at no bar"));
        }
        if mark.stroke_width < 1.5 {
            faults.push(format!("{name} is too thin to be found"));
        }
    }
    faults
}

/// The height of the smallest letters where the picture is shrunk to the width of a laptop's
/// page, px.
pub fn letters_on_a_laptop(figure: &Figure) -> f64 {
    let drawing = &figure.drawing;
    let sizes = drawing.marks.iter().filter_map(|mark| match mark.shape {
        Shape::Text { size, .. } => Some(size),
        _ => None,
    });
    let shrunk = (LAPTOP / drawing.width).min(1.0);
    sizes.fold(f64::INFINITY, f64::min) * shrunk
}

fn faults_of_labels(drawing: &Drawing) -> Vec<String> {
    let mut faults = Vec::new();
    let labels = drawing.labels();
    let sheet = Bounds {
        left: 0.0,
        top: 0.0,
        right: drawing.width,
        bottom: drawing.height,
    };
    for (index, (words, label)) in labels.iter().enumerate() {
        for (other_words, other) in &labels[..index] {
            if label.overlaps(other) {
                faults.push(format!("\"{words}\" and \"{other_words}\" overlap"));
            }
        }
        if !holds(&sheet, label) {
            faults.push(format!("\"{words}\" leaves the sheet"));
        }
    }
    for mark in &drawing.marks {
        if mark.bounds().is_some_and(|bounds| !holds(&sheet, &bounds)) {
            faults.push(format!("a mark leaves the sheet: {:?}", mark.title));
        }
    }
    faults
}

fn holds(sheet: &Bounds, inner: &Bounds) -> bool {
    inner.left >= sheet.left
        && inner.top >= sheet.top
        && inner.right <= sheet.right
        && inner.bottom <= sheet.bottom
}

fn grown(bounds: &Bounds, by: f64) -> Bounds {
    Bounds {
        left: bounds.left - by,
        top: bounds.top - by,
        right: bounds.right + by,
        bottom: bounds.bottom + by,
    }
}

fn spans(bar: &Bounds, y: f64) -> bool {
    (bar.top - TOUCH..=bar.bottom + TOUCH).contains(&y)
}

fn is_on_left_side(tip: Point, node: &Bounds) -> bool {
    (tip.x - node.left).abs() < TOUCH && (node.top..=node.bottom).contains(&tip.y)
}

/// The boxes of the marks that are wanted.
fn boxes(drawing: &Drawing, wanted: impl Fn(&Mark) -> bool) -> Vec<Bounds> {
    let marks = drawing.marks.iter().filter(|mark| wanted(mark));
    marks
        .filter_map(|mark| match &mark.shape {
            Shape::Rect { bounds, .. } => Some(*bounds),
            _ => None,
        })
        .collect()
}

/// The lines of streams, each as the points along it.
fn lines(drawing: &Drawing) -> Vec<(&Mark, Vec<Point>)> {
    let marks = drawing.marks.iter();
    marks
        .filter_map(|mark| match &mark.shape {
            Shape::Path(steps) if mark.stroke.is_some() => Some((mark, along(steps))),
            _ => None,
        })
        .collect()
}

/// Whether a line runs through a point.
fn is_along(point: Point, line: &[Point]) -> bool {
    let around = Bounds {
        left: point.x - TOUCH,
        top: point.y - TOUCH,
        right: point.x + TOUCH,
        bottom: point.y + TOUCH,
    };
    runs_through(line, &around)
}

/// The tip of the head of an arrow.
fn arrow(mark: &Mark) -> Option<Point> {
    let Shape::Path(steps) = &mark.shape else {
        return None;
    };
    match (steps.as_slice(), mark.fill) {
        ([Step::Move(tip), Step::Line(_), _, Step::Close], Some(Ink::Family(_) | Ink::Faint)) => {
            Some(*tip)
        }
        _ => None,
    }
}

fn along(steps: &[Step]) -> Vec<Point> {
    let mut points = Vec::new();
    let mut pen = Point::default();
    for step in steps {
        match *step {
            Step::Move(to) => points.push(to),
            Step::Line(to) => {
                for part in 1..=POINTS {
                    points.push(between(pen, to, part as f64 / POINTS as f64));
                }
            }
            Step::Curve(first, second, to) => {
                for part in 1..=POINTS {
                    let share = part as f64 / POINTS as f64;
                    let [a, b, c] = [(pen, first), (first, second), (second, to)]
                        .map(|(from, to)| between(from, to, share));
                    let [d, e] = [between(a, b, share), between(b, c, share)];
                    points.push(between(d, e, share));
                }
            }
            Step::Close => {}
        }
        if let Step::Move(to) | Step::Line(to) | Step::Curve(_, _, to) = *step {
            pen = to;
        }
    }
    points
}

fn between(from: Point, to: Point, share: f64) -> Point {
    Point::new(
        from.x + (to.x - from.x) * share,
        from.y + (to.y - from.y) * share,
    )
}

/// Whether a line of short pieces comes into a box: any of its points, or a piece that
/// crosses a side.
fn runs_through(line: &[Point], bounds: &Bounds) -> bool {
    line.windows(2).any(|piece| {
        // The piece, cut to the box by the four sides in turn (C. Liang, B. Barsky, 1984).
        let [from, to] = [piece[0], piece[1]];
        let [dx, dy] = [to.x - from.x, to.y - from.y];
        let sides = [
            (-dx, from.x - bounds.left),
            (dx, bounds.right - from.x),
            (-dy, from.y - bounds.top),
            (dy, bounds.bottom - from.y),
        ];
        let (mut first, mut last) = (0.0_f64, 1.0_f64);
        for (towards, room) in sides {
            if towards == 0.0 {
                if room <= 0.0 {
                    return false;
                }
            } else if towards < 0.0 {
                first = first.max(room / towards);
            } else {
                last = last.min(room / towards);
            }
        }
        first < last
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_through_a_box_is_seen_and_one_beside_it_is_not() {
        let bounds = Bounds {
            left: 10.0,
            top: 10.0,
            right: 20.0,
            bottom: 20.0,
        };
        let line =
            |from: (f64, f64), to: (f64, f64)| [Point::new(from.0, from.1), Point::new(to.0, to.1)];
        assert!(runs_through(&line((0.0, 15.0), (30.0, 15.0)), &bounds));
        assert!(runs_through(&line((15.0, 0.0), (15.0, 30.0)), &bounds));
        assert!(runs_through(&line((9.0, 12.0), (12.0, 9.0)), &bounds));
        assert!(!runs_through(&line((0.0, 10.0), (30.0, 10.0)), &bounds));
        assert!(!runs_through(&line((0.0, 15.0), (9.0, 15.0)), &bounds));
        assert!(!runs_through(&line((5.0, 12.0), (12.0, 5.0)), &bounds));
    }

    #[test]
    fn every_fault_is_seen() {
        let mut drawing = Drawing::new(100.0, 50.0);
        drawing.add(Mark::text(Point::new(10.0, 20.0), "one", 12.0));
        drawing.add(Mark::text(Point::new(12.0, 22.0), "two", 12.0));
        drawing.add(Mark::text(Point::new(90.0, 40.0), "long words", 12.0));
        let line = vec![
            Step::Move(Point::new(0.0, 17.0)),
            Step::Line(Point::new(60.0, 17.0)),
        ];
        drawing.add(Mark::path(line, Ink::Faint));
        let figure = Figure {
            caption: String::new(),
            description: String::new(),
            drawing,
            terminal: None,
        };
        let faults = faults_of_loop(&figure).join("\n");
        for told in [
            "overlap",
            "leaves the sheet",
            "runs through \"one\"",
            "0 arrows",
        ] {
            assert!(faults.contains(told), "{told} in: {faults}");
        }
        let faults = faults_of_flows(&figure).join("\n");
        for told in ["at no bar", "too thin"] {
            assert!(faults.contains(told), "{told} in: {faults}");
        }
    }
}
