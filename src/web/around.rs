//! Around every request: a number, a line in the log, counts, and a plain page where a library answered with bare words.

use super::App;
use super::client::{self, Client, Peer};
use super::error;
use crate::clock;
use crate::store::ids::PersonId;
use axum::extract::{MatchedPath, Request, State};
use axum::http::{HeaderName, HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::Response;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::Instant;
use tracing::Instrument;

tokio::task_local! {
    static NUMBER: String;
}

/// The number of the request that is being answered; it stands in the log, in the answer's header and on pages about
/// what went wrong.
#[must_use]
pub fn number() -> Option<String> {
    NUMBER.try_with(Clone::clone).ok()
}

/// A number for a request.
#[must_use]
pub fn new_number() -> String {
    const HEX: &[u8; 16] = b"0123456789abcdef";
    let hex = |half: u8| char::from(HEX[usize::from(half & 15)]);
    clock::random::<8>().iter().flat_map(|b| [hex(b >> 4), hex(*b)]).collect()
}

/// Who turned out to be signed in, for the log and the trail.
#[derive(Clone, Debug, Default)]
pub struct Note(Arc<AtomicI64>);

impl Note {
    /// Says who it is.
    pub fn set(&self, person: PersonId) {
        self.0.store(person.0, Ordering::Relaxed);
    }

    /// Who it is, where anybody.
    #[must_use]
    pub fn person(&self) -> Option<PersonId> {
        Some(self.0.load(Ordering::Relaxed)).filter(|id| *id != 0).map(PersonId)
    }
}

/// Gives the request its number and its line in the log. The line has the route and never the address itself: one-time
/// links are secrets.
pub async fn around(State(app): State<App>, mut request: Request, next: Next) -> Response {
    let began = Instant::now();
    let id = new_number();
    let note = Note::default();
    request.extensions_mut().insert(note.clone());
    let from = client::of(request.extensions().get::<Peer>().copied(), request.headers(), &app.config.proxies);
    request.extensions_mut().insert(Client(from));
    let route = request.extensions().get::<MatchedPath>().map_or(String::new(), |m| m.as_str().to_owned());
    let method = request.method().clone();
    let span = tracing::info_span!("request", id, %method, route, %from);
    let mut response = NUMBER.scope(id.clone(), next.run(request)).instrument(span.clone()).await;
    if is_bare(&response, &route) {
        let own = response.headers().clone();
        response = NUMBER.sync_scope(id.clone(), || error::plain(response.status()));
        for name in [header::ALLOW, header::RETRY_AFTER] {
            if let Some(value) = own.get(&name) {
                response.headers_mut().insert(name, value.clone());
            }
        }
    }
    let (status, took) = (response.status(), began.elapsed());
    app.metrics.answered(status, took);
    let _in = span.enter();
    let (status, ms, person) = (status.as_u16(), took.as_millis() as u64, note.person().map(|p| p.0));
    match status {
        403 | 404 if person.is_some() => tracing::info!(event = "refused", status, ms, person),
        403 => tracing::info!(event = "refused", status, ms),
        _ if route.starts_with("/static") || route == "/healthz" => tracing::debug!(event = "answered", status, ms),
        _ => tracing::info!(event = "answered", status, ms, person),
    }
    if let Ok(value) = HeaderValue::from_str(&id) {
        response.headers_mut().insert(HeaderName::from_static("x-request-id"), value);
    }
    response
}

/// A library said no in bare words. What speaks JSON, and files, keep their own.
fn is_bare(response: &Response, route: &str) -> bool {
    let status = response.status();
    let kind = response.headers().get(header::CONTENT_TYPE).and_then(|v| v.to_str().ok()).unwrap_or_default();
    (status.is_client_error() || status.is_server_error())
        && status != StatusCode::RANGE_NOT_SATISFIABLE
        && (kind.is_empty() || kind.starts_with("text/plain"))
        && !["/api", "/healthz", "/metrics"].iter().any(|own| route.starts_with(own))
}
