//! Nods: one tap on somebody's result.

use super::ids::{PersonId, ResultId};
use super::{Store, StoreError, millis};
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
}
