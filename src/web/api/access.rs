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

/// So that a token is known as one where it was left lying about.
const MARK: &str = "dowel_";

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
            return Err(match app.wrong_tokens.count_token(from, now) {
                Ok(()) => Refusal::wrong_token(),
                Err(wait) => Refusal::slow_down(wait),
            });
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

    #[test]
    fn tokens_differ_and_are_known_as_ours() {
        let (one, two) = (new_token(), new_token());
        assert!(one.starts_with(MARK) && one != two && one.len() == MARK.len() + 43);
    }
}
