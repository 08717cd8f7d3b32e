//! Setting the video: an address, or a file in a plain form.

use super::kind::{HEAD, kind, shown_name};
use super::{Shown, page};
use crate::store::StoreError;
use crate::store::ids::{MediaId, SessionId};
use crate::store::media::Incoming;
use crate::store::people::Person;
use crate::store::weeks::Video;
use crate::web::App;
use crate::web::access::Coach;
use crate::web::coach::place::{Place, SlotPath};
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

/// Sets the video of a slot, made for what is written there now.
pub(super) async fn set(app: &App, place: &Place, video: &Video) -> Result<(), Error> {
    let id = row(app, place).await?;
    app.store.save_video(id, video).await?;
    if let Some(address) = app.store.video_address(video).await? {
        app.store.fit_talk(id, &address, app.clock.now()).await?;
    }
    Ok(())
}

pub(super) fn back(place: &Place) -> Response {
    Redirect::to(&format!("{}/video?said=saved", place.address())).into_response()
}

/// The https address that was typed, its scheme in lower case: a host of any kind, perhaps a port, no name to sign in with and no
/// spaces. Anything else is none.
fn https(typed: &str) -> Option<String> {
    let (scheme, rest) = typed.split_once("://")?;
    let authority = rest.split(['/', '?', '#']).next()?;
    let fits = scheme.eq_ignore_ascii_case("https") && typed.len() <= 2000 && !typed.contains(char::is_whitespace);
    (fits && is_host(authority)).then(|| format!("https://{rest}"))
}

/// `video.example`, `nas`, `192.0.2.7:8443`, `[fd00::1]`.
fn is_host(authority: &str) -> bool {
    let (host, port) = match authority.strip_prefix('[').and_then(|inside| inside.split_once(']')) {
        Some((address, "")) => (address.parse::<std::net::Ipv6Addr>().is_ok(), None),
        Some((address, port)) => (address.parse::<std::net::Ipv6Addr>().is_ok(), port.strip_prefix(':').or(Some(port))),
        None => {
            let (name, port) = authority.split_once(':').map_or((authority, None), |(name, port)| (name, Some(port)));
            let label = |l: &str| !l.is_empty() && l.chars().all(|c| c.is_alphanumeric() || c == '-' || c == '_');
            (name.strip_suffix('.').unwrap_or(name).split('.').all(label), port)
        }
    };
    host && port.is_none_or(|port| port.parse::<u16>().is_ok_and(|n| n > 0))
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
    let address = https(url);
    if !url.is_empty() && address.is_none() {
        let mut errors = Errors::default();
        errors.add("url", "The whole address of the video, beginning with https://");
        return page(&app, &coach, &place, Shown { url: Some(form.url), errors, ..Shown::default() }).await;
    }
    set(&app, &place, &Video { url: address, media: None }).await?;
    Ok(back(&place))
}

/// `POST /groups/{id}/days/{date}/{slot}/video/fits`: a video of an earlier write-up still fits.
///
/// # Errors
/// No such group or day, or no video there.
pub async fn save_fits(State(app): State<App>, Coach(_): Coach, Path(path): Path<SlotPath>) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    let slot = place.stored(&app).await?.ok_or(Error::NotFound)?;
    let address = app.store.video_address(&slot.video).await?.ok_or(Error::NotFound)?;
    app.store.fit_talk(slot.id, &address, app.clock.now()).await?;
    Ok(back(&place))
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
                set(&app, &place, &Video { url: None, media: Some(media) }).await?;
                Ok(back(&place))
            }
            Err(Refused::Say(words)) => refused(&app, &coach, &place, words).await,
            Err(Refused::TooLarge) => {
                let mut response = refused(&app, &coach, &place, too_large(&app)).await?;
                *response.status_mut() = StatusCode::PAYLOAD_TOO_LARGE;
                Ok(response)
            }
            Err(Refused::Error(e)) => Err(e),
        };
    }
    refused(&app, &coach, &place, "Choose a file first.".to_owned()).await
}

pub(super) fn too_large(app: &App) -> String {
    format!("The file is larger than {} MB. Make it shorter or smaller.", app.config.upload_mb)
}

/// What is said of a file that is none.
pub(super) const NO_VIDEO: &str = "This is no MP4, MOV or WebM video.";

async fn refused(app: &App, coach: &Person, place: &Place, words: String) -> Result<Response, Error> {
    let mut errors = Errors::default();
    errors.add("file", words);
    page(app, coach, place, Shown { errors, ..Shown::default() }).await
}

/// Why a file is not taken.
enum Refused {
    Say(String),
    TooLarge,
    Error(Error),
}

impl From<std::io::Error> for Refused {
    fn from(e: std::io::Error) -> Self {
        Self::Error(StoreError::from(e).into())
    }
}

async fn receive(app: &App, mut field: Field<'_>) -> Result<MediaId, Refused> {
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
    let Some(kind) = kind(&head) else { return Err(Refused::Say(NO_VIDEO.to_owned())) };
    let bytes = i64::try_from(incoming.bytes()).unwrap_or(i64::MAX);
    let hash = incoming.keep().await?;
    app.store.add_media(&hash, kind, bytes, &name, app.clock.now()).await.map_err(|e| Refused::Error(e.into()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_an_https_address_is_taken() {
        for good in
            ["https://video.example/talk?x=1", "https://nas/talk.mp4", "https://[fd00::1]:8443/talk", "https://192.0.2.7/#t=3"]
        {
            assert_eq!(https(good).as_deref(), Some(good));
        }
        assert_eq!(https("Https://example.org/A").as_deref(), Some("https://example.org/A"));
        for bad in [
            "http://video.example/",
            "https://",
            "https:///talk",
            "https://host only.example",
            "javascript:x",
            "https://a@video.example",
            "https://[fd00::x]/",
            "https://nas:99999/",
            "https://nas:/",
            "https://a..b/",
        ] {
            assert_eq!(https(bad), None, "{bad}");
        }
    }
}
