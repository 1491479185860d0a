//! The kinds of node: one file each, with what a person writes, its
//! complaints and its duties. Row families never name a kind.
//!
//! A new kind is one file here and one word in the list below.

mod card;
mod context;
mod duty;
mod unit;

use std::fmt;
use std::sync::Arc;

use crate::diagnostic::{Diagnostic, codes, nearest};
use crate::quantity::Fraction;
use crate::written::{FieldForm, Form, Named, Read, Reading, Sort, Value};

pub use card::DutyCard;
pub use context::{Context, Phase};
pub use duty::{
    Activity, Cartridge, Count, Duties, FeedLimit, Hardware, Level, Packing, Portion, Reserve,
    Role, SparePart, Stock, Tank, Transfer, Way,
};
pub use unit::Unit;

/// Declares the kinds: a word for each file.
macro_rules! kinds {
    ($($module:ident)*) => {
        $(mod $module;)*

        /// Every kind of node, in the order of the reference.
        pub static KINDS: &[&KindEntry] = &[$(&$module::KIND),*];
    };
}

kinds! {
    crew
    consumer
    condenser
    processor
    electrolyser
    reactor
    recipe
    cabin
    junction
    store
    cargo
    disposal
}

/// What a person wrote about a node, and what follows from it.
pub trait Kind: fmt::Debug + Send + Sync {
    /// What the node does, or `None` after complaining.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties>;

    /// The published crew profile the node names, with the place of its name.
    fn crew_profile(&self) -> Option<&Named> {
        None
    }

    /// The share of the crew that the node stands for.
    fn crew_share(&self) -> Option<Fraction> {
        None
    }
}

/// A kind as the reference and the reader see it.
#[derive(Debug)]
pub struct KindEntry {
    /// The word a file uses.
    pub name: &'static str,
    /// What it is.
    pub doc: &'static str,
    /// What may be written.
    pub fields: &'static [FieldForm],
    /// Reads one.
    read: fn(&Value, &mut Reading) -> Option<Arc<dyn Kind>>,
}

impl KindEntry {
    /// The entry of a record that is a kind.
    const fn new(
        name: &'static str,
        doc: &'static str,
        fields: &'static [FieldForm],
        read: fn(&Value, &mut Reading) -> Option<Arc<dyn Kind>>,
    ) -> Self {
        KindEntry {
            name,
            doc,
            fields,
            read,
        }
    }
}

/// Gives a record its entry in the list of kinds.
macro_rules! kind {
    ($record:ident) => {
        /// How the reader and the reference find this kind.
        pub(super) static KIND: super::KindEntry = super::KindEntry::new(
            $record::WORD,
            $record::DOC,
            $record::fields(),
            |value, reading| {
                let read = <$record as crate::written::Read>::read(value, reading)?;
                Some(std::sync::Arc::new(read))
            },
        );
    };
}
use kind;

/// A node as it was written: any kind.
#[derive(Clone, Debug)]
pub struct WrittenNode {
    /// Its kind.
    pub entry: &'static KindEntry,
    /// What was written.
    pub kind: Arc<dyn Kind>,
}

impl PartialEq for WrittenNode {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self.entry, other.entry) && Arc::ptr_eq(&self.kind, &other.kind)
    }
}

impl Read for WrittenNode {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        let Some(word) = value.word() else {
            reading.mistyped(value, &Self::form());
            return None;
        };
        let Some(entry) = KINDS.iter().find(|entry| entry.name == word) else {
            let names = KINDS.iter().map(|entry| entry.name);
            let help = match nearest(word, names.clone()) {
                Some(near) => format!("did you mean {near}?"),
                None => format!("kinds: {}", names.collect::<Vec<_>>().join(", ")),
            };
            let complaint = reading
                .error(
                    codes::UNKNOWN_KIND,
                    value.place,
                    &format!("there is no kind of node called {word}"),
                )
                .help(help);
            reading.complain(complaint);
            return None;
        };
        let kind = (entry.read)(value, reading)?;
        Some(WrittenNode { entry, kind })
    }

    fn form() -> Form {
        Form::new("a node such as Junction()", "Junction()").of(Sort::Plain)
    }
}

/// Whole pieces (containers, tanks, cartridges) of less than a gram are a slip of the
/// keyboard, and would come in numbers beyond counting.
const LEAST_PIECE_KG: f64 = 1e-3;

/// More kilograms of packaging or tank per kilogram are a slip of the keyboard.
const MOST_TARE: f64 = 1000.0;

/// An error that a kind's own checks found twice is still one error.
pub(crate) fn without_repeats(diagnostics: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let mut kept: Vec<Diagnostic> = Vec::with_capacity(diagnostics.len());
    for diagnostic in diagnostics {
        if !kept.contains(&diagnostic) {
            kept.push(diagnostic);
        }
    }
    kept
}
