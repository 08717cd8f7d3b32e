//! The cautions in full, read and accepted once at joining.

use crate::store::people::Person;
use crate::web::App;
use crate::web::access::{CAUTIONS_VERSION, Newcomer};
use crate::web::error::Error;
use crate::web::forms::{Errors, ticked};
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;

#[derive(Template, WebTemplate)]
#[template(path = "member/cautions.html")]
struct CautionsPage {
    frame: Frame,
    /// the day on which this version was accepted
    accepted: Option<String>,
    errors: Errors,
}

fn page(person: &Person, errors: Errors) -> CautionsPage {
    let now = person.cautions_at.filter(|_| person.cautions_version == Some(CAUTIONS_VERSION));
    let accepted = now.map(|at| crate::training::calendar::long(person.zone.day(at)));
    CautionsPage { frame: Frame::of(person, "Before you train", "you"), accepted, errors }
}

/// `GET /welcome/cautions`
///
/// # Errors
/// Only the store's own.
pub async fn show_cautions(Newcomer(person): Newcomer) -> Result<Response, Error> {
    Ok(page(&person, Errors::default()).into_response())
}

/// What is ticked.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct CautionsForm {
    accept: Option<String>,
}

/// `POST /welcome/cautions`
///
/// # Errors
/// Only the store's own; without the tick the page comes back.
pub async fn accept_cautions(
    State(app): State<App>,
    Newcomer(person): Newcomer,
    Form(form): Form<CautionsForm>,
) -> Result<Response, Error> {
    if !ticked(form.accept.as_ref()) {
        let mut errors = Errors::default();
        errors.add("accept", "Tick this when you have read it. If something in it is not clear, ask your coach first.");
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&person, errors)).into_response());
    }
    app.store.accept_cautions(person.id, CAUTIONS_VERSION, app.clock.now()).await?;
    Ok(Redirect::to("/today").into_response())
}
