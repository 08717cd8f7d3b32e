//! The practice's own movements. One of the same name stands in place of the one that came with Dowel.

use super::ids::PersonId;
use super::{Store, StoreError, millis};
use crate::training::movement::Movement;
use time::OffsetDateTime;

impl Store {
    /// Every own movement, by name. One that cannot be read is left out and logged, never deleted: everything else still opens.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn own_movements(&self) -> Result<Vec<Movement>, StoreError> {
        let rows: Vec<(String, String)> =
            sqlx::query_as("select name, body from movements order by name").fetch_all(&self.read).await?;
        let read = |(name, body): (String, String)| match serde_json::from_str(&body) {
            Ok(movement) => Some(movement),
            Err(e) => {
                tracing::error!(table = "movements", row = name, error = %e, "a row cannot be read and is left out");
                None
            }
        };
        Ok(rows.into_iter().filter_map(read).collect())
    }

    /// Saves an own movement; `was` is the name it had before, where it stood there already.
    ///
    /// # Errors
    /// [`StoreError::Taken`] where another own movement has this name.
    pub async fn save_movement(
        &self,
        was: Option<&str>,
        movement: &Movement,
        by: PersonId,
        now: OffsetDateTime,
    ) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        if let Some(was) = was {
            sqlx::query("delete from movements where name = $1").bind(was).execute(&mut *tx).await?;
        }
        sqlx::query("insert into movements (name, body, changed_at, changed_by) values ($1, $2, $3, $4)")
            .bind(&movement.name)
            .bind(serde_json::to_string(movement)?)
            .bind(millis(now))
            .bind(by)
            .execute(&mut *tx)
            .await
            .map_err(|e| StoreError::taken(e, "movements.name", "name"))?;
        tx.commit().await?;
        Ok(())
    }

    /// Removes an own movement; where one of this name came with Dowel, that one is back.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where there is no own one of this name.
    pub async fn delete_movement(&self, name: &str) -> Result<(), StoreError> {
        let gone = sqlx::query("delete from movements where name = $1").bind(name).execute(&self.write).await?;
        if gone.rows_affected() == 1 { Ok(()) } else { Err(StoreError::NotFound) }
    }
}
