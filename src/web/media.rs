//! Uploaded files, to whoever is signed in: the right type, any range, kept by the browser, and nothing that could run.

use super::App;
use super::access::SignedIn;
use super::error::Error;
use crate::store::media;
use axum::extract::{Path, Request, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use tower::ServiceExt;
use tower_http::services::ServeFile;

/// The bytes under a hash never change. `private`: no cache between us and the reader may keep them.
const CACHE: HeaderValue = HeaderValue::from_static("private, max-age=31536000, immutable");
/// Opened as a page of its own, a file may do nothing at all.
const POLICY: HeaderValue = HeaderValue::from_static("default-src 'none'; media-src 'self'; sandbox");

/// `GET /media/{hash}`
///
/// # Errors
/// A file that was never uploaded. Only a hash that stands in the data file becomes a path, so no other path can be asked for.
pub async fn show_media(
    State(app): State<App>,
    SignedIn(_): SignedIn,
    Path(hash): Path<String>,
    request: Request,
) -> Result<Response, Error> {
    let file = app.store.media_by_hash(&hash).await?;
    let path = media::folder(&app.config.data).join(&file.hash);
    let mut response = ServeFile::new(&path).oneshot(request).await.into_response();
    if response.status() == StatusCode::NOT_FOUND {
        tracing::error!(hash = file.hash, "a file that the data names is missing");
        return Err(Error::NotFound);
    }
    let kind = HeaderValue::from_str(&file.kind).unwrap_or(HeaderValue::from_static("application/octet-stream"));
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_TYPE, kind);
    headers.insert(header::CACHE_CONTROL, CACHE);
    headers.insert(header::CONTENT_SECURITY_POLICY, POLICY);
    Ok(response)
}
