//! Results from before Dowel, and members who come in together.

use super::ids::{GroupId, PersonId};
use super::people::{NewPerson, insert_person};
use super::weeks::day;
use super::{Store, StoreError, millis};
use crate::training::calendar;
use crate::training::score::Score;
use crate::training::session::ScoreKind;
use serde::Serialize;
use sqlx::FromRow;
use time::{Date, Duration, OffsetDateTime};

time::serde::format_description!(iso_day, Date, "[year]-[month]-[day]");

/// How long the first link of a member who was brought in stays open.
pub const FIRST_LINK_LASTS: Duration = Duration::days(14);

/// A result from before Dowel.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PastResult {
    /// the day it was done
    #[serde(with = "iso_day")]
    pub day: Date,
    /// what it was called there
    pub title: String,
    /// what was scored
    pub kind: ScoreKind,
    /// as typed
    pub score_text: String,
    /// as read
    pub score: Score,
    /// words that stood beside it
    pub note: String,
    /// the lift, by its name in the library, where that was said; else the title may say it
    pub movement: Option<String>,
    /// version, load, minutes and effort, in words
    pub beside: String,
}

#[derive(FromRow)]
struct Row {
    day: String,
    title: String,
    kind: String,
    score_text: String,
    score: String,
    note: String,
    movement: Option<String>,
    beside: String,
}

impl Row {
    fn past(self) -> Result<PastResult, StoreError> {
        Ok(PastResult {
            day: day(&self.day)?,
            title: self.title,
            kind: serde_json::from_value(self.kind.into())?,
            score_text: self.score_text,
            score: serde_json::from_str(&self.score)?,
            note: self.note,
            movement: self.movement,
            beside: self.beside,
        })
    }
}

impl Store {
    /// A person's results from before Dowel, newest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn past_results(&self, owner: PersonId) -> Result<Vec<PastResult>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select day, title, kind, score_text, score, note, movement, beside from past_results where person_id = $1
             order by day desc, id desc",
        )
        .bind(owner)
        .fetch_all(&self.read)
        .await?;
        rows.into_iter().map(Row::past).collect()
    }

    /// Brings results in, all or none; what is there already stays as it is. Returns how many are new.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn import_past(
        &self,
        list: &[(PersonId, PastResult)],
        by: PersonId,
        now: OffsetDateTime,
    ) -> Result<u64, StoreError> {
        let mut tx = self.begin().await?;
        let mut new = 0;
        for (owner, past) in list {
            let kind = serde_json::to_value(past.kind)?;
            let done = sqlx::query(
                "insert into past_results (person_id, day, title, kind, score_text, score, note, imported_at, imported_by, movement, beside)
                 values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11) on conflict do nothing",
            )
            .bind(owner)
            .bind(calendar::iso(past.day))
            .bind(&past.title)
            .bind(kind.as_str().unwrap_or_default())
            .bind(&past.score_text)
            .bind(serde_json::to_string(&past.score)?)
            .bind(&past.note)
            .bind(millis(now))
            .bind(by)
            .bind(&past.movement)
            .bind(&past.beside)
            .execute(&mut *tx)
            .await?;
            new += done.rows_affected();
        }
        tx.commit().await?;
        Ok(new)
    }

    /// Makes members of a group, each with a one-time link to set a password; all or none. Who is here already is left as they
    /// are. Returns how many are new.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn import_members(
        &self,
        group: GroupId,
        list: &[NewPerson],
        by: PersonId,
        now: OffsetDateTime,
    ) -> Result<u64, StoreError> {
        let mut tx = self.begin().await?;
        let mut made = 0;
        for new in list {
            let known: Option<PersonId> = sqlx::query_scalar("select id from people where sign_in = $1")
                .bind(new.sign_in.trim())
                .fetch_optional(&mut *tx)
                .await?;
            if known.is_some() {
                continue;
            }
            let id = insert_person(&mut tx, new, now).await?;
            sqlx::query("insert into memberships (group_id, person_id, joined_at) values ($1, $2, $3)")
                .bind(group)
                .bind(id)
                .bind(millis(now))
                .execute(&mut *tx)
                .await?;
            sqlx::query(
                "insert into links (purpose, person_id, created_by, created_at, expires_at) values ('password', $1, $2, $3, $4)",
            )
            .bind(id)
            .bind(by)
            .bind(millis(now))
            .bind(millis(now + FIRST_LINK_LASTS))
            .execute(&mut *tx)
            .await?;
            made += 1;
        }
        tx.commit().await?;
        Ok(made)
    }

    /// Members of a group who have not set a password yet, by name.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn not_signed_in_yet(&self, group: GroupId) -> Result<Vec<(PersonId, String)>, StoreError> {
        Ok(sqlx::query_as(
            "select p.id, p.name from memberships m join people p on p.id = m.person_id
             where m.group_id = $1 and p.password_hash is null and p.left_at is null order by p.name",
        )
        .bind(group)
        .fetch_all(&self.read)
        .await?)
    }

    /// Whose sign-in name this is, whoever they are and whether they left.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn by_sign_in(&self, sign_in: &str) -> Result<Option<PersonId>, StoreError> {
        Ok(sqlx::query_scalar("select id from people where sign_in = $1").bind(sign_in.trim()).fetch_optional(&self.read).await?)
    }
}
