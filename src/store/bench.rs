//! Fills an empty data file with a crowd, to measure how long a board takes.

use super::ids::{GroupId, PersonId, SessionId};
use super::{Store, StoreError, millis};
use crate::training::calendar;
use time::{Date, OffsetDateTime};

impl Store {
    /// Makes so many members of a group, who have been through joining. Their rows follow each other; the first is given.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn bench_members(
        &self,
        group: GroupId,
        n: u32,
        cautions: i64,
        now: OffsetDateTime,
    ) -> Result<PersonId, StoreError> {
        let mut tx = self.begin().await?;
        let first: i64 = sqlx::query_scalar("select coalesce(max(id), 0) + 1 from people").fetch_one(&mut *tx).await?;
        sqlx::query(
            "with recursive i(n) as (select 0 union all select n + 1 from i where n + 1 < $2)
             insert into people (id, role, sign_in, name, zone, kit, cautions_version, cautions_at, created_at)
             select $1 + n, 'member', 'm' || n || '@example.org', 'Member ' || n, 'Europe/Lisbon',
             case n % 3 when 0 then '[{\"item\":\"barbell\"}]' when 1 then '[{\"item\":\"kettlebell\"}]' else '[]' end, $3, $4, $4
             from i",
        )
        .bind(first)
        .bind(n)
        .bind(cautions)
        .bind(millis(now))
        .execute(&mut *tx)
        .await?;
        sqlx::query("insert into memberships (group_id, person_id, joined_at) select $1, id, $3 from people where id >= $2")
            .bind(group)
            .bind(first)
            .bind(millis(now))
            .execute(&mut *tx)
            .await?;
        tx.commit().await?;
        Ok(PersonId(first))
    }

    /// A result of each of these members for part 0 of a session: times from 400 to 899.9 s, each tenth of a second.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn bench_results(
        &self,
        session: SessionId,
        (first, n): (PersonId, u32),
        on: Date,
        now: OffsetDateTime,
    ) -> Result<(), StoreError> {
        sqlx::query(
            "with recursive i(n) as (select 0 union all select n + 1 from i where n + 1 < $3)
             insert into results (client_id, person_id, session_id, version_id, part, score_text, score, version_done, load_kg,
             minutes, rpe, done_on, created_at, updated_at)
             select 'b' || $1, $2 + n, $1, s.live_version_id, 0, cast(400 + (n * 7919 % 5000) / 10.0 as text) || ' s',
             '{\"kind\":\"time\",\"seconds\":' || (400 + (n * 7919 % 5000) / 10.0) || '}',
             case n % 5 when 0 then 'lighter' else 'full' end, 20, 12, 7, $4, $5 + n, $5 + n
             from i join sessions s on s.id = $1",
        )
        .bind(session)
        .bind(first)
        .bind(n)
        .bind(calendar::iso(on))
        .bind(millis(now))
        .execute(&self.write)
        .await?;
        Ok(())
    }
}
