//! The one place where time, randomness and new ids come in. Tests set the time.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use time::OffsetDateTime;

/// Says what time it is.
#[derive(Clone, Debug, Default)]
pub enum Clock {
    /// the machine's clock
    #[default]
    System,
    /// a clock that a test sets, in UTC milliseconds
    Set(Arc<AtomicI64>),
}

impl Clock {
    /// A clock that stands still until it is set.
    #[must_use]
    pub fn standing(at: OffsetDateTime) -> Self {
        Self::Set(Arc::new(AtomicI64::new(at.unix_timestamp() * 1000)))
    }

    /// Sets a standing clock; the machine's clock stays as it is.
    pub fn set(&self, at: OffsetDateTime) {
        if let Self::Set(millis) = self {
            millis.store(at.unix_timestamp() * 1000, Ordering::SeqCst);
        }
    }

    /// Now, UTC.
    #[must_use]
    pub fn now(&self) -> OffsetDateTime {
        match self {
            Self::System => OffsetDateTime::now_utc(),
            Self::Set(millis) => {
                OffsetDateTime::from_unix_timestamp(millis.load(Ordering::SeqCst) / 1000).unwrap_or(OffsetDateTime::UNIX_EPOCH)
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
