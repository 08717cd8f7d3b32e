//! A group's week on one page.

use super::editor::state;
use super::place::{Place, SLOTS};
use super::{count, read_monday, reading, this_monday, week_address, week_words};
use crate::store::groups::Group;
use crate::store::ids::GroupId;
use crate::store::weeks::Slot;
use crate::training::calendar;
use crate::training::session::Session;
use crate::web::App;
use crate::web::access::Staff;
use crate::web::error::Error;
use crate::web::frame::{Frame, Said};
use crate::web::{rod, rods};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Query;
use time::{Date, Duration};

#[derive(Template, WebTemplate)]
#[template(path = "coach/week.html")]
struct WeekPage {
    frame: Frame,
    group: Group,
    members: String,
    words: String,
    address: String,
    before: String,
    after: String,
    now: Option<String>,
    /// name and address of the same week of each group; none of them where there is one group
    groups: Vec<(String, String, bool)>,
    days: Vec<DayRow>,
    key: String,
    /// something is written that members do not see yet
    to_publish: bool,
    published: bool,
    written: bool,
}

struct DayRow {
    name: String,
    date: String,
    today: bool,
    sessions: Vec<SessionRow>,
    /// where to write, or to write one more
    next: Option<String>,
}

struct SessionRow {
    title: String,
    address: String,
    state: (&'static str, &'static str),
    rod: String,
    /// minutes, effort and who logged
    facts: String,
    errors: usize,
    asks: usize,
    logged: Option<String>,
    /// the write-up changed after its video was made
    stale: bool,
}

/// `GET /week`: the first group's week of now.
///
/// # Errors
/// Only the store's own.
pub async fn show_this_week(State(app): State<App>, Staff(coach): Staff) -> Result<Redirect, Error> {
    let monday = this_monday(&coach, app.clock.now());
    let first = app.store.groups().await?.into_iter().next();
    Ok(Redirect::to(&first.map_or("/groups".to_owned(), |g| week_address(g.id, monday))))
}

/// `GET /groups/{id}/weeks/{monday}`
///
/// # Errors
/// No such group; a day that is no Monday.
pub async fn show_week(
    State(app): State<App>,
    Staff(coach): Staff,
    Path((group, monday)): Path<(i64, String)>,
    Query(q): Query<Said>,
) -> Result<Response, Error> {
    let monday = read_monday(&monday)?;
    let group = app.store.group(GroupId(group)).await?;
    let library = app.library();
    let slots = app.store.week(group.id, monday).await?;
    let read: Vec<(Slot, Session)> =
        slots.into_iter().map(|s| (reading::session(&s.draft, &s.intents, &library), s)).map(|(r, s)| (s, r)).collect();
    let loggers = app.store.week_loggers(group.id, monday).await?;
    let sunday = monday + Duration::days(6);
    let stale = app.store.stale_videos(group.id, (calendar::iso(monday).as_str(), calendar::iso(sunday).as_str())).await?;
    let longest = read.iter().map(|(_, r)| rods::parts(r, &library).iter().map(|p| p.minutes).sum()).fold(0.0, f64::max);
    let today = coach.zone.day(app.clock.now());
    let row = |(slot, session): &(Slot, Session)| {
        let parts = rods::parts(session, &library);
        let place = Place { group: group.clone(), day: slot.day, slot: slot.slot };
        let id = format!("rod-{}-{}", calendar::iso(slot.day), slot.slot);
        let people = loggers.iter().find(|(id, _)| *id == slot.id).map_or(0, |(_, n)| *n);
        SessionRow {
            title: if session.title.is_empty() { "Untitled".to_owned() } else { session.title.clone() },
            address: place.address(),
            state: state(Some(slot)),
            rod: if parts.is_empty() { String::new() } else { rod::week_rod(&id, &parts, longest) },
            facts: facts(rods::minutes(session, &library), people, group.members, slot.live.is_some()),
            errors: session.errors().count(),
            asks: session.problems.len() - session.errors().count(),
            stale: stale.contains(&slot.id),
            logged: slot.live.as_ref().map(|_| format!("/sessions/{}/results", slot.id)),
        }
    };
    let day = |day: Date| {
        let on: Vec<&(Slot, Session)> = read.iter().filter(|(s, _)| s.day == day).collect();
        let free = (1..=SLOTS).find(|n| on.iter().all(|(s, _)| s.slot != *n));
        DayRow {
            name: calendar::long(day).chars().take(3).collect(),
            date: calendar::short(day).chars().skip(4).collect(),
            today: day == today,
            sessions: on.into_iter().map(row).collect(),
            next: free.map(|slot| Place { group: group.clone(), day, slot }.address()),
        }
    };
    let groups: Vec<_> =
        app.store.groups().await?.into_iter().map(|g| (g.name, week_address(g.id, monday), g.id == group.id)).collect();
    let now = this_monday(&coach, app.clock.now());
    let page = WeekPage {
        frame: Frame::of(&coach, format!("{}, {}", group.name, week_words(monday)), "week").saying(q.said.as_deref()),
        members: count(group.members, "member", "members"),
        words: week_words(monday),
        address: week_address(group.id, monday),
        before: week_address(group.id, monday - Duration::days(7)),
        after: week_address(group.id, monday + Duration::days(7)),
        now: (now != monday).then(|| week_address(group.id, now)),
        groups: if groups.len() > 1 { groups } else { Vec::new() },
        days: calendar::week(monday).map(day).into(),
        key: rod::key("key"),
        to_publish: read.iter().any(|(s, _)| !s.draft.trim().is_empty() && s.live.as_ref().is_none_or(|l| l.changed_since)),
        published: read.iter().any(|(s, _)| s.live.is_some()),
        written: !read.is_empty(),
        group,
    };
    Ok(page.into_response())
}

/// `42 min · 9 of 14 logged`.
fn facts(minutes: f64, people: i64, members: i64, live: bool) -> String {
    let mut all = Vec::new();
    if minutes > 0.0 {
        all.push(format!("{minutes} min"));
    }
    if people > 0 || (live && members > 0) {
        all.push(format!("{people} of {members} logged"));
    }
    all.join(" · ")
}
