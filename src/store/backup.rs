//! Snapshots of the data file, and whether a file is sound.

use super::{APPLICATION_ID, StoreError};
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{ConnectOptions, Connection};
use std::path::Path;
use std::time::Duration;
use time::format_description::BorrowedFormatItem;
use time::macros::format_description;
use time::{OffsetDateTime, PrimitiveDateTime, UtcOffset};

const STAMP: &[BorrowedFormatItem<'_>] = format_description!("[year][month][day]T[hour][minute][second].[subsecond digits:3]Z");

/// `20261125T135501.042Z`: a time in UTC that sorts as text.
#[must_use]
pub fn stamp(at: OffsetDateTime) -> String {
    at.to_offset(UtcOffset::UTC).format(STAMP).unwrap_or_default()
}

/// What the folder of a backup of this time is called.
#[must_use]
pub fn name(at: OffsetDateTime) -> String {
    format!("dowel-{}", stamp(at))
}

/// When a backup of this name was made; none where it is no name of a whole backup.
#[must_use]
pub fn made_at(name: &str) -> Option<OffsetDateTime> {
    Some(PrimitiveDateTime::parse(name.strip_prefix("dowel-")?, STAMP).ok()?.assume_utc())
}

/// When the newest backup of a folder was made: one has its name only once it was written and checked.
#[must_use]
pub fn newest(all: &Path) -> Option<OffsetDateTime> {
    let entries = std::fs::read_dir(all).ok()?.flatten();
    entries.filter_map(|e| made_at(&e.file_name().to_string_lossy())).max()
}

pub(super) async fn open_for_reading(path: &Path) -> Result<SqliteConnection, StoreError> {
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

/// Writes what is in a stopped practice's log into its data file.
///
/// # Errors
/// A file that is not there or cannot be written.
pub async fn fold_log(path: &Path) -> Result<(), StoreError> {
    let mut file = SqliteConnectOptions::new().filename(path).connect().await?;
    sqlx::query("pragma wal_checkpoint(truncate)").execute(&mut file).await?;
    file.close().await?;
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
    faults.extend(torn(&mut file, TEXTS).await?);
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

/// Texts that can be longer than a page of the file. SQLite's own checks see that such a text has all its pages, and not that
/// its last one was zeroed on the disk.
const TEXTS: &[(&str, &[&str])] = &[
    ("session_versions", &["text", "reading", "intents", "change_note"]),
    ("sessions", &["draft", "draft_intents"]),
    ("people", &["note", "kit", "avoid"]),
    ("results", &["note", "hurt", "score", "given"]),
    ("result_edits", &["before"]),
    ("questions", &["text", "answer"]),
    ("past_results", &["score"]),
    ("pins", &["becomes"]),
    ("decisions", &["words", "kept_out", "said"]),
    ("movements", &["body"]),
    ("group_policies", &["body"]),
    ("part_policies", &["body"]),
];
/// Those that are looked at whenever the file is opened: what everybody's days are made of.
pub(super) const WRITE_UPS: &[(&str, &[&str])] = &[TEXTS[0], TEXTS[1]];
/// Columns of [`TEXTS`] that hold JSON.
const JSON: &[&str] =
    &["reading", "intents", "draft_intents", "kit", "avoid", "score", "given", "before", "becomes", "kept_out", "body"];

/// Texts that are cut off, in words for whoever keeps the practice.
pub(super) async fn torn(file: &mut SqliteConnection, texts: &[(&str, &[&str])]) -> Result<Vec<String>, StoreError> {
    let mut torn = Vec::new();
    for (table, columns) in texts {
        for column in *columns {
            let there = "select count(*) from pragma_table_info($1) where name = $2";
            if sqlx::query_scalar::<_, i64>(there).bind(table).bind(column).fetch_one(&mut *file).await? == 0 {
                // a file of an earlier schema
                continue;
            }
            // a zeroed page leaves a text that ends in zeros; names are our own words, not somebody's
            let not_json = if JSON.contains(column) { format!("or json_valid({column}) = 0") } else { String::new() };
            let sql = format!("select count(*) from {table} where substr(cast({column} as blob), -1) = x'00' {not_json}");
            let rows: i64 = sqlx::query_scalar(sqlx::AssertSqlSafe(sql)).fetch_one(&mut *file).await?;
            if rows > 0 {
                torn.push(format!("{rows} of the texts in {table}.{column} are cut off or damaged"));
            }
        }
    }
    Ok(torn)
}

/// The media files that the data names, as lower-case hex SHA-256.
///
/// # Errors
/// A file that cannot be read.
pub async fn media_named(path: &Path) -> Result<Vec<String>, StoreError> {
    let mut file = open_for_reading(path).await?;
    Ok(sqlx::query_scalar("select hash from media order by hash").fetch_all(&mut file).await?)
}

/// The same of a file of an earlier schema, which may have no table for them.
pub(super) async fn media_named_where_known(path: &Path) -> Result<Vec<String>, StoreError> {
    let mut file = open_for_reading(path).await?;
    let known: bool = sqlx::query_scalar("select exists (select 1 from sqlite_schema where type = 'table' and name = 'media')")
        .fetch_one(&mut file)
        .await?;
    if known { media_named(path).await } else { Ok(Vec::new()) }
}
