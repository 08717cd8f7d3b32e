//! Questions: asked by members, answered by the coach.

pub mod answer;
pub mod ask;
pub(in crate::web) mod at_lines;

use crate::store::people::{Person, Role};
use crate::store::questions::{About, Question};
use crate::training::calendar;
use crate::training::session::Session;
use crate::training::tailor::Waits;
use crate::training::wording;
use time::OffsetDateTime;

/// Longest question or answer, in characters.
const LONGEST: usize = 4000;

/// A question as it stands on a page; see `templates/questions/`.
#[derive(Clone, Debug)]
pub struct Asked {
    /// row
    pub id: i64,
    /// who asked: a name, `You`, or for others `Somebody in the group`
    pub who: String,
    /// page of the person, for the coach
    pub person: Option<String>,
    /// the reader asked it
    pub mine: bool,
    /// what hurt, not a question
    pub pain: bool,
    /// `Wed 25 Nov, A. Squat: goblet squat`
    pub about: Option<String>,
    /// page of that session
    pub session: Option<String>,
    /// as typed
    pub text: String,
    /// when, in the reader's zone
    pub when: String,
    /// for how long it has waited, or waited
    pub age: String,
    /// what the coach said
    pub answer: Option<String>,
    /// who said it and when
    pub answered: String,
    /// others with the same line may read it
    pub shared: bool,
    /// what stays out because of it: `whatever touches the knee`
    pub holds: Option<String>,
    /// what an answer may let back in, also where it was let in already
    pub out: Option<String>,
    /// this reader may answer it
    pub may_answer: bool,
}

impl Asked {
    /// Puts a question into words for this reader.
    #[must_use]
    pub fn new(question: Question, reader: &Person, now: OffsetDateTime) -> Self {
        let coach = reader.role == Role::Coach;
        let mine = question.person_id == reader.id;
        let may_answer = may_answer(reader, &question);
        let holds = question.holds().map(Waits::words);
        let who = match (mine, coach) {
            (true, _) => "You".to_owned(),
            (_, true) => question.name,
            // who asked is nobody else's business
            _ => "Somebody in the group".to_owned(),
        };
        let answered = question.answer.as_ref().map(|a| {
            let by = a.by.clone().unwrap_or_else(|| "The coach".to_owned());
            format!("{by}, {}", when(reader, a.at, now))
        });
        Self {
            may_answer,
            holds,
            out: (!question.waits.is_empty()).then(|| question.waits.words()),
            id: question.id.0,
            who,
            person: coach.then(|| format!("/people/{}", question.person_id)),
            mine,
            pain: question.pain,
            about: question.about.as_ref().map(about),
            session: question.about.as_ref().map(|a| page_of(a, coach)),
            text: question.text,
            when: when(reader, question.asked_at, now),
            age: age(question.asked_at, now),
            answer: question.answer.map(|a| a.text),
            answered: answered.unwrap_or_default(),
            shared: question.shared,
        }
    }
}

/// What words hold back is a coach's to let back in, and so is what was said of it.
fn may_answer(reader: &Person, question: &Question) -> bool {
    reader.role == Role::Coach && (question.waits.is_empty() || !reader.assistant)
}

/// Where the session stands: the coach's editor or the member's day.
fn page_of(about: &About, coach: bool) -> String {
    let day = calendar::iso(about.day);
    if coach { format!("/groups/{}/days/{day}/{}", about.group_id, about.slot) } else { format!("/days/{day}") }
}

fn about(about: &About) -> String {
    let place = place(&about.session, about.part, about.line);
    let day = calendar::short(about.day);
    if place.is_empty() { format!("{day}, {}", about.session.title) } else { format!("{day}, {place}") }
}

/// A place in a session: `A. Squat: goblet squat`; empty where it is the whole of it.
#[must_use]
pub fn place(session: &Session, part: Option<usize>, line: Option<usize>) -> String {
    let Some(part) = part.and_then(|i| session.parts.get(i)) else { return String::new() };
    let name = wording::part(part);
    match line.and_then(|i| part.lines.get(i)) {
        Some(line) if !line.complex.is_empty() => {
            let pieces: Vec<&str> = line.complex.iter().map(|p| p.movement.as_str()).collect();
            format!("{name}: {}", pieces.join(" + "))
        }
        Some(line) => format!("{name}: {}", line.movement),
        None => name,
    }
}

/// `today 14:05`, `yesterday 21:30`, `Wed 25 Nov 14:05`; in the reader's zone.
#[must_use]
pub fn when(reader: &Person, at: OffsetDateTime, now: OffsetDateTime) -> String {
    let local = reader.zone.local(at);
    let clock = format!("{:02}:{:02}", local.hour(), local.minute());
    match (reader.zone.day(now) - local.date()).whole_days() {
        0 => format!("today {clock}"),
        1 => format!("yesterday {clock}"),
        _ => format!("{} {clock}", calendar::short(local.date())),
    }
}

/// `20 minutes`, `3 hours`, `2 days`.
#[must_use]
pub fn age(since: OffsetDateTime, now: OffsetDateTime) -> String {
    let minutes = (now - since).whole_minutes().max(0);
    let words = |n: i64, one: &str| if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") };
    match minutes {
        0 => "less than a minute".to_owned(),
        1..=59 => words(minutes, "minute"),
        60..=2879 => words(minutes / 60, "hour"),
        _ => words(minutes / 1440, "day"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use time::macros::datetime;

    #[test]
    fn an_age_is_said_in_the_largest_unit_that_fits() {
        let now = datetime!(2026-11-25 12:00 UTC);
        for (since, words) in [
            (datetime!(2026-11-25 11:59:30 UTC), "less than a minute"),
            (datetime!(2026-11-25 11:59 UTC), "1 minute"),
            (datetime!(2026-11-25 10:30 UTC), "1 hour"),
            (datetime!(2026-11-23 13:00 UTC), "47 hours"),
            (datetime!(2026-11-23 12:00 UTC), "2 days"),
        ] {
            assert_eq!(age(since, now), words);
        }
    }
}
