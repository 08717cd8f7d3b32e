//! Signed-in browsers. The cookie holds 32 random bytes; the file holds their SHA-256.

use super::ids::PersonId;
use super::people::{Person, PersonRow};
use super::{Store, StoreError, instant, millis};
use sqlx::FromRow;
use time::{Duration, OffsetDateTime};

/// How long a browser stays signed in without being used.
pub const LASTS: Duration = Duration::days(60);
/// How long it stays signed in however much it is used; browsers keep no cookie longer.
pub const LASTS_AT_MOST: Duration = Duration::days(400);
/// One that is used is kept alive at most so often.
const RENEWED: Duration = Duration::days(1);
/// Most browsers of one person at once; one more ends the one that was unused longest.
pub const AT_ONCE: i64 = 20;

fn whole(time: Duration) -> i64 {
    time.whole_seconds() * 1000
}

#[derive(FromRow)]
struct Seen {
    #[sqlx(flatten)]
    person: PersonRow,
    seen_at: i64,
    expires_at: i64,
    signed_at: i64,
}

/// A signed-in browser, as its owner sees it.
#[derive(Clone, Debug)]
pub struct Device {
    /// row
    pub id: i64,
    /// what the browser calls itself
    pub agent: String,
    /// when it signed in
    pub created_at: OffsetDateTime,
    /// when it was last used, to the day
    pub seen_at: OffsetDateTime,
    /// it is the one that asks
    pub this_one: bool,
}

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
        sqlx::query(
            "delete from sign_ins where person_id = $1 and rowid not in
             (select rowid from sign_ins where person_id = $1 order by seen_at desc, rowid desc limit $2)",
        )
        .bind(person)
        .bind(AT_ONCE)
        .execute(&mut *tx)
        .await?;
        tx.commit().await?;
        Ok(())
    }

    /// Who is signed in with this cookie; nobody who left or whose sign-in ran out. At most once a day it is kept alive
    /// for longer; where that cannot be written (a full disk), reading goes on.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn signed_in(&self, hash: &[u8; 32], now: OffsetDateTime) -> Result<Option<Person>, StoreError> {
        self.look_for_others().await?;
        if let Some((person, _)) = self.known.get(hash, now, self.changes()) {
            return Ok(Some(person));
        }
        let mark = self.changes().mark();
        let seen = sqlx::query_as::<_, Seen>(
            "select people.*, sign_ins.seen_at, sign_ins.expires_at, sign_ins.created_at as signed_at
             from sign_ins join people on people.id = sign_ins.person_id
             where sign_ins.token_hash = $1 and sign_ins.expires_at > $2 and sign_ins.created_at > $3
             and people.left_at is null",
        )
        .bind(&hash[..])
        .bind(millis(now))
        .bind(millis(now - LASTS_AT_MOST))
        .fetch_optional(&self.read)
        .await?;
        let Some(seen) = seen else { return Ok(None) };
        let ends = [seen.expires_at, seen.signed_at + whole(LASTS_AT_MOST), seen.seen_at + whole(RENEWED)];
        if seen.seen_at < millis(now - RENEWED)
            && let Err(e) = self.renew_sign_in(hash, now).await
        {
            tracing::warn!(error = %e, "a sign-in could not be renewed");
        }
        let person = seen.person.person()?;
        let until = ends.into_iter().min().map_or(now, instant);
        self.known.put(*hash, person.clone(), mark, (now, until));
        Ok(Some(person))
    }

    /// How long a sign-in of this person that was asked for lately holds, where nothing about it changed.
    #[must_use]
    pub fn signed_in_until(&self, hash: &[u8; 32], person: PersonId, now: OffsetDateTime) -> Option<OffsetDateTime> {
        self.known.get(hash, now, self.changes()).filter(|(who, _)| who.id == person).map(|(_, until)| until)
    }

    /// Where this person is signed in, the last used first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn devices(&self, person: PersonId, this: &[u8; 32], now: OffsetDateTime) -> Result<Vec<Device>, StoreError> {
        let rows: Vec<(i64, String, i64, i64, bool)> = sqlx::query_as(
            "select rowid, agent, created_at, seen_at, token_hash = $2 from sign_ins
             where person_id = $1 and expires_at > $3 order by seen_at desc, rowid desc",
        )
        .bind(person)
        .bind(&this[..])
        .bind(millis(now))
        .fetch_all(&self.read)
        .await?;
        let device = |(id, agent, created, seen, this_one)| Device {
            id,
            agent,
            created_at: instant(created),
            seen_at: instant(seen),
            this_one,
        };
        Ok(rows.into_iter().map(device).collect())
    }

    /// Signs one browser of this person out.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is not theirs.
    pub async fn end_device(&self, person: PersonId, id: i64) -> Result<(), StoreError> {
        let done = sqlx::query("delete from sign_ins where rowid = $1 and person_id = $2")
            .bind(id)
            .bind(person)
            .execute(&self.write)
            .await?;
        if done.rows_affected() == 0 { Err(StoreError::NotFound) } else { Ok(()) }
    }

    /// Signs every browser of this person out but this one.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn end_other_devices(&self, person: PersonId, this: &[u8; 32]) -> Result<(), StoreError> {
        sqlx::query("delete from sign_ins where person_id = $1 and token_hash <> $2")
            .bind(person)
            .bind(&this[..])
            .execute(&self.write)
            .await?;
        Ok(())
    }

    /// Keeps a sign-in alive; does nothing for one that was used within the last day.
    async fn renew_sign_in(&self, hash: &[u8; 32], now: OffsetDateTime) -> Result<(), StoreError> {
        sqlx::query("update sign_ins set seen_at = $2, expires_at = $3 where token_hash = $1 and seen_at < $4")
            .bind(&hash[..])
            .bind(millis(now))
            .bind(millis(now + LASTS))
            .bind(millis(now - RENEWED))
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
