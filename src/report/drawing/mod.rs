//! Pictures: marks at places, in inks that have a meaning. Whatever draws makes a
//! [`Drawing`]; renderers turn it into SVG and know nothing of what it shows.

mod ink;
mod lettering;
mod mark;
pub mod palette;
#[cfg(feature = "png")]
mod png;
mod svg;

pub use ink::{Dash, Ink};
pub use lettering::{clipped, text_width};
pub use mark::{Anchor, Bounds, Mark, Point, Shape, Step};
#[cfg(feature = "png")]
pub use png::render_png;
pub use svg::render_svg;

/// A picture. Lengths are CSS pixels, `x` to the right and `y` downwards; marks lie over
/// those before them.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Its width.
    pub width: f64,
    /// Its height.
    pub height: f64,
    /// What is drawn, from the back to the front.
    pub marks: Vec<Mark>,
}

impl Drawing {
    /// An empty sheet.
    pub fn new(width: f64, height: f64) -> Self {
        Drawing {
            width,
            height,
            marks: Vec::new(),
        }
    }

    /// Puts a mark over everything drawn so far.
    pub fn add(&mut self, mark: Mark) {
        self.marks.push(mark);
    }

    /// The words of the picture and the boxes they need at most, in the order they are drawn.
    pub fn labels(&self) -> Vec<(&str, Bounds)> {
        let marks = self.marks.iter();
        marks
            .filter_map(|mark| match &mark.shape {
                Shape::Text { words, .. } => Some((words.as_str(), mark.bounds()?)),
                _ => None,
            })
            .collect()
    }
}
