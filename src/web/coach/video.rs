//! The talk-through of a session: an address, or an uploaded file.

use super::editor::{Shown, editor_page};
use super::place::{Place, SlotPath};
use crate::store::StoreError;
use crate::store::ids::SessionId;
use crate::store::media::Incoming;
use crate::store::people::Person;
use crate::store::weeks::Video;
use crate::web::App;
use crate::web::access::Coach;
use crate::web::error::Error;
use crate::web::forms::Errors;
use axum::extract::multipart::Field;
use axum::extract::{Multipart, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;

/// The address, as typed; empty takes the talk-through out.
#[derive(Deserialize)]
pub struct VideoForm {
    #[serde(default)]
    url: String,
}

/// The row of a slot; made where nothing was written yet.
async fn row(app: &App, place: &Place) -> Result<SessionId, Error> {
    match place.stored(app).await? {
        Some(stored) => Ok(stored.id),
        None => Ok(app.store.save_draft(place.group.id, place.day, place.slot, "", 0, app.clock.now()).await?.0),
    }
}

/// An https address with a host, without spaces; anything else is none.
fn https(url: &str) -> bool {
    let host = url.strip_prefix("https://").and_then(|rest| rest.split(['/', '?', '#']).next());
    url.len() <= 2000 && !url.contains(char::is_whitespace) && host.is_some_and(|h| h.contains('.') && !h.contains('@'))
}

/// `POST /groups/{id}/days/{date}/{slot}/video`
///
/// # Errors
/// No such group or day; a wrong address comes back with the page.
pub async fn save_video(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(path): Path<SlotPath>,
    Form(form): Form<VideoForm>,
) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    let url = form.url.trim();
    if !url.is_empty() && !https(url) {
        let mut errors = Errors::default();
        errors.add("url", "The whole address of the video, beginning with https://");
        return editor_page(&app, &coach, &place, Shown { video_url: Some(form.url), errors, ..Shown::default() }).await;
    }
    let video = Video { url: (!url.is_empty()).then(|| url.to_owned()), media: None };
    app.store.save_video(row(&app, &place).await?, &video).await?;
    Ok(Redirect::to(&format!("{}?said=saved#video", place.address())).into_response())
}

/// `POST /groups/{id}/days/{date}/{slot}/video/file`: streamed to disk, never held in memory.
///
/// # Errors
/// No such group or day, a full disk; a file that is none of ours or too large comes back with the page.
pub async fn upload_video(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(path): Path<SlotPath>,
    mut form: Multipart,
) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    while let Some(field) = form.next_field().await.map_err(|e| Error::Bad(format!("The file did not come through: {e}")))? {
        if field.name() != Some("file") {
            continue;
        }
        return match receive(&app, field).await {
            Ok(media) => {
                let video = Video { url: None, media: Some(media) };
                app.store.save_video(row(&app, &place).await?, &video).await?;
                Ok(Redirect::to(&format!("{}?said=saved#video", place.address())).into_response())
            }
            Err(Refused::Say(words)) => refused(&app, &coach, &place, words).await,
            Err(Refused::TooLarge) => {
                let words = format!("The file is larger than {} MB. Make it shorter or smaller.", app.config.upload_mb);
                let mut response = refused(&app, &coach, &place, words).await?;
                *response.status_mut() = StatusCode::PAYLOAD_TOO_LARGE;
                Ok(response)
            }
            Err(Refused::Error(e)) => Err(e),
        };
    }
    refused(&app, &coach, &place, "Choose a file first.".to_owned()).await
}

async fn refused(app: &App, coach: &Person, place: &Place, words: String) -> Result<Response, Error> {
    let mut errors = Errors::default();
    errors.add("file", words);
    editor_page(app, coach, place, Shown { errors, ..Shown::default() }).await
}

/// Why a file is not taken.
enum Refused {
    Say(String),
    TooLarge,
    Error(Error),
}

impl From<std::io::Error> for Refused {
    fn from(e: std::io::Error) -> Self {
        if e.kind() == std::io::ErrorKind::StorageFull {
            return Self::Error(StoreError::Full.into());
        }
        Self::Error(Error::Internal(e.into()))
    }
}

/// Bytes that are looked at to tell what a file is.
const HEAD: usize = 4096;

async fn receive(app: &App, mut field: Field<'_>) -> Result<crate::store::ids::MediaId, Refused> {
    let name = shown_name(field.file_name().unwrap_or_default());
    let mut incoming = Incoming::open(&app.config.data).await?;
    let mut head: Vec<u8> = Vec::with_capacity(HEAD);
    let broken = |_| Refused::Say("The upload broke off. Try again.".to_owned());
    while let Some(chunk) = field.chunk().await.map_err(broken)? {
        head.extend(chunk.iter().take(HEAD - head.len()));
        incoming.write(&chunk).await?;
        if incoming.bytes() > app.config.upload_mb * 1_000_000 {
            return Err(Refused::TooLarge);
        }
    }
    if incoming.bytes() == 0 {
        return Err(Refused::Say("Choose a file first.".to_owned()));
    }
    let Some(kind) = kind(&head) else {
        return Err(Refused::Say("This is no MP4, MOV or WebM video.".to_owned()));
    };
    let bytes = i64::try_from(incoming.bytes()).unwrap_or(i64::MAX);
    let hash = incoming.keep().await?;
    app.store.add_media(&hash, kind, bytes, &name, app.clock.now()).await.map_err(|e| Refused::Error(e.into()))
}

/// The file's own name, without folders, for people to read; it never becomes a path.
fn shown_name(name: &str) -> String {
    let own = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let shown: String = own.chars().filter(|c| !c.is_control()).take(100).collect();
    if shown.trim().is_empty() { "video".to_owned() } else { shown }
}

/// What a file is by its first bytes, whatever its name says: ISO base media (ISO/IEC 14496-12: box `ftyp` with a brand of
/// video) or WebM (an EBML header, RFC 8794, whose document type is `webm`).
fn kind(head: &[u8]) -> Option<&'static str> {
    const VIDEO: [&[u8]; 17] = [
        b"isom", b"iso2", b"iso3", b"iso4", b"iso5", b"iso6", b"iso7", b"iso8", b"iso9", b"mp41", b"mp42", b"avc1", b"M4V ",
        b"M4VH", b"MSNV", b"dash", b"3gp5",
    ];
    if head.get(4..8) == Some(b"ftyp") {
        let brand = head.get(8..12)?;
        if brand == b"qt  " {
            return Some("video/quicktime");
        }
        return VIDEO.contains(&brand).then_some("video/mp4");
    }
    let doctype = b"\x42\x82\x84webm";
    let webm = head.starts_with(b"\x1a\x45\xdf\xa3") && head[..head.len().min(64)].windows(doctype.len()).any(|w| w == doctype);
    webm.then_some("video/webm")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_what_its_first_bytes_say() {
        assert_eq!(kind(b"\x00\x00\x00\x18ftypisom\x00\x00\x02\x00"), Some("video/mp4"));
        assert_eq!(kind(b"\x00\x00\x00\x14ftypqt  \x00\x00\x02\x00"), Some("video/quicktime"));
        assert_eq!(kind(b"\x1a\x45\xdf\xa3\x9f\x42\x86\x81\x01\x42\x82\x84webm\x42\x87\x81\x04"), Some("video/webm"));
        for none in [&b"\x00\x00\x00\x18ftypheic"[..], b"<html>", b"", b"\x1a\x45\xdf\xa3\x42\x82\x88matroska", b"ftypisom"] {
            assert_eq!(kind(none), None, "{none:?}");
        }
    }

    #[test]
    fn only_an_https_address_is_taken() {
        assert!(https("https://video.example/talk?x=1"));
        for bad in ["http://video.example/", "https://", "https://host only.example", "javascript:x", "https://a@video.example"] {
            assert!(!https(bad), "{bad}");
        }
    }

    #[test]
    fn a_name_never_brings_its_folders() {
        assert_eq!(shown_name("C:\\clips\\mon\u{7}day.mp4"), "monday.mp4");
        assert_eq!(shown_name("../../"), "video");
    }
}
