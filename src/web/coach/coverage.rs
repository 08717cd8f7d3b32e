//! A draft against the group, before it is published: who does it as written, who gets which change, who has nothing sound.

use super::place::{Place, SlotPath};
use super::{count, reading};
use crate::store::ids::{GroupId, PersonId};
use crate::training::session::Session;
use crate::training::tailor::{Action, Change, Coverage, Group, LineCoverage, MissingRoute, Route, Tailor, missing_routes};
use crate::training::wording;
use crate::web::App;
use crate::web::access::Coach;
use crate::web::error::Error;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use std::sync::Arc;

/// Most names in one list; the rest is a number.
const NAMES: usize = 12;

/// A group's members by name, and their homes with equal ones as one.
pub(super) struct Members {
    people: Vec<(PersonId, String)>,
    homes: Arc<Group>,
}

impl Members {
    /// Everybody who is in the group now.
    pub(super) async fn of(app: &App, group: GroupId) -> Result<Self, Error> {
        let homes = app.store.profiles_of(group).await?;
        let (people, profiles): (Vec<_>, Vec<_>) = homes.into_iter().map(|h| ((h.id, h.name), h.profile)).unzip();
        Ok(Self { people, homes: Arc::new(Group::new(profiles)) })
    }

    /// Sessions against this group; off the async threads, because a large group takes a while.
    pub(super) async fn cover(&self, app: &App, sessions: Vec<Session>) -> Result<Vec<Coverage>, Error> {
        let (homes, library) = (self.homes.clone(), app.library());
        let work = move || {
            let tailor = Tailor::new(&library);
            sessions.iter().map(|s| tailor.coverage(s, &homes)).collect()
        };
        tokio::task::spawn_blocking(work).await.map_err(|e| Error::Internal(e.into()))
    }

    /// Members by their places in the group.
    fn names(&self, places: &[usize]) -> Names {
        let known: Vec<_> = places.iter().filter_map(|p| self.people.get(*p)).take(NAMES).cloned().collect();
        Names { more: places.len() - known.len(), known }
    }
}

/// Some names, and how many more there are.
pub(super) struct Names {
    pub(super) known: Vec<(PersonId, String)>,
    pub(super) more: usize,
}

impl std::fmt::Display for Names {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let names: Vec<&str> = self.known.iter().map(|(_, name)| name.as_str()).collect();
        f.write_str(&names.join(", "))?;
        if self.more > 0 { write!(f, " and {} more", self.more) } else { Ok(()) }
    }
}

/// `12 do all of it as written, 5 get a change, 1 has no sound version of some line: Ines`.
pub(super) fn summary(seen: &Coverage, members: &Members) -> String {
    let changed = seen.members - seen.fully_served - seen.without.len();
    let mut words =
        format!("{} all of it as written, {} a change", verb(seen.fully_served, "does", "do"), verb(changed, "gets", "get"),);
    if !seen.without.is_empty() {
        let some = verb(seen.without.len(), "has", "have");
        words.push_str(&format!(", {some} no sound version of some line: {}", members.names(&seen.without)));
    }
    words
}

fn verb(n: usize, one: &str, more: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { more })
}

#[derive(Template, WebTemplate)]
#[template(path = "coach/coverage.html")]
struct CoveragePage {
    frame: Frame,
    title: String,
    members: String,
    address: String,
    week: String,
    /// nobody is in the group, or nothing is written
    empty: Option<&'static str>,
    summary: String,
    asks: Vec<String>,
    parts: Vec<PartRow>,
}

struct PartRow {
    name: String,
    lines: Vec<LineRow>,
}

struct LineRow {
    written: String,
    /// how many do it as written, in words
    served: String,
    changes: Vec<ChangeRow>,
    without: Option<Names>,
}

struct ChangeRow {
    members: String,
    /// what they do
    what: String,
    why: String,
    who: Names,
}

fn change(c: &Change, members: &Members) -> ChangeRow {
    let given = c.example.as_ref().map(wording::whole_line).unwrap_or_default();
    let what = match c.action {
        Action::Swap | Action::SwapAndTellCoach => format!("{} instead", c.movement),
        _ => format!("{given}, fitted"),
    };
    let same = what.starts_with(&given);
    let why = if same || given.is_empty() { c.why.clone() } else { format!("Such as {given}. {}", c.why) };
    ChangeRow { members: people(c.members), what, why, who: members.names(&c.who) }
}

/// `1 member`, `3 members`.
fn people(n: usize) -> String {
    count(i64::try_from(n).unwrap_or(i64::MAX), "member", "members")
}

fn line(seen: &LineCoverage, session: &Session, members: &Members) -> LineRow {
    LineRow {
        written: wording::whole_line(&session.parts[seen.part].lines[seen.line]),
        served: if seen.as_written == members.people.len() {
            "Everybody does it as written.".to_owned()
        } else {
            format!("{} of {} as written.", seen.as_written, members.people.len())
        },
        changes: seen.changes.iter().map(|c| change(c, members)).collect(),
        without: (!seen.without.is_empty()).then(|| members.names(&seen.without)),
    }
}

fn part_name(session: &Session, part: usize) -> String {
    let part = &session.parts[part];
    part.label.as_ref().map_or_else(|| part.name.clone(), |label| format!("{label} {}", part.name))
}

/// A way that a scored part leaves out, asked in words.
fn ask(missing: &MissingRoute, session: &Session) -> String {
    let part = part_name(session, missing.part);
    let movements = missing.movements.join(", ");
    match missing.route {
        Route::Shorter => format!("{part} has no shorter version. What does someone do who has half the time?"),
        Route::Quiet => {
            format!("{part} has no quiet version: nothing without jumping or noise stands in for {movements}. What should it be?")
        }
        Route::NoKit => format!("{part} has no version without kit: nothing stands in for {movements}. What should it be?"),
    }
}

/// `GET /groups/{id}/days/{date}/{slot}/coverage`
///
/// # Errors
/// No such group or day; nothing was ever written there.
pub async fn show_coverage(State(app): State<App>, Coach(coach): Coach, Path(path): Path<SlotPath>) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    let stored = place.stored(&app).await?.ok_or(Error::NotFound)?;
    let library = app.library();
    let session = reading::session(&stored.draft, &stored.intents, &library);
    let members = Members::of(&app, place.group.id).await?;
    let seen = members.cover(&app, vec![session.clone()]).await?.remove(0);
    let mut parts: Vec<PartRow> =
        (0..session.parts.len()).map(|i| PartRow { name: part_name(&session, i), lines: Vec::new() }).collect();
    for l in &seen.lines {
        parts[l.part].lines.push(line(l, &session, &members));
    }
    let page = CoveragePage {
        frame: Frame::of(&coach, format!("How it fits: {}, {}", place.words(), place.group.name), "week"),
        title: session.title.clone(),
        members: people(members.people.len()),
        address: place.address(),
        week: place.week(),
        empty: match (members.people.is_empty(), seen.lines.is_empty()) {
            (_, true) => Some("Nothing is written yet that anybody could do."),
            (true, false) => Some("Nobody is in this group yet, so there is nobody to fit it to."),
            _ => None,
        },
        summary: summary(&seen, &members),
        asks: missing_routes(&session, &library).iter().map(|m| ask(m, &session)).collect(),
        parts,
    };
    Ok(page.into_response())
}
