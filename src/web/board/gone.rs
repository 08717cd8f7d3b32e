//! The address of a board of whose part an edit made something else: it moved, or was taken out.

use crate::store::people::{Person, Role};
use crate::store::weeks::{GONE, Published};
use crate::training::calendar;
use crate::training::wording;
use crate::web::App;
use crate::web::error::Error;
use crate::web::frame::Frame;
use crate::web::member::day::logged::done_words;
use crate::web::questions::when;
use askama::Template;
use askama_web::WebTemplate;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

#[derive(Template, WebTemplate)]
#[template(path = "board/gone.html")]
struct GonePage {
    frame: Frame,
    coach: bool,
    part: String,
    day: String,
    /// when the version without it was published
    when: String,
    back: String,
    /// the reader's own results of it: in words, and where they are
    mine: Vec<(String, String)>,
}

/// Where the part of this number of an earlier version stands now; none where there never was one.
fn stood(earlier: &[Published], part: usize) -> Option<usize> {
    if part >= GONE {
        return Some(part);
    }
    earlier.iter().find(|v| v.session.parts.len() > part).map(|v| v.stands(part))
}

/// What is said under a number that the session on show has no part for.
///
/// # Errors
/// Not found where no version ever had such a part.
pub(super) async fn show_gone(app: &App, reader: &Person, shown: &Published, part: usize) -> Result<Response, Error> {
    let id = shown.session_id;
    let mut versions = app.store.versions(id).await?;
    versions.retain(|v| v.number <= shown.number);
    let now = stood(&versions, part).ok_or(Error::NotFound)?;
    if now < shown.session.parts.len() {
        return Ok(Redirect::to(&format!("/sessions/{id}/parts/{now}/board")).into_response());
    }
    // newest first: the version right before the first that has it took it out
    let last = versions.iter().position(|v| v.part_under(now).is_some()).filter(|i| *i > 0).ok_or(Error::NotFound)?;
    let (with, without) = (&versions[last], &versions[last - 1]);
    let it = with.part_under(now).and_then(|i| with.session.parts.get(i)).ok_or(Error::NotFound)?;
    let coach = reader.role == Role::Coach;
    let day = calendar::iso(shown.day);
    let mut own = app.store.results_on(reader.id, shown.day).await?;
    own.retain(|r| r.session_id == id && r.stands == now);
    let page = GonePage {
        frame: Frame::of(reader, format!("Results: {}", wording::title(it).1), if coach { "week" } else { "today" }),
        coach,
        part: wording::part(it),
        day: format!("{}, {}", calendar::long(shown.day), shown.group),
        when: when(reader, without.published_at, app.clock.now()),
        back: if coach { format!("/sessions/{id}/results") } else { format!("/days/{day}") },
        mine: own.iter().map(|r| (done_words(r, Some(it), reader), format!("/results/{}", r.id))).collect(),
    };
    Ok((StatusCode::GONE, page).into_response())
}
