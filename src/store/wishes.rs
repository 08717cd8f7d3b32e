//! What members said at a line of a session: not today, and why.

use super::ids::{PersonId, SessionId};
use super::{Store, StoreError, millis};
use crate::training::tailor::{Wish, Wished};
use std::collections::HashMap;
use time::OffsetDateTime;

/// What one member said, session by session.
pub type Wishes = HashMap<SessionId, Vec<Wished>>;

fn place(n: usize) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}

/// A pain report about what they were doing, and in whose place it was where it is not what was written.
fn report(written: &str, doing: &str) -> String {
    if doing == written { format!("It hurts: {written}.") } else { format!("It hurts: {doing}, in place of {written}.") }
}

impl Store {
    /// Everything that a member said at lines.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn wishes_of(&self, owner: PersonId) -> Result<Wishes, StoreError> {
        let rows: Vec<(SessionId, i64, i64, String, String)> = sqlx::query_as(
            "select session_id, part, line, movement, wish from wishes where person_id = $1 order by session_id, part, line",
        )
        .bind(owner)
        .fetch_all(&self.read)
        .await?;
        let mut all = Wishes::new();
        for (session, part, line, movement, wish) in rows {
            let wish = Wish::from_key(&wish).ok_or_else(|| StoreError::Unusable(format!("{wish:?} is no wish")))?;
            let at = |n: i64| usize::try_from(n).unwrap_or(usize::MAX);
            all.entry(session).or_default().push(Wished { part: at(part), line: at(line), movement, wish });
        }
        Ok(all)
    }

    /// Keeps what was said at a line in place of what was said there before. What hurts (`doing`, the movement that they were
    /// given) reaches the coach as a pain report, once for each line while it is open.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn save_wish(
        &self,
        owner: PersonId,
        session: SessionId,
        said: &Wished,
        doing: &str,
        now: OffsetDateTime,
    ) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        sqlx::query(
            "insert into wishes (person_id, session_id, part, line, movement, wish, said_at)
             values ($1, $2, $3, $4, $5, $6, $7)
             on conflict (person_id, session_id, part, line) do update set movement = $5, wish = $6, said_at = $7",
        )
        .bind(owner)
        .bind(session)
        .bind(place(said.part))
        .bind(place(said.line))
        .bind(&said.movement)
        .bind(said.wish.key())
        .bind(millis(now))
        .execute(&mut *tx)
        .await?;
        if said.wish == Wish::Hurts {
            sqlx::query(
                "insert into questions (person_id, session_id, part, line, kind, text, asked_at)
                 select $1, $2, $3, $4, 'pain', $5, $6 where not exists
                 (select 1 from questions q where q.person_id = $1 and q.session_id = $2 and q.line = $4 and q.kind = 'pain'
                  and q.answered_at is null and $3 = coalesce((select v.stands ->> q.part from session_versions v where v.id =
                   (select max(id) from session_versions where session_id = $2 and published_at <= q.asked_at)), q.part))",
            )
            .bind(owner)
            .bind(session)
            .bind(place(said.part))
            .bind(place(said.line))
            .bind(report(&said.movement, doing))
            .bind(millis(now))
            .execute(&mut *tx)
            .await?;
        }
        tx.commit().await?;
        Ok(())
    }

    /// Takes back what was said at a line; a pain report stays with the coach.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn drop_wish(&self, owner: PersonId, session: SessionId, part: usize, line: usize) -> Result<(), StoreError> {
        sqlx::query("delete from wishes where person_id = $1 and session_id = $2 and part = $3 and line = $4")
            .bind(owner)
            .bind(session)
            .bind(place(part))
            .bind(place(line))
            .execute(&self.write)
            .await?;
        Ok(())
    }
}
