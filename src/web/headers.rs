//! Headers of every answer.

use axum::extract::Request;
use axum::http::{HeaderMap, HeaderName, HeaderValue, header};
use axum::middleware::Next;
use axum::response::Response;

const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; media-src 'self'; \
    connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// A file is no page: it loads nothing at all, and headers that only pages need would weigh more than it does.
const FILE_POLICY: &str = "default-src 'none'; frame-ancestors 'none'";

/// Sets what a handler did not set itself: nothing is stored, nothing is loaded from elsewhere, nothing is framed.
pub async fn add(request: Request, next: Next) -> Response {
    let file = request.uri().path().starts_with("/static/");
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    let mut set = |name: HeaderName, value: &'static str| {
        headers.entry(name).or_insert(HeaderValue::from_static(value));
    };
    set(header::X_CONTENT_TYPE_OPTIONS, "nosniff");
    if file {
        set(header::CONTENT_SECURITY_POLICY, FILE_POLICY);
        set(header::REFERRER_POLICY, "same-origin");
        set(HeaderName::from_static("cross-origin-resource-policy"), "same-origin");
        say_charset(headers);
        return response;
    }
    set(header::CONTENT_SECURITY_POLICY, POLICY);
    set(header::REFERRER_POLICY, "same-origin");
    set(header::X_FRAME_OPTIONS, "DENY");
    set(HeaderName::from_static("cross-origin-opener-policy"), "same-origin");
    set(HeaderName::from_static("cross-origin-resource-policy"), "same-origin");
    set(
        HeaderName::from_static("permissions-policy"),
        "camera=(), microphone=(), geolocation=(), payment=(), usb=(), screen-wake-lock=(self)",
    );
    set(header::CACHE_CONTROL, "no-store");
    response
}

/// Text says how its letters are written: ours is all UTF-8.
fn say_charset(headers: &mut HeaderMap) {
    let Some(kind) = headers.get(header::CONTENT_TYPE).and_then(|v| v.to_str().ok()) else { return };
    let text = kind.starts_with("text/") || kind.ends_with("javascript") || kind.ends_with("json");
    if text
        && !kind.contains("charset")
        && let Ok(kind) = HeaderValue::from_str(&format!("{kind}; charset=utf-8"))
    {
        headers.insert(header::CONTENT_TYPE, kind);
    }
}

/// Asks browsers to come back over TLS only.
pub async fn add_strict_transport(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let year = HeaderValue::from_static("max-age=31536000; includeSubDomains");
    response.headers_mut().insert(header::STRICT_TRANSPORT_SECURITY, year);
    response
}
