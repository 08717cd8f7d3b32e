//! A group's members as tailoring sees them, in a few questions however many they are.

use super::ids::{GroupId, PersonId};
use super::{Store, StoreError};
use crate::training::member::Profile;
use std::collections::HashMap;

/// A member and what tailoring needs to know of them.
#[derive(Clone, Debug)]
pub struct Home {
    /// row
    pub id: PersonId,
    /// as the coach knows them
    pub name: String,
    /// kit, limits, level, known maxes and their own note
    pub profile: Profile,
}

impl Store {
    /// Members of a group by name, without those who left, each as tailoring sees them.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn profiles_of(&self, group: GroupId) -> Result<Vec<Home>, StoreError> {
        let people = self.members_of(group).await?;
        let notes: Vec<(PersonId, String)> = sqlx::query_as(
            "select p.id, p.note from memberships m join people p on p.id = m.person_id
             where m.group_id = $1 and p.note is not null",
        )
        .bind(group)
        .fetch_all(&self.read)
        .await?;
        let lifts: Vec<(PersonId, String, f64, String)> = sqlx::query_as(
            "select x.person_id, x.movement, x.kg, x.day from memberships m join maxes x on x.person_id = m.person_id
             where m.group_id = $1 order by x.day, x.id",
        )
        .bind(group)
        .fetch_all(&self.read)
        .await?;
        let mut notes: HashMap<PersonId, String> = notes.into_iter().collect();
        let mut homes: Vec<Home> = Vec::with_capacity(people.len());
        let mut places = HashMap::with_capacity(people.len());
        for person in people {
            places.insert(person.id, homes.len());
            let profile = Profile { note: notes.remove(&person.id), ..person.profile() };
            homes.push(Home { id: person.id, name: person.name, profile });
        }
        // the newest max counts: it comes last
        for (id, movement, kg, day) in lifts {
            if let Some(home) = places.get(&id).and_then(|p| homes.get_mut(*p)) {
                home.profile.max_days.insert(movement.clone(), day);
                home.profile.known_maxes_kg.insert(movement, kg);
            }
        }
        for (id, decision) in self.decisions_in(group).await? {
            if let Some(home) = places.get(&id).and_then(|p| homes.get_mut(*p)) {
                decision.put_into(&mut home.profile);
            }
        }
        let pinned: Vec<PersonId> = sqlx::query_scalar(
            "select distinct p.person_id from memberships m join pins p on p.person_id = m.person_id where m.group_id = $1",
        )
        .bind(group)
        .fetch_all(&self.read)
        .await?;
        for id in pinned {
            if let Some(home) = places.get(&id).and_then(|p| homes.get_mut(*p)) {
                home.profile.pinned = Some(id.0);
            }
        }
        Ok(homes)
    }
}
