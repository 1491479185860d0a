use crate::diagnostic::Place;
use std::fmt;
use std::hash::{Hash, Hasher};

/// One value of the text, with its place.
#[derive(Clone, PartialEq, Debug)]
pub struct Value {
    /// Where it stands; for a text with its quotes.
    pub place: Place,
    /// What stands there.
    pub shape: Shape,
}

/// What a value is, before anyone asks what it should be.
#[derive(Clone, PartialEq, Debug)]
pub enum Shape {
    /// `"62 kg"`, without its quotes and escapes.
    Text(String),
    /// A number as written.
    Number(String),
    /// `true`, `None`, `Overboard`.
    Word(String),
    /// `[...]`.
    List(Vec<Value>),
    /// `{...}`, in order, duplicates kept.
    Map(Vec<(Value, Value)>),
    /// `Unit(mass: "62 kg")`, in order, duplicates kept.
    Record {
        /// The word before the parentheses.
        name: Option<Named>,
        /// The fields.
        fields: Vec<(Named, Value)>,
    },
    /// `UpTo(2)`, `()`.
    Tuple {
        /// The word before the parentheses.
        name: Option<Named>,
        /// The values between them.
        items: Vec<Value>,
    },
}

/// A name with its place. Two names are equal if their texts are.
#[derive(Clone, Debug)]
pub struct Named {
    /// The name.
    pub text: String,
    /// Where it was written.
    pub place: Place,
}

impl Named {
    /// A name and its place.
    pub fn new(text: impl Into<String>, place: Place) -> Self {
        Self {
            text: text.into(),
            place,
        }
    }

    /// The name.
    pub fn as_str(&self) -> &str {
        &self.text
    }
}

impl PartialEq for Named {
    fn eq(&self, other: &Self) -> bool {
        self.text == other.text
    }
}

impl Eq for Named {}

impl PartialEq<str> for Named {
    fn eq(&self, other: &str) -> bool {
        self.text == other
    }
}

impl PartialEq<&str> for Named {
    fn eq(&self, other: &&str) -> bool {
        self.text == *other
    }
}

impl Hash for Named {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.text.hash(state);
    }
}

impl PartialOrd for Named {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Named {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.text.cmp(&other.text)
    }
}

impl std::borrow::Borrow<str> for Named {
    fn borrow(&self) -> &str {
        &self.text
    }
}

impl AsRef<str> for Named {
    fn as_ref(&self) -> &str {
        &self.text
    }
}

impl fmt::Display for Named {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(&self.text)
    }
}

impl Value {
    /// What it is, as a message calls it: `the number 62`, `a list`.
    pub fn described(&self) -> String {
        match &self.shape {
            Shape::Text(text) => format!("the text \"{}\"", shortened(text)),
            Shape::Number(number) => format!("the number {}", shortened(number)),
            Shape::Word(word) => format!("the word {}", shortened(word)),
            Shape::List(_) => "a list in square brackets".into(),
            Shape::Map(_) => "a map in braces".into(),
            Shape::Record {
                name: Some(name), ..
            } => format!("{}(...)", shortened(&name.text)),
            Shape::Tuple {
                name: Some(name),
                items,
            } => {
                let inside = if items.is_empty() { "" } else { "..." };
                format!("{}({inside})", shortened(&name.text))
            }
            Shape::Record { name: None, .. } => "fields in parentheses".into(),
            Shape::Tuple { name: None, items } if items.is_empty() => {
                "an empty pair of parentheses".into()
            }
            Shape::Tuple { name: None, .. } => "values in parentheses".into(),
        }
    }

    /// The word before the parentheses, or the word itself.
    pub fn word(&self) -> Option<&str> {
        match &self.shape {
            Shape::Word(word) => Some(word),
            Shape::Record {
                name: Some(name), ..
            }
            | Shape::Tuple {
                name: Some(name), ..
            } => Some(&name.text),
            _ => None,
        }
    }

    /// The text, if it is one.
    pub fn text(&self) -> Option<&str> {
        match &self.shape {
            Shape::Text(text) => Some(text),
            _ => None,
        }
    }

    /// A field of a record by name; the first if it is given twice.
    pub fn field(&self, wanted: &str) -> Option<&Value> {
        match &self.shape {
            Shape::Record { fields, .. } => fields
                .iter()
                .find(|(name, _)| name.text == wanted)
                .map(|(_, value)| value),
            _ => None,
        }
    }
}

/// At most forty characters, so that a message stays one line.
fn shortened(text: &str) -> String {
    const LONGEST: usize = 40;
    let line = text.lines().next().unwrap_or("");
    if line.chars().count() <= LONGEST && line.len() == text.len() {
        return text.to_string();
    }
    let mut short: String = line.chars().take(LONGEST).collect();
    short.push('…');
    short
}
