//! Answering, for the coach: what has waited longest stands first.

use super::{Asked, LONGEST, may_answer};
use crate::store::ids::QuestionId;
use crate::store::people::Person;
use crate::store::questions::Reply;
use crate::web::App;
use crate::web::access::Staff;
use crate::web::address;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::{Frame, Said};
use crate::web::review::{self, Look, RefusedAnswer};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;

/// How many answered questions stand under the open ones.
const ANSWERED: u32 = 50;

#[derive(Template, WebTemplate)]
#[template(path = "questions/list.html")]
struct QuestionsPage {
    frame: Frame,
    open: Vec<Asked>,
    answered: Vec<Asked>,
    /// the answer that was just refused, and to which question
    typed: Option<(i64, AnswerForm)>,
    errors: Errors,
    next: &'static str,
}

impl QuestionsPage {
    fn typed(&self, id: &i64) -> &str {
        self.typed.as_ref().filter(|(to, _)| to == id).map_or("", |(_, form)| form.answer.as_str())
    }

    fn shares(&self, id: &i64) -> bool {
        self.typed.as_ref().is_some_and(|(to, form)| to == id && form.shared.is_some())
    }

    fn lets_in(&self, id: &i64) -> bool {
        self.typed.as_ref().is_some_and(|(to, form)| to == id && form.back_in.is_some())
    }

    fn refused(&self, id: &i64) -> Option<&str> {
        self.typed.as_ref().filter(|(to, _)| to == id).and_then(|_| self.errors.of("answer"))
    }
}

async fn page(app: &App, coach: &Person, said: Option<&str>) -> Result<QuestionsPage, Error> {
    let now = app.clock.now();
    let words = |list: Vec<_>| list.into_iter().map(|q| Asked::new(q, coach, now)).collect();
    Ok(QuestionsPage {
        frame: Frame::of(coach, "Questions", "review").saying(said),
        open: words(app.store.open_questions().await?),
        answered: words(app.store.answered_questions(ANSWERED).await?),
        typed: None,
        errors: Errors::default(),
        next: "/questions",
    })
}

/// `GET /questions`
///
/// # Errors
/// Only the store's own.
pub async fn list_questions(State(app): State<App>, Staff(coach): Staff, Query(q): Query<Said>) -> Result<Response, Error> {
    Ok(page(&app, &coach, q.said.as_deref()).await?.into_response())
}

/// An answer, whether others may read it, and where to go then.
#[derive(Deserialize, Default)]
pub struct AnswerForm {
    #[serde(default)]
    answer: String,
    shared: Option<String>,
    /// what the words hold back is let back into their sessions
    back_in: Option<String>,
    next: Option<String>,
}

/// `POST /questions/{id}/answer`
///
/// # Errors
/// A question that is not there; an empty answer comes back with the form.
pub async fn save_answer(
    State(app): State<App>,
    Staff(coach): Staff,
    Path(id): Path<i64>,
    Form(form): Form<AnswerForm>,
) -> Result<Response, Error> {
    let question = app.store.question(QuestionId(id)).await?;
    let mut errors = Errors::default();
    let answer = form.answer.trim();
    errors.check(!answer.is_empty(), "answer", "Write an answer first: nothing is closed unread.");
    errors.check(
        may_answer(&coach, &question),
        "answer",
        "What this keeps out of their sessions is a coach’s to decide. Ask a coach.",
    );
    errors.check(answer.chars().count() <= LONGEST, "answer", "That is longer than 4000 letters. Say it shorter.");
    if errors.is_empty() {
        let stays_out = !question.waits.is_empty() && form.back_in.is_none();
        let reply = Reply { text: answer, shared: form.shared.is_some(), stays_out };
        app.store.answer(question.id, reply, coach.id, app.clock.now()).await?;
        let next = address::own(form.next.as_deref().or(Some("/questions")));
        return Ok(Redirect::to(&address::saying(next, "answered")).into_response());
    }
    if form.next.as_deref() == Some("/review") {
        let error = errors.of("answer").unwrap_or_default().to_owned();
        let (shared, back_in) = (form.shared.is_some(), form.back_in.is_some());
        let refused = RefusedAnswer { to: id, typed: form.answer.clone(), shared, back_in, error };
        if let Some(page) = review::page(&app, &coach, Look::default()).await?.refusing_answer(refused) {
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    }
    let page = QuestionsPage { typed: Some((id, form)), errors, ..page(&app, &coach, None).await? };
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
}

/// `POST /questions/{id}/seen`: an answered question leaves the coaches' list.
///
/// # Errors
/// A question that is not there or waits for an answer.
pub async fn put_away(State(app): State<App>, Staff(_): Staff, Path(id): Path<i64>) -> Result<Response, Error> {
    app.store.put_away(QuestionId(id), app.clock.now()).await?;
    Ok(Redirect::to("/questions?said=put_away#answered").into_response())
}
