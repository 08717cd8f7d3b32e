//! What is kept of a person beside what they wrote: for the file that they take along.

use super::ids::{PersonId, ResultId, SessionId};
use super::{Store, StoreError, instant};
use sqlx::FromRow;
use time::OffsetDateTime;

/// A nod: theirs at a result, or somebody's at one of theirs.
#[derive(Clone, Debug)]
pub struct Nod {
    /// at which result
    pub result: ResultId,
    /// they gave it; else they got it
    pub given: bool,
    /// when
    pub at: OffsetDateTime,
}

/// A line that a coach chose for this member alone.
#[derive(Clone, Debug, FromRow)]
pub struct PinOf {
    /// in this session; everywhere where there is none
    pub session_id: Option<SessionId>,
    /// what stands in the write-up
    pub movement: String,
    /// in parts of this purpose
    pub intent: String,
    /// JSON of the line that stands there instead
    pub becomes: String,
    /// milliseconds since 1970, UTC
    pub created_at: i64,
}

/// A line of the trail, done by them or about them.
#[derive(Clone, Debug)]
pub struct Trace {
    /// when
    pub at: OffsetDateTime,
    /// they did it; else it was done to them or to a result of theirs
    pub own: bool,
    /// what
    pub act: String,
    /// a day or a week's Monday
    pub detail: String,
}

/// A one-time link that was made for them.
#[derive(Clone, Debug, FromRow)]
pub struct LinkOf {
    /// milliseconds since 1970, UTC
    pub created_at: i64,
    /// until when it was good
    pub expires_at: i64,
    /// when it was used
    pub used_at: Option<i64>,
}

impl Store {
    /// Nods by and for this person, oldest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn nods_of(&self, person: PersonId) -> Result<Vec<Nod>, StoreError> {
        let rows: Vec<(ResultId, bool, i64)> = sqlx::query_as(
            "select result_id, 1, created_at from nods where person_id = $1
             union all select n.result_id, 0, n.created_at from results r join nods n on n.result_id = r.id
             where r.person_id = $1 order by 3",
        )
        .bind(person)
        .fetch_all(&self.read)
        .await?;
        Ok(rows.into_iter().map(|(result, given, at)| Nod { result, given, at: instant(at) }).collect())
    }

    /// What coaches chose for this member alone, oldest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn pins_of(&self, person: PersonId) -> Result<Vec<PinOf>, StoreError> {
        let sql = "select session_id, movement, intent, becomes, created_at from pins where person_id = $1 order by id";
        Ok(sqlx::query_as(sql).bind(person).fetch_all(&self.read).await?)
    }

    /// What the trail holds of this person, oldest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn trail_of(&self, person: PersonId) -> Result<Vec<Trace>, StoreError> {
        let rows: Vec<(i64, bool, String, String)> = sqlx::query_as(
            "select at, person_id is $1, act, detail from trail
             where person_id = $1 or (about_kind = 'person' and about_id = $1)
             or (about_kind = 'result' and about_id in (select id from results where person_id = $1)) order by id",
        )
        .bind(person)
        .fetch_all(&self.read)
        .await?;
        Ok(rows.into_iter().map(|(at, own, act, detail)| Trace { at: instant(at), own, act, detail }).collect())
    }

    /// Links with which this person set a password or was to set one, oldest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn links_of(&self, person: PersonId) -> Result<Vec<LinkOf>, StoreError> {
        let sql = "select created_at, expires_at, used_at from links where person_id = $1 order by id";
        Ok(sqlx::query_as(sql).bind(person).fetch_all(&self.read).await?)
    }

    /// When a coach noted that they had spoken with this person.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn spoken_with(&self, person: PersonId) -> Result<Option<OffsetDateTime>, StoreError> {
        let at: Option<i64> = sqlx::query_scalar("select spoken_at from spoken_with where person_id = $1")
            .bind(person)
            .fetch_optional(&self.read)
            .await?;
        Ok(at.map(instant))
    }
}
