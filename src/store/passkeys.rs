//! Passkeys: public keys with which people sign in. What a browser's answer means is [`crate::web::account`]'s to say.

use super::ids::{PasskeyId, PersonId};
use super::{Store, StoreError, instant, millis};
use sqlx::FromRow;
use time::OffsetDateTime;

/// Most passkeys of one person.
pub const MOST: i64 = 10;

/// A passkey, as its owner sees it and as an answer is checked against it.
#[derive(Clone, Debug, FromRow)]
pub struct Kept {
    /// row
    pub id: PasskeyId,
    /// whose
    pub person_id: PersonId,
    /// its person as browsers keep them: a UUID
    pub handle: String,
    /// in its owner's words
    pub name: String,
    /// JSON of `webauthn_rs::prelude::Passkey`
    pub body: String,
    created_at: i64,
    used_at: Option<i64>,
}

impl Kept {
    /// When it was made.
    #[must_use]
    pub fn created_at(&self) -> OffsetDateTime {
        instant(self.created_at)
    }

    /// When somebody last signed in with it.
    #[must_use]
    pub fn used_at(&self) -> Option<OffsetDateTime> {
        self.used_at.map(instant)
    }
}

/// A passkey that was just made.
#[derive(Clone, Debug)]
pub struct NewPasskey {
    /// what browsers call it
    pub credential_id: Vec<u8>,
    /// its person as browsers keep them: a UUID
    pub handle: String,
    /// in its owner's words
    pub name: String,
    /// JSON of `webauthn_rs::prelude::Passkey`
    pub body: String,
}

impl Store {
    /// The passkeys of this person, the oldest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn passkeys_of(&self, person: PersonId) -> Result<Vec<Kept>, StoreError> {
        Ok(sqlx::query_as(
            "select id, person_id, handle, name, body, created_at, used_at from passkeys where person_id = $1 order by id",
        )
        .bind(person)
        .fetch_all(&self.read)
        .await?)
    }

    /// The passkey that browsers call this; none of somebody who left.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn passkey(&self, credential_id: &[u8]) -> Result<Option<Kept>, StoreError> {
        Ok(sqlx::query_as(
            "select passkeys.id, person_id, handle, passkeys.name, body, passkeys.created_at, used_at
             from passkeys join people on people.id = passkeys.person_id
             where credential_id = $1 and people.left_at is null",
        )
        .bind(credential_id)
        .fetch_optional(&self.read)
        .await?)
    }

    /// Keeps a new passkey.
    ///
    /// # Errors
    /// [`StoreError::Taken`] where somebody has it already, [`StoreError::Stale`] where this person has too many.
    pub async fn add_passkey(&self, person: PersonId, new: &NewPasskey, now: OffsetDateTime) -> Result<PasskeyId, StoreError> {
        let mut tx = self.begin().await?;
        let has: i64 = sqlx::query_scalar("select passkeys from people where id = $1").bind(person).fetch_one(&mut *tx).await?;
        if has >= MOST {
            return Err(StoreError::Stale);
        }
        let id = sqlx::query_scalar(
            "insert into passkeys (person_id, credential_id, handle, name, body, created_at)
             values ($1, $2, $3, $4, $5, $6) returning id",
        )
        .bind(person)
        .bind(&new.credential_id)
        .bind(&new.handle)
        .bind(new.name.trim())
        .bind(&new.body)
        .bind(millis(now))
        .fetch_one(&mut *tx)
        .await
        .map_err(|e| StoreError::taken(e, "passkeys.credential_id", "passkey"))?;
        tx.commit().await?;
        Ok(id)
    }

    /// Keeps that a passkey was used. Of two answers with the same count one is refused, also where they come at once: where
    /// a device counts, the count must have grown.
    ///
    /// # Errors
    /// [`StoreError::Stale`] where it has not.
    pub async fn use_passkey(&self, id: PasskeyId, counter: u32, body: &str, now: OffsetDateTime) -> Result<(), StoreError> {
        let done = sqlx::query(
            "update passkeys set counter = $2, body = $3, used_at = $4
             where id = $1 and (counter < $2 or (counter = 0 and $2 = 0))",
        )
        .bind(id)
        .bind(counter)
        .bind(body)
        .bind(millis(now))
        .execute(&self.write)
        .await?;
        if done.rows_affected() == 0 { Err(StoreError::Stale) } else { Ok(()) }
    }

    /// Removes a passkey of this person and signs out every browser of theirs but `this`.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is not theirs; [`StoreError::Stale`] where it is the last and they are asked for one.
    pub async fn remove_passkey(&self, person: PersonId, id: PasskeyId, this: &[u8; 32]) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        let gone =
            sqlx::query("delete from passkeys where id = $1 and person_id = $2").bind(id).bind(person).execute(&mut *tx).await?;
        if gone.rows_affected() == 0 {
            return Err(StoreError::NotFound);
        }
        let stuck: bool = sqlx::query_scalar("select passkey_asked = 1 and passkeys = 0 from people where id = $1")
            .bind(person)
            .fetch_one(&mut *tx)
            .await?;
        if stuck {
            return Err(StoreError::Stale);
        }
        sqlx::query("delete from sign_ins where person_id = $1 and token_hash <> $2")
            .bind(person)
            .bind(&this[..])
            .execute(&mut *tx)
            .await?;
        tx.commit().await?;
        Ok(())
    }

    /// Asks a coach or an assistant for a passkey from now on, or no longer. Where it is asked, every browser of theirs is
    /// signed out but `this`.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is no coach.
    pub async fn ask_for_passkey(&self, id: PersonId, asked: bool, this: &[u8; 32]) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        let done = sqlx::query("update people set passkey_asked = $2 where id = $1 and role = 'coach' and left_at is null")
            .bind(id)
            .bind(asked)
            .execute(&mut *tx)
            .await?;
        if done.rows_affected() == 0 {
            return Err(StoreError::NotFound);
        }
        if asked {
            sqlx::query("delete from sign_ins where person_id = $1 and token_hash <> $2")
                .bind(id)
                .bind(&this[..])
                .execute(&mut *tx)
                .await?;
        }
        tx.commit().await?;
        Ok(())
    }

    /// Removes every passkey of a person, and signs them and their tokens out; for whoever runs the machine.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn forget_passkeys(&self, id: PersonId) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        sqlx::query("delete from passkeys where person_id = $1").bind(id).execute(&mut *tx).await?;
        sqlx::query("delete from sign_ins where person_id = $1").bind(id).execute(&mut *tx).await?;
        sqlx::query("delete from tokens where person_id = $1").bind(id).execute(&mut *tx).await?;
        tx.commit().await?;
        Ok(())
    }
}
