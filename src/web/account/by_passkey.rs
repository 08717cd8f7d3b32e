//! Signing in with a passkey: no name and no password, the device asks for a finger, a face or its code.

use super::sign_in;
use crate::store::StoreError;
use crate::store::ids::PersonId;
use crate::store::passkeys::Kept;
use crate::web::App;
use crate::web::access;
use crate::web::address;
use crate::web::challenges::Asked;
use crate::web::client::Client;
use crate::web::error::Error;
use crate::web::trail;
use axum::Json;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;
use serde_json::json;
use webauthn_rs::prelude::{Passkey, PublicKeyCredential};

/// `POST /sign-in/passkey/question`: what the browser is asked, as JSON.
///
/// # Errors
/// Not found where passkeys cannot be used.
pub async fn create_question(State(app): State<App>, Client(from): Client) -> Result<Response, Error> {
    let site = app.challenges.site().ok_or(Error::NotFound)?;
    let (question, state) = site.start_discoverable_authentication().map_err(|e| Error::Internal(e.into()))?;
    // nobody can have another browser answer a question of theirs, and so sign it in as somebody it is not
    let (cookie, browser) = access::mark_asked(&app);
    let ask = app.challenges.keep(Asked::SignIn { browser, state }, from, app.clock.now());
    Ok((cookie, Json(json!({ "ask": ask, "question": question.public_key }))).into_response())
}

/// The browser's answer, and to which question.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct AnswerForm {
    ask: String,
    answer: String,
    next: Option<String>,
}

/// Why an answer was refused.
enum Refused {
    /// it does not fit what was asked
    Wrong(Option<PersonId>),
    /// its count did not grow: there may be a copy of the passkey
    Copied(PersonId),
}

const NOT_YOURS: &str = "That passkey could not be used here. Try once more, or sign in with your password.";

/// `POST /sign-in/passkey`
///
/// # Errors
/// The store's own; an answer that does not fit comes back with the sign-in page.
pub async fn create_sign_in(
    State(app): State<App>,
    Client(from): Client,
    headers: HeaderMap,
    Form(form): Form<AnswerForm>,
) -> Result<Response, Error> {
    let next = address::own(form.next.as_deref()).to_owned();
    let counted = match app.limits.count_passkey(from, access::known_person(&app, &headers), app.clock.now()) {
        Ok(counted) => counted,
        Err(wait) => {
            trail::limited(&app);
            return Ok(sign_in::wait_first(&app, wait, String::new(), next));
        }
    };
    match answered(&app, &headers, &form).await? {
        Ok(person) => {
            app.limits.forgive(&counted);
            let cookies = access::sign_in_by(&app, person, &headers, "with a passkey").await?;
            Ok((cookies, access::mark_known(&app, person), Redirect::to(&next)).into_response())
        }
        Err(refused) => {
            match refused {
                Refused::Wrong(person) => trail::wrong_passkey(&app, person, "a passkey was refused").await,
                Refused::Copied(person) => trail::wrong_passkey(&app, Some(person), "a passkey may have been copied").await,
            }
            let mut errors = crate::web::forms::Errors::default();
            errors.add("passkey", NOT_YOURS);
            Ok(sign_in::again(&app, StatusCode::UNPROCESSABLE_ENTITY, String::new(), next, errors).into_response())
        }
    }
}

/// Who answered, where everything fits: a question of ours to this browser that nobody answered yet, this site, the person's
/// own passkey, a device that made sure it is them, and a count that has grown.
async fn answered(app: &App, headers: &HeaderMap, form: &AnswerForm) -> Result<Result<PersonId, Refused>, Error> {
    let (Some(site), Some(Asked::SignIn { browser, state })) =
        (app.challenges.site(), app.challenges.take(&form.ask, app.clock.now()))
    else {
        return Ok(Err(Refused::Wrong(None)));
    };
    if access::asked_browser(app, headers) != Some(browser) {
        return Ok(Err(Refused::Wrong(None)));
    }
    let Ok(answer) = serde_json::from_str::<PublicKeyCredential>(&form.answer) else { return Ok(Err(Refused::Wrong(None))) };
    let Ok((handle, credential)) = site.identify_discoverable_authentication(&answer) else {
        return Ok(Err(Refused::Wrong(None)));
    };
    let Some(kept) = app.store.passkey(credential).await? else { return Ok(Err(Refused::Wrong(None))) };
    if kept.handle != handle.to_string() {
        return Ok(Err(Refused::Wrong(Some(kept.person_id))));
    }
    let mut passkey: Passkey = serde_json::from_str(&kept.body).map_err(StoreError::from)?;
    let result = match site.finish_discoverable_authentication_v2(&answer, state, &passkey) {
        Ok(result) => result,
        Err(e) => {
            tracing::warn!(event = "passkey refused", error = %e);
            return Ok(Err(refused(&e, &kept)));
        }
    };
    // the library checks it by its policy; nothing here rests on that alone
    if !result.user_verified() {
        return Ok(Err(Refused::Wrong(Some(kept.person_id))));
    }
    passkey.update_credential(&result);
    let body = serde_json::to_string(&passkey).map_err(StoreError::from)?;
    match app.store.use_passkey(kept.id, result.counter(), &body, app.clock.now()).await {
        Ok(()) => Ok(Ok(kept.person_id)),
        Err(StoreError::Stale) => Ok(Err(Refused::Copied(kept.person_id))),
        Err(e) => Err(e.into()),
    }
}

fn refused(e: &webauthn_rs::prelude::WebauthnError, kept: &Kept) -> Refused {
    match e {
        webauthn_rs::prelude::WebauthnError::CredentialPossibleCompromise => Refused::Copied(kept.person_id),
        _ => Refused::Wrong(Some(kept.person_id)),
    }
}
