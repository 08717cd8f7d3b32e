//! Chapters and captions: typed, or from a WebVTT file.

use super::save::back;
use super::{Shown, page, talk};
use crate::store::ids::SessionId;
use crate::store::talks::{Talk, Track};
use crate::training::captions::{self, Chapter, Fault};
use crate::web::App;
use crate::web::access::{Coach, Staff};
use crate::web::coach::place::{Place, SlotPath};
use crate::web::error::Error;
use axum::extract::{Multipart, Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};

/// The fields of a form that may bring a file.
#[derive(Default)]
struct Sent {
    text: String,
    /// the video's length in seconds, where the page knows it
    length: String,
    /// a WebVTT file; empty where none was chosen
    file: Vec<u8>,
    remove: bool,
}

async fn sent(mut form: Multipart) -> Result<Sent, Error> {
    let broken = |_| Error::Bad("The form did not come through whole, or it is larger than 250 kB.".to_owned());
    let mut all = Sent::default();
    while let Some(field) = form.next_field().await.map_err(broken)? {
        let name = field.name().unwrap_or_default().to_owned();
        let bytes = field.bytes().await.map_err(broken)?;
        let words = || String::from_utf8_lossy(&bytes).into_owned();
        match name.as_str() {
            "text" => all.text = words(),
            "length" => all.length = words(),
            "file" => all.file = bytes.to_vec(),
            "remove" => all.remove = true,
            _ => {}
        }
    }
    Ok(all)
}

/// A file's text; what is no UTF-8 is no WebVTT.
fn text(file: Vec<u8>) -> Result<String, Vec<Fault>> {
    String::from_utf8(file).map_err(|e| {
        let line = e.as_bytes()[..e.utf8_error().valid_up_to()].iter().filter(|b| **b == b'\n').count() + 1;
        vec![Fault { line, text: "The file is not in UTF-8. Save it as UTF-8 and choose it again.".to_owned() }]
    })
}

/// The slot with a video, and that video's address.
async fn filmed(app: &App, place: &Place) -> Result<(SessionId, String), Error> {
    let slot = place.stored(app).await?.ok_or(Error::NotFound)?;
    let address = app.store.video_address(&slot.video).await?.ok_or(Error::NotFound)?;
    Ok((slot.id, address))
}

/// `POST /groups/{id}/days/{date}/{slot}/video/chapters`: typed lines, or a file of chapters.
///
/// # Errors
/// No such group or day, or no video there; what is wrong comes back with its lines.
pub async fn save_chapters(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(path): Path<SlotPath>,
    form: Multipart,
) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    let (id, video) = filmed(&app, &place).await?;
    let form = sent(form).await?;
    let length = form.length.parse::<f64>().ok().filter(|s| s.is_finite() && (0.0..360_000.0).contains(s) && *s > 0.0);
    let read = if form.file.is_empty() {
        captions::read_typed(&form.text.replace("\r\n", "\n"), length.map(millis))
    } else {
        text(form.file).and_then(|text| captions::read_chapters(&text))
    };
    match read {
        Err(faults) => page(&app, &coach, &place, Shown { chapters: Some((form.text, faults)), ..Shown::default() }).await,
        Ok(chapters) => {
            let vtt = (!chapters.is_empty()).then(|| captions::chapters(&chapters));
            app.store.save_track(id, &video, (Track::Chapters, vtt.as_deref()), app.clock.now()).await?;
            Ok(back(&place))
        }
    }
}

fn millis(seconds: f64) -> u64 {
    (seconds * 1000.0) as u64
}

/// `POST /groups/{id}/days/{date}/{slot}/video/captions`: a file of captions, or `remove`.
///
/// # Errors
/// No such group or day, or no video there; what is wrong comes back with its lines.
pub async fn save_captions(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(path): Path<SlotPath>,
    form: Multipart,
) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    let (id, video) = filmed(&app, &place).await?;
    let form = sent(form).await?;
    let vtt = if form.remove {
        None
    } else {
        let read = text(form.file).and_then(|text| captions::read(&text).map(|_| text));
        match read {
            Ok(text) => Some(text),
            Err(faults) => return page(&app, &coach, &place, Shown { captions: faults, ..Shown::default() }).await,
        }
    };
    app.store.save_track(id, &video, (Track::Captions, vtt.as_deref()), app.clock.now()).await?;
    Ok(back(&place))
}

/// `GET /groups/{id}/days/{date}/{slot}/video/{track}`
///
/// # Errors
/// No such group or day, or no such track there.
pub async fn show_track(
    State(app): State<App>,
    Staff(_): Staff,
    Path((group, date, slot, track)): Path<(i64, String, u8, String)>,
) -> Result<Response, Error> {
    let place = Place::read(&app, (group, date, slot)).await?;
    let slot = place.stored(&app).await?.ok_or(Error::NotFound)?;
    track_file(talk(&app, &slot).await?, &track)
}

/// The track of that name as a file.
pub(crate) fn track_file(talk: Option<Talk>, name: &str) -> Result<Response, Error> {
    let talk = talk.ok_or(Error::NotFound)?;
    let text = match name {
        "chapters.vtt" => talk.chapters,
        "captions.vtt" => talk.captions,
        _ => None,
    };
    Ok(([(header::CONTENT_TYPE, "text/vtt; charset=utf-8")], text.ok_or(Error::NotFound)?).into_response())
}

/// The chapters of a talk-through; none where there are none.
pub(crate) fn chapters_of(talk: Option<&Talk>) -> Vec<Chapter> {
    talk.and_then(|t| captions::read_chapters(t.chapters.as_deref()?).ok()).unwrap_or_default()
}
