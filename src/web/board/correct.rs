//! The coach corrects a result, and says why: its owner reads it, and what stood there before is kept.

use crate::store::ids::ResultId;
use crate::store::people::Person;
use crate::store::results::{Editor, NewResult, ResultRow};
use crate::store::weeks::GONE;
use crate::training::calendar;
use crate::training::wording;
use crate::web::App;
use crate::web::access::{Coach, Staff};
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::{Frame, Said};
use crate::web::member::earlier::{Earlier, earlier};
use crate::web::member::log::{self, LogView, Target};
use crate::web::member::own::Own;
use crate::web::member::results::own_part;
use crate::web::questions::when;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;

/// Longest reason, in characters.
const LONGEST: usize = 500;

#[derive(Template, WebTemplate)]
#[template(path = "board/correct.html")]
struct CorrectPage {
    frame: Frame,
    who: String,
    person: String,
    about: String,
    back: String,
    /// the part is scored
    scored: bool,
    /// as typed
    typed: String,
    doubt: Option<String>,
    /// when it was taken back
    withdrawn: Option<String>,
    /// when it was first logged
    first: String,
    asks_load: bool,
    versions: Vec<(String, String)>,
    form: Correction,
    errors: Errors,
    earlier: Vec<Earlier>,
}

/// What the coach can change, as typed. Minutes, effort, notes and pain are the member's own words.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Correction {
    score: String,
    version: String,
    load: String,
    done_on: String,
    reason: String,
}

async fn page(app: &App, coach: &Person, result: &ResultRow, typed: Option<(Correction, Errors)>) -> Result<CorrectPage, Error> {
    let version = app.store.version(result.version_id).await?;
    let part = version.session.parts.get(result.part).ok_or(Error::NotFound)?;
    let person = app.store.person(result.person_id).await?;
    let (seen, now) = (Own::of(app, &person).await?, app.clock.now());
    let reader = seen.reader(app, &person);
    let view = LogView::edit(&reader, &version, own_part(&version, result.part, &reader).as_ref(), result);
    let stands = Correction {
        score: view.form.score,
        version: view.form.version,
        load: view.form.load,
        done_on: view.form.done_on,
        reason: String::new(),
    };
    let (form, errors) = typed.unwrap_or((stands, Errors::default()));
    Ok(CorrectPage {
        frame: Frame::of(coach, format!("Correct the result of {}", person.name), "week"),
        who: person.name.clone(),
        person: format!("/people/{}", person.id),
        about: format!("{}, {}", calendar::long(version.day), wording::part(part)),
        back: match result.stands {
            GONE.. => format!("/sessions/{}/results", result.session_id),
            part => format!("/sessions/{}/parts/{part}/board#result-{}", result.session_id, result.id),
        },
        scored: view.label.is_some() || view.asks_sets,
        typed: result.score_text.clone(),
        doubt: result.doubt.clone(),
        withdrawn: result.withdrawn_at.map(|at| when(coach, at, now)),
        first: when(coach, result.created_at, now),
        asks_load: view.asks_load,
        versions: view.versions,
        form,
        errors,
        earlier: earlier(app, result, coach).await?,
    })
}

/// `GET /results/{id}/correct`
///
/// # Errors
/// A result that is not there.
pub async fn show_correction(
    State(app): State<App>,
    Staff(coach): Staff,
    Path(id): Path<i64>,
    Query(q): Query<Said>,
) -> Result<Response, Error> {
    let result = app.store.result_for_coach(ResultId(id)).await?;
    let mut page = page(&app, &coach, &result, None).await?;
    page.frame = page.frame.saying(q.said.as_deref());
    Ok(page.into_response())
}

/// `POST /results/{id}/correct`
///
/// # Errors
/// A result that is not there or was taken back; what could not be read comes back with the form.
pub async fn save_correction(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(id): Path<i64>,
    Form(form): Form<Correction>,
) -> Result<Response, Error> {
    let result = app.store.result_for_coach(ResultId(id)).await?;
    if result.withdrawn_at.is_some() {
        return Err(Error::NotFound);
    }
    let version = app.store.version(result.version_id).await?;
    if result.part >= version.session.parts.len() {
        return Err(Error::NotFound);
    }
    let person = app.store.person(result.person_id).await?;
    let seen = Own::of(&app, &person).await?;
    let reader = seen.reader(&app, &person);
    let own = own_part(&version, result.part, &reader);
    let mut errors = Errors::default();
    let reason = form.reason.trim();
    errors.check(!reason.is_empty(), "reason", "Say why: they read it beside their result.");
    errors.check(reason.chars().count() <= LONGEST, "reason", "At most 500 letters.");
    let all = log::LogForm {
        score: form.score.clone(),
        version: form.version.clone(),
        load: form.load.clone(),
        done_on: form.done_on.clone(),
        ..LogView::edit(&reader, &version, own.as_ref(), &result).form
    };
    let target = Target { version: &version, part: result.part, own: own.as_ref() };
    let Some(new) = log::read(&all, &target, &reader, &mut errors) else {
        let page = page(&app, &coach, &result, Some((form, errors))).await?;
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    app.store.edit_result(Editor::Coach(coach.id, reason), result.id, &corrected(new, &result), reader.now).await?;
    Ok(Redirect::to(&format!("/results/{id}/correct?said=saved")).into_response())
}

/// What the coach made of a result: what its member said in private, and whether it is shown, is not the coach's to change.
pub(super) fn corrected(mut new: NewResult, result: &ResultRow) -> NewResult {
    if new.version_done == result.version_done {
        new.given.clone_from(&result.given);
    }
    new.note.clone_from(&result.note);
    new.hurt.clone_from(&result.hurt);
    (new.minutes, new.rpe, new.hidden) = (result.minutes, result.rpe, result.hidden);
    new
}
