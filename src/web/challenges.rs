//! What browsers were asked about passkeys and have not answered yet.
//!
//! # Design
//! A question stands in memory alone: it is worth nothing after five minutes or a restart, and nobody can fill the disk
//! with questions. Whoever answers takes it away, right or wrong, so that no answer counts twice. One address has a few open
//! at once, and all together a few thousand; one more ends the oldest.
//!
//! WebAuthn ties passkeys to a host by name. It is the one of `DOWEL_ADDRESS`; where that is this machine itself (127.0.0.1)
//! it is `localhost`, and where it is any other number, or a name without TLS, no browser makes passkeys.

use crate::clock;
use crate::store::ids::PersonId;
use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};
use time::{Duration, OffsetDateTime};
use webauthn_rs::prelude::{DiscoverableAuthentication, PasskeyRegistration, Url, Uuid, Webauthn, WebauthnBuilder};

/// How long a question waits for its answer.
pub const WAITS: Duration = Duration::minutes(5);
/// Most open questions of one address.
const OF_ADDRESS: usize = 20;
/// Most open questions at all.
const OPEN: usize = 4096;

/// What was asked.
#[derive(Clone, Debug)]
pub enum Asked {
    /// make a passkey, for whom and by which browser, and how they call it
    Make {
        /// whose it will be
        person: PersonId,
        /// the cookie's hash
        browser: [u8; 32],
        /// in its owner's words
        name: String,
        /// its person as browsers keep them
        handle: Uuid,
        /// what the library must know of its question
        state: PasskeyRegistration,
    },
    /// sign in with any passkey of here
    SignIn {
        /// the hash of the cookie that came with the question
        browser: [u8; 32],
        /// what the library must know of its question
        state: DiscoverableAuthentication,
    },
}

struct Open {
    at: OffsetDateTime,
    home: Vec<u8>,
    asked: Asked,
}

/// Questions that wait for an answer.
#[derive(Clone)]
pub struct Challenges {
    site: Option<Arc<Webauthn>>,
    /// where the browser must be for a passkey of here
    origin: String,
    open: Arc<Mutex<HashMap<String, Open>>>,
}

impl Challenges {
    /// For a practice at this address.
    #[must_use]
    pub fn at(address: &str) -> Self {
        let origin = origin(address);
        let site = origin.as_ref().and_then(|origin| {
            let built = WebauthnBuilder::new(origin.host_str()?, origin)
                .map(|b| b.rp_name("Dowel").timeout(WAITS.unsigned_abs()))
                .and_then(WebauthnBuilder::build);
            built.inspect_err(|e| tracing::error!(error = %e, "passkeys cannot be used")).ok()
        });
        let origin = origin.map(|o| o.origin().ascii_serialization()).unwrap_or_default();
        Self { site: site.map(Arc::new), origin, open: Arc::default() }
    }

    /// What asks and checks, where passkeys can be used at all.
    #[must_use]
    pub fn site(&self) -> Option<&Webauthn> {
        self.site.as_deref()
    }

    /// The address under which passkeys of here work.
    #[must_use]
    pub fn origin(&self) -> &str {
        &self.origin
    }

    /// Keeps a question; its name goes to the browser and comes back with the answer.
    #[must_use]
    pub fn keep(&self, asked: Asked, from: IpAddr, now: OffsetDateTime) -> String {
        let home = super::limits::home(from);
        let mut open = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        open.retain(|_, o| fresh(o.at, now));
        let of_home = open.values().filter(|o| o.home == home).count();
        let oldest = open
            .iter()
            .filter(|(_, o)| of_home < OF_ADDRESS || o.home == home)
            .min_by_key(|(_, o)| o.at)
            .map(|(name, _)| name.clone());
        if (of_home >= OF_ADDRESS || open.len() >= OPEN)
            && let Some(oldest) = oldest
        {
            open.remove(&oldest);
        }
        let name = BASE64_URL_SAFE_NO_PAD.encode(clock::random::<16>());
        open.insert(name.clone(), Open { at: now, home, asked });
        name
    }

    /// Takes a question away, for good; none where it was answered, is too old, or never was.
    #[must_use]
    pub fn take(&self, name: &str, now: OffsetDateTime) -> Option<Asked> {
        let taken = self.open.lock().unwrap_or_else(PoisonError::into_inner).remove(name)?;
        fresh(taken.at, now).then_some(taken.asked)
    }
}

fn fresh(at: OffsetDateTime, now: OffsetDateTime) -> bool {
    at <= now && now < at + WAITS
}

/// Where browsers make passkeys for this address.
fn origin(address: &str) -> Option<Url> {
    let mut url = Url::parse(address).ok()?;
    let number: Option<IpAddr> = url.host_str()?.trim_matches(['[', ']']).parse().ok();
    if number.is_some_and(|n| n.is_loopback()) {
        url.set_host(Some("localhost")).ok()?;
    } else if number.is_some() || (url.scheme() != "https" && url.host_str() != Some("localhost")) {
        return None;
    }
    Some(url)
}

impl std::fmt::Debug for Challenges {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Challenges").field("origin", &self.origin).finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use time::macros::datetime;

    const NOW: OffsetDateTime = datetime!(2026-11-25 12:00 UTC);

    fn ask(challenges: &Challenges, from: [u8; 4], now: OffsetDateTime) -> String {
        let (_, state) = challenges.site().unwrap().start_discoverable_authentication().unwrap();
        challenges.keep(Asked::SignIn { browser: [7; 32], state }, IpAddr::from(from), now)
    }

    #[test]
    fn a_question_is_answered_once_and_within_five_minutes() {
        let challenges = Challenges::at("https://training.example.org");
        let (one, old) = (ask(&challenges, [10, 0, 0, 1], NOW), ask(&challenges, [10, 0, 0, 1], NOW));
        assert!(challenges.take(&one, NOW + Duration::minutes(4)).is_some());
        assert!(challenges.take(&one, NOW).is_none(), "once");
        assert!(challenges.take(&old, NOW + WAITS).is_none(), "too late");
        assert!(challenges.take("never asked", NOW).is_none());
    }

    #[test]
    fn one_address_ends_its_own_questions_and_no_other_ones() {
        let challenges = Challenges::at("https://training.example.org");
        let other = ask(&challenges, [10, 0, 0, 2], NOW);
        let first = ask(&challenges, [10, 0, 0, 1], NOW);
        let rest: Vec<String> = (1..=20).map(|n| ask(&challenges, [10, 0, 0, 1], NOW + Duration::milliseconds(n))).collect();
        let later = NOW + Duration::seconds(1);
        assert!(challenges.take(&first, later).is_none(), "the oldest made room");
        assert!(rest.iter().all(|name| challenges.take(name, later).is_some()));
        assert!(challenges.take(&other, later).is_some());
    }

    #[test]
    fn passkeys_need_a_name_and_tls_or_this_machine() {
        let origin = |address: &str| Challenges::at(address).origin().to_owned();
        assert_eq!(origin("https://training.example.org"), "https://training.example.org");
        assert_eq!(origin("http://127.0.0.1:8420"), "http://localhost:8420");
        assert_eq!(origin("http://localhost:8420"), "http://localhost:8420");
        assert!(Challenges::at("http://[::1]:8420").site().is_some());
        for without in ["http://training.example.org", "https://192.0.2.7", "http://192.0.2.7:8420", "training"] {
            assert!(Challenges::at(without).site().is_none(), "{without}");
        }
    }
}
