//! Passwords: argon2id, off the async threads, a few at a time.
//!
//! # Design
//! Left to the allocator, 19 MiB a try would stay behind in the arena of every thread that ever hashed: forty wrong sign-ins
//! together held 435 MB for good. So the memory is ours: a block for each that may hash at once, handed from one to the next
//! while somebody waits, and given back to the system when nobody does.

use super::error::Error;
use crate::store::StoreError;
use argon2::password_hash::phc::{Output, ParamsString, PasswordHash, Salt};
use argon2::{Algorithm, Argon2, Block, Params, Version};
use std::sync::{Arc, Mutex, PoisonError};
use tokio::sync::Semaphore;

/// Shortest password that is taken, in characters (NIST SP 800-63B asks for 8 and more).
pub const SHORTEST: usize = 8;
/// Longest, in characters.
pub const LONGEST: usize = 256;
/// Hashed at once: each takes 19 MiB and a core.
const AT_ONCE: usize = 2;
/// Most that wait to be hashed; the next is asked to come again.
const WAITING: usize = 32;
/// Room that is asked for, in blocks of 1 KiB. What is larger than 32 MiB comes from the system by itself and goes back to it when it
/// is freed, whatever glibc learned of sizes meanwhile; what of it is not written to takes no memory.
const ROOM: usize = 33 * 1024;
/// Random bytes beside each password.
const SALT: usize = 16;

/// Hashes and checks.
#[derive(Clone, Debug)]
pub struct Passwords {
    gate: Arc<Semaphore>,
    /// those at it and those that wait
    places: Arc<Semaphore>,
    spare: Arc<Mutex<Vec<Room>>>,
}

/// What one hash is made in.
type Room = Vec<Block>;

impl Default for Passwords {
    fn default() -> Self {
        Self::new()
    }
}

impl Passwords {
    /// A few at a time, a few more that wait.
    #[must_use]
    pub fn new() -> Self {
        Self {
            gate: Arc::new(Semaphore::new(AT_ONCE)),
            places: Arc::new(Semaphore::new(AT_ONCE + WAITING)),
            spare: Arc::default(),
        }
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
        Ok(self.run(move |room| hash_now(&password, room)).await??)
    }

    /// Whether the password is right. Without a hash it takes as long and is wrong.
    ///
    /// # Errors
    /// Too many wait already, or hashing itself fails.
    pub async fn verify(&self, password: String, hash: Option<String>) -> Result<bool, Error> {
        self.run(move |room| match hash {
            Some(hash) => fits(&password, &hash, room).unwrap_or(false),
            None => {
                // the same work for an unknown account, so that time tells nothing
                let _ = hash_now(&password, room);
                false
            }
        })
        .await
    }

    async fn run<T: Send + 'static>(&self, work: impl FnOnce(&mut Room) -> T + Send + 'static) -> Result<T, Error> {
        let place = self.places.clone().try_acquire_owned().map_err(|_| StoreError::Busy)?;
        let permit = self.gate.clone().acquire_owned().await.map_err(|e| Error::Internal(e.into()))?;
        let this = self.clone();
        tokio::task::spawn_blocking(move || {
            let mut room = this.spares().pop().unwrap_or_else(|| Room::with_capacity(ROOM));
            let done = work(&mut room);
            this.spares().push(room);
            // both go here, and not where somebody waits for it: who asked may have left meanwhile
            drop((place, permit));
            this.give_back();
            done
        })
        .await
        .map_err(|e| Error::Internal(e.into()))
    }

    fn spares(&self) -> std::sync::MutexGuard<'_, Vec<Room>> {
        self.spare.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The memory goes where nobody waits for it.
    fn give_back(&self) {
        let mut spare = self.spares();
        if self.waiting() == 0 {
            spare.clear();
        }
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

/// What argon2 makes of a password and a salt, in this room.
fn fill(argon: &Argon2<'_>, password: &str, salt: &[u8], out: &mut [u8], room: &mut Room) -> anyhow::Result<()> {
    room.resize(argon.params().block_count(), Block::default());
    argon.hash_password_into_with_memory(password.as_bytes(), salt, out, room).map_err(|e| anyhow::anyhow!("hashing: {e}"))
}

fn hash_now(password: &str, room: &mut Room) -> anyhow::Result<String> {
    let mut salt = [0; SALT];
    getrandom::fill(&mut salt).map_err(|e| anyhow::anyhow!("no random salt: {e}"))?;
    let (argon, mut out) = (Argon2::default(), [0; Params::DEFAULT_OUTPUT_LEN]);
    fill(&argon, password, &salt, &mut out, room)?;
    let hash = PasswordHash {
        algorithm: Algorithm::default().ident(),
        version: Some(Version::default().into()),
        params: ParamsString::try_from(argon.params()).map_err(|e| anyhow::anyhow!("hashing: {e}"))?,
        salt: Some(Salt::new(&salt).map_err(|e| anyhow::anyhow!("hashing: {e}"))?),
        hash: Some(Output::new(&out).map_err(|e| anyhow::anyhow!("hashing: {e}"))?),
    };
    Ok(hash.to_string())
}

/// Whether a password is the hashed one; none where the hash cannot be read.
fn fits(password: &str, hash: &str, room: &mut Room) -> Option<bool> {
    let parsed = PasswordHash::new(hash).ok()?;
    let (salt, right) = (parsed.salt.as_ref()?, parsed.hash.as_ref()?);
    let algorithm = Algorithm::try_from(parsed.algorithm.as_str()).ok()?;
    let version = parsed.version.map_or(Ok(Version::default()), Version::try_from).ok()?;
    let argon = Argon2::new(algorithm, version, Params::try_from(&parsed).ok()?);
    let mut out = vec![0; right.len()];
    fill(&argon, password, salt, &mut out, room).ok()?;
    // compared in constant time
    Some(Output::new(&out).ok()? == *right)
}

/// Whether a hash was made with other settings than today's, and is to be made anew at the next chance.
#[must_use]
pub fn is_old(hash: &str) -> bool {
    let now = || {
        let parsed = PasswordHash::new(hash).ok()?;
        let params = Params::try_from(&parsed).ok()?;
        let (is, good) = ((params.m_cost(), params.t_cost(), params.p_cost()), Params::DEFAULT);
        let same = is == (good.m_cost(), good.t_cost(), good.p_cost());
        Some(same && parsed.algorithm == Algorithm::default().ident() && parsed.version == Some(Version::default().into()))
    };
    now() != Some(true)
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

    #[tokio::test]
    async fn the_memory_of_a_hash_goes_back_when_nobody_waits() {
        let passwords = Passwords::new();
        let tries = (0..10).map(|n| passwords.verify(format!("guess {n}"), None));
        assert!(futures_util::future::join_all(tries).await.into_iter().all(|tried| !tried.unwrap()));
        assert_eq!(passwords.spares().len(), 0);
    }

    #[tokio::test]
    async fn a_hash_of_before_still_fits_and_is_known_to_be_old() {
        // made by the reference implementation: argon2-cffi's hash_secret, time 1, memory 8192, one lane
        let passwords = Passwords::new();
        let old = "$argon2id$v=19$m=8192,t=1,p=1$c2FsdHNhbHRzYWx0c2FsdA$KYjCKawXZAVZHNoZXBkaTgOALtt4O6iHK/DWLngQdkk".to_owned();
        assert!(is_old(&old));
        assert!(passwords.verify("driftwood and tar".to_owned(), Some(old.clone())).await.unwrap());
        assert!(!passwords.verify("driftwood and tea".to_owned(), Some(old)).await.unwrap());
        assert!(!is_old(&passwords.hash("driftwood and tar".to_owned()).await.unwrap()));
    }
}
