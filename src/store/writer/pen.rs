//! What a turn writes with: the connection, which remembers what went wrong with the file.
//!
//! Where SQLite gives up a whole transaction for one statement of one turn, everybody in it is told why, and not only that
//! their savepoint is gone.

use super::Trouble;
use futures_util::future::BoxFuture;
use futures_util::stream::BoxStream;
use futures_util::{FutureExt, StreamExt, TryFutureExt, TryStreamExt};
use sqlx::sqlite::{SqliteConnection, SqliteQueryResult, SqliteRow, SqliteStatement, SqliteTypeInfo};
use sqlx::{Either, Execute, Executor, SqlStr, Sqlite};

/// The connection during a turn.
#[derive(Debug)]
pub(crate) struct Pen {
    pub(super) connection: SqliteConnection,
    /// the first of this turn
    pub(super) trouble: Option<Trouble>,
}

impl Pen {
    pub(super) const fn new(connection: SqliteConnection) -> Self {
        Self { connection, trouble: None }
    }
}

fn remember(trouble: &mut Option<Trouble>, e: &sqlx::Error) {
    if trouble.is_none() {
        *trouble = Trouble::of(e);
    }
}

impl<'c> Executor<'c> for &'c mut Pen {
    type Database = Sqlite;

    fn fetch_many<'e, 'q: 'e, E>(self, query: E) -> BoxStream<'e, Result<Either<SqliteQueryResult, SqliteRow>, sqlx::Error>>
    where
        'c: 'e,
        E: 'q + Execute<'q, Sqlite>,
    {
        let Pen { connection, trouble } = self;
        connection.fetch_many(query).inspect_err(move |e| remember(trouble, e)).boxed()
    }

    fn fetch_optional<'e, 'q: 'e, E>(self, query: E) -> BoxFuture<'e, Result<Option<SqliteRow>, sqlx::Error>>
    where
        'c: 'e,
        E: 'q + Execute<'q, Sqlite>,
    {
        let Pen { connection, trouble } = self;
        connection.fetch_optional(query).inspect_err(move |e| remember(trouble, e)).boxed()
    }

    fn prepare_with<'e>(
        self,
        sql: SqlStr,
        parameters: &'e [SqliteTypeInfo],
    ) -> BoxFuture<'e, Result<SqliteStatement, sqlx::Error>>
    where
        'c: 'e,
    {
        self.connection.prepare_with(sql, parameters)
    }

    fn describe<'e>(self, sql: SqlStr) -> BoxFuture<'e, Result<sqlx::Describe<Sqlite>, sqlx::Error>>
    where
        'c: 'e,
    {
        self.connection.describe(sql)
    }
}
