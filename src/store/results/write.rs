//! Logging, changing and taking back.

use super::pain::{report_pain, told};
use super::{Editor, NewResult, ResultRow, Row, select};
use crate::store::ids::{PersonId, ResultId, SessionId};
use crate::store::writer::Pen;
use crate::store::{Store, StoreError, millis};
use crate::training::calendar;
use crate::training::standings::{Attempts, Policy};
use serde_json::Value;
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

async fn insert(
    tx: &mut Pen,
    owner: PersonId,
    new: &NewResult,
    attempt: i64,
    now: OffsetDateTime,
) -> Result<ResultId, StoreError> {
    let stands = place(tx, new).await?;
    let query = sqlx::query_scalar(
        "insert into results (score_text, score, doubt, version_done, load_text, load_kg, minutes, rpe, note, hurt, given,
         done_on, hidden, created_at, updated_at, client_id, person_id, session_id, version_id, part, edit, attempt, stands)
         values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $14, $15, $16, $17, $18, $19, $20, $21, $22)
         returning id",
    );
    let id = bind_changes!(query, new, now)
        .bind(&new.client_id)
        .bind(owner)
        .bind(new.session_id)
        .bind(new.version_id)
        .bind(i64::try_from(new.part).unwrap_or(i64::MAX))
        .bind(new.edit)
        .bind(attempt)
        .bind(stands)
        .fetch_one(tx)
        .await?;
    Ok(id)
}

/// The result with this device's id, taken back or not.
async fn by_device(tx: &mut Pen, owner: PersonId, client_id: &str) -> Result<Option<ResultRow>, StoreError> {
    let sql = select("where r.person_id = $1 and r.client_id = $2");
    let row: Option<Row> = sqlx::query_as(sql).bind(owner).bind(client_id).fetch_optional(tx).await?;
    row.map(Row::result).transpose()
}

/// The part of the newest version under which it is to stand: the page that it was typed on may show an earlier one.
async fn place(tx: &mut Pen, new: &NewResult) -> Result<i64, StoreError> {
    let part = i64::try_from(new.part).unwrap_or(i64::MAX);
    let stands: Option<i64> = sqlx::query_scalar("select coalesce(stands ->> $2, $2) from session_versions where id = $1")
        .bind(new.version_id)
        .bind(part)
        .fetch_optional(tx)
        .await?;
    Ok(stands.unwrap_or(part))
}

/// The member's last attempt at this part that stands, and its number.
async fn standing(tx: &mut Pen, owner: PersonId, new: &NewResult) -> Result<Option<(ResultRow, i64)>, StoreError> {
    let stands = place(tx, new).await?;
    let found: Option<(ResultId, i64)> = sqlx::query_as(
        "select id, attempt from results where person_id = $1 and session_id = $2 and stands = $3 and withdrawn_at is null
         order by attempt desc limit 1",
    )
    .bind(owner)
    .bind(new.session_id)
    .bind(stands)
    .fetch_optional(&mut *tx)
    .await?;
    let Some((id, attempt)) = found else { return Ok(None) };
    let row = sqlx::query_as::<_, Row>(select("where r.id = $1")).bind(id).fetch_one(tx).await?;
    Ok(Some((row.result()?, attempt)))
}

/// The part's board, or else its group's, lets a member try more than once.
async fn may_try_again(tx: &mut Pen, new: &NewResult) -> Result<bool, StoreError> {
    let stands = place(tx, new).await?;
    let body: Option<String> = sqlx::query_scalar(
        "select coalesce((select body from part_policies where session_id = $1 and part = $2),
         (select g.body from group_policies g join sessions s on s.group_id = g.group_id where s.id = $1))",
    )
    .bind(new.session_id)
    .bind(stands)
    .fetch_one(tx)
    .await?;
    let policy: Policy = body.as_deref().map(serde_json::from_str).transpose()?.unwrap_or_default();
    Ok(policy.attempts != Attempts::First)
}

/// A result that came under this id before, from a page whose log became a change of it; and the highest edit that came so.
async fn sent(tx: &mut Pen, owner: PersonId, client_id: &str) -> Result<Option<(ResultRow, i64)>, StoreError> {
    let found: Option<(ResultId, i64)> =
        sqlx::query_as("select result_id, edit from result_sends where person_id = $1 and client_id = $2")
            .bind(owner)
            .bind(client_id)
            .fetch_optional(&mut *tx)
            .await?;
    let Some((id, edit)) = found else { return Ok(None) };
    let row = sqlx::query_as::<_, Row>(select("where r.id = $1")).bind(id).fetch_one(tx).await?;
    Ok(Some((row.result()?, edit)))
}

async fn remember_send(tx: &mut Pen, old: &ResultRow, new: &NewResult) -> Result<(), StoreError> {
    sqlx::query(
        "insert into result_sends (person_id, client_id, result_id, edit) values ($1, $2, $3, $4)
         on conflict (person_id, client_id) do update set edit = max(edit, excluded.edit)",
    )
    .bind(old.person_id)
    .bind(&new.client_id)
    .bind(old.id)
    .bind(new.edit)
    .execute(tx)
    .await?;
    Ok(())
}

/// What was typed earlier and arrives later is kept among the earlier states, once. None where it stands there already.
async fn keep_late(tx: &mut Pen, old: &ResultRow, new: &NewResult, now: OffsetDateTime) -> Result<Option<ResultId>, StoreError> {
    let kept: Vec<String> =
        sqlx::query_scalar("select before from result_edits where result_id = $1").bind(old.id).fetch_all(&mut *tx).await?;
    for before in kept {
        if serde_json::from_str::<NewResult>(&before)?.seen_as(new) == *new {
            return Ok(None);
        }
    }
    sqlx::query("insert into result_edits (result_id, edited_at, edited_by, before, late) values ($1, $2, $3, $4, 1)")
        .bind(old.id)
        .bind(millis(now))
        .bind(old.person_id)
        .bind(serde_json::to_string(new)?)
        .execute(tx)
        .await?;
    Ok(Some(old.id))
}

/// Logs what no device has logged yet. Where one result is allowed and one stands, it becomes a change of that one: two tabs
/// make one result, and both states are kept.
async fn add(tx: &mut Pen, owner: PersonId, new: &NewResult, now: OffsetDateTime) -> Result<Option<ResultId>, StoreError> {
    match standing(tx, owner, new).await? {
        None => insert(tx, owner, new, 1, now).await.map(Some),
        Some((_, last)) if may_try_again(tx, new).await? => insert(tx, owner, new, last + 1, now).await.map(Some),
        Some((old, _)) => {
            remember_send(tx, &old, new).await?;
            change(tx, &old, new, is_late(new, &old), now).await
        }
    }
}

/// Typed before what stands. An edit of 0 carries no counter: whoever sent it saw what stands, so it replaces.
fn is_late(new: &NewResult, old: &ResultRow) -> bool {
    new.edit > 0 && new.edit < old.edit
}

/// Puts `new` in place of `old`, or among its earlier states where it is `late`. None where it says the same.
async fn change(
    tx: &mut Pen,
    old: &ResultRow,
    new: &NewResult,
    late: bool,
    now: OffsetDateTime,
) -> Result<Option<ResultId>, StoreError> {
    if old.logged.seen_as(new) == *new {
        return Ok(None);
    }
    if late {
        return keep_late(tx, old, new, now).await;
    }
    replace(tx, old, new, Editor::Owner(old.person_id), now).await?;
    Ok(Some(old.id))
}

/// The same again from a page whose log became a change of another one's. An edit of 0 carries no counter: the words decide.
async fn sent_again(
    tx: &mut Pen,
    old: &ResultRow,
    last: i64,
    new: &NewResult,
    now: OffsetDateTime,
) -> Result<Option<ResultId>, StoreError> {
    is_of_part(tx, old, new).await?;
    remember_send(tx, old, new).await?;
    let late = new.edit > 0 && new.edit <= last.max(old.edit);
    change(tx, old, new, late || old.withdrawn_at.is_some(), now).await
}

/// # Errors
/// [`StoreError::Stale`] where it was sent for another part.
async fn is_of_part(tx: &mut Pen, old: &ResultRow, new: &NewResult) -> Result<(), StoreError> {
    let same = old.session_id == new.session_id && i64::try_from(old.stands) == Ok(place(tx, new).await?);
    if same { Ok(()) } else { Err(StoreError::Stale) }
}

/// The same device id again. None where nothing changes: a replay says the same again, and an older edit comes late.
async fn again(tx: &mut Pen, old: &ResultRow, new: &NewResult, now: OffsetDateTime) -> Result<Option<ResultId>, StoreError> {
    is_of_part(tx, old, new).await?;
    if old.logged.seen_as(new) == *new {
        return Ok(None);
    }
    if is_late(new, old) {
        return keep_late(tx, old, new, now).await;
    }
    let owner = Editor::Owner(old.person_id);
    if old.withdrawn_at.is_some() {
        if let Some((stands, _)) = standing(tx, old.person_id, new).await?
            && !may_try_again(tx, new).await?
        {
            replace(tx, &stands, new, owner, now).await?;
            return Ok(Some(stands.id));
        }
        // back as the newest attempt: its old number may be another's by now
        sqlx::query(
            "update results set withdrawn_at = null, attempt = 1 + (select coalesce(max(e.attempt), 0) from results e
             where e.person_id = $2 and e.session_id = $3 and e.stands = $4 and e.withdrawn_at is null) where id = $1",
        )
        .bind(old.id)
        .bind(old.person_id)
        .bind(old.session_id)
        .bind(i64::try_from(old.stands).unwrap_or(i64::MAX))
        .execute(&mut *tx)
        .await?;
    }
    replace(tx, old, new, owner, now).await?;
    Ok(Some(old.id))
}

/// Keeps what stands there, then puts the new state in its place. Session, version and part never change.
async fn replace(tx: &mut Pen, old: &ResultRow, new: &NewResult, who: Editor<'_>, now: OffsetDateTime) -> Result<(), StoreError> {
    let next = old.edit.saturating_add(1);
    let (by, reason, edit) = match who {
        Editor::Owner(id) => (id, "", new.edit.max(next)),
        // devices count their edits by the clock: what was typed before the correction comes late
        Editor::Coach(id, reason) => (id, reason, next.max(millis(now))),
    };
    sqlx::query(
        "insert into result_edits (result_id, edited_at, edited_by, reason, before, taken_back_at) values ($1, $2, $3, $4, $5, $6)",
    )
    .bind(old.id)
    .bind(millis(now))
    .bind(by)
    .bind(reason)
    .bind(serde_json::to_string(&old.logged)?)
    .bind(old.withdrawn_at.map(millis))
    .execute(&mut *tx)
    .await?;
    let query = sqlx::query(
        "update results set score_text = $1, score = $2, doubt = $3, version_done = $4, load_text = $5, load_kg = $6,
         minutes = $7, rpe = $8, note = $9, hurt = $10, given = $11, done_on = $12, hidden = $13, updated_at = $14,
         edit = $15 where id = $16",
    );
    bind_changes!(query, new, now).bind(edit).bind(old.id).execute(&mut *tx).await?;
    Ok(())
}

async fn may_log(tx: &mut Pen, owner: PersonId, new: &NewResult) -> Result<(), StoreError> {
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
    /// Logs a result, together with the question that pain opens. The same device id again is the same result: a replay of the
    /// same words changes nothing, other words replace what was there, and that is kept. So does a second log of one part where
    /// its board lets a member try once. What was typed earlier and arrives later stands among the earlier states.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where the version is not of a session of one of their groups; [`StoreError::Stale`]
    /// where the device id belongs to another part.
    pub async fn log_result(&self, owner: PersonId, new: &NewResult, now: OffsetDateTime) -> Result<ResultId, StoreError> {
        if told(new).is_empty()
            && let Some(id) = self.together.write(&self.write, owner, new, now).await?
        {
            self.tell(new.session_id);
            return Ok(id);
        }
        self.log_alone(owner, new, now).await
    }

    /// The long way: a replay, a change, a second attempt, or pain.
    async fn log_alone(&self, owner: PersonId, new: &NewResult, now: OffsetDateTime) -> Result<ResultId, StoreError> {
        let mut tx = self.begin().await?;
        may_log(&mut tx, owner, new).await?;
        let (changed, before) = if let Some(old) = by_device(&mut tx, owner, &new.client_id).await? {
            (again(&mut tx, &old, new, now).await?, Some(old.id))
        } else if let Some((old, last)) = sent(&mut tx, owner, &new.client_id).await? {
            (sent_again(&mut tx, &old, last, new, now).await?, Some(old.id))
        } else {
            let stands = standing(&mut tx, owner, new).await?.map(|(old, _)| old.id);
            (add(&mut tx, owner, new, now).await?, stands)
        };
        if let Some(id) = changed {
            report_pain(&mut tx, owner, id, new, now).await?;
        }
        tx.commit().await?;
        let id = changed.or(before).ok_or(StoreError::NotFound)?;
        self.tell(new.session_id);
        Ok(id)
    }

    /// Changes a result; what was there is kept. Session, version and part stay. A member's edit that was typed earlier than what
    /// stands, and arrives later, stands among the earlier states; one that came before changes nothing.
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
        let new = NewResult { session_id: old.session_id, part: old.part, ..new.clone() };
        if old.logged.seen_as(&new) == new {
            return Ok(());
        }
        if matches!(who, Editor::Owner(_)) && is_late(&new, &old) {
            if keep_late(&mut tx, &old, &new, now).await?.is_none() {
                return Ok(());
            }
        } else {
            replace(&mut tx, &old, &new, who, now).await?;
        }
        report_pain(&mut tx, old.person_id, id, &new, now).await?;
        tx.commit().await?;
        self.tell(old.session_id);
        Ok(())
    }

    /// Takes a result back: it leaves every list, and stays in its owner's history of changes.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is not theirs.
    pub async fn withdraw_result(&self, owner: PersonId, id: ResultId, now: OffsetDateTime) -> Result<(), StoreError> {
        let session: Option<SessionId> = sqlx::query_scalar(
            "update results set withdrawn_at = coalesce(withdrawn_at, $3), updated_at = $3 where id = $1 and person_id = $2
             returning session_id",
        )
        .bind(id)
        .bind(owner)
        .bind(millis(now))
        .fetch_optional(&self.write)
        .await?;
        self.tell(session.ok_or(StoreError::NotFound)?);
        Ok(())
    }
}
