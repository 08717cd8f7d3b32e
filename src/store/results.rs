//! What members log, every earlier state of it, and what hurt.
//!
//! # Design
//! A device names a result by its own id and counts its edits, so that a double tap, a replay after no signal and two
//! devices come to one result in which the last edit wins. What was there before is kept, never overwritten.

mod export;
mod lifted;
mod pain;
mod read;
#[cfg(test)]
mod tests;
mod together;
mod write;

pub use export::Exported;
pub use lifted::Lifted;
pub(super) use pain::UNSAID;
pub(super) use together::Together;

use super::ids::{PersonId, ResultId, SessionId, VersionId};
use super::weeks::day;
use super::{StoreError, instant};
use crate::training::session::Session;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use sqlx::FromRow;
use time::{Date, OffsetDateTime};

time::serde::format_description!(iso_day, Date, "[year]-[month]-[day]");

/// What is logged for one part. Note and pain are for the owner and the coach alone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NewResult {
    /// made by the device; the same one again is the same result
    pub client_id: String,
    /// which session
    pub session_id: SessionId,
    /// which version of it was on the page
    pub version_id: VersionId,
    /// which part of that version, from 0
    pub part: usize,
    /// as typed
    pub score_text: String,
    /// JSON of the score as read; none while it is held
    pub score: Option<Value>,
    /// why it is held or doubted, in words for its owner
    pub doubt: Option<String>,
    /// `full`, `lighter`, `adapted`, or the name of the coach's option
    pub version_done: String,
    /// as typed
    pub load_text: String,
    /// kilograms
    pub load_kg: Option<f64>,
    /// minutes
    pub minutes: Option<f64>,
    /// 0-10
    pub rpe: Option<f64>,
    /// to the coach
    pub note: String,
    /// where it hurt, may be empty words; none where nothing hurt
    pub hurt: Option<String>,
    /// JSON of what was given in place of what was written
    pub given: Option<Value>,
    /// the member's own day
    #[serde(with = "iso_day")]
    pub done_on: Date,
    /// grows with each edit on the device
    pub edit: i64,
    /// kept off the leaderboard
    pub hidden: bool,
}

impl NewResult {
    /// This state as if it had come as `new` did: under its id, on its version and the part there, with its edit.
    fn seen_as(&self, new: &Self) -> Self {
        let (version_id, part) = (new.version_id, new.part);
        Self { client_id: new.client_id.clone(), version_id, part, edit: new.edit, ..self.clone() }
    }
}

/// A result as it stands.
#[derive(Clone, Debug)]
pub struct ResultRow {
    /// row
    pub id: ResultId,
    /// whose
    pub person_id: PersonId,
    /// the name that others see
    pub name: String,
    /// the name that the coach knows
    pub full_name: String,
    /// may stand on a leaderboard: neither the person nor the result is kept off it
    pub shown: bool,
    /// under which part of the newest version it stands, from 0
    pub stands: usize,
    /// what was logged
    pub logged: NewResult,
    /// when it was logged
    pub created_at: OffsetDateTime,
    /// when it last changed
    pub updated_at: OffsetDateTime,
    /// when it was taken back
    pub withdrawn_at: Option<OffsetDateTime>,
}

impl ResultRow {
    /// What stands is what was sent: the same words, whatever page or version they were typed on.
    #[must_use]
    pub fn says(&self, sent: &NewResult) -> bool {
        self.withdrawn_at.is_none() && self.logged.seen_as(sent) == *sent
    }
}

impl std::ops::Deref for ResultRow {
    type Target = NewResult;

    fn deref(&self) -> &NewResult {
        &self.logged
    }
}

/// An earlier state of a result.
#[derive(Clone, Debug)]
pub struct ResultEdit {
    /// when it was replaced
    pub edited_at: OffsetDateTime,
    /// who replaced it
    pub edited_by: Option<PersonId>,
    /// their name
    pub by: Option<String>,
    /// why, where the coach did
    pub reason: String,
    /// what stood there before
    pub before: NewResult,
    /// it had been taken back, and was brought back or logged anew
    pub taken_back_at: Option<OffsetDateTime>,
    /// it never stood: it was typed before what stood then, and arrived after it
    pub late: bool,
}

/// A result whose last change was the coach's.
#[derive(Clone, Debug)]
pub struct Correction {
    /// which
    pub id: ResultId,
    /// why
    pub reason: String,
    /// who
    pub by: Option<String>,
    /// when
    pub at: OffsetDateTime,
}

/// A result with the session it was done on.
#[derive(Clone, Debug)]
pub struct Logged {
    /// the result
    pub result: ResultRow,
    /// the session's day
    pub day: Date,
    /// the version that was done
    pub session: Session,
}

/// Who changes a result.
#[derive(Clone, Copy, Debug)]
pub enum Editor<'a> {
    /// whose it is
    Owner(PersonId),
    /// a coach, who says why
    Coach(PersonId, &'a str),
}

#[derive(FromRow)]
struct Row {
    id: ResultId,
    client_id: String,
    person_id: PersonId,
    name: String,
    full_name: String,
    shown: bool,
    session_id: SessionId,
    version_id: VersionId,
    part: i64,
    stands: i64,
    score_text: String,
    score: Option<String>,
    doubt: Option<String>,
    version_done: String,
    load_text: String,
    load_kg: Option<f64>,
    minutes: Option<f64>,
    rpe: Option<f64>,
    note: String,
    hurt: Option<String>,
    given: Option<String>,
    done_on: String,
    created_at: i64,
    updated_at: i64,
    edit: i64,
    hidden: bool,
    withdrawn_at: Option<i64>,
}

const COLUMNS: &str = "r.id, r.client_id, r.person_id, coalesce(p.nickname, p.name) as name, p.name as full_name,
    p.shown = 1 and r.hidden = 0 as shown, r.session_id, r.version_id, r.part, r.stands, r.score_text, r.score, r.doubt, r.version_done,
    r.load_text, r.load_kg, r.minutes, r.rpe, r.note, r.hurt, r.given, r.done_on, r.created_at, r.updated_at, r.edit,
    r.hidden, r.withdrawn_at";
const FROM: &str = "from results r join people p on p.id = r.person_id";

fn select(rest: &str) -> sqlx::AssertSqlSafe<String> {
    sqlx::AssertSqlSafe(format!("select {COLUMNS} {FROM} {rest}"))
}

fn json(text: Option<&str>) -> Result<Option<Value>, StoreError> {
    Ok(text.map(serde_json::from_str).transpose()?)
}

impl Row {
    fn result(self) -> Result<ResultRow, StoreError> {
        let logged = NewResult {
            client_id: self.client_id,
            session_id: self.session_id,
            version_id: self.version_id,
            part: usize::try_from(self.part).unwrap_or_default(),
            score: json(self.score.as_deref())?,
            given: json(self.given.as_deref())?,
            score_text: self.score_text,
            doubt: self.doubt,
            version_done: self.version_done,
            load_text: self.load_text,
            load_kg: self.load_kg,
            minutes: self.minutes,
            rpe: self.rpe,
            note: self.note,
            hurt: self.hurt,
            done_on: day(&self.done_on)?,
            edit: self.edit,
            hidden: self.hidden,
        };
        Ok(ResultRow {
            id: self.id,
            person_id: self.person_id,
            name: self.name,
            full_name: self.full_name,
            shown: self.shown,
            stands: usize::try_from(self.stands).unwrap_or(usize::MAX),
            logged,
            created_at: instant(self.created_at),
            updated_at: instant(self.updated_at),
            withdrawn_at: self.withdrawn_at.map(instant),
        })
    }
}

fn results(rows: Vec<Row>) -> Result<Vec<ResultRow>, StoreError> {
    rows.into_iter().map(Row::result).collect()
}
