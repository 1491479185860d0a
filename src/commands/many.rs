//! What commands share that ask for many plans: threads, files of finished cells,
//! shares of several machines.

use std::io::{self, IsTerminal};
use std::path::PathBuf;

use clap::Args;
use indicatif::{ProgressBar, ProgressStyle};

use crate::design::Design;
use crate::diagnostic::{Diagnostic, codes};
use crate::solve::Options;
use crate::study::cell::Cell;
use crate::study::kept::{Identity, Kept};
use crate::study::many::{Effort, Shard, Trouble};

use super::exit::Exit;
use super::failure::Failure;

/// How many plans are found.
#[derive(Clone, Debug, Default, Args)]
pub(super) struct Many {
    /// Threads at most; left out, as many as there are cores
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(1..))]
    threads: Option<u16>,
    /// Keep every finished cell in this file, and go on from those that it has
    #[arg(long, value_name = "FILE")]
    resume: Option<PathBuf>,
    /// Solve only one share of the cells, such as 3/40, into the file of --resume
    #[arg(long, value_name = "SHARE", value_parser = shard, requires = "resume")]
    shard: Option<Shard>,
    /// Take every cell from these files, and solve none
    #[arg(long, value_name = "FILES", num_args = 1.., conflicts_with_all = ["resume", "shard"])]
    merge: Vec<PathBuf>,
}

impl Many {
    /// Runs a study of a design, with a bar on a terminal; `question` names the
    /// study fully.
    pub fn run<T>(
        &self,
        design: &Design,
        question: &str,
        options: &Options,
        study: impl FnOnce(&mut Effort<'_>) -> Result<T, Trouble>,
    ) -> Result<T, Failure> {
        let question = format!("{question} to {} by {:?}", options.gap, options.backend);
        let identity = Identity::new(&design.input_sha256, &question);
        let kept = match (&self.resume, self.merge.is_empty()) {
            (Some(file), _) => Some(Kept::resume(identity, file)),
            (None, false) => Some(Kept::merge(identity, &self.merge)),
            (None, true) => None,
        };
        let bar = bar();
        let progress = |done: usize, all: usize| {
            if let Some(bar) = &bar {
                bar.set_length(all as u64);
                bar.set_position(done as u64);
            }
        };
        let mut effort = Effort {
            options,
            threads: self.threads.map(usize::from),
            shard: self.shard.unwrap_or(Shard::WHOLE),
            kept,
            progress: &progress,
        };
        let found = study(&mut effort);
        if let Some(bar) = &bar {
            bar.finish_and_clear();
        }
        found.map_err(|trouble| trouble_of(&trouble))
    }

    /// Whether cells are to be kept, shared or put together.
    pub fn is_kept(&self) -> bool {
        self.resume.is_some() || !self.merge.is_empty()
    }

    /// What a share says for itself and how it ends: it has no page of its own.
    pub fn share(&self, cells: &[Cell]) -> Option<(String, Exit)> {
        let (shard, file) = (self.shard?, self.resume.as_ref()?);
        let own = shard.turns(cells.len()).flat_map(|turn| &cells[turn]);
        let (finished, open): (Vec<_>, Vec<_>) = own.partition(|cell| cell.is_certain());
        let words = format!(
            "share {} of {}: {} of its {} cells are in {}\n",
            shard.index,
            shard.count,
            finished.len(),
            finished.len() + open.len(),
            file.display()
        );
        let exit = match open.is_empty() {
            true => Exit::Done,
            false => Exit::FeasibleOnly,
        };
        Some((words, exit))
    }
}

fn trouble_of(trouble: &Trouble) -> Failure {
    let diagnostic = match trouble {
        Trouble::Foreign(words) => Diagnostic::error(codes::KEPT_CELLS, words.clone())
            .help("name the files of this very study, or begin a new one"),
        Trouble::Unreadable(words) => Diagnostic::error(
            codes::UNREADABLE_FILE,
            format!("cannot read kept cells: {words}"),
        )
        .help("name the files that the shares were kept in"),
        Trouble::Unwritable(words) => Diagnostic::error(
            codes::UNWRITABLE_FILE,
            format!("cells cannot be kept: {words}"),
        )
        .help("name a file in a folder that is there and may be written to"),
    };
    Failure::bad_input(vec![diagnostic])
}

/// A bar with the time that is left, on a terminal.
fn bar() -> Option<ProgressBar> {
    if !io::stderr().is_terminal() {
        return None;
    }
    let bar = ProgressBar::new(0);
    let style = ProgressStyle::with_template("{bar:30} {pos} of {len} solved, {eta} left");
    if let Ok(style) = style {
        bar.set_style(style);
    }
    Some(bar)
}

/// Reads "3/40".
fn shard(text: &str) -> Result<Shard, String> {
    let wanted = || "a share is such as 3/40: the third of forty".to_owned();
    let (index, count) = text.split_once('/').ok_or_else(wanted)?;
    let number = |text: &str| text.trim().parse::<usize>().map_err(|_| wanted());
    let shard = Shard {
        index: number(index)?,
        count: number(count)?,
    };
    match (1..=shard.count).contains(&shard.index) {
        true => Ok(shard),
        false => Err(wanted()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_are_numbered_from_one() {
        assert_eq!(
            shard("3/40"),
            Ok(Shard {
                index: 3,
                count: 40
            })
        );
        for bad in ["0/4", "5/4", "1", "a/b", "1/0", "-1/4"] {
            assert!(shard(bad).is_err(), "{bad}");
        }
    }
}
