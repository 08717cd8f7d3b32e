//! Coaches and members.

use super::coaches::end_ways_in;
use super::ids::{GroupId, PersonId};
use super::{Store, StoreError, instant, millis};
use crate::store::writer::Pen;
use crate::training::calendar::Zone;
use crate::training::member::{KitItem, Level, Profile};
use crate::training::movement::Demand;
use sqlx::FromRow;
use time::OffsetDateTime;

/// What someone may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, sqlx::Type)]
#[sqlx(rename_all = "lowercase")]
pub enum Role {
    /// writes, publishes, answers
    Coach,
    /// trains
    Member,
}

/// The units a person reads.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, sqlx::Type, serde::Serialize, serde::Deserialize)]
#[sqlx(rename_all = "lowercase")]
#[serde(rename_all = "lowercase")]
pub enum Units {
    /// kilograms
    #[default]
    Kg,
    /// pounds
    Lb,
}

/// A coach or a member. Health notes are not part of it; see [`Store::private_note`].
#[derive(Clone, Debug)]
pub struct Person {
    /// row
    pub id: PersonId,
    /// what they may do
    pub role: Role,
    /// a coach who sees and answers, and changes nothing else
    pub assistant: bool,
    /// how many passkeys they have
    pub passkeys: u32,
    /// a password alone is not enough for them
    pub passkey_asked: bool,
    /// what they type to sign in
    pub sign_in: String,
    /// name
    pub name: String,
    /// shown on leaderboards instead of the name
    pub nickname: Option<String>,
    /// their time zone
    pub zone: Zone,
    /// kg or lb
    pub units: Units,
    /// how much skill a line may ask
    pub level: Level,
    /// 1 the heavier, 2 the lighter
    pub load_column: u8,
    /// what is at home
    pub kit: Vec<KitItem>,
    /// when they last said so
    pub kit_checked_at: Option<OffsetDateTime>,
    /// demands kept out
    pub avoid: Vec<Demand>,
    /// on leaderboards
    pub shown: bool,
    /// which cautions they accepted
    pub cautions_version: Option<i64>,
    /// when
    pub cautions_at: Option<OffsetDateTime>,
    /// when the account was made
    pub created_at: OffsetDateTime,
    /// when they left
    pub left_at: Option<OffsetDateTime>,
}

impl Person {
    /// A password alone does not sign them in.
    #[must_use]
    pub fn needs_passkey(&self) -> bool {
        self.passkey_asked && self.passkeys > 0
    }

    /// What tailoring needs, without maxes.
    #[must_use]
    pub fn profile(&self) -> Profile {
        Profile {
            kit: self.kit.clone(),
            avoid: self.avoid.clone(),
            level: self.level,
            column: Some(self.load_column),
            ..Profile::default()
        }
    }
}

#[derive(FromRow)]
pub(super) struct PersonRow {
    id: PersonId,
    role: Role,
    assistant: bool,
    passkeys: u32,
    passkey_asked: bool,
    sign_in: String,
    name: String,
    nickname: Option<String>,
    zone: String,
    units: Units,
    level: String,
    load_column: u8,
    kit: String,
    kit_checked_at: Option<i64>,
    avoid: String,
    shown: bool,
    cautions_version: Option<i64>,
    cautions_at: Option<i64>,
    created_at: i64,
    left_at: Option<i64>,
}

impl PersonRow {
    pub(super) fn person(self) -> Result<Person, StoreError> {
        Ok(Person {
            id: self.id,
            role: self.role,
            assistant: self.assistant,
            passkeys: self.passkeys,
            passkey_asked: self.passkey_asked,
            sign_in: self.sign_in,
            name: self.name,
            nickname: self.nickname,
            zone: Zone::named(&self.zone).unwrap_or_default(),
            units: self.units,
            level: match self.level.as_str() {
                "advanced" => Level::Advanced,
                "intermediate" => Level::Intermediate,
                _ => Level::Beginner,
            },
            load_column: self.load_column,
            kit: serde_json::from_str(&self.kit)?,
            kit_checked_at: self.kit_checked_at.map(instant),
            avoid: serde_json::from_str(&self.avoid)?,
            shown: self.shown,
            cautions_version: self.cautions_version,
            cautions_at: self.cautions_at.map(instant),
            created_at: instant(self.created_at),
            left_at: self.left_at.map(instant),
        })
    }
}

/// Who is made when a one-time link is used, or from the command line.
#[derive(Clone, Debug)]
pub struct NewPerson {
    /// coach or member
    pub role: Role,
    /// what they will type to sign in
    pub sign_in: String,
    /// name
    pub name: String,
    /// PHC string, or null until a link is used
    pub password_hash: Option<String>,
    /// their time zone
    pub zone: Zone,
    /// kg or lb
    pub units: Units,
}

pub(super) async fn insert_person(tx: &mut Pen, new: &NewPerson, now: OffsetDateTime) -> Result<PersonId, StoreError> {
    // never the number of somebody who was deleted: what is sealed for a number on a device would open for another
    sqlx::query_scalar(
        "insert into people (id, role, sign_in, name, password_hash, zone, units, created_at)
         select 1 + max(coalesce((select max(id) from people), 0),
         coalesce((select cast(value as integer) from settings where key = 'last_person'), 0)), $1, $2, $3, $4, $5, $6, $7
         returning id",
    )
    .bind(new.role)
    .bind(new.sign_in.trim())
    .bind(new.name.trim())
    .bind(&new.password_hash)
    .bind(new.zone.name())
    .bind(new.units)
    .bind(millis(now))
    .fetch_one(tx)
    .await
    .map_err(|e| StoreError::taken(e, "people.sign_in", "sign_in"))
}

impl Store {
    /// Makes a person.
    ///
    /// # Errors
    /// [`StoreError::Taken`] where somebody signs in with that name already.
    pub async fn add_person(&self, new: &NewPerson, now: OffsetDateTime) -> Result<PersonId, StoreError> {
        let mut tx = self.begin().await?;
        let id = insert_person(&mut tx, new, now).await?;
        tx.commit().await?;
        Ok(id)
    }

    /// A person.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn person(&self, id: PersonId) -> Result<Person, StoreError> {
        sqlx::query_as::<_, PersonRow>("select * from people where id = $1").bind(id).fetch_one(&self.read).await?.person()
    }

    /// Who signs in with this, and their password hash; nobody who left.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn credentials(&self, sign_in: &str) -> Result<Option<(PersonId, Option<String>)>, StoreError> {
        let row: Option<(PersonId, Option<String>)> =
            sqlx::query_as("select id, password_hash from people where sign_in = $1 and left_at is null")
                .bind(sign_in.trim())
                .fetch_optional(&self.read)
                .await?;
        Ok(row)
    }

    /// Members of a group by name, without those who left.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn members_of(&self, group: GroupId) -> Result<Vec<Person>, StoreError> {
        sqlx::query_as::<_, PersonRow>(
            "select people.* from memberships join people on people.id = memberships.person_id
             where memberships.group_id = $1 and people.left_at is null and people.role = 'member' order by people.name",
        )
        .bind(group)
        .fetch_all(&self.read)
        .await?
        .into_iter()
        .map(PersonRow::person)
        .collect()
    }

    /// Words a member wrote to the coach about health or limits.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn private_note(&self, id: PersonId) -> Result<Option<String>, StoreError> {
        Ok(sqlx::query_scalar("select note from people where id = $1").bind(id).fetch_one(&self.read).await?)
    }

    /// Somebody else is called this, by name or nickname: on a board the two could not be told apart.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn is_called(&self, other_than: PersonId, name: &str) -> Result<bool, StoreError> {
        Ok(sqlx::query_scalar(
            "select exists (select 1 from people where id <> $1 and left_at is null
             and (lower(name) = lower($2) or lower(nickname) = lower($2)))",
        )
        .bind(other_than)
        .bind(name)
        .fetch_one(&self.read)
        .await?)
    }

    /// Saves name, units and the like.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn save_person(&self, p: &Person) -> Result<(), StoreError> {
        sqlx::query(
            "update people set name = $2, nickname = $3, zone = $4, units = $5, load_column = $6, shown = $7 where id = $1",
        )
        .bind(p.id)
        .bind(p.name.trim())
        .bind(p.nickname.as_deref().map(str::trim).filter(|n| !n.is_empty()))
        .bind(p.zone.name())
        .bind(p.units)
        .bind(p.load_column)
        .bind(p.shown)
        .execute(&self.write)
        .await?;
        Ok(())
    }

    /// Saves how much skill a line may ask of them: what they say of themselves, or the coach's choice.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn save_level(&self, id: PersonId, level: Level) -> Result<(), StoreError> {
        sqlx::query("update people set level = $2 where id = $1").bind(id).bind(level.key()).execute(&self.write).await?;
        Ok(())
    }

    /// A member left: every way in ends for good but the password, should they come back; their results stay theirs.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn end_membership(&self, id: PersonId, now: OffsetDateTime) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        sqlx::query("update people set left_at = $2 where id = $1 and role = 'member' and left_at is null")
            .bind(id)
            .bind(millis(now))
            .execute(&mut *tx)
            .await?;
        end_ways_in(&mut tx, id, now).await?;
        tx.commit().await?;
        Ok(())
    }

    /// A member who left is back: they sign in with their password and are in the groups they were in.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn resume_membership(&self, id: PersonId) -> Result<(), StoreError> {
        sqlx::query("update people set left_at = null where id = $1 and role = 'member'").bind(id).execute(&self.write).await?;
        Ok(())
    }

    /// Members who left, by name.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn members_who_left(&self) -> Result<Vec<Person>, StoreError> {
        sqlx::query_as::<_, PersonRow>("select * from people where role = 'member' and left_at is not null order by name")
            .fetch_all(&self.read)
            .await?
            .into_iter()
            .map(PersonRow::person)
            .collect()
    }

    /// Members in no group who have not left, by name.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn members_without_group(&self) -> Result<Vec<Person>, StoreError> {
        sqlx::query_as::<_, PersonRow>(
            "select * from people where role = 'member' and left_at is null
             and id not in (select person_id from memberships) order by name",
        )
        .fetch_all(&self.read)
        .await?
        .into_iter()
        .map(PersonRow::person)
        .collect()
    }

    /// Saves what is at home, and that it is true as of now.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn save_kit(&self, id: PersonId, kit: &[KitItem], now: OffsetDateTime) -> Result<(), StoreError> {
        sqlx::query("update people set kit = $2, kit_checked_at = $3 where id = $1")
            .bind(id)
            .bind(serde_json::to_string(kit)?)
            .bind(millis(now))
            .execute(&self.write)
            .await?;
        Ok(())
    }

    /// Saves what is at home together with everything that is kept out, and that the kit is true as of now.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn save_home(
        &self,
        id: PersonId,
        kit: &[KitItem],
        avoid: &[Demand],
        column: Option<u8>,
        now: OffsetDateTime,
    ) -> Result<(), StoreError> {
        let sql =
            "update people set kit = $2, avoid = $3, kit_checked_at = $4, load_column = coalesce($5, load_column) where id = $1";
        sqlx::query(sql)
            .bind(id)
            .bind(serde_json::to_string(kit)?)
            .bind(serde_json::to_string(avoid)?)
            .bind(millis(now))
            .bind(column)
            .execute(&self.write)
            .await?;
        Ok(())
    }

    /// Saves what to keep out, and the words that go with it.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn save_limits(&self, id: PersonId, avoid: &[Demand], note: Option<&str>) -> Result<(), StoreError> {
        sqlx::query("update people set avoid = $2, note = $3 where id = $1")
            .bind(id)
            .bind(serde_json::to_string(avoid)?)
            .bind(note.map(str::trim).filter(|n| !n.is_empty()))
            .execute(&self.write)
            .await?;
        Ok(())
    }

    /// Keeps that the cautions of this version were accepted, and when.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn accept_cautions(&self, id: PersonId, version: i64, now: OffsetDateTime) -> Result<(), StoreError> {
        sqlx::query("update people set cautions_version = $2, cautions_at = $3 where id = $1")
            .bind(id)
            .bind(version)
            .bind(millis(now))
            .execute(&self.write)
            .await?;
        Ok(())
    }
}
