//! Who did what: written with each act, read by the coach, dropped after four hundred days.

use super::ids::PersonId;
use super::{Store, StoreError, instant, millis};
use sqlx::FromRow;
use time::{Duration, OffsetDateTime};

/// How long it is kept.
pub const KEPT: Duration = Duration::days(400);

/// What an act was about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, sqlx::Type)]
#[sqlx(rename_all = "lowercase")]
pub enum Kind {
    /// a coach or a member
    Person,
    /// a group
    Group,
    /// a place in a group's week
    Session,
    /// a result
    Result,
}

/// One act, to be kept.
#[derive(Clone, Debug)]
pub struct NewAct {
    /// who; none where nobody is signed in
    pub person: Option<PersonId>,
    /// what, in words
    pub act: &'static str,
    /// about what
    pub about: Option<(Kind, i64)>,
    /// a day or a week's Monday
    pub detail: String,
}

/// One act, as it is read.
#[derive(Clone, Debug)]
pub struct Act {
    /// row
    pub id: i64,
    /// when
    pub at: OffsetDateTime,
    /// who; empty where nobody was signed in
    pub who: String,
    /// what
    pub act: String,
    /// the name of what it was about, as it is now
    pub about: String,
    /// a day or a week's Monday
    pub detail: String,
}

#[derive(FromRow)]
struct Row {
    id: i64,
    at: i64,
    who: String,
    act: String,
    about: Option<String>,
    detail: String,
}

impl Store {
    /// Keeps an act, and drops what is too old.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn add_act(&self, new: &NewAct, now: OffsetDateTime) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        sqlx::query("delete from trail where at < $1").bind(millis(now - KEPT)).execute(&mut *tx).await?;
        let (kind, about) = new.about.unzip();
        sqlx::query(
            "insert into trail (at, person_id, who, act, about_kind, about_id, detail)
             values ($1, (select id from people where id = $2), coalesce((select name from people where id = $2), ''), $3, $4, $5, $6)",
        )
        .bind(millis(now))
        .bind(new.person)
        .bind(new.act)
        .bind(kind)
        .bind(about)
        .bind(new.detail.chars().take(40).collect::<String>())
        .execute(&mut *tx)
        .await?;
        tx.commit().await?;
        Ok(())
    }

    /// Whether this person did the same about the same since then.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn acted_since(
        &self,
        person: PersonId,
        act: &str,
        about: Option<(Kind, i64)>,
        since: OffsetDateTime,
    ) -> Result<bool, StoreError> {
        let (kind, about) = about.unzip();
        Ok(sqlx::query_scalar(
            "select exists (select 1 from trail where person_id = $1 and act = $2 and about_kind is $3 and about_id is $4
             and at > $5)",
        )
        .bind(person)
        .bind(act)
        .bind(kind)
        .bind(about)
        .bind(millis(since))
        .fetch_one(&self.read)
        .await?)
    }

    /// Acts before this one, newest first; the newest of all without one.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn acts(&self, before: Option<i64>, most: u32) -> Result<Vec<Act>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select t.id, t.at, t.who, t.act, t.detail, case t.about_kind
               when 'person' then (select name from people where id = t.about_id)
               when 'group' then (select name from groups where id = t.about_id)
               when 'session' then (select g.name || ', ' || s.day from sessions s join groups g on g.id = s.group_id where s.id = t.about_id)
               when 'result' then (select p.name || ', ' || r.done_on from results r join people p on p.id = r.person_id where r.id = t.about_id)
             end as about
             from trail t where t.id < $1 order by t.id desc limit $2",
        )
        .bind(before.unwrap_or(i64::MAX))
        .bind(most)
        .fetch_all(&self.read)
        .await?;
        let act = |r: Row| Act {
            id: r.id,
            at: instant(r.at),
            who: r.who,
            act: r.act,
            about: r.about.unwrap_or_default(),
            detail: r.detail,
        };
        Ok(rows.into_iter().map(act).collect())
    }
}
