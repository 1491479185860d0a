//! Complaints about a text that is not well-formed, in a person's words.

use super::parse::Tree;
use crate::diagnostic::{Diagnostic, Place, codes};
use ron::error::{Error, SpannedError};

/// What is wrong with the text, from what ron says about it.
pub(super) fn complaint(tree: &Tree<'_>, error: &SpannedError) -> Diagnostic {
    let at = byte_of(tree.text, error.span.end.line, error.span.end.col);
    if error.code == Error::ExceededRecursionLimit {
        return Diagnostic::error(codes::TOO_DEEP, "brackets are nested too deep")
            .at(tree.place_of_bytes(at, at + 1), "")
            .help("take out the extra brackets");
    }
    Diagnostic::error(codes::SYNTAX, error.code.to_string()).at(tree.place_of_bytes(at, at + 1), "")
}

/// Single quotes.
pub(super) fn single_quotes(place: Place) -> Diagnostic {
    Diagnostic::error(codes::SYNTAX, "a text stands in double quotes").at(place, "")
}

/// Something that RON has and a design does not.
pub(super) fn foreign(place: Place, what: &str) -> Diagnostic {
    Diagnostic::error(codes::SYNTAX, format!("{what} has no meaning in a design")).at(place, "")
}

/// The byte at a line and column, both from 1, columns in characters.
fn byte_of(text: &str, line: usize, column: usize) -> usize {
    let mut start = 0;
    for _ in 1..line {
        match text.get(start..).and_then(|rest| rest.find('\n')) {
            Some(end) => start += end + 1,
            None => return text.len(),
        }
    }
    let rest = text.get(start..).unwrap_or("");
    rest.char_indices()
        .nth(column.saturating_sub(1))
        .map_or(text.len(), |(index, _)| start + index)
}
