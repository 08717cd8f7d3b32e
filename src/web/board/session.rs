//! Who did what of a session and who has not logged yet; for the coach.

use super::part::{names, version_for};
use super::{entries, load_words, mass, score, version_words};
use crate::store::ids::SessionId;
use crate::store::people::{Person, Units};
use crate::store::results::ResultRow;
use crate::training::calendar;
use crate::training::session::ScoreKind;
use crate::web::App;
use crate::web::access::Coach;
use crate::web::error::Error;
use crate::web::frame::Frame;
use crate::web::questions::{part_name, when};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use std::collections::BTreeMap;
use time::OffsetDateTime;

#[derive(Template, WebTemplate)]
#[template(path = "board/session.html")]
struct ResultsPage {
    frame: Frame,
    day: String,
    editor: String,
    /// boards of the parts that are scored: name, address, how many logged it
    boards: Vec<(String, String, usize)>,
    logged: Vec<LoggedView>,
    /// name and page
    missing: Vec<(String, String)>,
    hurt: usize,
}

struct LoggedView {
    who: String,
    person: String,
    hurt: bool,
    parts: Vec<PartView>,
}

/// One result as the coach reads it.
struct PartView {
    part: String,
    typed: String,
    /// where it says more than what was typed
    understood: Option<String>,
    held: bool,
    doubt: Option<String>,
    /// version, load, minutes, effort
    facts: Vec<String>,
    note: String,
    hurt: Option<String>,
    off_board: bool,
    when: String,
}

impl PartView {
    fn new(r: &ResultRow, part: String, coach: &Person, now: OffsetDateTime) -> Self {
        let value = score(r);
        let understood = value.as_ref().map(|s| s.words_in(mass(coach.units))).filter(|w| w.trim() != r.score_text.trim());
        let hurt = r.hurt.as_ref().map(|h| if h.trim().is_empty() { "where was not said".to_owned() } else { h.clone() });
        Self {
            part,
            typed: if r.score_text.trim().is_empty() { "no score typed".to_owned() } else { r.score_text.clone() },
            understood,
            held: value.is_none() && r.doubt.is_some(),
            doubt: r.doubt.clone(),
            facts: facts(r, coach.units),
            note: r.note.clone(),
            hurt,
            off_board: !r.shown,
            when: when(coach, r.created_at, now),
        }
    }
}

fn facts(r: &ResultRow, units: Units) -> Vec<String> {
    let swap = entries::swap(r.given.as_ref());
    let version = if r.version_done == "adapted" && !swap.is_empty() { format!("adapted: {swap}") } else { version_words(r) };
    let minutes = r.minutes.map(|m| format!("{m} min"));
    let effort = r.rpe.map(|e| format!("RPE {e}"));
    [Some(version), load_words(r, units), minutes, effort].into_iter().flatten().collect()
}

/// `GET /sessions/{id}/results`
///
/// # Errors
/// A session that was never published.
pub async fn show_results(State(app): State<App>, Coach(coach): Coach, Path(id): Path<i64>) -> Result<Response, Error> {
    let now = app.clock.now();
    let shown = version_for(&app, &coach, SessionId(id)).await?;
    let results = app.store.results_of_session(shown.session_id).await?;
    let names = names(&app, &results).await?;
    let part = |i: usize| shown.session.parts.get(i).map_or_else(|| format!("Part {}", i + 1), part_name);
    let mut by_person: BTreeMap<(String, i64), Vec<PartView>> = BTreeMap::new();
    for r in &results {
        let name = names.get(&r.person_id.0).cloned().unwrap_or_default();
        by_person.entry((name, r.person_id.0)).or_default().push(PartView::new(r, part(r.part), &coach, now));
    }
    let members = app.store.members_of(shown.group_id).await?;
    let missing = members.iter().filter(|m| !by_person.contains_key(&(m.name.clone(), m.id.0)));
    let missing = missing.map(|m| (m.name.clone(), format!("/people/{}", m.id))).collect();
    let scored = shown.session.parts.iter().enumerate().filter(|(_, p)| p.score != ScoreKind::None);
    let boards = scored.map(|(i, p)| {
        let count = results.iter().filter(|r| r.part == i).count();
        (part_name(p), format!("/sessions/{id}/parts/{i}/board"), count)
    });
    let page = ResultsPage {
        frame: Frame::of(&coach, format!("Results: {}", shown.session.title), "week"),
        day: format!("{}, {}", calendar::long(shown.day), shown.group),
        editor: format!("/groups/{}/days/{}/{}", shown.group_id, calendar::iso(shown.day), shown.slot),
        boards: boards.collect(),
        missing,
        hurt: results.iter().filter(|r| r.hurt.is_some()).count(),
        logged: by_person
            .into_iter()
            .map(|((who, person), parts)| LoggedView {
                who,
                person: format!("/people/{person}"),
                hurt: parts.iter().any(|p| p.hurt.is_some()),
                parts,
            })
            .collect(),
    };
    Ok(page.into_response())
}
