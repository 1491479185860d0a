//! Why a command could not do its work.

use std::io;
use std::path::Path;

use crate::Refusal;
use crate::diagnostic::{Diagnostic, codes};

use super::exit::Exit;

/// Why a command could not do its work, and how the run ends.
#[derive(Debug)]
pub(super) struct Failure {
    /// How the run ends.
    pub exit: Exit,
    /// What to tell the user; never empty.
    pub diagnostics: Vec<Diagnostic>,
}

impl Failure {
    /// The design or the command line is wrong.
    pub fn bad_input(diagnostics: Vec<Diagnostic>) -> Self {
        Failure {
            exit: Exit::BadInput,
            diagnostics,
        }
    }

    /// A design that could not be planned.
    pub fn of(refusal: Refusal) -> Self {
        match refusal {
            Refusal::Design(diagnostics) => Failure::bad_input(diagnostics),
            Refusal::Failure(failure) => Failure::internal(failure),
        }
    }

    /// A file that cannot be read.
    pub fn unreadable(path: &Path, error: &io::Error) -> Self {
        let words = format!("cannot read {}: {error}", path.display());
        Failure::bad_input(vec![
            Diagnostic::error(codes::UNREADABLE_FILE, words)
                .help("name a design file, or - for standard input"),
        ])
    }

    /// A file that cannot be written.
    pub fn unwritable(path: &Path, error: &io::Error) -> Self {
        let (words, help) = match error.kind() {
            io::ErrorKind::AlreadyExists => (
                format!("{} is there already", path.display()),
                "nothing was written; choose another name, or move the file away",
            ),
            _ => (
                format!("cannot write {}: {error}", path.display()),
                "nothing was written; choose a file in a directory that you may write to",
            ),
        };
        Failure::bad_input(vec![
            Diagnostic::error(codes::UNWRITABLE_FILE, words).help(help),
        ])
    }

    /// A mistake of this tool.
    pub fn internal(words: impl std::fmt::Display) -> Self {
        let words = format!("internal fault: {words}");
        Failure {
            exit: Exit::InternalFault,
            diagnostics: vec![
                Diagnostic::error(codes::INTERNAL_FAULT, words)
                    .help("this is a mistake of the tool, not of the design; please report it"),
            ],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_internal_fault_says_whose_mistake_it_is() {
        let failure = Failure::internal("the audit found 1 kg too much");
        assert_eq!(failure.exit, Exit::InternalFault);
        let [told] = &failure.diagnostics[..] else {
            unreachable!("one complaint");
        };
        assert_eq!(told.code, codes::INTERNAL_FAULT);
        assert!(told.headline.contains("1 kg too much"));
        assert!(
            told.help
                .as_ref()
                .is_some_and(|help| help.contains("please report it"))
        );
    }
}
