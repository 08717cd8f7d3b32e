//! Versions as they are read: by members of the group, and by the coach.

use super::carry::stands;
use super::{Published, Store, StoreError, Video, day};
use crate::store::ids::{GroupId, MediaId, PersonId, SessionId, VersionId};
use crate::store::instant;
use crate::training::calendar;
use sqlx::FromRow;
use time::Date;

#[derive(FromRow)]
struct PublishedRow {
    session_id: SessionId,
    version_id: VersionId,
    number: i64,
    group_id: GroupId,
    group_name: String,
    day: String,
    slot: u8,
    text: String,
    reading: String,
    video_url: Option<String>,
    media_id: Option<MediaId>,
    change_note: String,
    published_at: i64,
    stands: String,
}

const PUBLISHED: &str = "select s.id as session_id, v.id as version_id, v.number, s.group_id, g.name as group_name, s.day,
    s.slot, v.text, v.reading, v.video_url, v.media_id, v.change_note, v.published_at, v.stands
    from session_versions v join sessions s on s.id = v.session_id join groups g on g.id = s.group_id";

impl PublishedRow {
    fn published(self) -> Result<Published, StoreError> {
        let session = serde_json::from_str(&self.reading)?;
        Ok(Published {
            stands: stands(&self.stands, &session)?,
            session_id: self.session_id,
            version_id: self.version_id,
            number: self.number,
            group_id: self.group_id,
            group: self.group_name,
            day: day(&self.day)?,
            slot: self.slot,
            text: self.text,
            session,
            video: Video { url: self.video_url, media: self.media_id },
            change_note: self.change_note,
            published_at: instant(self.published_at),
        })
    }
}

fn published(rows: Vec<PublishedRow>) -> Result<Vec<Published>, StoreError> {
    rows.into_iter().map(PublishedRow::published).collect()
}

impl Store {
    /// What a member sees on one of their days, by group and slot.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn live_on(&self, member: PersonId, day: Date) -> Result<Vec<Published>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "{PUBLISHED} where s.live_version_id = v.id and s.day = $2
             and s.group_id in (select group_id from memberships where person_id = $1) order by g.name, s.slot"
        ));
        published(sqlx::query_as(sql).bind(member).bind(calendar::iso(day)).fetch_all(&self.read).await?)
    }

    /// What is out in a group's week, by day and slot.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn live_in_week(&self, group: GroupId, monday: Date) -> Result<Vec<Published>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "{PUBLISHED} where s.live_version_id = v.id and s.group_id = $1 and s.day between $2 and $3 order by s.day, s.slot"
        ));
        let sunday = monday + time::Duration::days(6);
        let rows = sqlx::query_as(sql).bind(group).bind(calendar::iso(monday)).bind(calendar::iso(sunday));
        published(rows.fetch_all(&self.read).await?)
    }

    /// Days on which a member has something published, from day to day, in order.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn live_days(&self, member: PersonId, from: Date, to: Date) -> Result<Vec<Date>, StoreError> {
        let days: Vec<String> = sqlx::query_scalar(
            "select distinct day from sessions where live_version_id is not null and day between $2 and $3
             and group_id in (select group_id from memberships where person_id = $1) order by day",
        )
        .bind(member)
        .bind(calendar::iso(from))
        .bind(calendar::iso(to))
        .fetch_all(&self.read)
        .await?;
        days.iter().map(|d| day(d)).collect()
    }

    /// The live version of one session of a group this member is in.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is not live or not theirs.
    pub async fn live_for(&self, member: PersonId, session: SessionId) -> Result<Published, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "{PUBLISHED} where s.live_version_id = v.id and s.id = $2
             and s.group_id in (select group_id from memberships where person_id = $1)"
        ));
        sqlx::query_as::<_, PublishedRow>(sql).bind(member).bind(session).fetch_one(&self.read).await?.published()
    }

    /// One version, live or not, of a session of a group this member is in: what they may have had on their page.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is not theirs.
    pub async fn version_for(&self, member: PersonId, version: VersionId) -> Result<Published, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "{PUBLISHED} where v.id = $2 and s.group_id in (select group_id from memberships where person_id = $1)"
        ));
        sqlx::query_as::<_, PublishedRow>(sql).bind(member).bind(version).fetch_one(&self.read).await?.published()
    }

    /// Every version of a session, newest first; for the coach.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn versions(&self, session: SessionId) -> Result<Vec<Published>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!("{PUBLISHED} where s.id = $1 order by v.number desc"));
        published(sqlx::query_as(sql).bind(session).fetch_all(&self.read).await?)
    }

    /// The version of a session that was published before the one of this number; none before the first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn version_before(&self, session: SessionId, number: i64) -> Result<Option<Published>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!("{PUBLISHED} where s.id = $1 and v.number < $2 order by v.number desc limit 1"));
        let row: Option<PublishedRow> = sqlx::query_as(sql).bind(session).bind(number).fetch_optional(&self.read).await?;
        row.map(PublishedRow::published).transpose()
    }

    /// One version, live or not.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn version(&self, id: VersionId) -> Result<Published, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!("{PUBLISHED} where v.id = $1"));
        sqlx::query_as::<_, PublishedRow>(sql).bind(id).fetch_one(&self.read).await?.published()
    }
}
