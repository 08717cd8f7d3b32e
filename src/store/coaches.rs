//! Coaches and assistants, and what a person's own password ends.

use super::ids::PersonId;
use super::people::{NewPerson, Person, PersonRow, insert_person};
use super::{Store, StoreError};
use crate::store::writer::Pen;
use time::OffsetDateTime;

async fn one_coach_at_least(tx: &mut Pen) -> Result<(), StoreError> {
    let left: i64 = sqlx::query_scalar("select count(*) from people where role = 'coach' and assistant = 0 and left_at is null")
        .fetch_one(tx)
        .await?;
    if left == 0 { Err(StoreError::Stale) } else { Ok(()) }
}

impl Store {
    /// Coaches and assistants, by name.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn coaches(&self) -> Result<Vec<Person>, StoreError> {
        sqlx::query_as::<_, PersonRow>("select * from people where role = 'coach' and left_at is null order by name")
            .fetch_all(&self.read)
            .await?
            .into_iter()
            .map(PersonRow::person)
            .collect()
    }

    /// Makes a coach's or an assistant's account; all or nothing.
    ///
    /// # Errors
    /// [`StoreError::Taken`] where somebody signs in with that name already; [`StoreError::Stale`] where no coach would be
    /// there beside an assistant.
    pub async fn add_coach(&self, new: &NewPerson, assistant: bool, now: OffsetDateTime) -> Result<PersonId, StoreError> {
        let mut tx = self.begin().await?;
        let id = insert_person(&mut tx, new, now).await?;
        sqlx::query("update people set assistant = $2 where id = $1").bind(id).bind(assistant).execute(&mut *tx).await?;
        one_coach_at_least(&mut tx).await?;
        tx.commit().await?;
        Ok(id)
    }

    /// Makes a coach an assistant, or an assistant a coach; their browsers are signed out, so that the change counts at once.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is no coach; [`StoreError::Stale`] where no coach would be left.
    pub async fn set_assistant(&self, id: PersonId, assistant: bool) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        let done = sqlx::query("update people set assistant = $2 where id = $1 and role = 'coach' and left_at is null")
            .bind(id)
            .bind(assistant)
            .execute(&mut *tx)
            .await?;
        if done.rows_affected() == 0 {
            return Err(StoreError::NotFound);
        }
        one_coach_at_least(&mut tx).await?;
        sqlx::query("delete from sign_ins where person_id = $1").bind(id).execute(&mut *tx).await?;
        tx.commit().await?;
        Ok(())
    }

    /// Keeps a password's new hash where the old one still stands: the same password, hashed with today's settings.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn renew_hash(&self, id: PersonId, old: &str, new: &str) -> Result<(), StoreError> {
        sqlx::query("update people set password_hash = $3 where id = $1 and password_hash = $2")
            .bind(id)
            .bind(old)
            .bind(new)
            .execute(&self.write)
            .await?;
        Ok(())
    }

    /// Signs every browser of a person out.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn end_sign_ins(&self, id: PersonId) -> Result<(), StoreError> {
        sqlx::query("delete from sign_ins where person_id = $1").bind(id).execute(&self.write).await?;
        sqlx::query("delete from tokens where person_id = $1").bind(id).execute(&self.write).await?;
        Ok(())
    }

    /// Sets a password, withdraws open links to set one, and signs every browser of theirs out; all or nothing.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn change_password(&self, id: PersonId, hash: &str) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        sqlx::query("update people set password_hash = $2 where id = $1").bind(id).bind(hash).execute(&mut *tx).await?;
        sqlx::query(
            "update links set withdrawn_at = created_at
             where person_id = $1 and purpose = 'password' and used_at is null and withdrawn_at is null",
        )
        .bind(id)
        .execute(&mut *tx)
        .await?;
        sqlx::query("delete from sign_ins where person_id = $1").bind(id).execute(&mut *tx).await?;
        sqlx::query("delete from tokens where person_id = $1").bind(id).execute(&mut *tx).await?;
        tx.commit().await?;
        Ok(())
    }
}
