//! Known maxes, and what tailoring needs of a member.

use super::ids::PersonId;
use super::people::Person;
use super::{Store, StoreError};
use crate::training::member::Profile;
use std::collections::BTreeMap;

impl Store {
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

    /// A member as tailoring sees them: kit, limits, level, known maxes and their own note.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn profile(&self, person: &Person) -> Result<Profile, StoreError> {
        let known_maxes_kg = self.known_maxes(person.id).await?;
        let note = self.private_note(person.id).await?;
        Ok(Profile { known_maxes_kg, note, ..person.profile() })
    }
}
