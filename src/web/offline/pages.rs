//! The pages of the coming days, in one answer, for a device to keep.

use crate::store::people::{Person, Role};
use crate::training::calendar;
use crate::web::App;
use crate::web::access::{self, CAUTIONS_VERSION, SignedIn};
use crate::web::error::Error;
use crate::web::member::{clock, day};
use axum::Json;
use axum::extract::State;
use axum::http::HeaderMap;
use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::HashMap;
use time::Duration;

/// Days from today on that a phone keeps.
const AHEAD: i64 = 13;

/// What the device has: address to version.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Have {
    have: HashMap<String, String>,
}

/// What the device should have.
#[derive(Serialize)]
pub struct Pages {
    /// name of the sign-in that they belong to
    key: String,
    /// who is signed in
    person: i64,
    /// seals what waits to be sent
    seal: String,
    /// where their day begins, by IANA name
    zone: String,
    /// every page, in order
    pages: Vec<Page>,
}

/// One page.
#[derive(Serialize)]
struct Page {
    path: String,
    /// changes with what is on it
    version: String,
    /// left out where the device has this version
    #[serde(skip_serializing_if = "Option::is_none")]
    html: Option<String>,
}

/// `POST /offline/pages`: today and the coming published days, each with its clocks.
///
/// # Errors
/// Only the store's own.
pub async fn list_pages(
    State(app): State<App>,
    SignedIn(person): SignedIn,
    headers: HeaderMap,
    Json(have): Json<Have>,
) -> Result<Json<Pages>, Error> {
    let mut pages = Vec::new();
    if person.role == Role::Member && person.cautions_version == Some(CAUTIONS_VERSION) {
        for (path, html, version) in render(&app, &person).await? {
            let known = have.have.get(&path) == Some(&version);
            pages.push(Page { path, version, html: (!known).then_some(html) });
        }
    }
    Ok(Json(Pages {
        key: access::device_key(&app, &headers).unwrap_or_default(),
        seal: app.links.seal_of(person.id),
        zone: person.zone.name().to_owned(),
        person: person.id.0,
        pages,
    }))
}

/// Address, page and version of each page.
async fn render(app: &App, person: &Person) -> Result<Vec<(String, String, String)>, Error> {
    let today = person.zone.day(app.clock.now());
    let mut days = app.store.live_days(person.id, today, today + Duration::days(AHEAD)).await?;
    if days.first() != Some(&today) {
        days.insert(0, today);
    }
    let mut all = Vec::new();
    for on in days {
        let (html, ids) = day::kept(app, person, on).await?;
        // the ids of forms that nobody has filled in are new in every rendering and say nothing
        let same = ids.iter().fold(html.clone(), |html, id| html.replace(id, ""));
        all.push((format!("/days/{}", calendar::iso(on)), html, version(&same)));
        for (path, html) in clock::kept(app, person, on).await? {
            let version = version(&html);
            all.push((path, html, version));
        }
    }
    Ok(all)
}

fn version(html: &str) -> String {
    BASE64_URL_SAFE_NO_PAD.encode(&Sha256::digest(html)[..9])
}
