//! What is drawn: lines, paths, boxes, circles and words.

use super::ink::{Dash, Ink};
use super::lettering::text_width;

/// Letters reach this far above and below their base line, as shares of their size.
const ABOVE: f64 = 0.80;
const BELOW: f64 = 0.24;

/// A place on the sheet, px.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// From the left.
    pub x: f64,
    /// From the top.
    pub y: f64,
}

impl Point {
    /// The place at `x` and `y`.
    pub fn new(x: f64, y: f64) -> Self {
        Point { x, y }
    }
}

/// A box with sides along the sheet's, px.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Left side.
    pub left: f64,
    /// Top.
    pub top: f64,
    /// Right side.
    pub right: f64,
    /// Bottom.
    pub bottom: f64,
}

impl Bounds {
    /// Whether the insides of two boxes meet.
    pub fn overlaps(&self, other: &Bounds) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }
}

/// A step of a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// Lifts the pen.
    Move(Point),
    /// A straight line.
    Line(Point),
    /// A cubic curve: two points it leans to, and its end.
    Curve(Point, Point, Point),
    /// Back to where the pen was last put down.
    Close,
}

/// Which point of words their place is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Anchor {
    /// Their beginning.
    #[default]
    Start,
    /// Their middle.
    Middle,
    /// Their end.
    End,
}

/// The shape of a mark.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A straight line.
    Line {
        /// Its beginning.
        from: Point,
        /// Its end.
        to: Point,
    },
    /// Lines and curves.
    Path(Vec<Step>),
    /// A box.
    Rect {
        /// Its sides.
        bounds: Bounds,
        /// Radius of its corners, px.
        round: f64,
    },
    /// A circle.
    Circle {
        /// Its middle.
        centre: Point,
        /// Its radius, px.
        radius: f64,
    },
    /// Words in one line.
    Text {
        /// Where they stand, on the base line.
        at: Point,
        /// The words.
        words: String,
        /// Size of the letters, px.
        size: f64,
        /// Which point of them stands there.
        anchor: Anchor,
        /// Whether they are heavy.
        bold: bool,
        /// Whether the paper shows around them, over what lies below.
        halo: bool,
    },
}

/// A mark: a shape and what it is drawn in.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// The shape.
    pub shape: Shape,
    /// What its inside is filled with.
    pub fill: Option<Ink>,
    /// What its line is drawn in.
    pub stroke: Option<Ink>,
    /// Width of the line, px.
    pub stroke_width: f64,
    /// Pattern of the line.
    pub dash: Dash,
    /// How much of what lies below it hides, in [0, 1].
    pub opacity: f64,
    /// What a reader sees who points at it.
    pub title: Option<String>,
}

impl Mark {
    fn new(shape: Shape, fill: Option<Ink>, stroke: Option<Ink>) -> Self {
        Mark {
            shape,
            fill,
            stroke,
            stroke_width: 1.0,
            dash: Dash::Solid,
            opacity: 1.0,
            title: None,
        }
    }

    /// A straight line.
    pub fn line(from: Point, to: Point, ink: Ink) -> Self {
        Mark::new(Shape::Line { from, to }, None, Some(ink))
    }

    /// Lines and curves, drawn as a line.
    pub fn path(steps: Vec<Step>, ink: Ink) -> Self {
        Mark::new(Shape::Path(steps), None, Some(ink))
    }

    /// Lines and curves around a filled inside.
    pub fn area(steps: Vec<Step>, ink: Ink) -> Self {
        Mark::new(Shape::Path(steps), Some(ink), None)
    }

    /// A filled box.
    pub fn rect(left: f64, top: f64, width: f64, height: f64, ink: Ink) -> Self {
        let bounds = Bounds {
            left,
            top,
            right: left + width,
            bottom: top + height,
        };
        Mark::new(Shape::Rect { bounds, round: 0.0 }, Some(ink), None)
    }

    /// A filled circle.
    pub fn circle(centre: Point, radius: f64, ink: Ink) -> Self {
        Mark::new(Shape::Circle { centre, radius }, Some(ink), None)
    }

    /// Words that begin at a point of their base line.
    pub fn text(at: Point, words: impl Into<String>, size: f64) -> Self {
        let shape = Shape::Text {
            at,
            words: words.into(),
            size,
            anchor: Anchor::Start,
            bold: false,
            halo: false,
        };
        Mark::new(shape, Some(Ink::Text), None)
    }

    /// The same, filled with an ink.
    #[must_use]
    pub fn filled(mut self, ink: Ink) -> Self {
        self.fill = Some(ink);
        self
    }

    /// The same with a line of a width, px.
    #[must_use]
    pub fn outlined(mut self, ink: Ink, width: f64) -> Self {
        self.stroke = Some(ink);
        self.stroke_width = width;
        self
    }

    /// The same with its line of a width, px.
    #[must_use]
    pub fn wide(mut self, width: f64) -> Self {
        self.stroke_width = width;
        self
    }

    /// The same with its line in a pattern.
    #[must_use]
    pub fn dashed(mut self, dash: Dash) -> Self {
        self.dash = dash;
        self
    }

    /// The same, hiding only a share of what lies below.
    #[must_use]
    pub fn opaque_by(mut self, share: f64) -> Self {
        self.opacity = share;
        self
    }

    /// The same with words for a reader who points at it.
    #[must_use]
    pub fn titled(mut self, words: impl Into<String>) -> Self {
        self.title = Some(words.into());
        self
    }

    /// The same box with round corners; other shapes stay as they are.
    #[must_use]
    pub fn rounded(mut self, radius: f64) -> Self {
        if let Shape::Rect { round, .. } = &mut self.shape {
            *round = radius;
        }
        self
    }

    /// The same words, standing so at their place; other shapes stay as they are.
    #[must_use]
    pub fn anchored(mut self, to: Anchor) -> Self {
        if let Shape::Text { anchor, .. } = &mut self.shape {
            *anchor = to;
        }
        self
    }

    /// The same words in heavy letters; other shapes stay as they are.
    #[must_use]
    pub fn bold(mut self) -> Self {
        if let Shape::Text { bold, .. } = &mut self.shape {
            *bold = true;
        }
        self
    }

    /// The same words with paper around them; other shapes stay as they are.
    #[must_use]
    pub fn haloed(mut self) -> Self {
        if let Shape::Text { halo, .. } = &mut self.shape {
            *halo = true;
        }
        self
    }

    /// The box around the shape, its line left out; for words the box they need at most.
    /// Curves are bounded by the points they lean to. None for a path without steps.
    pub fn bounds(&self) -> Option<Bounds> {
        match &self.shape {
            Shape::Line { from, to } => around([*from, *to]),
            Shape::Path(steps) => around(steps.iter().flat_map(points_of)),
            Shape::Rect { bounds, .. } => Some(*bounds),
            Shape::Circle { centre, radius } => Some(Bounds {
                left: centre.x - radius,
                top: centre.y - radius,
                right: centre.x + radius,
                bottom: centre.y + radius,
            }),
            Shape::Text {
                at,
                words,
                size,
                anchor,
                bold,
                ..
            } => {
                let width = text_width(words, *size, *bold);
                let left = match anchor {
                    Anchor::Start => at.x,
                    Anchor::Middle => at.x - width / 2.0,
                    Anchor::End => at.x - width,
                };
                Some(Bounds {
                    left,
                    top: at.y - ABOVE * size,
                    right: left + width,
                    bottom: at.y + BELOW * size,
                })
            }
        }
    }
}

fn points_of(step: &Step) -> Vec<Point> {
    match *step {
        Step::Move(to) | Step::Line(to) => vec![to],
        Step::Curve(first, second, to) => vec![first, second, to],
        Step::Close => Vec::new(),
    }
}

fn around(points: impl IntoIterator<Item = Point>) -> Option<Bounds> {
    points.into_iter().fold(None, |found: Option<Bounds>, at| {
        let found = found.unwrap_or(Bounds {
            left: at.x,
            top: at.y,
            right: at.x,
            bottom: at.y,
        });
        Some(Bounds {
            left: found.left.min(at.x),
            top: found.top.min(at.y),
            right: found.right.max(at.x),
            bottom: found.bottom.max(at.y),
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_know_their_box() {
        let mark = Mark::text(Point::new(50.0, 20.0), "iii", 10.0);
        let start = mark.bounds().unwrap();
        let end = mark.clone().anchored(Anchor::End).bounds().unwrap();
        let middle = mark.anchored(Anchor::Middle).bounds().unwrap();
        assert!((start.left, end.right) == (50.0, 50.0));
        assert!((middle.left + middle.right - 100.0).abs() < 1e-9);
        assert!(start.top < 20.0 && start.bottom > 20.0);
        assert!(start.overlaps(&middle) && !start.overlaps(&end));
    }

    #[test]
    fn a_path_is_bounded_by_its_points() {
        let [a, b, c, d] =
            [(0.0, 5.0), (3.0, -2.0), (9.0, 1.0), (4.0, 4.0)].map(|(x, y)| Point::new(x, y));
        let path = Mark::path(vec![Step::Move(a), Step::Curve(b, c, d)], Ink::Grid);
        let bounds = path.bounds().unwrap();
        assert_eq!((bounds.left, bounds.top), (0.0, -2.0));
        assert_eq!((bounds.right, bounds.bottom), (9.0, 5.0));
        assert_eq!(Mark::path(Vec::new(), Ink::Grid).bounds(), None);
    }
}
