//! The clock of a part, made from what this member does.

use crate::store::ids::SessionId;
use crate::store::people::Person;
use crate::training::clock;
use crate::training::session::{Line, Part};
use crate::training::tailor::tailor_wished;
use crate::training::{calendar, wording};
use crate::web::App;
use crate::web::access::Member;
use crate::web::error::Error;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};

#[derive(Template, WebTemplate)]
#[template(path = "member/clock.html")]
struct ClockPage {
    frame: Frame,
    name: String,
    /// JSON of `training::clock::Plan`
    plan: String,
    /// what the device keeps its taps under: another version or another member is another clock
    key: String,
    /// where the part is logged
    back: String,
    part: usize,
    /// one a line of the plan
    lines: Vec<String>,
}

/// `GET /sessions/{id}/parts/{part}/clock`
///
/// # Errors
/// A session that is not live or not theirs, or a part that is not there.
pub async fn show_clock(
    State(app): State<App>,
    Member(person): Member,
    Path((id, number)): Path<(SessionId, usize)>,
) -> Result<Response, Error> {
    let published = app.store.live_for(person.id, id).await?;
    let written = published.session.parts.get(number).ok_or(Error::NotFound)?;
    let profile = app.store.profile(&person).await?;
    let wishes = app.store.wishes_of(person.id).await?;
    let said = wishes.get(&id).map_or(&[][..], Vec::as_slice);
    let own = tailor_wished(&published.session, &profile, &app.library(), said);
    let given = own.parts.get(number).map(|p| p.lines.iter().flat_map(|l| l.given.clone()).collect::<Vec<Line>>());
    let part = Part { lines: given.unwrap_or_default(), ..written.clone() };
    let back = format!("/days/{}#s{id}p{number}", calendar::iso(published.day));
    let Some(plan) = clock::plan(&part) else { return Ok(Redirect::to(&back).into_response()) };
    let page = ClockPage {
        frame: Frame::of(&person, format!("Clock: {}", part.name), "today"),
        plan: serde_json::to_string(&plan).map_err(|e| Error::Internal(e.into()))?,
        key: key(&person, id, number, published.number),
        lines: part.lines.iter().map(words).collect(),
        name: part.name,
        back,
        part: number,
    };
    Ok(page.into_response())
}

fn key(person: &Person, session: SessionId, part: usize, version: i64) -> String {
    format!("dowel clock {} {session} {part} {version}", person.id)
}

/// `12 air squats` in one breath.
fn words(line: &Line) -> String {
    let dose = wording::dose(line);
    let movement = wording::movement(line);
    let side = line.side.map(|s| format!(", {}", s.words())).unwrap_or_default();
    if dose.is_empty() { movement } else { format!("{dose} {movement}{side}") }
}
