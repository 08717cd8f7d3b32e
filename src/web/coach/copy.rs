//! Copying a week to another week or group.

use super::{count, read_monday, week_address, week_words};
use crate::store::groups::Group;
use crate::store::ids::GroupId;
use crate::store::people::Person;
use crate::training::calendar;
use crate::web::App;
use crate::web::access::{Coach, Staff};
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;
use time::{Date, Duration};

#[derive(Template, WebTemplate)]
#[template(path = "coach/copy.html")]
struct CopyPage {
    frame: Frame,
    address: String,
    sessions: String,
    groups: Vec<Group>,
    form: CopyForm,
    errors: Errors,
}

/// Where to, as chosen.
#[derive(Deserialize, Default)]
pub struct CopyForm {
    #[serde(default)]
    group: String,
    #[serde(default)]
    day: String,
}

async fn page(app: &App, coach: &Person, from: (GroupId, Date), form: CopyForm, errors: Errors) -> Result<CopyPage, Error> {
    let group = app.store.group(from.0).await?;
    let sessions = i64::try_from(app.store.week(from.0, from.1).await?.len()).unwrap_or(0);
    Ok(CopyPage {
        frame: Frame::of(coach, format!("Copy {}, {}", group.name, week_words(from.1)), "week"),
        address: week_address(from.0, from.1),
        sessions: count(sessions, "session", "sessions"),
        groups: app.store.groups().await?,
        form,
        errors,
    })
}

/// `GET /groups/{id}/weeks/{monday}/copy`
///
/// # Errors
/// No such group; a day that is no Monday.
pub async fn show_copy(
    State(app): State<App>,
    Staff(coach): Staff,
    Path((group, monday)): Path<(i64, String)>,
) -> Result<Response, Error> {
    let from = (GroupId(group), read_monday(&monday)?);
    let form = CopyForm { group: group.to_string(), day: calendar::iso(from.1 + Duration::days(7)) };
    Ok(page(&app, &coach, from, form, Errors::default()).await?.into_response())
}

/// `POST /groups/{id}/weeks/{monday}/copy`: any day of the week to copy to is enough.
///
/// # Errors
/// No such group; wrong fields come back with the form.
pub async fn copy_week(
    State(app): State<App>,
    Coach(coach): Coach,
    Path((group, monday)): Path<(i64, String)>,
    Form(form): Form<CopyForm>,
) -> Result<Response, Error> {
    let from = (GroupId(group), read_monday(&monday)?);
    app.store.group(from.0).await?;
    let mut errors = Errors::default();
    let day = calendar::read_iso(form.day.trim());
    errors.check(day.is_some(), "day", "A day of the week to copy to, such as 2026-11-30.");
    let to_group = form.group.parse().ok().map(GroupId);
    let known = match to_group {
        Some(id) => app.store.group(id).await.is_ok(),
        None => false,
    };
    errors.check(known, "group", "Choose a group.");
    if let (true, Some(day), Some(to_group)) = (errors.is_empty(), day, to_group) {
        let to = (to_group, calendar::monday(day));
        if to == from {
            errors.add("day", "This is the week itself. Choose another week or another group.");
        } else {
            let (_, left) = app.store.copy_week(from, to, app.clock.now()).await?;
            let said = if left == 0 { "copied" } else { "copied-some" };
            return Ok(Redirect::to(&format!("{}?said={said}", week_address(to.0, to.1))).into_response());
        }
    }
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&app, &coach, from, form, errors).await?).into_response())
}
