//! Complaints about a text that is not well-formed, in a person's words.

use super::parse::{Tree, after_space};
use super::spot::Spot;
use crate::diagnostic::{Diagnostic, Place, codes};
use ron::error::{Error, SpannedError};

/// What is wrong with the text, from what ron says about it.
pub(super) fn complaint(tree: &Tree<'_>, error: &SpannedError) -> Diagnostic {
    let text = tree.text;
    let start = byte_of(text, error.span.start.line, error.span.start.col);
    let at = found_at(text, error);
    let spot = Spot {
        tree,
        before: text.get(..at).unwrap_or("").trim_end(),
        after: text.get(at..).unwrap_or(""),
        at,
    };
    match &error.code {
        Error::ExceededRecursionLimit => spot
            .error(
                codes::TOO_DEEP,
                "brackets are nested too deep",
                spot.found(),
            )
            .help("take out the extra brackets"),
        Error::UnclosedBlockComment => {
            let start = text
                .get(..start)
                .and_then(|t| t.rfind("/*"))
                .unwrap_or(start);
            spot.syntax(
                "a comment that begins with /* is never closed",
                start..start + 2,
            )
            .help("write */ where it ends")
        }
        Error::ExpectedStringEnd => {
            let start = text
                .get(..=start)
                .and_then(|t| t.rfind('"'))
                .unwrap_or(start);
            spot.syntax("a text in quotes is never closed", start..start + 1)
                .help("write \" where it ends")
        }
        Error::InvalidEscape(_) => spot
            .syntax(
                "a backslash in a text begins an escape that is not known",
                start..at,
            )
            .help("write a backslash as \\\\, or / if it is a path"),
        Error::NoSuchExtension(name) => spot
            .syntax(&format!("there is no RON extension {name}"), start..at)
            .help("leave the #![enable(...)] line out; a design needs none"),
        Error::ExpectedAttribute | Error::ExpectedAttributeEnd => spot
            .syntax(
                "a # at the start begins an attribute that cannot be read",
                start..at,
            )
            .help("leave it out; comments begin with //"),
        Error::ExpectedChar => single_quotes(tree.place_of_bytes(start, at)),
        Error::ExpectedFloat
        | Error::ExpectedInteger
        | Error::FloatUnderscore
        | Error::UnderscoreAtBeginning
        | Error::IntegerOutOfBounds
        | Error::InvalidIntegerDigit { .. } => spot.not_a_number(start),
        _ => spot.by_what_is_found(&error.code),
    }
}

/// Single quotes about a text.
pub(super) fn single_quotes(place: Place) -> Diagnostic {
    Diagnostic::error(
        codes::QUOTES,
        "a text stands in double quotes, not in single ones",
    )
    .at(place, "")
    .help("write it in double quotes: \"...\"")
}

/// Something that RON has and a design does not.
pub(super) fn foreign(place: Place, what: &str, help: &str) -> Diagnostic {
    Diagnostic::error(codes::SYNTAX, format!("{what} has no meaning in a design"))
        .at(place, "")
        .help(help)
}

/// The byte of the first thing that does not fit, comments and space skipped.
fn found_at(text: &str, error: &SpannedError) -> usize {
    let end = byte_of(text, error.span.end.line, error.span.end.col);
    if let Error::UnexpectedChar(wrong) = error.code {
        // ron stands on the letter, or past it when it took it for a comment.
        let before = text.get(..end).unwrap_or("");
        if text.get(end..).is_some_and(|rest| !rest.starts_with(wrong)) && before.ends_with(wrong) {
            let wrong = end - wrong.len_utf8();
            return match text.get(..wrong) {
                Some(before) if before.ends_with('/') => wrong - 1,
                _ => wrong,
            };
        }
        return end;
    }
    text.len() - after_space(text.get(end..).unwrap_or("")).len()
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
