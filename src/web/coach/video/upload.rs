//! Uploads that go on where they were cut off.
//!
//! # Design
//! The protocol is the IETF's *Resumable Uploads for HTTP* (draft-ietf-httpbis-resumable-upload), as much of it as a video
//! needs; docs/ROOMS.md has it in a table. An upload is begun with its length and no bytes, so that its address is known
//! before anything can be lost. Whatever came before a cut stays; `HEAD` says how much that is. Nothing that the browser says
//! of the file is believed but its name: the type comes from its bytes, the hash is made here.

use super::kind::{HEAD, kind, shown_name};
use super::save::{NO_VIDEO, set, too_large};
use crate::store::StoreError;
use crate::store::ids::PersonId;
use crate::store::trail::Kind;
use crate::store::uploads::{self, Upload};
use crate::store::weeks::Video;
use crate::training::calendar;
use crate::web::App;
use crate::web::access::{Coach, Staff};
use crate::web::api::problem::Refusal;
use crate::web::coach::place::{Place, SlotPath};
use crate::web::error::Error;
use crate::web::trail;
use axum::Json;
use axum::body::Body;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use futures_util::StreamExt;
use serde::Deserialize;
use tokio::io::AsyncWriteExt;

const OFFSET: HeaderName = HeaderName::from_static("upload-offset");
const COMPLETE: HeaderName = HeaderName::from_static("upload-complete");
const LENGTH: HeaderName = HeaderName::from_static("upload-length");
const LIMIT: HeaderName = HeaderName::from_static("upload-limit");
/// The media type of a piece.
const PIECE: &str = "application/partial-upload";

/// The file that will come.
#[derive(Deserialize)]
pub struct Announced {
    name: String,
}

fn number(headers: &HeaderMap, name: &HeaderName) -> Option<u64> {
    headers.get(name)?.to_str().ok()?.parse().ok()
}

/// A problem in the shape of RFC 9457; `detail` is for people.
fn problem(status: StatusCode, detail: &str) -> Response {
    Refusal::new(status, detail).into_response()
}

/// How far an upload is.
fn state(response: &mut Response, offset: u64, complete: bool) {
    let headers = response.headers_mut();
    headers.insert(OFFSET, offset.into());
    headers.insert(COMPLETE, HeaderValue::from_static(if complete { "?1" } else { "?0" }));
}

/// `POST /groups/{id}/days/{date}/{slot}/video/uploads`: begins one, with `Upload-Length` and the file's name as JSON.
///
/// # Errors
/// No such group or day, a full disk.
pub async fn begin_upload(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(path): Path<SlotPath>,
    headers: HeaderMap,
    Json(file): Json<Announced>,
) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    let now = app.clock.now();
    app.store.sweep_uploads(&app.config.data, now).await?;
    let most = app.config.upload_mb * 1_000_000;
    let bytes = match number(&headers, &LENGTH) {
        None | Some(0) => return Ok(problem(StatusCode::BAD_REQUEST, "How large is the file? Upload-Length is missing, or 0.")),
        Some(bytes) if bytes > most => return Ok(problem(StatusCode::PAYLOAD_TOO_LARGE, &too_large(&app))),
        Some(bytes) => bytes,
    };
    let at = (place.group.id, place.day, place.slot);
    let id = app.store.begin_upload(&app.config.data, coach.id, at, (&shown_name(&file.name), bytes), now).await?;
    let mut response = (StatusCode::CREATED, [(header::LOCATION, format!("/uploads/{id}"))]).into_response();
    state(&mut response, 0, false);
    let limit = HeaderValue::from_str(&format!("max-size={most}, max-age={}", uploads::KEPT.whole_seconds()));
    response.headers_mut().extend(limit.ok().map(|l| (LIMIT, l)));
    Ok(response)
}

/// This coach's upload and how much of it has come. One whose file is gone is gone.
async fn found(app: &App, coach: PersonId, id: &str) -> Result<(Upload, u64), Error> {
    let upload = app.store.upload(coach, id).await?;
    if upload.media.is_some() {
        let bytes = upload.bytes;
        return Ok((upload, bytes));
    }
    match uploads::offset(&app.config.data, &upload.id) {
        Ok(offset) => Ok((upload, offset)),
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => {
            app.store.drop_upload(&app.config.data, &upload.id).await?;
            Err(Error::NotFound)
        }
        Err(e) => Err(StoreError::from(e).into()),
    }
}

/// `HEAD /uploads/{id}`: how much has come.
///
/// # Errors
/// No such upload, or somebody else's.
pub async fn show_upload(State(app): State<App>, Staff(coach): Staff, Path(id): Path<String>) -> Result<Response, Error> {
    let (upload, offset) = found(&app, coach.id, &id).await?;
    let mut response = StatusCode::NO_CONTENT.into_response();
    state(&mut response, offset, upload.media.is_some());
    response.headers_mut().insert(LENGTH, upload.bytes.into());
    Ok(response)
}

/// `DELETE /uploads/{id}`: given up.
///
/// # Errors
/// No such upload, or somebody else's.
pub async fn delete_upload(State(app): State<App>, Coach(coach): Coach, Path(id): Path<String>) -> Result<Response, Error> {
    let (upload, _) = found(&app, coach.id, &id).await?;
    app.store.drop_upload(&app.config.data, &upload.id).await?;
    Ok(StatusCode::NO_CONTENT.into_response())
}

/// `PATCH /uploads/{id}`: bytes from `Upload-Offset` on; `Upload-Complete: ?1` with the last of them.
///
/// # Errors
/// No such upload, or somebody else's; a full disk.
pub async fn add_to_upload(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(id): Path<String>,
    headers: HeaderMap,
    body: Body,
) -> Result<Response, Error> {
    let (upload, have) = found(&app, coach.id, &id).await?;
    if headers.get(header::CONTENT_TYPE).is_none_or(|v| v != PIECE) {
        return Ok(problem(StatusCode::UNSUPPORTED_MEDIA_TYPE, "A piece is sent as application/partial-upload."));
    }
    let Some(offset) = number(&headers, &OFFSET) else {
        return Ok(problem(StatusCode::BAD_REQUEST, "Where does this piece belong? Upload-Offset is missing."));
    };
    if upload.media.is_some() || offset != have {
        return Ok(mismatch(have, upload.media.is_some()));
    }
    let Some(file) = uploads::open(&app.config.data, &upload.id).map_err(StoreError::from)? else {
        return Ok(problem(StatusCode::LOCKED, "An earlier piece is still being written. Try again in a moment."));
    };
    let have = file.metadata().map_err(StoreError::from)?.len();
    if offset != have {
        return Ok(mismatch(have, false));
    }
    let came = write(tokio::fs::File::from_std(file), body, upload.bytes - have).await?;
    let have = have + came.bytes;
    app.store.touch_upload(&upload.id, None, app.clock.now()).await?;
    let last = headers.get(COMPLETE).is_some_and(|v| v == "?1");
    answer(&app, &upload, have, last, came.end).await
}

fn mismatch(have: u64, complete: bool) -> Response {
    let mut response = problem(StatusCode::CONFLICT, "That is not where the file goes on.");
    state(&mut response, have, complete);
    response
}

struct Came {
    bytes: u64,
    end: End,
}

enum End {
    Whole,
    CutOff,
    TooMuch,
}

/// Adds what comes, as it comes: a cut leaves everything before it.
async fn write(mut file: tokio::fs::File, body: Body, most: u64) -> Result<Came, StoreError> {
    let mut pieces = body.into_data_stream();
    let (mut bytes, mut end) = (0, End::Whole);
    while let Some(piece) = pieces.next().await {
        let Ok(piece) = piece else {
            end = End::CutOff;
            break;
        };
        if bytes + piece.len() as u64 > most {
            end = End::TooMuch;
            break;
        }
        file.write_all(&piece).await?;
        bytes += piece.len() as u64;
    }
    file.flush().await?;
    Ok(Came { bytes, end })
}

async fn answer(app: &App, upload: &Upload, have: u64, last: bool, end: End) -> Result<Response, Error> {
    let refused = |status, words| {
        let mut response = problem(status, words);
        state(&mut response, have, false);
        response
    };
    match end {
        End::CutOff => return Ok(refused(StatusCode::BAD_REQUEST, "The piece was cut off; what came is kept.")),
        End::TooMuch => return Ok(refused(StatusCode::BAD_REQUEST, "More came than was announced.")),
        End::Whole => {}
    }
    let head = uploads::head(&app.config.data, &upload.id, HEAD as u64).map_err(StoreError::from)?;
    let kind = kind(&head);
    if kind.is_none() && (last || head.len() == HEAD) {
        app.store.drop_upload(&app.config.data, &upload.id).await?;
        return Ok(problem(StatusCode::UNSUPPORTED_MEDIA_TYPE, NO_VIDEO));
    }
    match kind {
        Some(kind) if last && have == upload.bytes => finish(app, upload, kind).await,
        _ if last => Ok(refused(StatusCode::BAD_REQUEST, "Less came than was announced.")),
        _ => {
            let mut response = StatusCode::NO_CONTENT.into_response();
            state(&mut response, have, false);
            Ok(response)
        }
    }
}

/// Puts the file in its place and the video on its session. `Repr-Digest` (RFC 9530) says what came.
async fn finish(app: &App, upload: &Upload, kind: &str) -> Result<Response, Error> {
    let (data, id) = (app.config.data.clone(), upload.id.clone());
    let hash = tokio::task::spawn_blocking(move || uploads::keep(&data, &id)).await.map_err(|e| Error::Internal(e.into()))?;
    let hash = hash.map_err(StoreError::from)?;
    let (now, bytes) = (app.clock.now(), i64::try_from(upload.bytes).unwrap_or(i64::MAX));
    let media = app.store.add_media(&hash, kind, bytes, &upload.name, now).await?;
    let (group, day, slot) = upload.place;
    let place = Place { group: app.store.group(group).await?, day, slot };
    set(app, &place, &Video { url: None, media: Some(media) }).await?;
    app.store.touch_upload(&upload.id, Some(media), now).await?;
    let about = Some((Kind::Group, group.0));
    trail::add(app, Some(upload.person), "uploaded a video", about, &calendar::iso(day)).await;
    let mut response = StatusCode::OK.into_response();
    state(&mut response, upload.bytes, true);
    let headers = response.headers_mut();
    headers.extend(HeaderValue::from_str(&format!("/media/{hash}")).ok().map(|v| (header::CONTENT_LOCATION, v)));
    headers.extend(digest(&hash).map(|v| (HeaderName::from_static("repr-digest"), v)));
    Ok(response)
}

fn digest(hash: &str) -> Option<HeaderValue> {
    let byte = |i| u8::from_str_radix(hash.get(i..i + 2)?, 16).ok();
    let bytes: Vec<u8> = (0..hash.len()).step_by(2).map(byte).collect::<Option<_>>()?;
    HeaderValue::from_str(&format!("sha-256=:{}:", BASE64_STANDARD.encode(bytes))).ok()
}
