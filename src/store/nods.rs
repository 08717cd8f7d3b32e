//! Nods: one tap on somebody's result.

use super::ids::{PersonId, ResultId, SessionId};
use super::{Store, StoreError, millis};
use std::collections::HashMap;
use time::OffsetDateTime;

impl Store {
    /// Nods at a result, or takes one's nod back. The caller has asked whether they may see it.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn toggle_nod(&self, result: ResultId, by: PersonId, now: OffsetDateTime) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        let gone = sqlx::query("delete from nods where result_id = $1 and person_id = $2")
            .bind(result)
            .bind(by)
            .execute(&mut *tx)
            .await?;
        if gone.rows_affected() == 0 {
            sqlx::query("insert into nods (result_id, person_id, created_at) values ($1, $2, $3)")
                .bind(result)
                .bind(by)
                .bind(millis(now))
                .execute(&mut *tx)
                .await?;
        }
        tx.commit().await?;
        Ok(())
    }

    /// How many nods each result of a part has, and whether this reader is among them. By the result's row.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn nods_of_part(
        &self,
        session: SessionId,
        part: usize,
        reader: PersonId,
    ) -> Result<HashMap<i64, (i64, bool)>, StoreError> {
        let rows: Vec<(i64, i64, bool)> = sqlx::query_as(
            "select n.result_id, count(*), max(n.person_id = $3) from nods n join results r on r.id = n.result_id
             where r.session_id = $1 and r.part = $2 group by n.result_id",
        )
        .bind(session)
        .bind(i64::try_from(part).unwrap_or(-1))
        .bind(reader)
        .fetch_all(&self.read)
        .await?;
        Ok(rows.into_iter().map(|(id, count, own)| (id, (count, own))).collect())
    }
}
