//! Logging, changing and taking back.

use super::{Editor, NewResult, ResultRow, Row, select};
use crate::store::ids::{PersonId, QuestionId, ResultId};
use crate::store::{Store, StoreError, millis};
use crate::training::calendar;
use serde_json::Value;
use sqlx::SqliteConnection;
use time::OffsetDateTime;

/// Binds what an edit may change, in the order of the placeholders $1 to $14.
macro_rules! bind_changes {
    ($query:expr, $new:expr, $now:expr) => {
        $query
            .bind(&$new.score_text)
            .bind($new.score.as_ref().map(Value::to_string))
            .bind(&$new.doubt)
            .bind(&$new.version_done)
            .bind(&$new.load_text)
            .bind($new.load_kg)
            .bind($new.minutes)
            .bind($new.rpe)
            .bind(&$new.note)
            .bind(&$new.hurt)
            .bind($new.given.as_ref().map(Value::to_string))
            .bind(calendar::iso($new.done_on))
            .bind($new.hidden)
            .bind(millis($now))
    };
}

/// None where the device's id is known already.
async fn insert(
    tx: &mut SqliteConnection,
    owner: PersonId,
    new: &NewResult,
    now: OffsetDateTime,
) -> Result<Option<ResultId>, StoreError> {
    let query = sqlx::query_scalar(
        "insert into results (score_text, score, doubt, version_done, load_text, load_kg, minutes, rpe, note, hurt, given,
         done_on, hidden, created_at, updated_at, client_id, person_id, session_id, version_id, part, edit)
         values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $14, $15, $16, $17, $18, $19, $20)
         on conflict (person_id, client_id) do nothing returning id",
    );
    let id = bind_changes!(query, new, now)
        .bind(&new.client_id)
        .bind(owner)
        .bind(new.session_id)
        .bind(new.version_id)
        .bind(i64::try_from(new.part).unwrap_or(i64::MAX))
        .bind(new.edit)
        .fetch_optional(tx)
        .await?;
    Ok(id)
}

/// Keeps what stands there, then puts the new state in its place. Session, version and part never change.
async fn replace(
    tx: &mut SqliteConnection,
    old: &ResultRow,
    new: &NewResult,
    who: Editor<'_>,
    now: OffsetDateTime,
) -> Result<(), StoreError> {
    let (by, reason) = match who {
        Editor::Owner(id) => (id, ""),
        Editor::Coach(id, reason) => (id, reason),
    };
    sqlx::query("insert into result_edits (result_id, edited_at, edited_by, reason, before) values ($1, $2, $3, $4, $5)")
        .bind(old.id)
        .bind(millis(now))
        .bind(by)
        .bind(reason)
        .bind(serde_json::to_string(&old.logged)?)
        .execute(&mut *tx)
        .await?;
    let query = sqlx::query(
        "update results set score_text = $1, score = $2, doubt = $3, version_done = $4, load_text = $5, load_kg = $6,
         minutes = $7, rpe = $8, note = $9, hurt = $10, given = $11, done_on = $12, hidden = $13, updated_at = $14,
         edit = $15 where id = $16",
    );
    bind_changes!(query, new, now).bind(new.edit.max(old.edit + 1)).bind(old.id).execute(&mut *tx).await?;
    Ok(())
}

/// Pain reaches the coach by itself. A report that is taken back stays a question until the coach has read it.
async fn report_pain(
    tx: &mut SqliteConnection,
    owner: PersonId,
    id: ResultId,
    new: &NewResult,
    now: OffsetDateTime,
) -> Result<(), StoreError> {
    let Some(hurt) = &new.hurt else { return Ok(()) };
    let text = if hurt.trim().is_empty() { "Something hurt; where was not said." } else { hurt.trim() };
    let open: Option<(QuestionId, String)> = sqlx::query_as(
        "select id, text from questions where result_id = $1 and kind = 'pain' order by answered_at is not null, id desc",
    )
    .bind(id)
    .fetch_optional(&mut *tx)
    .await?;
    match open {
        Some((_, said)) if said == text => {}
        _ => {
            sqlx::query(
                "insert into questions (person_id, session_id, part, kind, result_id, text, asked_at)
                 values ($1, $2, $3, 'pain', $4, $5, $6)",
            )
            .bind(owner)
            .bind(new.session_id)
            .bind(i64::try_from(new.part).unwrap_or(i64::MAX))
            .bind(id)
            .bind(text)
            .bind(millis(now))
            .execute(&mut *tx)
            .await?;
        }
    }
    Ok(())
}

async fn may_log(tx: &mut SqliteConnection, owner: PersonId, new: &NewResult) -> Result<(), StoreError> {
    sqlx::query_scalar::<_, i64>(
        "select 1 from session_versions v join sessions s on s.id = v.session_id
         join memberships m on m.group_id = s.group_id where v.id = $1 and s.id = $2 and m.person_id = $3",
    )
    .bind(new.version_id)
    .bind(new.session_id)
    .bind(owner)
    .fetch_one(tx)
    .await?;
    Ok(())
}

impl Store {
    /// Logs a result, together with the question that pain opens. The same device id again is the same result: it is
    /// a replay of the same words changes nothing, other words replace what was there, and that is kept.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where the version is not of a session of one of their groups; [`StoreError::Stale`]
    /// where the device id belongs to another part.
    pub async fn log_result(&self, owner: PersonId, new: &NewResult, now: OffsetDateTime) -> Result<ResultId, StoreError> {
        let mut tx = self.begin().await?;
        may_log(&mut tx, owner, new).await?;
        let id = if let Some(id) = insert(&mut tx, owner, new, now).await? {
            id
        } else {
            let old = sqlx::query_as::<_, Row>(select("where r.person_id = $1 and r.client_id = $2"))
                .bind(owner)
                .bind(&new.client_id)
                .fetch_one(&mut *tx)
                .await?
                .result()?;
            if (old.session_id, old.part) != (new.session_id, new.part) {
                return Err(StoreError::Stale);
            }
            // a replay says the same again, and an older edit comes late: neither changes anything
            let same = NewResult { edit: old.logged.edit, ..new.clone() } == old.logged;
            if same || new.edit < old.edit {
                return Ok(old.id);
            }
            sqlx::query("update results set withdrawn_at = null where id = $1").bind(old.id).execute(&mut *tx).await?;
            replace(&mut tx, &old, new, Editor::Owner(owner), now).await?;
            old.id
        };
        report_pain(&mut tx, owner, id, new, now).await?;
        tx.commit().await?;
        Ok(id)
    }

    /// Changes a result; what was there is kept. Session, version and part stay.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is not the owner's or was taken back.
    pub async fn edit_result(
        &self,
        who: Editor<'_>,
        id: ResultId,
        new: &NewResult,
        now: OffsetDateTime,
    ) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        let old = sqlx::query_as::<_, Row>(select("where r.id = $1 and r.withdrawn_at is null"))
            .bind(id)
            .fetch_one(&mut *tx)
            .await?
            .result()?;
        if let Editor::Owner(owner) = who
            && owner != old.person_id
        {
            return Err(StoreError::NotFound);
        }
        replace(&mut tx, &old, new, who, now).await?;
        let new = NewResult { session_id: old.session_id, part: old.part, ..new.clone() };
        report_pain(&mut tx, old.person_id, id, &new, now).await?;
        tx.commit().await?;
        Ok(())
    }

    /// Takes a result back: it leaves every list, and stays in its owner's history of changes.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is not theirs.
    pub async fn withdraw_result(&self, owner: PersonId, id: ResultId, now: OffsetDateTime) -> Result<(), StoreError> {
        let done = sqlx::query(
            "update results set withdrawn_at = coalesce(withdrawn_at, $3), updated_at = $3 where id = $1 and person_id = $2",
        )
        .bind(id)
        .bind(owner)
        .bind(millis(now))
        .execute(&self.write)
        .await?;
        if done.rows_affected() == 0 { Err(StoreError::NotFound) } else { Ok(()) }
    }
}
