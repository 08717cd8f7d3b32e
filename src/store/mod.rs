//! Every line of SQL; a file an aggregate. Speaks in the types of [`crate::training`].
//!
//! One writer connection and a pool of read-only ones, on a SQLite file in write-ahead mode with full syncing:
//! what was acknowledged survives a power cut.

pub mod backup;
mod bench;
pub mod boards;
pub mod changes;
pub mod coaches;
pub mod decisions;
pub mod demo;
pub mod erase;
pub mod groups;
pub mod house;
pub mod ids;
mod known;
pub mod links;
pub mod maxes;
pub mod media;
pub mod movements;
pub mod nods;
mod opening;
pub mod overview;
pub mod own;
pub mod passkeys;
pub mod past;
pub mod people;
pub mod profiles;
pub mod questions;
pub mod results;
pub mod review;
pub mod sign_ins;
mod sound;
pub mod talks;
pub mod tokens;
pub mod trail;
pub mod upgrade;
pub mod uploads;
pub mod weeks;
pub mod wishes;
mod writer;

pub use writer::Pulse;

use self::ids::SessionId;
use sqlx::ConnectOptions;
use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqlitePoolOptions, SqliteSynchronous};
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;
use time::OffsetDateTime;
use tokio::sync::broadcast;

/// Changes that a slow listener may fall behind before it misses some.
const NEWS: usize = 256;

/// Our own number in the file's header: `dowl`.
const APPLICATION_ID: i64 = 0x646f_776c;

/// What can go wrong between us and the file.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// There is no such row, or it is not this person's.
    #[error("not found")]
    NotFound,
    /// A name that must be unique is taken; which one, in the field's name.
    #[error("{0} is taken")]
    Taken(&'static str),
    /// Another tab or device wrote first; nothing was overwritten.
    #[error("changed meanwhile")]
    Stale,
    /// Too many writers at once; try again.
    #[error("busy")]
    Busy,
    /// The disk is full.
    #[error("the disk is full")]
    Full,
    /// The folder can only be read.
    #[error("the data folder can only be read")]
    ReadOnly,
    /// The disk or the file is damaged; nothing was kept.
    #[error("the data file is damaged or its disk is: {0}")]
    Broken(String),
    /// What was written together was given up; nothing was kept, and it may be sent again.
    #[error("nothing was kept")]
    Unkept,
    /// The file is of another program, of a newer version, or damaged.
    #[error("the data file cannot be used: {0}")]
    Unusable(String),
    /// A stored value is not what it should be.
    #[error("a stored value cannot be read: {0}")]
    Json(#[from] serde_json::Error),
    /// A file of the media folder.
    #[error("a file cannot be used: {0}")]
    File(std::io::Error),
    /// Anything else from the database.
    #[error(transparent)]
    Database(sqlx::Error),
}

/// What keeps a write from being kept, in a form that everybody in a commit can be told.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(crate) enum Trouble {
    /// somebody else is writing, or too many wait
    #[error("busy")]
    Busy,
    /// no room
    #[error("the disk is full")]
    Full,
    /// no writing there
    #[error("the data folder can only be read")]
    ReadOnly,
    /// the file or the disk below it can no longer be trusted
    #[error("damaged: {0}")]
    Broken(String),
    /// anything else that ended a whole commit
    #[error("not kept: {0}")]
    Unkept(String),
}

impl Trouble {
    /// By SQLite's result codes, <https://sqlite.org/rescode.html>; none where it is no trouble with the file.
    fn of(e: &sqlx::Error) -> Option<Self> {
        if matches!(e, sqlx::Error::PoolClosed) {
            // on its way out: whoever asks again finds it started anew
            return Some(Self::Busy);
        }
        let sqlx::Error::Database(d) = e else { return None };
        let code: u32 = d.code()?.parse().ok()?;
        Some(match (code & 0xff, code) {
            (5 | 6, _) => Self::Busy,
            (13, _) => Self::Full,
            (8, _) => Self::ReadOnly,
            // no file handle left
            (14, _) => Self::Busy,
            // no room for the shared index of the log: these come of a full disk too
            (10, 4618 | 4874 | 5386) => Self::Full,
            (10 | 11 | 26, _) => Self::Broken(d.message().to_owned()),
            _ => return None,
        })
    }
}

impl From<sqlx::Error> for StoreError {
    fn from(e: sqlx::Error) -> Self {
        match e {
            sqlx::Error::RowNotFound => Self::NotFound,
            sqlx::Error::PoolTimedOut => Self::Busy,
            sqlx::Error::Configuration(inner) => match inner.downcast::<Trouble>() {
                Ok(trouble) => (*trouble).into(),
                Err(inner) => Self::Database(sqlx::Error::Configuration(inner)),
            },
            e => Trouble::of(&e).map_or(Self::Database(e), Self::from),
        }
    }
}

impl From<std::io::Error> for StoreError {
    fn from(e: std::io::Error) -> Self {
        if e.kind() == std::io::ErrorKind::StorageFull { Self::Full } else { Self::File(e) }
    }
}

impl StoreError {
    /// A broken uniqueness of `table.column` becomes [`StoreError::Taken`] with the field's name.
    ///
    /// SQLite does not name the constraint, only the columns: hence the look into its message.
    pub(crate) fn taken(e: sqlx::Error, column: &str, field: &'static str) -> Self {
        match &e {
            sqlx::Error::Database(d) if d.is_unique_violation() && d.message().contains(column) => Self::Taken(field),
            _ => e.into(),
        }
    }
}

/// The practice's data.
#[derive(Clone, Debug)]
pub struct Store {
    read: SqlitePool,
    write: writer::Writer,
    /// sessions whose boards just changed, for whoever listens
    news: broadcast::Sender<SessionId>,
    known: known::SignIns,
    together: results::Together,
    path: Arc<Path>,
}

impl Store {
    /// Opens the file, makes it where there is none, and brings its schema up to date.
    ///
    /// # Errors
    /// A file of another program, of a newer Dowel, or one that fails SQLite's own check is refused untouched.
    pub async fn open(path: &Path) -> Result<Self, StoreError> {
        let options = SqliteConnectOptions::new()
            .filename(path)
            .create_if_missing(true)
            .journal_mode(SqliteJournalMode::Wal)
            .synchronous(SqliteSynchronous::Full)
            .busy_timeout(Duration::from_secs(5))
            .foreign_keys(true)
            .pragma("trusted_schema", "off")
            .pragma("cell_size_check", "on")
            .pragma("secure_delete", "on")
            .pragma("journal_size_limit", "67108864")
            .pragma("temp_store", "memory");
        opening::ours(path).await?;
        opening::private(path).map_err(|e| StoreError::Unusable(format!("{}: {e}", path.display())))?;
        let as_left = sound::as_left(path).await;
        let mut write = options.clone().optimize_on_close(true, None).connect().await?;
        opening::check(&mut write, as_left).await?;
        upgrade::run(&mut write, path).await?;
        let read = SqlitePoolOptions::new()
            .max_connections(6)
            .acquire_timeout(Duration::from_secs(5))
            .connect_with(options.read_only(true).pragma("query_only", "on"))
            .await?;
        Ok(Self {
            read,
            write: writer::Writer::new(write).await?,
            news: broadcast::Sender::new(NEWS),
            known: known::SignIns::default(),
            together: results::Together::default(),
            path: path.into(),
        })
    }

    /// Sessions whose boards change from now on, in this process. A listener that falls behind is told how many it missed.
    #[must_use]
    pub fn news(&self) -> broadcast::Receiver<SessionId> {
        self.news.subscribe()
    }

    /// Tells whoever listens; nobody listening is no matter.
    pub(crate) fn tell(&self, session: SessionId) {
        let _ = self.news.send(session);
    }

    /// A turn at writing; others wait until it ends, so nothing else may be awaited inside.
    pub(crate) async fn begin(&self) -> Result<writer::Write, StoreError> {
        Ok(self.write.begin().await?)
    }

    /// What changed since. What is kept in memory may be used after [`Store::look_for_others`].
    #[must_use]
    pub const fn changes(&self) -> &changes::Changes {
        self.write.changes()
    }

    /// Nobody looked for a moment whether another process wrote into the file.
    #[must_use]
    pub fn others_may_have_written(&self) -> bool {
        self.write.looked_long_ago()
    }

    /// Looks whether another process wrote into the file, so that [`Store::changes`] knows.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn look_for_others(&self) -> Result<(), StoreError> {
        Ok(self.write.look_for_others().await?)
    }

    /// The same, however lately somebody looked.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn look_for_others_now(&self) -> Result<(), StoreError> {
        Ok(self.write.look_now().await?)
    }

    /// How the writer is doing.
    #[must_use]
    pub fn pulse(&self) -> Pulse {
        self.write.pulse()
    }

    /// Whether it can be read and written just now. For writing one line is written, at most once every few seconds.
    pub async fn answers(&self) -> bool {
        let read = sqlx::query("select 1 from settings limit 1").execute(&self.read).await;
        read.is_ok() && self.write.keeps(writer::STUCK).await
    }

    /// Writes what is left in the log into the file and closes it.
    pub async fn close(&self) {
        let sound = !self.pulse().broken;
        self.read.close().await;
        self.write.close().await;
        if let Err(e) = sound::leave(&self.path, sound).await {
            tracing::warn!(error = %e, "the next start will take a little longer");
        }
    }
}

/// An instant as it is stored: UTC milliseconds.
pub(crate) fn millis(at: OffsetDateTime) -> i64 {
    at.unix_timestamp() * 1000 + i64::from(at.millisecond())
}

/// A stored instant.
pub(crate) fn instant(millis: i64) -> OffsetDateTime {
    OffsetDateTime::from_unix_timestamp_nanos(i128::from(millis) * 1_000_000).unwrap_or(OffsetDateTime::UNIX_EPOCH)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn the_file_is_ours_durable_and_new_enough() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("dowel.db")).await.unwrap();
        let one = |sql: &'static str| {
            let pool = store.write.clone();
            async move { sqlx::query_scalar::<_, String>(sql).fetch_one(&pool).await.unwrap() }
        };
        assert_eq!(one("select cast(application_id as text) from pragma_application_id").await, APPLICATION_ID.to_string());
        assert_eq!(one("select journal_mode from pragma_journal_mode").await, "wal");
        assert_eq!(one("select cast(synchronous as text) from pragma_synchronous").await, "2");
        let version = one("select sqlite_version()").await;
        let numbers: Vec<u32> = version.split('.').map(|n| n.parse().unwrap()).collect();
        assert!(numbers >= vec![3, 51, 3], "{version} can lose writes");
        #[cfg(unix)]
        for name in ["dowel.db", "dowel.db-wal"] {
            let mode = std::fs::metadata(folder.path().join(name)).unwrap().permissions();
            assert_eq!(std::os::unix::fs::PermissionsExt::mode(&mode) & 0o777, 0o600, "{name} is for this user alone");
        }
    }

    /// A practice with one long write-up, and where the last page of that text is in the file.
    async fn with_a_long_write_up(path: &Path, column: &str) -> u64 {
        let store = Store::open(path).await.unwrap();
        let long = format!("[\"{}\"]", "row by row ".repeat(900));
        sqlx::query("insert into groups (id, name, created_at) values (1, 'Harbour', 1)").execute(&store.write).await.unwrap();
        sqlx::query("insert into sessions (id, group_id, day, draft_at, created_at) values (1, 1, '2026-11-25', 1, 1)")
            .execute(&store.write)
            .await
            .unwrap();
        let (text, reading) = if column == "text" { (long.as_str(), "{}") } else { ("", long.as_str()) };
        sqlx::query("insert into session_versions (session_id, number, text, reading, published_at) values (1, 1, $1, $2, 1)")
            .bind(text)
            .bind(reading)
            .execute(&store.write)
            .await
            .unwrap();
        store.close().await;
        let bytes = std::fs::read(path).unwrap();
        // a last overflow page names no next one and goes on with the text
        let page = bytes.chunks(4096).rposition(|p| p[..4] == [0; 4] && p.windows(10).any(|w| w == b"row by row"));
        page.unwrap() as u64 * 4096
    }

    #[tokio::test]
    async fn a_write_up_whose_last_page_was_zeroed_is_noticed_at_the_start() {
        for column in ["reading", "text"] {
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().join("dowel.db");
            let page = with_a_long_write_up(&path, column).await;
            Store::open(&path).await.unwrap().close().await;
            let mut bytes = std::fs::read(&path).unwrap();
            let page = usize::try_from(page).unwrap();
            bytes[page..page + 4096].fill(0);
            std::fs::write(&path, bytes).unwrap();
            let said = backup::faults(&path).await.unwrap().join("; ");
            assert!(said.contains(&format!("session_versions.{column}")), "{said}");
            assert!(matches!(Store::open(&path).await, Err(StoreError::Unusable(_))), "{column}");
        }
    }
}
