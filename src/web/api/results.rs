//! A member's results: logged, read, changed and taken back by the functions of the pages.

use super::access::{Logs, Reads};
use super::problem::{BadFields, Refusal, Refused};
use crate::store::ids::{ResultId, SessionId, VersionId};
use crate::store::people::{Person, Role};
use crate::store::results::{NewResult, ResultRow};
use crate::store::trail::Kind;
use crate::store::weeks::GONE;
use crate::training::calendar;
use crate::web::App;
use crate::web::data::export::instant;
use crate::web::member::log::LogForm;
use crate::web::member::results::{self, Outcome};
use crate::web::trail;
use axum::Json;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum_extra::extract::{Query, WithRejection};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use time::Date;
use utoipa::{IntoParams, ToSchema};

/// A result as it stands.
#[derive(Serialize, ToSchema)]
pub struct ResultOut {
    /// row
    id: i64,
    /// row of the person
    person_id: i64,
    /// made by the device
    client_id: String,
    /// row of the session
    session_id: i64,
    /// row of the version it was done on
    version_id: i64,
    /// part of that version, from 0
    part: usize,
    /// the same part in the newest version, from 0; null where that has it no more
    part_now: Option<usize>,
    /// as typed
    score_text: String,
    /// as read, with its `kind`; null while it is held
    #[schema(value_type = Option<Object>)]
    score: Option<Value>,
    /// why it is held (no score then) or doubted
    doubt: Option<String>,
    /// `full`, `lighter`, `adapted`, or the name of the coach's option
    version_done: String,
    /// as typed
    load_text: String,
    /// kilograms
    load_kg: Option<f64>,
    /// minutes
    minutes: Option<f64>,
    /// 0 to 10
    rpe: Option<f64>,
    /// to the coach; null in a list that was not asked for private words
    note: Option<String>,
    /// where it hurt; null where nothing did, or in a list that was not asked for private words
    hurt: Option<String>,
    /// the member's own day
    #[schema(format = Date)]
    done_on: String,
    /// may stand on a board
    shown: bool,
    /// grows with each edit
    edit: i64,
    /// when it was logged
    #[schema(format = DateTime)]
    logged_at: String,
    /// when it last changed
    #[schema(format = DateTime)]
    changed_at: String,
    /// when it was taken back
    #[schema(format = DateTime)]
    withdrawn_at: Option<String>,
}

impl ResultOut {
    /// With or without the words that are for the coach alone.
    pub(super) fn of(r: &ResultRow, private: bool) -> Self {
        Self {
            id: r.id.0,
            person_id: r.person_id.0,
            client_id: r.client_id.clone(),
            session_id: r.session_id.0,
            version_id: r.version_id.0,
            part: r.part,
            part_now: Some(r.stands).filter(|part| *part < GONE),
            score_text: r.score_text.clone(),
            score: r.score.clone(),
            doubt: r.doubt.clone(),
            version_done: r.version_done.clone(),
            load_text: r.load_text.clone(),
            load_kg: r.load_kg,
            minutes: r.minutes,
            rpe: r.rpe,
            note: private.then(|| r.note.clone()),
            hurt: r.hurt.clone().filter(|_| private),
            done_on: calendar::iso(r.done_on),
            shown: r.shown,
            edit: r.edit,
            logged_at: instant(r.created_at),
            changed_at: instant(r.updated_at),
            withdrawn_at: r.withdrawn_at.map(instant),
        }
    }
}

/// What came of something that was sent.
#[derive(Serialize, ToSchema)]
pub struct SavedOut {
    /// the result as it stands now
    #[serde(flatten)]
    result: ResultOut,
    /// what was sent is what stands. Where not, the `result` is a later edit, or one that was taken back, and what was sent is
    /// kept among its earlier versions
    stands: bool,
}

impl SavedOut {
    fn of(row: &ResultRow, sent: &NewResult) -> Json<Self> {
        Json(Self { result: ResultOut::of(row, true), stands: row.says(sent) })
    }
}

/// What is logged for a part. Texts are read as on the pages, and kept as typed.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ResultIn {
    /// UUID (version 7 is best) made by the device: the same one again is the same result
    client_id: uuid::Uuid,
    /// row of the version that was on the screen; the one that is out where it is left out. A change stays on its own
    version_id: Option<i64>,
    /// `7:42`, `12+5`, `62.5 kg`; may be empty where nothing is scored
    #[serde(default)]
    score: String,
    /// `full` where it is left out; `lighter`, `adapted`, or the name of the coach's option
    #[serde(default)]
    version: String,
    /// load used, `2 x 12 kg`
    #[serde(default)]
    load: String,
    /// minutes
    #[schema(minimum = 0, maximum = 600)]
    minutes: Option<f64>,
    /// 0 to 10
    #[schema(minimum = 0, maximum = 10)]
    rpe: Option<f64>,
    /// to the coach
    #[serde(default)]
    #[schema(max_length = 2000)]
    note: String,
    /// where it hurt, may be empty words; leave it out where nothing hurt
    #[schema(max_length = 500)]
    hurt: Option<String>,
    /// the member's own day; the session's where it is left out
    #[schema(format = Date)]
    done_on: Option<String>,
    /// may stand on the board; as in the member's settings where it is left out
    shown: Option<bool>,
    /// the device's edit counter, best the time of the edit in milliseconds: the last edit wins; left out or 0, this is the last
    /// one. What a coach corrects counts as an edit at that time
    #[schema(minimum = 0)]
    edit: Option<i64>,
}

impl ResultIn {
    fn form(self, person: &Person, version: VersionId) -> LogForm {
        let number = |n: Option<f64>| n.map(|n| n.to_string()).unwrap_or_default();
        LogForm {
            client_id: self.client_id.to_string(),
            version_id: version.0,
            score: self.score,
            version: self.version,
            load: self.load,
            minutes: number(self.minutes),
            rpe: number(self.rpe),
            note: self.note,
            hurt: self.hurt.as_ref().map(|_| "on".to_owned()),
            place: self.hurt.unwrap_or_default(),
            done_on: self.done_on.unwrap_or_default(),
            shown: self.shown.unwrap_or(person.shown).then(|| "on".to_owned()),
            edit: self.edit.unwrap_or_default(),
        }
    }
}

/// From day to day.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Span {
    /// first day; everything where it is left out
    #[param(format = Date)]
    from: Option<String>,
    /// last day
    #[param(format = Date)]
    to: Option<String>,
    /// for coaches: with notes and what hurt
    #[serde(default)]
    pub(super) private: bool,
}

impl Span {
    /// The two days.
    pub(super) fn days(&self) -> Result<(Date, Date), Refusal> {
        let read = |field: &str, text: Option<&String>, otherwise: Date| match text {
            None => Ok(otherwise),
            Some(text) => calendar::read_iso(text).ok_or_else(|| Refusal::field(field, "A day such as 2026-11-25.")),
        };
        let first = time::macros::date!(1950 - 01 - 01);
        let last = time::macros::date!(2200 - 01 - 01);
        Ok((read("from", self.from.as_ref(), first)?, read("to", self.to.as_ref(), last)?))
    }
}

fn only_member(person: &Person) -> Result<(), Refusal> {
    if person.role == Role::Member { Ok(()) } else { Err(Refusal::not_found()) }
}

/// A member's own results by day, without those taken back.
///
/// # Errors
/// A coach has none.
#[utoipa::path(get, path = "/api/v1/results", tag = "results", security(("token" = ["read"])), params(Span),
    responses((status = 200, body = Vec<ResultOut>), Refused, BadFields))]
pub async fn list_results(
    State(app): State<App>,
    Reads(person): Reads,
    WithRejection(Query(span), _): WithRejection<Query<Span>, Refusal>,
) -> Result<Json<Vec<ResultOut>>, Refusal> {
    only_member(&person)?;
    let (from, to) = span.days()?;
    let list = app.store.results_of_person(person.id, from, to).await?;
    Ok(Json(list.iter().map(|r| ResultOut::of(r, true)).collect()))
}

/// One of a member's own results, taken back or not.
///
/// # Errors
/// Somebody else's.
#[utoipa::path(get, path = "/api/v1/results/{id}", tag = "results", security(("token" = ["read"])),
    params(("id" = i64, Path)), responses((status = 200, body = ResultOut), Refused))]
pub async fn show_result(
    State(app): State<App>,
    Reads(person): Reads,
    WithRejection(Path(id), _): WithRejection<Path<i64>, Refusal>,
) -> Result<Json<ResultOut>, Refusal> {
    only_member(&person)?;
    Ok(Json(ResultOut::of(&app.store.result(person.id, ResultId(id)).await?, true)))
}

/// Logs a part. Sent twice with one `client_id` it is one result; a higher `edit` changes it, and a lower one is kept among its
/// earlier versions. The answer says which one stands.
///
/// # Errors
/// Somebody else's session; fields that cannot be read.
#[utoipa::path(post, path = "/api/v1/sessions/{id}/parts/{part}/results", tag = "results", security(("token" = ["log"])),
    params(("id" = i64, Path), ("part" = usize, Path, description = "from 0")), request_body = ResultIn,
    responses((status = 201, body = SavedOut), Refused, BadFields))]
pub async fn create_result(
    State(app): State<App>,
    Logs(person): Logs,
    WithRejection(Path((session, part)), _): WithRejection<Path<(i64, usize)>, Refusal>,
    WithRejection(Json(body), _): WithRejection<Json<ResultIn>, Refusal>,
) -> Result<(StatusCode, Json<SavedOut>), Refusal> {
    let version = match body.version_id {
        Some(version) => VersionId(version),
        None => app.store.live_for(person.id, SessionId(session)).await?.version_id,
    };
    let form = body.form(&person, version);
    match results::log_part(&app, &person, (SessionId(session), part), &form).await? {
        Outcome::Kept(_, id, sent) => Ok((StatusCode::CREATED, SavedOut::of(&app.store.result(person.id, id).await?, &sent))),
        Outcome::Wrong(_, errors) => Err(Refusal::fields(&errors)),
    }
}

/// Changes a result; what was there is kept. An `edit` below the one that stands comes late: it is kept among the earlier
/// versions, and changes nothing else. The answer says which one stands.
///
/// # Errors
/// Somebody else's, or taken back; fields that cannot be read.
#[utoipa::path(put, path = "/api/v1/results/{id}", tag = "results", security(("token" = ["log"])),
    params(("id" = i64, Path)), request_body = ResultIn, responses((status = 200, body = SavedOut), Refused, BadFields))]
pub async fn save_result(
    State(app): State<App>,
    Logs(person): Logs,
    WithRejection(Path(id), _): WithRejection<Path<i64>, Refusal>,
    WithRejection(Json(body), _): WithRejection<Json<ResultIn>, Refusal>,
) -> Result<Json<SavedOut>, Refusal> {
    let result = app.store.result(person.id, ResultId(id)).await?;
    match results::change_result(&app, &person, &result, &body.form(&person, result.version_id)).await? {
        Outcome::Kept(_, _, sent) => {
            trail::add(&app, Some(person.id), "changed a result", Some((Kind::Result, id)), "").await;
            Ok(SavedOut::of(&app.store.result(person.id, result.id).await?, &sent))
        }
        Outcome::Wrong(_, errors) => Err(Refusal::fields(&errors)),
    }
}

/// Takes a result back: it leaves every list; twice is once.
///
/// # Errors
/// Somebody else's.
#[utoipa::path(delete, path = "/api/v1/results/{id}", tag = "results", security(("token" = ["log"])),
    params(("id" = i64, Path)), responses((status = 200, body = ResultOut), Refused))]
pub async fn withdraw_result(
    State(app): State<App>,
    Logs(person): Logs,
    WithRejection(Path(id), _): WithRejection<Path<i64>, Refusal>,
) -> Result<Json<ResultOut>, Refusal> {
    app.store.withdraw_result(person.id, ResultId(id), app.clock.now()).await?;
    trail::add(&app, Some(person.id), "took a result back", Some((Kind::Result, id)), "").await;
    Ok(Json(ResultOut::of(&app.store.result(person.id, ResultId(id)).await?, true)))
}
