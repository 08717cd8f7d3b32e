//! Sessions of a group's week: drafts as typed, versions as published.
//!
//! # Design
//! A draft and what members see are apart: typing never changes a published page, and publishing adds a version and
//! never changes one, so that a result keeps pointing at what was done.

mod carry;
mod versions;

pub use carry::GONE;

use super::ids::{GroupId, MediaId, PersonId, SessionId, VersionId};
use super::{Store, StoreError, instant, millis};
use crate::training::calendar;
use crate::training::session::{Intent, Session};
use sqlx::FromRow;
use std::collections::BTreeMap;
use time::{Date, Duration, OffsetDateTime};

/// Intents that the coach set, by part from 0.
pub type Intents = BTreeMap<usize, Intent>;

/// One place in a week, as the coach works on it.
#[derive(Clone, Debug)]
pub struct Slot {
    /// row
    pub id: SessionId,
    /// whose week
    pub group_id: GroupId,
    /// which day
    pub day: Date,
    /// first, second ... of that day
    pub slot: u8,
    /// the write-up as typed
    pub draft: String,
    /// grows with each saved draft
    pub draft_edit: i64,
    /// intents that the coach set
    pub intents: Intents,
    /// video to publish with it
    pub video: Video,
    /// what members see now
    pub live: Option<Live>,
}

/// The talk-through: an address or an uploaded file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Video {
    /// an https address
    pub url: Option<String>,
    /// an uploaded file
    pub media: Option<MediaId>,
}

/// What members see now.
#[derive(Clone, Debug)]
pub struct Live {
    /// row
    pub version: VersionId,
    /// first, second ... version
    pub number: i64,
    /// when it was published
    pub published_at: OffsetDateTime,
    /// the draft says something else by now
    pub changed_since: bool,
}

/// A published session as members see it.
#[derive(Clone, Debug)]
pub struct Published {
    /// the place in the week
    pub session_id: SessionId,
    /// the version
    pub version_id: VersionId,
    /// first, second ... version
    pub number: i64,
    /// whose week
    pub group_id: GroupId,
    /// its name
    pub group: String,
    /// which day
    pub day: Date,
    /// first, second ... of that day
    pub slot: u8,
    /// the write-up as typed
    pub text: String,
    /// as read when published
    pub session: Session,
    /// talk-through
    pub video: Video,
    /// what changed, in the coach's words
    pub change_note: String,
    /// when it was published
    pub published_at: OffsetDateTime,
    /// for each of its parts the part of the newest version under which it stands; from [`GONE`] where that has it no more
    pub stands: Vec<usize>,
}

impl Published {
    /// Under which part of the newest version a part of this one stands.
    #[must_use]
    pub fn stands(&self, part: usize) -> usize {
        self.stands.get(part).copied().unwrap_or(part)
    }

    /// Which of its parts stands under that one of the newest version.
    #[must_use]
    pub fn part_under(&self, now: usize) -> Option<usize> {
        self.stands.iter().position(|s| *s == now)
    }
}

/// One session to publish.
#[derive(Clone, Debug)]
pub struct ToPublish {
    /// which
    pub id: SessionId,
    /// the draft that was read: publishing something newer is refused
    pub draft_edit: i64,
    /// as read, intents as set
    pub session: Session,
    /// what changed, for members; empty for a first version
    pub change_note: String,
}

#[derive(FromRow)]
struct SlotRow {
    id: SessionId,
    group_id: GroupId,
    day: String,
    slot: u8,
    draft: String,
    draft_edit: i64,
    draft_intents: String,
    video_url: Option<String>,
    media_id: Option<MediaId>,
    live_version_id: Option<VersionId>,
    number: Option<i64>,
    published_at: Option<i64>,
    changed_since: Option<bool>,
}

const SLOT: &str = "select s.id, s.group_id, s.day, s.slot, s.draft, s.draft_edit, s.draft_intents, s.video_url, s.media_id,
    s.live_version_id, v.number, v.published_at,
    v.text is not s.draft or v.video_url is not s.video_url or v.media_id is not s.media_id
        or v.intents is not s.draft_intents as changed_since
    from sessions s left join session_versions v on v.id = s.live_version_id";

/// A stored day.
pub(super) fn day(text: &str) -> Result<Date, StoreError> {
    calendar::read_iso(text).ok_or_else(|| StoreError::Unusable(format!("{text:?} is no day")))
}

impl SlotRow {
    fn slot(self) -> Result<Slot, StoreError> {
        let live = self.live_version_id.map(|version| Live {
            version,
            number: self.number.unwrap_or(1),
            published_at: instant(self.published_at.unwrap_or_default()),
            changed_since: self.changed_since.unwrap_or(false),
        });
        Ok(Slot {
            id: self.id,
            group_id: self.group_id,
            day: day(&self.day)?,
            slot: self.slot,
            draft: self.draft,
            draft_edit: self.draft_edit,
            intents: serde_json::from_str(&self.draft_intents)?,
            video: Video { url: self.video_url, media: self.media_id },
            live,
        })
    }
}

impl Store {
    /// A group's slots of seven days, by day and slot; days without a write-up have none.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn week(&self, group: GroupId, monday: Date) -> Result<Vec<Slot>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!("{SLOT} where s.group_id = $1 and s.day between $2 and $3 order by s.day, s.slot"));
        let rows: Vec<SlotRow> = sqlx::query_as(sql)
            .bind(group)
            .bind(calendar::iso(monday))
            .bind(calendar::iso(monday + Duration::days(6)))
            .fetch_all(&self.read)
            .await?;
        rows.into_iter().map(SlotRow::slot).collect()
    }

    /// One slot, where something was typed there.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn slot(&self, group: GroupId, day: Date, slot: u8) -> Result<Option<Slot>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!("{SLOT} where s.group_id = $1 and s.day = $2 and s.slot = $3"));
        let row: Option<SlotRow> =
            sqlx::query_as(sql).bind(group).bind(calendar::iso(day)).bind(slot).fetch_optional(&self.read).await?;
        row.map(SlotRow::slot).transpose()
    }

    /// One slot by its row.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn slot_by_id(&self, id: SessionId) -> Result<Slot, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!("{SLOT} where s.id = $1"));
        sqlx::query_as::<_, SlotRow>(sql).bind(id).fetch_one(&self.read).await?.slot()
    }

    /// Saves a write-up as typed. `edit` is the draft that the typing began from (0: nothing was there).
    ///
    /// Returns the draft's new edit number.
    ///
    /// # Errors
    /// [`StoreError::Stale`] where another tab saved meanwhile; nothing is overwritten.
    pub async fn save_draft(
        &self,
        group: GroupId,
        day: Date,
        slot: u8,
        text: &str,
        edit: i64,
        now: OffsetDateTime,
    ) -> Result<(SessionId, i64), StoreError> {
        self.save_writing(group, day, slot, text, None, edit, now).await
    }

    /// As [`Store::save_draft`], and with it what parts are for, where that is given.
    ///
    /// # Errors
    /// [`StoreError::Stale`] where another tab saved meanwhile; nothing is overwritten.
    #[expect(clippy::too_many_arguments, reason = "a place, what is written there, and when")]
    pub async fn save_writing(
        &self,
        group: GroupId,
        day: Date,
        slot: u8,
        text: &str,
        intents: Option<&Intents>,
        edit: i64,
        now: OffsetDateTime,
    ) -> Result<(SessionId, i64), StoreError> {
        let saved: Option<(SessionId, i64)> = sqlx::query_as(
            "insert into sessions (group_id, day, slot, draft, draft_edit, draft_at, created_at, draft_intents)
             values ($1, $2, $3, $4, 1, $6, $6, coalesce($7, '{}'))
             on conflict (group_id, day, slot) do update
             set draft = $4, draft_edit = draft_edit + 1, draft_at = $6, draft_intents = coalesce($7, draft_intents)
             where draft_edit = $5
             returning id, draft_edit",
        )
        .bind(group)
        .bind(calendar::iso(day))
        .bind(slot)
        .bind(text)
        .bind(edit)
        .bind(millis(now))
        .bind(intents.map(serde_json::to_string).transpose()?)
        .fetch_optional(&self.write)
        .await?;
        saved.ok_or(StoreError::Stale)
    }

    /// Sets the talk-through; members see it with the next publishing.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn save_video(&self, id: SessionId, video: &Video) -> Result<(), StoreError> {
        sqlx::query("update sessions set video_url = $2, media_id = $3 where id = $1")
            .bind(id)
            .bind(&video.url)
            .bind(video.media)
            .execute(&self.write)
            .await?;
        Ok(())
    }

    /// Removes a slot that was never published.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it was published once: results may stand on it.
    pub async fn delete_slot(&self, id: SessionId) -> Result<(), StoreError> {
        let gone = sqlx::query(
            "delete from sessions where id = $1 and not exists (select 1 from session_versions where session_id = $1)",
        )
        .bind(id)
        .execute(&self.write)
        .await?;
        if gone.rows_affected() == 1 { Ok(()) } else { Err(StoreError::NotFound) }
    }

    /// Publishes sessions: a new version of each, all or none.
    ///
    /// # Errors
    /// [`StoreError::Stale`] where a draft was changed after it was read.
    pub async fn publish(&self, sessions: &[ToPublish], by: PersonId, now: OffsetDateTime) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        for s in sessions {
            let version: Option<VersionId> = sqlx::query_scalar(
                "insert into session_versions
                 (session_id, number, text, intents, reading, video_url, media_id, change_note, published_at, published_by)
                 select id, 1 + coalesce((select max(number) from session_versions where session_id = $1), 0), draft,
                 draft_intents, $3, video_url, media_id, $4, $5, $6 from sessions where id = $1 and draft_edit = $2
                 returning id",
            )
            .bind(s.id)
            .bind(s.draft_edit)
            .bind(serde_json::to_string(&s.session)?)
            .bind(s.change_note.trim())
            .bind(millis(now))
            .bind(by)
            .fetch_optional(&mut *tx)
            .await?;
            let version = version.ok_or(StoreError::Stale)?;
            sqlx::query("update sessions set live_version_id = $2 where id = $1")
                .bind(s.id)
                .bind(version)
                .execute(&mut *tx)
                .await?;
            carry::carry(&mut tx, s.id, version, &s.session).await?;
        }
        tx.commit().await?;
        Ok(())
    }

    /// Takes a group's week back: members no longer see it; versions and results are kept.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn unpublish_week(&self, group: GroupId, monday: Date) -> Result<u64, StoreError> {
        let done = sqlx::query(
            "update sessions set live_version_id = null
             where group_id = $1 and day between $2 and $3 and live_version_id is not null",
        )
        .bind(group)
        .bind(calendar::iso(monday))
        .bind(calendar::iso(monday + Duration::days(6)))
        .execute(&self.write)
        .await?;
        Ok(done.rows_affected())
    }

    /// Takes one session back.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn unpublish(&self, id: SessionId) -> Result<(), StoreError> {
        sqlx::query("update sessions set live_version_id = null where id = $1").bind(id).execute(&self.write).await?;
        Ok(())
    }

    /// Copies a week's drafts, intents and videos to another week or group. Slots where something stands are left alone.
    ///
    /// Returns how many were copied and how many were left alone.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn copy_week(
        &self,
        from: (GroupId, Date),
        to: (GroupId, Date),
        now: OffsetDateTime,
    ) -> Result<(usize, usize), StoreError> {
        let slots = self.week(from.0, from.1).await?;
        let mut copied = 0;
        let mut tx = self.begin().await?;
        for s in &slots {
            let done = sqlx::query(
                "insert into sessions (group_id, day, slot, draft, draft_edit, draft_at, draft_intents, video_url, media_id, created_at,
                 copied_from)
                 values ($1, $2, $3, $4, 1, $5, $6, $7, $8, $5, (select coalesce(copied_from, id) from sessions where id = $9))
                 on conflict (group_id, day, slot) do update set draft = $4, draft_edit = draft_edit + 1, draft_at = $5,
                 draft_intents = $6, video_url = $7, media_id = $8, copied_from = nullif(excluded.copied_from, sessions.id)
                 where trim(sessions.draft) = ''",
            )
            .bind(to.0)
            .bind(calendar::iso(to.1 + (s.day - from.1)))
            .bind(s.slot)
            .bind(&s.draft)
            .bind(millis(now))
            .bind(serde_json::to_string(&s.intents)?)
            .bind(&s.video.url)
            .bind(s.video.media)
            .bind(s.id)
            .execute(&mut *tx)
            .await?;
            if done.rows_affected() == 1 {
                copied += 1;
                sqlx::query(
                    "insert into talks (session_id, video, chapters, captions, text, set_at)
                     select s.id, t.video, t.chapters, t.captions, t.text, t.set_at from talks t
                     join sessions s on s.group_id = $2 and s.day = $3 and s.slot = $4 where t.session_id = $1
                     on conflict (session_id, video) do nothing",
                )
                .bind(s.id)
                .bind(to.0)
                .bind(calendar::iso(to.1 + (s.day - from.1)))
                .bind(s.slot)
                .execute(&mut *tx)
                .await?;
            }
        }
        tx.commit().await?;
        Ok((copied, slots.len() - copied))
    }
}

#[cfg(test)]
mod tests;
