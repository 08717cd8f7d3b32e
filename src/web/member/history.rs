//! What a member did: load by week, the best of each lift, every result.

use super::day::logged::{beside, done_words};
use super::lifts::{self, Best};
use super::log::version_words;
use super::mass_unit;
use super::retests::{self, Retest};
use crate::store::ids::ResultId;
use crate::store::past::PastResult;
use crate::store::people::Person;
use crate::store::results::{Logged, ResultRow};
use crate::training::calendar;
use crate::training::strain::{Effort, session_load};
use crate::training::wording;
use crate::web::App;
use crate::web::access::Member;
use crate::web::chart::{self, Mark};
use crate::web::error::Error;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::response::{IntoResponse, Response};
use axum_extra::extract::Query;
use serde::Deserialize;
use std::collections::{BTreeSet, HashMap};
use time::{Date, Duration};

/// Results on a page.
const PAGE: usize = 30;
/// How many of the newest results are looked through for work that was done more than once.
const LOOKED_AT: u32 = 500;
/// Weeks in the chart.
const WEEKS: i64 = 8;

#[derive(Template, WebTemplate)]
#[template(path = "member/history.html")]
struct HistoryPage {
    frame: Frame,
    first: bool,
    chart: String,
    weeks: Vec<Week>,
    best: Vec<Best>,
    retests: Vec<Retest>,
    days: Vec<Day>,
    past: Vec<Past>,
    older: Option<String>,
}

/// A result from before Dowel.
struct Past {
    day: String,
    title: String,
    words: String,
    /// version, load, minutes and effort
    beside: String,
    note: String,
}

fn past(list: Vec<PastResult>, person: &Person) -> Vec<Past> {
    let row = |p: PastResult| Past {
        day: format!("{} {}", calendar::short(p.day), p.day.year()),
        title: p.title,
        words: p.score.words_in(mass_unit(person.units)),
        beside: p.beside,
        note: p.note,
    };
    list.into_iter().map(row).collect()
}

/// One week of the chart.
struct Week {
    monday: String,
    load: f64,
    days: usize,
}

/// One day's results.
struct Day {
    day: String,
    page: String,
    results: Vec<Entry>,
}

struct Entry {
    id: i64,
    name: String,
    words: String,
    beside: String,
    note: String,
    hurt: Option<String>,
    /// the coach corrected it: why, and who and when
    corrected: Option<(String, String)>,
}

type Corrected = HashMap<ResultId, (String, String)>;

/// Older than this: `2026-11-25.17`, a day and a row.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Before {
    before: Option<String>,
    said: Option<String>,
}

fn cursor(text: &str) -> Option<(Date, ResultId)> {
    let (day, id) = text.split_once('.')?;
    Some((calendar::read_iso(day)?, ResultId(id.parse().ok()?)))
}

/// `GET /history`
///
/// # Errors
/// Only the store's own.
pub async fn show_history(State(app): State<App>, Member(person): Member, Query(q): Query<Before>) -> Result<Response, Error> {
    let before = q.before.as_deref().and_then(cursor);
    let first = before.is_none();
    let mut logged = app.store.history(person.id, before, if first { LOOKED_AT } else { 31 }).await?;
    let before_dowel = app.store.past_results(person.id).await?;
    let best = if first { best(&app, &person, &before_dowel).await? } else { Vec::new() };
    let retests = if first { retests::retests(&logged, &person) } else { Vec::new() };
    let more = logged.len() > PAGE;
    logged.truncate(PAGE);
    let older = logged.last().filter(|_| more).map(|l| format!("{}.{}", calendar::iso(l.result.done_on), l.result.id));
    let corrected = super::day::corrections(&app, &person, logged.iter().map(|l| l.result.id), app.clock.now()).await?;
    let weeks = if first { weeks(&app, &person).await? } else { Vec::new() };
    let marks: Vec<Mark> = weeks
        .iter()
        .enumerate()
        .map(|(i, w)| Mark { label: w.monday.clone(), value: w.load, now: i + 1 == weeks.len() })
        .collect();
    let page = HistoryPage {
        frame: Frame::of(&person, "History", "history").saying(q.said.as_deref()),
        first,
        chart: if weeks.iter().any(|w| w.load > 0.0) { chart::bars("Load by week", &marks) } else { String::new() },
        weeks,
        best,
        retests,
        days: days(&logged, &person, &corrected),
        past: if older.is_none() { past(before_dowel, &person) } else { Vec::new() },
        older,
    };
    Ok(page.into_response())
}

/// The best of each lift, of everything that was ever lifted.
async fn best(app: &App, person: &Person, before_dowel: &[PastResult]) -> Result<Vec<Best>, Error> {
    let logged = app.store.lifted_by(person.id).await?;
    let all = lifts::all(&logged, before_dowel, &app.library());
    Ok(lifts::best(all, person.units, person.zone.day(app.clock.now())))
}

fn load(result: &ResultRow) -> f64 {
    let effort = result.rpe.and_then(Effort::new);
    effort.zip(result.minutes).map_or(0.0, |(effort, minutes)| session_load(effort, minutes))
}

/// The last weeks, oldest first, this one last.
async fn weeks(app: &App, person: &Person) -> Result<Vec<Week>, Error> {
    let this = calendar::monday(person.zone.day(app.clock.now()));
    let first = this - Duration::weeks(WEEKS - 1);
    let results = app.store.results_of_person(person.id, first, this + Duration::days(6)).await?;
    let week = |i: i64| {
        let monday = first + Duration::weeks(i);
        let of_week: Vec<_> = results.iter().filter(|r| calendar::monday(r.done_on) == monday).collect();
        let days: BTreeSet<Date> = of_week.iter().map(|r| r.done_on).collect();
        let label = calendar::short(monday).split_once(' ').map_or_else(String::new, |(_, d)| d.to_owned());
        // an empty sum of floats is -0
        Week { monday: label, load: of_week.iter().map(|r| load(r)).sum::<f64>().abs().round(), days: days.len() }
    };
    Ok((0..WEEKS).map(week).collect())
}

fn days(logged: &[Logged], person: &Person, corrected: &Corrected) -> Vec<Day> {
    let mut days: Vec<(Date, Day)> = Vec::new();
    for l in logged {
        if days.last().is_none_or(|(d, _)| *d != l.result.done_on) {
            let day = Day {
                day: calendar::long(l.result.done_on),
                page: format!("/days/{}", calendar::iso(l.day)),
                results: Vec::new(),
            };
            days.push((l.result.done_on, day));
        }
        if let Some((_, day)) = days.last_mut() {
            day.results.push(entry(l, person, corrected));
        }
    }
    days.into_iter().map(|(_, d)| d).collect()
}

fn entry(l: &Logged, person: &Person, corrected: &Corrected) -> Entry {
    let part = l.session.parts.get(l.result.part).map_or_else(|| l.session.title.clone(), wording::part);
    let version = version_words(&l.result.version_done, l.result.given.as_ref());
    let mut all = vec![l.session.title.clone(), version];
    all.extend(beside(&l.result, person.units));
    Entry {
        id: l.result.id.0,
        name: part,
        words: done_words(&l.result, l.session.parts.get(l.result.part), person),
        beside: all.join(" · "),
        note: l.result.note.clone(),
        hurt: l.result.hurt.clone(),
        corrected: corrected.get(&l.result.id).cloned(),
    }
}
