//! Setting a password by a one-time link.

use crate::store::ids::PersonId;
use crate::store::links::{Link, Purpose, Spent};
use crate::web::App;
use crate::web::access;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::Frame;
use crate::web::links::Links;
use crate::web::passwords::{LONGEST, SHORTEST, too_easy};
use crate::web::trail;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;

#[derive(Template, WebTemplate)]
#[template(path = "account/password.html")]
struct PasswordPage {
    frame: Frame,
    sign_in: String,
    errors: Errors,
}

/// Why a link cannot be used, in words that lead somewhere.
pub(super) fn spent_words(spent: Spent, purpose: Purpose) -> String {
    let why = match (spent, purpose) {
        (Spent::Used, Purpose::Invitation) => "This invitation was used already. If that was you, sign in.",
        (Spent::Used, Purpose::Password) => "This link was used already. If that was you, sign in.",
        (Spent::Old, _) => "This link is too old.",
        (Spent::Withdrawn, _) => "This link was withdrawn.",
    };
    format!("{why} Otherwise ask your coach for a new one.")
}

/// The open link of a token that we made for this purpose.
pub(super) async fn open_link(app: &App, token: &str, purpose: Purpose) -> Result<Link, Error> {
    let id = Links::number(token).ok_or(Error::NotFound)?;
    let link = app.store.link(id).await?;
    if link.purpose != purpose || !app.links.fits(token, (&link).into()) {
        return Err(Error::NotFound);
    }
    match link.spent(app.clock.now()) {
        Some(spent) => Err(Error::Spent(spent_words(spent, purpose))),
        None => Ok(link),
    }
}

async fn owner(app: &App, link: &Link) -> Result<(PersonId, String), Error> {
    let id = link.person_id.ok_or(Error::NotFound)?;
    Ok((id, app.store.person(id).await?.sign_in))
}

/// `GET /password/{token}`
///
/// # Errors
/// A link that is not ours or is spent.
pub async fn show_password(State(app): State<App>, Path(token): Path<String>) -> Result<Response, Error> {
    let link = open_link(&app, &token, Purpose::Password).await?;
    let (_, sign_in) = owner(&app, &link).await?;
    Ok(PasswordPage { frame: Frame::signed_out("Set a password"), sign_in, errors: Errors::default() }.into_response())
}

/// What is typed.
#[derive(Deserialize)]
pub struct PasswordForm {
    #[serde(default)]
    password: String,
}

/// `POST /password/{token}`
///
/// # Errors
/// A link that is not ours or is spent; a bad password comes back with the form.
pub async fn save_password(
    State(app): State<App>,
    Path(token): Path<String>,
    headers: HeaderMap,
    Form(form): Form<PasswordForm>,
) -> Result<Response, Error> {
    let link = open_link(&app, &token, Purpose::Password).await?;
    let (_, sign_in) = owner(&app, &link).await?;
    let mut errors = Errors::default();
    check_password(&form.password, &[&sign_in], &mut errors);
    if !errors.is_empty() {
        let page = PasswordPage { frame: Frame::signed_out("Set a password"), sign_in, errors };
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    }
    let hash = app.passwords.hash(form.password).await?;
    let person = app.store.use_password_link(link.id, &hash, app.clock.now()).await?;
    trail::add(&app, Some(person), "set a password by a link", None, "").await;
    // a new password does not stand in for a passkey that is asked for
    if app.store.person(person).await?.needs_passkey() {
        return Ok(Redirect::to("/sign-in?said=password").into_response());
    }
    let cookies = access::sign_in(&app, person, &headers).await?;
    Ok((cookies, access::mark_known(&app, person), Redirect::to("/")).into_response())
}

/// Length, and not one that everybody tries first; no other rules, as NIST SP 800-63B advises.
pub(super) fn check_password(password: &str, words: &[&str], errors: &mut Errors) {
    let length = password.chars().count();
    errors.check(length >= SHORTEST, "password", "That is too short: it takes at least 8 characters.");
    errors.check(length <= LONGEST, "password", "At most 256 characters.");
    let words: Vec<&str> = words.iter().copied().chain(["dowel", "training", "coach"]).collect();
    errors.check(
        !(SHORTEST..=LONGEST).contains(&length) || !too_easy(password, &words),
        "password",
        "Too easy to guess. Add a word or two that have nothing to do with it.",
    );
}
