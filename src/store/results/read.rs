//! Results as they are asked for: by part, by person, by pain.

use super::{COLUMNS, Correction, FROM, Logged, ResultEdit, ResultRow, Row, results, select};
use crate::store::ids::{PersonId, ResultId, SessionId};
use crate::store::weeks::day;
use crate::store::{Store, StoreError, instant, millis};
use crate::training::calendar;
use sqlx::FromRow;
use time::{Date, OffsetDateTime};

#[derive(FromRow)]
struct LoggedRow {
    #[sqlx(flatten)]
    row: Row,
    day: String,
    reading: String,
}

#[derive(FromRow)]
struct EditRow {
    edited_at: i64,
    edited_by: Option<PersonId>,
    name: Option<String>,
    reason: String,
    before: String,
    taken_back_at: Option<i64>,
    late: bool,
}

impl Store {
    /// One of a person's own results, taken back or not.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is not theirs.
    pub async fn result(&self, owner: PersonId, id: ResultId) -> Result<ResultRow, StoreError> {
        let sql = select("where r.person_id = $1 and r.id = $2");
        sqlx::query_as::<_, Row>(sql).bind(owner).bind(id).fetch_one(&self.read).await?.result()
    }

    /// Anybody's result; for the coach.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn result_for_coach(&self, id: ResultId) -> Result<ResultRow, StoreError> {
        sqlx::query_as::<_, Row>(select("where r.id = $1")).bind(id).fetch_one(&self.read).await?.result()
    }

    /// Every earlier state of a result, newest first. The caller has asked [`Store::result`] whose it is.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn edits_of(&self, id: ResultId) -> Result<Vec<ResultEdit>, StoreError> {
        let rows: Vec<EditRow> = sqlx::query_as(
            "select e.edited_at, e.edited_by, p.name, e.reason, e.before, e.taken_back_at, e.late from result_edits e
             left join people p on p.id = e.edited_by where e.result_id = $1 order by e.id desc",
        )
        .bind(id)
        .fetch_all(&self.read)
        .await?;
        let edit = |r: EditRow| {
            Ok(ResultEdit {
                edited_at: instant(r.edited_at),
                edited_by: r.edited_by,
                by: r.name,
                reason: r.reason,
                before: serde_json::from_str(&r.before)?,
                taken_back_at: r.taken_back_at.map(instant),
                late: r.late,
            })
        };
        rows.into_iter().map(edit).collect()
    }

    /// What its owner logged for the same part and took back, newest first. The caller has asked [`Store::result`] whose it is.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn taken_back_beside(&self, result: &ResultRow) -> Result<Vec<ResultRow>, StoreError> {
        let sql = select(
            "where r.person_id = $1 and r.session_id = $2 and r.stands = $3 and r.withdrawn_at is not null and r.id <> $4
             order by r.withdrawn_at desc, r.id desc",
        );
        let query = sqlx::query_as(sql).bind(result.person_id).bind(result.session_id);
        let stands = i64::try_from(result.stands).unwrap_or(i64::MAX);
        results(query.bind(stands).bind(result.id).fetch_all(&self.read).await?)
    }

    /// Of these results of one owner the ones that the coach changed last.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn corrections(&self, owner: PersonId, of: &[ResultId]) -> Result<Vec<Correction>, StoreError> {
        let rows: Vec<(ResultId, String, Option<String>, i64)> = sqlx::query_as(
            "select r.id, e.reason, p.name, e.edited_at from json_each($1) j join results r on r.id = j.value
             join result_edits e on e.id = (select max(id) from result_edits where result_id = r.id and late = 0)
             left join people p on p.id = e.edited_by where r.person_id = $2 and e.reason <> ''",
        )
        .bind(serde_json::to_string(of)?)
        .bind(owner)
        .fetch_all(&self.read)
        .await?;
        Ok(rows.into_iter().map(|(id, reason, by, at)| Correction { id, reason, by, at: instant(at) }).collect())
    }

    /// Results of a session, by part, oldest first, without those taken back; for the coach.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn results_of_session(&self, session: SessionId) -> Result<Vec<ResultRow>, StoreError> {
        let sql = select("where r.session_id = $1 and r.withdrawn_at is null order by r.stands, r.created_at, r.id");
        results(sqlx::query_as(sql).bind(session).fetch_all(&self.read).await?)
    }

    /// A person's own results of one of the sessions that stand on a day, oldest first, without those taken back.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn results_on(&self, owner: PersonId, session_day: Date) -> Result<Vec<ResultRow>, StoreError> {
        let sql = select(
            "where r.person_id = $1 and r.withdrawn_at is null
             and r.session_id in (select id from sessions where day = $2) order by r.created_at, r.id",
        );
        results(sqlx::query_as(sql).bind(owner).bind(calendar::iso(session_day)).fetch_all(&self.read).await?)
    }

    /// Days from day to day on whose sessions a person logged something, in order.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn days_done(&self, owner: PersonId, from: Date, to: Date) -> Result<Vec<Date>, StoreError> {
        let days: Vec<String> = sqlx::query_scalar(
            "select distinct s.day from results r join sessions s on s.id = r.session_id
             where r.person_id = $1 and r.withdrawn_at is null and s.day between $2 and $3 order by s.day",
        )
        .bind(owner)
        .bind(calendar::iso(from))
        .bind(calendar::iso(to))
        .fetch_all(&self.read)
        .await?;
        days.iter().map(|d| day(d)).collect()
    }

    /// A person's results from day to day, by day, without those taken back.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn results_of_person(&self, owner: PersonId, from: Date, to: Date) -> Result<Vec<ResultRow>, StoreError> {
        let sql =
            select("where r.person_id = $1 and r.done_on between $2 and $3 and r.withdrawn_at is null order by r.done_on, r.id");
        let rows = sqlx::query_as(sql).bind(owner).bind(calendar::iso(from)).bind(calendar::iso(to)).fetch_all(&self.read);
        results(rows.await?)
    }

    /// A page of a person's results with what they were done on, newest day first, older than `before` (a day and a row).
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn history(
        &self,
        owner: PersonId,
        before: Option<(Date, ResultId)>,
        at_most: u32,
    ) -> Result<Vec<Logged>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "select {COLUMNS}, s.day, v.reading {FROM} join session_versions v on v.id = r.version_id
             join sessions s on s.id = r.session_id
             where r.person_id = $1 and r.withdrawn_at is null and (r.done_on, r.id) < ($2, $3)
             order by r.done_on desc, r.id desc limit $4"
        ));
        let (day_before, id) = before.map_or(("9999-99-99".to_owned(), i64::MAX), |(d, id)| (calendar::iso(d), id.0));
        let rows: Vec<LoggedRow> =
            sqlx::query_as(sql).bind(owner).bind(day_before).bind(id).bind(at_most).fetch_all(&self.read).await?;
        let logged =
            |r: LoggedRow| Ok(Logged { day: day(&r.day)?, session: serde_json::from_str(&r.reading)?, result: r.row.result()? });
        rows.into_iter().map(logged).collect()
    }

    /// Results that hurt since then, newest first, without those taken back; for the coach.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn recent_pain(&self, since: OffsetDateTime) -> Result<Vec<ResultRow>, StoreError> {
        let sql = select(
            "where r.hurt is not null and r.created_at >= $1 and r.withdrawn_at is null order by r.created_at desc, r.id desc",
        );
        results(sqlx::query_as(sql).bind(millis(since)).fetch_all(&self.read).await?)
    }
}
