//! `--watch`: the same command again whenever one of its files is saved.

use std::fs;
use std::io::{self, IsTerminal};
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

use super::exit::Exit;
use super::interrupt;
use super::output::{self, Colour};

/// How often files are looked at.
const LOOK: Duration = Duration::from_millis(80);
/// For so many looks a change must stay as it is: whoever writes the file is then done.
const SETTLED: u32 = 1;
/// Editors that replace a file take it away, or empty it, for a moment. Only after so
/// many looks is it gone.
const GONE: u32 = 8;

/// Begins a picture of the whole terminal, which is to be shown at once (a terminal that
/// does not know synchronised output leaves it out), on a cleared screen.
const REDRAW: &str = "\x1b[?2026h\x1b[H\x1b[2J\x1b[3J";
/// Ends it.
const DRAWN: &str = "\x1b[?2026l";

/// What one run has to say.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Said {
    /// For standard output.
    pub output: String,
    /// For standard error.
    pub complaints: String,
    /// How it ended, in a sentence.
    pub ended: String,
    /// The files that it read, with their texts; none for one that it could not read.
    pub files: Vec<(PathBuf, Option<String>)>,
}

/// Runs a command, and runs it again whenever its files hold something else than it has
/// read, until Ctrl-C.
pub(super) fn watch(colour: Colour, mut once: impl FnMut() -> Said) -> Exit {
    let stop = interrupt::flag();
    loop {
        let said = once();
        show(&said, colour);
        if !changed(&said.files, stop) {
            return Exit::Done;
        }
    }
}

/// On a terminal one picture in place of the one before; elsewhere one after the other.
fn show(said: &Said, colour: Colour) {
    let names = said
        .files
        .iter()
        .map(|(path, _)| path.display().to_string());
    let names: Vec<String> = names.collect();
    let watching = format!("Watching {}; Ctrl-C ends.\n", names.join(", "));
    let here = [io::stdout().is_terminal(), io::stderr().is_terminal()];
    let complaints = match here {
        [true, true] => format!("{}{}", gap(&said.output), said.complaints),
        _ => String::new(),
    };
    if here[0] {
        let text = format!("{}{complaints}\n{}\n{watching}", said.output, said.ended);
        // The reader of a terminal that has gone away takes the command with it.
        let _ = output::print_at_once(REDRAW, &text, DRAWN, colour);
    } else {
        let _ = output::print(&said.output, colour);
    }
    if complaints.is_empty() {
        output::complain(&said.complaints, colour);
    }
    if here == [false, true] {
        output::complain(&format!("{}\n{watching}", said.ended), colour);
    }
}

fn gap(output: &str) -> &'static str {
    if output.is_empty() { "" } else { "\n" }
}

/// Waits until a file holds something else than what was read, and whoever writes it is
/// done; not if it is to stop.
fn changed(read: &[(PathBuf, Option<String>)], stop: &AtomicBool) -> bool {
    let known: Vec<&Option<String>> = read.iter().map(|(_, text)| text).collect();
    let mut before: Vec<Option<String>> = Vec::new();
    let mut looks = 0;
    loop {
        if stop.load(Ordering::Relaxed) {
            return false;
        }
        thread::sleep(LOOK);
        let texts = read.iter().map(|(path, _)| fs::read_to_string(path).ok());
        let now: Vec<Option<String>> = texts.collect();
        if now.iter().eq(known.iter().copied()) {
            before.clear();
            continue;
        }
        looks = if now == before { looks + 1 } else { 0 };
        let gone = |text: &Option<String>| text.as_deref().is_none_or(str::is_empty);
        let enough = if now.iter().any(gone) { GONE } else { SETTLED };
        if looks >= enough {
            return true;
        }
        before = now;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_replaced_is_a_change_and_one_saved_as_it_was_is_none() {
        let directory = tempfile::tempdir().unwrap();
        let path = directory.path().join("design.ron");
        fs::write(&path, "one").unwrap();
        let read = [(path.clone(), Some("one".to_owned()))];
        let stop = AtomicBool::new(false);
        thread::scope(|scope| {
            let waits = scope.spawn(|| changed(&read, &stop));
            // Saved as it was, then taken away for a moment, as editors do.
            fs::write(&path, "one").unwrap();
            thread::sleep(3 * LOOK);
            fs::remove_file(&path).unwrap();
            thread::sleep(3 * LOOK);
            assert!(!waits.is_finished());
            fs::write(&path, "two").unwrap();
            assert!(waits.join().unwrap());
        });
        stop.store(true, Ordering::Relaxed);
        assert!(!changed(&read, &stop));
    }
}
