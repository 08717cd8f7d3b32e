//! One tap on what a held result means, at the coach's review. Its member reads it as a correction, with the coach's name.

use super::correct::corrected;
use crate::store::ids::ResultId;
use crate::store::people::Person;
use crate::store::results::{Editor, ResultRow};
use crate::store::weeks::Published;
use crate::web::App;
use crate::web::access::Coach;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::member::day::logged::question;
use crate::web::member::log::{self, LogForm, LogView, Target};
use crate::web::member::own::Own;
use crate::web::member::results::own_part;
use crate::web::review::{self, AsOf};
use axum::extract::{Path, State};
use axum::response::Response;
use axum_extra::extract::{Form, Query};
use serde::Deserialize;

/// A held result, with whose it is and what it was done on.
struct Held {
    result: ResultRow,
    version: Published,
    person: Person,
}

impl Held {
    /// # Errors
    /// A result that is not there, or was taken back.
    async fn of(app: &App, id: ResultId) -> Result<Self, Error> {
        let result = app.store.result_for_coach(id).await?;
        let version = app.store.version(result.version_id).await?;
        if result.withdrawn_at.is_some() || result.part >= version.session.parts.len() {
            return Err(Error::NotFound);
        }
        let person = app.store.person(result.person_id).await?;
        Ok(Self { result, version, person })
    }

    /// What it may mean, each as it is to be typed; nothing where it waits for no answer.
    async fn answers(&self, app: &App) -> Result<Vec<String>, Error> {
        let own = Own::of(app, &self.person).await?;
        let reader = own.reader(app, &self.person);
        let part = &self.version.session.parts[self.result.part];
        Ok(question(&self.result, part, &reader).map(|q| q.answers).unwrap_or_default())
    }
}

/// What a held result may mean; nothing where nobody can say in one tap.
///
/// # Errors
/// A result that is not there.
pub async fn answers(app: &App, id: ResultId) -> Result<Vec<String>, Error> {
    match Held::of(app, id).await {
        Ok(held) => held.answers(app).await,
        // it was taken back meanwhile
        Err(Error::NotFound) => Ok(Vec::new()),
        Err(other) => Err(other),
    }
}

/// One of the answers.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Settled {
    score: String,
}

/// `POST /results/{id}/settle?as_of=&from=`: nothing is settled that changed since the page was made, or waits no more.
///
/// # Errors
/// A result that is not there or was taken back.
pub async fn settle_result(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(id): Path<i64>,
    Query(q): Query<AsOf>,
    Form(form): Form<Settled>,
) -> Result<Response, Error> {
    let held = Held::of(&app, ResultId(id)).await?;
    let as_shown = q.as_of.is_none_or(|at| at == crate::store::millis(held.result.updated_at));
    if !as_shown || !held.answers(&app).await?.contains(&form.score) {
        return Ok(review::back("changed_since", q.from.as_deref()));
    }
    let own = Own::of(&app, &held.person).await?;
    let reader = own.reader(&app, &held.person);
    let tailored = own_part(&held.version, held.result.part, &reader);
    let filled = LogView::edit(&reader, &held.version, tailored.as_ref(), &held.result).form;
    let form = LogForm { score: form.score, ..filled };
    let target = Target { version: &held.version, part: held.result.part, own: tailored.as_ref() };
    let Some(new) = log::read(&form, &target, &reader, &mut Errors::default()) else {
        return Ok(review::back("changed_since", q.from.as_deref()));
    };
    let reason = format!("“{}” is read as {}.", held.result.score_text.trim(), form.score);
    let new = corrected(new, &held.result);
    app.store.edit_result(Editor::Coach(coach.id, &reason), held.result.id, &new, reader.now).await?;
    if new.doubt.is_none() {
        // the coach has it before them; what is hard to believe stays to be looked at
        app.store.mark_seen(held.result.id, coach.id, reader.now).await?;
    }
    Ok(review::back("settled", q.from.as_deref()))
}
