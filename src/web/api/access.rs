//! Who may, by token: a handler says it in its signature, as on the pages.

use super::problem::Refusal;
use crate::clock;
use crate::store::people::{Person, Role};
use crate::store::tokens::Scope;
use crate::web::App;
use crate::web::access::CAUTIONS_VERSION;
use crate::web::around::Note;
use crate::web::client::Client;
use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use axum::http::{HeaderMap, header};
use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use sha2::{Digest, Sha256};
use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};
use time::{Duration, OffsetDateTime};

/// So that a token is known as one where it was left lying about.
const MARK: &str = "dowel_";
const WINDOW: Duration = Duration::minutes(1);
const TRIES: u32 = 60;
/// Past this many addresses all are forgotten: memory stays bounded, and a token cannot be guessed anyway.
const ADDRESSES: usize = 10_000;

/// A new token: 256 random bits.
#[must_use]
pub fn new_token() -> String {
    MARK.to_owned() + &BASE64_URL_SAFE_NO_PAD.encode(clock::random::<32>())
}

/// What is kept of a token.
#[must_use]
pub fn hash(token: &str) -> [u8; 32] {
    Sha256::digest(token).into()
}

/// Wrong tokens of the last minute, by address; a right one always passes.
#[derive(Clone, Debug, Default)]
pub struct WrongTokens(Arc<Mutex<HashMap<IpAddr, (u32, OffsetDateTime)>>>);

impl WrongTokens {
    /// Counts one; seconds to wait where there were too many.
    fn count(&self, from: IpAddr, now: OffsetDateTime) -> Option<i64> {
        let mut wrong = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if wrong.len() >= ADDRESSES {
            wrong.clear();
        }
        let (count, since) = wrong.get(&from).copied().filter(|(_, since)| *since + WINDOW > now).unwrap_or((0, now));
        wrong.insert(from, (count.saturating_add(1), since));
        (count >= TRIES).then(|| (since + WINDOW - now).whole_seconds().max(1))
    }
}

fn bearer(headers: &HeaderMap) -> Result<&str, Refusal> {
    let mut all = headers.get_all(header::AUTHORIZATION).iter();
    let first = all.next().ok_or_else(Refusal::no_token)?;
    if all.next().is_some() {
        return Err(Refusal::malformed());
    }
    let (scheme, token) = first.to_str().ok().and_then(|v| v.trim().split_once(' ')).ok_or_else(Refusal::malformed)?;
    let token = token.trim();
    let fits = |b: u8| b.is_ascii_alphanumeric() || b"-._~+/=".contains(&b);
    if !scheme.eq_ignore_ascii_case("bearer") || token.is_empty() || !token.bytes().all(fits) {
        return Err(Refusal::malformed());
    }
    Ok(token)
}

/// Whoever holds a good token.
#[derive(Debug)]
pub struct Holder {
    /// whose token
    pub person: Person,
    /// what it may do
    pub scopes: Vec<Scope>,
}

impl FromRequestParts<App> for Holder {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Refusal> {
        let token = bearer(&parts.headers)?;
        let now = app.clock.now();
        app.look_around().await?;
        let Some((person, scopes)) = app.store.token_holder(&hash(token), now).await? else {
            let Client(from) = Client::from_request_parts(parts, app).await?;
            return Err(app.wrong_tokens.count(from, now).map_or_else(Refusal::wrong_token, Refusal::slow_down));
        };
        if let Some(note) = parts.extensions.get::<Note>() {
            note.set(person.id);
        }
        if person.role == Role::Member && person.cautions_version != Some(CAUTIONS_VERSION) {
            return Err(Refusal::forbidden("Sign in on the pages first, and read and accept the cautions."));
        }
        Ok(Self { person, scopes })
    }
}

impl Holder {
    fn needs(self, scope: Scope, name: &str) -> Result<Person, Refusal> {
        if self.scopes.contains(&scope) { Ok(self.person) } else { Err(Refusal::scope(name)) }
    }
}

/// May look at what its owner may see.
#[derive(Debug)]
pub struct Reads(pub Person);

/// A member who may log.
#[derive(Debug)]
pub struct Logs(pub Person);

/// A coach who may look at members; no assistant, as on the pages where tables of them are taken out.
#[derive(Debug)]
pub struct Coaches(pub Person);

impl FromRequestParts<App> for Reads {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Refusal> {
        Holder::from_request_parts(parts, app).await?.needs(Scope::Read, "read").map(Self)
    }
}

impl FromRequestParts<App> for Logs {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Refusal> {
        let person = Holder::from_request_parts(parts, app).await?.needs(Scope::Log, "log")?;
        if person.role == Role::Member { Ok(Self(person)) } else { Err(Refusal::not_found()) }
    }
}

impl FromRequestParts<App> for Coaches {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Refusal> {
        let person = Holder::from_request_parts(parts, app).await?.needs(Scope::Coach, "coach")?;
        match person.role {
            Role::Coach if person.assistant => Err(Refusal::forbidden("This is for coaches. An assistant may not take it out.")),
            Role::Coach => Ok(Self(person)),
            Role::Member => Err(Refusal::not_found()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use time::macros::datetime;

    #[test]
    fn wrong_tokens_are_slowed_down_and_time_frees_them() {
        let (wrong, now) = (WrongTokens::default(), datetime!(2026-11-25 12:00 UTC));
        let (here, there) = (IpAddr::from([192, 0, 2, 1]), IpAddr::from([192, 0, 2, 2]));
        assert!((0..TRIES).all(|_| wrong.count(here, now).is_none()));
        assert_eq!(wrong.count(here, now + Duration::seconds(20)), Some(40));
        assert_eq!(wrong.count(there, now), None, "somebody else's");
        assert_eq!(wrong.count(here, now + WINDOW), None);
    }

    #[test]
    fn tokens_differ_and_are_known_as_ours() {
        let (one, two) = (new_token(), new_token());
        assert!(one.starts_with(MARK) && one != two && one.len() == MARK.len() + 43);
    }
}
