//! The coach's pages: groups and people, the week, the write-up, publishing.

pub mod groups;
pub mod invitations;
pub mod people;

use crate::store::ids::GroupId;
use crate::store::people::{Person, Role};
use crate::training::calendar;
use crate::web::App;
use crate::web::error::Error;
use serde::Deserialize;
use time::{Date, OffsetDateTime};

/// What was just done, from the address after a redirect.
#[derive(Deserialize)]
pub struct Said {
    /// a code of [`crate::web::frame`]
    pub said: Option<String>,
}

/// A member as a coach may see them; a coach is nobody's member.
async fn member(app: &App, id: crate::store::ids::PersonId) -> Result<Person, Error> {
    let person = app.store.person(id).await?;
    if person.role == Role::Member { Ok(person) } else { Err(Error::NotFound) }
}

/// `25 November 2026, 12:00` where the reader lives.
fn moment(reader: &Person, at: OffsetDateTime) -> String {
    let local = reader.zone.local(at);
    format!("{} {} {}, {:02}:{:02}", local.day(), local.month(), local.year(), local.hour(), local.minute())
}

/// Where a group's week is.
fn week_address(group: GroupId, monday: Date) -> String {
    format!("/groups/{group}/weeks/{}", calendar::iso(monday))
}

/// The week that it is now where the coach lives.
fn this_monday(coach: &Person, now: OffsetDateTime) -> Date {
    calendar::monday(coach.zone.day(now))
}
