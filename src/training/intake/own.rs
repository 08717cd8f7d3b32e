//! Dowel's own table of results, as it is taken out, on its way back in.

use super::{Cells, Logged, Past, Row, Whose, day_of, kind_of, read_score};
use crate::training::calendar;
use crate::training::score::Score;
use crate::training::session::ScoreKind;
use time::Date;

/// Columns without which it is not this table.
pub(super) const NEEDED: [&str; 6] = ["person", "session_day", "session", "part", "typed", "kind"];

/// Every column that something is taken from, or that repeats what another says.
pub(super) const KNOWN: [&str; 25] = [
    "person",
    "nickname",
    "group",
    "session_day",
    "session",
    "part",
    "typed",
    "corrected",
    "score",
    "version",
    "load_kg",
    "load_typed",
    "minutes",
    "rpe",
    "done_on",
    "late",
    "logged_at",
    "withdrawn",
    "held",
    "sign_in",
    "kind",
    "reads_as",
    "movement",
    "note",
    "hurt",
];

/// Longest score or title that is kept, in characters.
const LONGEST: usize = 200;

/// It has the columns that no other table has together.
pub(super) fn is_own(head: &[String]) -> bool {
    ["session_day", "typed"].iter().all(|column| head.iter().any(|h| h == column))
}

/// What stands beside a score: version, load, minutes, effort.
fn beside(row: &Cells<'_>) -> String {
    let typed = row.get("load_typed");
    let load = match row.get("load_kg") {
        _ if !typed.is_empty() => typed.to_owned(),
        "" => String::new(),
        kg => format!("{kg} kg"),
    };
    let version = match row.get("version") {
        "full" => "as written",
        other => other,
    };
    let of = |column: &str, words: &dyn Fn(&str) -> String| Some(row.get(column)).filter(|c| !c.is_empty()).map(words);
    let minutes = of("minutes", &|n| format!("{n} min"));
    let effort = of("rpe", &|n| format!("effort {n}"));
    let all = [Some(version.to_owned()), Some(load), minutes, effort];
    all.into_iter().flatten().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(" · ")
}

/// The note, with what else was typed and has no column of its own among past results.
fn note(row: &Cells<'_>, text: &str) -> String {
    let hurt = match row.get("hurt") {
        "" => None,
        "yes" => Some("Something hurt.".to_owned()),
        place => Some(format!("Hurt: {place}")),
    };
    let note = Some(row.get("note").to_owned()).filter(|note| !note.is_empty());
    let long = (text.chars().count() > LONGEST).then(|| format!("Typed: {text}"));
    let first =
        Some(row.get("typed")).filter(|typed| !typed.is_empty() && *typed != text).map(|typed| format!("Typed first: {typed}"));
    [note, hurt, long, first].into_iter().flatten().collect::<Vec<_>>().join(" ")
}

fn short(text: &str) -> String {
    text.chars().take(LONGEST).collect()
}

/// The score: as it was read here, which says its unit; else as typed, and then nothing is guessed.
fn score(row: &mut Cells<'_>, kind: ScoreKind, text: &str) -> Option<Score> {
    let read = row.get("reads_as").to_owned();
    match (kind, read.is_empty()) {
        (ScoreKind::None, _) => Some(Score::Done),
        (_, false) => read_score(row, "reads_as", kind, &read),
        (_, true) => read_score(row, "typed", kind, text),
    }
}

/// One line of it.
pub(super) fn result(row: &mut Cells<'_>, today: Date) -> Option<Row> {
    if !row.get("withdrawn").is_empty() {
        return Some(Row::Left("It was taken back: left out.".to_owned()));
    }
    if !row.get("held").is_empty() && row.get("reads_as").is_empty() {
        let why = row.get("held").to_owned();
        return Some(Row::Left(format!("It has no score yet: left out. {why}")));
    }
    let typed = row.get("typed").to_owned();
    let text = Some(row.get("corrected")).filter(|c| !c.is_empty()).unwrap_or(&typed).to_owned();
    let person = match row.get("sign_in") {
        "" => Whose::Name(row.text("person", 200, "Whose it is")),
        sign_in => Whose::SignIn(sign_in.to_owned()),
    };
    let day = day_of(row, "done_on", today);
    let session_day = calendar::read_iso(row.get("session_day"));
    if session_day.is_none() {
        row.wrong("session_day", "Write a day as in 2025-11-25.");
    }
    let part = row.text("part", 500, "The name of the part");
    if text.is_empty() {
        row.wrong("typed", "The score is missing.");
    }
    let kind = kind_of(row, true);
    let score = score(row, kind?, &text);
    let session = row.get("session").to_owned();
    let title = if session.is_empty() { part.clone() } else { format!("{session}: {part}") };
    let movement = Some(row.get("movement").to_owned()).filter(|name| !name.is_empty());
    Some(Row::New(Box::new(Past {
        person,
        day: day?,
        title: short(&title),
        kind: kind?,
        text: short(&text),
        score: score?,
        note: note(row, &text),
        movement,
        beside: beside(row),
        logged: Some(Logged { session_day: session_day?, session, part, typed }),
    })))
}
