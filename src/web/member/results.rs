//! Logging a part; changing and taking back what was logged.

use super::day::logged::{done_words, question};
use super::day::view::Reader;
use super::day::{self, Typed};
use super::earlier::{Earlier, earlier};
use super::log::{self, LogForm, LogView, Target};
use super::own::Own;
use crate::store::ids::{ResultId, SessionId, VersionId};
use crate::store::people::Person;
use crate::store::results::{Editor, NewResult, ResultRow};
use crate::store::weeks::Published;
use crate::training::calendar;
use crate::training::score::Question;
use crate::training::tailor::TailoredPart;
use crate::training::wording;
use crate::web::App;
use crate::web::access::Member;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::Frame;
use crate::web::offline::{self, sender::Sender};
use crate::web::questions::when;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;
use std::sync::Arc;

#[derive(Template, WebTemplate)]
#[template(path = "member/result.html")]
struct ResultPage {
    frame: Frame,
    id: i64,
    day: String,
    back: String,
    title: String,
    words: String,
    /// when it was taken back
    withdrawn: Option<String>,
    /// when it was first logged
    first: String,
    /// what it waits for, and texts that would answer
    question: Option<Question>,
    log: LogView,
    earlier: Vec<Earlier>,
}

pub(in crate::web) fn own_part(version: &Published, part: usize, reader: &Reader<'_>) -> Option<TailoredPart> {
    reader.tailored(version).parts.into_iter().nth(part)
}

/// `POST /sessions/{id}/parts/{part}/result`
///
/// # Errors
/// A session that is not of their groups; what could not be read comes back with the day.
pub async fn create_result(
    State(app): State<App>,
    sender: Sender,
    Path((session, part)): Path<(i64, usize)>,
    Form(form): Form<LogForm>,
) -> Result<Response, Error> {
    let person = &sender.person;
    match log_part(&app, person, (SessionId(session), part), &form).await? {
        Outcome::Kept(version, id, _) => Ok(sender.saved(&kept(&app, person, &version, id).await?)),
        Outcome::Wrong(_, errors) if sender.device => Ok(offline::sender::refused(&errors)),
        Outcome::Wrong(version, errors) => {
            let own = Own::of(&app, person).await?;
            let reader = own.reader(&app, person);
            let part_of_own = own_part(&version, part, &reader);
            let view = LogView::back(&reader, &version, part, part_of_own.as_ref(), form, errors);
            let (on, typed) = (version.day, Typed { version: Arc::unwrap_or_clone(version), view });
            let page = day::page(&app, person, on, Some(typed)).await?;
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
        }
    }
}

/// `POST /sessions/{id}/parts/{part}/understood`: what a score would be read as, in words; empty where there is nothing to say.
///
/// # Errors
/// A session that is not of their groups, or a part that it does not have.
pub async fn read_score(
    State(app): State<App>,
    Member(person): Member,
    Path((session, part)): Path<(i64, usize)>,
    Form(form): Form<LogForm>,
) -> Result<String, Error> {
    let own = Own::of(&app, &person).await?;
    let version = own.version(&app, VersionId(form.version_id)).await?;
    if version.session_id != SessionId(session) || part >= version.session.parts.len() {
        return Err(Error::NotFound);
    }
    let reader = own.reader(&app, &person);
    let tailored = own.tailored(&version, &reader);
    let target = Target { version: &version, part, own: tailored.parts.get(part) };
    Ok(log::understood(&form, &target, &reader).unwrap_or_default())
}

/// Where a result stands on its day: at the top with what was said, or open at the question that it raises.
async fn kept(app: &App, person: &Person, version: &Published, id: ResultId) -> Result<String, Error> {
    let result = app.store.result(person.id, id).await?;
    let day = calendar::iso(version.day);
    if result.score.is_some() && result.doubt.is_none() {
        return Ok(format!("/days/{day}?said=logged"));
    }
    let part = format!("s{}p{}", result.session_id, result.stands);
    Ok(format!("/days/{day}?said=logged-ask&part={part}#{part}"))
}

/// What came of a form, on a page or from a program.
pub(in crate::web) enum Outcome {
    /// it is kept, as what stands or among the earlier states: the result, and what was made of the form
    Kept(Arc<Published>, ResultId, Box<NewResult>),
    /// nothing was changed; what is wrong, by field
    Wrong(Arc<Published>, Errors),
}

/// Logs a part as its member.
///
/// # Errors
/// A session that is not of their groups, or a part that it does not have.
pub(in crate::web) async fn log_part(
    app: &App,
    person: &Person,
    (session, part): (SessionId, usize),
    form: &LogForm,
) -> Result<Outcome, Error> {
    let own = Own::of(app, person).await?;
    let version = own.version(app, VersionId(form.version_id)).await?;
    if version.session_id != session || part >= version.session.parts.len() {
        return Err(Error::NotFound);
    }
    let reader = own.reader(app, person);
    let mut errors = Errors::default();
    let tailored = own.tailored(&version, &reader);
    let target = Target { version: &version, part, own: tailored.parts.get(part) };
    let Some(new) = log::read(form, &target, &reader, &mut errors) else {
        return Ok(Outcome::Wrong(version, errors));
    };
    let id = app.store.log_result(person.id, &new, reader.now).await?;
    Ok(Outcome::Kept(version, id, Box::new(new)))
}

async fn page(app: &App, person: &Person, result: &ResultRow, typed: Option<(LogForm, Errors)>) -> Result<ResultPage, Error> {
    let version = app.store.version(result.version_id).await?;
    let part = version.session.parts.get(result.part).ok_or(Error::NotFound)?;
    let name = wording::part(part);
    let seen = Own::of(app, person).await?;
    let reader = seen.reader(app, person);
    let own = own_part(&version, result.part, &reader);
    let mut log = LogView::edit(&reader, &version, own.as_ref(), result);
    if let Some((form, errors)) = typed {
        (log.form, log.errors) = (form, errors);
    }
    Ok(ResultPage {
        frame: Frame::of(person, name, "history"),
        id: result.id.0,
        day: calendar::long(version.day),
        back: format!("/days/{}", calendar::iso(version.day)),
        title: version.session.title.clone(),
        words: done_words(result, Some(part), person),
        withdrawn: result.withdrawn_at.map(|at| when(person, at, app.clock.now())),
        first: when(person, result.created_at, app.clock.now()),
        question: question(result, part, &reader).filter(|_| result.withdrawn_at.is_none()),
        log,
        earlier: earlier(app, result, person).await?,
    })
}

/// `GET /results/{id}`
///
/// # Errors
/// Somebody else's result is not found.
pub async fn show_result(State(app): State<App>, Member(person): Member, Path(id): Path<i64>) -> Result<Response, Error> {
    let result = app.store.result(person.id, ResultId(id)).await?;
    Ok(page(&app, &person, &result, None).await?.into_response())
}

/// `POST /results/{id}`
///
/// # Errors
/// Somebody else's result is not found; what could not be read comes back with the form.
pub async fn save_result(
    State(app): State<App>,
    sender: Sender,
    Path(id): Path<i64>,
    Form(form): Form<LogForm>,
) -> Result<Response, Error> {
    let result = app.store.result(sender.person.id, ResultId(id)).await?;
    change(&app, &sender, &result, form).await
}

async fn change(app: &App, sender: &Sender, result: &ResultRow, form: LogForm) -> Result<Response, Error> {
    match change_result(app, &sender.person, result, &form).await? {
        Outcome::Kept(version, id, _) => Ok(sender.saved(&kept(app, &sender.person, &version, id).await?)),
        Outcome::Wrong(_, errors) if sender.device => Ok(offline::sender::refused(&errors)),
        Outcome::Wrong(_, errors) => {
            let page = page(app, &sender.person, result, Some((form, errors))).await?;
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
        }
    }
}

/// Changes a result as its member; what was there is kept.
///
/// # Errors
/// A result that was taken back.
pub(in crate::web) async fn change_result(
    app: &App,
    person: &Person,
    result: &ResultRow,
    form: &LogForm,
) -> Result<Outcome, Error> {
    let version = app.store.version(result.version_id).await?;
    if result.part >= version.session.parts.len() {
        return Err(Error::NotFound);
    }
    let own = Own::of(app, person).await?;
    let reader = own.reader(app, person);
    let mut errors = Errors::default();
    let own = own_part(&version, result.part, &reader);
    let target = Target { version: &version, part: result.part, own: own.as_ref() };
    let Some(mut new) = log::read(form, &target, &reader, &mut errors) else {
        return Ok(Outcome::Wrong(Arc::new(version), errors));
    };
    if new.version_done == result.version_done {
        // what was given when it was done: today's kit and limits say nothing about that day
        new.given.clone_from(&result.given);
    }
    app.store.edit_result(Editor::Owner(person.id), result.id, &new, reader.now).await?;
    Ok(Outcome::Kept(Arc::new(version), result.id, Box::new(new)))
}

/// What was meant: one of the answers, or reps at the cap.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Answer {
    score: String,
    at_cap: String,
}

impl Answer {
    fn score(self) -> String {
        let reps = self.at_cap.trim();
        match reps {
            "" => self.score,
            // what is no number comes back as it was typed
            words if !words.contains(|c: char| c.is_numeric()) => words.to_owned(),
            reps => format!("capped at {reps}"),
        }
    }
}

/// `POST /results/{id}/answer`: one tap on what was meant; everything else stays as logged.
///
/// # Errors
/// Somebody else's result is not found; an answer that cannot be read comes back with the form.
pub async fn answer_result(
    State(app): State<App>,
    sender: Sender,
    Path(id): Path<i64>,
    Form(answer): Form<Answer>,
) -> Result<Response, Error> {
    let person = &sender.person;
    let result = app.store.result(person.id, ResultId(id)).await?;
    let version = app.store.version(result.version_id).await?;
    let seen = Own::of(&app, person).await?;
    let reader = seen.reader(&app, person);
    let form = LogForm { score: answer.score(), ..LogView::edit(&reader, &version, None, &result).form };
    change(&app, &sender, &result, form).await
}

/// `POST /results/{id}/withdraw`
///
/// # Errors
/// Somebody else's result is not found.
pub async fn withdraw_result(State(app): State<App>, Member(person): Member, Path(id): Path<i64>) -> Result<Redirect, Error> {
    let result = app.store.result(person.id, ResultId(id)).await?;
    app.store.withdraw_result(person.id, result.id, app.clock.now()).await?;
    Ok(Redirect::to("/history?said=withdrawn"))
}
