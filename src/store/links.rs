//! One-time links: an invitation to a group, or a link to set a password.
//!
//! # Design
//! A link's secret is made from its id and the practice's secret ([`crate::web::links`]), so the coach can be shown an
//! open invitation again, and the file alone opens nothing.

use super::ids::{GroupId, LinkId, PersonId};
use super::people::{NewPerson, insert_person};
use super::{Store, StoreError, instant, millis};
use sqlx::FromRow;
use time::{Duration, OffsetDateTime};

/// What using a link does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, sqlx::Type)]
#[sqlx(rename_all = "lowercase")]
pub enum Purpose {
    /// make a member's account in a group
    Invitation,
    /// set a password
    Password,
}

/// Why a link can no longer be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spent {
    /// it was used
    Used,
    /// it is too old
    Old,
    /// the coach withdrew it
    Withdrawn,
}

/// A one-time link.
#[derive(Clone, Debug, FromRow)]
pub struct Link {
    /// row
    pub id: LinkId,
    /// what using it does
    pub purpose: Purpose,
    /// the group to join
    pub group_id: Option<GroupId>,
    /// whose password
    pub person_id: Option<PersonId>,
    /// for whom, in the coach's words
    pub label: String,
    created_at: i64,
    expires_at: i64,
    used_at: Option<i64>,
    withdrawn_at: Option<i64>,
}

/// What an address is made from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, FromRow)]
pub struct Made {
    /// row
    pub id: LinkId,
    /// what using it does
    pub purpose: Purpose,
    /// UTC milliseconds
    pub created_at: i64,
}

impl From<&Link> for Made {
    fn from(link: &Link) -> Self {
        Self { id: link.id, purpose: link.purpose, created_at: link.created_at }
    }
}

impl From<Made> for LinkId {
    fn from(made: Made) -> Self {
        made.id
    }
}

impl Link {
    /// Why it cannot be used, if so.
    #[must_use]
    pub fn spent(&self, now: OffsetDateTime) -> Option<Spent> {
        if self.used_at.is_some() {
            Some(Spent::Used)
        } else if self.withdrawn_at.is_some() {
            Some(Spent::Withdrawn)
        } else if self.expires_at <= millis(now) {
            Some(Spent::Old)
        } else {
            None
        }
    }

    /// Until when it can be used.
    #[must_use]
    pub fn expires_at(&self) -> OffsetDateTime {
        instant(self.expires_at)
    }
}

const LINK: &str = "select id, purpose, group_id, person_id, label, created_at, expires_at, used_at, withdrawn_at from links";

/// How long an invitation stays open.
pub const INVITATION_LASTS: Duration = Duration::days(14);
/// How long a link to set a password stays open.
pub const PASSWORD_LINK_LASTS: Duration = Duration::days(2);
/// How long one stays open that its owner asked for by mail.
pub const MAILED_LINK_LASTS: Duration = Duration::hours(1);
/// An open link is mailed rather than a new one where it lasts so long still.
const STILL: Duration = Duration::minutes(15);

impl Store {
    /// Makes an invitation to a group.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn invite(
        &self,
        group: GroupId,
        label: &str,
        by: Option<PersonId>,
        now: OffsetDateTime,
    ) -> Result<Made, StoreError> {
        self.invite_once(group, label, by, None, now).await
    }

    /// Makes an invitation to a group; the form's own id again is the same invitation.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn invite_once(
        &self,
        group: GroupId,
        label: &str,
        by: Option<PersonId>,
        client_id: Option<&str>,
        now: OffsetDateTime,
    ) -> Result<Made, StoreError> {
        Ok(sqlx::query_as(
            "insert into links (purpose, group_id, label, created_by, created_at, expires_at, client_id)
             values ('invitation', $1, $2, $3, $4, $5, $6)
             on conflict (created_by, client_id) where client_id is not null do update set client_id = excluded.client_id
             returning id, purpose, created_at",
        )
        .bind(group)
        .bind(label.trim())
        .bind(by)
        .bind(millis(now))
        .bind(millis(now + INVITATION_LASTS))
        .bind(client_id)
        .fetch_one(&self.write)
        .await?)
    }

    /// Makes a link with which this person sets a password; earlier ones of theirs are withdrawn.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn password_link(&self, person: PersonId, by: Option<PersonId>, now: OffsetDateTime) -> Result<Made, StoreError> {
        self.new_password_link(person, by, PASSWORD_LINK_LASTS, now).await
    }

    /// The link to mail to this person: an open one, so that a stranger who asks in their name withdraws nothing of theirs, or
    /// a new one.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn link_to_mail(&self, person: PersonId, now: OffsetDateTime) -> Result<Link, StoreError> {
        match self.open_password_link(person, now).await? {
            Some(open) if open.expires_at() >= now + STILL => Ok(open),
            _ => self.link(self.new_password_link(person, None, MAILED_LINK_LASTS, now).await?.id).await,
        }
    }

    async fn new_password_link(
        &self,
        person: PersonId,
        by: Option<PersonId>,
        lasts: Duration,
        now: OffsetDateTime,
    ) -> Result<Made, StoreError> {
        let mut tx = self.begin().await?;
        sqlx::query("update links set withdrawn_at = $2 where person_id = $1 and purpose = 'password' and used_at is null")
            .bind(person)
            .bind(millis(now))
            .execute(&mut *tx)
            .await?;
        let made = sqlx::query_as(
            "insert into links (purpose, person_id, created_by, created_at, expires_at)
             values ('password', $1, $2, $3, $4) returning id, purpose, created_at",
        )
        .bind(person)
        .bind(by)
        .bind(millis(now))
        .bind(millis(now + lasts))
        .fetch_one(&mut *tx)
        .await?;
        tx.commit().await?;
        Ok(made)
    }

    /// A link, spent or not.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn link(&self, id: LinkId) -> Result<Link, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!("{LINK} where id = $1"));
        Ok(sqlx::query_as(sql).bind(id).fetch_one(&self.read).await?)
    }

    /// Invitations to a group that can still be used, newest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn open_invitations(&self, group: GroupId, now: OffsetDateTime) -> Result<Vec<Link>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "{LINK} where group_id = $1 and purpose = 'invitation' and used_at is null and withdrawn_at is null
             and expires_at > $2 order by id desc"
        ));
        Ok(sqlx::query_as(sql).bind(group).bind(millis(now)).fetch_all(&self.read).await?)
    }

    /// The link with which this person can set a password now, where one is open.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn open_password_link(&self, person: PersonId, now: OffsetDateTime) -> Result<Option<Link>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "{LINK} where person_id = $1 and purpose = 'password' and used_at is null and withdrawn_at is null
             and expires_at > $2 order by id desc limit 1"
        ));
        Ok(sqlx::query_as(sql).bind(person).bind(millis(now)).fetch_optional(&self.read).await?)
    }

    /// Withdraws an invitation of this group.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn withdraw_invitation(
        &self,
        group: GroupId,
        id: impl Into<LinkId> + Send,
        now: OffsetDateTime,
    ) -> Result<(), StoreError> {
        sqlx::query("update links set withdrawn_at = $3 where id = $1 and group_id = $2 and used_at is null")
            .bind(id.into())
            .bind(group)
            .bind(millis(now))
            .execute(&self.write)
            .await?;
        Ok(())
    }

    /// Uses an invitation: makes the member, puts them into the group, spends the link; all or nothing.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where the link is spent, [`StoreError::Taken`] where the sign-in name is.
    pub async fn use_invitation(&self, id: LinkId, new: &NewPerson, now: OffsetDateTime) -> Result<PersonId, StoreError> {
        let mut tx = self.begin().await?;
        let person = insert_person(&mut tx, new, now).await?;
        let group: GroupId = sqlx::query_scalar(
            "update links set used_at = $2, person_id = $3 where id = $1 and purpose = 'invitation'
             and used_at is null and withdrawn_at is null and expires_at > $2 returning group_id",
        )
        .bind(id)
        .bind(millis(now))
        .bind(person)
        .fetch_one(&mut *tx)
        .await?;
        sqlx::query("insert into memberships (group_id, person_id, joined_at) values ($1, $2, $3)")
            .bind(group)
            .bind(person)
            .bind(millis(now))
            .execute(&mut *tx)
            .await?;
        tx.commit().await?;
        Ok(person)
    }

    /// Uses a password link: sets the hash, spends the link, signs out every browser of theirs and ends their tokens; all or
    /// nothing.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where the link is spent.
    pub async fn use_password_link(&self, id: LinkId, hash: &str, now: OffsetDateTime) -> Result<PersonId, StoreError> {
        let mut tx = self.begin().await?;
        let person: PersonId = sqlx::query_scalar(
            "update links set used_at = $2 where id = $1 and purpose = 'password'
             and used_at is null and withdrawn_at is null and expires_at > $2 returning person_id",
        )
        .bind(id)
        .bind(millis(now))
        .fetch_one(&mut *tx)
        .await?;
        sqlx::query("update people set password_hash = $2 where id = $1").bind(person).bind(hash).execute(&mut *tx).await?;
        sqlx::query("delete from sign_ins where person_id = $1").bind(person).execute(&mut *tx).await?;
        sqlx::query("delete from tokens where person_id = $1").bind(person).execute(&mut *tx).await?;
        tx.commit().await?;
        Ok(person)
    }
}
