//! What a coach goes through each day besides questions: results to look at twice, first results, members gone quiet.

use super::ids::{PersonId, ResultId, SessionId, VersionId};
use super::weeks::day;
use super::{Store, StoreError, instant, millis};
use crate::training::calendar;
use crate::training::session::Session;
use sqlx::FromRow;
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;
use time::{Date, Duration, OffsetDateTime};

/// A result that the coach has not seen since it last changed.
#[derive(Clone, Debug)]
pub struct ToSee {
    /// row
    pub id: ResultId,
    /// whose
    pub person_id: PersonId,
    /// their name, as the coach knows it
    pub name: String,
    /// which session
    pub session_id: SessionId,
    /// its day
    pub day: Date,
    /// as it was when they did it
    pub session: Arc<Session>,
    /// part, from 0
    pub part: usize,
    /// as typed
    pub score_text: String,
    /// it waits for an answer and has no place until then
    pub held: bool,
    /// why it is held or doubted
    pub doubt: Option<String>,
    /// how hard it was, 0 to 10
    pub rpe: Option<f64>,
    /// to the coach
    pub note: String,
    /// when it was logged
    pub logged_at: OffsetDateTime,
    /// when it last changed: what is seen is this state and none after it
    pub updated_at: OffsetDateTime,
}

/// A member who has not logged for a while although there was something to do.
#[derive(Clone, Debug)]
pub struct Quiet {
    /// who
    pub person_id: PersonId,
    /// their name
    pub name: String,
    /// the last day they logged for; none: never
    pub last: Option<Date>,
    /// when they joined
    pub joined_at: OffsetDateTime,
    /// days with a session since then, or since they joined
    pub missed: i64,
    /// what they sign in with
    pub sign_in: String,
}

/// Somebody who joined lately, and what they told the coach about themselves.
#[derive(Clone, Debug, FromRow)]
pub struct Told {
    /// who
    pub person_id: PersonId,
    /// their name
    pub name: String,
    /// as typed
    pub note: String,
}

#[derive(FromRow)]
struct ToSeeRow {
    id: ResultId,
    person_id: PersonId,
    name: String,
    session_id: SessionId,
    day: String,
    version_id: VersionId,
    part: i64,
    score_text: String,
    held: bool,
    doubt: Option<String>,
    rpe: Option<f64>,
    note: String,
    created_at: i64,
    updated_at: i64,
}

#[derive(FromRow)]
struct QuietRow {
    id: PersonId,
    name: String,
    last: Option<String>,
    created_at: i64,
    missed: i64,
    sign_in: String,
}

const TO_SEE: &str = "select r.id, r.person_id, p.name, r.session_id, s.day, r.version_id, r.part, r.score_text,
    r.score is null as held, r.doubt, r.rpe, r.note, r.created_at, r.updated_at
    from results r join people p on p.id = r.person_id join sessions s on s.id = r.session_id
    where r.withdrawn_at is null and p.left_at is null
    and not exists (select 1 from seen_results x where x.result_id = r.id and x.seen_at >= r.updated_at)";

impl Store {
    /// Rows with the sessions they were done on; each version is read once, however many results it has.
    async fn to_see(&self, rows: Vec<ToSeeRow>) -> Result<Vec<ToSee>, StoreError> {
        let ids: BTreeSet<i64> = rows.iter().map(|r| r.version_id.0).collect();
        let readings: Vec<(VersionId, String)> =
            sqlx::query_as("select v.id, v.reading from json_each($1) j join session_versions v on v.id = j.value")
                .bind(serde_json::to_string(&ids)?)
                .fetch_all(&self.read)
                .await?;
        let mut sessions: HashMap<VersionId, Arc<Session>> = HashMap::new();
        for (id, reading) in readings {
            sessions.insert(id, Arc::new(serde_json::from_str(&reading)?));
        }
        let one = |r: ToSeeRow| {
            Ok(ToSee {
                id: r.id,
                person_id: r.person_id,
                name: r.name,
                session_id: r.session_id,
                day: day(&r.day)?,
                session: sessions.get(&r.version_id).cloned().unwrap_or_default(),
                part: usize::try_from(r.part).unwrap_or_default(),
                score_text: r.score_text,
                held: r.held,
                doubt: r.doubt,
                rpe: r.rpe,
                note: r.note,
                logged_at: instant(r.created_at),
                updated_at: instant(r.updated_at),
            })
        };
        rows.into_iter().map(one).collect()
    }

    /// Results with a note that were logged since then and not seen, newest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn noted_results(&self, since: OffsetDateTime, at_most: u32) -> Result<Vec<ToSee>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "{TO_SEE} and r.note <> '' and r.created_at >= $1 order by r.created_at desc, r.id desc limit $2"
        ));
        self.to_see(sqlx::query_as(sql).bind(millis(since)).bind(at_most).fetch_all(&self.read).await?).await
    }

    /// Results with an effort that were logged since then and not seen, newest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn rated_results(&self, since: OffsetDateTime) -> Result<Vec<ToSee>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "{TO_SEE} and r.rpe is not null and r.created_at >= $1 order by r.created_at desc, r.id desc"
        ));
        self.to_see(sqlx::query_as(sql).bind(millis(since)).fetch_all(&self.read).await?).await
    }

    /// What members who joined since then told the coach, newest first; not what stands before the coach as a report of pain
    /// already, and not of those whom the coach has spoken with.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn told_at_joining(&self, since: OffsetDateTime) -> Result<Vec<Told>, StoreError> {
        let told = sqlx::query_as(
            "select p.id as person_id, p.name, p.note from people p
             where p.role = 'member' and p.left_at is null and p.note is not null and p.created_at >= $1
             and not exists (select 1 from spoken_with w where w.person_id = p.id)
             and not exists (select 1 from questions q where q.person_id = p.id and q.kind = 'pain' and q.text = p.note)
             order by p.created_at desc, p.id desc",
        );
        Ok(told.bind(millis(since)).fetch_all(&self.read).await?)
    }

    /// The coach has spoken with a member who went quiet: they leave the review for a while.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn spoke_with(&self, member: PersonId, by: PersonId, now: OffsetDateTime) -> Result<(), StoreError> {
        let done = sqlx::query(
            "insert into spoken_with (person_id, spoken_at, spoken_by) select id, $2, $3 from people where id = $1 and role = 'member'
             on conflict (person_id) do update set spoken_at = $2, spoken_by = $3",
        )
        .bind(member)
        .bind(millis(now))
        .bind(by)
        .execute(&self.write)
        .await?;
        if done.rows_affected() == 1 { Ok(()) } else { Err(StoreError::NotFound) }
    }

    /// Results that are held or hard to believe and were not seen since, newest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn doubtful_results(&self, at_most: u32) -> Result<Vec<ToSee>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "{TO_SEE} and (r.doubt is not null or r.score is null) order by r.created_at desc, r.id desc limit $1"
        ));
        self.to_see(sqlx::query_as(sql).bind(at_most).fetch_all(&self.read).await?).await
    }

    /// The first result of everybody who began since then, newest first, where it was not seen.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn first_results(&self, since: OffsetDateTime) -> Result<Vec<ToSee>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "{TO_SEE} and r.created_at >= $1 and not exists (select 1 from results e where e.person_id = r.person_id
             and e.withdrawn_at is null and (e.created_at, e.id) < (r.created_at, r.id))
             order by r.created_at desc, r.id desc"
        ));
        self.to_see(sqlx::query_as(sql).bind(millis(since)).fetch_all(&self.read).await?).await
    }

    /// The coach has seen a result as it stood then; a change that came after that brings it back to the review.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn mark_seen(&self, id: ResultId, by: PersonId, as_of: OffsetDateTime) -> Result<(), StoreError> {
        let done = sqlx::query(
            "insert into seen_results (result_id, seen_at, seen_by) select id, $2, $3 from results where id = $1
             on conflict (result_id) do update set seen_at = $2, seen_by = $3",
        )
        .bind(id)
        .bind(millis(as_of))
        .bind(by)
        .execute(&self.write)
        .await?;
        if done.rows_affected() == 1 { Ok(()) } else { Err(StoreError::NotFound) }
    }

    /// Members whose groups had sessions, and who logged nothing for so many days up to `today`, or nothing ever.
    /// Longest quiet first; who never logged stands first; whom the coach has spoken with since `spoken` is left out.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn quiet_members(&self, today: Date, days: i64, spoken: OffsetDateTime) -> Result<Vec<Quiet>, StoreError> {
        let rows: Vec<QuietRow> = sqlx::query_as(
            "with loggers as (
                 select p.id, p.name, p.sign_in, p.created_at, date(p.created_at / 1000, 'unixepoch') as joined,
                 (select done_on from results r where r.person_id = p.id and r.withdrawn_at is null
                 order by done_on desc limit 1) as last
                 from people p where p.role = 'member' and p.left_at is null
                 and not exists (select 1 from spoken_with w where w.person_id = p.id and w.spoken_at > $3))
             select id, name, sign_in, last, created_at,
             (select count(distinct s.day) from sessions s join memberships m on m.group_id = s.group_id
              where m.person_id = loggers.id and s.live_version_id is not null and s.day < $1
              and (s.day > last or (last is null and s.day >= joined))) as missed
             from loggers where coalesce(last, joined) <= $2 and missed > 0
             order by last nulls first, name",
        )
        .bind(calendar::iso(today))
        .bind(calendar::iso(today - Duration::days(days)))
        .bind(millis(spoken))
        .fetch_all(&self.read)
        .await?;
        let quiet = |r: QuietRow| {
            Ok(Quiet {
                person_id: r.id,
                name: r.name,
                last: r.last.as_deref().map(day).transpose()?,
                joined_at: instant(r.created_at),
                missed: r.missed,
                sign_in: r.sign_in,
            })
        };
        rows.into_iter().map(quiet).collect()
    }
}
