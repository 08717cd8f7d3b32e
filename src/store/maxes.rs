//! Known maxes, and what tailoring needs of a member.

use super::ids::{MaxId, PersonId};
use super::people::Person;
use super::{Store, StoreError, millis};
use crate::training::calendar;
use crate::training::member::Profile;
use sqlx::Row;
use std::collections::BTreeMap;
use time::{Date, OffsetDateTime};

/// How a max is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MaxSource {
    /// lifted once, on that day
    Tested,
    /// from a set of several reps
    Estimated,
}

/// A known max of a lift.
#[derive(Clone, Debug, PartialEq)]
pub struct KnownMax {
    /// row
    pub id: MaxId,
    /// canonical name in the library
    pub movement: String,
    /// above 0
    pub kg: f64,
    /// how it is known
    pub source: MaxSource,
    /// the day it was lifted
    pub day: Date,
}

fn known_max(row: &sqlx::sqlite::SqliteRow) -> Result<KnownMax, StoreError> {
    let (source, day): (String, String) = (row.try_get("source")?, row.try_get("day")?);
    Ok(KnownMax {
        id: row.try_get("id")?,
        movement: row.try_get("movement")?,
        kg: row.try_get("kg")?,
        source: if source == "estimated" { MaxSource::Estimated } else { MaxSource::Tested },
        day: super::weeks::day(&day)?,
    })
}

impl Store {
    /// Everything known of a person's maxes: lifts by name, the newest first within each.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn maxes_of(&self, owner: PersonId) -> Result<Vec<KnownMax>, StoreError> {
        let rows = sqlx::query(
            "select id, movement, kg, source, day from maxes where person_id = $1 order by movement, day desc, id desc",
        )
        .bind(owner)
        .fetch_all(&self.read)
        .await?;
        rows.iter().map(known_max).collect()
    }

    /// Keeps a max; the same one told twice is kept once.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn add_max(
        &self,
        owner: PersonId,
        movement: &str,
        kg: f64,
        (source, day): (MaxSource, Date),
        now: OffsetDateTime,
    ) -> Result<(), StoreError> {
        let source = if source == MaxSource::Estimated { "estimated" } else { "tested" };
        sqlx::query(
            "insert into maxes (person_id, movement, kg, source, day, created_at)
             select $1, $2, $3, $4, $5, $6 where not exists
               (select 1 from maxes where person_id = $1 and movement = $2 and kg = $3 and source = $4 and day = $5)",
        )
        .bind(owner)
        .bind(movement)
        .bind(kg)
        .bind(source)
        .bind(calendar::iso(day))
        .bind(millis(now))
        .execute(&self.write)
        .await?;
        Ok(())
    }

    /// Takes a max back.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where this person has no such max.
    pub async fn remove_max(&self, owner: PersonId, id: MaxId) -> Result<(), StoreError> {
        let gone =
            sqlx::query("delete from maxes where id = $1 and person_id = $2").bind(id).bind(owner).execute(&self.write).await?;
        if gone.rows_affected() == 0 { Err(StoreError::NotFound) } else { Ok(()) }
    }

    /// A person's known maxes: canonical name of the lift to kilograms; the newest counts.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn known_maxes(&self, owner: PersonId) -> Result<BTreeMap<String, f64>, StoreError> {
        let rows: Vec<(String, f64)> = sqlx::query_as("select movement, kg from maxes where person_id = $1 order by day, id")
            .bind(owner)
            .fetch_all(&self.read)
            .await?;
        Ok(rows.into_iter().collect())
    }

    /// A member as tailoring sees them: kit, limits, level, known maxes, their own note, and what they told
    /// since that no coach has answered.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn profile(&self, person: &Person) -> Result<Profile, StoreError> {
        // the newest comes first within a lift, so that turned around the newest of each lift counts
        let maxes = self.maxes_of(person.id).await?;
        let newest = || maxes.iter().rev();
        let known_maxes_kg = newest().map(|m| (m.movement.clone(), m.kg)).collect();
        let max_days = newest().map(|m| (m.movement.clone(), calendar::iso(m.day))).collect();
        let note = self.private_note(person.id).await?;
        let pinned = self.is_pinned(person.id).await?.then_some(person.id.0);
        let mut profile = Profile { known_maxes_kg, max_days, note, pinned, ..person.profile() };
        for decision in self.standing_decisions(person.id).await?.0 {
            decision.put_into(&mut profile);
        }
        self.open_reports(person.id).await?.into_iter().for_each(|words| profile.hold_for(words));
        Ok(profile)
    }
}
