//! Complaints about a text that is not well-formed, in a person's words.

use super::brackets::{open_at_end, partner};
use super::parse::{Tree, after_space};
use crate::diagnostic::{Code, Diagnostic, Place, codes};
use crate::quantity::shown_number;
use ron::error::{Error, SpannedError};
use std::ops::Range;

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

/// Where reading stopped: what stands before it and what was found.
struct Spot<'t> {
    tree: &'t Tree<'t>,
    before: &'t str,
    after: &'t str,
    at: usize,
}

impl<'t> Spot<'t> {
    fn error(&self, code: Code, message: &str, bytes: Range<usize>) -> Diagnostic {
        Diagnostic::error(code, message).at(self.tree.place_of_bytes(bytes.start, bytes.end), "")
    }

    fn syntax(&self, message: &str, bytes: Range<usize>) -> Diagnostic {
        self.error(codes::SYNTAX, message, bytes)
    }

    /// The bytes of what was found: a word, or one letter.
    fn found(&self) -> Range<usize> {
        self.at..self.at + self.found_text().len()
    }

    fn found_text(&self) -> &'t str {
        let word = leading_word(self.after);
        if word.is_empty() {
            let letter = self.after.chars().next().map_or(0, char::len_utf8);
            self.after.get(..letter).unwrap_or("")
        } else {
            word
        }
    }

    fn by_what_is_found(&self, code: &Error) -> Diagnostic {
        let Some(found) = self.after.chars().next() else {
            return self.ends_early();
        };
        let (before, token) = split_token(self.before);
        let number = token.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c))
            && token.contains(|c: char| c.is_ascii_digit());
        match found {
            '=' => self.equals_sign(),
            '%' if number => self.percent(token),
            '/' if number && self.divisor().is_some() => self.division(token),
            ';' => self
                .syntax("found ; where a comma belongs", self.found())
                .help("separate values with commas"),
            '“' | '”' | '„' | '‘' | '’' | '\'' => self
                .error(
                    codes::QUOTES,
                    "texts stand in straight double quotes",
                    self.found(),
                )
                .help("write \"...\""),
            ')' | ']' | '}' => self.closing(found),
            ',' => self.comma(),
            ':' => self.colon(token),
            '{' | '[' if is_word(token) => self
                .syntax(
                    &format!("{token} opens with parentheses, found {found}"),
                    self.found(),
                )
                .help(format!("write {token}(...)")),
            '-' if is_word(token) => self
                .syntax(
                    "a field name has no hyphen",
                    self.token(token).start..self.at + 1,
                )
                .help("hyphens become _; other names stand in quotes"),
            _ if number && self.is_rest_of_quantity() => {
                self.unquoted(token, "a quantity with its unit stands in quotes")
            }
            _ if is_word(token) && is_word(self.found_text()) => self.two_words(before, token),
            _ if matches!(
                code,
                Error::SuggestRawIdentifier(_)
                    | Error::ExpectedIdentifier
                    | Error::InvalidIdentifier(_)
            ) =>
            {
                self.not_a_field()
            }
            _ if matches!(code, Error::ExpectedMapColon) => self
                .syntax(
                    &format!(
                        "expected a colon after the key, found {}",
                        self.found_text()
                    ),
                    self.found(),
                )
                .help("write key: value"),
            _ if matches!(code, Error::TrailingCharacters) => self
                .syntax(
                    &format!("found {} after the end of the value", self.found_text()),
                    self.found(),
                )
                .help("take out what follows, or look for a bracket closed too early"),
            _ if matches!(code, Error::ExpectedComma) => self.no_comma(token),
            _ => self
                .syntax(
                    &format!("expected a value, found {}", self.found_text()),
                    self.found(),
                )
                .help("a value is a number, a text in quotes, a word, or stands in brackets"),
        }
    }

    fn not_a_number(&self, start: usize) -> Diagnostic {
        // ron's span begins with the space before the number.
        let text = after_space(self.tree.text.get(start..).unwrap_or(""));
        let start = self.tree.text.len() - text.len();
        let number = split_leading(text, |c| c.is_alphanumeric() || "_.+-".contains(c));
        self.error(
            codes::NOT_A_NUMBER,
            &format!("{number} cannot be read as a number"),
            start..start + number.len(),
        )
        .help("write a number such as 12, 0.95 or 2e-3")
    }

    /// The bytes of the token before.
    fn token(&self, token: &str) -> Range<usize> {
        self.before.len() - token.len()..self.before.len()
    }

    fn ends_early(&self) -> Diagnostic {
        let text = self.tree.text;
        match open_at_end(text).last() {
            Some((bracket, at)) => self
                .syntax(
                    &format!("the text ends before this {bracket} is closed"),
                    *at..at + 1,
                )
                .help(format!("write {} where it ends", partner(*bracket))),
            None if after_space(text).is_empty() => self
                .syntax("the text is empty", 0..0)
                .help("a design begins with Design("),
            None => self
                .syntax("the text ends where a value is expected", self.at..self.at)
                .help("add the value"),
        }
    }

    fn equals_sign(&self) -> Diagnostic {
        self.syntax("found = where a colon belongs", self.found())
            .help("write name: value")
    }

    fn percent(&self, number: &str) -> Diagnostic {
        let complaint = self.error(
            codes::PERCENT,
            &format!("found a percentage, {number}%; shares are written as fractions"),
            self.token(number).start..self.at + 1,
        );
        match number.parse::<f64>() {
            Ok(value) => complaint.help(format!("write {}", shown_number(value / 100.0))),
            Err(_) => complaint.help("write a fraction between 0 and 1"),
        }
    }

    /// The number below a stroke.
    fn divisor(&self) -> Option<f64> {
        let below = self.after.strip_prefix('/')?.trim_start();
        let end = below
            .find(|c: char| !(c.is_ascii_digit() || c == '.'))
            .unwrap_or(below.len());
        below.get(..end)?.parse().ok()
    }

    fn division(&self, number: &str) -> Diagnostic {
        let bytes = self.token(number).start..self.at + self.rest_of_value().len();
        let complaint = self.error(
            codes::PERCENT,
            "found a division; a design states its result",
            bytes,
        );
        match (number.parse::<f64>(), self.divisor()) {
            (Ok(above), Some(below)) if below != 0.0 => {
                complaint.help(format!("write {}", shown_number(above / below)))
            }
            _ => complaint.help("write the number"),
        }
    }

    fn closing(&self, found: char) -> Diagnostic {
        if self.before.ends_with(':') {
            return self
                .syntax("a value is missing after the colon", self.found())
                .help("add the value, or take the name out");
        }
        match open_at_end(self.before).last() {
            Some((bracket, at)) if *bracket != partner(found) => self
                .syntax(
                    &format!("found {found} where {} is expected", partner(*bracket)),
                    self.found(),
                )
                .also(self.tree.place_of_bytes(*at, at + 1), "opened here")
                .help(format!("close {bracket} with {}", partner(*bracket))),
            Some(_) => self
                .syntax(&format!("expected a value, found {found}"), self.found())
                .help("add the value"),
            None => self
                .syntax(&format!("this {found} closes nothing"), self.found())
                .help("take it out, or look for a bracket closed too early"),
        }
    }

    fn comma(&self) -> Diagnostic {
        if self.before.ends_with(':') {
            return self
                .syntax("a value is missing after the colon", self.found())
                .help("add the value, or take the name out");
        }
        self.syntax("found a comma with nothing before it", self.found())
            .help("take the comma out")
    }

    fn colon(&self, token: &str) -> Diagnostic {
        match self.inside() {
            Some('(') if self.before.ends_with('"') => self
                .error(
                    codes::QUOTES,
                    "names of fields in parentheses stand without quotes",
                    self.found(),
                )
                .help("write field: value; only maps in braces have keys in quotes"),
            Some('[') => self
                .syntax("a list in square brackets has no keys", self.found())
                .help("write a map in braces: {\"key\": value}"),
            _ if self.before.ends_with(':') => self
                .syntax("found a second colon", self.found())
                .help("take one colon out"),
            _ => self
                .syntax(&format!("found a colon after {token}"), self.found())
                .help("fields stand in parentheses and keys in braces"),
        }
    }

    /// What stands between here and the next bracket, comma or line break.
    fn rest_of_value(&self) -> &'t str {
        let end = self
            .after
            .find([',', '(', ')', '[', ']', '{', '}', '\n', '"'])
            .unwrap_or(self.after.len());
        let rest = self.after.get(..end).unwrap_or("");
        rest.split("//").next().unwrap_or(rest).trim_end()
    }

    /// `62 kg`: a number and then something like a unit, but not the name of
    /// the next field.
    fn is_rest_of_quantity(&self) -> bool {
        let rest = self.rest_of_value();
        !rest.is_empty()
            && !rest.contains(':')
            && rest.starts_with(|c: char| c.is_alphabetic() || "°/µ%".contains(c))
    }

    fn unquoted(&self, token: &str, message: &str) -> Diagnostic {
        let start = self.token(token).start;
        let end = self.at + self.rest_of_value().len();
        let written = self.tree.text.get(start..end).unwrap_or(token);
        self.error(codes::QUOTES, message, start..end)
            .help(format!("write \"{written}\""))
    }

    /// `urine still`: a name without quotes, a field of two words, or a comma
    /// left out between a word and the next field.
    fn two_words(&self, before: &str, token: &str) -> Diagnostic {
        let rest = self.rest_of_value();
        let is_value = before.trim_end().ends_with(':');
        let Some((name, _)) = rest.split_once(':') else {
            return self.unquoted(token, "a name stands in quotes");
        };
        if is_value {
            return self.no_comma(token);
        }
        let start = self.token(token).start;
        let end = self.at + name.trim_end().len();
        let name = self.tree.text.get(start..end).unwrap_or(token);
        match self.inside() {
            Some('{') => self
                .error(codes::QUOTES, "a name stands in quotes", start..end)
                .help(format!("write \"{name}\"")),
            _ => self
                .syntax("a field name is one word", start..end)
                .help(format!(
                    "join its words with _, as in {}",
                    name.split_whitespace().collect::<Vec<_>>().join("_")
                )),
        }
    }

    /// `1,5`, or a value without a name among fields.
    fn not_a_field(&self) -> Diagnostic {
        let number = self
            .before
            .strip_suffix(',')
            .map(|before| split_token(before).1);
        let digits = leading_digits(self.after);
        if let Some(number) = number
            && number.ends_with(|c: char| c.is_ascii_digit())
            && !digits.is_empty()
            && self.before.len() == self.at
        {
            let start = self.before.len() - 1 - number.len();
            return self
                .error(
                    codes::NOT_A_NUMBER,
                    "a number has a point before its decimals, not a comma",
                    start..self.at + digits.len(),
                )
                .help(format!("write {number}.{digits}"));
        }
        let found = if digits.is_empty() {
            self.found_text()
        } else {
            digits
        };
        self.syntax(
            &format!("expected the name of a field, found {found}"),
            self.at..self.at + found.len(),
        )
        .help("write field: value")
    }

    fn no_comma(&self, token: &str) -> Diagnostic {
        let found = self.found_text();
        if self.before.ends_with('"') && self.before.len() == self.at && is_word(found) {
            return self
                .error(
                    codes::QUOTES,
                    &format!("a text is followed by {found}; is a quote missing or one too many?"),
                    self.found(),
                )
                .help("look for the quote that opens or closes this text");
        }
        let described = if found == "\"" { "a text" } else { found };
        let (before, _) = split_token(self.before);
        let first = before.trim_end().chars().next_back();
        if is_word(token) && self.inside() == Some('(') && matches!(first, Some('(' | ',')) {
            return self
                .syntax(
                    &format!("expected a colon after {token}, found {described}"),
                    self.found(),
                )
                .help(format!("write {token}: value"));
        }
        let after = if token.is_empty() {
            "the value before"
        } else {
            token
        };
        self.syntax(
            &format!("expected a comma after {after}, found {described}"),
            self.found(),
        )
        .help(format!("write a comma before {described}"))
    }

    /// The innermost bracket that is open.
    fn inside(&self) -> Option<char> {
        open_at_end(self.before).last().map(|(bracket, _)| *bracket)
    }
}

/// The token at the end of a text and what stands before it: letters, digits
/// and what numbers hold. Empty after a bracket or a quote.
fn split_token(before: &str) -> (&str, &str) {
    let start = before
        .char_indices()
        .rev()
        .take_while(|(_, c)| c.is_alphanumeric() || "_.+-#".contains(*c))
        .last()
        .map_or(before.len(), |(index, _)| index);
    before.split_at(start)
}

fn is_word(token: &str) -> bool {
    token.starts_with(|c: char| c.is_alphabetic() || c == '_')
}

fn leading_word(text: &str) -> &str {
    split_leading(text, |c| c.is_alphanumeric() || c == '_')
}

fn leading_digits(text: &str) -> &str {
    split_leading(text, |c| c.is_ascii_digit())
}

/// The letters at the start that belong.
fn split_leading(text: &str, belongs: impl Fn(char) -> bool) -> &str {
    let end = text.find(|c: char| !belongs(c)).unwrap_or(text.len());
    text.get(..end).unwrap_or("")
}
