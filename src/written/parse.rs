use super::syntax;
use super::{Named, Shape, Value};
use crate::diagnostic::{Diagnostic, Place, SourceId, codes};
use ron::value::RawValue;
use serde::Deserialize;
use serde::de::{DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};
use std::fmt;

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
    tree.value(whole, 0)
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

    fn value(&self, raw: &'t str, depth: usize) -> Result<Value, Diagnostic> {
        let raw = trimmed(raw);
        let place = self.place(raw);
        if depth > DEEPEST {
            return Err(too_deep(place));
        }
        let shape = match raw.chars().next() {
            Some('"') => Shape::Text(self.read(raw)?),
            Some('r')
                if raw.starts_with("r\"") || raw.starts_with("r#\"") || raw.starts_with("r##") =>
            {
                Shape::Text(self.read(raw)?)
            }
            Some('b')
                if raw.starts_with("b\"")
                    || raw.starts_with("b'")
                    || raw.starts_with("br") && !name_alone(raw) =>
            {
                return Err(syntax::foreign(
                    place,
                    "a byte text",
                    "write a plain text: \"...\"",
                ));
            }
            Some('\'') => return Err(syntax::single_quotes(place)),
            Some('[') => Shape::List(self.list(raw, depth)?),
            Some('{') => Shape::Map(self.map(raw, depth)?),
            Some('(') => self.parentheses(None, raw, depth)?,
            Some('0'..='9' | '+' | '-' | '.') => {
                if raw.contains("..") {
                    return Err(syntax::foreign(place, "a range", "write one number"));
                }
                Shape::Number(raw.to_string())
            }
            _ => self.named(raw, depth)?,
        };
        Ok(Value { place, shape })
    }

    /// `Overboard`, `UpTo(2)`, `Unit(mass: "62 kg")`.
    fn named(&self, raw: &'t str, depth: usize) -> Result<Shape, Diagnostic> {
        let end = raw
            .find(|c: char| !(c.is_alphanumeric() || c == '_' || c == '#'))
            .unwrap_or(raw.len());
        let (word, rest) = raw.split_at(end);
        let plain = word.strip_prefix("r#").unwrap_or(word);
        let rest = trimmed(rest);
        if rest.is_empty() {
            return Ok(Shape::Word(plain.to_string()));
        }
        self.parentheses(Some(Named::new(plain, self.place(word))), rest, depth)
    }

    fn parentheses(
        &self,
        name: Option<Named>,
        raw: &'t str,
        depth: usize,
    ) -> Result<Shape, Diagnostic> {
        match self.visit(raw, Parentheses)? {
            Inside::Items(raws) => {
                let items = raws
                    .into_iter()
                    .map(|raw| self.value(raw, depth + 1))
                    .collect::<Result<_, _>>()?;
                Ok(Shape::Tuple { name, items })
            }
            Inside::Fields(raws) => {
                let fields = raws
                    .into_iter()
                    .map(|(field, raw)| {
                        let named = Named::new(field, self.place(field));
                        Ok((named, self.value(raw, depth + 1)?))
                    })
                    .collect::<Result<_, Diagnostic>>()?;
                Ok(Shape::Record { name, fields })
            }
        }
    }

    fn list(&self, raw: &'t str, depth: usize) -> Result<Vec<Value>, Diagnostic> {
        let raws: Vec<&'t RawValue> = self.read(raw)?;
        raws.into_iter()
            .map(|raw| self.value(raw.get_ron(), depth + 1))
            .collect()
    }

    fn map(&self, raw: &'t str, depth: usize) -> Result<Vec<(Value, Value)>, Diagnostic> {
        let raws = self.visit(raw, Braces)?;
        raws.into_iter()
            .map(|(key, raw)| {
                Ok((
                    self.value(key.get_ron(), depth + 1)?,
                    self.value(raw.get_ron(), depth + 1)?,
                ))
            })
            .collect()
    }

    fn read<T: Deserialize<'t>>(&self, raw: &'t str) -> Result<T, Diagnostic> {
        self.visit(raw, std::marker::PhantomData)
    }

    fn visit<S: DeserializeSeed<'t>>(&self, raw: &'t str, seed: S) -> Result<S::Value, Diagnostic> {
        let read = || {
            let mut reader = ron::Deserializer::from_str(raw)?;
            seed.deserialize(&mut reader)
                .map_err(|code| reader.span_error(code))
        };
        read().map_err(|error| {
            let place = self.place(raw);
            let tree = Tree {
                source: self.source,
                text: raw,
                start: place.start,
            };
            syntax::complaint(&tree, &error)
        })
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

/// Whether it is a name with nothing behind it.
fn name_alone(raw: &str) -> bool {
    raw.chars().all(|c| c.is_alphanumeric() || c == '_')
}

/// Without the space and comments before it, and the space behind it. (A part
/// that ron hands out never ends in a comment.)
fn trimmed(raw: &str) -> &str {
    after_space(raw).trim_end()
}

/// What follows the space and the comments at the start.
pub(super) fn after_space(text: &str) -> &str {
    let mut rest = text.trim_start();
    loop {
        if let Some(comment) = rest.strip_prefix("//") {
            rest = comment.split_once('\n').map_or("", |(_, rest)| rest);
        } else if let Some(comment) = rest.strip_prefix("/*") {
            rest = after_block(comment);
        } else {
            return rest;
        }
        rest = rest.trim_start();
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

/// The keys and values of a map, in order.
struct Braces;

impl<'de> DeserializeSeed<'de> for Braces {
    type Value = Vec<(&'de RawValue, &'de RawValue)>;

    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<Self::Value, D::Error> {
        reader.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for Braces {
    type Value = Vec<(&'de RawValue, &'de RawValue)>;

    fn expecting(&self, formatter: &mut fmt::Formatter) -> fmt::Result {
        formatter.write_str("a map")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut entries = Vec::new();
        while let Some(entry) = map.next_entry()? {
            entries.push(entry);
        }
        Ok(entries)
    }
}

/// What stands in parentheses.
struct Parentheses;

enum Inside<'t> {
    Items(Vec<&'t str>),
    Fields(Vec<(&'t str, &'t str)>),
}

impl<'de> DeserializeSeed<'de> for Parentheses {
    type Value = Inside<'de>;

    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<Self::Value, D::Error> {
        reader.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Parentheses {
    type Value = Inside<'de>;

    fn expecting(&self, formatter: &mut fmt::Formatter) -> fmt::Result {
        formatter.write_str("values or fields in parentheses")
    }

    fn visit_unit<E>(self) -> Result<Self::Value, E> {
        Ok(Inside::Items(Vec::new()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Self::Value, A::Error> {
        let mut raws = Vec::new();
        while let Some(raw) = items.next_element::<&RawValue>()? {
            raws.push(raw.get_ron());
        }
        Ok(Inside::Items(raws))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut fields = Vec::new();
        while let Some((field, raw)) = map.next_entry::<&str, &RawValue>()? {
            fields.push((field, raw.get_ron()));
        }
        Ok(Inside::Fields(fields))
    }
}
