//! Groups: members who follow the same week.

use super::ids::{GroupId, PersonId};
use super::{Store, StoreError, millis};
use sqlx::FromRow;
use std::collections::HashSet;
use time::OffsetDateTime;

/// A group.
#[derive(Clone, Debug, FromRow)]
pub struct Group {
    /// row
    pub id: GroupId,
    /// name
    pub name: String,
    /// one line about it
    pub about: String,
    /// members who have not left
    pub members: i64,
}

const GROUP: &str = "select id, name, about,
    (select count(*) from memberships m join people p on p.id = m.person_id
     where m.group_id = groups.id and p.left_at is null and p.role = 'member') as members from groups";

impl Store {
    /// Every group, by name.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn groups(&self) -> Result<Vec<Group>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!("{GROUP} order by name"));
        Ok(sqlx::query_as(sql).fetch_all(&self.read).await?)
    }

    /// One group.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn group(&self, id: GroupId) -> Result<Group, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!("{GROUP} where id = $1"));
        Ok(sqlx::query_as(sql).bind(id).fetch_one(&self.read).await?)
    }

    /// Groups of a member, by name.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn groups_of(&self, person: PersonId) -> Result<Vec<Group>, StoreError> {
        let sql = sqlx::AssertSqlSafe(format!(
            "{GROUP} where id in (select group_id from memberships where person_id = $1) order by name"
        ));
        Ok(sqlx::query_as(sql).bind(person).fetch_all(&self.read).await?)
    }

    /// Which groups a person is in.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn group_ids_of(&self, person: PersonId) -> Result<HashSet<GroupId>, StoreError> {
        let sql = "select group_id from memberships where person_id = $1";
        let ids: Vec<GroupId> = sqlx::query_scalar(sql).bind(person).fetch_all(&self.read).await?;
        Ok(ids.into_iter().collect())
    }

    /// Makes a group.
    ///
    /// # Errors
    /// [`StoreError::Taken`] where a group has that name.
    pub async fn add_group(&self, name: &str, about: &str, now: OffsetDateTime) -> Result<GroupId, StoreError> {
        sqlx::query_scalar("insert into groups (name, about, created_at) values ($1, $2, $3) returning id")
            .bind(name.trim())
            .bind(about.trim())
            .bind(millis(now))
            .fetch_one(&self.write)
            .await
            .map_err(|e| StoreError::taken(e, "groups.name", "name"))
    }

    /// Changes a group's name and line.
    ///
    /// # Errors
    /// [`StoreError::Taken`] where another group has that name.
    pub async fn save_group(&self, id: GroupId, name: &str, about: &str) -> Result<(), StoreError> {
        sqlx::query("update groups set name = $2, about = $3 where id = $1")
            .bind(id)
            .bind(name.trim())
            .bind(about.trim())
            .execute(&self.write)
            .await
            .map_err(|e| StoreError::taken(e, "groups.name", "name"))?;
        Ok(())
    }

    /// Puts a member into a group; twice is once.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn join_group(&self, group: GroupId, person: PersonId, now: OffsetDateTime) -> Result<(), StoreError> {
        sqlx::query("insert into memberships (group_id, person_id, joined_at) values ($1, $2, $3) on conflict do nothing")
            .bind(group)
            .bind(person)
            .bind(millis(now))
            .execute(&self.write)
            .await?;
        Ok(())
    }

    /// Takes a member out of a group; their results stay theirs.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn leave_group(&self, group: GroupId, person: PersonId) -> Result<(), StoreError> {
        sqlx::query("delete from memberships where group_id = $1 and person_id = $2")
            .bind(group)
            .bind(person)
            .execute(&self.write)
            .await?;
        Ok(())
    }
}
