//! A draft as one member will see it, and for each changed line what was weighed up.

use super::place::{Place, SlotPath};
use super::{member, reading};
use crate::store::ids::{PersonId, VersionId};
use crate::store::weeks::{Published, Slot};
use crate::training::session::{Line, Session};
use crate::training::tailor::{Candidate, Considered, Struck, Tailor};
use crate::training::wording;
use crate::web::App;
use crate::web::access::Staff;
use crate::web::error::Error;
use crate::web::frame::{Frame, Said};
use crate::web::member::day::view::{LineView, Reader, SessionView, Since};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use axum_extra::extract::Query;

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
    /// for each part and line what a rule struck out
    struck: Vec<Vec<Vec<Struck>>>,
    /// for each part and line the written movement, where the library has it
    choosable: Vec<Vec<Option<String>>>,
}

impl PreviewPage {
    /// The written movement of a line for which something may be chosen.
    fn choosable(&self, part: &usize, line: &LineView) -> Option<&String> {
        self.choosable.get(*part).and_then(|lines| lines.get(line.number)).and_then(Option::as_ref)
    }

    fn weighed(&self, part: &usize, line: &LineView) -> &[Weighed] {
        let found = self.weighed.get(*part).and_then(|lines| lines.get(line.number));
        found.filter(|_| line.changed.is_some()).map_or(&[], Vec::as_slice)
    }

    fn struck(&self, part: &usize, line: &LineView) -> &[Struck] {
        let found = self.struck.get(*part).and_then(|lines| lines.get(line.number));
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
fn by_part<T>(session: &Session, all: &[Considered], line: impl Fn(&Considered) -> Vec<T>) -> Vec<Vec<Vec<T>>> {
    let mut all = all.iter();
    session.parts.iter().map(|p| all.by_ref().take(p.lines.len()).map(&line).collect()).collect()
}

fn choosable(session: &Session) -> Vec<Vec<Option<String>>> {
    let one = |l: &Line| (l.known && l.complex.is_empty()).then(|| l.movement.clone());
    session.parts.iter().map(|p| p.lines.iter().map(one).collect()).collect()
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
        stands: (0..session.parts.len()).collect(),
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
    Staff(coach): Staff,
    Path((group, day, slot, person)): Path<(i64, String, u8, i64)>,
    Query(q): Query<Said>,
) -> Result<Response, Error> {
    let path: SlotPath = (group, day, slot);
    let place = Place::read(&app, path).await?;
    let stored = place.stored(&app).await?.ok_or(Error::NotFound)?;
    let person = member(&app, PersonId(person)).await?;
    let in_group = app.store.group_ids_of(person.id).await?.contains(&place.group.id);
    if !in_group || person.left_at.is_some() {
        return Err(Error::NotFound);
    }
    let (library, profile, now) = (app.library(), app.store.profile(&person).await?, app.clock.now());
    let session = reading::session(&stored.draft, &stored.intents, &library);
    let draft = as_published(&place, &stored, session, now);
    let wishes = app.store.wishes_of(person.id).await?;
    let house = app.store.house(person.zone.day(now)).await?;
    let considered = Tailor::new(&library).in_house(house.in_session(Some(stored.id.0))).explain(&draft.session, &profile);
    let reader = Reader {
        person: &person,
        profile: &profile,
        library: &library,
        now,
        wishes: &wishes,
        house: &house,
        since: Since::default(),
    };
    let page = PreviewPage {
        frame: Frame::of(&coach, format!("{} as {} sees it", place.words(), person.name), "week").saying(q.said.as_deref()),
        person: person.id,
        address: place.address(),
        session: reader.session(&draft, None, &[], None),
        weighed: by_part(&draft.session, &considered, |c| c.candidates.iter().take(CANDIDATES).map(weighed).collect()),
        struck: by_part(&draft.session, &considered, |c| c.struck.clone()),
        choosable: choosable(&draft.session),
        name: person.name.clone(),
    };
    Ok(page.into_response())
}
