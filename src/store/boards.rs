//! What a board is made of: results as a board may see them, its rules, and whether anything changed.

use super::ids::{GroupId, PersonId, ResultId, SessionId, VersionId};
use super::weeks::day;
use super::{Store, StoreError, instant, millis};
use crate::training::calendar::{self, Zone};
use crate::training::score::Score;
use crate::training::standings::{Attempts, Policy};
use serde_json::Value;
use sqlx::FromRow;
use std::collections::HashMap;
use time::{Date, OffsetDateTime};

/// A result as a board sees it: effort, pain and notes stay behind in the store.
#[derive(Clone, Debug)]
pub struct BoardRow {
    /// row
    pub id: ResultId,
    /// whose
    pub person_id: PersonId,
    /// of the session, and the part from 0
    pub of: (SessionId, usize),
    /// the name that members see
    pub name: String,
    /// the name that the coach knows
    pub full_name: String,
    /// may stand on a board: neither the person nor the result is kept off it
    pub shown: bool,
    /// which version of the session it was done on
    pub version_id: VersionId,
    /// as typed
    pub score_text: String,
    /// as read; none while it is held, or where it is of an older kind
    pub score: Option<Score>,
    /// why it is held or doubted
    pub doubt: Option<String>,
    /// `full`, `lighter`, `adapted`, or the name of the coach's option
    pub version_done: String,
    /// as typed
    pub load_text: String,
    /// kilograms
    pub load_kg: Option<f64>,
    /// JSON of what was given in place of what was written
    pub given: Option<Value>,
    /// the member's own day
    pub done_on: Date,
    /// when it was logged
    pub created_at: OffsetDateTime,
    /// when it was typed, by the clock of a device that kept it until there was a signal
    pub typed_at: Option<OffsetDateTime>,
    /// 1 for the first
    pub attempt: u32,
    /// where the member lives
    pub zone: Zone,
    /// the member's kit holds a loaded bar; bells or dumbbells
    pub has: (bool, bool),
}

/// Counters of edits above this are a device's clock, in milliseconds: the year 2001.
const AN_INSTANT: i64 = 1_000_000_000_000;

#[derive(FromRow)]
struct Row {
    id: ResultId,
    person_id: PersonId,
    session_id: SessionId,
    part: i64,
    name: String,
    full_name: String,
    shown: bool,
    version_id: VersionId,
    score_text: String,
    score: Option<String>,
    doubt: Option<String>,
    version_done: String,
    load_text: String,
    load_kg: Option<f64>,
    given: Option<String>,
    done_on: String,
    created_at: i64,
    edit: i64,
    attempt: u32,
    zone: String,
    kit: String,
}

impl Row {
    fn row(self, zones: &mut HashMap<String, Zone>) -> Result<BoardRow, StoreError> {
        // the kit is JSON of our own making; reading it whole for every row of a long board would cost more than the board
        let has = |item: &str| self.kit.contains(item);
        Ok(BoardRow {
            has: (has("\"item\":\"barbell\""), has("\"item\":\"dumbbell\"") || has("\"item\":\"kettlebell\"")),
            zone: match zones.get(&self.zone) {
                Some(zone) => *zone,
                None => *zones.entry(self.zone.clone()).or_insert_with(|| Zone::named(&self.zone).unwrap_or_default()),
            },
            id: self.id,
            person_id: self.person_id,
            of: (self.session_id, usize::try_from(self.part).unwrap_or(usize::MAX)),
            name: self.name,
            full_name: self.full_name,
            shown: self.shown,
            version_id: self.version_id,
            score_text: self.score_text,
            score: self.score.as_deref().and_then(|s| serde_json::from_str(s).ok()),
            doubt: self.doubt,
            version_done: self.version_done,
            load_text: self.load_text,
            load_kg: self.load_kg,
            given: self.given.as_deref().map(serde_json::from_str).transpose()?,
            done_on: day(&self.done_on)?,
            created_at: instant(self.created_at),
            // a page without a script counts from 0
            typed_at: (self.edit > AN_INSTANT).then(|| instant(self.edit)),
            attempt: self.attempt,
        })
    }
}

/// A question for rows of boards: who is in the group, and what was not taken back.
fn board_sql(from: &str, only: &str) -> sqlx::AssertSqlSafe<String> {
    sqlx::AssertSqlSafe(format!(
        "select r.id, r.person_id, r.session_id, r.stands as part, coalesce(p.nickname, p.name) as name, p.name as full_name,
         p.shown = 1 and r.hidden = 0 as shown, r.version_id, r.score_text, r.score, r.doubt, r.version_done, r.load_text,
         r.load_kg, r.given, r.done_on, r.created_at, r.edit, r.attempt, p.zone, p.kit
         from {from} join people p on p.id = r.person_id join sessions s on s.id = r.session_id
         join memberships m on m.group_id = s.group_id and m.person_id = r.person_id
         where {only} and r.withdrawn_at is null and p.left_at is null"
    ))
}

fn board_rows(rows: Vec<Row>) -> Result<Vec<BoardRow>, StoreError> {
    let mut zones = HashMap::new();
    rows.into_iter().map(|r| r.row(&mut zones)).collect()
}

/// The rules of a board, and where they come from.
#[derive(Clone, Debug, Default)]
pub struct Rules {
    /// themselves
    pub policy: Policy,
    /// set for this part alone
    pub own: bool,
    /// when they were changed; none: as Dowel came
    pub changed_at: Option<OffsetDateTime>,
    /// by whom
    pub changed_by: Option<String>,
}

#[derive(FromRow)]
struct RulesRow {
    body: String,
    changed_at: i64,
    name: Option<String>,
}

fn rules(row: Option<RulesRow>, own: bool) -> Result<Option<Rules>, StoreError> {
    let rules = |r: RulesRow| {
        Ok(Rules { policy: serde_json::from_str(&r.body)?, own, changed_at: Some(instant(r.changed_at)), changed_by: r.name })
    };
    row.map(rules).transpose()
}

impl Store {
    /// Results of one part whose owners are still in its group, without those taken back. In no order.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn board_rows(&self, session: SessionId, part: usize) -> Result<Vec<BoardRow>, StoreError> {
        let sql = board_sql("results r", "r.session_id = $1 and r.stands = $2");
        let part = i64::try_from(part).unwrap_or(-1);
        board_rows(sqlx::query_as(sql).bind(session).bind(part).fetch_all(&self.read).await?)
    }

    /// Of these results, by row, those that stand on boards of their groups: see [`Store::board_rows`].
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn board_rows_by_id(&self, results: &[i64]) -> Result<Vec<BoardRow>, StoreError> {
        let sql = board_sql("json_each($1) j cross join results r on r.id = j.value", "true");
        board_rows(sqlx::query_as(sql).bind(serde_json::to_string(results)?).fetch_all(&self.read).await?)
    }

    /// What these people have on the board of a part: see [`Store::board_rows`].
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn board_rows_of(&self, session: SessionId, part: usize, people: &[i64]) -> Result<Vec<BoardRow>, StoreError> {
        let from = "json_each($3) j cross join results r on r.person_id = j.value";
        let sql = board_sql(from, "r.session_id = $1 and r.stands = $2");
        let query = sqlx::query_as(sql).bind(session).bind(i64::try_from(part).unwrap_or(-1));
        board_rows(query.bind(serde_json::to_string(people)?).fetch_all(&self.read).await?)
    }

    /// Parts of sessions from this day on that have at least so many results, with the version that is on show; the most first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn crowded_parts(&self, from: Date, at_least: u32) -> Result<Vec<(VersionId, usize)>, StoreError> {
        let rows: Vec<(VersionId, i64)> = sqlx::query_as(
            "select s.live_version_id, r.stands from sessions s cross join results r on r.session_id = s.id
             where s.day >= $1 and s.live_version_id is not null group by +s.id, r.stands having count(*) >= $2
             order by count(*) desc",
        )
        .bind(calendar::iso(from))
        .bind(at_least)
        .fetch_all(&self.read)
        .await?;
        Ok(rows.into_iter().filter_map(|(version, part)| Some((version, usize::try_from(part).ok()?))).collect())
    }

    /// How many nods each of these results has, and whether this reader is among them. By the result's row.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn nods_at(&self, results: &[ResultId], reader: PersonId) -> Result<HashMap<i64, (i64, bool)>, StoreError> {
        let rows: Vec<(i64, i64, bool)> = sqlx::query_as(
            "select n.result_id, count(*), max(n.person_id = $2) from json_each($1) j join nods n on n.result_id = j.value
             group by n.result_id",
        )
        .bind(serde_json::to_string(results)?)
        .bind(reader)
        .fetch_all(&self.read)
        .await?;
        Ok(rows.into_iter().map(|(id, count, own)| (id, (count, own))).collect())
    }

    /// The rules of a part's board: its own, else its group's, else as Dowel comes.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn board_rules(&self, group: GroupId, session: SessionId, part: usize) -> Result<Rules, StoreError> {
        let own: Option<RulesRow> = sqlx::query_as(
            "select b.body, b.changed_at, p.name from part_policies b left join people p on p.id = b.changed_by
             where b.session_id = $1 and b.part = $2",
        )
        .bind(session)
        .bind(i64::try_from(part).unwrap_or(-1))
        .fetch_optional(&self.read)
        .await?;
        match rules(own, true)? {
            Some(own) => Ok(own),
            None => self.group_rules(group).await,
        }
    }

    /// Whether a board of this session, or of its group, lets a member try more than once.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn lets_try_again(&self, session: SessionId) -> Result<bool, StoreError> {
        let bodies: Vec<String> = sqlx::query_scalar(
            "select body from part_policies where session_id = $1 union all
             select g.body from sessions s join group_policies g on g.group_id = s.group_id where s.id = $1",
        )
        .bind(session)
        .fetch_all(&self.read)
        .await?;
        let policies = bodies.iter().map(|body| serde_json::from_str::<Policy>(body)).collect::<Result<Vec<_>, _>>()?;
        Ok(policies.iter().any(|p| p.attempts != Attempts::First))
    }

    /// The rules of a group's boards, where a part has none of its own.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn group_rules(&self, group: GroupId) -> Result<Rules, StoreError> {
        let row: Option<RulesRow> = sqlx::query_as(
            "select b.body, b.changed_at, p.name from group_policies b left join people p on p.id = b.changed_by
             where b.group_id = $1",
        )
        .bind(group)
        .fetch_optional(&self.read)
        .await?;
        Ok(rules(row, false)?.unwrap_or_default())
    }

    /// Sets the rules of a group's boards.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn save_group_rules(
        &self,
        group: GroupId,
        policy: &Policy,
        by: PersonId,
        now: OffsetDateTime,
    ) -> Result<(), StoreError> {
        sqlx::query(
            "insert into group_policies (group_id, body, changed_at, changed_by) values ($1, $2, $3, $4)
             on conflict (group_id) do update set body = $2, changed_at = $3, changed_by = $4",
        )
        .bind(group)
        .bind(serde_json::to_string(policy)?)
        .bind(millis(now))
        .bind(by)
        .execute(&self.write)
        .await?;
        Ok(())
    }

    /// Sets the rules of one part's board; none: its group's again.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn save_part_rules(
        &self,
        session: SessionId,
        part: usize,
        policy: Option<&Policy>,
        by: PersonId,
        now: OffsetDateTime,
    ) -> Result<(), StoreError> {
        let part = i64::try_from(part).unwrap_or(i64::MAX);
        if let Some(policy) = policy {
            sqlx::query(
                "insert into part_policies (session_id, part, body, changed_at, changed_by) values ($1, $2, $3, $4, $5)
                 on conflict (session_id, part) do update set body = $3, changed_at = $4, changed_by = $5",
            )
            .bind(session)
            .bind(part)
            .bind(serde_json::to_string(policy)?)
            .bind(millis(now))
            .bind(by)
            .execute(&self.write)
            .await?;
        } else {
            sqlx::query("delete from part_policies where session_id = $1 and part = $2")
                .bind(session)
                .bind(part)
                .execute(&self.write)
                .await?;
        }
        self.tell(session);
        Ok(())
    }

    /// Sessions of other groups that are out on this day, with the version that is on show.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn live_beside(&self, session: SessionId, on: Date) -> Result<Vec<(SessionId, VersionId)>, StoreError> {
        Ok(sqlx::query_as(
            "select id, live_version_id from sessions where day = $2 and live_version_id is not null
             and group_id <> (select group_id from sessions where id = $1) order by id",
        )
        .bind(session)
        .bind(crate::training::calendar::iso(on))
        .fetch_all(&self.read)
        .await?)
    }
}
