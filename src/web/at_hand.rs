//! Pages that are at hand: made once, and sent again for as long as nothing on them changed.
//!
//! # Design
//! Making a member's day takes a dozen questions to the store; sending it again takes none. A page is kept under the sign-in
//! that asked for it, its address and the encoding that was asked for, so nobody can get another's. It is sent again only while
//! all that it was made of is as it was: everything of theirs and of the practice that is stored
//! ([`Changes`](crate::store::changes::Changes)), the movement library, the day that it is where they live, and their sign-in.
//! Time alone neither keeps a page nor ends it. A handler says that a page may be kept with [`Keep`]; all others never are.
//!
//! This stands before the routes, and says of each page what [`around`](super::around) says: a number, a line in the log, a count.

use super::App;
use super::access;
use super::around;
use super::client::{self, Peer};
use super::etag;
use crate::store::changes::Mark;
use crate::store::ids::PersonId;
use crate::training::calendar::Zone;
use crate::training::movement::Library;
use axum::Router;
use axum::body::{Body, Bytes, to_bytes};
use axum::extract::Request;
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::response::Response;
use std::collections::HashMap;
use std::fmt;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};
use time::{Date, OffsetDateTime};
use tower::ServiceExt;

/// Bytes of all kept pages; past it the sign-ins that were not seen longest go.
const KEPT_BYTES: usize = 20 << 20;
/// About what a page takes beside its body, bytes.
const BESIDE: usize = 2 << 10;
/// Largest page that is kept, bytes.
const LARGEST: usize = 512 << 10;
/// Most pages of one sign-in.
const OF_ONE: usize = 6;

/// Of a page that may be sent again while nothing on it changed: whose it is, and which day it was made on.
#[derive(Clone, Copy, Debug)]
pub struct Keep {
    /// whose
    pub person: PersonId,
    /// where they live
    pub zone: Zone,
    /// the day that it was there
    pub today: Date,
    /// when it would be another by the hour alone
    pub until: Option<OffsetDateTime>,
}

struct Page {
    path: String,
    encoding: Option<HeaderValue>,
    keep: Keep,
    until: OffsetDateTime,
    mark: Mark,
    library: Arc<Library>,
    tag: HeaderValue,
    headers: HeaderMap,
    body: Bytes,
}

#[derive(Default)]
struct Shelf {
    pages: Vec<Arc<Page>>,
    used: u64,
}

#[derive(Default)]
struct Shelves {
    all: HashMap<[u8; 32], Shelf>,
    bytes: usize,
    turn: u64,
}

impl Shelves {
    fn find(&mut self, asked: &Asked<'_>) -> Option<Arc<Page>> {
        self.turn += 1;
        let shelf = self.all.get_mut(&asked.sign_in)?;
        shelf.used = self.turn;
        shelf.pages.iter().find(|p| p.path == asked.path && p.encoding.as_ref() == asked.encoding).cloned()
    }

    fn put(&mut self, sign_in: [u8; 32], page: Page) {
        self.turn += 1;
        let shelf = self.all.entry(sign_in).or_default();
        shelf.used = self.turn;
        let (mut freed, added) = (0, page.size());
        shelf.pages.retain(|p| {
            let other = p.path != page.path || p.encoding != page.encoding;
            freed += if other { 0 } else { p.size() };
            other
        });
        if shelf.pages.len() >= OF_ONE {
            freed += shelf.pages.remove(0).size();
        }
        shelf.pages.push(Arc::new(page));
        self.bytes = (self.bytes + added).saturating_sub(freed);
        while self.bytes > KEPT_BYTES && self.all.len() > 1 {
            let oldest = self.all.iter().filter(|(k, _)| **k != sign_in).min_by_key(|(_, s)| s.used).map(|(k, _)| *k);
            let Some(gone) = oldest.and_then(|k| self.all.remove(&k)) else { break };
            self.bytes = self.bytes.saturating_sub(gone.pages.iter().map(|p| p.size()).sum());
        }
    }
}

/// Pages that are at hand.
#[derive(Clone, Default)]
pub struct AtHand(Arc<Mutex<Shelves>>);

impl fmt::Debug for AtHand {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // people's pages are nobody's business
        f.debug_struct("AtHand").finish_non_exhaustive()
    }
}

/// A request for a page that may be at hand.
struct Asked<'a> {
    sign_in: [u8; 32],
    path: &'a str,
    encoding: Option<&'a HeaderValue>,
}

impl<'a> Asked<'a> {
    fn of<B>(app: &App, request: &'a axum::http::Request<B>) -> Option<Self> {
        let (path, headers) = (request.uri().path(), request.headers());
        let plain = request.method() == Method::GET && request.uri().query().is_none() && !headers.contains_key(header::RANGE);
        if !plain || !(path == "/today" || path.starts_with("/days/")) {
            return None;
        }
        let encoding = headers.get(header::ACCEPT_ENCODING).filter(|e| e.len() <= 100);
        Some(Self { sign_in: access::only_sign_in(app, headers)?, path, encoding })
    }
}

/// What answers requests: pages at hand, and else the routes.
#[derive(Clone)]
pub struct Front {
    app: Option<App>,
    router: Router,
}

impl From<Router> for Front {
    /// Without pages at hand.
    fn from(router: Router) -> Self {
        Self { app: None, router }
    }
}

impl Front {
    /// Before these routes.
    #[must_use]
    pub const fn new(app: App, router: Router) -> Self {
        Self { app: Some(app), router }
    }

    /// The same, with something around the routes.
    #[must_use]
    pub fn around(self, layer: impl FnOnce(Router) -> Router) -> Self {
        Self { app: self.app, router: layer(self.router) }
    }

    /// An answer that is at hand.
    pub fn at_once<B>(&self, request: &axum::http::Request<B>) -> Option<Response> {
        let began = Instant::now();
        let app = self.app.as_ref()?;
        let asked = Asked::of(app, request)?;
        if app.store.others_may_have_written() {
            return None;
        }
        let page = app.at_hand.0.lock().unwrap_or_else(PoisonError::into_inner).find(&asked)?;
        page.is_true(app).then(|| page.send(app, request, began))
    }

    /// The answer.
    pub async fn answer(&self, request: Request) -> Response {
        let (Some(app), router) = (&self.app, self.router.clone()) else { return routed(self.router.clone(), request).await };
        if Asked::of(app, &request).is_none() {
            return routed(router, request).await;
        }
        // where that fails, so does what follows
        let looked = app.look_around().await.is_ok();
        if let Some(answer) = looked.then(|| self.at_once(&request)).flatten() {
            return answer;
        }
        // before anything is read
        let (mark, library) = (app.store.changes().mark(), app.library());
        let (path, headers) = (request.uri().path().to_owned(), request.headers().clone());
        let answer = routed(router, request).await;
        let Some(keep) = answer.extensions().get::<Keep>().copied().filter(|_| answer.status() == StatusCode::OK) else {
            return answer;
        };
        let Some(sign_in) = access::only_sign_in(app, &headers) else { return answer };
        let signed_in = app.store.signed_in_until(&sign_in, keep.person, app.clock.now());
        let (parts, body) = answer.into_parts();
        let Ok(body) = to_bytes(body, usize::MAX).await else { return super::error::plain(StatusCode::INTERNAL_SERVER_ERROR) };
        let mut answer = Response::from_parts(parts, Body::empty());
        let tag = etag::of(&body);
        answer.headers_mut().insert(header::ETAG, tag.clone());
        if etag::is_known(&headers, &tag) {
            return not_changed(answer);
        }
        // somebody who is no longer signed in gets this one, and no other
        if let Some(until) = signed_in.map(|until| keep.until.map_or(until, |hour| until.min(hour)))
            && body.len() <= LARGEST
        {
            let mut kept = answer.headers().clone();
            kept.remove(REQUEST_ID);
            kept.insert(header::CONTENT_LENGTH, HeaderValue::from(body.len()));
            let encoding = headers.get(header::ACCEPT_ENCODING).filter(|e| e.len() <= 100).cloned();
            let page = Page { path, encoding, keep, until, mark, library, tag, headers: kept, body: body.clone() };
            app.at_hand.0.lock().unwrap_or_else(PoisonError::into_inner).put(sign_in, page);
        }
        answer.headers_mut().insert(header::CONTENT_LENGTH, HeaderValue::from(body.len()));
        *answer.body_mut() = Body::from(body);
        answer
    }
}

const REQUEST_ID: HeaderName = HeaderName::from_static("x-request-id");

async fn routed(router: Router, request: Request) -> Response {
    match router.oneshot(request).await {
        Ok(answer) => answer,
        Err(never) => match never {},
    }
}

fn not_changed(mut answer: Response) -> Response {
    *answer.status_mut() = StatusCode::NOT_MODIFIED;
    *answer.body_mut() = Body::empty();
    for name in [header::CONTENT_TYPE, header::CONTENT_LENGTH, header::CONTENT_ENCODING] {
        answer.headers_mut().remove(name);
    }
    answer
}

impl Page {
    fn size(&self) -> usize {
        self.body.len() + BESIDE
    }

    /// All that it was made of is as it was.
    fn is_true(&self, app: &App) -> bool {
        let now = app.clock.now();
        now < self.until
            && self.keep.zone.day(now) == self.keep.today
            && Arc::ptr_eq(&app.library(), &self.library)
            && app.store.changes().same_pages(self.keep.person, self.mark)
    }

    fn send<B>(&self, app: &App, request: &axum::http::Request<B>, began: Instant) -> Response {
        let mut answer = Response::new(Body::empty());
        *answer.headers_mut() = self.headers.clone();
        let id = around::new_number();
        if let Ok(value) = HeaderValue::from_str(&id) {
            answer.headers_mut().insert(REQUEST_ID, value);
        }
        if etag::is_known(request.headers(), &self.tag) {
            answer = not_changed(answer);
        } else {
            *answer.body_mut() = Body::from(self.body.clone());
        }
        self.note(app, request, (&id, answer.status()), began.elapsed());
        answer
    }

    /// The line in the log, as for any other page.
    fn note<B>(&self, app: &App, request: &axum::http::Request<B>, (id, status): (&str, StatusCode), took: Duration) {
        app.metrics.answered(status, took);
        let route = if self.path == "/today" { "/today" } else { "/days/{date}" };
        let from = client::of(request.extensions().get::<Peer>().copied(), request.headers(), &app.config.proxies);
        let span = tracing::info_span!("request", id, method = %request.method(), route, %from);
        let _in = span.enter();
        let ms = u64::try_from(took.as_millis()).unwrap_or(u64::MAX);
        tracing::info!(event = "answered", status = status.as_u16(), ms, person = self.keep.person.0);
    }
}
