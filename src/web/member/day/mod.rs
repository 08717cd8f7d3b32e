//! A member's day.

pub mod logged;
pub mod view;
pub mod words;

use super::kit::{asks_again, asks_again_at};
use super::log::LogView;
use crate::store::ids::{ResultId, SessionId, VersionId};
use crate::store::people::Person;
use crate::store::results::ResultRow;
use crate::store::weeks::Published;
use crate::training::calendar;
use crate::training::difference;
use crate::training::member::Profile;
use crate::training::standings::Attempts;
use crate::training::tailor::{Wish, waits};
use crate::web::App;
use crate::web::access::Member;
use crate::web::at_hand::Keep;
use crate::web::error::Error;
use crate::web::frame::Frame;
use crate::web::held::{self, Banner};
use crate::web::questions::{Asked, at_lines, when};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum_extra::extract::Query;
use serde::Deserialize;
use std::collections::hash_map::Entry;
use std::collections::{HashMap, HashSet};
use time::{Date, Duration, OffsetDateTime, PrimitiveDateTime, Time};
use view::{Film, Reader, SessionView, Since};

#[derive(Template, WebTemplate)]
#[template(path = "member/day.html")]
pub(super) struct DayPage {
    frame: Frame,
    /// `Wednesday 25 November`
    day: String,
    today: bool,
    strip: Vec<Strip>,
    before: String,
    after: String,
    sessions: Vec<SessionView>,
    /// the next day on which something stands
    next: Option<(String, String)>,
    ask_kit: bool,
    /// what their words hold back, or what was decided about it
    held: Option<Banner>,
    /// when a question to what was logged goes away by itself
    asked_until: Option<OffsetDateTime>,
    /// what the coach said to them lately, on today's page
    answers: Vec<Asked>,
    questions: Vec<Asked>,
    /// a board of it lets one try more than once
    tries: bool,
}

/// One day of the week's strip.
struct Strip {
    iso: String,
    name: String,
    number: u8,
    done: bool,
    here: bool,
}

/// What was just done, and to what.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Done {
    said: Option<String>,
    /// of the page: the part that stays open
    part: Option<String>,
}

impl DayPage {
    /// The part that was just changed stays open.
    fn keep_open(&mut self, id: Option<&str>) {
        let mut parts = self.sessions.iter_mut().flat_map(|s| &mut s.parts);
        if id.is_some_and(|id| parts.any(|p| p.id == id)) {
            for p in self.sessions.iter_mut().flat_map(|s| &mut s.parts) {
                p.open = Some(p.id.as_str()) == id;
            }
        }
    }
}

/// The page may be sent again while nothing on it changed. Where a second log of a part is another attempt, each page needs ids
/// of its own for its forms: two that were opened before either was sent are two attempts. Elsewhere they are one result,
/// whatever their ids.
fn keep(person: &Person, page: &DayPage, now: OffsetDateTime) -> Option<Keep> {
    let until = [asks_again_at(person, now), page.asked_until].into_iter().flatten().min();
    let keep = Keep { person: person.id, zone: person.zone, today: person.zone.day(now), until };
    (!page.tries).then_some(keep)
}

/// The page as it was made at this moment: where midnight comes while it is made, it is still that of the day before.
fn answer(person: &Person, page: DayPage, now: OffsetDateTime) -> Response {
    let keep = keep(person, &page, now);
    let mut answer = page.into_response();
    if let Some(keep) = keep {
        answer.extensions_mut().insert(keep);
    }
    answer
}

/// `GET /today`: the day that it is where the member lives.
///
/// # Errors
/// Only the store's own.
pub async fn show_today(State(app): State<App>, Member(person): Member, Query(q): Query<Done>) -> Result<Response, Error> {
    let now = app.clock.now();
    let today = person.zone.day(now);
    let mut page = page_at(&app, &person, today, None, now).await?;
    page.frame = page.frame.saying(q.said.as_deref());
    page.keep_open(q.part.as_deref());
    // a device keeps it as the day that it is: tomorrow, today is another
    let place = [(header::CONTENT_LOCATION, format!("/days/{}", calendar::iso(today)))];
    Ok((place, answer(&person, page, now)).into_response())
}

/// Now; for a day that is still to come its noon, so that its page is as it will be then, with its forms.
fn on_the_day(person: &Person, day: Date, now: OffsetDateTime) -> OffsetDateTime {
    let noon = PrimitiveDateTime::new(day, Time::from_hms(12, 0, 0).unwrap_or(Time::MIDNIGHT));
    if day > person.zone.day(now) { person.zone.instant(noon) } else { now }
}

/// A day's page for a device to keep, and the ids of the forms on it.
///
/// # Errors
/// Only the store's own.
pub async fn kept(app: &App, person: &Person, day: Date) -> Result<(String, Vec<String>), Error> {
    let page = page_at(app, person, day, None, on_the_day(person, day, app.clock.now())).await?;
    let logs = page.sessions.iter().flat_map(|s| &s.parts).filter_map(|p| p.log.as_ref());
    let ids = logs.map(|log| log.form.client_id.clone()).collect();
    let html = page.render().map_err(|e| Error::Internal(e.into()))?;
    Ok((html, ids))
}

/// `GET /days/{date}`
///
/// # Errors
/// What is no date is not found.
pub async fn show_day(
    State(app): State<App>,
    Member(person): Member,
    Path(day): Path<String>,
    Query(q): Query<Done>,
) -> Result<Response, Error> {
    let day = calendar::read_iso(&day).filter(|d| (2000..=2200).contains(&d.year())).ok_or(Error::NotFound)?;
    let now = app.clock.now();
    let mut page = page_at(&app, &person, day, None, now).await?;
    page.frame = page.frame.saying(q.said.as_deref());
    page.keep_open(q.part.as_deref());
    Ok(answer(&person, page, now))
}

/// A form that came back, and the version it was typed on.
pub(super) struct Typed {
    pub version: Published,
    pub view: LogView,
}

/// The page of a day; a session whose form came back stands there even if it was taken back meanwhile.
pub(super) async fn page(app: &App, person: &Person, day: Date, typed: Option<Typed>) -> Result<DayPage, Error> {
    page_at(app, person, day, typed, app.clock.now()).await
}

async fn page_at(app: &App, person: &Person, day: Date, typed: Option<Typed>, now: OffsetDateTime) -> Result<DayPage, Error> {
    let (library, profile) = (app.library(), app.store.profile(person).await?);
    let mut live = app.store.live_on(person.id, day).await?;
    let (mut back, version) = typed.map_or((None, None), |t| (Some(t.view), Some(t.version)));
    let typed_in = version.as_ref().map(|v| v.session_id);
    if let Some(version) = version {
        live.retain(|p| p.session_id != version.session_id);
        live.push(version);
        live.sort_by(|a, b| (&a.group, a.slot).cmp(&(&b.group, b.slot)));
    }
    let results = app.store.results_on(person.id, day).await?;
    let wishes = app.store.wishes_of(person.id).await?;
    let house = app.store.house(person.zone.day(now)).await?;
    let since = Since {
        edits: edits(app, &live).await?,
        done_on: done_on(app, &live, &results).await?,
        again: may_try_again(app, &live, &results).await?,
        corrected: corrections(app, person, results.iter().map(|r| r.id), now).await?,
    };
    let reader = Reader { person, profile: &profile, library: &library, now, wishes: &wishes, house: &house, since };
    let (mut sessions, mut questions, mut tries) = (Vec::new(), Vec::new(), false);
    for p in &live {
        tries |= app.store.lets_try_again(p.session_id).await?;
        let (film, spots) = super::talk::film(app, p).await?;
        let view = if typed_in == Some(p.session_id) { back.take() } else { None };
        let mut session = reader.session(p, film, &results, view);
        session.point_at(&spots);
        for (q, at) in at_lines::about(app, person, p).await? {
            let line = at.and_then(|(part, line)| session.parts.get_mut(part)?.lines.get_mut(line));
            let words = Asked::new(q, person, now);
            match line {
                Some(line) => line.asked.push(words),
                None => questions.push(words),
            }
        }
        sessions.push(session);
    }
    open_one(&mut sessions);
    let next = if sessions.is_empty() { next_day(app, person, day).await? } else { None };
    let monday = calendar::monday(day);
    let done = app.store.days_done(person.id, monday, monday + Duration::days(6)).await?;
    let title = match &sessions[..] {
        [one] => one.title.clone(),
        _ => calendar::long(day),
    };
    let today = person.zone.day(now) == day;
    Ok(DayPage {
        frame: Frame::of(person, title, "today"),
        day: calendar::long(day),
        today,
        strip: calendar::week(monday).iter().map(|d| strip(*d, day, &done)).collect(),
        before: calendar::iso(day - Duration::days(1)),
        after: calendar::iso(day + Duration::days(1)),
        sessions,
        next,
        held: held_words(app, person, &profile, now).await?,
        asked_until: logged::asked_until(&results, now),
        answers: if today { fresh_answers(app, person, profile.note.as_deref(), now).await? } else { Vec::new() },
        ask_kit: today && asks_again(person, now),
        questions,
        tries,
    })
}

/// What their private words hold back, and what hurt, said once for all sessions.
async fn held_words(app: &App, person: &Person, profile: &Profile, now: OffsetDateTime) -> Result<Option<Banner>, Error> {
    let standing = app.store.standing_decisions(person.id).await?;
    let noted = waits(profile.note.as_slice());
    Ok(held::banner(&noted, &waits(&app.store.open_reports(person.id).await?), &standing, person, now))
}

/// What the coach said to them today or on the two days before; what was decided about their words stands there already.
async fn fresh_answers(app: &App, person: &Person, note: Option<&str>, now: OffsetDateTime) -> Result<Vec<Asked>, Error> {
    let since = person.zone.day(now) - Duration::days(2);
    let mut asked = app.store.questions_of(person.id).await?;
    asked.retain(|q| !(q.pain && q.about.is_none() && note == Some(&q.text)));
    asked.retain(|q| q.answer.as_ref().is_some_and(|a| person.zone.day(a.at) >= since));
    Ok(asked.into_iter().map(|q| Asked::new(q, person, now)).collect())
}

/// Logged parts whose boards let one try more than once.
async fn may_try_again(app: &App, live: &[Published], results: &[ResultRow]) -> Result<HashSet<(SessionId, usize)>, Error> {
    let mut again = HashSet::new();
    for r in results.iter().filter(|r| !again.contains(&(r.session_id, r.stands))).collect::<Vec<_>>() {
        let Some(p) = live.iter().find(|p| p.session_id == r.session_id) else { continue };
        let rules = app.store.board_rules(p.group_id, r.session_id, r.stands).await?;
        if rules.policy.attempts != Attempts::First {
            again.insert((r.session_id, r.stands));
        }
    }
    Ok(again)
}

/// What was changed last in sessions whose coach did not say it, read from the two versions.
async fn edits(app: &App, live: &[Published]) -> Result<HashMap<SessionId, Vec<String>>, Error> {
    let mut edits = HashMap::new();
    for p in live.iter().filter(|p| p.number > 1 && p.change_note.trim().is_empty()) {
        if let Some(before) = app.store.version_before(p.session_id, p.number).await? {
            edits.insert(p.session_id, difference::in_short(&before.session, &p.session));
        }
    }
    Ok(edits)
}

/// Versions that something was done on and that are not on the page any more.
async fn done_on(app: &App, live: &[Published], results: &[ResultRow]) -> Result<HashMap<VersionId, Published>, Error> {
    let mut versions = HashMap::new();
    for r in results.iter().filter(|r| live.iter().all(|p| p.version_id != r.version_id)) {
        if let Entry::Vacant(place) = versions.entry(r.version_id) {
            place.insert(app.store.version(r.version_id).await?);
        }
    }
    Ok(versions)
}

/// Of these results the ones that the coach corrected last: why, and who and when.
pub(super) async fn corrections(
    app: &App,
    person: &Person,
    results: impl Iterator<Item = ResultId>,
    now: OffsetDateTime,
) -> Result<HashMap<ResultId, (String, String)>, Error> {
    let ids: Vec<ResultId> = results.collect();
    let found = app.store.corrections(person.id, &ids).await?;
    let words = |c: crate::store::results::Correction| {
        let by = c.by.unwrap_or_else(|| "The coach".to_owned());
        (c.id, (c.reason, format!("{by}, {}", when(person, c.at, now))))
    };
    Ok(found.into_iter().map(words).collect())
}

/// One part stands open: the one whose form came back, else the first that is not done.
fn open_one(sessions: &mut [SessionView]) {
    let parts = || sessions.iter().flat_map(|s| &s.parts);
    if parts().any(|p| p.open) {
        return;
    }
    let first = parts().position(|p| p.done.is_none() && !p.withheld).or_else(|| parts().position(|p| p.done.is_none()));
    if let Some(part) = first.and_then(|i| sessions.iter_mut().flat_map(|s| &mut s.parts).nth(i)) {
        part.open = true;
    }
}

fn strip(day: Date, here: Date, done: &[Date]) -> Strip {
    let name = calendar::short(day).chars().take(3).collect();
    Strip { iso: calendar::iso(day), name, number: day.day(), done: done.contains(&day), here: day == here }
}

async fn next_day(app: &App, person: &Person, day: Date) -> Result<Option<(String, String)>, Error> {
    let days = app.store.live_days(person.id, day + Duration::days(1), day + Duration::days(60)).await?;
    Ok(days.first().map(|d| (calendar::iso(*d), calendar::long(*d))))
}
