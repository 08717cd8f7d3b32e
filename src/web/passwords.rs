//! Passwords: argon2id, off the async threads, a few at a time.

use super::error::Error;
use crate::store::StoreError;
use argon2::password_hash::phc::PasswordHash;
use argon2::{Argon2, PasswordHasher, PasswordVerifier};
use std::sync::Arc;
use tokio::sync::Semaphore;

/// Shortest password that is taken, in characters (NIST SP 800-63B asks for 8 and more).
pub const SHORTEST: usize = 8;
/// Longest, in characters.
pub const LONGEST: usize = 256;
/// Hashed at once: each takes 19 MiB and a core.
const AT_ONCE: usize = 2;
/// Most that wait to be hashed; the next is asked to come again.
const WAITING: usize = 32;

/// Hashes and checks.
#[derive(Clone, Debug)]
pub struct Passwords {
    gate: Arc<Semaphore>,
    /// those at it and those that wait
    places: Arc<Semaphore>,
}

impl Default for Passwords {
    fn default() -> Self {
        Self::new()
    }
}

impl Passwords {
    /// A few at a time, a few more that wait.
    #[must_use]
    pub fn new() -> Self {
        Self { gate: Arc::new(Semaphore::new(AT_ONCE)), places: Arc::new(Semaphore::new(AT_ONCE + WAITING)) }
    }

    /// How many are hashed or wait for it.
    #[must_use]
    pub fn waiting(&self) -> usize {
        AT_ONCE + WAITING - self.places.available_permits()
    }

    /// The hash of a password, as a PHC string with a fresh salt.
    ///
    /// # Errors
    /// Too many wait already, or hashing itself fails.
    pub async fn hash(&self, password: String) -> Result<String, Error> {
        self.run(move || hash_now(&password)).await?
    }

    /// Whether the password is right. Without a hash it takes as long and is wrong.
    ///
    /// # Errors
    /// Too many wait already, or hashing itself fails.
    pub async fn verify(&self, password: String, hash: Option<String>) -> Result<bool, Error> {
        self.run(move || match hash {
            Some(hash) => PasswordHash::new(&hash)
                .is_ok_and(|parsed| Argon2::default().verify_password(password.as_bytes(), &parsed).is_ok()),
            None => {
                // the same work for an unknown account, so that time tells nothing
                let _ = hash_now(&password);
                false
            }
        })
        .await
    }

    async fn run<T: Send + 'static>(&self, work: impl FnOnce() -> T + Send + 'static) -> Result<T, Error> {
        let _place = self.places.clone().try_acquire_owned().map_err(|_| StoreError::Busy)?;
        let permit = self.gate.clone().acquire_owned().await.map_err(|e| Error::Internal(e.into()))?;
        tokio::task::spawn_blocking(move || {
            let _permit = permit;
            work()
        })
        .await
        .map_err(|e| Error::Internal(e.into()))
    }
}

/// Why a password is too easy, where it is: the commonest tens of thousands, names, and the words given, also with a
/// few signs added. Nothing else is asked of it, as NIST SP 800-63B advises.
#[must_use]
pub fn too_easy(password: &str, words: &[&str]) -> bool {
    // what is long is not looked at whole: the work grows with the length
    let start: String = password.chars().take(64).collect();
    zxcvbn::zxcvbn(&start, words).guesses_log10() < EASY
}

/// Guesses, as a power of ten, below which a password is easy. At the limits of [`super::limits`] ten million guesses
/// take thousands of years; the number is for a stolen file, together with argon2.
const EASY: f64 = 7.0;

fn hash_now(password: &str) -> Result<String, Error> {
    Argon2::default()
        .hash_password(password.as_bytes())
        .map(|hash| hash.to_string())
        .map_err(|e| Error::Internal(anyhow::anyhow!("hashing: {e}")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn common_passwords_and_ones_own_name_are_too_easy_and_plain_words_are_not() {
        let words = ["dowel", "mara@example.org", "Mara"];
        for easy in ["password", "12345678", "iloveyou1", "qwertyuiop", "dowel2026", "mara2026", "mara@example.org"] {
            assert!(too_easy(easy, &words), "{easy}");
        }
        for good in ["driftwood and tar", "rope and tide", "another long one", "   tide   rope", "海と縄と潮の満ち引き"]
        {
            assert!(!too_easy(good, &words), "{good}");
        }
    }

    #[tokio::test]
    async fn when_too_many_wait_the_next_is_asked_to_come_again() {
        let passwords = Passwords::new();
        let held = passwords.places.clone().acquire_many_owned(u32::try_from(AT_ONCE + WAITING).unwrap()).await.unwrap();
        assert!(matches!(passwords.verify("x".to_owned(), None).await, Err(Error::Store(StoreError::Busy))));
        drop(held);
        assert!(passwords.verify("x".to_owned(), None).await.is_ok());
    }

    #[tokio::test]
    async fn only_the_right_password_is_right() {
        let passwords = Passwords::new();
        let hash = passwords.hash("driftwood and tar".to_owned()).await.unwrap();
        assert!(hash.starts_with("$argon2id$"));
        assert!(passwords.verify("driftwood and tar".to_owned(), Some(hash.clone())).await.unwrap());
        assert!(!passwords.verify("driftwood and tea".to_owned(), Some(hash)).await.unwrap());
        assert!(!passwords.verify("driftwood and tar".to_owned(), None).await.unwrap());
    }
}
