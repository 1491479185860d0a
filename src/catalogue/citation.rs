//! Where a published figure comes from, and how it was come by.

use serde::Deserialize;
use std::fmt;

/// How a figure was come by.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Deserialize)]
pub enum Mark {
    /// Read in a transcription or summary that names the document.
    SecondHand,
    /// Recalled, not looked up: a placeholder until someone has checked it.
    Memory,
}

/// A document, and how its figure was come by.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Citation {
    /// Document, edition, table or page.
    pub document: String,
    /// How the figure was come by.
    pub mark: Mark,
}

impl fmt::Display for Citation {
    /// "after DOCUMENT, second-hand" or "DOCUMENT, from memory".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.mark {
            Mark::SecondHand => write!(f, "after {}, second-hand", self.document),
            Mark::Memory => write!(f, "{}, from memory", self.document),
        }
    }
}
