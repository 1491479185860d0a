//! Where the time of a plan goes.

use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

/// A part of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Writing the program.
    Build,
    /// Proving the lightest mass, leaves included.
    Search,
    /// What is left once units and spares are fixed.
    Leaves,
    /// Deciding among the equally light.
    Ties,
    /// Reading the answer and checking it again.
    Audit,
}

/// Adds up the time of every step; steps of several threads add up too.
#[derive(Debug, Default)]
pub struct Stopwatch {
    nanoseconds: [AtomicU64; 5],
}

impl Stopwatch {
    /// How long a step has taken so far.
    pub fn spent(&self, step: Step) -> Duration {
        Duration::from_nanos(self.nanoseconds[step as usize].load(Ordering::Relaxed))
    }
}

/// Does a step, and adds its time where somebody wants to know.
pub(crate) fn timed<T>(stopwatch: Option<&Stopwatch>, step: Step, work: impl FnOnce() -> T) -> T {
    let Some(stopwatch) = stopwatch else {
        return work();
    };
    let start = Instant::now();
    let done = work();
    let nanoseconds = u64::try_from(start.elapsed().as_nanos()).unwrap_or(u64::MAX);
    stopwatch.nanoseconds[step as usize].fetch_add(nanoseconds, Ordering::Relaxed);
    done
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_of_a_step_add_up() {
        let watch = Stopwatch::default();
        let pause = Duration::from_millis(2);
        for _ in 0..2 {
            timed(Some(&watch), Step::Ties, || std::thread::sleep(pause));
        }
        assert_eq!(timed(None, Step::Ties, || 7), 7);
        assert!(watch.spent(Step::Ties) >= 2 * pause);
        assert_eq!(watch.spent(Step::Build), Duration::ZERO);
    }
}
