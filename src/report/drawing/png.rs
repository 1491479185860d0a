//! A drawing as PNG, by the library `resvg`; nothing else knows it.

use std::sync::Arc;

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};

/// Dots of the picture for every CSS pixel.
const SCALE: f32 = 2.0;

/// An SVG as PNG, with two dots for every pixel and the fonts of this machine: the same on
/// machines that have the same fonts.
///
/// # Errors
///
/// Where the machine has no fonts to write words with, or the picture is too large.
pub fn render_png(svg: &str) -> Result<Vec<u8>, String> {
    let mut fonts = fontdb::Database::new();
    fonts.load_system_fonts();
    if fonts.is_empty() {
        return Err("this machine has no fonts".to_owned());
    }
    let options = Options {
        fontdb: Arc::new(fonts),
        ..Options::default()
    };
    let tree = Tree::from_str(svg, &options).map_err(|error| error.to_string())?;
    let [width, height] = [tree.size().width(), tree.size().height()]
        // Sizes of pictures are far below what a u32 holds; a huge one is refused below.
        .map(|length| (length * SCALE).ceil() as u32);
    let mut pixels = Pixmap::new(width, height)
        .ok_or_else(|| format!("{width} by {height} dots are too many"))?;
    let scale = Transform::from_scale(SCALE, SCALE);
    resvg::render(&tree, scale, &mut pixels.as_mut());
    pixels.encode_png().map_err(|error| error.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::drawing::{Drawing, Ink, Mark, Point, render_svg};

    #[test]
    fn a_picture_has_two_dots_for_every_pixel() {
        let mut drawing = Drawing::new(30.0, 20.0);
        drawing.add(Mark::rect(0.0, 0.0, 30.0, 20.0, Ink::Text));
        let png = render_png(&render_svg(&drawing, "A box", "")).unwrap();
        // PNG (Portable Network Graphics), ISO/IEC 15948: signature, then the header with
        // width and height.
        assert_eq!(&png[..8], b"\x89PNG\r\n\x1a\n");
        assert_eq!(&png[16..24], &[0, 0, 0, 60, 0, 0, 0, 40]);
    }

    #[test]
    fn words_are_drawn() {
        let dark = |words: &str| {
            let mut drawing = Drawing::new(80.0, 20.0);
            drawing.add(Mark::text(Point::new(4.0, 15.0), words, 12.0));
            let png = render_png(&render_svg(&drawing, "Words", "")).unwrap();
            let pixels = Pixmap::decode_png(&png).unwrap();
            let pixels = pixels.pixels().iter();
            pixels
                .filter(|pixel| pixel.alpha() > 200 && pixel.red() < 90)
                .count()
        };
        assert_eq!(dark(""), 0);
        assert!(dark("crew") > 60, "{}", dark("crew"));
        assert!(dark("crew crew") > dark("crew"));
    }
}
