//! Results on their way out: with what they were done on, and those taken back too.

use super::{COLUMNS, FROM, NewResult, ResultRow, Row};
use crate::store::ids::{GroupId, PersonId, VersionId};
use crate::store::weeks::day;
use crate::store::{Store, StoreError};
use crate::training::calendar;
use crate::training::session::Session;
use sqlx::{FromRow, SqlitePool};
use std::collections::HashMap;
use std::sync::Arc;
use time::Date;

/// A result with what it was done on.
#[derive(Clone, Debug)]
pub struct Exported {
    /// the result, taken back or not
    pub result: ResultRow,
    /// what they sign in with
    pub sign_in: String,
    /// whose week
    pub group: String,
    /// the session's day
    pub day: Date,
    /// the version that was done
    pub session: Arc<Session>,
    /// as it was first logged, where it was changed since
    pub first: Option<NewResult>,
}

#[derive(FromRow)]
struct ExportedRow {
    #[sqlx(flatten)]
    row: Row,
    day: String,
    sign_in: String,
    group_name: String,
    first: Option<String>,
}

fn select(rest: &str) -> sqlx::AssertSqlSafe<String> {
    sqlx::AssertSqlSafe(format!(
        "select {COLUMNS}, s.day, p.sign_in, g.name as group_name,
         (select e.before from result_edits e where e.result_id = r.id and e.late = 0 order by e.id limit 1) as first {FROM} join sessions s on s.id = r.session_id
         join groups g on g.id = s.group_id {rest} order by s.day, s.slot, r.stands, r.id"
    ))
}

/// A version is read once, however many results stand on it.
async fn with_sessions(pool: &SqlitePool, rows: Vec<ExportedRow>) -> Result<Vec<Exported>, StoreError> {
    let mut sessions: HashMap<VersionId, Arc<Session>> = HashMap::new();
    let mut out = Vec::with_capacity(rows.len());
    for r in rows {
        let (day, result) = (day(&r.day)?, r.row.result()?);
        let version = result.version_id;
        let session = if let Some(known) = sessions.get(&version) {
            known.clone()
        } else {
            let reading: String =
                sqlx::query_scalar("select reading from session_versions where id = $1").bind(version).fetch_one(pool).await?;
            let session: Arc<Session> = Arc::new(serde_json::from_str(&reading)?);
            sessions.insert(version, session.clone());
            session
        };
        let first = r.first.as_deref().map(serde_json::from_str).transpose()?;
        out.push(Exported { result, sign_in: r.sign_in, group: r.group_name, day, session, first });
    }
    Ok(out)
}

impl Store {
    /// Every result on sessions of a group from day to day, taken back or not; for the coach.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn results_of_group(&self, group: GroupId, from: Date, to: Date) -> Result<Vec<Exported>, StoreError> {
        let rows: Vec<ExportedRow> = sqlx::query_as(select("where s.group_id = $1 and s.day between $2 and $3"))
            .bind(group)
            .bind(calendar::iso(from))
            .bind(calendar::iso(to))
            .fetch_all(&self.read)
            .await?;
        with_sessions(&self.read, rows).await
    }

    /// Everything a person ever logged, taken back or not.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn all_results_of(&self, owner: PersonId) -> Result<Vec<Exported>, StoreError> {
        let rows: Vec<ExportedRow> = sqlx::query_as(select("where r.person_id = $1")).bind(owner).fetch_all(&self.read).await?;
        with_sessions(&self.read, rows).await
    }
}
