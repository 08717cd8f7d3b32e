//! Passwords: argon2id, off the async threads, a few at a time.

use super::error::Error;
use argon2::password_hash::phc::PasswordHash;
use argon2::{Argon2, PasswordHasher, PasswordVerifier};
use std::sync::Arc;
use tokio::sync::Semaphore;

/// Shortest password that is taken, in characters (NIST SP 800-63B asks for 8 and more).
pub const SHORTEST: usize = 8;

/// Hashes and checks.
#[derive(Clone, Debug)]
pub struct Passwords {
    /// how many at once: each takes 19 MiB and a core
    gate: Arc<Semaphore>,
}

impl Default for Passwords {
    fn default() -> Self {
        Self::new()
    }
}

impl Passwords {
    /// Two at a time.
    #[must_use]
    pub fn new() -> Self {
        Self { gate: Arc::new(Semaphore::new(2)) }
    }

    /// The hash of a password, as a PHC string with a fresh salt.
    ///
    /// # Errors
    /// Only where hashing itself fails.
    pub async fn hash(&self, password: String) -> Result<String, Error> {
        self.run(move || hash_now(&password)).await?
    }

    /// Whether the password is right. Without a hash it takes as long and is wrong.
    ///
    /// # Errors
    /// Only where hashing itself fails.
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
        let permit = self.gate.clone().acquire_owned().await.map_err(|e| Error::Internal(e.into()))?;
        tokio::task::spawn_blocking(move || {
            let _permit = permit;
            work()
        })
        .await
        .map_err(|e| Error::Internal(e.into()))
    }
}

fn hash_now(password: &str) -> Result<String, Error> {
    Argon2::default()
        .hash_password(password.as_bytes())
        .map(|hash| hash.to_string())
        .map_err(|e| Error::Internal(anyhow::anyhow!("hashing: {e}")))
}

#[cfg(test)]
mod tests {
    use super::*;

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
