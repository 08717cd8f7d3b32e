//! One statement is a turn of its own: the writer is an executor like any other connection.

use super::Writer;
use futures_util::future::BoxFuture;
use futures_util::stream::{self, BoxStream};
use futures_util::{FutureExt, StreamExt, TryFutureExt, TryStreamExt};
use sqlx::sqlite::{SqliteQueryResult, SqliteRow, SqliteStatement, SqliteTypeInfo};
use sqlx::{Either, Execute, Executor, SqlStr, Sqlite};

type Step = Either<SqliteQueryResult, SqliteRow>;

impl<'c> Executor<'c> for &'c Writer {
    type Database = Sqlite;

    fn fetch_many<'e, 'q: 'e, E>(self, query: E) -> BoxStream<'e, Result<Step, sqlx::Error>>
    where
        'c: 'e,
        E: 'q + Execute<'q, Sqlite>,
    {
        async move {
            let mut write = self.begin().await?;
            let steps: Vec<Step> = (&mut *write).fetch_many(query).try_collect().await?;
            write.commit().await?;
            Ok(stream::iter(steps.into_iter().map(Ok)))
        }
        .try_flatten_stream()
        .boxed()
    }

    fn fetch_optional<'e, 'q: 'e, E>(self, query: E) -> BoxFuture<'e, Result<Option<SqliteRow>, sqlx::Error>>
    where
        'c: 'e,
        E: 'q + Execute<'q, Sqlite>,
    {
        async move {
            let mut write = self.begin().await?;
            let row = (&mut *write).fetch_optional(query).await?;
            write.commit().await?;
            Ok(row)
        }
        .boxed()
    }

    fn prepare_with<'e>(
        self,
        sql: SqlStr,
        parameters: &'e [SqliteTypeInfo],
    ) -> BoxFuture<'e, Result<SqliteStatement, sqlx::Error>>
    where
        'c: 'e,
    {
        async move { (&mut *self.begin().await?).prepare_with(sql, parameters).await }.boxed()
    }

    fn describe<'e>(self, sql: SqlStr) -> BoxFuture<'e, Result<sqlx::Describe<Sqlite>, sqlx::Error>>
    where
        'c: 'e,
    {
        async move { (&mut *self.begin().await?).describe(sql).await }.boxed()
    }
}
