//! What a coach goes through each day besides questions: results to look at twice, first results, members gone quiet.

use super::ids::{PersonId, ResultId, SessionId};
use super::weeks::day;
use super::{Store, StoreError, instant, millis};
use crate::training::calendar;
use crate::training::session::Session;
use sqlx::FromRow;
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
    pub session: Session,
    /// part, from 0
    pub part: usize,
    /// as typed
    pub score_text: String,
    /// it waits for an answer and has no place until then
    pub held: bool,
    /// why it is held or doubted
    pub doubt: Option<String>,
    /// when it was logged
    pub logged_at: OffsetDateTime,
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
}

#[derive(FromRow)]
struct ToSeeRow {
    id: ResultId,
    person_id: PersonId,
    name: String,
    session_id: SessionId,
    day: String,
    reading: String,
    part: i64,
    score_text: String,
    held: bool,
    doubt: Option<String>,
    created_at: i64,
}

#[derive(FromRow)]
struct QuietRow {
    id: PersonId,
    name: String,
    last: Option<String>,
    created_at: i64,
    missed: i64,
}

const TO_SEE: &str = "select r.id, r.person_id, p.name, r.session_id, s.day, v.reading, r.part, r.score_text,
    r.score is null as held, r.doubt, r.created_at
    from results r join people p on p.id = r.person_id join sessions s on s.id = r.session_id
    join session_versions v on v.id = r.version_id
    where r.withdrawn_at is null and p.left_at is null
    and not exists (select 1 from seen_results x where x.result_id = r.id and x.seen_at >= r.updated_at)";

fn to_see(rows: Vec<ToSeeRow>) -> Result<Vec<ToSee>, StoreError> {
    let one = |r: ToSeeRow| {
        Ok(ToSee {
            id: r.id,
            person_id: r.person_id,
            name: r.name,
            session_id: r.session_id,
            day: day(&r.day)?,
            session: serde_json::from_str(&r.reading)?,
            part: usize::try_from(r.part).unwrap_or_default(),
            score_text: r.score_text,
            held: r.held,
            doubt: r.doubt,
            logged_at: instant(r.created_at),
        })
    };
    rows.into_iter().map(one).collect()
}

impl Store {
    /// Results that are held or hard to believe and were not seen since, newest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn doubtful_results(&self, at_most: u32) -> Result<Vec<ToSee>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "{TO_SEE} and (r.doubt is not null or r.score is null) order by r.created_at desc, r.id desc limit $1"
        ));
        to_see(sqlx::query_as(sql).bind(at_most).fetch_all(&self.read).await?)
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
        to_see(sqlx::query_as(sql).bind(millis(since)).fetch_all(&self.read).await?)
    }

    /// The coach has seen a result; it comes back to the review where it changes.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn mark_seen(&self, id: ResultId, by: PersonId, now: OffsetDateTime) -> Result<(), StoreError> {
        let done = sqlx::query(
            "insert into seen_results (result_id, seen_at, seen_by) select id, $2, $3 from results where id = $1
             on conflict (result_id) do update set seen_at = $2, seen_by = $3",
        )
        .bind(id)
        .bind(millis(now))
        .bind(by)
        .execute(&self.write)
        .await?;
        if done.rows_affected() == 1 { Ok(()) } else { Err(StoreError::NotFound) }
    }

    /// Members whose groups had sessions, and who logged nothing for so many days up to `today`, or nothing ever.
    /// Longest quiet first; who never logged stands first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn quiet_members(&self, today: Date, days: i64) -> Result<Vec<Quiet>, StoreError> {
        let rows: Vec<QuietRow> = sqlx::query_as(
            "with loggers as (
                 select p.id, p.name, p.created_at, date(p.created_at / 1000, 'unixepoch') as joined,
                 (select max(done_on) from results r where r.person_id = p.id and r.withdrawn_at is null) as last
                 from people p where p.role = 'member' and p.left_at is null)
             select id, name, last, created_at,
             (select count(distinct s.day) from sessions s join memberships m on m.group_id = s.group_id
              where m.person_id = loggers.id and s.live_version_id is not null and s.day < $1
              and (s.day > last or (last is null and s.day >= joined))) as missed
             from loggers where (last is null or last <= $2) and missed > 0
             order by last nulls first, name",
        )
        .bind(calendar::iso(today))
        .bind(calendar::iso(today - Duration::days(days)))
        .fetch_all(&self.read)
        .await?;
        let quiet = |r: QuietRow| {
            Ok(Quiet {
                person_id: r.id,
                name: r.name,
                last: r.last.as_deref().map(day).transpose()?,
                joined_at: instant(r.created_at),
                missed: r.missed,
            })
        };
        rows.into_iter().map(quiet).collect()
    }
}
