//! Bringing an older file up to date, with a way back.
//!
//! # Design
//! Each migration is one transaction with its own row in `_sqlx_migrations`, so a file is of the old schema or of the
//! new one, never between. Before the first of them a copy is made and checked: `before-upgrade/dowel-2-to-40-….db`
//! beside the file. `dowel restore` takes that copy, and the older program opens it. `user_version` says the newest
//! migration, for whoever looks at the file with other tools.

use super::{StoreError, backup};
use sqlx::sqlite::SqliteConnection;
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use time::OffsetDateTime;

/// How many copies from before upgrades are kept.
const COPIES: usize = 3;
/// Where they lie, beside the data file.
const FOLDER: &str = "before-upgrade";

/// The newest schema that this program knows.
pub(super) fn newest() -> i64 {
    sqlx::migrate!().iter().map(|m| m.version).max().unwrap_or_default()
}

/// The migrations in a file, or none where it is new.
async fn applied(file: &mut SqliteConnection) -> Result<Vec<i64>, StoreError> {
    let there: i64 =
        sqlx::query_scalar("select count(*) from sqlite_schema where name = '_sqlx_migrations'").fetch_one(&mut *file).await?;
    if there == 0 {
        return Ok(Vec::new());
    }
    Ok(sqlx::query_scalar("select version from _sqlx_migrations order by version").fetch_all(file).await?)
}

/// Whether the file is of the schema that this program knows, neither older nor newer.
///
/// # Errors
/// A file that cannot be opened.
pub async fn is_current(path: &Path) -> Result<bool, StoreError> {
    let mut file = backup::open_for_reading(path).await?;
    Ok(applied(&mut file).await?.last() == Some(&newest()))
}

/// Refuses a file of a newer Dowel; returns the schema that it is marked with.
pub(super) async fn not_newer(file: &mut SqliteConnection) -> Result<i64, StoreError> {
    let applied = applied(file).await?;
    let marked: i64 = sqlx::query_scalar("pragma user_version").fetch_one(&mut *file).await?;
    if marked.max(applied.last().copied().unwrap_or_default()) > newest() {
        return Err(StoreError::Unusable("it was written by a newer Dowel; use that one, or restore a backup".to_owned()));
    }
    Ok(marked)
}

/// Brings the file up to date; a newer one is refused untouched.
pub(super) async fn run(file: &mut SqliteConnection, path: &Path) -> Result<(), StoreError> {
    let marked = not_newer(file).await?;
    let applied = applied(file).await?;
    let waiting = sqlx::migrate!().iter().any(|m| !applied.contains(&m.version));
    if let (true, Some(from)) = (waiting, applied.last()) {
        let copy = keep_copy(path, *from).await?;
        tracing::info!(copy = %copy.display(), "upgrading; the way back: stop, dowel restore that copy, start the older program");
    }
    sqlx::migrate!().run(&mut *file).await.map_err(|e| StoreError::Unusable(e.to_string()))?;
    if marked != newest() {
        // a pragma takes no placeholder; the value is our own number
        sqlx::query(sqlx::AssertSqlSafe(format!("pragma user_version = {}", newest()))).execute(file).await?;
    }
    Ok(())
}

/// A copy of the file as it is now: written, checked, and only then given its name.
async fn keep_copy(path: &Path, from: i64) -> Result<PathBuf, StoreError> {
    let unusable = |e: std::io::Error| StoreError::Unusable(format!("no copy could be made before the upgrade: {e}"));
    let data = path.parent().unwrap_or(Path::new("."));
    let folder = data.join(FOLDER);
    fs::create_dir_all(&folder).map_err(unusable)?;
    let name = format!("dowel-{from}-to-{}-{}", newest(), OffsetDateTime::now_utc().unix_timestamp());
    let part = folder.join(format!("{name}.part"));
    let _ = fs::remove_file(&part);
    backup::snapshot(path, &part).await?;
    let faults = backup::faults(&part).await?;
    if !faults.is_empty() {
        return Err(StoreError::Unusable(format!("the copy before the upgrade is not sound: {}", faults.join("; "))));
    }
    let done = folder.join(format!("{name}.db"));
    File::open(&part).and_then(|f| f.sync_all()).map_err(unusable)?;
    fs::rename(&part, &done).map_err(unusable)?;
    File::open(&folder).and_then(|f| f.sync_all()).map_err(unusable)?;
    drop_oldest(data).map_err(unusable)?;
    Ok(done)
}

/// The copies from before upgrades that lie beside a data file, oldest first.
pub(super) fn copies(folder: &Path) -> std::io::Result<Vec<PathBuf>> {
    let folder = folder.join(FOLDER);
    if !folder.exists() {
        return Ok(Vec::new());
    }
    let made = |path: &Path| -> Option<i64> {
        let name = path.file_name()?.to_str()?.strip_prefix("dowel-")?.strip_suffix(".db")?;
        name.rsplit_once('-')?.1.parse().ok()
    };
    let mut copies: Vec<(i64, PathBuf)> =
        fs::read_dir(folder)?.flatten().map(|e| e.path()).filter_map(|p| Some((made(&p)?, p))).collect();
    copies.sort();
    Ok(copies.into_iter().map(|(_, path)| path).collect())
}

/// Removes the oldest copies: they hold what was deleted since.
fn drop_oldest(data: &Path) -> std::io::Result<()> {
    let copies = copies(data)?;
    let old = copies.len().saturating_sub(COPIES);
    copies.iter().take(old).try_for_each(fs::remove_file)
}
