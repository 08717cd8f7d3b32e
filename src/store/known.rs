//! Who is signed in with which cookie, kept in memory: every request asks for it.

use super::changes::{Changes, Mark};
use super::people::Person;
use std::collections::HashMap;
use std::fmt;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use time::OffsetDateTime;

/// Most sign-ins that are kept; one more, and all are asked for anew.
const KEPT: usize = 4_096;

struct Known {
    person: Person,
    mark: Mark,
    /// the clock when it was read; a clock that was set back proves nothing
    from: OffsetDateTime,
    /// then it ends, or is to be renewed
    until: OffsetDateTime,
}

/// Sign-ins that are kept, by the hash of their cookie.
#[derive(Clone, Default)]
pub(super) struct SignIns(Arc<Mutex<HashMap<[u8; 32], Known>>>);

impl SignIns {
    fn all(&self) -> MutexGuard<'_, HashMap<[u8; 32], Known>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Who it is, where nothing about it changed since it was read; and how long that holds.
    pub fn get(&self, hash: &[u8; 32], now: OffsetDateTime, changes: &Changes) -> Option<(Person, OffsetDateTime)> {
        let all = self.all();
        let known = all.get(hash)?;
        let good = known.from <= now && now < known.until && changes.same_sign_in(known.person.id, known.mark);
        good.then(|| (known.person.clone(), known.until))
    }

    /// Keeps what was read after `mark`.
    pub fn put(&self, hash: [u8; 32], person: Person, mark: Mark, (from, until): (OffsetDateTime, OffsetDateTime)) {
        let mut all = self.all();
        if all.len() >= KEPT {
            all.clear();
        }
        all.insert(hash, Known { person, mark, from, until });
    }
}

impl fmt::Debug for SignIns {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // hashes of cookies are nobody's business
        f.debug_struct("SignIns").finish_non_exhaustive()
    }
}
