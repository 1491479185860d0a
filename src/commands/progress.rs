//! Signs of life on a terminal while something takes long.

use std::io::{self, IsTerminal};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::thread;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};

/// Work shorter than this is done without a word.
const PATIENCE: Duration = Duration::from_millis(1500);

/// On a terminal, says what comes now.
pub(super) fn told(what: &str) {
    if io::stderr().is_terminal() {
        eprintln!("{what}");
    }
}

/// Does some work; on a terminal, says so with the time it has taken if it
/// takes long.
pub(super) fn with_progress<T>(what: &'static str, work: impl FnOnce() -> T) -> T {
    if !io::stderr().is_terminal() {
        return work();
    }
    let (done, waits) = mpsc::channel::<()>();
    thread::scope(|scope| {
        scope.spawn(move || {
            if waits.recv_timeout(PATIENCE) != Err(RecvTimeoutError::Timeout) {
                return;
            }
            let bar = ProgressBar::new_spinner().with_elapsed(PATIENCE);
            if let Ok(style) = ProgressStyle::with_template("{spinner} {msg} {elapsed}") {
                bar.set_style(style);
            }
            bar.set_message(what);
            bar.enable_steady_tick(Duration::from_millis(120));
            // Ends when the sender is dropped.
            let _ = waits.recv();
            bar.finish_and_clear();
        });
        let result = work();
        drop(done);
        result
    })
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_work_is_done_once_and_its_result_handed_back() {
        let mut times = 0;
        let result = super::with_progress("counting", || {
            times += 1;
            "done"
        });
        assert_eq!((result, times), ("done", 1));
    }
}
