//! A page as one HTML file that needs nothing else: no script, no font, no picture and
//! no address outside of it.

mod blocks;
mod contents;
mod tables;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::page::{Block, Page};
use super::solved::CAUTION;
use blocks::{Level, Writer};

/// The style of everything that these renderers write; the only one they need.
pub const HTML_STYLE: &str = include_str!("style.css");

/// Whatever slips into a page, a browser fetches nothing for it.
const NOTHING_FETCHED: &str = "default-src 'none'; style-src 'unsafe-inline'";

/// The page as one file: its name, how it ended and what it is not for come first, then a
/// list of its headings and everything else in order.
pub fn render_html(page: &Page) -> String {
    let title = page.blocks.iter().find_map(|block| match block {
        Block::Title(words) => Some(words.as_str()),
        _ => None,
    });
    let title = title.unwrap_or(&page.title);
    let (first, rest) = opening_and_rest(&page.blocks);
    let anchors = contents::anchors(&rest);
    let contents = contents::list(&rest, &anchors);
    let mut writer = Writer::new("page", Level::of_page(&rest));
    let first = writer.blocks(&first, &[]);
    let rest = writer.blocks(&rest, &anchors);
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content=(NOTHING_FETCHED);
                meta name="generator" content={ "loopwright " (env!("CARGO_PKG_VERSION")) };
                title { (page.title) }
                style { (PreEscaped(HTML_STYLE)) }
            }
            body {
                a.skip href="#findings" { "Skip to the findings" }
                header.top {
                    h1 { (title) }
                    (first)
                }
                div.sheet {
                    (contents)
                    main #findings tabindex="-1" { (rest) }
                }
            }
        }
    };
    page.into_string()
}

/// How it ended and what it is not for; then everything else but the name of the page.
fn opening_and_rest(blocks: &[Block]) -> (Vec<&Block>, Vec<&Block>) {
    let begins = |block: &Block| matches!(block, Block::Heading(_) | Block::Part(_));
    let opening = blocks.iter().position(begins).unwrap_or(blocks.len());
    let (mut first, mut rest) = (Vec::new(), Vec::new());
    for (index, block) in blocks.iter().enumerate() {
        match block {
            Block::Title(_) => {}
            Block::Outcome { .. } if index < opening => first.push(block),
            Block::Caution(words) if words == CAUTION => first.push(block),
            _ => rest.push(block),
        }
    }
    (first, rest)
}

/// Blocks as a piece of a larger page, whose own style holds [`HTML_STYLE`] and whose
/// headings go down to the second level. Ids begin with the prefix, so that pieces with
/// different ones stand beside each other.
pub fn render_html_fragment(blocks: &[Block], prefix: &str) -> String {
    let blocks: Vec<&Block> = blocks.iter().collect();
    let markup: Markup = Writer::new(prefix, Level::of_fragment()).blocks(&blocks, &[]);
    markup.into_string()
}

#[cfg(test)]
mod tests;
