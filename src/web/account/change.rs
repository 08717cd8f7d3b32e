//! Changing one's own password.

use super::confirm::{self, Confirmed};
use super::password::check_password;
use crate::web::App;
use crate::web::access::{self, SignedIn};
use crate::web::client::Client;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;

#[derive(Template, WebTemplate)]
#[template(path = "account/change.html")]
struct ChangePage {
    frame: Frame,
    sign_in: String,
    errors: Errors,
}

/// Both passwords as typed; neither is sent back.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct ChangeForm {
    current: String,
    password: String,
}

/// `GET /you/password`
pub async fn edit_password(SignedIn(person): SignedIn) -> Response {
    let frame = Frame::of(&person, "Change your password", "you");
    ChangePage { frame, sign_in: person.sign_in, errors: Errors::default() }.into_response()
}

/// `POST /you/password`: every other browser is signed out, and this one gets a new cookie.
///
/// # Errors
/// Only the store's own; wrong fields come back with the form.
pub async fn change_password(
    State(app): State<App>,
    SignedIn(person): SignedIn,
    from: Client,
    headers: HeaderMap,
    Form(form): Form<ChangeForm>,
) -> Result<Response, Error> {
    let mut errors = Errors::default();
    check_password(&form.password, &[&person.sign_in, &person.name], &mut errors);
    if errors.is_empty()
        && let Confirmed::Not(words) = confirm::password(&app, &person, from, &headers, form.current).await?
    {
        errors.add("current", words);
    }
    if !errors.is_empty() {
        let frame = Frame::of(&person, "Change your password", "you");
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, ChangePage { frame, sign_in: person.sign_in, errors }).into_response());
    }
    let hash = app.passwords.hash(form.password).await?;
    app.store.change_password(person.id, &hash).await?;
    let cookies = access::sign_in(&app, person.id, &headers).await?;
    Ok((cookies, access::mark_known(&app, person.id), Redirect::to("/you/devices?said=password")).into_response())
}
