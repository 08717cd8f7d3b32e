//! New results that come together are written together.
//!
//! # Design
//! Logging a result asks whether it is a replay, a change or a second attempt: a handful of statements, each a trip to the
//! file's thread. Nearly all are none of these. So whoever comes first takes along all who wait, and one statement writes those
//! that are plainly new, by the same rules that would have found them new one by one. The others go the long way.

use super::NewResult;
use crate::store::ids::{PersonId, ResultId};
use crate::store::writer::Writer;
use crate::store::{StoreError, Trouble, millis};
use crate::training::calendar;
use serde::Serialize;
use sqlx::FromRow;
use std::collections::{HashMap, HashSet};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use time::OffsetDateTime;
use tokio::sync::oneshot;

/// Most that are written by one statement.
const TOGETHER: usize = 128;
/// Most that wait to be written.
const WAITING: usize = 1024;

/// One result as the statement reads it; numbers as numbers, all else as text.
#[derive(Debug, Serialize)]
struct Row {
    person: PersonId,
    client_id: String,
    session: i64,
    version: i64,
    part: usize,
    score_text: String,
    score: Option<String>,
    doubt: Option<String>,
    version_done: String,
    load_text: String,
    load_kg: Option<f64>,
    minutes: Option<f64>,
    rpe: Option<f64>,
    note: String,
    given: Option<String>,
    done_on: String,
    hidden: i64,
    edit: i64,
    now: i64,
}

/// One that was written.
#[derive(Debug, FromRow)]
struct Kept {
    id: ResultId,
    person_id: i64,
    client_id: String,
    load_kg: Option<f64>,
    minutes: Option<f64>,
    rpe: Option<f64>,
}

/// Written; or none, and it goes the long way.
type Told = Result<Option<ResultId>, Trouble>;

#[derive(Debug, Default)]
struct Queue {
    waiting: Vec<(Row, oneshot::Sender<Told>)>,
    /// somebody is writing, and looks here again before leaving
    served: bool,
}

/// Results that wait to be written together.
#[derive(Clone, Debug, Default)]
pub(in crate::store) struct Together(Arc<Mutex<Queue>>);

const INSERT: &str = "insert into results (score_text, score, doubt, version_done, load_text, load_kg, minutes, rpe, note,
     given, done_on, hidden, created_at, updated_at, client_id, person_id, session_id, version_id, part, edit, attempt, stands)
     select j.value ->> 'score_text', j.value ->> 'score', j.value ->> 'doubt', j.value ->> 'version_done',
     j.value ->> 'load_text', j.value ->> 'load_kg', j.value ->> 'minutes', j.value ->> 'rpe', j.value ->> 'note',
     j.value ->> 'given', j.value ->> 'done_on', j.value ->> 'hidden', j.value ->> 'now', j.value ->> 'now',
     j.value ->> 'client_id', j.value ->> 'person', j.value ->> 'session', v.id, j.value ->> 'part', j.value ->> 'edit', 1,
     coalesce(v.stands ->> (j.value ->> 'part'), j.value ->> 'part')
     from json_each($1) j cross join session_versions v on v.id = j.value ->> 'version'
     cross join sessions s on s.id = v.session_id and s.id = j.value ->> 'session'
     cross join memberships m on m.group_id = s.group_id and m.person_id = j.value ->> 'person'
     where not exists (select 1 from results r where r.person_id = m.person_id and r.client_id = j.value ->> 'client_id')
     and not exists (select 1 from result_sends r where r.person_id = m.person_id and r.client_id = j.value ->> 'client_id')
     and not exists (select 1 from results r where r.person_id = m.person_id and r.session_id = s.id
      and r.stands = coalesce(v.stands ->> (j.value ->> 'part'), j.value ->> 'part') and r.withdrawn_at is null)
     on conflict do nothing returning id, person_id, client_id, load_kg, minutes, rpe";

impl Row {
    fn of(owner: PersonId, new: &NewResult, now: OffsetDateTime) -> Self {
        Self {
            person: owner,
            client_id: new.client_id.clone(),
            session: new.session_id.0,
            version: new.version_id.0,
            part: new.part,
            score_text: new.score_text.clone(),
            score: new.score.as_ref().map(ToString::to_string),
            doubt: new.doubt.clone(),
            version_done: new.version_done.clone(),
            load_text: new.load_text.clone(),
            load_kg: new.load_kg,
            minutes: new.minutes,
            rpe: new.rpe,
            note: new.note.clone(),
            given: new.given.as_ref().map(ToString::to_string),
            done_on: calendar::iso(new.done_on),
            hidden: i64::from(new.hidden),
            edit: new.edit,
            now: millis(now),
        }
    }
}

impl Together {
    fn queue(&self) -> MutexGuard<'_, Queue> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Writes a result that is plainly new, and comes back once it is on the disk. None where it is not plainly new: nothing was
    /// written then. What hurts opens a question, and is not for here.
    pub(super) async fn write(
        &self,
        writer: &Writer,
        owner: PersonId,
        new: &NewResult,
        now: OffsetDateTime,
    ) -> Result<Option<ResultId>, StoreError> {
        let (told, tells) = oneshot::channel();
        {
            let mut queue = self.queue();
            if queue.waiting.len() >= WAITING {
                return Err(StoreError::Busy);
            }
            queue.waiting.push((Row::of(owner, new, now), told));
            if !std::mem::replace(&mut queue.served, true) {
                // on its own task: a client who leaves does not leave the others unwritten
                tokio::spawn(self.clone().serve(writer.clone()));
            }
        }
        Ok(tells.await.unwrap_or(Err(Trouble::Busy))?)
    }

    async fn serve(self, writer: Writer) {
        let mut serving = Serving { queue: self.clone(), ended: false };
        loop {
            {
                let mut queue = self.queue();
                if queue.waiting.is_empty() {
                    queue.served = false;
                    serving.ended = true;
                    return;
                }
            }
            // while the turn is waited for, others gather
            let turn = writer.begin().await;
            let waiting: Vec<_> = {
                let mut queue = self.queue();
                let n = queue.waiting.len().min(TOGETHER);
                queue.waiting.drain(..n).collect()
            };
            // one form that came twice at once may say two things: the second goes the long way, and finds the first
            let mut forms = HashSet::new();
            let (first, again): (Vec<_>, Vec<_>) =
                waiting.into_iter().partition(|(row, _)| forms.insert((row.person.0, row.client_id.clone())));
            let (rows, told): (Vec<Row>, Vec<_>) = first.into_iter().unzip();
            let written = match turn {
                Ok(turn) => written(turn, &rows).await,
                Err(trouble) => Err(trouble),
            };
            for (_, told) in again {
                let _ = told.send(written.as_ref().map(|_| None).map_err(Clone::clone));
            }
            for (row, told) in rows.iter().zip(told) {
                let found = written.as_ref().map(|ids| ids.get(&(row.person.0, row.client_id.clone())).copied());
                // whoever left is not told
                let _ = told.send(found.map_err(Clone::clone));
            }
        }
    }
}

/// Whoever writes. Where that ends before its time, all who wait are told, and the next one starts anew.
struct Serving {
    queue: Together,
    ended: bool,
}

impl Drop for Serving {
    fn drop(&mut self) {
        if !self.ended {
            let mut queue = self.queue.queue();
            queue.served = false;
            queue.waiting.clear();
        }
    }
}

/// Writes those that are plainly new; their rows, by whose they are and the device's id.
async fn written(mut turn: crate::store::writer::Write, rows: &[Row]) -> Result<HashMap<(i64, String), ResultId>, Trouble> {
    // what cannot be put as JSON, or breaks a rule of the table, says so the long way
    let Ok(json) = serde_json::to_string(rows) else { return Ok(HashMap::new()) };
    let kept: Vec<Kept> = match sqlx::query_as(INSERT).bind(json).fetch_all(&mut *turn).await {
        Ok(kept) => kept,
        Err(e) => return Trouble::of(&e).map_or_else(|| Ok(HashMap::new()), Err),
    };
    let kept: HashMap<(i64, String), Kept> = kept.into_iter().map(|k| ((k.person_id, k.client_id.clone()), k)).collect();
    let mut ids = HashMap::new();
    for row in rows {
        let key = (row.person.0, row.client_id.clone());
        let Some(kept) = kept.get(&key) else { continue };
        if (kept.load_kg, kept.minutes, kept.rpe) != (row.load_kg, row.minutes, row.rpe) {
            // the same again must find the same: SQLite may read a number from text one bit off
            sqlx::query("update results set load_kg = $2, minutes = $3, rpe = $4 where id = $1")
                .bind(kept.id)
                .bind(row.load_kg)
                .bind(row.minutes)
                .bind(row.rpe)
                .execute(&mut *turn)
                .await
                .map_err(|e| Trouble::of(&e).unwrap_or_else(|| Trouble::Unkept(e.to_string())))?;
        }
        ids.insert(key, kept.id);
    }
    turn.commit().await?;
    Ok(ids)
}
