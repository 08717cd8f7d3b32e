//! Signed-in browsers. The cookie holds 32 random bytes; the file holds their SHA-256.

use super::ids::PersonId;
use super::people::{Person, PersonRow};
use super::{Store, StoreError, millis};
use time::{Duration, OffsetDateTime};

/// How long a browser stays signed in without being used.
pub const LASTS: Duration = Duration::days(60);

impl Store {
    /// Keeps a new sign-in.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn add_sign_in(
        &self,
        hash: &[u8; 32],
        person: PersonId,
        agent: &str,
        now: OffsetDateTime,
    ) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        sqlx::query("delete from sign_ins where expires_at < $1").bind(millis(now)).execute(&mut *tx).await?;
        sqlx::query(
            "insert into sign_ins (token_hash, person_id, created_at, seen_at, expires_at, agent)
             values ($1, $2, $3, $3, $4, $5)",
        )
        .bind(&hash[..])
        .bind(person)
        .bind(millis(now))
        .bind(millis(now + LASTS))
        .bind(agent.chars().take(200).collect::<String>())
        .execute(&mut *tx)
        .await?;
        tx.commit().await?;
        Ok(())
    }

    /// Who is signed in with this cookie; nobody who left or whose sign-in ran out.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn signed_in(&self, hash: &[u8; 32], now: OffsetDateTime) -> Result<Option<Person>, StoreError> {
        sqlx::query_as::<_, PersonRow>(
            "select people.* from sign_ins join people on people.id = sign_ins.person_id
             where sign_ins.token_hash = $1 and sign_ins.expires_at > $2 and people.left_at is null",
        )
        .bind(&hash[..])
        .bind(millis(now))
        .fetch_optional(&self.read)
        .await?
        .map(PersonRow::person)
        .transpose()
    }

    /// Keeps an old sign-in alive; does nothing for one that was used within the last day.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn renew_sign_in(&self, hash: &[u8; 32], now: OffsetDateTime) -> Result<(), StoreError> {
        sqlx::query("update sign_ins set seen_at = $2, expires_at = $3 where token_hash = $1 and seen_at < $4")
            .bind(&hash[..])
            .bind(millis(now))
            .bind(millis(now + LASTS))
            .bind(millis(now - Duration::days(1)))
            .execute(&self.write)
            .await?;
        Ok(())
    }

    /// Signs a browser out.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn end_sign_in(&self, hash: &[u8; 32]) -> Result<(), StoreError> {
        sqlx::query("delete from sign_ins where token_hash = $1").bind(&hash[..]).execute(&self.write).await?;
        Ok(())
    }
}
