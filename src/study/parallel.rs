//! Many independent questions on all cores, answered in the order asked.

use std::panic::resume_unwind;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// What every question is answered, in order, whatever the number of cores.
pub(super) fn answers<Q: Sync, A: Send>(
    questions: &[Q],
    answer: impl Fn(&Q) -> A + Sync,
) -> Vec<A> {
    answers_on(None, questions, answer)
}

/// The same on so many threads; none for as many as there are cores.
pub(super) fn answers_on<Q: Sync, A: Send>(
    threads: Option<usize>,
    questions: &[Q],
    answer: impl Fn(&Q) -> A + Sync,
) -> Vec<A> {
    let cores = || thread::available_parallelism().map_or(1, usize::from);
    let threads = threads.unwrap_or_else(cores).max(1);
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(question) = questions.get(index) else {
                return done;
            };
            done.push((index, answer(question)));
        }
    };
    let mut all = thread::scope(|scope| {
        let workers: Vec<_> = (0..threads.min(questions.len()))
            .map(|_| scope.spawn(work))
            .collect();
        let mut all = Vec::with_capacity(questions.len());
        for worker in workers {
            all.extend(worker.join().unwrap_or_else(|cause| resume_unwind(cause)));
        }
        all
    });
    all.sort_by_key(|(index, _)| *index);
    all.into_iter().map(|(_, answer)| answer).collect()
}

#[cfg(test)]
mod tests {
    #[test]
    fn answers_come_in_the_order_of_the_questions() {
        let questions: Vec<u64> = (0..100).collect();
        let squares = super::answers(&questions, |question| question * question);
        assert!(squares.iter().zip(&questions).all(|(a, q)| *a == q * q));
        assert!(super::answers(&[], |question: &u64| *question).is_empty());
    }
}
