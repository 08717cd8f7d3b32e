//! A group's results and members as tables for a spreadsheet.

use super::sheet;
use crate::store::ids::GroupId;
use crate::store::people::{Person, Units};
use crate::store::results::Exported;
use crate::training::calendar;
use crate::training::score::{Lift, Score};
use crate::training::wording;
use crate::web::App;
use crate::web::access::Coach;
use crate::web::coach::people::{kit_in_short, level_word, limits_in_words};
use crate::web::error::Error;
use crate::web::member::day::logged::score_words;
use crate::web::member::lifts;
use axum::extract::{Path, State};
use axum::response::Response;
use axum_extra::extract::Query;
use serde::Deserialize;
use time::format_description::well_known::Rfc3339;
use time::{Date, OffsetDateTime};

/// Columns of a table of results.
const HEAD: [&str; 23] = [
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
    // what makes it whole for a program, and for coming back in
    "sign_in",
    "kind",
    "reads_as",
    "movement",
];

/// What the coach asks for.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Wanted {
    from: String,
    to: String,
    /// with notes to the coach
    notes: Option<String>,
    /// with what hurt
    pain: Option<String>,
}

/// What else stands in the table.
#[derive(Clone, Copy, Debug, Default)]
pub struct Private {
    /// notes to the coach
    pub notes: bool,
    /// what hurt
    pub pain: bool,
}

/// An instant, to the second, in UTC.
#[must_use]
pub fn instant(at: OffsetDateTime) -> String {
    at.replace_nanosecond(0).unwrap_or(at).format(&Rfc3339).unwrap_or_default()
}

fn number(n: Option<f64>) -> String {
    n.map(|n| ((n * 1000.0).round() / 1000.0).to_string()).unwrap_or_default()
}

fn yes(is: bool) -> String {
    if is { "yes" } else { "" }.to_owned()
}

/// The part as the table names it.
#[must_use]
pub fn part_name(e: &Exported) -> String {
    e.session.parts.get(e.result.part).map_or_else(|| (e.result.part + 1).to_string(), wording::part)
}

/// What is scored, the score in its own units, and the lift that it counts for: each empty where there is none.
fn whole(e: &Exported) -> [String; 3] {
    let part = e.session.parts.get(e.result.part);
    let score: Option<Score> = e.result.score.clone().and_then(|s| serde_json::from_value(s).ok());
    let kind = score.as_ref().and_then(Score::kind).or_else(|| Some(part?.score));
    let kind = kind.and_then(|k| serde_json::to_value(k).ok()?.as_str().map(str::to_owned)).unwrap_or_default();
    let lift = match &score {
        Some(Score::Load { lifts }) => part.and_then(|p| lifts::of_part(p, &e.result.version_done)).map(|of| (lifts, of)),
        _ => None,
    };
    let Some((lifts, (movement, asked))) = lift else {
        return [kind, score.map(|s| s.words()).unwrap_or_default(), String::new()];
    };
    // the reps that were asked for are part of what was lifted, and no line says them any more
    let whole = lifts.iter().map(|lift| Lift { reps: lift.reps.or(asked), ..*lift }).collect();
    [kind, Score::Load { lifts: whole }.words(), movement]
}

fn row(e: &Exported, units: Units, with: Private) -> Vec<String> {
    let r = &e.result;
    let part = part_name(e);
    let nickname = if r.name == r.full_name { String::new() } else { r.name.clone() };
    let score = if r.score.is_some() { score_words(r, units) } else { String::new() };
    let typed = e.first.as_ref().unwrap_or(&r.logged);
    let mut cells = vec![
        r.full_name.clone(),
        nickname,
        e.group.clone(),
        calendar::iso(e.day),
        e.session.title.clone(),
        part,
        typed.score_text.clone(),
        // what stands there now, where the member or a coach wrote something else since
        if r.score_text == typed.score_text { String::new() } else { r.score_text.clone() },
        score,
        r.version_done.clone(),
        number(r.load_kg),
        typed.load_text.clone(),
        number(r.minutes),
        number(r.rpe),
        calendar::iso(r.done_on),
        // on a later day than the session's, by the member's own calendar
        yes(r.done_on > e.day),
        instant(r.created_at),
        yes(r.withdrawn_at.is_some()),
        r.doubt.clone().filter(|_| r.score.is_none()).unwrap_or_default(),
        e.sign_in.clone(),
    ];
    cells.extend(whole(e));
    if with.notes {
        cells.push(r.note.clone());
    }
    if with.pain {
        cells.push(r.hurt.as_ref().map(|h| if h.is_empty() { "yes".to_owned() } else { h.clone() }).unwrap_or_default());
    }
    cells
}

/// Results as a table, scores in the reader's unit.
///
/// # Errors
/// Only what should not happen.
pub fn results_table(list: &[Exported], units: Units, with: Private) -> Result<String, Error> {
    let mut head = HEAD.to_vec();
    head.extend(with.notes.then_some("note"));
    head.extend(with.pain.then_some("hurt"));
    sheet::csv(&head, list.iter().map(|e| row(e, units, with)))
}

fn day(text: &str, otherwise: Date) -> Result<Date, Error> {
    if text.trim().is_empty() {
        return Ok(otherwise);
    }
    calendar::read_iso(text.trim()).ok_or_else(|| Error::Bad("Type the days as in 2026-11-25.".to_owned()))
}

/// `GET /groups/{id}/results.csv`
///
/// # Errors
/// No such group; days that are none.
pub async fn download_results(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(id): Path<i64>,
    Query(q): Query<Wanted>,
) -> Result<Response, Error> {
    let group = app.store.group(GroupId(id)).await?;
    let (from, to) = (day(&q.from, time::macros::date!(2000 - 01 - 01))?, day(&q.to, time::macros::date!(2200 - 01 - 01))?);
    let with = Private { notes: q.notes.is_some(), pain: q.pain.is_some() };
    let list = app.store.results_of_group(group.id, from, to).await?;
    let name = format!("{}-results.csv", sheet::file_name(&group.name));
    Ok(sheet::download(&name, "text/csv; charset=utf-8; header=present", results_table(&list, coach.units, with)?))
}

fn member_row(p: &Person) -> Vec<String> {
    vec![
        p.name.clone(),
        p.sign_in.clone(),
        p.nickname.clone().unwrap_or_default(),
        p.zone.name().to_owned(),
        if p.units == Units::Lb { "lb" } else { "kg" }.to_owned(),
        level_word(p.level).to_owned(),
        kit_in_short(&p.kit),
        limits_in_words(&p.avoid),
        instant(p.created_at),
    ]
}

/// `GET /groups/{id}/members.csv`
///
/// # Errors
/// No such group.
pub async fn download_members(State(app): State<App>, Coach(_): Coach, Path(id): Path<i64>) -> Result<Response, Error> {
    let group = app.store.group(GroupId(id)).await?;
    let members = app.store.members_of(group.id).await?;
    let head = ["name", "sign_in", "nickname", "zone", "units", "level", "kit", "keeps_out", "joined_at"];
    let table = sheet::csv(&head, members.iter().map(member_row))?;
    let name = format!("{}-members.csv", sheet::file_name(&group.name));
    Ok(sheet::download(&name, "text/csv; charset=utf-8; header=present", table))
}
