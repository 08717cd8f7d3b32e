//! Uploads under way: a row each, and a file in the media folder that grows.
//!
//! # Design
//! How many bytes came is the length of the file and stands nowhere else, so the two can never disagree: after a crash, what
//! the file has is what there is. The hash is made from the whole file at the end. One request at a time writes, by a lock on
//! the file, which goes with whoever held it.

use super::ids::{GroupId, MediaId, PersonId};
use super::media::folder;
use super::{Store, StoreError, millis};
use crate::clock;
use crate::training::calendar;
use sha2::{Digest, Sha256};
use sqlx::FromRow;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use time::{Date, Duration, OffsetDateTime};

/// How long an upload that nothing comes for is kept.
pub const KEPT: Duration = Duration::days(3);

/// An upload under way, or just done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Upload {
    /// in its address
    pub id: String,
    /// whose
    pub person: PersonId,
    /// where the video will stand
    pub place: (GroupId, Date, u8),
    /// the file's own name
    pub name: String,
    /// how many bytes it will have
    pub bytes: u64,
    /// in its place already
    pub media: Option<MediaId>,
}

#[derive(FromRow)]
struct Row {
    id: String,
    person_id: PersonId,
    group_id: GroupId,
    day: String,
    slot: u8,
    name: String,
    bytes: i64,
    media_id: Option<MediaId>,
}

impl Row {
    fn upload(self) -> Result<Upload, StoreError> {
        Ok(Upload {
            id: self.id,
            person: self.person_id,
            place: (self.group_id, super::weeks::day(&self.day)?, self.slot),
            name: self.name,
            bytes: u64::try_from(self.bytes).unwrap_or_default(),
            media: self.media_id,
        })
    }
}

/// Where an upload's bytes lie.
#[must_use]
pub fn path(data: &Path, id: &str) -> PathBuf {
    folder(data).join(format!("coming-{id}"))
}

/// How many bytes have come.
///
/// # Errors
/// A file that is gone, or cannot be looked at.
pub fn offset(data: &Path, id: &str) -> io::Result<u64> {
    Ok(fs::metadata(path(data, id))?.len())
}

/// Opens the file to add to it; none where another request is writing.
///
/// # Errors
/// A file that is gone, or cannot be written.
pub fn open(data: &Path, id: &str) -> io::Result<Option<File>> {
    let file = OpenOptions::new().append(true).open(path(data, id))?;
    match file.try_lock() {
        Ok(()) => Ok(Some(file)),
        Err(fs::TryLockError::WouldBlock) => Ok(None),
        Err(fs::TryLockError::Error(e)) => Err(e),
    }
}

/// The first bytes, at most `most`.
///
/// # Errors
/// A file that cannot be read.
pub fn head(data: &Path, id: &str, most: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    File::open(path(data, id))?.take(most).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Puts a whole file in its place, durably; returns its hash.
///
/// # Errors
/// A full disk, or a folder that cannot be written.
pub fn keep(data: &Path, id: &str) -> io::Result<String> {
    let from = path(data, id);
    let mut file = File::open(&from)?;
    file.sync_all()?;
    let mut hash = Sha256::new();
    io::copy(&mut file, &mut hash)?;
    let hash: String = hash.finalize().iter().map(|b| format!("{b:02x}")).collect();
    fs::rename(&from, folder(data).join(&hash))?;
    File::open(folder(data))?.sync_all()?;
    Ok(hash)
}

/// Removes files of uploads that no row names and that nothing came for since long ago.
///
/// # Errors
/// A folder that cannot be read.
fn sweep_files(data: &Path, named: &[String], now: OffsetDateTime) -> io::Result<()> {
    for entry in fs::read_dir(folder(data))? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let Some(id) = name.strip_prefix("coming-") else { continue };
        let old = entry.metadata()?.modified().is_ok_and(|at| now - OffsetDateTime::from(at) > KEPT);
        if old && !named.iter().any(|n| n == id) {
            fs::remove_file(entry.path())?;
        }
    }
    Ok(())
}

const UPLOAD: &str = "select id, person_id, group_id, day, slot, name, bytes, media_id from uploads";

impl Store {
    /// Begins an upload; nothing has come yet.
    ///
    /// # Errors
    /// A folder that cannot be written; the database's own.
    pub async fn begin_upload(
        &self,
        data: &Path,
        person: PersonId,
        place: (GroupId, Date, u8),
        (name, bytes): (&str, u64),
        now: OffsetDateTime,
    ) -> Result<String, StoreError> {
        let id: String = clock::random::<12>().iter().map(|b| format!("{b:02x}")).collect();
        fs::create_dir_all(folder(data))?;
        OpenOptions::new().write(true).create_new(true).open(path(data, &id))?;
        sqlx::query(
            "insert into uploads (id, person_id, group_id, day, slot, name, bytes, touched_at)
             values ($1, $2, $3, $4, $5, $6, $7, $8)",
        )
        .bind(&id)
        .bind(person)
        .bind(place.0)
        .bind(calendar::iso(place.1))
        .bind(place.2)
        .bind(name)
        .bind(i64::try_from(bytes).unwrap_or(i64::MAX))
        .bind(millis(now))
        .execute(&self.write)
        .await?;
        Ok(id)
    }

    /// This person's upload.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where there is none, or it is somebody else's.
    pub async fn upload(&self, person: PersonId, id: &str) -> Result<Upload, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!("{UPLOAD} where id = $1 and person_id = $2"));
        sqlx::query_as::<_, Row>(sql).bind(id).bind(person).fetch_one(&self.read).await?.upload()
    }

    /// Something came, and the whole of it where `media` is given.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn touch_upload(&self, id: &str, media: Option<MediaId>, now: OffsetDateTime) -> Result<(), StoreError> {
        sqlx::query("update uploads set touched_at = $2, media_id = coalesce($3, media_id) where id = $1")
            .bind(id)
            .bind(millis(now))
            .bind(media)
            .execute(&self.write)
            .await?;
        Ok(())
    }

    /// Ends an upload; what had come is removed.
    ///
    /// # Errors
    /// A file that cannot be removed; the database's own.
    pub async fn drop_upload(&self, data: &Path, id: &str) -> Result<(), StoreError> {
        sqlx::query("delete from uploads where id = $1").bind(id).execute(&self.write).await?;
        match fs::remove_file(path(data, id)) {
            Err(e) if e.kind() != io::ErrorKind::NotFound => Err(e.into()),
            _ => Ok(()),
        }
    }

    /// Removes uploads that nothing came for since [`KEPT`], with their bytes, and bytes that belong to none.
    ///
    /// # Errors
    /// A folder that cannot be written; the database's own.
    pub async fn sweep_uploads(&self, data: &Path, now: OffsetDateTime) -> Result<(), StoreError> {
        let old: Vec<String> = sqlx::query_scalar("select id from uploads where touched_at < $1")
            .bind(millis(now - KEPT))
            .fetch_all(&self.read)
            .await?;
        for id in &old {
            self.drop_upload(data, id).await?;
        }
        if folder(data).exists() {
            let named: Vec<String> = sqlx::query_scalar("select id from uploads").fetch_all(&self.read).await?;
            sweep_files(data, &named, now)?;
        }
        Ok(())
    }
}
