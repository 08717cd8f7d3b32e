//! A draft against the group, before it is published: who does it as written, who gets which change, who has nothing sound.

mod rows;

use super::pin::Refused;
use super::place::{Place, SlotPath};
use super::reading;
use crate::store::ids::{GroupId, PersonId, SessionId};
use crate::store::people::Person;
use crate::store::profiles::Home;
use crate::training::session::Session;
use crate::training::tailor::{Coverage, Group, House, MissingRoute, Route, Tailor, missing_routes};
use crate::web::App;
use crate::web::access::Staff;
use crate::web::error::Error;
use crate::web::frame::{Frame, Said};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use axum_extra::extract::Query;
use rows::{Lines, PartRow, part_name, people};
use std::sync::Arc;

/// Most names in one list; the rest is a number.
const NAMES: usize = 12;
/// Most different lines shown under one change.
const VARIANTS: usize = 12;
/// Most members offered by name for a choice at a line; for others the page as they see it has the form.
const CONCERNED: usize = 60;

/// A group's members by name, and their homes with equal ones as one.
pub(super) struct Members {
    people: Vec<(PersonId, String)>,
    homes: Arc<Group>,
}

impl Members {
    /// Everybody who is in the group now.
    pub(super) async fn of(app: &App, group: GroupId) -> Result<Self, Error> {
        Ok(Self::from(app.store.profiles_of(group).await?))
    }

    /// Everybody, and the one for whom alone something is about to be chosen.
    ///
    /// # Errors
    /// Not in the group.
    pub(super) async fn with_one_pinned(app: &App, group: GroupId, one: PersonId) -> Result<Self, Error> {
        let mut homes = app.store.profiles_of(group).await?;
        let home = homes.iter_mut().find(|h| h.id == one).ok_or(Error::NotFound)?;
        home.profile.pinned = Some(one.0);
        Ok(Self::from(homes))
    }

    fn from(homes: Vec<Home>) -> Self {
        let (people, profiles): (Vec<_>, Vec<_>) = homes.into_iter().map(|h| ((h.id, h.name), h.profile)).unzip();
        Self { people, homes: Arc::new(Group::new(profiles)) }
    }

    /// Their homes.
    pub(super) fn homes(&self) -> &Group {
        &self.homes
    }

    /// Sessions against this group, each under what the coach decided for it; off the async threads, because a large group
    /// takes a while.
    pub(super) async fn cover(
        &self,
        app: &App,
        house: &House,
        sessions: Vec<(SessionId, Session)>,
    ) -> Result<Vec<Coverage>, Error> {
        let (homes, library, house) = (self.homes.clone(), app.library(), house.clone());
        let work = move || {
            let cover = |(id, session): &(SessionId, Session)| {
                Tailor::new(&library).in_house(house.in_session(Some(id.0))).coverage(session, &homes)
            };
            sessions.iter().map(cover).collect()
        };
        tokio::task::spawn_blocking(work).await.map_err(|e| Error::Internal(e.into()))
    }

    /// Members by their places in the group.
    pub(super) fn names(&self, places: &[usize]) -> Names {
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

/// `12 do all of it as written, 5 get a change, 1 has no sound version of some line: Ines`, and who waits for the coach.
pub(super) fn summary(seen: &Coverage, members: &Members) -> String {
    let changed = seen.members - seen.fully_served - seen.without.len();
    let mut words =
        format!("{} all of it as written, {} a change", verb(seen.fully_served, "does", "do"), verb(changed, "gets", "get"),);
    let held = |member: &usize| seen.lines.iter().any(|l| l.waiting.contains(member));
    let withheld = |member: &usize| !seen.lines.is_empty() && seen.lines.iter().all(|l| l.without.contains(member));
    let (nothing, some): (Vec<usize>, Vec<usize>) = seen.without.iter().copied().partition(withheld);
    let (waiting, some): (Vec<usize>, Vec<usize>) = some.into_iter().partition(held);
    if !some.is_empty() {
        words.push_str(&format!(", {} no sound version of some line: {}", verb(some.len(), "has", "have"), members.names(&some)));
    }
    if !waiting.is_empty() {
        let wait = verb(waiting.len(), "waits", "wait");
        words.push_str(&format!(", {wait} at some line for your word about what they wrote: {}", members.names(&waiting)));
    }
    if !nothing.is_empty() {
        let names = members.names(&nothing);
        words.push_str(&format!(", nothing is given to {names} until you have talked (what they told you stands on their page)"));
    }
    words
}

fn verb(n: usize, one: &str, more: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { more })
}

#[derive(Template, WebTemplate)]
#[template(path = "coach/coverage.html")]
pub(super) struct CoveragePage {
    frame: Frame,
    title: String,
    members: String,
    address: String,
    week: String,
    /// nobody is in the group, or nothing is written
    empty: Option<&'static str>,
    summary: String,
    asks: Vec<AskRow>,
    /// the draft that is looked at
    edit: i64,
    parts: Vec<PartRow>,
}

impl CoveragePage {
    /// Somebody has no sound version of some line.
    fn needs(&self) -> bool {
        self.parts.iter().flat_map(|p| &p.lines).any(|l| l.without.is_some())
    }
}

/// What a scored part leaves out.
struct AskRow {
    words: String,
    part: usize,
    /// where it is a shorter version that is missing: what was typed, and why it was not kept
    shorter: Option<(String, Option<String>)>,
    /// where movements stand in the way: the lines at which something can be chosen
    lines: Vec<String>,
}

/// Another version of a part that was not kept, and why.
pub(super) struct Unwritten {
    pub(super) part: usize,
    pub(super) text: String,
    pub(super) why: String,
}

fn ask_row(missing: &MissingRoute, session: &Session, unwritten: Option<&Unwritten>) -> AskRow {
    let back = unwritten.filter(|u| u.part == missing.part);
    let typed = back.map_or(("or shorter: ".to_owned(), None), |u| (u.text.clone(), Some(u.why.clone())));
    let lines = session.parts[missing.part].lines.iter().enumerate();
    let stuck = lines.filter(|(_, l)| missing.movements.contains(&l.movement));
    AskRow {
        words: ask(missing, session),
        part: missing.part,
        shorter: (missing.route == Route::Shorter).then_some(typed),
        lines: stuck.map(|(i, _)| format!("p{}l{i}", missing.part)).collect(),
    }
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
pub async fn show_coverage(
    State(app): State<App>,
    Staff(coach): Staff,
    Path(path): Path<SlotPath>,
    Query(q): Query<Said>,
) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    let mut page = page(&app, &coach, place, None, None).await?;
    page.frame = page.frame.saying(q.said.as_deref());
    Ok(page.into_response())
}

/// How the draft fits the group; what was not kept stands in its form.
pub(super) async fn page(
    app: &App,
    coach: &Person,
    place: Place,
    refused: Option<Refused>,
    unwritten: Option<Unwritten>,
) -> Result<CoveragePage, Error> {
    let stored = place.stored(app).await?.ok_or(Error::NotFound)?;
    let library = app.library();
    let session = reading::session(&stored.draft, &stored.intents, &library);
    let members = Members::of(app, place.group.id).await?;
    let house = app.store.house(coach.zone.day(app.clock.now())).await?.in_session(Some(stored.id.0));
    let seen = members.cover(app, &house, vec![(stored.id, session.clone())]).await?.remove(0);
    let mut parts: Vec<PartRow> =
        (0..session.parts.len()).map(|i| PartRow { name: part_name(&session, i), lines: Vec::new() }).collect();
    let tailor = Tailor::new(&library).in_house(house.clone());
    let lines = Lines {
        session: &session,
        members: &members,
        library: &library,
        house: &house,
        tailor: &tailor,
        refused: refused.as_ref(),
    };
    for l in &seen.lines {
        parts[l.part].lines.push(lines.row(l));
    }
    Ok(CoveragePage {
        frame: Frame::of(coach, format!("How it fits: {}, {}", place.words(), place.group.name), "week"),
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
        asks: missing_routes(&session, &library).iter().map(|m| ask_row(m, &session, unwritten.as_ref())).collect(),
        edit: stored.draft_edit,
        parts,
    })
}
