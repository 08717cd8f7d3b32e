//! Snapshots of the data file, and whether a file is sound.

use super::{APPLICATION_ID, StoreError};
use sqlx::ConnectOptions;
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use std::path::Path;
use std::time::Duration;

async fn open_for_reading(path: &Path) -> Result<SqliteConnection, StoreError> {
    Ok(SqliteConnectOptions::new().filename(path).read_only(true).busy_timeout(Duration::from_secs(30)).connect().await?)
}

/// Copies the data file, as it is at one instant, to a new file; the practice may be running.
///
/// # Errors
/// A target that exists, a source that cannot be read, a disk that is full.
pub async fn snapshot(from: &Path, to: &Path) -> Result<(), StoreError> {
    let mut source = open_for_reading(from).await?;
    // a vacuum into a file is a compact copy, without what was deleted
    sqlx::query("vacuum into $1").bind(to.to_string_lossy()).execute(&mut source).await?;
    Ok(())
}

/// What is wrong with a data file; empty where it is sound.
///
/// # Errors
/// A file that cannot be opened at all.
pub async fn faults(path: &Path) -> Result<Vec<String>, StoreError> {
    let mut file = open_for_reading(path).await?;
    let mut faults = Vec::new();
    let id: i64 = sqlx::query_scalar("pragma application_id").fetch_one(&mut file).await?;
    if id != APPLICATION_ID {
        faults.push("it belongs to another program".to_owned());
    }
    let checks: Vec<String> = sqlx::query_scalar("pragma integrity_check(20)").fetch_all(&mut file).await?;
    faults.extend(checks.into_iter().filter(|c| c != "ok"));
    let loose: i64 = sqlx::query_scalar("select count(*) from pragma_foreign_key_check").fetch_one(&mut file).await?;
    if loose > 0 {
        faults.push(format!("{loose} rows point at rows that are gone"));
    }
    let newest: Option<i64> =
        sqlx::query_scalar("select max(version) from _sqlx_migrations").fetch_optional(&mut file).await.unwrap_or_default();
    let known = sqlx::migrate!().iter().map(|m| m.version).max();
    if newest > known {
        faults.push("it was written by a newer Dowel".to_owned());
    }
    Ok(faults)
}

/// The media files that the data names, as lower-case hex SHA-256.
///
/// # Errors
/// A file that cannot be read.
pub async fn media_named(path: &Path) -> Result<Vec<String>, StoreError> {
    let mut file = open_for_reading(path).await?;
    Ok(sqlx::query_scalar("select hash from media order by hash").fetch_all(&mut file).await?)
}
