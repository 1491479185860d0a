//! The headings of a page as a list, and the ids by which it finds them.

use std::collections::BTreeSet;

use maud::{Markup, html};

use crate::report::page::Block;

/// Fewer headings than this need no list.
const WORTH_A_LIST: usize = 3;

/// The id of every heading, empty for other blocks: its words in small letters, with a
/// number where they come again.
pub(super) fn anchors(blocks: &[&Block]) -> Vec<String> {
    let mut taken = BTreeSet::from(["findings".to_owned()]);
    let ids = blocks.iter().map(|block| {
        let (Block::Heading(words) | Block::Part(words)) = block else {
            return String::new();
        };
        let plain = slug(words);
        let further = (2..).map(|number| format!("{plain}-{number}"));
        let free = std::iter::once(plain.clone())
            .chain(further)
            .find(|id| !taken.contains(id));
        let id = free.unwrap_or(plain);
        taken.insert(id.clone());
        id
    });
    ids.collect()
}

fn slug(words: &str) -> String {
    let letters = words.chars().flat_map(char::to_lowercase);
    let parts: String = letters
        .map(|letter| {
            if letter.is_alphanumeric() {
                letter
            } else {
                ' '
            }
        })
        .collect();
    let parts: Vec<&str> = parts.split_whitespace().collect();
    match parts.is_empty() {
        true => "part".to_owned(),
        false => parts.join("-"),
    }
}

/// Links to the headings; nothing where there are few.
pub(super) fn list(blocks: &[&Block], anchors: &[String]) -> Markup {
    let headings: Vec<(bool, &str, &str)> = blocks
        .iter()
        .zip(anchors)
        .filter_map(|(block, id)| match block {
            Block::Part(words) => Some((true, words.as_str(), id.as_str())),
            Block::Heading(words) => Some((false, words.as_str(), id.as_str())),
            _ => None,
        })
        .collect();
    if headings.len() < WORTH_A_LIST {
        return html! {};
    }
    let parts = headings.iter().any(|(part, ..)| *part);
    html! {
        nav.contents aria-label="Contents" {
            p.name { "Contents" }
            ol {
                @for (part, words, id) in &headings {
                    li class=[(parts && !part).then_some("below")] {
                        a href={ "#" (id) } { (words) }
                    }
                }
            }
        }
    }
}
