//! An invented practice for looking around in: islands, ferry crews, lighthouse keepers and their families.
//!
//! [`practice`] makes it from a seed and a date, as plain data: six weeks of sessions that end at that date, a
//! draft of the week after, members with their kit, results and questions. The same seed and date give the same
//! practice, to the second. Nobody in it is real, and every address is at `example.org`.
//!
//! What people read is kept as text to be edited: `data/demo/` holds the write-ups, the members and the questions.

mod at_home;
mod dice;
mod guess;
mod notes;
mod people;
mod questions;
mod results;
mod shelf;
mod slips;
mod typed;
mod when;

use crate::training::member::Profile;
use crate::training::movement::Library;
use crate::training::writeup;
use time::{Date, OffsetDateTime};

/// Everything in the demo. Indices (`usize`) point into the lists of the same struct.
#[derive(Clone, Debug, PartialEq)]
pub struct Practice {
    /// What the practice is called.
    pub name: String,
    /// The one who writes and answers.
    pub coach: Coach,
    /// Groups, in order of age.
    pub groups: Vec<Group>,
    /// Members, in no order that means anything.
    pub members: Vec<Member>,
    /// Sessions by date, and by group within a date.
    pub sessions: Vec<Session>,
    /// What members logged, by time.
    pub results: Vec<Logged>,
    /// What members asked, by time.
    pub questions: Vec<Question>,
}

/// The coach.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Coach {
    /// As members see it.
    pub name: String,
    /// At `example.org`.
    pub email: String,
    /// IANA name of the time zone.
    pub zone: String,
}

/// Members who follow the same week.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// Short.
    pub name: String,
    /// One line: for whom, and what it takes.
    pub about: String,
}

/// Which unit of mass a member reads and types.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// kilograms
    Kg,
    /// pounds
    Lb,
}

/// Someone who trains at home.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// Full name, for the coach.
    pub name: String,
    /// What the board shows, where it is not the name.
    pub nickname: Option<String>,
    /// At `example.org`; nobody else has it.
    pub email: String,
    /// IANA name of the time zone.
    pub zone: String,
    /// What they read and type.
    pub unit: Unit,
    /// A line about them, for the coach.
    pub about: String,
    /// Kit, limits, level, maxes and load column; no note.
    pub profile: Profile,
    /// The maxes of the profile, with where they come from.
    pub maxes: Vec<KnownMax>,
    /// Indices of their groups.
    pub groups: Vec<usize>,
    /// First day.
    pub joined: Date,
    /// Results are shown on the board.
    pub shown: bool,
}

/// The most someone can lift once.
#[derive(Clone, Debug, PartialEq)]
pub struct KnownMax {
    /// Canonical name of the movement.
    pub lift: String,
    /// Kilograms.
    pub kg: f64,
    /// The day it was set.
    pub on: Date,
    /// Tested with one rep; otherwise estimated from more.
    pub tested: bool,
}

/// One day's write-up for a group.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Session {
    /// Index of the group.
    pub group: usize,
    /// The local day of each member.
    pub date: Date,
    /// Next week is still a draft.
    pub published: bool,
    /// The write-up, as the coach typed it.
    pub text: String,
    /// Address of the talk-through, where there is one.
    pub video: Option<String>,
}

/// Which version of a part someone did.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Version {
    /// As written.
    Full,
    /// The coach's lighter option, or a lighter load.
    Lighter,
    /// The coach's shorter option.
    Shorter,
    /// Made to fit the member's kit and limits.
    Adapted,
}

/// What a member logged for one part.
#[derive(Clone, Debug, PartialEq)]
pub struct Logged {
    /// Index of the member.
    pub member: usize,
    /// Index of the session.
    pub session: usize,
    /// Index of the part in the session, as [`crate::training`] reads it from the write-up.
    pub part: usize,
    /// As typed: `7:42`, `12+5`, `62,5 kg`.
    pub text: String,
    /// What was done.
    pub version: Version,
    /// Load used, kilograms for one implement, where there was one.
    pub load_kg: Option<f64>,
    /// Minutes this part took.
    pub minutes: u32,
    /// How hard it was, 0-10.
    pub rpe: u8,
    /// Words beside it, often none.
    pub note: String,
    /// Where something hurt.
    pub hurt: Option<String>,
    /// When it was logged, at the clock of where they live.
    pub at: OffsetDateTime,
}

/// A question about a day, or about one line of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// Index of the member.
    pub member: usize,
    /// Index of the session.
    pub session: usize,
    /// Line of the write-up, from 1; none where it is about the day.
    pub line: Option<usize>,
    /// As asked.
    pub text: String,
    /// When, at the clock of where they live.
    pub asked: OffsetDateTime,
    /// The coach's answer, if there is one.
    pub answer: Option<Answer>,
}

/// The coach's answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// As written.
    pub text: String,
    /// When.
    pub at: OffsetDateTime,
}

/// The demo practice as it stands on `today`, made from `seed`.
#[must_use]
pub fn practice(seed: u64, today: Date) -> Practice {
    let set_up = people::set_up();
    let (coach, sessions) = (set_up.coach.coach(), shelf::sessions(&set_up, today));
    let people = people::people(&set_up, today);
    let now = when::instant(&coach.zone, today, when::MORNING_ENDS);
    let results = log(seed, &sessions, &people, (today, now));
    let members: Vec<Member> = people.into_iter().map(|p| p.member).collect();
    let groups: Vec<&str> = set_up.groups.iter().map(|g| g.key.as_str()).collect();
    Practice {
        questions: questions::questions(&groups, &members, &sessions, (today, now)),
        results,
        sessions,
        members,
        groups: set_up.groups.iter().map(people::SetUpGroup::group).collect(),
        name: set_up.name,
        coach,
    }
}

fn log(seed: u64, sessions: &[Session], people: &[people::Person], (today, now): (Date, OffsetDateTime)) -> Vec<Logged> {
    let library = Library::shipped();
    let read: Vec<_> = sessions.iter().map(|s| writeup::read(&s.text, library)).collect();
    let dice = dice::Dice::new(seed);
    let mut drafts = results::results(&results::Program { sessions, read: &read, library, today, now }, people, &dice);
    slips::spoil(&mut drafts, &mut dice.split(&[0x511b]));
    drafts.into_iter().map(|d| d.logged).collect()
}

#[cfg(test)]
mod tests;
