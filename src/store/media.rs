//! Uploaded files: bytes in the media folder under their hash, a row for each in the data file.
//!
//! # Design
//! A file is written beside its place, synced, and renamed into it, so that a file under its hash is always whole. The same
//! bytes twice are one file. Rows are added after the file is there: a row without its file cannot be.

use super::ids::{MediaId, PersonId};
use super::{Store, StoreError, backup, millis, upgrade};
use crate::clock;
use sha2::{Digest, Sha256};
use sqlx::FromRow;
use std::collections::HashSet;
use std::fs::TryLockError;
use std::io;
use std::path::{Path, PathBuf};
use time::{Duration, OffsetDateTime};
use tokio::fs::{self, File};
use tokio::io::AsyncWriteExt;

/// An uploaded file.
#[derive(Clone, Debug, FromRow)]
pub struct Media {
    /// row
    pub id: MediaId,
    /// lower-case hex SHA-256 of the bytes; its name in the media folder
    pub hash: String,
    /// its type, from its first bytes: `video/mp4`
    pub kind: String,
    /// how many
    pub bytes: i64,
    /// as it was called where it came from
    pub name: String,
}

/// How long a file may lie there that nothing has: a coach may still be about to say where it belongs.
const LOOSE: Duration = Duration::days(1);

/// The media folder of a data folder.
#[must_use]
pub fn folder(data: &Path) -> PathBuf {
    data.join("media")
}

/// Keeps files from being swept for as long as it is held: a backup copies what its data names. Other programs are kept from it too.
#[must_use]
pub fn hold(data: &Path) -> Option<std::fs::File> {
    let folder = std::fs::File::open(folder(data)).ok()?;
    folder.lock_shared().ok()?;
    Some(folder)
}

/// A file that is coming in; dropped before [`Incoming::keep`], it leaves nothing behind.
#[derive(Debug)]
pub struct Incoming {
    file: File,
    path: PathBuf,
    hash: Sha256,
    bytes: u64,
    kept: bool,
}

impl Incoming {
    /// Opens a place for a file in the media folder.
    ///
    /// # Errors
    /// A folder that cannot be written.
    pub async fn open(data: &Path) -> io::Result<Self> {
        let folder = folder(data);
        fs::create_dir_all(&folder).await?;
        let name: String = clock::random::<12>().iter().map(|b| format!("{b:02x}")).collect();
        let path = folder.join(format!("coming-{name}"));
        let file = fs::OpenOptions::new().write(true).create_new(true).open(&path).await?;
        Ok(Self { file, path, hash: Sha256::new(), bytes: 0, kept: false })
    }

    /// Adds bytes.
    ///
    /// # Errors
    /// A full disk, or a folder that cannot be written.
    pub async fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.hash.update(bytes);
        self.bytes += bytes.len() as u64;
        self.file.write_all(bytes).await
    }

    /// How many bytes have come.
    #[must_use]
    pub fn bytes(&self) -> u64 {
        self.bytes
    }

    /// Puts the file in its place, durably; returns its hash.
    ///
    /// # Errors
    /// A full disk, or a folder that cannot be written.
    pub async fn keep(mut self) -> io::Result<String> {
        self.file.flush().await?;
        self.file.sync_all().await?;
        let hash: String = self.hash.clone().finalize().iter().map(|b| format!("{b:02x}")).collect();
        let folder = self.path.parent().map(Path::to_owned).unwrap_or_default();
        fs::rename(&self.path, folder.join(&hash)).await?;
        self.kept = true;
        // the new name survives a power cut only when the folder is synced too
        File::open(&folder).await?.sync_all().await?;
        Ok(hash)
    }
}

impl Drop for Incoming {
    fn drop(&mut self) {
        if !self.kept {
            let _ = std::fs::remove_file(&self.path);
        }
    }
}

/// Written so long ago that its row would be there. One that just came may get it in a moment.
fn is_old(file: &std::fs::Metadata, now: OffsetDateTime) -> bool {
    file.modified().is_ok_and(|at| now - OffsetDateTime::from(at) > LOOSE)
}

/// What the copies from before upgrades name: whoever goes back to one finds its videos. A copy that cannot be read keeps everything.
async fn named_before(data: &Path) -> Result<HashSet<String>, StoreError> {
    let mut named = HashSet::new();
    for copy in upgrade::copies(data).map_err(|e| StoreError::Unusable(e.to_string()))? {
        // the earliest schemas had no uploaded files
        named.extend(backup::media_named_where_known(&copy).await?);
    }
    Ok(named)
}

/// Kept files of a media folder that were written long ago.
fn old_files(folder: &Path, now: OffsetDateTime) -> io::Result<Vec<String>> {
    if !folder.exists() {
        return Ok(Vec::new());
    }
    let mut old = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let kept = name.len() == 64 && name.bytes().all(|b| b.is_ascii_hexdigit());
        if kept && is_old(&entry.metadata()?, now) {
            old.push(name);
        }
    }
    Ok(old)
}

const MEDIA: &str = "select id, hash, kind, bytes, name from media";

impl Store {
    /// Adds a file that lies in the media folder; the same bytes again are the same row.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn add_media(
        &self,
        hash: &str,
        kind: &str,
        bytes: i64,
        name: &str,
        now: OffsetDateTime,
    ) -> Result<MediaId, StoreError> {
        Ok(sqlx::query_scalar(
            "insert into media (hash, kind, bytes, name, created_at) values ($1, $2, $3, $4, $5)
             on conflict (hash) do update set name = $4, created_at = $5 returning id",
        )
        .bind(hash)
        .bind(kind)
        .bind(bytes)
        .bind(name)
        .bind(millis(now))
        .fetch_one(&self.write)
        .await?)
    }

    /// Removes rows of files that no session, version or upload has any more and that did not come lately, then the files that
    /// no row names; returns how many files went. Rows go first: a row without its file cannot be. While somebody
    /// [holds](hold) the files, nothing goes.
    ///
    /// # Errors
    /// A folder that cannot be written; the database's own.
    pub async fn sweep_media(&self, data: &Path, now: OffsetDateTime) -> Result<usize, StoreError> {
        let alone = std::fs::File::open(folder(data)).ok();
        if alone.as_ref().is_some_and(|folder| matches!(folder.try_lock(), Err(TryLockError::WouldBlock))) {
            return Ok(0);
        }
        sqlx::query(
            "delete from media where created_at < $1
             and id not in (select media_id from sessions where media_id is not null)
             and id not in (select media_id from session_versions where media_id is not null)
             and id not in (select media_id from uploads where media_id is not null)",
        )
        .bind(millis(now - LOOSE))
        .execute(&self.write)
        .await?;
        let old = old_files(&folder(data), now)?;
        let mut named = named_before(data).await?;
        // asked after the folder was read: what came meanwhile has its row
        named.extend(sqlx::query_scalar::<_, String>("select hash from media").fetch_all(&self.write).await?);
        let mut gone = 0;
        for file in old.into_iter().filter(|file| !named.contains(file)) {
            let file = folder(data).join(file);
            // the same bytes may just have come again
            if fs::metadata(&file).await.is_ok_and(|now_there| is_old(&now_there, now)) {
                fs::remove_file(file).await?;
                gone += 1;
            }
        }
        Ok(gone)
    }

    /// An uploaded file by its row.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn media(&self, id: MediaId) -> Result<Media, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!("{MEDIA} where id = $1"));
        Ok(sqlx::query_as(sql).bind(id).fetch_one(&self.read).await?)
    }

    /// An uploaded file by its hash, for a member: the video of a session that is out in one of their groups.
    ///
    /// # Errors
    /// [`StoreError::NotFound`], also where it is not for them.
    pub async fn media_for(&self, member: PersonId, hash: &str) -> Result<Media, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "{MEDIA} where hash = $2 and exists (
               select 1 from session_versions v join sessions s on s.live_version_id = v.id
               where v.media_id = media.id and s.group_id in (select group_id from memberships where person_id = $1))"
        ));
        Ok(sqlx::query_as(sql).bind(member).bind(hash).fetch_one(&self.read).await?)
    }

    /// An uploaded file by its hash, for a coach: the video of a draft, or of any version there was.
    ///
    /// # Errors
    /// [`StoreError::NotFound`], also where no session has it any more.
    pub async fn media_for_coach(&self, hash: &str) -> Result<Media, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "{MEDIA} where hash = $1 and (exists (select 1 from sessions where media_id = media.id)
             or exists (select 1 from session_versions where media_id = media.id))"
        ));
        Ok(sqlx::query_as(sql).bind(hash).fetch_one(&self.read).await?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn a_kept_file_lies_under_its_hash_and_a_broken_one_leaves_nothing() {
        let data = tempfile::tempdir().unwrap();
        let mut incoming = Incoming::open(data.path()).await.unwrap();
        incoming.write(b"a").await.unwrap();
        incoming.write(b"bc").await.unwrap();
        let hash = incoming.keep().await.unwrap();
        // SHA-256 of "abc": FIPS 180-4, appendix B.1 of its first edition
        assert_eq!(hash, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        assert_eq!(std::fs::read(folder(data.path()).join(&hash)).unwrap(), b"abc");
        let mut broken = Incoming::open(data.path()).await.unwrap();
        broken.write(b"half").await.unwrap();
        drop(broken);
        assert_eq!(std::fs::read_dir(folder(data.path())).unwrap().count(), 1);
    }

    async fn uploaded(store: &Store, data: &Path, bytes: &[u8], now: OffsetDateTime) -> (MediaId, PathBuf) {
        let mut incoming = Incoming::open(data).await.unwrap();
        incoming.write(bytes).await.unwrap();
        let hash = incoming.keep().await.unwrap();
        (store.add_media(&hash, "video/mp4", 3, "talk.mp4", now).await.unwrap(), folder(data).join(hash))
    }

    #[tokio::test]
    async fn a_video_that_was_replaced_goes_after_a_day_and_one_that_stands_somewhere_stays() {
        let data = tempfile::tempdir().unwrap();
        let store = Store::open(&data.path().join("dowel.db")).await.unwrap();
        let now = OffsetDateTime::now_utc();
        let group = store.add_group("Harbour", "", now).await.unwrap();
        let (session, _) = store.save_draft(group, now.date(), 1, "A. 5x5 squat", 0, now).await.unwrap();
        let video = |media| crate::store::weeks::Video { url: None, media: Some(media) };
        let (first, replaced) = uploaded(&store, data.path(), b"first", now).await;
        store.save_video(session, &video(first)).await.unwrap();
        let (second, stands) = uploaded(&store, data.path(), b"second", now).await;
        store.save_video(session, &video(second)).await.unwrap();
        let there = || [replaced.exists(), stands.exists()];

        assert_eq!(store.sweep_media(data.path(), now + Duration::hours(2)).await.unwrap(), 0);
        assert_eq!(there(), [true, true], "it may still be put somewhere");
        let copying = hold(data.path());
        assert_eq!(store.sweep_media(data.path(), now + Duration::hours(30)).await.unwrap(), 0, "a backup is under way");
        drop(copying);
        assert_eq!(store.sweep_media(data.path(), now + Duration::hours(30)).await.unwrap(), 1);
        assert_eq!(there(), [false, true]);
        assert!(matches!(store.media(first).await, Err(StoreError::NotFound)));
        assert!(store.media(second).await.is_ok());
    }

    #[tokio::test]
    async fn what_a_copy_from_before_an_upgrade_names_stays() {
        let data = tempfile::tempdir().unwrap();
        let store = Store::open(&data.path().join("dowel.db")).await.unwrap();
        let now = OffsetDateTime::now_utc();
        let (video, file) = uploaded(&store, data.path(), b"talk", now).await;
        let before = data.path().join("before-upgrade");
        std::fs::create_dir(&before).unwrap();
        let copy = before.join("dowel-1-to-2-1764000000.db");
        backup::snapshot(&data.path().join("dowel.db"), &copy).await.unwrap();
        let later = now + Duration::days(2);
        assert_eq!(store.sweep_media(data.path(), later).await.unwrap(), 0);
        assert!(file.exists(), "the way back has its video");
        assert!(matches!(store.media(video).await, Err(StoreError::NotFound)), "its row here is gone");
        std::fs::remove_file(copy).unwrap();
        assert_eq!(store.sweep_media(data.path(), later).await.unwrap(), 1);
        assert!(!file.exists());
    }

    #[tokio::test]
    async fn a_file_that_no_row_names_goes_and_what_is_not_ours_stays() {
        let data = tempfile::tempdir().unwrap();
        let store = Store::open(&data.path().join("dowel.db")).await.unwrap();
        let (loose, notes) = (folder(data.path()).join("a".repeat(64)), folder(data.path()).join("notes.txt"));
        std::fs::create_dir_all(folder(data.path())).unwrap();
        for file in [&loose, &notes] {
            std::fs::write(file, "bytes").unwrap();
        }
        let later = OffsetDateTime::now_utc() + Duration::days(2);
        assert_eq!(store.sweep_media(data.path(), later).await.unwrap(), 1);
        assert_eq!([loose.exists(), notes.exists()], [false, true]);
    }
}
