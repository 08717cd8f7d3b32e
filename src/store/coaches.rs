//! Coaches and assistants, and what a person's own password ends.

use super::ids::PersonId;
use super::people::{NewPerson, Person, PersonRow, insert_person};
use super::{Store, StoreError, millis};
use crate::store::writer::Pen;
use time::OffsetDateTime;

async fn one_coach_at_least(tx: &mut Pen) -> Result<(), StoreError> {
    let left: i64 = sqlx::query_scalar("select count(*) from people where role = 'coach' and assistant = 0 and left_at is null")
        .fetch_one(tx)
        .await?;
    if left == 0 { Err(StoreError::Stale) } else { Ok(()) }
}

/// Ends sign-ins, tokens and passkeys of a person, and withdraws open links to set their password: nothing of it comes back with them.
pub(super) async fn end_ways_in(tx: &mut Pen, id: PersonId, now: OffsetDateTime) -> Result<(), StoreError> {
    sqlx::query("update links set withdrawn_at = $2 where person_id = $1 and used_at is null and withdrawn_at is null")
        .bind(id)
        .bind(millis(now))
        .execute(&mut *tx)
        .await?;
    for sql in [
        "delete from sign_ins where person_id = $1",
        "delete from tokens where person_id = $1",
        "delete from passkeys where person_id = $1",
    ] {
        sqlx::query(sql).bind(id).execute(&mut *tx).await?;
    }
    Ok(())
}

/// A coach who was removed and comes back under the same name is the same person: what they wrote is theirs again.
async fn take_back(tx: &mut Pen, new: &NewPerson) -> Result<Option<PersonId>, StoreError> {
    let sql = "update people set left_at = null, name = $2, zone = $3
               where sign_in = $1 and role = 'coach' and left_at is not null returning id";
    let back = sqlx::query_scalar(sql).bind(new.sign_in.trim()).bind(new.name.trim()).bind(new.zone.name());
    Ok(back.fetch_optional(tx).await?)
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
        let id = match take_back(&mut tx, new).await? {
            Some(id) => id,
            None => insert_person(&mut tx, new, now).await?,
        };
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

    /// Ends a coach's or an assistant's access: password, passkeys, sign-ins, tokens, and open links that they made and still
    /// know. What they wrote stays, with their name.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is no coach; [`StoreError::Stale`] where no coach would be left.
    pub async fn end_coach(&self, id: PersonId, now: OffsetDateTime) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        let done = sqlx::query(
            "update people set left_at = $2, password_hash = null, passkey_asked = 0
             where id = $1 and role = 'coach' and left_at is null",
        )
        .bind(id)
        .bind(millis(now))
        .execute(&mut *tx)
        .await?;
        if done.rows_affected() == 0 {
            return Err(StoreError::NotFound);
        }
        one_coach_at_least(&mut tx).await?;
        end_ways_in(&mut tx, id, now).await?;
        sqlx::query("update links set withdrawn_at = $2 where created_by = $1 and used_at is null and withdrawn_at is null")
            .bind(id)
            .bind(millis(now))
            .execute(&mut *tx)
            .await?;
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

    /// Signs everybody out, everywhere, and ends every token. After a restore these are the ones of back then, also such as
    /// were ended since.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn end_everybodys_sign_ins(&self) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        sqlx::query("delete from sign_ins").execute(&mut *tx).await?;
        sqlx::query("delete from tokens").execute(&mut *tx).await?;
        tx.commit().await?;
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
