//! The coach's pages: groups and people, the week, the write-up, publishing.

pub mod another;
pub mod coaches;
pub mod copy;
pub mod coverage;
pub mod decision;
pub mod editor;
pub mod fitting;
pub mod groups;
pub mod how_to;
pub mod invitations;
pub mod people;
pub mod pin;
mod place;
pub mod preview;
pub mod publish;
mod reading;
pub mod run_sheet;
pub mod tidy;
pub mod unpublish;
pub mod video;
pub mod week;
mod work;

use crate::store::ids::GroupId;
use crate::store::people::{Person, Role};
use crate::training::calendar;
use crate::web::App;
use crate::web::error::Error;
use time::{Date, Duration, OffsetDateTime};

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

/// The Monday in an address; any other day of a week is no address of ours.
fn read_monday(text: &str) -> Result<Date, Error> {
    calendar::read_iso(text).filter(|day| calendar::monday(*day) == *day).ok_or(Error::NotFound)
}

/// `23 to 29 November 2026`, `30 November to 6 December 2026`.
fn week_words(monday: Date) -> String {
    let sunday = monday + Duration::days(6);
    let first =
        if monday.month() == sunday.month() { monday.day().to_string() } else { format!("{} {}", monday.day(), monday.month()) };
    let year = if monday.year() == sunday.year() { String::new() } else { format!(" {}", monday.year()) };
    format!("{first}{year} to {} {} {}", sunday.day(), sunday.month(), sunday.year())
}

/// `1 member`, `3 members`.
fn count(n: i64, one: &str, more: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { more })
}
