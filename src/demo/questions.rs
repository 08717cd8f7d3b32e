//! What members asked, from `data/demo/questions.json`, as far as today has come.

use super::when::{day, instant, minutes, weekday};
use super::{Answer, Member, Question, Session};
use serde::Deserialize;
use time::{Date, Duration, OffsetDateTime};

#[derive(Deserialize)]
struct Row {
    from: String,
    group: String,
    week: i64,
    day: String,
    line: Option<String>,
    asked: String,
    text: String,
    answer: Option<AnswerRow>,
}

#[derive(Deserialize)]
struct AnswerRow {
    hours_later: i64,
    text: String,
}

/// Questions that have been asked by today, oldest first. `groups` are the keys of the groups.
#[expect(clippy::expect_used, reason = "the file is part of the program and read by its tests")]
pub fn questions(
    groups: &[&str],
    members: &[Member],
    sessions: &[Session],
    (today, now): (Date, OffsetDateTime),
) -> Vec<Question> {
    let rows: Vec<Row> = serde_json::from_str(include_str!("../../data/demo/questions.json")).expect("questions.json");
    let mut all: Vec<Question> =
        rows.into_iter().filter_map(|row| row.question(groups, members, sessions, (today, now))).collect();
    all.sort_by_key(|q| q.asked);
    all
}

impl Row {
    fn question(
        self,
        groups: &[&str],
        members: &[Member],
        sessions: &[Session],
        (today, now): (Date, OffsetDateTime),
    ) -> Option<Question> {
        let date = day(today, self.week, weekday(&self.day)?);
        let group = groups.iter().position(|g| *g == self.group)?;
        let session = sessions.iter().position(|s| s.group == group && s.date == date)?;
        let member = members.iter().position(|m| m.email == self.from)?;
        let zone = &members[member].zone;
        let asked = instant(zone, date, minutes(&self.asked));
        let answer = self.answer.map(|a| Answer { text: a.text, at: asked + Duration::hours(a.hours_later) });
        let typed = self.line.as_deref();
        let line = typed.and_then(|typed| sessions[session].text.lines().position(|l| l.contains(typed)));
        (asked <= now).then_some(Question {
            member,
            session,
            line: line.map(|i| i + 1),
            text: self.text,
            asked,
            answer: answer.filter(|a| a.at <= now),
        })
    }
}
