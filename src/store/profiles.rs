//! A group's members as tailoring sees them, in a few questions however many they are.

use super::ids::{GroupId, PersonId};
use super::questions::holding_words;
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
        for (id, words) in self.open_reports_in(group).await? {
            if let Some(home) = places.get(&id).and_then(|p| homes.get_mut(*p)) {
                home.profile.hold_for(words);
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

    /// What one member told about themself that holds something back: where something hurt, and what they asked, until a coach has
    /// answered, or for longer where the coach says so.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn open_reports(&self, member: PersonId) -> Result<Vec<String>, StoreError> {
        let rows: Vec<Report> = sqlx::query_as(sqlx::AssertSqlSafe(format!("{REPORTS} and q.person_id = $1")))
            .bind(member)
            .fetch_all(&self.read)
            .await?;
        Ok(rows.into_iter().filter_map(Report::words).collect())
    }

    /// The same of everybody in a group.
    async fn open_reports_in(&self, group: GroupId) -> Result<Vec<(PersonId, String)>, StoreError> {
        let of_group = format!("{REPORTS} and q.person_id in (select person_id from memberships where group_id = $1)");
        let rows: Vec<Report> = sqlx::query_as(sqlx::AssertSqlSafe(of_group)).bind(group).fetch_all(&self.read).await?;
        Ok(rows.into_iter().filter_map(|row| Some((row.person_id, row.words()?))).collect())
    }
}

/// What waits for an answer, or was answered and stays out.
const REPORTS: &str = "select q.person_id, q.kind = 'pain' as pain, q.result_id is not null as of_result, q.text
    from questions q where (q.answered_at is null or q.stays_out = 1)";

#[derive(sqlx::FromRow)]
struct Report {
    person_id: PersonId,
    pain: bool,
    of_result: bool,
    text: String,
}

impl Report {
    fn words(self) -> Option<String> {
        holding_words(self.pain, self.of_result, &self.text)
    }
}
