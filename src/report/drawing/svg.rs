//! A drawing as SVG 1.1 that needs nothing else: no script, no style sheet, no font, no
//! address outside of it, and no ids, so that any number of them stand in one page.

use std::fmt::Write;

use maud::{Markup, PreEscaped, html};

use super::mark::{Anchor, Mark, Point, Shape, Step};
use super::palette::hex;
use super::{Drawing, Ink};

/// The fonts asked for, the first that a reader has.
const FONTS: &str = "'Liberation Sans', Arial, Helvetica, 'DejaVu Sans', sans-serif";
/// Width of the paper around words with a halo, px on each side.
const HALO: f64 = 2.0;

/// The drawing as an SVG element, whole by itself as a file too. `title` names it and
/// `description` says what it shows, for readers who do not see it.
pub fn render_svg(drawing: &Drawing, title: &str, description: &str) -> String {
    let [width, height] = [drawing.width, drawing.height].map(number);
    let spoken = match description {
        "" => printable(title),
        description => printable(&format!("{}. {description}", title.trim_end_matches('.'))),
    };
    let markup = html! {
        svg xmlns="http://www.w3.org/2000/svg" width=(width) height=(height)
            viewBox={ "0 0 " (width) " " (height) } role="img" aria-label=(spoken)
            font-family=(FONTS) {
            (LINE) title { (printable(title)) }
            (LINE) desc { (printable(description)) }
            (LINE) rect width=(width) height=(height) fill=(hex(Ink::Paper)) {}
            @for mark in &drawing.marks { (LINE) (element(mark)) }
            (LINE)
        }
    };
    let mut text = markup.into_string();
    text.push('\n');
    text
}

/// Marks stand on lines of their own.
const LINE: PreEscaped<&str> = PreEscaped("\n");

fn element(mark: &Mark) -> Markup {
    let paint = Paint::of(mark);
    let Paint {
        fill,
        stroke,
        width,
        dash,
        opacity,
    } = &paint;
    let title = html! {
        @if let Some(words) = &mark.title { title { (printable(words)) } }
    };
    match &mark.shape {
        Shape::Line { from, to } => html! {
            line x1=(number(from.x)) y1=(number(from.y)) x2=(number(to.x)) y2=(number(to.y))
                stroke=[stroke] stroke-width=[width] stroke-dasharray=[dash]
                opacity=[opacity] { (title) }
        },
        Shape::Path(steps) => html! {
            path d=(data(steps)) fill=(fill.as_deref().unwrap_or("none"))
                stroke=[stroke] stroke-width=[width] stroke-dasharray=[dash]
                stroke-linejoin=[stroke.as_ref().map(|_| "round")]
                opacity=[opacity] { (title) }
        },
        Shape::Rect { bounds, round } => html! {
            rect x=(number(bounds.left)) y=(number(bounds.top))
                width=(number((bounds.right - bounds.left).max(0.0)))
                height=(number((bounds.bottom - bounds.top).max(0.0)))
                rx=[(*round > 0.0).then(|| number(*round))]
                fill=(fill.as_deref().unwrap_or("none"))
                stroke=[stroke] stroke-width=[width] stroke-dasharray=[dash]
                opacity=[opacity] { (title) }
        },
        Shape::Circle { centre, radius } => html! {
            circle cx=(number(centre.x)) cy=(number(centre.y)) r=(number(radius.max(0.0)))
                fill=(fill.as_deref().unwrap_or("none"))
                stroke=[stroke] stroke-width=[width] stroke-dasharray=[dash]
                opacity=[opacity] { (title) }
        },
        Shape::Text {
            at,
            words,
            size,
            anchor,
            bold,
            halo,
        } => {
            let anchor = match anchor {
                Anchor::Start => None,
                Anchor::Middle => Some("middle"),
                Anchor::End => Some("end"),
            };
            let around = halo.then(|| hex(Ink::Paper));
            html! {
                text x=(number(at.x)) y=(number(at.y)) font-size=(number(*size))
                    text-anchor=[anchor] font-weight=[bold.then_some("bold")]
                    fill=(fill.as_deref().unwrap_or("none"))
                    stroke=[around.as_ref()] stroke-width=[halo.then(|| number(2.0 * HALO))]
                    stroke-linejoin=[halo.then_some("round")]
                    paint-order=[halo.then_some("stroke")]
                    opacity=[opacity] { (title) (printable(words)) }
            }
        }
    }
}

/// The attributes that all shapes have; those that would say the usual are left out.
struct Paint {
    fill: Option<String>,
    stroke: Option<String>,
    width: Option<String>,
    dash: Option<String>,
    opacity: Option<String>,
}

impl Paint {
    fn of(mark: &Mark) -> Paint {
        let lined = mark.stroke.is_some();
        let dash = mark.dash.pattern(mark.stroke_width).filter(|_| lined);
        Paint {
            fill: mark.fill.map(hex),
            stroke: mark.stroke.map(hex),
            width: lined.then(|| number(mark.stroke_width)),
            dash: dash.map(|lengths| {
                let lengths: Vec<String> = lengths.into_iter().map(number).collect();
                lengths.join(" ")
            }),
            opacity: (mark.opacity < 1.0).then(|| number(mark.opacity)),
        }
    }
}

/// The steps of a path as SVG writes them.
fn data(steps: &[Step]) -> String {
    let mut text = String::new();
    let mut push = |letter: char, points: &[Point]| {
        if !text.is_empty() {
            text.push(' ');
        }
        text.push(letter);
        for (index, point) in points.iter().enumerate() {
            let gap = if index > 0 { " " } else { "" };
            // Writing to a string cannot fail.
            let _ = write!(text, "{gap}{},{}", number(point.x), number(point.y));
        }
    };
    for step in steps {
        match *step {
            Step::Move(to) => push('M', &[to]),
            Step::Line(to) => push('L', &[to]),
            Step::Curve(first, second, to) => push('C', &[first, second, to]),
            Step::Close => push('Z', &[]),
        }
    }
    text
}

/// At most two decimals, without zeros at the end; what is no number stands at 0.
fn number(value: f64) -> String {
    let value = if value.is_finite() { value } else { 0.0 };
    let text = format!("{value:.2}");
    match text.trim_end_matches('0').trim_end_matches('.') {
        "-0" => "0".to_owned(),
        short => short.to_owned(),
    }
}

/// Words without the control characters that XML has no way to write.
fn printable(words: &str) -> String {
    let kept = |letter: &char| !letter.is_control() && !matches!(letter, '\u{fffe}' | '\u{ffff}');
    words
        .chars()
        .map(|letter| if letter == '\n' { ' ' } else { letter })
        .filter(kept)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::drawing::Dash;

    #[test]
    fn marks_become_elements_and_words_are_escaped() {
        let mut drawing = Drawing::new(120.0, 40.5);
        let [from, to] = [Point::new(1.0, 2.005), Point::new(-0.001, 30.0)];
        drawing.add(
            Mark::line(from, to, Ink::Grid)
                .wide(2.0)
                .dashed(Dash::Dots)
                .titled("a < b"),
        );
        drawing.add(Mark::rect(1.0, 1.0, 10.0, 5.0, Ink::Paper).outlined(Ink::Text, 1.5));
        drawing.add(
            Mark::text(to, "still & \"more\"\u{7}", 12.0)
                .haloed()
                .bold(),
        );
        let text = render_svg(&drawing, "A & B", "Two things.");
        assert!(text.starts_with(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"120\" height=\"40.5\""
        ));
        assert!(text.contains("aria-label=\"A &amp; B. Two things.\""));
        assert!(text.contains("<title>a &lt; b</title></line>"));
        assert!(text.contains("stroke-dasharray=\"2 4\""));
        assert!(text.contains("still &amp; &quot;more&quot;</text>"));
        assert!(text.contains("x2=\"0\" y2=\"30\""));
        assert!(!text.contains('\u{7}') && !text.contains(" id="));
        assert_eq!(text, render_svg(&drawing, "A & B", "Two things."));
    }

    #[test]
    fn numbers_are_short() {
        let texts = [1.0, 0.5, 10.126, -0.0, f64::NAN, 100.0].map(number);
        assert_eq!(texts, ["1", "0.5", "10.13", "0", "0", "100"]);
    }
}
