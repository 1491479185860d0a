//! Ctrl-C stops a search, which then gives the best it has found.

use std::process;
use std::sync::atomic::{AtomicBool, Ordering};

static STOP: AtomicBool = AtomicBool::new(false);

/// What a shell reports for a process ended by an interrupt.
const ENDED_BY_INTERRUPT: i32 = 130;

/// From now on the first Ctrl-C sets the flag that is handed back, and a
/// second one ends the process.
pub(super) fn flag() -> &'static AtomicBool {
    // Without a handler (one is set already, or none can be) Ctrl-C does what
    // it did before.
    let _ = ctrlc::set_handler(|| {
        if STOP.swap(true, Ordering::Relaxed) {
            process::exit(ENDED_BY_INTERRUPT);
        }
    });
    &STOP
}
