//! Weeks, sessions, and a member's own day.

use super::access::Reads;
use super::problem::{Refusal, Refused};
use crate::store::ids::{GroupId, SessionId};
use crate::store::people::Role;
use crate::store::weeks::Published;
use crate::training::calendar;
use crate::web::App;
use crate::web::board::part::version_for;
use crate::web::data::export::instant;
use crate::web::error::Error;
use crate::web::member::own::Own;
use axum::Json;
use axum::extract::{Path, State};
use axum_extra::extract::WithRejection;
use serde::Serialize;
use serde_json::Value;
use time::Date;
use utoipa::ToSchema;

/// A published session.
#[derive(Serialize, ToSchema)]
pub struct SessionOut {
    /// row
    id: i64,
    /// row of the group
    group_id: i64,
    /// its name
    group: String,
    /// the day
    #[schema(format = Date)]
    day: String,
    /// first, second ... of that day
    slot: u8,
    /// row of the version: a result is logged against it
    version_id: i64,
    /// first, second ... version
    version: i64,
    /// what changed, in the coach's words
    change_note: String,
    /// when it was published
    #[schema(format = DateTime)]
    published_at: String,
    /// talk-through elsewhere
    video: Option<String>,
    /// the write-up as typed
    text: String,
    /// as read: `title`, `aim`, `notes`, `parts`, `problems`
    #[schema(value_type = Object)]
    session: Value,
}

/// A group's week.
#[derive(Serialize, ToSchema)]
pub struct WeekOut {
    /// row of the group
    group_id: i64,
    /// its first day
    #[schema(format = Date)]
    monday: String,
    /// what is out, by day
    sessions: Vec<SessionOut>,
}

/// A session as one member does it.
#[derive(Serialize, ToSchema)]
pub struct DaySession {
    /// as published
    #[serde(flatten)]
    published: SessionOut,
    /// parts and lines with `action`, `given`, `why`
    #[schema(value_type = Object)]
    tailored: Value,
}

/// A member's day.
#[derive(Serialize, ToSchema)]
pub struct DayOut {
    /// the day
    #[schema(format = Date)]
    day: String,
    /// by group
    sessions: Vec<DaySession>,
}

fn json(value: impl Serialize) -> Result<Value, Refusal> {
    serde_json::to_value(value).map_err(|e| Error::Internal(e.into()).into())
}

fn out(p: &Published) -> Result<SessionOut, Refusal> {
    Ok(SessionOut {
        id: p.session_id.0,
        group_id: p.group_id.0,
        group: p.group.clone(),
        day: calendar::iso(p.day),
        slot: p.slot,
        version_id: p.version_id.0,
        version: p.number,
        change_note: p.change_note.clone(),
        published_at: instant(p.published_at),
        video: p.video.url.clone(),
        text: p.text.clone(),
        session: json(&p.session)?,
    })
}

fn read_day(text: &str) -> Result<Date, Refusal> {
    calendar::read_iso(text).filter(|d| (2000..=2200).contains(&d.year())).ok_or_else(Refusal::not_found)
}

/// What is out in a group's week. `monday` is its first day.
///
/// # Errors
/// Somebody else's group; a day that is no Monday.
#[utoipa::path(get, path = "/api/v1/groups/{id}/weeks/{monday}", tag = "sessions", security(("token" = ["read"])),
    params(("id" = i64, Path), ("monday" = String, Path, format = Date)),
    responses((status = 200, body = WeekOut), Refused))]
pub async fn show_week(
    State(app): State<App>,
    Reads(person): Reads,
    WithRejection(Path((id, monday)), _): WithRejection<Path<(i64, String)>, Refusal>,
) -> Result<Json<WeekOut>, Refusal> {
    let monday = read_day(&monday)?;
    if calendar::monday(monday) != monday {
        return Err(Refusal::not_found());
    }
    let group = app.store.group(GroupId(id)).await?;
    if person.role == Role::Member && !app.store.group_ids_of(person.id).await?.contains(&group.id) {
        return Err(Refusal::not_found());
    }
    let live = app.store.live_in_week(group.id, monday).await?;
    let sessions = live.iter().map(out).collect::<Result<_, _>>()?;
    Ok(Json(WeekOut { group_id: group.id.0, monday: calendar::iso(monday), sessions }))
}

/// A session as it is out; for coaches the newest version where it was taken back.
///
/// # Errors
/// Nothing published there, or somebody else's.
#[utoipa::path(get, path = "/api/v1/sessions/{id}", tag = "sessions", security(("token" = ["read"])),
    params(("id" = i64, Path)), responses((status = 200, body = SessionOut), Refused))]
pub async fn show_session(
    State(app): State<App>,
    Reads(person): Reads,
    WithRejection(Path(id), _): WithRejection<Path<i64>, Refusal>,
) -> Result<Json<SessionOut>, Refusal> {
    let published = version_for(&app, &person, SessionId(id)).await?;
    Ok(Json(out(&published)?))
}

/// A member's own day: each session as written and as it is fitted to them, with reasons.
///
/// # Errors
/// A coach has no day; what is no day.
#[utoipa::path(get, path = "/api/v1/days/{date}", tag = "sessions", security(("token" = ["read"])),
    params(("date" = String, Path, format = Date)), responses((status = 200, body = DayOut), Refused))]
pub async fn show_day(
    State(app): State<App>,
    Reads(person): Reads,
    WithRejection(Path(date), _): WithRejection<Path<String>, Refusal>,
) -> Result<Json<DayOut>, Refusal> {
    let day = read_day(&date)?;
    if person.role != Role::Member {
        return Err(Refusal::not_found());
    }
    let own = Own::of(&app, &person).await?;
    let reader = own.reader(&app, &person);
    let live = app.store.live_on(person.id, day).await?;
    let mut sessions = Vec::with_capacity(live.len());
    for p in &live {
        sessions.push(DaySession { published: out(p)?, tailored: json(reader.tailored(p))? });
    }
    Ok(Json(DayOut { day: calendar::iso(day), sessions }))
}
