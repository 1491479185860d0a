//! Blocks of a page, one after the other.

use std::borrow::Cow;

use maud::{Markup, PreEscaped, html};

use super::tables;
use crate::report::drawing::{Drawing, render_svg};
use crate::report::page::{Block, Fact, Tone};

/// What a blank value shows.
pub(super) const BLANK: &str = "–";

/// A picture wider than this is not made smaller, px.
const WIDE: f64 = 800.0;
/// Room for a picture on a page of paper, upright and on its side, mm.
const UPRIGHT: (f64, f64) = (182.0, 230.0);
const SIDEWAYS: (f64, f64) = (277.0, 165.0);

/// Whether a wide picture is printed larger on a page on its side.
fn lies(drawing: &Drawing) -> bool {
    let scale = |room: (f64, f64)| (room.0 / drawing.width).min(room.1 / drawing.height);
    drawing.width > WIDE && scale(SIDEWAYS) > scale(UPRIGHT)
}

/// How deep headings stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Level {
    /// Of what a page or a part of it is about.
    part: u8,
    /// Of everything below that.
    heading: u8,
}

impl Level {
    /// Below the name of the page; one lower where the page has parts.
    pub fn of_page(blocks: &[&Block]) -> Level {
        let parts = blocks.iter().any(|block| matches!(block, Block::Part(_)));
        Level {
            part: 2,
            heading: if parts { 3 } else { 2 },
        }
    }

    /// Below the headings of a page around it.
    pub fn of_fragment() -> Level {
        Level {
            part: 3,
            heading: 4,
        }
    }
}

/// Writes blocks and keeps what names the next of them.
pub(super) struct Writer {
    prefix: String,
    level: Level,
    /// The heading above: it names what has no name of its own.
    above: String,
    /// How many ids were given.
    ids: usize,
}

impl Writer {
    /// Ids begin with the prefix.
    pub fn new(prefix: &str, level: Level) -> Self {
        Writer {
            prefix: prefix.to_owned(),
            level,
            above: String::new(),
            ids: 0,
        }
    }

    /// Writes blocks; `anchors` are the ids of their headings, one for each block, empty for
    /// the others.
    pub fn blocks(&mut self, blocks: &[&Block], anchors: &[String]) -> Markup {
        html! {
            @for (index, block) in blocks.iter().enumerate() {
                (self.block(block, anchors.get(index).map_or("", String::as_str)))
            }
        }
    }

    /// An id that no other block has.
    fn id(&mut self) -> String {
        self.ids += 1;
        format!("{}-{}", self.prefix, self.ids)
    }

    fn block(&mut self, block: &Block, anchor: &str) -> Markup {
        match block {
            Block::Title(words) | Block::Part(words) => {
                self.above.clone_from(words);
                heading(self.level.part, anchor, words)
            }
            Block::Heading(words) => {
                self.above.clone_from(words);
                heading(self.level.heading, anchor, words)
            }
            Block::Paragraph(words) => html! { p { (joined(words)) } },
            Block::Outcome { tone, words } => outcome(*tone, words),
            Block::Facts(facts) => facts_list(facts),
            Block::Table(table) => {
                let id = self.id();
                tables::table(table, &self.above, &id)
            }
            Block::Points(points) => html! {
                ul { @for point in points { li { (joined(point)) } } }
            },
            Block::Verbatim(lines) => html! {
                pre tabindex="0" role="group" aria-label=(format!("{}, as written", self.above)) {
                    (lines)
                }
            },
            Block::Figure(figure) => {
                let picture = render_svg(&figure.drawing, &figure.caption, &figure.description);
                // Shrunk to a page, what is wide could not be read: it scrolls.
                let wide = figure.drawing.width > WIDE;
                html! {
                    figure class=[lies(&figure.drawing).then_some("lies")] {
                        @if wide {
                            div.scroll tabindex="0" role="group" aria-label=(figure.caption) {
                                (PreEscaped(picture))
                            }
                        } @else {
                            (PreEscaped(picture))
                        }
                        figcaption { (joined(&figure.caption)) }
                    }
                }
            }
            Block::Caution(words) => html! {
                div.caution role="note" {
                    p { strong { "Caution. " } (joined(words)) }
                }
            },
        }
    }
}

/// Words in which no line ends between a number and its per cent.
pub(super) fn joined(words: &str) -> Cow<'_, str> {
    let mut joined = String::new();
    let mut done = 0;
    for (at, _) in words.match_indices(" %") {
        if words[..at].ends_with(|last: char| last.is_ascii_digit()) {
            joined.push_str(&words[done..at]);
            joined.push('\u{a0}');
            done = at + 1;
        }
    }
    match done {
        0 => Cow::Borrowed(words),
        _ => Cow::Owned(joined + &words[done..]),
    }
}

fn heading(level: u8, anchor: &str, words: &str) -> Markup {
    let id = (!anchor.is_empty()).then_some(anchor);
    let first = words.chars().take(1).flat_map(char::to_uppercase);
    let words: String = first.chain(words.chars().skip(1)).collect();
    match level {
        2 => html! { h2 id=[id] { (words) } },
        3 => html! { h3 id=[id] { (words) } },
        _ => html! { h4 id=[id] { (words) } },
    }
}

/// How it ended: the words say it, a sign and a frame help, colour only adds to them.
fn outcome(tone: Tone, words: &str) -> Markup {
    let (class, sign) = match tone {
        Tone::Good => ("good", "✓"),
        Tone::Doubtful => ("doubtful", "?"),
        Tone::Bad => ("bad", "✗"),
    };
    // The first sentence is the answer, what follows stands behind it.
    let (answer, more) = match words.split_once(". ") {
        Some((answer, more)) => (format!("{answer}."), more),
        None => (words.to_owned(), ""),
    };
    html! {
        div class={ "outcome " (class) } {
            span.sign aria-hidden="true" { (sign) }
            p { strong { (joined(&answer)) } @if !more.is_empty() { " " (joined(more)) } }
        }
    }
}

fn facts_list(facts: &[Fact]) -> Markup {
    html! {
        dl.facts {
            @for fact in facts {
                div {
                    dt { (fact.name) }
                    dd.value {
                        (joined(&fact.value.words(BLANK)))
                        @if !fact.unit.is_empty() { " " (fact.unit) }
                    }
                    @if let Some(definition) = &fact.definition {
                        dd.definition { (joined(definition)) }
                    }
                }
            }
        }
    }
}
