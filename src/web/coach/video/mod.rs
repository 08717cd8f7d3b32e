//! The talk-through of a session: the video, its chapters and captions.

mod kind;
pub mod save;
pub mod tracks;
pub mod upload;

use super::place::{Place, SlotPath};
use super::reading;
use crate::store::people::Person;
use crate::store::talks::{self, Talk};
use crate::store::weeks::{Slot, Video};
use crate::training::captions::{self, Fault};
use crate::web::App;
use crate::web::access::Staff;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::{Frame, Said};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum_extra::extract::Query;

#[derive(Template, WebTemplate)]
#[template(path = "coach/video.html")]
struct VideoPage {
    frame: Frame,
    /// of the slot
    address: String,
    /// as typed or stored
    url: String,
    /// an uploaded file: name and address
    file: Option<(String, String)>,
    upload_mb: u64,
    /// lines that changed after the video was made; none where it fits
    stale: Option<Vec<(char, String)>>,
    /// title, and whether it is about a line: what can be marked
    marks: Vec<(String, bool)>,
    chapters: String,
    chapter_faults: Vec<Fault>,
    /// titles that name no part
    homeless: Vec<String>,
    has_chapters: bool,
    has_captions: bool,
    caption_faults: Vec<Fault>,
    errors: Errors,
}

/// What the page shows beside what is stored.
#[derive(Default)]
pub(super) struct Shown {
    url: Option<String>,
    chapters: Option<(String, Vec<Fault>)>,
    captions: Vec<Fault>,
    errors: Errors,
    said: Option<String>,
}

/// Most faults that are listed at once.
const FAULTS: usize = 20;

/// `GET /groups/{id}/days/{date}/{slot}/video`
///
/// # Errors
/// No such group or day.
pub async fn show_video(
    State(app): State<App>,
    Staff(coach): Staff,
    Path(path): Path<SlotPath>,
    Query(q): Query<Said>,
) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    page(&app, &coach, &place, Shown { said: q.said, ..Shown::default() }).await
}

async fn page(app: &App, coach: &Person, place: &Place, shown: Shown) -> Result<Response, Error> {
    let stored = place.stored(app).await?;
    let video = stored.as_ref().map(|s| s.video.clone()).unwrap_or_default();
    let file = match video.media {
        Some(id) => Some(app.store.media(id).await?).map(|m| (m.name, format!("/media/{}", m.hash))),
        None => None,
    };
    let talk = match &stored {
        Some(slot) => talk(app, slot).await?,
        None => None,
    };
    let (draft, intents) = stored.map(|s| (s.draft, s.intents)).unwrap_or_default();
    let session = reading::session(&draft, &intents, &app.library());
    let chapters = talk.as_ref().and_then(|t| captions::read_chapters(t.chapters.as_deref()?).ok()).unwrap_or_default();
    let homes = captions::fit(&chapters, &session);
    let wrong = !shown.errors.is_empty() || shown.chapters.is_some() || !shown.captions.is_empty();
    let (typed, mut chapter_faults) = shown.chapters.unwrap_or_else(|| (captions::print_typed(&chapters), Vec::new()));
    chapter_faults.truncate(FAULTS);
    let page = VideoPage {
        frame: Frame::of(coach, format!("Talk-through: {}, {}", place.words(), place.group.name), "week")
            .saying(shown.said.as_deref()),
        address: place.address(),
        url: shown.url.or(video.url).unwrap_or_default(),
        file,
        upload_mb: app.config.upload_mb,
        stale: talk.as_ref().filter(|t| talks::differs(&t.text, &draft)).map(|t| super::publish::changed_lines(&t.text, &draft)),
        marks: session
            .parts
            .iter()
            .flat_map(|p| {
                let lines = p.lines.iter().map(|l| (captions::line_heading(l), true));
                std::iter::once((captions::heading(p), false)).chain(lines)
            })
            .collect(),
        homeless: chapters.iter().zip(&homes).filter(|(_, home)| home.is_none()).map(|(c, _)| c.title.clone()).collect(),
        has_chapters: !chapters.is_empty(),
        has_captions: talk.is_some_and(|t| t.captions.is_some()),
        chapters: typed,
        chapter_faults,
        caption_faults: shown.captions.into_iter().take(FAULTS).collect(),
        errors: shown.errors,
    };
    let status = if wrong { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    Ok((status, page).into_response())
}

/// What goes with the video of a draft.
async fn talk(app: &App, slot: &Slot) -> Result<Option<Talk>, Error> {
    match app.store.video_address(&slot.video).await? {
        Some(address) => Ok(app.store.talk(slot.id, &address).await?),
        None => Ok(None),
    }
}

/// How the talk-through stands, in a few words for the editor.
pub(super) async fn in_words(app: &App, stored: Option<&Slot>) -> Result<String, Error> {
    let Some(slot) = stored else { return Ok("None yet.".to_owned()) };
    if slot.video == Video::default() {
        return Ok("None yet.".to_owned());
    }
    let talk = talk(app, slot).await?;
    let stale = talk.as_ref().is_some_and(|t| talks::differs(&t.text, &slot.draft));
    let chapters = talk.and_then(|t| captions::read_chapters(&t.chapters?).ok()).map_or(0, |c| c.len());
    let video = if slot.video.media.is_some() { "A file" } else { "An address" };
    let chapters = match chapters {
        0 => "no chapters yet".to_owned(),
        1 => "1 chapter".to_owned(),
        n => format!("{n} chapters"),
    };
    let stale = if stale { " The write-up changed after it was made." } else { "" };
    Ok(format!("{video}, {chapters}.{stale}"))
}
