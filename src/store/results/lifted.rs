//! Everything that somebody lifted, however long ago, for their bests.

use super::json;
use crate::store::ids::{PersonId, ResultId, VersionId};
use crate::store::weeks::day;
use crate::store::{Store, StoreError};
use crate::training::score::Score;
use crate::training::session::Part;
use sqlx::FromRow;
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;
use time::Date;

/// A result with a load, beside the part that it was done on.
#[derive(Clone, Debug)]
pub struct Lifted {
    /// row
    pub id: ResultId,
    /// the member's own day
    pub done_on: Date,
    /// `full`, `lighter`, `adapted`, or the name of an option
    pub version_done: String,
    /// always a load
    pub score: Score,
    /// as it was in the version that was done
    pub part: Arc<Part>,
    /// hard to believe, and no coach has looked at it as it stands
    pub doubted: bool,
}

#[derive(FromRow)]
struct Row {
    id: ResultId,
    version_id: VersionId,
    part: i64,
    version_done: String,
    score: String,
    done_on: String,
    doubted: bool,
}

impl Store {
    /// Everything that a person lifted and did not take back, newest first. Of a session only the part is read, and each part
    /// once.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn lifted_by(&self, owner: PersonId) -> Result<Vec<Lifted>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select r.id, r.version_id, r.part, r.version_done, r.score, r.done_on, r.doubt is not null and not exists
             (select 1 from seen_results x where x.result_id = r.id and x.seen_at >= r.updated_at) as doubted from results r
             where r.person_id = $1 and r.score ->> 'kind' = 'load' and r.withdrawn_at is null
             order by r.done_on desc, r.id desc",
        )
        .bind(owner)
        .fetch_all(&self.read)
        .await?;
        let parts = self.parts(rows.iter().map(|r| (r.version_id.0, r.part)).collect()).await?;
        let mut lifted = Vec::with_capacity(rows.len());
        for r in rows {
            let score = json(Some(&r.score))?.and_then(|s| serde_json::from_value(s).ok());
            if let (Some(score), Some(part)) = (score, parts.get(&(r.version_id.0, r.part)).cloned()) {
                lifted.push(Lifted {
                    id: r.id,
                    done_on: day(&r.done_on)?,
                    version_done: r.version_done,
                    score,
                    part,
                    doubted: r.doubted,
                });
            }
        }
        Ok(lifted)
    }

    /// These parts of these versions.
    async fn parts(&self, which: BTreeSet<(i64, i64)>) -> Result<HashMap<(i64, i64), Arc<Part>>, StoreError> {
        let rows: Vec<(i64, i64, Option<String>)> = sqlx::query_as(
            "select v.id, j.value ->> 1, v.reading -> ('$.parts[' || (j.value ->> 1) || ']')
             from json_each($1) j cross join session_versions v on v.id = j.value ->> 0",
        )
        .bind(serde_json::to_string(&which)?)
        .fetch_all(&self.read)
        .await?;
        let mut parts = HashMap::with_capacity(rows.len());
        for (version, part, reading) in rows {
            if let Some(reading) = reading {
                parts.insert((version, part), Arc::new(serde_json::from_str(&reading)?));
            }
        }
        Ok(parts)
    }
}
