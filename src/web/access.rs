//! Who may: a handler says it in its signature.

use super::App;
use super::around::Note;
use super::error::Error;
use super::trail;
use crate::clock;
use crate::store::ids::PersonId;
use crate::store::people::{Person, Role};
use axum::extract::{FromRequestParts, MatchedPath, OptionalFromRequestParts};
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderName, header};
use axum::response::AppendHeaders;
use axum_extra::extract::cookie::{Cookie, CookieJar, SameSite};
use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use sha2::{Digest, Sha256};

/// The version of the cautions that members read and accept at joining.
pub const CAUTIONS_VERSION: i64 = 1;

/// Anybody who is signed in.
#[derive(Debug)]
pub struct SignedIn(pub Person);

/// A coach or an assistant: for what an assistant may see, and for the little that one may do.
#[derive(Debug)]
pub struct Staff(pub Person);

/// A coach who is no assistant: for whatever changes something, and for pages about people's access and the practice itself.
#[derive(Debug)]
pub struct Coach(pub Person);

/// Whoever is all the way in: coaches, assistants, and members who have been through joining.
#[derive(Debug)]
pub struct Joined(pub Person);

/// The same without assistants, who look on.
#[derive(Debug)]
pub struct NoAssistant(pub Person);

/// A member who has accepted the cautions.
#[derive(Debug)]
pub struct Member(pub Person);

/// A member who may still be on the way through joining.
#[derive(Debug)]
pub struct Newcomer(pub Person);

fn cookie_name(app: &App) -> &'static str {
    // the prefix makes browsers refuse the cookie without TLS, so it is only used with TLS
    if app.config.secure() { "__Host-dowel" } else { "dowel" }
}

fn cookie_hash(app: &App, headers: &HeaderMap) -> Option<[u8; 32]> {
    let jar = CookieJar::from_headers(headers);
    let token = BASE64_URL_SAFE_NO_PAD.decode(jar.get(cookie_name(app))?.value()).ok()?;
    Some(Sha256::digest(token).into())
}

/// The hash of this browser's cookie, where there is no doubt which one counts.
#[must_use]
pub fn only_sign_in(app: &App, headers: &HeaderMap) -> Option<[u8; 32]> {
    let pairs = headers.get_all(header::COOKIE).iter().filter_map(|line| line.to_str().ok()).flat_map(|line| line.split(';'));
    let mut own = pairs.filter_map(|pair| pair.trim().strip_prefix(cookie_name(app))?.strip_prefix('='));
    let (token, None) = (own.next()?, own.next()) else { return None };
    Some(Sha256::digest(BASE64_URL_SAFE_NO_PAD.decode(token).ok()?).into())
}

/// Names this sign-in on its device without being of any use to sign in with; none without a cookie of ours.
pub fn device_key(app: &App, headers: &HeaderMap) -> Option<String> {
    let hash = cookie_hash(app, headers)?;
    let name = Sha256::new().chain_update(b"device ").chain_update(hash).finalize();
    Some(BASE64_URL_SAFE_NO_PAD.encode(&name[..12]))
}

async fn who(app: &App, parts: &Parts) -> Result<Option<Person>, Error> {
    let Some(hash) = cookie_hash(app, &parts.headers) else { return Ok(None) };
    // every page of somebody's is made with the library as it is now
    app.look_around().await?;
    let person = app.store.signed_in(&hash, app.clock.now()).await?;
    if let (Some(note), Some(person)) = (parts.extensions.get::<Note>(), &person) {
        note.set(person.id);
    }
    Ok(person)
}

/// The hash of this browser's cookie.
#[must_use]
pub fn this_browser(app: &App, headers: &HeaderMap) -> Option<[u8; 32]> {
    cookie_hash(app, headers)
}

fn known_name(app: &App) -> &'static str {
    if app.config.secure() { "__Host-dowel-known" } else { "dowel-known" }
}

/// This person signed in here once.
#[must_use]
pub fn is_known(app: &App, person: PersonId, headers: &HeaderMap) -> bool {
    let jar = CookieJar::from_headers(headers);
    jar.get(known_name(app)).is_some_and(|mark| app.links.knows(mark.value(), person))
}

/// Who signed in here once, as the browser's mark says.
#[must_use]
pub fn known_person(app: &App, headers: &HeaderMap) -> Option<PersonId> {
    let jar = CookieJar::from_headers(headers);
    let mark = jar.get(known_name(app))?.value();
    let person = PersonId(mark.split_once('-')?.0.parse().ok()?);
    app.links.knows(mark, person).then_some(person)
}

/// Marks this browser as one in which this person signed in; it outlives signing out, and opens nothing.
pub fn mark_known(app: &App, person: PersonId) -> AppendHeaders<[(HeaderName, String); 1]> {
    let cookie = keep_cookie(app, known_name(app), app.links.known(person));
    AppendHeaders([(header::SET_COOKIE, cookie.to_string())])
}

fn keep_cookie(app: &App, name: &'static str, value: String) -> Cookie<'static> {
    Cookie::build((name, value))
        .path("/")
        .http_only(true)
        .same_site(SameSite::Lax)
        .secure(app.config.secure())
        // the longest that browsers keep one; how long it is good for is decided here
        .max_age(time::Duration::days(400))
        .build()
}

fn asking_name(app: &App) -> &'static str {
    if app.config.secure() { "__Host-dowel-ask" } else { "dowel-ask" }
}

/// The hash of the cookie that ties questions to a browser in which nobody is signed in yet.
#[must_use]
pub fn asked_browser(app: &App, headers: &HeaderMap) -> Option<[u8; 32]> {
    let jar = CookieJar::from_headers(headers);
    let token = BASE64_URL_SAFE_NO_PAD.decode(jar.get(asking_name(app))?.value()).ok()?;
    (token.len() == 32).then(|| Sha256::digest(token).into())
}

/// Ties a question to this browser, for as long as it may be answered: the cookie to send, and its hash.
pub fn mark_asked(app: &App) -> (AppendHeaders<[(HeaderName, String); 1]>, [u8; 32]) {
    let token = clock::random::<32>();
    let cookie = Cookie::build((asking_name(app), BASE64_URL_SAFE_NO_PAD.encode(token)))
        .path("/")
        .http_only(true)
        .same_site(SameSite::Strict)
        .secure(app.config.secure())
        .max_age(super::challenges::WAITS)
        .build();
    (AppendHeaders([(header::SET_COOKIE, cookie.to_string())]), Sha256::digest(token).into())
}

/// Where to go after signing in: this page, or the page whose form was sent.
fn way_back(parts: &Parts) -> &str {
    if parts.method.is_safe() {
        return parts.uri.path_and_query().map_or("/", |p| p.as_str());
    }
    let referer = parts.headers.get(header::REFERER).and_then(|v| v.to_str().ok()).unwrap_or_default();
    // scheme, nothing, host: what follows is the path
    let path = referer.match_indices('/').nth(2).map_or("/", |(at, _)| &referer[at..]);
    if path.is_empty() { "/" } else { path }
}

/// What somebody may do who is asked for a passkey and has none yet.
pub const BEFORE_A_PASSKEY: &[&str] =
    &["/you/passkeys", "/you/passkeys/made", "/you/password", "/you/devices", "/you/devices/{id}/sign-out"];

async fn somebody(app: &App, parts: &Parts) -> Result<Person, Error> {
    let person = who(app, parts).await?.ok_or_else(|| Error::SignIn(way_back(parts).to_owned()))?;
    if person.passkey_asked && person.passkeys == 0 && !BEFORE_A_PASSKEY.contains(&route(parts)) {
        return Err(Error::First("/you/passkeys"));
    }
    Ok(person)
}

fn route(parts: &Parts) -> &str {
    parts.extensions.get::<MatchedPath>().map_or("", MatchedPath::as_str)
}

impl FromRequestParts<App> for SignedIn {
    type Rejection = Error;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Error> {
        somebody(app, parts).await.map(Self)
    }
}

impl OptionalFromRequestParts<App> for SignedIn {
    type Rejection = Error;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Option<Self>, Error> {
        Ok(who(app, parts).await?.map(Self))
    }
}

impl FromRequestParts<App> for Staff {
    type Rejection = Error;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Error> {
        let person = somebody(app, parts).await?;
        if person.role == Role::Coach { Ok(Self(person)) } else { Err(Error::NotFound) }
    }
}

impl FromRequestParts<App> for Coach {
    type Rejection = Error;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Error> {
        let Staff(person) = Staff::from_request_parts(parts, app).await?;
        if person.assistant { Err(Error::ForCoaches) } else { Ok(Self(person)) }
    }
}

impl FromRequestParts<App> for Joined {
    type Rejection = Error;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Error> {
        let person = somebody(app, parts).await?;
        if person.role == Role::Coach { Ok(Self(person)) } else { through_joining(person).map(Self) }
    }
}

impl FromRequestParts<App> for NoAssistant {
    type Rejection = Error;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Error> {
        let Joined(person) = Joined::from_request_parts(parts, app).await?;
        if person.assistant { Err(Error::ForCoaches) } else { Ok(Self(person)) }
    }
}

impl FromRequestParts<App> for Newcomer {
    type Rejection = Error;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Error> {
        let person = somebody(app, parts).await?;
        if person.role == Role::Member { Ok(Self(person)) } else { Err(Error::NotFound) }
    }
}

impl FromRequestParts<App> for Member {
    type Rejection = Error;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Error> {
        let Newcomer(person) = Newcomer::from_request_parts(parts, app).await?;
        through_joining(person).map(Self)
    }
}

/// A member who has been through joining; any other goes on with the first step that is not done. Whoever accepted earlier
/// cautions reads the new ones and no more.
fn through_joining(member: Person) -> Result<Person, Error> {
    match member.cautions_version {
        Some(CAUTIONS_VERSION) => Ok(member),
        Some(_) => Err(Error::First("/welcome/cautions")),
        None if member.kit_checked_at.is_none() => Err(Error::First("/welcome/kit")),
        None => Err(Error::First("/welcome/limits")),
    }
}

/// Signs a person in on this browser: a fresh cookie, kept as a hash.
///
/// # Errors
/// Only the store's own.
pub async fn sign_in(app: &App, person: PersonId, headers: &HeaderMap) -> Result<CookieJar, Error> {
    sign_in_by(app, person, headers, "").await
}

/// Signs a person in on this browser; `how` stands in the trail.
///
/// # Errors
/// Only the store's own.
pub async fn sign_in_by(app: &App, person: PersonId, headers: &HeaderMap, how: &'static str) -> Result<CookieJar, Error> {
    // an old cookie of this browser ends here, so that nobody else's sign-in lives on in it
    if let Some(old) = cookie_hash(app, headers) {
        app.store.end_sign_in(&old).await?;
    }
    let token = clock::random::<32>();
    let agent = headers.get(header::USER_AGENT).and_then(|v| v.to_str().ok()).unwrap_or_default();
    app.store.add_sign_in(&Sha256::digest(token).into(), person, agent, app.clock.now()).await?;
    trail::add(app, Some(person), "signed in", None, how).await;
    let cookie = keep_cookie(app, cookie_name(app), BASE64_URL_SAFE_NO_PAD.encode(token));
    Ok(CookieJar::new().add(cookie))
}

/// Signs this browser out.
///
/// # Errors
/// Only the store's own.
pub async fn sign_out(app: &App, headers: &HeaderMap) -> Result<CookieJar, Error> {
    if let Some(hash) = cookie_hash(app, headers) {
        app.store.end_sign_in(&hash).await?;
    }
    let gone = Cookie::build((cookie_name(app), "")).path("/").secure(app.config.secure()).http_only(true);
    Ok(CookieJar::from_headers(headers).remove(gone))
}
