//! A draft as one member will see it, and for each changed line what was weighed up.

use super::place::{Place, SlotPath};
use super::{member, reading};
use crate::store::ids::{PersonId, VersionId};
use crate::store::weeks::{Published, Slot};
use crate::training::session::Session;
use crate::training::tailor::{Candidate, Considered, explain};
use crate::training::wording;
use crate::web::App;
use crate::web::access::Coach;
use crate::web::error::Error;
use crate::web::frame::Frame;
use crate::web::member::day::view::{LineView, Reader, SessionView, Since};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};

/// Most candidates shown for one line.
const CANDIDATES: usize = 8;

#[derive(Template, WebTemplate)]
#[template(path = "coach/preview.html")]
struct PreviewPage {
    frame: Frame,
    name: String,
    person: PersonId,
    address: String,
    session: SessionView,
    /// for each part and line what was weighed up, cheapest first
    weighed: Vec<Vec<Vec<Weighed>>>,
}

impl PreviewPage {
    fn weighed(&self, part: &usize, line: &LineView) -> &[Weighed] {
        let found = self.weighed.get(*part).and_then(|lines| lines.get(line.number));
        found.filter(|_| line.changed.is_some()).map_or(&[], Vec::as_slice)
    }
}

/// One candidate.
struct Weighed {
    what: String,
    total: String,
    /// what the sum is made of, in words
    costs: String,
}

fn weighed(c: &Candidate) -> Weighed {
    let parts = [
        ("shape", c.cost.pattern),
        ("effort", c.cost.effort),
        ("time", c.cost.time),
        ("sides", c.cost.symmetry),
        ("skill", c.cost.skill),
    ];
    let costs: Vec<String> = parts.iter().filter(|(_, n)| *n >= 0.005).map(|(word, n)| format!("{word} {n:.2}")).collect();
    Weighed {
        what: wording::whole_line(&c.line),
        total: format!("{:.2}", c.cost.total()),
        costs: if costs.is_empty() { "nothing is lost".to_owned() } else { costs.join(", ") },
    }
}

/// What was weighed up, part by part.
fn by_part(session: &Session, all: Vec<Considered>) -> Vec<Vec<Vec<Weighed>>> {
    let mut all = all.into_iter();
    let line = |c: Considered| c.candidates.iter().take(CANDIDATES).map(weighed).collect();
    session.parts.iter().map(|p| all.by_ref().take(p.lines.len()).map(line).collect()).collect()
}

/// The draft as if it were published now.
fn as_published(place: &Place, slot: &Slot, session: Session, now: time::OffsetDateTime) -> Published {
    Published {
        session_id: slot.id,
        version_id: VersionId(0),
        number: 1,
        group_id: place.group.id,
        group: place.group.name.clone(),
        day: place.day,
        slot: place.slot,
        text: slot.draft.clone(),
        session,
        video: slot.video.clone(),
        change_note: String::new(),
        published_at: now,
    }
}

/// `GET /groups/{id}/days/{date}/{slot}/as/{person}`
///
/// # Errors
/// Nothing is written there; somebody who is no member of the group is not found.
pub async fn show_preview(
    State(app): State<App>,
    Coach(coach): Coach,
    Path((group, day, slot, person)): Path<(i64, String, u8, i64)>,
) -> Result<Response, Error> {
    let path: SlotPath = (group, day, slot);
    let place = Place::read(&app, path).await?;
    let stored = place.stored(&app).await?.ok_or(Error::NotFound)?;
    let person = member(&app, PersonId(person)).await?;
    let in_group = app.store.groups_of(person.id).await?.iter().any(|g| g.id == place.group.id);
    if !in_group || person.left_at.is_some() {
        return Err(Error::NotFound);
    }
    let (library, profile, now) = (app.library(), app.store.profile(&person).await?, app.clock.now());
    let session = reading::session(&stored.draft, &stored.intents, &library);
    let considered = explain(&session, &profile, &library);
    let draft = as_published(&place, &stored, session, now);
    let wishes = app.store.wishes_of(person.id).await?;
    let reader = Reader { person: &person, profile: &profile, library: &library, now, wishes: &wishes, since: Since::default() };
    let page = PreviewPage {
        frame: Frame::of(&coach, format!("{} as {} sees it", place.words(), person.name), "week"),
        person: person.id,
        address: place.address(),
        session: reader.session(&draft, None, &[], None),
        weighed: by_part(&draft.session, considered),
        name: person.name.clone(),
    };
    Ok(page.into_response())
}
