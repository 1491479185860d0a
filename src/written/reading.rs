use super::{Form, Spread, Value};
use crate::diagnostic::{Code, Diagnostic, Place, codes, nearest};
use crate::quantity::Dimension;

/// A number of the text: where, what and how much.
#[derive(Clone, PartialEq, Debug)]
pub struct NumberAt {
    /// Its address, such as `nodes.urine still.unit.mass`.
    pub address: String,
    /// Where it stands.
    pub place: Place,
    /// What it measures.
    pub dimension: Dimension,
    /// Its value in the canonical unit.
    pub value: f64,
}

/// What `Figure(...)` says about a number.
#[derive(Clone, PartialEq, Debug)]
pub struct FigureNote {
    /// The address of the number.
    pub address: String,
    /// Where the `Figure(...)` stands.
    pub place: Place,
    /// Where the number comes from.
    pub source: Option<String>,
    /// How sure it is.
    pub spread: Option<Spread>,
}

/// What gathers while a tree is read: complaints, the address of the value
/// being read, and every number met.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// All complaints so far.
    pub diagnostics: Vec<Diagnostic>,
    /// Sources and spreads, in the order met.
    pub figures: Vec<FigureNote>,
    /// Every quantity, fraction and whole number, in the order met.
    pub numbers: Vec<NumberAt>,
    path: String,
    unquoted: Vec<Place>,
}

impl Reading {
    /// Nothing read yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Lets the values at this place leave out the quotes around a text, as a
    /// `--set` on the command line or a variant may.
    pub fn allow_unquoted(&mut self, place: Place) {
        self.unquoted.push(place);
    }

    /// Whether a value here may leave out its quotes.
    pub fn unquoted_allowed(&self, place: Place) -> bool {
        self.unquoted.iter().any(|allowed| {
            allowed.source == place.source
                && allowed.start <= place.start
                && place.end <= allowed.end
        })
    }

    /// The address of the value being read; empty for the whole.
    pub fn address(&self) -> &str {
        &self.path
    }

    /// Reads something one step further down: a field, a key or an item.
    pub fn inside<T>(&mut self, step: &str, read: impl FnOnce(&mut Self) -> T) -> T {
        let length = self.path.len();
        if length > 0 {
            self.path.push('.');
        }
        self.path.push_str(step);
        let result = read(self);
        self.path.truncate(length);
        result
    }

    /// Adds a complaint.
    pub fn complain(&mut self, diagnostic: Diagnostic) {
        self.diagnostics.push(diagnostic);
    }

    /// An error about the value being read; its headline begins with the
    /// address. Give it to [`Reading::complain`] when it is complete.
    pub fn error(&self, code: Code, place: Place, message: &str) -> Diagnostic {
        let headline = if self.path.is_empty() {
            message.to_string()
        } else {
            format!("{}: {message}", self.path)
        };
        Diagnostic::error(code, headline).at(place, "")
    }

    /// Whether an error was met.
    pub fn has_errors(&self) -> bool {
        self.diagnostics.iter().any(Diagnostic::is_error)
    }

    /// Notes a number at the present address.
    pub fn note_number(&mut self, place: Place, dimension: Dimension, value: f64) {
        self.numbers.push(NumberAt {
            address: self.path.clone(),
            place,
            dimension,
            value,
        });
    }

    /// Complains that a value is not of the form that is wanted here.
    pub fn mistyped(&mut self, value: &Value, wanted: &Form) {
        let diagnostic = self.mistyped_diagnostic(value, wanted);
        self.complain(diagnostic);
    }

    fn mistyped_diagnostic(&self, value: &Value, wanted: &Form) -> Diagnostic {
        if let Some(some) = self.written_some(value) {
            return some;
        }
        let message = format!("expected {wanted}, found {}", value.described());
        let complaint = self.error(codes::MISTYPED, value.place, &message);
        if value.word() == Some("None") {
            return complaint.help("this one is not optional: state it");
        }
        match wanted.help_for(value) {
            Some(help) => complaint.help(help),
            None => {
                let form = wanted.required();
                let such = if form.words == form.example {
                    ""
                } else {
                    "it such as "
                };
                complaint.help(format!("write {such}{}", form.example))
            }
        }
    }

    /// The complaint about `Some(...)`, if that is what was written.
    pub(super) fn written_some(&self, value: &Value) -> Option<Diagnostic> {
        (value.word() == Some("Some")).then(|| {
            self.error(
                codes::WRITTEN_SOME,
                value.place,
                "Some(...) is not written out in a design file",
            )
            .help("write the value alone, without Some( )")
        })
    }

    /// "did you mean ...?", or the list of what there is.
    pub(super) fn suggestion<'a>(
        wanted: &str,
        among: impl IntoIterator<Item = &'a str> + Clone,
        list: &str,
    ) -> String {
        match nearest(wanted, among.clone()) {
            Some(near) => format!("did you mean {near}?"),
            None => {
                let all: Vec<&str> = among.into_iter().collect();
                format!("{list}: {}", all.join(", "))
            }
        }
    }
}
