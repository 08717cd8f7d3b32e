//! The one writer: many writes, one commit.
//!
//! # Design
//! A commit waits for the disk, and while it waits nobody else can write. So writes take turns inside one open
//! transaction, each in a savepoint of its own, and whoever leaves last commits for all. Nobody is told that a write is
//! kept before that commit has come back. A write that fails is taken back alone; where SQLite gives up the whole
//! transaction (a full disk, a broken one), everybody in it is told that nothing was saved.
//!
//! A client can leave at any moment, and then its request is dropped wherever it stands, while a statement that is on its
//! way is carried out all the same. So whatever opens or ends a transaction or a savepoint runs on a task of its own: the
//! seat always knows what is open. A statement inside a savepoint may be dropped: the savepoint is taken back after it.
//!
//! The queue is bounded: where too many wait, the next is sent away at once, to come again.

mod alone;
mod pen;
mod turn;

pub(crate) use pen::Pen;
pub(crate) use turn::Write;

use super::changes::{Changes, Pending};
use super::{StoreError, Trouble};
use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, query_scalar};
use std::fmt;
use std::sync::atomic::{AtomicBool, AtomicU64, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex as StdMutex, PoisonError};
use std::time::{Duration, Instant};
use tokio::sync::{Mutex, OwnedMutexGuard, oneshot};
use tokio::time::timeout;

/// Most that wait for a turn.
const QUEUE: usize = 1024;
/// Most writes in one commit: later ones wait for the next.
const BATCH: usize = 128;
/// Milliseconds within which another process's write may go unseen.
const EVERY: u64 = 250;
/// Longest wait for a turn.
const PATIENCE: Duration = Duration::from_secs(5);
/// How often a log that somebody reads is tried to be cut.
const CUTS: usize = 60;

/// How long a write that was tried and kept says that all is well.
const TRIED_LASTS: Duration = Duration::from_secs(5);
/// How long one that was not kept says that it is not.
const FAILED_LASTS: Duration = Duration::from_secs(1);
/// A write that takes longer than this is stuck.
pub(super) const STUCK: Duration = Duration::from_secs(4);
const DATA_VERSION: &str = "pragma data_version";

type Told = oneshot::Sender<Result<(), Trouble>>;

/// The connection that writes, and who waits for it.
#[derive(Clone)]
pub(crate) struct Writer {
    seat: Arc<Mutex<Seat>>,
    counts: Arc<Counts>,
    /// when it was last tried whether it writes, and what came of it
    tried: Arc<Mutex<Option<(Instant, bool)>>>,
    changes: Changes,
}

struct Counts {
    began: Instant,
    /// milliseconds after that when somebody last looked for other processes' writes; 0: never
    looked: AtomicU64,
    waiting: AtomicUsize,
    writes: AtomicU64,
    commits: AtomicU64,
    refused: AtomicU64,
    broken: AtomicBool,
}

impl Counts {
    fn new() -> Self {
        let (looked, waiting, writes, commits, refused, broken) = Default::default();
        Self { began: Instant::now(), looked, waiting, writes, commits, refused, broken }
    }
}

struct Seat {
    /// none once it is closed
    pen: Option<Pen>,
    /// a transaction is open
    open: bool,
    /// whose writes are in it, to be told how it ended
    written: Vec<Told>,
    /// rows that are in it, as SQLite tells of them
    pending: Arc<StdMutex<Pending>>,
    /// the file's own number; it changes where another process commits, and not where this connection does
    others: i64,
}

/// How the writer is doing.
#[derive(Clone, Copy, Debug)]
pub struct Pulse {
    /// waiting for a turn
    pub waiting: usize,
    /// writes that were kept
    pub writes: u64,
    /// commits that kept them
    pub commits: u64,
    /// sent away because too many waited
    pub refused: u64,
    /// the file can no longer be trusted: nothing is written until the program is started anew
    pub broken: bool,
}

/// Somebody who waits. Leaving the queue early must not leave others' writes without a commit.
struct Place {
    writer: Writer,
    seated: bool,
}

impl Drop for Place {
    fn drop(&mut self) {
        self.writer.counts.waiting.fetch_sub(1, Ordering::SeqCst);
        if !self.seated {
            let writer = self.writer.clone();
            tokio::spawn(async move { writer.finish_for_others().await });
        }
    }
}

impl Writer {
    pub(super) async fn new(mut connection: SqliteConnection) -> Result<Self, sqlx::Error> {
        let pending: Arc<StdMutex<Pending>> = Arc::default();
        let rows = pending.clone();
        connection
            .lock_handle()
            .await?
            .set_update_hook(move |row| rows.lock().unwrap_or_else(PoisonError::into_inner).row(row.table, row.rowid));
        let others = sqlx::query_scalar(DATA_VERSION).fetch_one(&mut connection).await?;
        let seat = Seat { pen: Some(Pen::new(connection)), open: false, written: Vec::new(), pending, others };
        Ok(Self {
            seat: Arc::new(Mutex::new(seat)),
            counts: Arc::new(Counts::new()),
            changes: Changes::default(),
            tried: Arc::default(),
        })
    }

    /// What changed since.
    pub(super) const fn changes(&self) -> &Changes {
        &self.changes
    }

    fn now_ms(&self) -> u64 {
        u64::try_from(self.counts.began.elapsed().as_millis()).unwrap_or(u64::MAX)
    }

    /// Nobody looked for a moment whether another process wrote.
    pub(super) fn looked_long_ago(&self) -> bool {
        let last = self.counts.looked.load(Ordering::Relaxed);
        last == 0 || self.now_ms() >= last.saturating_add(EVERY)
    }

    /// Looks whether another process wrote into the file, unless somebody did a moment ago.
    pub(super) async fn look_for_others(&self) -> Result<(), sqlx::Error> {
        if !self.looked_long_ago() {
            return Ok(());
        }
        // whoever is writing just now looks at the end
        let Ok(mut seat) = self.seat.clone().try_lock_owned() else { return Ok(()) };
        self.look(&mut seat).await
    }

    /// Looks whether another process wrote into the file.
    pub(super) async fn look_now(&self) -> Result<(), sqlx::Error> {
        let mut seat = self.seat.clone().lock_owned().await;
        self.look(&mut seat).await
    }

    async fn look(&self, seat: &mut Seat) -> Result<(), sqlx::Error> {
        let now_ms = self.now_ms();
        let Some(pen) = seat.pen.as_mut() else { return Ok(()) };
        let now: i64 = sqlx::query_scalar(DATA_VERSION).fetch_one(pen).await?;
        if now != seat.others {
            seat.others = now;
            self.changes.everything();
        }
        self.counts.looked.store(now_ms.max(1), Ordering::Relaxed);
        Ok(())
    }

    /// How it is doing.
    pub(crate) fn pulse(&self) -> Pulse {
        let c = &self.counts;
        Pulse {
            waiting: c.waiting.load(Ordering::Relaxed),
            writes: c.writes.load(Ordering::Relaxed),
            commits: c.commits.load(Ordering::Relaxed),
            refused: c.refused.load(Ordering::Relaxed),
            broken: c.broken.load(Ordering::Relaxed),
        }
    }

    /// A turn at writing.
    pub(super) async fn begin(&self) -> Result<Write, Trouble> {
        if self.counts.broken.load(Ordering::Relaxed) {
            return Err(Trouble::Broken("the file was found damaged earlier".to_owned()));
        }
        if self.counts.waiting.fetch_add(1, Ordering::SeqCst) >= QUEUE {
            self.counts.waiting.fetch_sub(1, Ordering::SeqCst);
            self.counts.refused.fetch_add(1, Ordering::Relaxed);
            return Err(Trouble::Busy);
        }
        let mut place = Place { writer: self.clone(), seated: false };
        let seat = timeout(PATIENCE, self.seat.clone().lock_owned()).await.map_err(|_| Trouble::Busy)?;
        place.seated = true;
        drop(place);
        // on its own task: where nobody waits for the turn any more, it is entered all the same, then dropped and taken back
        let entered = tokio::spawn(Write { seat: Some(seat), writer: self.clone() }.entered());
        entered.await.unwrap_or(Err(Trouble::Busy))
    }

    /// Whether a write is kept just now, and within this time: one is tried, at most once every few seconds however often it is asked.
    pub(super) async fn keeps(&self, within: Duration) -> bool {
        let mut tried = self.tried.lock().await;
        if let Some((at, kept)) = *tried
            && at.elapsed() < if kept { TRIED_LASTS } else { FAILED_LASTS }
        {
            return kept;
        }
        let kept = matches!(timeout(within, self.try_one()).await, Ok(Ok(())));
        *tried = Some((Instant::now(), kept));
        kept
    }

    /// Writes and leaves nothing behind: looking changes nothing.
    async fn try_one(&self) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        sqlx::query("insert or replace into tried_writes (n) values (1)").execute(&mut *tx).await?;
        sqlx::query("delete from tried_writes where n = 1").execute(&mut *tx).await?;
        Ok(tx.commit().await?)
    }

    async fn finish_for_others(&self) {
        let mut seat = self.seat.clone().lock_owned().await;
        if self.counts.waiting.load(Ordering::SeqCst) == 0 {
            self.commit(&mut seat).await;
        }
    }

    /// Ends one write: kept where somebody waits to be told, else taken back. Then commits, where nobody else is next.
    async fn settle(self, mut seat: OwnedMutexGuard<Seat>, told: Option<Told>) {
        if let Err(e) = seat.leave(told.is_some()).await {
            let trouble = self.note(&e, seat.first_trouble());
            seat.written.extend(told);
            seat.lose(&trouble).await;
            return;
        }
        seat.written.extend(told);
        if self.counts.waiting.load(Ordering::SeqCst) == 0 || seat.written.len() >= BATCH {
            self.commit(&mut seat).await;
        }
    }

    async fn commit(&self, seat: &mut Seat) {
        if !seat.open {
            return;
        }
        match seat.say("commit").await {
            Ok(()) => {
                seat.open = false;
                self.changes.committed(seat.rows());
                let kept = seat.written.drain(..).map(|told| drop(told.send(Ok(())))).count();
                self.counts.writes.fetch_add(kept as u64, Ordering::Relaxed);
                self.counts.commits.fetch_add(1, Ordering::Relaxed);
                if self.looked_long_ago() {
                    // where that fails, others find out
                    let _ = self.look(seat).await;
                }
            }
            Err(e) => {
                let trouble = self.note(&e, seat.first_trouble());
                seat.lose(&trouble).await;
                // nobody is told that it is kept, and yet some of it may be
                self.changes.everything();
            }
        }
    }

    /// What ended a transaction: what was wrong first, where that is known.
    fn note(&self, e: &sqlx::Error, first: Option<Trouble>) -> Trouble {
        let trouble = first.or_else(|| Trouble::of(e)).unwrap_or_else(|| Trouble::Unkept(e.to_string()));
        if let Trouble::Broken(what) = &trouble {
            tracing::error!(what, "the data file cannot be written safely; restart, and run dowel check");
            self.counts.broken.store(true, Ordering::Relaxed);
        } else {
            tracing::warn!(%trouble, "a write was not kept");
        }
        trouble
    }

    /// Writes the log back into the file and cuts it, so that nothing that was deleted stays in it. False where a reader held
    /// it; then it is tried again until the reader is gone.
    pub(super) async fn cut_log(&self) -> bool {
        let writer = self.clone();
        let cut = tokio::spawn(async move { writer.cut().await }).await.unwrap_or(false);
        if !cut {
            let writer = self.clone();
            tokio::spawn(async move {
                for _ in 0..CUTS {
                    tokio::time::sleep(PATIENCE).await;
                    if writer.cut().await {
                        return;
                    }
                }
                tracing::warn!("the log could not be cut: what was deleted may stay in it until dowel is started anew");
            });
        }
        cut
    }

    async fn cut(&self) -> bool {
        let mut seat = self.seat.clone().lock_owned().await;
        self.commit(&mut seat).await;
        // others wait to write meanwhile
        let _ = seat.say("pragma busy_timeout = 100").await;
        let Some(pen) = seat.pen.as_mut() else { return false };
        // it answers with a row, not with an error: whether somebody was in the way
        let held: Result<i64, _> = query_scalar("pragma wal_checkpoint(truncate)").fetch_one(pen).await;
        let _ = seat.say("pragma busy_timeout = 5000").await;
        if let Err(e) = &held {
            tracing::warn!(error = %e, "the log could not be cut");
        }
        matches!(held, Ok(0))
    }

    /// Commits what is open and closes the connection.
    pub(super) async fn close(&self) {
        let writer = self.clone();
        let closed = tokio::spawn(async move {
            let mut seat = writer.seat.clone().lock_owned().await;
            writer.commit(&mut seat).await;
            if let Some(pen) = seat.pen.take() {
                let _ = pen.connection.close().await;
            }
        });
        let _ = closed.await;
    }
}

impl fmt::Debug for Writer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Writer").field("pulse", &self.pulse()).finish_non_exhaustive()
    }
}

impl Seat {
    async fn say(&mut self, sql: &'static str) -> Result<(), sqlx::Error> {
        let pen = self.pen.as_mut().ok_or(sqlx::Error::PoolClosed)?;
        sqlx::query(sql).execute(pen).await.map(drop)
    }

    async fn enter(&mut self) -> Result<(), sqlx::Error> {
        if !self.open {
            // open from here on, whatever comes of it: what is not there is taken back for nothing
            self.open = true;
            self.say("begin immediate").await?;
        }
        self.say("savepoint one").await
    }

    async fn leave(&mut self, keep: bool) -> Result<(), sqlx::Error> {
        if !keep {
            // where SQLite gave up the whole transaction, this savepoint is gone and so is everything in it
            self.say("rollback to one").await?;
        }
        self.say("release one").await?;
        // the next turn begins well
        drop(self.first_trouble());
        Ok(())
    }

    fn first_trouble(&mut self) -> Option<Trouble> {
        self.pen.as_mut().and_then(|pen| pen.trouble.take())
    }

    /// The rows of the open transaction, which ends.
    fn rows(&self) -> Pending {
        std::mem::take(&mut self.pending.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Nothing in the open transaction is kept.
    async fn lose(&mut self, trouble: &Trouble) {
        drop(self.rows());
        // SQLite may have rolled back by itself; and where none should be open and one is, it must not stay
        let _ = self.say("rollback").await;
        drop(self.first_trouble());
        self.open = false;
        for told in self.written.drain(..) {
            let _ = told.send(Err(trouble.clone()));
        }
    }
}

impl From<Trouble> for sqlx::Error {
    fn from(trouble: Trouble) -> Self {
        Self::Configuration(Box::new(trouble))
    }
}

impl From<Trouble> for StoreError {
    fn from(trouble: Trouble) -> Self {
        match trouble {
            Trouble::Busy => Self::Busy,
            Trouble::Full => Self::Full,
            Trouble::ReadOnly => Self::ReadOnly,
            Trouble::Broken(what) => Self::Broken(what),
            Trouble::Unkept(_) => Self::Unkept,
        }
    }
}

#[cfg(test)]
mod tests;
