//! The reference of the format: everything a design file may hold, found by
//! walking from `Design` through its fields, each with an example.

use crate::diagnostic::{SourceId, Sources};
use crate::kinds::KINDS;
use crate::written::{
    FieldForm, Form, Payload, Read, Shape, Sort, Value, VariantForm, figure_form, parse,
};

use super::{Catalogue, Written};

/// The design that the examples are taken from, and its catalogue.
const EXAMPLES: [(&str, &str); 2] = [
    ("base.ron", include_str!("example/base.ron")),
    ("units.ron", include_str!("example/units.ron")),
];

/// Something that a design file may hold.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The word before its parentheses, or the name of a choice.
    pub name: &'static str,
    /// What it is.
    pub doc: String,
    /// Whether it is a kind of node.
    pub is_kind: bool,
    /// What is written in it.
    pub parts: Parts,
}

/// What is written in an entry.
#[derive(Clone, Copy, Debug)]
pub enum Parts {
    /// A record with named fields.
    Fields(&'static [FieldForm]),
    /// One of several.
    Choices(&'static [VariantForm]),
}

impl Entry {
    /// The entries that its fields or choices lead to, by name.
    pub fn leads_to(&self) -> Vec<&'static str> {
        let mut names = Vec::new();
        for form in self.parts.forms() {
            named(&form, &mut |name, _, _| {
                if !names.contains(&name) && name != self.name {
                    names.push(name);
                }
            });
        }
        names
    }

    /// An example of it, or of each of its choices, from a design that can be
    /// planned; nothing for a whole design, which is an example of its own.
    pub fn examples(&self) -> Vec<String> {
        match self.parts {
            Parts::Fields(_) if self.name == Written::WORD => Vec::new(),
            Parts::Fields(_) => example(self.name).into_iter().collect(),
            Parts::Choices(choices) => choices
                .iter()
                .filter_map(|choice| example(choice.name))
                .collect(),
        }
    }
}

impl Parts {
    /// The forms of all values in it.
    fn forms(self) -> Vec<Form> {
        let of_fields = |fields: &[FieldForm]| fields.iter().map(|field| (field.form)()).collect();
        match self {
            Parts::Fields(fields) => of_fields(fields),
            Parts::Choices(choices) => choices
                .iter()
                .flat_map(|choice| match choice.payload {
                    Payload::Nothing => Vec::new(),
                    Payload::Items(items) => items.iter().map(|form| form()).collect(),
                    Payload::Fields(fields) => of_fields(fields),
                })
                .collect(),
        }
    }
}

/// Everything that a design file may hold: the design, the kinds of node, and
/// what they lead to, each once.
pub fn reference() -> Vec<Entry> {
    let mut entries = Vec::new();
    collect(&Written::form(), &mut entries);
    for kind in KINDS {
        entries.push(Entry {
            name: kind.name,
            doc: one_line(kind.doc),
            is_kind: true,
            parts: Parts::Fields(kind.fields),
        });
        for field in kind.fields {
            collect(&(field.form)(), &mut entries);
        }
    }
    collect(&figure_form(), &mut entries);
    collect(&Catalogue::form(), &mut entries);
    entries
}

fn collect(form: &Form, entries: &mut Vec<Entry>) {
    let mut found = Vec::new();
    named(form, &mut |name, doc, parts| found.push((name, doc, parts)));
    for (name, doc, parts) in found {
        if entries.iter().any(|entry| entry.name == name) {
            continue;
        }
        entries.push(Entry {
            name,
            doc: one_line(doc),
            is_kind: false,
            parts,
        });
        for form in parts.forms() {
            collect(&form, entries);
        }
    }
}

/// The records and choices that a form names, inside lists and maps too.
fn named(form: &Form, visit: &mut impl FnMut(&'static str, &'static str, Parts)) {
    match &form.sort {
        Sort::Plain | Sort::Text | Sort::Number(_) => {}
        Sort::Either(first, second) | Sort::Map(first, second) => {
            named(first, visit);
            named(second, visit);
        }
        Sort::List(inner) | Sort::Optional(inner) => named(inner, visit),
        Sort::Record { word, doc, fields } => visit(word, doc, Parts::Fields(fields)),
        Sort::Choice {
            name,
            doc,
            variants,
        } => visit(name, doc, Parts::Choices(variants)),
    }
}

/// What is written about something, on one line.
pub fn one_line(doc: &str) -> String {
    doc.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A choice as the design of the examples writes it, such as `UpTo(2)`.
pub fn choice_example(choice: &VariantForm) -> String {
    let found = example(choice.name).unwrap_or_else(|| choice.example());
    match found.split_once(&format!(": {}", choice.name)) {
        Some((_, rest)) => format!("{}{rest}", choice.name),
        None => found,
    }
}

/// The first place of a word in the design of the examples, as it stands there,
/// with its name if it is an entry of a map.
fn example(word: &str) -> Option<String> {
    let mut sources = Sources::new();
    for (name, text) in EXAMPLES {
        let source: SourceId = sources.add(name, text);
        let tree = parse(source, text).ok()?;
        if let Some((start, end)) = find(&tree, word) {
            return Some(dedented(text, start, end));
        }
    }
    None
}

fn find(value: &Value, word: &str) -> Option<(usize, usize)> {
    if value.word() == Some(word) {
        return Some((value.place.start, value.place.end));
    }
    match &value.shape {
        Shape::Map(entries) => entries.iter().find_map(|(key, value)| {
            let found = find(value, word)?;
            let is_entry = value.word() == Some(word);
            Some(if is_entry {
                (key.place.start, found.1)
            } else {
                found
            })
        }),
        Shape::List(items) | Shape::Tuple { items, .. } => {
            items.iter().find_map(|item| find(item, word))
        }
        Shape::Record { fields, .. } => fields.iter().find_map(|(name, value)| {
            let found = find(value, word)?;
            let is_field = value.word() == Some(word);
            Some(if is_field {
                (name.place.start, found.1)
            } else {
                found
            })
        }),
        Shape::Text(_) | Shape::Number(_) | Shape::Word(_) => None,
    }
}

/// A piece of a text without the margin of its first line.
fn dedented(text: &str, start: usize, end: usize) -> String {
    let before = text.get(..start).unwrap_or("");
    let line = before.rsplit('\n').next().unwrap_or("");
    let margin = line.len() - line.trim_start_matches(' ').len();
    let piece = text.get(start..end).unwrap_or("");
    let lines = piece.lines().enumerate().map(|(index, line)| {
        let spaces = line.len() - line.trim_start_matches(' ').len();
        let cut = if index == 0 { 0 } else { margin.min(spaces) };
        line.get(cut..).unwrap_or("")
    });
    lines.collect::<Vec<_>>().join("\n")
}
