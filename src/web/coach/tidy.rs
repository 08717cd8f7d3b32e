//! Tidying a write-up, where the coach asks for it: what was typed beside what it would become, and nothing changes before
//! the coach says so.

use super::editor::{self, WriteUpForm};
use super::place::{Place, SlotPath};
use crate::store::StoreError;
use crate::training::writeup;
use crate::web::App;
use crate::web::access::Staff;
use crate::web::error::Error;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use axum_extra::extract::Form;

#[derive(Template, WebTemplate)]
#[template(path = "coach/tidy.html")]
struct TidyPage {
    frame: Frame,
    address: String,
    edit: i64,
    typed: String,
    /// in tidy form; what cannot be said so stands in it as it was typed
    tidied: String,
    /// nothing was left to put in order
    tidy_already: bool,
}

/// `POST /groups/{id}/days/{date}/{slot}/tidy`: saves what was typed, and shows it tidied.
///
/// # Errors
/// No such group or day; a draft that was saved elsewhere meanwhile comes back beside this one.
pub async fn show_tidied(
    State(app): State<App>,
    Staff(coach): Staff,
    Path(path): Path<SlotPath>,
    Form(form): Form<WriteUpForm>,
) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    let text = form.text();
    let (edit, _) = match editor::save(&app, &place, &form, &text).await {
        Ok(saved) => saved,
        Err(StoreError::Stale) => return editor::stale(&app, &coach, &place, text).await,
        Err(e) => return Err(e.into()),
    };
    let tidied = writeup::tidy(&text, &app.library());
    let page = TidyPage {
        frame: Frame::of(&coach, format!("Tidied: {}, {}", place.words(), place.group.name), "week"),
        address: place.address(),
        edit,
        tidy_already: tidied.trim() == text.trim(),
        typed: text,
        tidied,
    };
    Ok(page.into_response())
}
