//! How much of a time limit is left, where many solves share it.

use std::sync::atomic::Ordering;
use std::time::Instant;

use crate::solve::Options;

/// Options whose time limit and interrupt hold for many solves together.
#[derive(Clone, Debug)]
pub(super) struct TimeLeft {
    options: Options,
    deadline: Option<Instant>,
}

impl TimeLeft {
    /// Starts counting.
    pub fn new(options: &Options) -> Self {
        let limit = options.time_limit;
        TimeLeft {
            options: options.clone(),
            deadline: limit.and_then(|limit| Instant::now().checked_add(limit)),
        }
    }

    /// The options with the time that is left; none when it is over, or when all
    /// is to stop.
    pub fn now(&self) -> Option<Options> {
        let mut options = self.options.clone();
        let stop = options.interrupt;
        if stop.is_some_and(|flag| flag.load(Ordering::Relaxed)) {
            return None;
        }
        if let Some(deadline) = self.deadline {
            options.time_limit = Some(deadline.checked_duration_since(Instant::now())?);
        }
        Some(options)
    }
}
