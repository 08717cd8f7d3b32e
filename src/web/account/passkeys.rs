//! One's passkeys: listed, made, removed. Making one takes two steps: the password once more, then the device's own question.

use super::confirm::{self, Confirmed};
use crate::clock;
use crate::store::StoreError;
use crate::store::ids::PasskeyId;
use crate::store::passkeys::{Kept, MOST, NewPasskey};
use crate::store::people::{Person, Role};
use crate::training::calendar;
use crate::web::App;
use crate::web::access::{self, SignedIn};
use crate::web::challenges::Asked;
use crate::web::client::Client;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::{Frame, Said};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;
use webauthn_rs::prelude::{CreationChallengeResponse, Passkey, RegisterPublicKeyCredential, Uuid};

#[derive(Template, WebTemplate)]
#[template(path = "account/passkeys.html")]
struct PasskeysPage {
    frame: Frame,
    coach: bool,
    asked: bool,
    passkeys: Vec<Row>,
    /// under which address they work; empty: under none
    origin: String,
    full: bool,
    name: String,
    errors: Errors,
}

struct Row {
    id: PasskeyId,
    /// of its password
    field: String,
    name: String,
    made: String,
    used: Option<String>,
}

#[derive(Template, WebTemplate)]
#[template(path = "account/passkey.html")]
struct PasskeyPage {
    frame: Frame,
    name: String,
    /// JSON for the browser
    question: String,
    ask: String,
}

async fn page(app: &App, person: &Person, name: String, errors: Errors) -> Result<PasskeysPage, Error> {
    let day = |at| calendar::long(person.zone.day(at));
    let row = |k: Kept| Row {
        id: k.id,
        field: format!("password-{}", k.id),
        made: day(k.created_at()),
        used: k.used_at().map(day),
        name: k.name,
    };
    let passkeys: Vec<Row> = app.store.passkeys_of(person.id).await?.into_iter().map(row).collect();
    Ok(PasskeysPage {
        frame: Frame::of(person, "Passkeys", "you"),
        coach: person.role == Role::Coach,
        asked: person.passkey_asked,
        origin: app.challenges.origin().to_owned(),
        full: i64::try_from(passkeys.len()).unwrap_or(MOST) >= MOST,
        passkeys,
        name,
        errors,
    })
}

/// The page once more, with what is wrong.
async fn again(app: &App, person: &Person, name: String, errors: Errors) -> Result<Response, Error> {
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page(app, person, name, errors).await?).into_response())
}

/// `GET /you/passkeys`
///
/// # Errors
/// Only the store's own.
pub async fn list_passkeys(State(app): State<App>, SignedIn(person): SignedIn, Query(q): Query<Said>) -> Result<Response, Error> {
    let mut page = page(&app, &person, String::new(), Errors::default()).await?;
    page.frame = page.frame.saying(q.said.as_deref());
    Ok(page.into_response())
}

/// What the new one is called, and the password once more.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct NewForm {
    name: String,
    password: String,
}

/// `POST /you/passkeys`: asks the browser for a new one.
///
/// # Errors
/// Only the store's own; wrong fields come back with the list.
pub async fn new_passkey(
    State(app): State<App>,
    SignedIn(person): SignedIn,
    from: Client,
    headers: HeaderMap,
    Form(form): Form<NewForm>,
) -> Result<Response, Error> {
    let mut errors = Errors::default();
    let name = form.name.trim().to_owned();
    errors.check((1..=60).contains(&name.chars().count()), "name", "A name, so that you know it again: my phone, my key ring.");
    errors.check(i64::from(person.passkeys) < MOST, "name", "You have ten. Remove one that you no longer use.");
    errors.check(app.challenges.site().is_some(), "name", "Passkeys cannot be made under this address.");
    if errors.is_empty()
        && let Confirmed::Not(words) = confirm::password(&app, &person, from, &headers, form.password).await?
    {
        errors.add("password", words);
    }
    if !errors.is_empty() {
        return again(&app, &person, form.name, errors).await;
    }
    let (question, asked) = question(&app, &person, &headers, &name).await?;
    let ask = app.challenges.keep(asked, from.0, app.clock.now());
    let frame = Frame::of(&person, "Make a passkey", "you");
    Ok(PasskeyPage { frame, name, question, ask }.into_response())
}

/// What the browser is asked, as JSON, and what must be known when it answers.
async fn question(app: &App, person: &Person, headers: &HeaderMap, name: &str) -> Result<(String, Asked), Error> {
    let site = app.challenges.site().ok_or(Error::NotFound)?;
    let has = app.store.passkeys_of(person.id).await?;
    let handle = has.first().and_then(|k| Uuid::parse_str(&k.handle).ok()).unwrap_or_else(new_handle);
    let ids = has.iter().filter_map(|k| serde_json::from_str::<Passkey>(&k.body).ok()).map(|p| p.cred_id().clone()).collect();
    let (ask, state) = site
        .start_passkey_registration(handle, &person.sign_in, &person.name, Some(ids))
        .map_err(|e| Error::Internal(e.into()))?;
    let question = findable(&ask)?;
    let browser = access::this_browser(app, headers).unwrap_or_default();
    Ok((question, Asked::Make { person: person.id, browser, name: name.to_owned(), handle, state }))
}

fn new_handle() -> Uuid {
    uuid::Builder::from_random_bytes(clock::random::<16>()).into_uuid()
}

/// Nobody types a name to sign in: the device must be able to find the passkey by itself. The library leaves that open.
fn findable(ask: &CreationChallengeResponse) -> Result<String, Error> {
    let mut question = serde_json::to_value(&ask.public_key).map_err(StoreError::from)?;
    question["authenticatorSelection"]["residentKey"] = "required".into();
    question["authenticatorSelection"]["requireResidentKey"] = true.into();
    Ok(question.to_string())
}

/// The browser's answer, and to which question.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct MadeForm {
    ask: String,
    answer: String,
}

const NOT_MADE: &str = "That did not work, and no passkey was made. Try once more.";

/// `POST /you/passkeys/made`
///
/// # Errors
/// Only the store's own; an answer that does not fit comes back with the list.
pub async fn create_passkey(
    State(app): State<App>,
    SignedIn(person): SignedIn,
    headers: HeaderMap,
    Form(form): Form<MadeForm>,
) -> Result<Response, Error> {
    let mut errors = Errors::default();
    match made(&app, &person, &headers, &form) {
        Some(new) => match app.store.add_passkey(person.id, &new, app.clock.now()).await {
            Ok(_) => return Ok(Redirect::to("/you/passkeys?said=passkey").into_response()),
            Err(StoreError::Taken(_)) => errors.add("name", "This passkey is known already."),
            Err(StoreError::Stale) => errors.add("name", "You have ten. Remove one that you no longer use."),
            Err(e) => return Err(e.into()),
        },
        None => errors.add("name", NOT_MADE),
    }
    again(&app, &person, String::new(), errors).await
}

/// The passkey that was made, where the answer fits a question to this person in this browser.
fn made(app: &App, person: &Person, headers: &HeaderMap, form: &MadeForm) -> Option<NewPasskey> {
    let asked = app.challenges.take(&form.ask, app.clock.now())?;
    let Asked::Make { person: whose, browser, name, handle, state } = asked else { return None };
    if whose != person.id || access::this_browser(app, headers) != Some(browser) {
        return None;
    }
    let answer: RegisterPublicKeyCredential = serde_json::from_str(&form.answer).ok()?;
    let passkey = app
        .challenges
        .site()?
        .finish_passkey_registration(&answer, &state)
        .inspect_err(|e| tracing::warn!(event = "passkey not made", error = %e))
        .ok()?;
    Some(NewPasskey {
        credential_id: passkey.cred_id().clone(),
        handle: handle.to_string(),
        name,
        body: serde_json::to_string(&passkey).ok()?,
    })
}

/// One's own password, typed once more.
#[derive(Deserialize)]
pub struct Password {
    #[serde(default)]
    password: String,
}

/// `POST /you/passkeys/{id}/remove`: every other browser is signed out with it.
///
/// # Errors
/// Somebody else's is not found; a wrong password comes back with the list.
pub async fn remove_passkey(
    State(app): State<App>,
    SignedIn(person): SignedIn,
    from: Client,
    Path(id): Path<i64>,
    headers: HeaderMap,
    Form(typed): Form<Password>,
) -> Result<Response, Error> {
    let id = PasskeyId(id);
    if !app.store.passkeys_of(person.id).await?.iter().any(|k| k.id == id) {
        return Err(Error::NotFound);
    }
    let mut errors = Errors::default();
    match confirm::password(&app, &person, from, &headers, typed.password).await? {
        Confirmed::Not(words) => errors.add(format!("password-{id}"), words),
        Confirmed::Right => {
            let this = access::this_browser(&app, &headers).unwrap_or_default();
            match app.store.remove_passkey(person.id, id, &this).await {
                Ok(()) => return Ok(Redirect::to("/you/passkeys?said=passkey-gone").into_response()),
                Err(StoreError::Stale) => {
                    errors.add(format!("password-{id}"), "It is your last one, and you are asked for one. Make another first.");
                }
                Err(e) => return Err(e.into()),
            }
        }
    }
    again(&app, &person, String::new(), errors).await
}
