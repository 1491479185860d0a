use super::{Form, Named, Reading, Shape, Sort, Value};
use crate::diagnostic::codes;

/// A type that can be read from a value of the text.
pub trait Read: Sized {
    /// The typed value; `None` if it complained, in which case at least one
    /// error was added to `reading`.
    fn read(value: &Value, reading: &mut Reading) -> Option<Self>;

    /// How it is written.
    fn form() -> Form;

    /// What it is if the field is left out; `None` if it must be stated.
    fn absent() -> Option<Self> {
        None
    }

    /// The value as a file writes it, where that is short; used to show
    /// defaults in the reference.
    fn written(&self) -> Option<String> {
        None
    }
}

/// The text of a value, or a complaint.
fn text(value: &Value, reading: &mut Reading, wanted: &Form) -> Option<String> {
    match &value.shape {
        Shape::Text(text) => Some(text.clone()),
        Shape::Word(word) if word == "None" => {
            reading.mistyped(value, wanted);
            None
        }
        Shape::Word(text) | Shape::Number(text) if reading.unquoted_allowed(value.place) => {
            Some(text.clone())
        }
        Shape::Word(text) => {
            let complaint = reading
                .error(
                    codes::QUOTES,
                    value.place,
                    &format!("expected {wanted}, found the word {text} without quotes"),
                )
                .help(format!("write it in quotes: \"{text}\""));
            reading.complain(complaint);
            None
        }
        _ => {
            reading.mistyped(value, wanted);
            None
        }
    }
}

impl Read for String {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        text(value, reading, &Self::form())
    }

    fn form() -> Form {
        Form::new("a text", "\"words\"").of(Sort::Text)
    }

    fn written(&self) -> Option<String> {
        Some(format!("{self:?}"))
    }
}

impl Read for Named {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        let form = Self::form();
        let text = text(value, reading, &form)?;
        if text.trim().is_empty() {
            let complaint = reading
                .error(
                    codes::MISTYPED,
                    value.place,
                    &format!("expected {form}, found an empty one"),
                )
                .help("write the name between the quotes, or take out what has none");
            reading.complain(complaint);
            return None;
        }
        Some(Named::new(text, value.place))
    }

    fn form() -> Form {
        Form::new("a name", "\"water tank\"").of(Sort::Text)
    }

    fn written(&self) -> Option<String> {
        Some(format!("{:?}", self.text))
    }
}

impl Read for bool {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        match &value.shape {
            Shape::Word(word) if word == "true" => Some(true),
            Shape::Word(word) if word == "false" => Some(false),
            _ => {
                reading.mistyped(value, &Self::form());
                None
            }
        }
    }

    fn form() -> Form {
        Form::new("true or false", "true or false")
    }

    fn written(&self) -> Option<String> {
        Some(self.to_string())
    }
}

impl<T: Read> Read for Option<T> {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        match &value.shape {
            Shape::Word(word) if word == "None" => Some(None),
            _ => T::read(value, reading).map(Some),
        }
    }

    fn form() -> Form {
        let inner = T::form();
        Form::new(inner.words.clone(), inner.example.clone()).of(Sort::Optional(Box::new(inner)))
    }

    fn absent() -> Option<Self> {
        Some(None)
    }

    fn written(&self) -> Option<String> {
        match self {
            None => Some("None".into()),
            Some(inner) => inner.written(),
        }
    }
}

impl<T: Read> Read for Box<T> {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        T::read(value, reading).map(Box::new)
    }

    fn form() -> Form {
        T::form()
    }

    fn absent() -> Option<Self> {
        T::absent().map(Box::new)
    }

    fn written(&self) -> Option<String> {
        (**self).written()
    }
}
