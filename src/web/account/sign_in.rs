//! Signing in and out.

use crate::store::ids::PersonId;
use crate::web::App;
use crate::web::access::{self, SignedIn};
use crate::web::address;
use crate::web::client::Client;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::Frame;
use crate::web::limits;
use crate::web::passwords;
use crate::web::trail;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;

#[derive(Template, WebTemplate)]
#[template(path = "account/sign_in.html")]
struct SignInPage {
    frame: Frame,
    name: String,
    next: String,
    /// passkeys can be used
    passkeys: bool,
    /// links for forgotten passwords go by mail
    mail: bool,
    errors: Errors,
}

/// Where to go after signing in, and what was just done.
#[derive(Deserialize)]
pub struct Next {
    next: Option<String>,
    said: Option<String>,
}

/// `GET /sign-in`
///
/// # Errors
/// Only the store's own.
pub async fn show_sign_in(State(app): State<App>, who: Option<SignedIn>, Query(q): Query<Next>) -> Result<Response, Error> {
    let next = address::own(q.next.as_deref()).to_owned();
    if who.is_some() {
        return Ok(Redirect::to(&next).into_response());
    }
    let mut page = page(&app, String::new(), next, Errors::default());
    page.frame = page.frame.saying(q.said.as_deref());
    Ok(page.into_response())
}

/// What is typed to sign in.
#[derive(Deserialize)]
pub struct SignInForm {
    #[serde(default)]
    name: String,
    #[serde(default)]
    password: String,
    next: Option<String>,
}

/// `POST /sign-in`
///
/// # Errors
/// The store's own, and too many at once; wrong words come back with the form.
pub async fn create_sign_in(
    State(app): State<App>,
    Client(from): Client,
    headers: HeaderMap,
    Form(form): Form<SignInForm>,
) -> Result<Response, Error> {
    let next = address::own(form.next.as_deref()).to_owned();
    let mut errors = Errors::default();
    if form.name.trim().is_empty() {
        errors.add("name", "Type the e-mail address or name you chose when you joined.");
        return Ok(again(&app, StatusCode::UNPROCESSABLE_ENTITY, form.name, next, errors).into_response());
    }
    let (person, hash) = app.store.credentials(&form.name).await?.map_or((None, None), |(id, hash)| (Some(id), hash));
    let known = person.is_some_and(|id| access::is_known(&app, id, &headers));
    let counted = match app.limits.count(&form.name, from, known, app.clock.now()) {
        Ok(counted) => counted,
        Err(wait) => {
            trail::limited(&app);
            return Ok(wait_first(&app, wait, form.name, next));
        }
    };
    let typed = form.password.clone();
    let right = app.passwords.verify(form.password, hash.clone()).await?;
    // somebody who is asked for a passkey and has one signs in with it alone, and reads the same as after a wrong password
    let enough = match person {
        Some(id) if right => !app.store.person(id).await?.needs_passkey(),
        _ => false,
    };
    if let (Some(person), true) = (person, enough) {
        app.limits.forgive(&counted);
        if let Some(old) = hash.filter(|hash| passwords::is_old(hash)) {
            renew(&app, person, typed, &old).await;
        }
        let cookies = access::sign_in(&app, person, &headers).await?;
        return Ok((cookies, access::mark_known(&app, person), Redirect::to(&next)).into_response());
    }
    trail::wrong_sign_in(&app, person).await;
    errors.add("password", WRONG);
    Ok(again(&app, StatusCode::UNPROCESSABLE_ENTITY, form.name, next, errors).into_response())
}

/// Hashes a right password anew that was hashed with other settings than today's. Where that fails the next sign-in tries again.
async fn renew(app: &App, person: PersonId, typed: String, old: &str) {
    let renewed = async { Ok::<_, Error>(app.store.renew_hash(person, old, &app.passwords.hash(typed).await?).await?) };
    if let Err(e) = renewed.await {
        tracing::warn!(error = ?e, "a password could not be hashed anew");
    }
}

const WRONG: &str = "Name and password do not fit together, or a passkey is asked for here.";

fn page(app: &App, name: String, next: String, errors: Errors) -> SignInPage {
    let passkeys = app.challenges.site().is_some();
    SignInPage { frame: Frame::signed_out("Sign in"), name, next, passkeys, mail: app.post.is_some(), errors }
}

pub(super) fn again(app: &App, status: StatusCode, name: String, next: String, errors: Errors) -> impl IntoResponse {
    (status, page(app, name, next, errors))
}

pub(super) fn wait_first(app: &App, wait: time::Duration, name: String, next: String) -> Response {
    let mut errors = Errors::default();
    let words = limits::minutes(wait);
    errors.add("password", format!("Too many tries. Wait {words}, or ask your coach for a new link."));
    ([limits::retry_after(wait)], again(app, StatusCode::TOO_MANY_REQUESTS, name, next, errors)).into_response()
}

/// `POST /sign-out`
///
/// # Errors
/// Only the store's own.
pub async fn delete_sign_in(State(app): State<App>, _who: Option<SignedIn>, headers: HeaderMap) -> Result<Response, Error> {
    let cookies = access::sign_out(&app, &headers).await?;
    // not "storage": on a shared phone that would throw away what others have typed and not sent; the page and its worker
    // clear what is this person's (static/js/offline)
    let clear = [("clear-site-data", "\"cache\"")];
    Ok((cookies, clear, Redirect::to("/sign-in")).into_response())
}
