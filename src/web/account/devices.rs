//! Where one is signed in, and signing those browsers out.

use super::confirm::{self, Confirmed};
use crate::store::sign_ins::Device;
use crate::training::calendar;
use crate::web::App;
use crate::web::access::{self, SignedIn};
use crate::web::client::Client;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::{Frame, Said};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;

#[derive(Template, WebTemplate)]
#[template(path = "account/devices.html")]
struct DevicesPage {
    frame: Frame,
    devices: Vec<Row>,
    errors: Errors,
}

struct Row {
    id: i64,
    /// of its password
    field: String,
    name: String,
    since: String,
    seen: String,
    this_one: bool,
}

/// What a browser calls itself, as a person would say it.
fn name(agent: &str) -> String {
    let first = |pairs: &[(&str, &'static str)]| pairs.iter().find(|(mark, _)| agent.contains(mark)).map(|(_, name)| *name);
    // the order matters: each of them also claims to be the ones below it
    let browser =
        first(&[("Firefox/", "Firefox"), ("Edg", "Edge"), ("Chrome/", "Chrome"), ("CriOS", "Chrome"), ("Safari/", "Safari")]);
    let system = first(&[
        ("Android", "Android"),
        ("iPhone", "iPhone"),
        ("iPad", "iPad"),
        ("Windows", "Windows"),
        ("Mac OS", "Mac"),
        ("Linux", "Linux"),
    ]);
    match (browser, system) {
        (Some(b), Some(s)) => format!("{b} on {s}"),
        (Some(one), None) | (None, Some(one)) => one.to_owned(),
        (None, None) => "Another browser".to_owned(),
    }
}

async fn page(app: &App, who: &SignedIn, headers: &HeaderMap, said: Option<&str>) -> Result<DevicesPage, Error> {
    let SignedIn(person) = who;
    let this = access::this_browser(app, headers).unwrap_or_default();
    let day = |at| calendar::long(person.zone.day(at));
    let row = |d: Device| Row {
        id: d.id,
        field: format!("password-{}", d.id),
        name: name(&d.agent),
        since: day(d.created_at),
        seen: day(d.seen_at),
        this_one: d.this_one,
    };
    let devices = app.store.devices(person.id, &this, app.clock.now()).await?.into_iter().map(row).collect();
    let frame = Frame::of(person, "Signed-in devices", "you").saying(said);
    Ok(DevicesPage { frame, devices, errors: Errors::default() })
}

/// `GET /you/devices`
///
/// # Errors
/// Only the store's own.
pub async fn list_devices(
    State(app): State<App>,
    who: SignedIn,
    headers: HeaderMap,
    Query(q): Query<Said>,
) -> Result<Response, Error> {
    Ok(page(&app, &who, &headers, q.said.as_deref()).await?.into_response())
}

/// One's own password, typed once more.
#[derive(Deserialize)]
pub struct Password {
    #[serde(default)]
    password: String,
}

async fn confirmed(
    app: &App,
    who: &SignedIn,
    headers: &HeaderMap,
    from: Client,
    typed: Password,
    form: i64,
) -> Result<Option<Response>, Error> {
    let words = match confirm::password(app, &who.0, from, headers, typed.password).await? {
        Confirmed::Right => return Ok(None),
        Confirmed::Not(words) => words,
    };
    let mut page = page(app, who, headers, None).await?;
    page.errors.add(format!("password-{form}"), words);
    Ok(Some((StatusCode::UNPROCESSABLE_ENTITY, page).into_response()))
}

/// `POST /you/devices/{id}/sign-out`
///
/// # Errors
/// Somebody else's device is not found; a wrong password comes back with the list.
pub async fn delete_device(
    State(app): State<App>,
    who: SignedIn,
    from: Client,
    Path(id): Path<i64>,
    headers: HeaderMap,
    Form(typed): Form<Password>,
) -> Result<Response, Error> {
    let this = access::this_browser(&app, &headers).unwrap_or_default();
    if !app.store.devices(who.0.id, &this, app.clock.now()).await?.iter().any(|d| d.id == id) {
        return Err(Error::NotFound);
    }
    if let Some(page) = confirmed(&app, &who, &headers, from, typed, id).await? {
        return Ok(page);
    }
    app.store.end_device(who.0.id, id).await?;
    Ok(Redirect::to("/you/devices?said=signed-out").into_response())
}

/// `POST /you/devices/sign-out-others`
///
/// # Errors
/// Only the store's own; a wrong password comes back with the list.
pub async fn delete_other_devices(
    State(app): State<App>,
    who: SignedIn,
    from: Client,
    headers: HeaderMap,
    Form(typed): Form<Password>,
) -> Result<Response, Error> {
    if let Some(page) = confirmed(&app, &who, &headers, from, typed, 0).await? {
        return Ok(page);
    }
    let this = access::this_browser(&app, &headers).unwrap_or_default();
    app.store.end_other_devices(who.0.id, &this).await?;
    Ok(Redirect::to("/you/devices?said=signed-out").into_response())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_browser_is_named_as_people_say_it() {
        let phone =
            "Mozilla/5.0 (Linux; Android 14; Pixel 8) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/130.0 Mobile Safari/537.36";
        assert_eq!(name(phone), "Chrome on Android");
        let mac =
            "Mozilla/5.0 (Macintosh; Intel Mac OS X 14_6) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.0 Safari/605.1.15";
        assert_eq!(name(mac), "Safari on Mac");
        assert_eq!(name("curl/8"), "Another browser");
    }
}
