//! The point at which reading stopped.

use super::brackets::open_at_end;
use super::parse::Tree;
use crate::diagnostic::{Code, Diagnostic, codes};
use std::ops::Range;

/// Where reading stopped: what stands before it and what was found.
pub(super) struct Spot<'t> {
    pub(super) tree: &'t Tree<'t>,
    /// What stands before it, without the space behind that.
    pub(super) before: &'t str,
    /// What was found, and all that follows.
    pub(super) after: &'t str,
    /// The byte of what was found.
    pub(super) at: usize,
}

impl<'t> Spot<'t> {
    pub(super) fn error(&self, code: Code, message: &str, bytes: Range<usize>) -> Diagnostic {
        Diagnostic::error(code, message).at(self.tree.place_of_bytes(bytes.start, bytes.end), "")
    }

    pub(super) fn syntax(&self, message: &str, bytes: Range<usize>) -> Diagnostic {
        self.error(codes::SYNTAX, message, bytes)
    }

    /// The bytes of what was found: a word, or one letter.
    pub(super) fn found(&self) -> Range<usize> {
        self.at..self.at + self.found_text().len()
    }

    pub(super) fn found_text(&self) -> &'t str {
        let word = leading_word(self.after);
        if word.is_empty() {
            let letter = self.after.chars().next().map_or(0, char::len_utf8);
            self.after.get(..letter).unwrap_or("")
        } else {
            word
        }
    }

    /// The bytes of the token before.
    pub(super) fn token(&self, token: &str) -> Range<usize> {
        self.before.len() - token.len()..self.before.len()
    }

    /// The number below a stroke.
    pub(super) fn divisor(&self) -> Option<f64> {
        let below = self.after.strip_prefix('/')?.trim_start();
        let end = below
            .find(|c: char| !(c.is_ascii_digit() || c == '.'))
            .unwrap_or(below.len());
        below.get(..end)?.parse().ok()
    }

    /// What stands between here and the next bracket, comma or line break.
    pub(super) fn rest_of_value(&self) -> &'t str {
        let end = self
            .after
            .find([',', '(', ')', '[', ']', '{', '}', '\n', '"'])
            .unwrap_or(self.after.len());
        let rest = self.after.get(..end).unwrap_or("");
        rest.split("//").next().unwrap_or(rest).trim_end()
    }

    /// `62 kg`: a number and then something like a unit, but not the name of
    /// the next field.
    pub(super) fn is_rest_of_quantity(&self) -> bool {
        let rest = self.rest_of_value();
        !rest.is_empty()
            && !rest.contains(':')
            && rest.starts_with(|c: char| c.is_alphabetic() || "°/µ%".contains(c))
    }

    /// The innermost bracket that is open.
    pub(super) fn inside(&self) -> Option<char> {
        open_at_end(self.before).last().map(|(bracket, _)| *bracket)
    }
}

/// The token at the end of a text and what stands before it: letters, digits
/// and what numbers hold. Empty after a bracket or a quote.
pub(super) fn split_token(before: &str) -> (&str, &str) {
    let start = before
        .char_indices()
        .rev()
        .take_while(|(_, c)| c.is_alphanumeric() || "_.+-#".contains(*c))
        .last()
        .map_or(before.len(), |(index, _)| index);
    before.split_at(start)
}

pub(super) fn is_word(token: &str) -> bool {
    token.starts_with(|c: char| c.is_alphabetic() || c == '_')
}

pub(super) fn leading_word(text: &str) -> &str {
    split_leading(text, |c| c.is_alphanumeric() || c == '_')
}

pub(super) fn leading_digits(text: &str) -> &str {
    split_leading(text, |c| c.is_ascii_digit())
}

/// The letters at the start that belong.
pub(super) fn split_leading(text: &str, belongs: impl Fn(char) -> bool) -> &str {
    let end = text.find(|c: char| !belongs(c)).unwrap_or(text.len());
    text.get(..end).unwrap_or("")
}
