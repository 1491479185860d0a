//! Many independent questions, on all cores, in shares of several machines, with
//! what is finished kept in a file: the answers are the same however it is done.

use std::sync::Mutex;
use std::sync::atomic::Ordering;
use std::time::Instant;

use serde::{Serialize, de::DeserializeOwned};

use super::kept::Kept;
use super::parallel;
use crate::solve::Options;

/// An answer that can be kept in a file.
pub trait Keepable: Clone + Send + Serialize + DeserializeOwned {
    /// Whether it holds whatever time and interrupts there were.
    fn is_certain(&self) -> bool;
}

/// One share of the questions: number `index` of `count`, from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shard {
    /// Which share, from 1.
    pub index: usize,
    /// Shares in all, at least 1.
    pub count: usize,
}

impl Shard {
    /// All questions.
    pub const WHOLE: Shard = Shard { index: 1, count: 1 };

    /// Whether a question belongs to this share.
    pub fn has(self, question: usize) -> bool {
        question % self.count == self.index - 1
    }
}

/// How many questions are answered.
pub struct Effort<'a> {
    /// How each is solved; its time limit and interrupt hold for all together.
    pub options: &'a Options,
    /// Threads at most; none for as many as there are cores.
    pub threads: Option<usize>,
    /// Which share of the questions is answered; the others stay open.
    pub shard: Shard,
    /// Where finished answers are kept, and those that are known already.
    pub kept: Option<Kept>,
    /// Told how many of how many are done.
    pub progress: &'a (dyn Fn(usize, usize) + Sync),
}

impl<'a> Effort<'a> {
    /// On all cores, nothing kept, without a word.
    pub fn plain(options: &'a Options) -> Self {
        Effort {
            options,
            threads: None,
            shard: Shard::WHOLE,
            kept: None,
            progress: &|_, _| {},
        }
    }
}

/// What cannot go on.
#[derive(Clone, Debug, PartialEq)]
pub enum Trouble {
    /// A file of kept answers belongs to another study, or is damaged.
    Foreign(String),
    /// A file of kept answers cannot be read.
    Unreadable(String),
    /// A file of kept answers cannot be written.
    Unwritable(String),
}

/// Answers questions; none where one was not reached, or is of another share.
///
/// # Errors
///
/// A file of kept answers that is of no use here.
pub fn answers<Q: Sync, A: Keepable>(
    questions: &[Q],
    effort: &mut Effort<'_>,
    answer: impl Fn(&Q, &Options) -> A + Sync,
) -> Result<Vec<Option<A>>, Trouble> {
    let mut known: Vec<Option<A>> = match &mut effort.kept {
        Some(kept) => kept.known(questions.len())?,
        None => questions.iter().map(|_| None).collect(),
    };
    let open: Vec<usize> = (0..questions.len())
        .filter(|&index| known[index].is_none() && effort.shard.has(index))
        .collect();
    let options = effort.options;
    let limit = options.time_limit;
    let deadline = limit.and_then(|limit| Instant::now().checked_add(limit));
    let kept = Mutex::new((effort.kept.as_mut(), None::<Trouble>, 0));
    let work = |&index: &usize| -> Option<A> {
        let mut now = options.clone();
        if let Some(deadline) = deadline {
            now.time_limit = Some(deadline.checked_duration_since(Instant::now())?);
        }
        let stops = || {
            options
                .interrupt
                .is_some_and(|flag| flag.load(Ordering::Relaxed))
        };
        if stops() {
            return None;
        }
        let found = answer(&questions[index], &now);
        if !found.is_certain() && stops() {
            return None;
        }
        let mut guard = kept.lock().unwrap_or_else(|broken| broken.into_inner());
        let (kept, trouble, done) = &mut *guard;
        *done += 1;
        (effort.progress)(*done, open.len());
        if let Some(kept) = kept
            && found.is_certain()
            && let Err(error) = kept.keep(index, &found)
        {
            trouble.get_or_insert(error);
        }
        Some(found)
    };
    let found = parallel::answers_on(effort.threads, &open, work);
    for (&index, found) in open.iter().zip(found) {
        known[index] = found;
    }
    let trouble = kept
        .into_inner()
        .unwrap_or_else(|broken| broken.into_inner())
        .1;
    match trouble {
        Some(trouble) => Err(trouble),
        None => Ok(known),
    }
}
