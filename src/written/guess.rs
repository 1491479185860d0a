//! What a person most likely meant where reading stopped.

use super::brackets::{open_at_end, partner};
use super::parse::after_space;
use super::spot::{Spot, is_word, leading_digits, split_leading, split_token};
use crate::diagnostic::{Diagnostic, codes};
use crate::quantity::shown_number;
use ron::error::Error;

impl Spot<'_> {
    pub(super) fn by_what_is_found(&self, code: &Error) -> Diagnostic {
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
            _ if matches!(code, Error::ExpectedMapColon) && self.text_runs_on().is_some() => {
                self.lacks_its_quote()
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

    /// The start of the text before, if it holds what no name holds: it runs on
    /// from a quote that is missing.
    fn text_runs_on(&self) -> Option<usize> {
        let text = self.before.strip_suffix('"')?;
        let start = text.rfind('"')?;
        text.get(start + 1..)?
            .contains([':', '(', '{', '['])
            .then_some(start)
    }

    fn lacks_its_quote(&self) -> Diagnostic {
        let start = self.text_runs_on().unwrap_or(self.at);
        self.error(
            codes::QUOTES,
            "a quote is missing: this was read as one text",
            start..self.before.len(),
        )
        .help("close the name with a quote before its colon")
    }

    pub(super) fn not_a_number(&self, start: usize) -> Diagnostic {
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
            Some('[') => {
                let complaint = self.syntax("a list in square brackets has no keys", self.found());
                let complaint = match open_at_end(self.before).last() {
                    Some((_, at)) => {
                        complaint.also(self.tree.place_of_bytes(*at, at + 1), "this list is open")
                    }
                    None => complaint,
                };
                complaint.help(
                    "close the list with ] before this key, or write a map in braces: {\"key\": value}",
                )
            }
            _ if self.before.ends_with(':') => self
                .syntax("found a second colon", self.found())
                .help("take one colon out"),
            _ => self
                .syntax(&format!("found a colon after {token}"), self.found())
                .help("fields stand in parentheses and keys in braces"),
        }
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
        if self.after.starts_with('"')
            && let Some((open @ '(', at)) = open_at_end(self.before).last()
        {
            // Names in quotes are keys of the map further out.
            let holder = split_token(self.before.get(..*at).unwrap_or("")).1;
            return self
                .syntax(
                    &format!("{holder}{open} is not closed before this name in quotes"),
                    self.found(),
                )
                .also(self.tree.place_of_bytes(*at, at + 1), "opened here")
                .help(
                    "write ) where it ends, before this; only maps in braces have names in quotes",
                );
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
        let message = format!("expected a comma after {after}, found {described}");
        let gap = self.tree.text.get(self.before.len()..self.at);
        if gap.is_some_and(|gap| gap.contains('\n')) {
            // What lacks its comma stands on a line before.
            let end = self.before.len();
            let last = self.before.chars().next_back().map_or(0, char::len_utf8);
            let place = self.found();
            return self
                .error(codes::SYNTAX, &message, end - last..end)
                .also(
                    self.tree.place_of_bytes(place.start, place.end),
                    "found here",
                )
                .help("write a comma at the end of that line");
        }
        self.syntax(&message, self.found())
            .help(format!("write a comma before {described}"))
    }
}
