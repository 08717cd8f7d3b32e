//! Personal tokens for programs. A token is random; the file holds its SHA-256.

use super::ids::{PersonId, TokenId};
use super::people::{Person, PersonRow};
use super::{Store, StoreError, instant, millis};
use serde::{Deserialize, Serialize};
use sqlx::FromRow;
use time::{Duration, OffsetDateTime};

/// What a token may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Scope {
    /// look at what its owner may see
    Read,
    /// log, change and take back its owner's results
    Log,
    /// look at members and their results, for a coach
    Coach,
}

/// A token, as its owner sees it in a list.
#[derive(Clone, Debug)]
pub struct Token {
    /// row
    pub id: TokenId,
    /// what it is for
    pub name: String,
    /// what it may do
    pub scopes: Vec<Scope>,
    /// when it was made
    pub created_at: OffsetDateTime,
    /// until when it is good
    pub expires_at: OffsetDateTime,
    /// when it was last used, to the hour
    pub used_at: Option<OffsetDateTime>,
}

#[derive(FromRow)]
struct Row {
    id: TokenId,
    name: String,
    scopes: String,
    created_at: i64,
    expires_at: i64,
    used_at: Option<i64>,
}

#[derive(FromRow)]
struct Holder {
    #[sqlx(flatten)]
    person: PersonRow,
    token_id: TokenId,
    scopes: String,
    used_at: Option<i64>,
}

impl Store {
    /// Keeps a new token.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn add_token(
        &self,
        owner: PersonId,
        hash: &[u8; 32],
        name: &str,
        scopes: &[Scope],
        (now, expires_at): (OffsetDateTime, OffsetDateTime),
    ) -> Result<TokenId, StoreError> {
        Ok(sqlx::query_scalar(
            "insert into tokens (person_id, token_hash, name, scopes, created_at, expires_at)
             values ($1, $2, $3, $4, $5, $6) returning id",
        )
        .bind(owner)
        .bind(&hash[..])
        .bind(name.trim())
        .bind(serde_json::to_string(scopes)?)
        .bind(millis(now))
        .bind(millis(expires_at))
        .fetch_one(&self.write)
        .await?)
    }

    /// A person's tokens, newest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn tokens_of(&self, owner: PersonId) -> Result<Vec<Token>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select id, name, scopes, created_at, expires_at, used_at from tokens where person_id = $1 order by id desc",
        )
        .bind(owner)
        .fetch_all(&self.read)
        .await?;
        let token = |r: Row| {
            Ok(Token {
                id: r.id,
                name: r.name,
                scopes: serde_json::from_str(&r.scopes)?,
                created_at: instant(r.created_at),
                expires_at: instant(r.expires_at),
                used_at: r.used_at.map(instant),
            })
        };
        rows.into_iter().map(token).collect()
    }

    /// Ends a token.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is not theirs.
    pub async fn end_token(&self, owner: PersonId, id: TokenId) -> Result<(), StoreError> {
        let gone =
            sqlx::query("delete from tokens where id = $1 and person_id = $2").bind(id).bind(owner).execute(&self.write).await?;
        if gone.rows_affected() == 0 { Err(StoreError::NotFound) } else { Ok(()) }
    }

    /// Whose token this is and what it may do; nobody's where it ran out or its owner left.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn token_holder(&self, hash: &[u8; 32], now: OffsetDateTime) -> Result<Option<(Person, Vec<Scope>)>, StoreError> {
        let found: Option<Holder> = sqlx::query_as(
            "select people.*, tokens.id as token_id, tokens.scopes, tokens.used_at
             from tokens join people on people.id = tokens.person_id
             where tokens.token_hash = $1 and tokens.expires_at > $2 and people.left_at is null",
        )
        .bind(&hash[..])
        .bind(millis(now))
        .fetch_optional(&self.read)
        .await?;
        let Some(holder) = found else { return Ok(None) };
        // a write for every request would be a high price for a line in a list
        if holder.used_at.is_none_or(|at| instant(at) < now - Duration::hours(1)) {
            let kept = sqlx::query("update tokens set used_at = $2 where id = $1")
                .bind(holder.token_id)
                .bind(millis(now))
                .execute(&self.write)
                .await;
            // reading goes on where nothing can be written (a full disk)
            if let Err(e) = kept {
                tracing::warn!(error = %e, "when a token was used could not be kept");
            }
        }
        Ok(Some((holder.person.person()?, serde_json::from_str(&holder.scopes)?)))
    }
}
