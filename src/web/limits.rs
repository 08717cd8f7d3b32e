//! Wrong sign-ins are slowed down, for an account, never for good.

use std::collections::HashMap;
use std::sync::{Arc, Mutex};
use time::{Duration, OffsetDateTime};

const WINDOW: Duration = Duration::minutes(10);
const TRIES: u32 = 10;
/// Past this many names, old ones are forgotten first: memory stays bounded.
const NAMES: usize = 10_000;

/// Counts wrong tries by what was typed to sign in.
#[derive(Clone, Debug, Default)]
pub struct Limits {
    wrong: Arc<Mutex<HashMap<String, (u32, OffsetDateTime)>>>,
}

impl Limits {
    /// How long this name must wait before the next try; none where it may try now.
    #[must_use]
    pub fn wait(&self, name: &str, now: OffsetDateTime) -> Option<Duration> {
        let wrong = self.wrong.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        let (count, since) = wrong.get(&key(name))?;
        let left = *since + WINDOW - now;
        (*count >= TRIES && left.is_positive()).then_some(left)
    }

    /// Counts a wrong try.
    pub fn count(&self, name: &str, now: OffsetDateTime) {
        let mut wrong = self.wrong.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        if wrong.len() >= NAMES {
            wrong.retain(|_, (_, since)| *since + WINDOW > now);
        }
        if wrong.len() >= NAMES {
            wrong.clear();
        }
        let entry = wrong.entry(key(name)).or_insert((0, now));
        if entry.1 + WINDOW <= now {
            *entry = (0, now);
        }
        entry.0 += 1;
    }

    /// Forgets wrong tries after a right one.
    pub fn forget(&self, name: &str) {
        self.wrong.lock().unwrap_or_else(std::sync::PoisonError::into_inner).remove(&key(name));
    }
}

fn key(name: &str) -> String {
    name.trim().to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;
    use time::macros::datetime;

    #[test]
    fn ten_wrong_tries_make_one_name_wait_and_time_frees_it() {
        let limits = Limits::default();
        let now = datetime!(2026-11-25 12:00 UTC);
        (0..10).for_each(|_| limits.count("Ada ", now));
        assert_eq!(limits.wait("ada", now), Some(WINDOW));
        assert_eq!(limits.wait("bo", now), None);
        assert_eq!(limits.wait("ada", now + WINDOW), None);
    }
}
