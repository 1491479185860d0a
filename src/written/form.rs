use super::{Shape, Value};
use crate::quantity::Dimension;
use std::fmt;

/// How a value is written: words and an example for messages, and enough
/// structure for the generated reference.
#[derive(Clone, Debug)]
pub struct Form {
    /// What it is, with an article: `a mass`.
    pub words: String,
    /// An example as the file writes it: `"62 kg"`.
    pub example: String,
    /// Its structure.
    pub sort: Sort,
}

/// The structure of a form.
#[derive(Clone, Debug)]
pub enum Sort {
    /// Nothing to say beyond words and example.
    Plain,
    /// A text in quotes.
    Text,
    /// A quantity in quotes or a bare number.
    Number(Dimension),
    /// One of two quantities that their units tell apart.
    Either(Box<Form>, Box<Form>),
    /// A list of one form.
    List(Box<Form>),
    /// A map from one form to another.
    Map(Box<Form>, Box<Form>),
    /// May be left out, or be `None`.
    Optional(Box<Form>),
    /// A record.
    Record {
        /// The word before its parentheses.
        word: &'static str,
        /// What it is.
        doc: &'static str,
        /// Its fields.
        fields: &'static [FieldForm],
    },
    /// One of several.
    Choice {
        /// The name of the choice.
        name: &'static str,
        /// What it is.
        doc: &'static str,
        /// The several.
        variants: &'static [VariantForm],
    },
}

/// One field of a record.
#[derive(Clone, Copy, Debug)]
pub struct FieldForm {
    /// Its name.
    pub name: &'static str,
    /// Its form.
    pub form: fn() -> Form,
    /// What holds if it is left out.
    pub default: fn() -> IfAbsent,
    /// What it means.
    pub doc: &'static str,
}

/// What holds if a field is left out.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum IfAbsent {
    /// It may not be left out.
    Required,
    /// Nothing holds in its place.
    Nothing,
    /// This value, as the file would write it; empty if that is not known.
    Is(String),
}

/// One of several choices.
#[derive(Clone, Copy, Debug)]
pub struct VariantForm {
    /// Its word.
    pub name: &'static str,
    /// What stands in its parentheses.
    pub payload: Payload,
    /// What it means.
    pub doc: &'static str,
}

/// What stands in the parentheses of a choice.
#[derive(Clone, Copy, Debug)]
pub enum Payload {
    /// Nothing, and no parentheses.
    Nothing,
    /// Values in order.
    Items(&'static [fn() -> Form]),
    /// Named fields.
    Fields(&'static [FieldForm]),
}

impl Form {
    /// A form with words (`a mass`) and an example as the file writes it.
    pub fn new(words: impl Into<String>, example: impl Into<String>) -> Self {
        Self {
            words: words.into(),
            example: example.into(),
            sort: Sort::Plain,
        }
    }

    /// The same with its structure.
    #[must_use]
    pub fn of(mut self, sort: Sort) -> Self {
        self.sort = sort;
        self
    }

    /// The form of a quantity or a bare number.
    pub fn quantity(dimension: Dimension) -> Self {
        let example = dimension.example();
        let example = if dimension.is_bare() {
            example.to_string()
        } else {
            format!("\"{example}\"")
        };
        Self::new(dimension.words(), example).of(Sort::Number(dimension))
    }

    /// The form of a record.
    pub fn record(word: &'static str, doc: &'static str, fields: &'static [FieldForm]) -> Self {
        let written = if fields.is_empty() {
            format!("{word}()")
        } else {
            format!("{word}(...)")
        };
        Self::new(written.clone(), written).of(Sort::Record { word, doc, fields })
    }

    /// The form of a choice; its words come from the type's name.
    pub fn choice(name: &'static str, doc: &'static str, variants: &'static [VariantForm]) -> Self {
        let example = variants
            .first()
            .map(VariantForm::example)
            .unwrap_or_default();
        Self::new(with_article(&in_words(name)), example).of(Sort::Choice {
            name,
            doc,
            variants,
        })
    }

    /// The form below "may be left out".
    pub fn required(&self) -> &Form {
        match &self.sort {
            Sort::Optional(inner) => inner.required(),
            _ => self,
        }
    }

    /// What to do about a value of another form, where that is known.
    pub(super) fn help_for(&self, found: &Value) -> Option<String> {
        let wanted = self.required();
        match (&wanted.sort, &found.shape) {
            (Sort::Text, Shape::List(items)) => match items.as_slice() {
                [only] => Some(format!("write it without brackets: \"{}\"", only.text()?)),
                _ => Some("one name stands here, without brackets".to_owned()),
            },
            (Sort::Text, Shape::Word(word) | Shape::Number(word)) => {
                Some(format!("write it in quotes: \"{word}\""))
            }
            (Sort::Record { word, .. }, Shape::Map(_)) => {
                Some(format!("write fields in parentheses: {word}(field: value)"))
            }
            (Sort::Record { word, .. }, Shape::Tuple { .. }) => Some(format!(
                "write each value with its field: {word}(field: value)"
            )),
            (Sort::Record { word, .. }, Shape::Word(found)) if found == word => {
                Some(format!("write its parentheses: {}", wanted.example))
            }
            (Sort::Map(..), Shape::Record { .. } | Shape::Tuple { .. } | Shape::List(_)) => {
                Some(format!("write it in braces: {}", wanted.example))
            }
            (Sort::List(_), Shape::Map(_) | Shape::Tuple { .. }) => {
                Some(format!("write it in square brackets: {}", wanted.example))
            }
            (Sort::List(_), _) => Some(format!(
                "write it in square brackets, even if it is one: {}",
                wanted.example
            )),
            (Sort::Choice { variants, .. }, _) => {
                let all: Vec<String> = variants.iter().map(VariantForm::example).collect();
                Some(format!("write one of: {}", all.join(", ")))
            }
            _ => None,
        }
    }
}

impl fmt::Display for Form {
    /// `a mass such as "62 kg"`.
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.words == self.example || self.example.is_empty() {
            formatter.write_str(&self.words)
        } else {
            write!(formatter, "{} such as {}", self.words, self.example)
        }
    }
}

impl VariantForm {
    /// An example as the file writes it: `UpTo(2)`.
    pub fn example(&self) -> String {
        let name = self.name;
        match self.payload {
            Payload::Nothing => name.to_string(),
            Payload::Items([only]) => {
                let form = only();
                match form.sort {
                    Sort::Record { word, .. } if word == name => form.example,
                    _ => format!("{name}({})", form.example),
                }
            }
            Payload::Items(items) => {
                let mut items: Vec<String> = items.iter().map(|form| form().example).collect();
                // Two whole numbers are a range: Between(1, 2).
                if items.iter().all(|item| item.parse::<u32>().is_ok()) {
                    items = (1..=items.len()).map(|number| number.to_string()).collect();
                }
                format!("{name}({})", items.join(", "))
            }
            Payload::Fields(fields) => {
                let fields: Vec<String> = fields
                    .iter()
                    .filter(|field| (field.default)() == IfAbsent::Required)
                    .map(|field| format!("{}: {}", field.name, (field.form)().example))
                    .collect();
                if fields.is_empty() {
                    format!("{name}()")
                } else {
                    format!("{name}({})", fields.join(", "))
                }
            }
        }
    }
}

/// `WholeSystem` becomes `whole system`.
fn in_words(name: &str) -> String {
    let mut words = String::new();
    for (index, letter) in name.chars().enumerate() {
        if letter.is_uppercase() && index > 0 {
            words.push(' ');
        }
        words.extend(letter.to_lowercase());
    }
    words
}

fn with_article(words: &str) -> String {
    let vowel = words.starts_with(['a', 'e', 'i', 'o']);
    format!("{} {words}", if vowel { "an" } else { "a" })
}
