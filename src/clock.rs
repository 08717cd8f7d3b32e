//! The one place where time, randomness and new ids come in. Tests set the time.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use time::{Duration, OffsetDateTime};

/// Says what time it is.
#[derive(Clone, Debug, Default)]
pub enum Clock {
    /// the machine's clock
    #[default]
    System,
    /// a clock that a test sets
    Set(Arc<Hands>),
}

/// Where a clock stands that a test sets.
#[derive(Debug, Default)]
pub struct Hands {
    /// UTC milliseconds
    at: AtomicI64,
    /// milliseconds by which each look at it moves it on
    step: AtomicI64,
}

impl Clock {
    /// A clock that stands still until it is set.
    #[must_use]
    pub fn standing(at: OffsetDateTime) -> Self {
        let clock = Self::Set(Arc::default());
        clock.set(at);
        clock
    }

    /// Sets a standing clock; the machine's clock stays as it is.
    pub fn set(&self, at: OffsetDateTime) {
        self.run(at, Duration::ZERO);
    }

    /// Sets a clock that a test sets, and lets each look at it move it on; zero: it stands.
    pub fn run(&self, at: OffsetDateTime, step: Duration) {
        if let Self::Set(hands) = self {
            hands.at.store(at.unix_timestamp() * 1000, Ordering::SeqCst);
            hands.step.store(step.whole_seconds() * 1000, Ordering::SeqCst);
        }
    }

    /// Now, UTC.
    #[must_use]
    pub fn now(&self) -> OffsetDateTime {
        match self {
            Self::System => OffsetDateTime::now_utc(),
            Self::Set(hands) => {
                let at = hands.at.fetch_add(hands.step.load(Ordering::SeqCst), Ordering::SeqCst);
                OffsetDateTime::from_unix_timestamp(at / 1000).unwrap_or(OffsetDateTime::UNIX_EPOCH)
            }
        }
    }
}

/// Bytes that nobody can guess.
///
/// # Panics
/// Where the operating system has no randomness to give: nothing safe can be done then.
#[must_use]
#[expect(clippy::expect_used, reason = "without randomness no sign-in is safe")]
pub fn random<const N: usize>() -> [u8; N] {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).expect("the operating system gives randomness");
    bytes
}

/// A new id, ordered by time and not to be guessed: a version 7 UUID (RFC 9562).
#[must_use]
pub fn new_uuid(now: OffsetDateTime) -> String {
    let millis = u64::try_from(now.unix_timestamp() * 1000 + i64::from(now.millisecond())).unwrap_or_default();
    uuid::Builder::from_unix_timestamp_millis(millis, &random::<10>()).into_uuid().to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use time::macros::datetime;

    #[test]
    fn a_new_id_carries_its_time_and_is_no_other() {
        let now = datetime!(2026-11-25 12:00 UTC);
        let (one, two) = (new_uuid(now), new_uuid(now));
        assert_ne!(one, two);
        // RFC 9562, section 5.7: the first 48 bits are milliseconds, then the version
        assert_eq!(one.replace('-', "")[..12], format!("{:012x}", now.unix_timestamp() * 1000));
        assert_eq!(one.as_bytes()[14], b'7');
    }
}
