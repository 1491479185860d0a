//! A text as a tree of values. ron says whether the text is well-formed and what its
//! escapes mean; where each value stands it does not say, so the tree is cut here.

use super::syntax;
use super::{Named, Shape, Value};
use crate::diagnostic::{Diagnostic, Place, SourceId, codes};
use ron::value::RawValue;
use serde::Deserialize;

/// Nesting beyond which a text is refused; a design needs about ten levels.
const DEEPEST: usize = 60;

/// The byte-order mark that some editors put at the start.
const MARK: char = '\u{feff}';

/// Reads a whole text as one value.
///
/// # Errors
/// One complaint, about the first place where the text is not well-formed.
///
/// # Example
/// ```
/// use loopwright::diagnostic::Sources;
/// use loopwright::written::parse;
/// let mut sources = Sources::new();
/// let id = sources.add("a.ron", "Unit(\n    mass: \"62 kg\",\n)");
/// let unit = parse(id, sources.text(id)).unwrap();
/// let mass = unit.field("mass").unwrap();
/// assert_eq!(sources.quote(mass.place), "\"62 kg\"");
/// assert_eq!(sources.line_column(mass.place), (2, 11));
/// ```
pub fn parse(source: SourceId, text: &str) -> Result<Value, Diagnostic> {
    let start = if text.starts_with(MARK) {
        MARK.len_utf8()
    } else {
        0
    };
    parse_part(source, text.get(start..).unwrap_or(""), start)
}

/// Reads a part of a source that begins at the byte `start` of it.
///
/// # Errors
/// As for [`parse`].
pub fn parse_part(source: SourceId, part: &str, start: usize) -> Result<Value, Diagnostic> {
    // A comment may end the text without a line break; ron wants one.
    let text = format!("{part}\n");
    let tree = Tree {
        source,
        text: &text,
        start,
    };
    let whole = tree
        .whole()
        .map_err(|error| syntax::complaint(&tree, &error))?;
    Cutter {
        tree: &tree,
        rest: whole,
    }
    .value(0)
}

/// The text that is being read, and where it stands in its source.
pub(super) struct Tree<'t> {
    pub(super) source: SourceId,
    /// The text, with a line break added at its end.
    pub(super) text: &'t str,
    pub(super) start: usize,
}

impl<'t> Tree<'t> {
    /// Checks that all of it is well-formed.
    fn whole(&self) -> Result<&'t str, ron::error::SpannedError> {
        let mut reader = ron::Deserializer::from_str(self.text)?;
        let raw = <&RawValue>::deserialize(&mut reader).map_err(|code| reader.span_error(code))?;
        reader.end().map_err(|code| reader.span_error(code))?;
        Ok(raw.get_ron())
    }

    /// The place of a part of the text: the difference of addresses.
    fn place(&self, part: &str) -> Place {
        let offset = (part.as_ptr() as usize).saturating_sub(self.text.as_ptr() as usize);
        self.place_of_bytes(offset, offset + part.len())
    }

    /// The place of bytes of the text; the added line break is left out.
    pub(super) fn place_of_bytes(&self, start: usize, end: usize) -> Place {
        let last = self.text.len().saturating_sub(1);
        Place {
            source: self.source,
            start: self.start + start.min(last),
            end: self.start + end.min(last),
        }
    }
}

/// Cuts a text that is known to be well-formed into values, from its start.
struct Cutter<'t> {
    tree: &'t Tree<'t>,
    /// What is not cut yet.
    rest: &'t str,
}

impl<'t> Cutter<'t> {
    /// The next value, with the space and the comments before it.
    fn value(&mut self, depth: usize) -> Result<Value, Diagnostic> {
        self.pass_space();
        let from = self.rest;
        if depth > DEEPEST {
            return Err(too_deep(self.tree.place(self.cut(1))));
        }
        let shape = match from.bytes().next() {
            Some(b'"') => {
                let written = self.cut(quoted(from, '"'));
                Shape::Text(self.plain(written)?)
            }
            Some(b'r') if raw_hashes(from).is_some() => {
                Shape::Text(raw_text(self.cut(raw_length(from))).to_owned())
            }
            Some(b'b') if is_bytes(from) => {
                let place = self.tree.place(self.cut(bytes_length(from)));
                let help = "write a plain text: \"...\"";
                return Err(syntax::foreign(place, "a byte text", help));
            }
            Some(b'\'') => {
                let place = self.tree.place(self.cut(quoted(from, '\'')));
                return Err(syntax::single_quotes(place));
            }
            Some(b'[') => Shape::List(self.list(depth)?),
            Some(b'{') => Shape::Map(self.map(depth)?),
            Some(b'(') => self.parentheses(None, depth)?,
            Some(b'0'..=b'9' | b'+' | b'-' | b'.') => Shape::Number(self.number()?.to_owned()),
            _ => self.named(depth)?,
        };
        let length = from.len() - self.rest.len();
        let place = self.tree.place(from.get(..length).unwrap_or(from));
        Ok(Value { place, shape })
    }

    /// The text in quotes, without them and its escapes.
    fn plain(&self, written: &'t str) -> Result<String, Diagnostic> {
        let inner = written.get(1..written.len().saturating_sub(1));
        match inner {
            Some(inner) if !inner.contains('\\') => Ok(inner.to_owned()),
            _ => ron::from_str(written).map_err(|error| {
                let tree = Tree {
                    source: self.tree.source,
                    text: written,
                    start: self.tree.place(written).start,
                };
                syntax::complaint(&tree, &error)
            }),
        }
    }

    fn number(&mut self) -> Result<&'t str, Diagnostic> {
        let from = self.rest;
        let number = self.cut(length_until(from, |letter| {
            ",:)]}/".contains(letter) || is_space(letter)
        }));
        self.pass_space();
        if number.contains("..") || self.rest.starts_with("..") {
            let range = length_until(from, |letter| ",:)]}".contains(letter));
            let range = from.get(..range).unwrap_or(from).trim_end();
            let place = self.tree.place(range);
            return Err(syntax::foreign(place, "a range", "write one number"));
        }
        // What follows is not part of the number.
        self.rest = from.get(number.len()..).unwrap_or("");
        Ok(number)
    }

    /// `Overboard`, `UpTo(2)`, `Unit(mass: "62 kg")`.
    fn named(&mut self, depth: usize) -> Result<Shape, Diagnostic> {
        let (written, plain) = self.word()?;
        let behind = self.rest;
        self.pass_space();
        if self.rest.starts_with('(') {
            return self.parentheses(Some(Named::new(plain, self.tree.place(written))), depth);
        }
        self.rest = behind;
        Ok(Shape::Word(plain.to_owned()))
    }

    /// A word as it stands, and without the mark `r#` of a raw one.
    fn word(&mut self) -> Result<(&'t str, &'t str), Diagnostic> {
        let mark = if self.rest.starts_with("r#") { 2 } else { 0 };
        let body = self.rest.get(mark..).unwrap_or("");
        let length = length_until(body, |letter| {
            !(letter.is_alphanumeric() || letter == '_' || (mark > 0 && ".+-".contains(letter)))
        });
        if length == 0 {
            return Err(self.lost());
        }
        let written = self.cut(mark + length);
        Ok((written, written.get(mark..).unwrap_or(written)))
    }

    fn parentheses(&mut self, name: Option<Named>, depth: usize) -> Result<Shape, Diagnostic> {
        self.cut(1);
        let inside = self.rest;
        let has_fields = self.field().is_ok();
        self.rest = inside;
        if has_fields {
            let fields = self.until(')', |cutter| {
                let field = cutter.field()?;
                Ok((field, cutter.value(depth + 1)?))
            })?;
            return Ok(Shape::Record { name, fields });
        }
        let items = self.until(')', |cutter| cutter.value(depth + 1))?;
        Ok(Shape::Tuple { name, items })
    }

    /// The name of a field and the colon behind it.
    fn field(&mut self) -> Result<Named, Diagnostic> {
        self.pass_space();
        let (_, plain) = self.word()?;
        self.expect(':')?;
        Ok(Named::new(plain, self.tree.place(plain)))
    }

    fn list(&mut self, depth: usize) -> Result<Vec<Value>, Diagnostic> {
        self.cut(1);
        self.until(']', |cutter| cutter.value(depth + 1))
    }

    fn map(&mut self, depth: usize) -> Result<Vec<(Value, Value)>, Diagnostic> {
        self.cut(1);
        self.until('}', |cutter| {
            let key = cutter.value(depth + 1)?;
            cutter.expect(':')?;
            Ok((key, cutter.value(depth + 1)?))
        })
    }

    /// What stands between commas until a bracket closes, and the bracket.
    fn until<T>(
        &mut self,
        close: char,
        mut item: impl FnMut(&mut Self) -> Result<T, Diagnostic>,
    ) -> Result<Vec<T>, Diagnostic> {
        let mut items = Vec::new();
        loop {
            if self.passes(close) {
                return Ok(items);
            }
            items.push(item(self)?);
            if !self.passes(',') {
                self.expect(close)?;
                return Ok(items);
            }
        }
    }

    /// Cuts this many bytes off.
    fn cut(&mut self, length: usize) -> &'t str {
        let (cut, rest) = self
            .rest
            .split_at_checked(length)
            .unwrap_or((self.rest, ""));
        self.rest = rest;
        cut
    }

    fn pass_space(&mut self) {
        self.rest = after_space(self.rest);
    }

    /// Whether this mark comes next, which is then passed.
    fn passes(&mut self, mark: char) -> bool {
        self.pass_space();
        match self.rest.strip_prefix(mark) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }

    fn expect(&mut self, mark: char) -> Result<(), Diagnostic> {
        match self.passes(mark) {
            true => Ok(()),
            false => Err(self.lost()),
        }
    }

    /// What ron lets pass and has no place in a design.
    fn lost(&self) -> Diagnostic {
        let letter = self.rest.chars().next().map_or(0, char::len_utf8);
        let place = self.tree.place(self.rest.get(..letter).unwrap_or(""));
        Diagnostic::error(codes::SYNTAX, "what stands here cannot be read")
            .at(place, "")
            .help("write a text in quotes, a number, a list, a map, or a word with parentheses")
    }
}

fn too_deep(place: Place) -> Diagnostic {
    Diagnostic::error(
        codes::TOO_DEEP,
        format!("brackets are nested more than {DEEPEST} deep"),
    )
    .at(place, "")
    .help("take out the extra brackets")
}

/// Bytes before the first letter of this sort, or all.
fn length_until(text: &str, ends: impl Fn(char) -> bool) -> usize {
    text.find(ends).unwrap_or(text.len())
}

/// The length of the text between two quotes of this sort, the first at the start.
pub(super) fn quoted(text: &str, quote: char) -> usize {
    let mut escaped = false;
    for (index, letter) in text.char_indices().skip(1) {
        match letter {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            _ if letter == quote => return index + quote.len_utf8(),
            _ => {}
        }
    }
    text.len()
}

/// How many `#` a raw text at the start has: `r"..."`, `r##"..."##`.
fn raw_hashes(text: &str) -> Option<usize> {
    let behind = text.strip_prefix('r')?;
    let inner = behind.trim_start_matches('#');
    inner.starts_with('"').then_some(behind.len() - inner.len())
}

fn raw_length(text: &str) -> usize {
    let hashes = raw_hashes(text).unwrap_or(0);
    let start = 1 + hashes + 1;
    let end = format!("\"{}", "#".repeat(hashes));
    let inner = text.get(start..).unwrap_or("");
    inner
        .find(&end)
        .map_or(text.len(), |length| start + length + end.len())
}

/// Without the marks around it.
fn raw_text(written: &str) -> &str {
    let marks = raw_hashes(written).unwrap_or(0) + 1;
    let end = written.len().saturating_sub(marks);
    written.get(marks + 1..end).unwrap_or("")
}

/// Whether a byte text begins here: `b"..."`, `b'x'`, `br#"..."#`.
fn is_bytes(text: &str) -> bool {
    text.strip_prefix('b')
        .is_some_and(|rest| rest.starts_with(['"', '\'']) || raw_hashes(rest).is_some())
}

fn bytes_length(text: &str) -> usize {
    let rest = text.get(1..).unwrap_or("");
    1 + match rest.chars().next() {
        Some('r') => raw_length(rest),
        Some(quote) => quoted(rest, quote),
        None => 0,
    }
}

/// What separates values. Direction marks count, as they do for ron.
fn is_space(letter: char) -> bool {
    letter.is_whitespace() || matches!(letter, '\u{200E}' | '\u{200F}')
}

/// What follows the space and the comments at the start.
pub(super) fn after_space(text: &str) -> &str {
    let mut rest = text.trim_start_matches(is_space);
    loop {
        if let Some(comment) = rest.strip_prefix("//") {
            rest = comment.split_once('\n').map_or("", |(_, rest)| rest);
        } else if let Some(comment) = rest.strip_prefix("/*") {
            rest = after_block(comment);
        } else {
            return rest;
        }
        rest = rest.trim_start_matches(is_space);
    }
}

/// What follows a block comment; block comments nest.
fn after_block(comment: &str) -> &str {
    let mut open = 1;
    let mut rest = comment;
    while let Some(mark) = rest.find(['*', '/']) {
        let (_, at) = rest.split_at(mark);
        if let Some(after) = at.strip_prefix("*/") {
            open -= 1;
            rest = after;
            if open == 0 {
                return rest;
            }
        } else if let Some(after) = at.strip_prefix("/*") {
            open += 1;
            rest = after;
        } else {
            rest = at.get(1..).unwrap_or("");
        }
    }
    ""
}
