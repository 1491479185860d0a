//! Answers that were given before, by the state they answer; so many and so large at most.

use std::collections::BTreeMap;
use std::sync::Mutex;

use axum::body::Bytes;

/// Answers kept; the one not asked for longest makes room.
pub(super) struct Cache {
    kept: Mutex<Kept>,
    most: usize,
    most_bytes: usize,
}

#[derive(Default)]
struct Kept {
    answers: BTreeMap<String, (Bytes, u64)>,
    bytes: usize,
    asked: u64,
}

impl Cache {
    /// So many answers of so many bytes together at most.
    pub fn new(most: usize, most_bytes: usize) -> Self {
        Cache {
            kept: Mutex::default(),
            most,
            most_bytes,
        }
    }

    /// The answer to a question, if it was kept.
    pub fn get(&self, question: &str) -> Option<Bytes> {
        let mut kept = self.kept();
        kept.asked += 1;
        let now = kept.asked;
        let (answer, last) = kept.answers.get_mut(question)?;
        *last = now;
        Some(answer.clone())
    }

    /// Keeps an answer.
    pub fn keep(&self, question: String, answer: Bytes) {
        let size = |question: &str, answer: &Bytes| question.len() + answer.len();
        let mut kept = self.kept();
        if size(&question, &answer) > self.most_bytes {
            return;
        }
        kept.asked += 1;
        let now = kept.asked;
        kept.bytes += size(&question, &answer);
        if let Some((old, _)) = kept.answers.insert(question.clone(), (answer, now)) {
            kept.bytes -= size(&question, &old);
        }
        while kept.answers.len() > self.most || kept.bytes > self.most_bytes {
            let oldest = kept.answers.iter().min_by_key(|(_, (_, last))| *last);
            let Some(oldest) = oldest.map(|(question, _)| question.clone()) else {
                return;
            };
            if let Some((answer, _)) = kept.answers.remove(&oldest) {
                kept.bytes -= size(&oldest, &answer);
            }
        }
    }

    fn kept(&self) -> std::sync::MutexGuard<'_, Kept> {
        self.kept
            .lock()
            .unwrap_or_else(|broken| broken.into_inner())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_not_asked_for_longest_makes_room() {
        let cache = Cache::new(2, 1000);
        let answer = |text: &'static str| Bytes::from_static(text.as_bytes());
        cache.keep("a".to_owned(), answer("1"));
        cache.keep("b".to_owned(), answer("2"));
        assert!(cache.get("a").is_some());
        cache.keep("c".to_owned(), answer("3"));
        assert_eq!(cache.get("b"), None);
        assert_eq!(cache.get("a"), Some(answer("1")));
        assert_eq!(cache.get("c"), Some(answer("3")));
    }

    #[test]
    fn bytes_are_bounded_too() {
        let cache = Cache::new(100, 1000);
        for index in 0..50 {
            cache.keep(format!("{index:02}"), Bytes::from(vec![0; 98]));
        }
        assert_eq!(cache.kept().answers.len(), 10);
        assert_eq!(cache.kept().bytes, 1000);
        cache.keep("large".to_owned(), Bytes::from(vec![0; 1000]));
        assert_eq!(cache.get("large"), None);
        cache.keep("49".to_owned(), Bytes::from(vec![0; 8]));
        assert_eq!(cache.kept().bytes, 910);
    }
}
