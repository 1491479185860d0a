//! What is wrong, where, and what to do next: a diagnostic is data, and the
//! renderers stand apart from it.

mod nearest;
mod pages;
mod render;
mod sources;

pub mod codes;

pub use nearest::nearest;
pub use pages::{Example, Page};
pub use render::{render_json, render_text};
pub use sources::{Place, SourceId, Sources};

use std::fmt;

/// A stable name for one sort of mistake, such as `LW0101`; all of them are
/// declared in [`codes`].
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Code(pub &'static str);

impl fmt::Display for Code {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.0)
    }
}

/// How bad it is: an error stops the run, a warning does not.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Severity {
    /// No answer can be given.
    Error,
    /// An answer is given, but the reader should look at this.
    Warning,
}

impl Severity {
    /// `error` or `warning`.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
        }
    }
}

/// One complaint: a headline that stands alone, the places it is about, and
/// the next act.
#[derive(Clone, PartialEq, Debug)]
pub struct Diagnostic {
    /// Its stable code.
    pub code: Code,
    /// Whether it stops the run.
    pub severity: Severity,
    /// One sentence that can be understood without the rest.
    pub headline: String,
    /// The place it is about, and a label for that place.
    pub primary: Option<(Place, String)>,
    /// Other places that matter, each with its label.
    pub further: Vec<(Place, String)>,
    /// What to do next.
    pub help: Option<String>,
}

impl Diagnostic {
    /// An error with a headline and nothing else yet.
    pub fn error(code: Code, headline: impl Into<String>) -> Self {
        Self::new(code, Severity::Error, headline.into())
    }

    /// A warning with a headline and nothing else yet.
    pub fn warning(code: Code, headline: impl Into<String>) -> Self {
        Self::new(code, Severity::Warning, headline.into())
    }

    fn new(code: Code, severity: Severity, headline: String) -> Self {
        Self {
            code,
            severity,
            headline,
            primary: None,
            further: Vec::new(),
            help: None,
        }
    }

    /// Says where; the label may be empty.
    #[must_use]
    pub fn at(mut self, place: Place, label: impl Into<String>) -> Self {
        self.primary = Some((place, label.into()));
        self
    }

    /// Adds a further place.
    #[must_use]
    pub fn also(mut self, place: Place, label: impl Into<String>) -> Self {
        self.further.push((place, label.into()));
        self
    }

    /// Says what to do next.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Whether it stops the run.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}
