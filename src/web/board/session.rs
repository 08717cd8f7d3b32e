//! Who did what of a session and who has not logged yet; for the coach.

use super::part::version_for;
use super::{load_words, mass, score, version_words};
use crate::store::ids::{PersonId, SessionId};
use crate::store::people::Person;
use crate::store::results::ResultRow;
use crate::store::weeks::Published;
use crate::training::calendar;
use crate::training::session::{Part, ScoreKind};
use crate::training::wording;
use crate::web::App;
use crate::web::access::Staff;
use crate::web::error::Error;
use crate::web::frame::Frame;
use crate::web::member::day::logged::{Reads, sets_done};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use std::collections::HashSet;

#[derive(Template, WebTemplate)]
#[template(path = "board/session.html")]
struct ResultsPage {
    frame: Frame,
    day: String,
    editor: String,
    /// boards of the parts that are scored: name, address, how many logged it
    boards: Vec<(String, String, usize)>,
    /// how many people logged something
    people: usize,
    logged: Vec<LoggedView>,
    /// name and page
    missing: Vec<(String, String)>,
    /// how many people something hurt
    hurt: usize,
}

/// One result as the coach reads it.
struct LoggedView {
    who: String,
    person: String,
    part: String,
    typed: String,
    /// where it says more than what was typed
    understood: Option<String>,
    /// where the coach corrects it
    correct: String,
    held: bool,
    doubt: Option<String>,
    off_board: bool,
    version: String,
    /// `version 1`, where the session was published anew since
    done_on: Option<String>,
    load: Option<String>,
    minutes: String,
    rpe: String,
    note: String,
    hurt: Option<String>,
}

impl LoggedView {
    fn new(r: &ResultRow, part: Option<&Part>, coach: &Person) -> Self {
        let value = score(r);
        let sets = part.and_then(|part| sets_done(r, part, Reads { units: coach.units, column: None }));
        let understood = sets.or_else(|| value.as_ref().map(|s| s.words_in(mass(coach.units))));
        let understood = understood.filter(|w| w.trim() != r.score_text.trim());
        Self {
            who: r.full_name.clone(),
            person: format!("/people/{}", r.person_id),
            part: part.map_or_else(|| format!("Part {}", r.part + 1), wording::part),
            typed: if r.score_text.trim().is_empty() { "no score typed".to_owned() } else { r.score_text.clone() },
            understood,
            correct: format!("/results/{}/correct", r.id),
            held: value.is_none() && r.doubt.is_some(),
            doubt: r.doubt.clone(),
            off_board: !r.shown,
            done_on: None,
            version: version_words(&r.version_done, r.given.as_ref(), part.unwrap_or(&Part::default())),
            load: load_words(r.load_kg, &r.load_text, coach.units),
            minutes: r.minutes.map(|m| m.to_string()).unwrap_or_default(),
            rpe: r.rpe.map(|e| e.to_string()).unwrap_or_default(),
            note: r.note.clone(),
            hurt: r.hurt.as_ref().map(|h| if h.trim().is_empty() { "where was not said".to_owned() } else { h.clone() }),
        }
    }
}

/// Each result beside the part as it was when it was done: a later version may have another part in its place.
fn logged(results: &[ResultRow], versions: &[Published], shown: &Published, coach: &Person) -> Vec<LoggedView> {
    let view = |r: &ResultRow| {
        let own = versions.iter().find(|v| v.version_id == r.version_id).unwrap_or(shown);
        let earlier = own.version_id != shown.version_id;
        let done_on = earlier.then(|| format!("version {}", own.number));
        LoggedView { done_on, ..LoggedView::new(r, own.session.parts.get(r.part), coach) }
    };
    results.iter().map(view).collect()
}

/// `GET /sessions/{id}/results`
///
/// # Errors
/// A session that was never published.
pub async fn show_results(State(app): State<App>, Staff(coach): Staff, Path(id): Path<i64>) -> Result<Response, Error> {
    let shown = version_for(&app, &coach, SessionId(id)).await?;
    let mut results = app.store.results_of_session(shown.session_id).await?;
    results.sort_by(|a, b| (&a.full_name, a.person_id, a.stands).cmp(&(&b.full_name, b.person_id, b.stands)));
    let people: HashSet<PersonId> = results.iter().map(|r| r.person_id).collect();
    let mut hurt: HashSet<PersonId> = app.store.hurt_in(shown.session_id).await?.into_iter().collect();
    hurt.extend(results.iter().filter(|r| r.hurt.is_some()).map(|r| r.person_id));
    let versions = app.store.versions(shown.session_id).await?;
    let members = app.store.members_of(shown.group_id).await?;
    let missing = members.iter().filter(|m| !people.contains(&m.id));
    let missing = missing.map(|m| (m.name.clone(), format!("/people/{}", m.id))).collect();
    let scored = shown.session.parts.iter().enumerate().filter(|(_, p)| p.score != ScoreKind::None);
    let boards = scored.map(|(i, p)| {
        let count = results.iter().filter(|r| r.stands == i).count();
        (wording::part(p), format!("/sessions/{id}/parts/{i}/board"), count)
    });
    let page = ResultsPage {
        frame: Frame::of(&coach, format!("Results: {}", shown.session.title), "week"),
        day: format!("{}, {}", calendar::long(shown.day), shown.group),
        editor: format!("/groups/{}/days/{}/{}", shown.group_id, calendar::iso(shown.day), shown.slot),
        boards: boards.collect(),
        missing,
        hurt: hurt.len(),
        people: people.len(),
        logged: logged(&results, &versions, &shown, &coach),
    };
    Ok(page.into_response())
}
