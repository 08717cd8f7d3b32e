//! What stands on a week: who logged, and on which version.

use super::ids::{GroupId, SessionId, VersionId};
use super::{Store, StoreError};
use crate::training::calendar;
use sqlx::FromRow;
use time::{Date, Duration};

/// Results that stand on one version of a session.
#[derive(Clone, Debug, FromRow)]
pub struct StandsOn {
    /// which session
    pub session_id: SessionId,
    /// which version
    pub version_id: VersionId,
    /// results, without those taken back
    pub results: i64,
    /// members who logged them
    pub people: i64,
}

impl Store {
    /// Results of a group's week by session and version, without those taken back.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn week_results(&self, group: GroupId, monday: Date) -> Result<Vec<StandsOn>, StoreError> {
        Ok(sqlx::query_as(
            "select r.session_id, r.version_id, count(*) as results, count(distinct r.person_id) as people
             from results r join sessions s on s.id = r.session_id
             where s.group_id = $1 and s.day between $2 and $3 and r.withdrawn_at is null
             group by r.session_id, r.version_id",
        )
        .bind(group)
        .bind(calendar::iso(monday))
        .bind(calendar::iso(monday + Duration::days(6)))
        .fetch_all(&self.read)
        .await?)
    }

    /// How many members logged each session of a group's week.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn week_loggers(&self, group: GroupId, monday: Date) -> Result<Vec<(SessionId, i64)>, StoreError> {
        Ok(sqlx::query_as(
            "select r.session_id, count(distinct r.person_id) from results r join sessions s on s.id = r.session_id
             where s.group_id = $1 and s.day between $2 and $3 and r.withdrawn_at is null group by r.session_id",
        )
        .bind(group)
        .bind(calendar::iso(monday))
        .bind(calendar::iso(monday + Duration::days(6)))
        .fetch_all(&self.read)
        .await?)
    }
}
