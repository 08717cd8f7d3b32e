//! What goes with a talk-through: chapters, captions, and the write-up that it was made for.
//!
//! # Design
//! They belong to a session and a video together, and to no version: the coach marks chapters after publishing, and members
//! have them at once; a video that was replaced in the draft keeps its own for as long as members still see it.

use super::ids::SessionId;
use super::weeks::Video;
use super::{Store, StoreError, millis};
use sqlx::FromRow;
use time::OffsetDateTime;

/// What goes with one video of one session.
#[derive(Clone, Debug, Default, PartialEq, Eq, FromRow)]
pub struct Talk {
    /// WebVTT as Dowel writes it
    pub chapters: Option<String>,
    /// WebVTT as the coach's file had it
    pub captions: Option<String>,
    /// the write-up that it was made for
    pub text: String,
}

/// Which of the two tracks of a video.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Track {
    /// where each part begins
    Chapters,
    /// what is said
    Captions,
}

impl Store {
    /// The address that names a video: its own, or that of the uploaded file.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn video_address(&self, video: &Video) -> Result<Option<String>, StoreError> {
        Ok(match video.media {
            Some(id) => Some(format!("/media/{}", self.media(id).await?.hash)),
            None => video.url.clone(),
        })
    }

    /// What goes with a video of a session; none where nothing was ever said of it.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn talk(&self, session: SessionId, video: &str) -> Result<Option<Talk>, StoreError> {
        let sql = "select chapters, captions, text from talks where session_id = $1 and video = $2";
        Ok(sqlx::query_as(sql).bind(session).bind(video).fetch_optional(&self.read).await?)
    }

    /// A video was set for the write-up as it is now, or still fits it.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where there is no such session.
    pub async fn fit_talk(&self, session: SessionId, video: &str, now: OffsetDateTime) -> Result<(), StoreError> {
        let done = sqlx::query(
            "insert into talks (session_id, video, text, set_at) select id, $2, draft, $3 from sessions where id = $1
             on conflict (session_id, video) do update set text = excluded.text, set_at = excluded.set_at",
        )
        .bind(session)
        .bind(video)
        .bind(millis(now))
        .execute(&self.write)
        .await?;
        if done.rows_affected() == 1 { Ok(()) } else { Err(StoreError::NotFound) }
    }

    /// Sets a track, or takes it out. Whether the video still fits the write-up is for the coach to say.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where there is no such session.
    pub async fn save_track(
        &self,
        session: SessionId,
        video: &str,
        (track, vtt): (Track, Option<&str>),
        now: OffsetDateTime,
    ) -> Result<(), StoreError> {
        let sql = match track {
            Track::Chapters => {
                "insert into talks (session_id, video, chapters, text, set_at) select id, $2, $4, draft, $3 from sessions
                 where id = $1 on conflict (session_id, video) do update set chapters = $4"
            }
            Track::Captions => {
                "insert into talks (session_id, video, captions, text, set_at) select id, $2, $4, draft, $3 from sessions
                 where id = $1 on conflict (session_id, video) do update set captions = $4"
            }
        };
        let done = sqlx::query(sql).bind(session).bind(video).bind(millis(now)).bind(vtt).execute(&self.write).await?;
        if done.rows_affected() == 1 { Ok(()) } else { Err(StoreError::NotFound) }
    }

    /// Sessions of a group, from day to day, whose draft has a video that was made for another write-up.
    ///
    /// White space at the ends of lines and of the text makes no other write-up.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn stale_videos(&self, group: super::ids::GroupId, days: (&str, &str)) -> Result<Vec<SessionId>, StoreError> {
        let rows: Vec<(SessionId, String, String)> = sqlx::query_as(
            "select s.id, s.draft, t.text from sessions s left join media m on m.id = s.media_id
             join talks t on t.session_id = s.id and t.video = coalesce('/media/' || m.hash, s.video_url)
             where s.group_id = $1 and s.day between $2 and $3",
        )
        .bind(group)
        .bind(days.0)
        .bind(days.1)
        .fetch_all(&self.read)
        .await?;
        Ok(rows.into_iter().filter(|(_, now, then)| differs(now, then)).map(|(id, ..)| id).collect())
    }
}

/// Two write-ups say different things.
#[must_use]
pub fn differs(a: &str, b: &str) -> bool {
    let lines = |text: &str| text.lines().map(|l| l.trim().to_owned()).filter(|l| !l.is_empty()).collect::<Vec<_>>();
    lines(a) != lines(b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn white_space_makes_no_other_write_up() {
        assert!(!differs("A. Squat\n3x5\n", "A. Squat  \n\n3x5"));
        assert!(differs("A. Squat\n3x5\n", "A. Squat\n3x6\n"));
    }
}
