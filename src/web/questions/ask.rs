//! Asking about a session, a part or a line; and reading what came back.

use super::{Asked, LONGEST, at_lines, place};
use crate::clock;
use crate::store::StoreError;
use crate::store::ids::{SessionId, VersionId};
use crate::store::people::Person;
use crate::store::questions::NewQuestion;
use crate::store::weeks::Published;
use crate::training::calendar;
use crate::web::App;
use crate::web::access::Member;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;

/// The part and line asked about, from 0, of the version that was on the page; anything else is the whole session.
#[derive(Deserialize, Default)]
pub struct Place {
    version: Option<String>,
    part: Option<String>,
    line: Option<String>,
}

impl Place {
    fn part(&self) -> Option<usize> {
        self.part.as_deref().and_then(|p| p.parse().ok())
    }

    /// The version that it is asked about: the one that was on the page, which may have been kept from before a change.
    async fn version(&self, app: &App, member: &Person, live: Published) -> Result<Published, Error> {
        let Some(id) = self.version.as_deref().and_then(|v| v.parse().ok()).filter(|id| *id != live.version_id.0) else {
            return Ok(live);
        };
        Ok(match app.store.version_for(member.id, VersionId(id)).await {
            Ok(seen) if seen.session_id == live.session_id => seen,
            Ok(_) | Err(StoreError::NotFound) => live,
            Err(other) => return Err(other.into()),
        })
    }

    fn line(&self) -> Option<usize> {
        self.line.as_deref().and_then(|l| l.parse().ok())
    }
}

#[derive(Template, WebTemplate)]
#[template(path = "questions/ask.html")]
struct AskPage {
    frame: Frame,
    title: String,
    day: String,
    back: String,
    action: String,
    /// what it is asked about; empty: the whole session
    place: String,
    version: i64,
    part: Option<usize>,
    line: Option<usize>,
    text: String,
    /// the form's own id
    client_id: String,
    errors: Errors,
    questions: Vec<Asked>,
}

async fn page(app: &App, member: &Person, live: Published, at: &Place, text: String, errors: Errors) -> Result<AskPage, Error> {
    let now = app.clock.now();
    let seen = at.version(app, member, live).await?;
    let found = at_lines::about(app, member, &seen).await?;
    let part = at.part().filter(|p| *p < seen.session.parts.len());
    let line = at.line().filter(|l| part.is_some_and(|p| *l < seen.session.parts[p].lines.len()));
    Ok(AskPage {
        frame: Frame::of(member, "Ask the coach", "today"),
        back: format!("/days/{}", calendar::iso(seen.day)),
        day: calendar::long(seen.day),
        action: format!("/sessions/{}/questions", seen.session_id),
        place: place(&seen.session, part, line),
        title: seen.session.title,
        version: seen.version_id.0,
        part,
        line,
        text,
        client_id: clock::new_uuid(now),
        errors,
        questions: found.into_iter().map(|(q, _)| Asked::new(q, member, now)).collect(),
    })
}

/// `GET /sessions/{id}/questions?version=&part=&line=`
///
/// # Errors
/// A session that is not live or not theirs.
pub async fn new_question(
    State(app): State<App>,
    Member(member): Member,
    Path(id): Path<i64>,
    Query(at): Query<Place>,
) -> Result<Response, Error> {
    let live = app.store.live_for(member.id, SessionId(id)).await?;
    Ok(page(&app, &member, live, &at, String::new(), Errors::default()).await?.into_response())
}

/// What is asked.
#[derive(Deserialize, Default)]
pub struct AskForm {
    version: Option<String>,
    part: Option<String>,
    line: Option<String>,
    #[serde(default)]
    text: String,
    /// the page's own id of this question: sent twice, it is asked once
    client_id: Option<String>,
}

/// `POST /sessions/{id}/questions`
///
/// # Errors
/// A session that is not live or not theirs; an empty question comes back with the form.
pub async fn create_question(
    State(app): State<App>,
    Member(member): Member,
    Path(id): Path<i64>,
    Form(form): Form<AskForm>,
) -> Result<Response, Error> {
    let live = app.store.live_for(member.id, SessionId(id)).await?;
    let at = Place { version: form.version, part: form.part, line: form.line };
    let text = form.text.trim();
    let mut errors = Errors::default();
    errors.check(!text.is_empty(), "text", "Write what you want to know.");
    errors.check(text.chars().count() <= LONGEST, "text", "That is longer than 4000 letters. Ask it shorter, or in two.");
    let mut page = page(&app, &member, live, &at, form.text.clone(), errors).await?;
    let client_id = form.client_id.filter(|id| (1..=64).contains(&id.len()));
    if let Some(id) = &client_id {
        page.client_id.clone_from(id);
    }
    if !page.errors.is_empty() {
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    }
    let (text, version) = (text.to_owned(), Some(VersionId(page.version)));
    let new = NewQuestion { session_id: SessionId(id), version, part: page.part, line: page.line, text, client_id };
    app.store.ask(member.id, &new, app.clock.now()).await?;
    Ok(Redirect::to(&format!("{}?said=asked", page.back)).into_response())
}

#[derive(Template, WebTemplate)]
#[template(path = "questions/mine.html")]
struct MyQuestions {
    frame: Frame,
    questions: Vec<Asked>,
}

/// `GET /questions-of-mine`
///
/// # Errors
/// Only the store's own.
pub async fn list_my_questions(State(app): State<App>, Member(member): Member) -> Result<Response, Error> {
    let now = app.clock.now();
    let found = app.store.questions_of(member.id).await?;
    let questions = found.into_iter().map(|q| Asked::new(q, &member, now)).collect();
    Ok(MyQuestions { frame: Frame::of(&member, "What you asked", "you"), questions }.into_response())
}
