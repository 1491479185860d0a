//! Who may solve: so many at a time, off the threads that answer requests, each with a
//! flag that stops it when nobody waits for its answer any more.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, MutexGuard};

use tokio::sync::Semaphore;
use tokio::task::spawn_blocking;

use super::refused::Refused;

/// Solvers of one sort.
pub(super) struct Slots {
    turns: Arc<Semaphore>,
    /// Flags of the slots that are free.
    free: Mutex<Vec<&'static AtomicBool>>,
    all: Vec<&'static AtomicBool>,
    waiting: AtomicUsize,
    most_waiting: usize,
    closing: AtomicBool,
}

impl Slots {
    /// So many at a time, and so many waiting at most.
    pub fn new(slots: usize, most_waiting: usize) -> Arc<Self> {
        // A search takes a flag that lives as long as the process; these are made once.
        let flag = || -> &'static AtomicBool { Box::leak(Box::new(AtomicBool::new(false))) };
        let all: Vec<_> = (0..slots.max(1)).map(|_| flag()).collect();
        Arc::new(Slots {
            turns: Arc::new(Semaphore::new(all.len())),
            free: Mutex::new(all.clone()),
            all,
            waiting: AtomicUsize::new(0),
            most_waiting,
            closing: AtomicBool::new(false),
        })
    }

    /// Stops everything at work, for good.
    pub fn close(&self) {
        self.closing.store(true, Ordering::SeqCst);
        for flag in &self.all {
            flag.store(true, Ordering::SeqCst);
        }
    }

    /// Does some work when it is its turn. If the caller stops waiting, the flag that the
    /// work was given is set.
    pub async fn work<T: Send + 'static>(
        self: &Arc<Self>,
        work: impl FnOnce(&'static AtomicBool) -> T + Send + 'static,
    ) -> Result<T, Refused> {
        let waiter = Waiter::new(self)?;
        let permit = Arc::clone(&self.turns).acquire_owned().await;
        let permit = permit.map_err(Refused::internal)?;
        drop(waiter);
        let flag = locked(&self.free).pop();
        let flag = flag.ok_or_else(|| Refused::internal("a turn without a slot"))?;
        flag.store(false, Ordering::SeqCst);
        let slot = Slot {
            slots: Arc::clone(self),
            held: Arc::new(Mutex::new(Some(flag))),
            _permit: permit,
        };
        if self.closing.load(Ordering::SeqCst) {
            return Err(Refused::closing());
        }
        let _stop = StopWhenDropped(Arc::clone(&slot.held));
        let done = spawn_blocking(move || {
            let found = work(flag);
            drop(slot);
            found
        });
        done.await.map_err(Refused::internal)
    }
}

fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(|broken| broken.into_inner())
}

/// Someone in the queue.
struct Waiter<'a>(&'a AtomicUsize);

impl<'a> Waiter<'a> {
    fn new(slots: &'a Slots) -> Result<Self, Refused> {
        let before = slots.waiting.fetch_add(1, Ordering::SeqCst);
        let waiter = Waiter(&slots.waiting);
        match before < slots.most_waiting {
            true => Ok(waiter),
            false => Err(Refused::busy()),
        }
    }
}

impl Drop for Waiter<'_> {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::SeqCst);
    }
}

/// A slot in use; it is free again when the work is done.
struct Slot {
    slots: Arc<Slots>,
    held: Arc<Mutex<Option<&'static AtomicBool>>>,
    _permit: tokio::sync::OwnedSemaphorePermit,
}

impl Drop for Slot {
    fn drop(&mut self) {
        // From here on nobody stops what the flag is used for next.
        if let Some(flag) = locked(&self.held).take() {
            locked(&self.slots.free).push(flag);
        }
    }
}

/// Stops the work when the one who waits for it goes away.
struct StopWhenDropped(Arc<Mutex<Option<&'static AtomicBool>>>);

impl Drop for StopWhenDropped {
    fn drop(&mut self) {
        if let Some(flag) = *locked(&self.0) {
            flag.store(true, Ordering::SeqCst);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::{Duration, Instant};

    fn until(flag: &AtomicBool) -> bool {
        let start = Instant::now();
        while !flag.load(Ordering::SeqCst) {
            if start.elapsed() > Duration::from_secs(20) {
                return false;
            }
            std::thread::sleep(Duration::from_millis(1));
        }
        true
    }

    #[tokio::test]
    async fn work_that_nobody_waits_for_is_stopped_and_its_slot_used_again() {
        let slots = Slots::new(1, 4);
        for _ in 0..3 {
            let abandoned = tokio::time::timeout(Duration::from_millis(30), slots.work(until));
            assert!(abandoned.await.is_err());
        }
        // The flag is fresh, and the one slot is free.
        let fresh = slots.work(|flag| flag.load(Ordering::SeqCst)).await;
        assert_eq!(fresh, Ok(false));
    }

    #[tokio::test]
    async fn a_long_queue_is_refused_and_so_is_everything_at_the_end() {
        let slots = Slots::new(1, 1);
        let (first, second, third) = tokio::join!(
            slots.work(|_| std::thread::sleep(Duration::from_millis(50))),
            slots.work(|_| ()),
            slots.work(|_| ()),
        );
        assert_eq!((first, second), (Ok(()), Ok(())));
        assert_eq!(third.unwrap_err().code, "busy");
        slots.close();
        assert_eq!(slots.work(|_| ()).await.unwrap_err().code, "closing");
    }
}
