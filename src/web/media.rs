//! Uploaded files, to whoever may see a session that has them: the right type, any range, kept by the browser, and nothing that could run.

use super::App;
use super::access::Joined;
use super::error::Error;
use super::etag;
use crate::store::media;
use crate::store::people::Role;
use axum::extract::{Path, Request, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use tower::ServiceExt;
use tower_http::services::ServeFile;

/// The bytes under a hash never change. `private`: no cache between us and the reader may keep them.
const CACHE: HeaderValue = HeaderValue::from_static("private, max-age=31536000, immutable");
/// Opened as a page of its own, a file may do nothing at all.
const POLICY: HeaderValue = HeaderValue::from_static("default-src 'none'; media-src 'self'; frame-ancestors 'none'; sandbox");

/// `GET /media/{hash}`
///
/// # Errors
/// A file that was never uploaded, or of no session that this reader may see. Only a hash that stands in the data file becomes a path, so no other path can be asked for.
pub async fn show_media(
    State(app): State<App>,
    Joined(reader): Joined,
    Path(hash): Path<String>,
    mut request: Request,
) -> Result<Response, Error> {
    let file = match reader.role {
        Role::Coach => app.store.media_for_coach(&hash).await?,
        Role::Member => app.store.media_for(reader.id, &hash).await?,
    };
    let mark = etag::named(&file.hash);
    if etag::is_known(request.headers(), &mark) {
        return Ok((StatusCode::NOT_MODIFIED, [(header::ETAG, mark), (header::CACHE_CONTROL, CACHE)]).into_response());
    }
    fit_range(request.headers_mut(), &mark);
    let path = media::folder(&app.config.data).join(&file.hash);
    let mut response = ServeFile::new(&path).oneshot(request).await.into_response();
    if response.status() == StatusCode::NOT_FOUND {
        tracing::error!(hash = file.hash, "a file that the data names is missing");
        return Err(Error::NotFound);
    }
    if response.status() == StatusCode::RANGE_NOT_SATISFIABLE {
        return Ok(response);
    }
    let kind = HeaderValue::from_str(&file.kind).unwrap_or(HeaderValue::from_static("application/octet-stream"));
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_TYPE, kind);
    headers.insert(header::ETAG, mark);
    headers.insert(header::CACHE_CONTROL, CACHE);
    headers.insert(header::CONTENT_SECURITY_POLICY, POLICY);
    Ok(response)
}

/// Leaves a range in the request only where RFC 9110 (sections 13.1.5 and 14.2) has one looked at: of the very bytes that
/// `If-Range` names, and of a form that we answer. Anything else gets the whole file, as if no range had been asked for.
fn fit_range(headers: &mut HeaderMap, mark: &HeaderValue) {
    let of_these = headers.get(header::IF_RANGE).is_none_or(|v| v == mark);
    let plain = headers.get(header::RANGE).and_then(|v| v.to_str().ok()).is_some_and(one_range);
    if !of_these || !plain {
        headers.remove(header::RANGE);
    }
    headers.remove(header::IF_RANGE);
    // by the entity tag or not at all: a copied file has another date and the same bytes
    headers.remove(header::IF_MODIFIED_SINCE);
    headers.remove(header::IF_UNMODIFIED_SINCE);
}

/// `bytes=2-5`, `bytes=2-`, `bytes=-4`: one range, the right way round.
fn one_range(text: &str) -> bool {
    let Some((first, last)) = text.strip_prefix("bytes=").and_then(|r| r.trim().split_once('-')) else { return false };
    let number = |s: &str| s.bytes().all(|b| b.is_ascii_digit()).then(|| s.parse::<u64>().ok()).flatten();
    match (first.is_empty(), last.is_empty()) {
        (true, true) => false,
        (true, false) => number(last).is_some(),
        (false, true) => number(first).is_some(),
        (false, false) => number(first).zip(number(last)).is_some_and(|(a, b)| a <= b),
    }
}
