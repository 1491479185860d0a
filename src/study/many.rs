//! Many independent questions, on all cores, in shares of several machines, with
//! what is finished kept in a file: the answers are the same however it is done.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Mutex;
use std::sync::atomic::Ordering;
use std::time::Instant;

use serde::{Serialize, de::DeserializeOwned};

use super::kept::Kept;
use super::parallel;
use crate::solve::{Options, Trail};

/// Questions that follow each other are answered in turn, each beside the one before:
/// so many of them at most, and so few that there are still so many turns to share
/// out. Which they are depends on the number of questions alone.
const LONGEST_TURN: usize = 16;
/// See [`LONGEST_TURN`].
const TURNS: usize = 128;

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

    /// This share of so many questions: those that are answered in turn stay together.
    pub fn turns(self, questions: usize) -> impl Iterator<Item = Range<usize>> {
        let length = (questions / TURNS).clamp(1, LONGEST_TURN);
        let turns = (self.index - 1..questions.div_ceil(length)).step_by(self.count);
        turns.map(move |turn| turn * length..questions.min((turn + 1) * length))
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

/// Answers questions; none where one was not reached, or is of another share. The trail
/// is that of the questions before it in its turn.
///
/// # Errors
///
/// A file of kept answers that is of no use here.
pub fn answers<Q: Sync, A: Keepable>(
    questions: &[Q],
    effort: &mut Effort<'_>,
    answer: impl Fn(&Q, &mut Trail, &Options) -> A + Sync,
) -> Result<Vec<Option<A>>, Trouble> {
    let known: Vec<Option<A>> = match &mut effort.kept {
        Some(kept) => kept.known(questions.len())?,
        None => questions.iter().map(|_| None).collect(),
    };
    let is_open: Vec<bool> = known.iter().map(Option::is_none).collect();
    let turns: Vec<Range<usize>> = effort
        .shard
        .turns(questions.len())
        .filter(|turn| is_open[turn.clone()].contains(&true))
        .collect();
    let open = turns.iter().cloned().flatten();
    let open = open.filter(|&index| is_open[index]).count();
    let options = effort.options;
    let limit = options.time_limit;
    let deadline = limit.and_then(|limit| Instant::now().checked_add(limit));
    let kept = Mutex::new((effort.kept.as_mut(), None::<Trouble>, 0));
    let one = |index: usize, trail: &mut Trail| -> Option<A> {
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
        let found = answer(&questions[index], trail, &now);
        if !is_open[index] || !found.is_certain() && stops() {
            return None;
        }
        let mut guard = kept.lock().unwrap_or_else(|broken| broken.into_inner());
        let (kept, trouble, done) = &mut *guard;
        *done += 1;
        (effort.progress)(*done, open);
        if let Some(kept) = kept
            && found.is_certain()
            && let Err(error) = kept.keep(index, &found)
        {
            trouble.get_or_insert(error);
        }
        Some(found)
    };
    // What is known already of a turn is answered again for the sake of its trail.
    let in_turn = |turn: &Range<usize>| -> Vec<Option<A>> {
        let mut trail = Trail::default();
        turn.clone().map(|index| one(index, &mut trail)).collect()
    };
    let found = parallel::answers_on(effort.threads, &turns, in_turn);
    let indices = turns.iter().cloned().flatten();
    let found: BTreeMap<usize, A> = indices
        .zip(found.into_iter().flatten())
        .filter_map(|(index, found)| found.map(|found| (index, found)))
        .collect();
    let trouble = kept
        .into_inner()
        .unwrap_or_else(|broken| broken.into_inner())
        .1;
    match trouble {
        Some(trouble) => Err(trouble),
        None => Ok(with(known, found)),
    }
}

/// What was known and what was found.
fn with<A>(known: Vec<Option<A>>, mut found: BTreeMap<usize, A>) -> Vec<Option<A>> {
    let all = known.into_iter().enumerate();
    all.map(|(index, known)| known.or_else(|| found.remove(&index)))
        .collect()
}
