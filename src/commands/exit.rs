//! How a run ended, as a number for the shell.

use std::process::ExitCode;

/// How a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Exit {
    /// As asked for.
    Done = 0,
    /// An answer, but not proved the lightest.
    FeasibleOnly = 1,
    /// The design, a file or the command line is wrong.
    BadInput = 2,
    /// No answer exists.
    NoBalance = 3,
    /// Stopped before any answer was found.
    NothingFound = 4,
    /// A mistake of this tool.
    InternalFault = 5,
}

impl Exit {
    /// Every way to end, with its meaning.
    pub const ALL: [(Exit, &'static str); 6] = [
        (Exit::Done, "done: every plan that was asked for is proved"),
        (
            Exit::FeasibleOnly,
            "stopped early: the best found, not all of it proved",
        ),
        (
            Exit::BadInput,
            "bad input: the design, a file or the command line is wrong",
        ),
        (
            Exit::NoBalance,
            "no balance: nothing that the design allows keeps the loop going",
        ),
        (
            Exit::NothingFound,
            "stopped early with nothing found, so not known to be possible or not",
        ),
        (Exit::InternalFault, "internal fault: please report it"),
    ];

    /// The table of exit codes for `--help`.
    pub fn table() -> String {
        let lines = Self::ALL.map(|(exit, meaning)| format!("  {}  {meaning}\n", exit as u8));
        format!("Exit codes:\n{}", lines.concat())
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        ExitCode::from(exit as u8)
    }
}

#[cfg(test)]
mod tests {
    use super::Exit;

    #[test]
    fn codes_are_counted_from_zero_and_each_is_explained() {
        for (index, (exit, meaning)) in Exit::ALL.into_iter().enumerate() {
            assert_eq!(exit as usize, index);
            assert!(!meaning.is_empty());
        }
    }
}
