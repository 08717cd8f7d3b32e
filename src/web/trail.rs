//! The trail of who did what: which acts are kept, and the page on which the coach reads them.
//!
//! # Design
//! The acts stand in one table beside the routes, not in the handlers: a new route is either in it or among those that are
//! left out on purpose, and a test asks for one of the two. What is kept is the act, never what was typed.

use super::App;
use super::access::Coach;
use super::around::Note;
use super::error::Error;
use super::frame::Frame;
use crate::store::ids::PersonId;
use crate::store::trail::{Kind, NewAct};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{MatchedPath, Request, State};
use axum::http::{Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use axum_extra::extract::Query;
use serde::Deserialize;
use std::sync::atomic::Ordering;
use time::Duration;

/// Acts that are kept where they were done: method, route, words, what the first number in the address is.
#[rustfmt::skip]
pub const ACTS: &[(&str, &str, &str, Option<Kind>)] = &[
    ("POST", "/sign-out", "signed out", None),
    ("POST", "/you/devices/{id}/sign-out", "signed a device out", None),
    ("POST", "/you/devices/sign-out-others", "signed other devices out", None),
    ("POST", "/you/password", "changed their password", None),
    ("POST", "/you/passkeys/made", "made a passkey", None),
    ("POST", "/you/passkeys/{id}/remove", "removed a passkey", None),
    ("POST", "/coaches/{id}/passkey", "changed whether a passkey is asked of", Some(Kind::Person)),
    ("POST", "/welcome/cautions", "accepted the cautions", None),
    ("POST", "/coaches/{id}/role", "changed the role of", Some(Kind::Person)),
    ("POST", "/coaches/{id}/end", "ended the access of", Some(Kind::Person)),
    ("POST", "/people/{id}/sign-out", "signed out everywhere", Some(Kind::Person)),
    ("POST", "/people/{id}/level", "changed the level of", Some(Kind::Person)),
    ("POST", "/people/{id}/decision", "decided about the words of", Some(Kind::Person)),
    ("POST", "/people/{id}/decision/take-back", "took back what was decided about the words of", Some(Kind::Person)),
    ("POST", "/people/{id}/password-link", "made a password link for", Some(Kind::Person)),
    ("POST", "/people/{id}/groups", "added to a group", Some(Kind::Person)),
    ("POST", "/people/{id}/groups/{group}/remove", "took out of a group", Some(Kind::Person)),
    ("POST", "/people/{id}/leave", "ended the membership of", Some(Kind::Person)),
    ("POST", "/people/{id}/return", "took back", Some(Kind::Person)),
    ("POST", "/people/{id}/maxes", "added a max of", Some(Kind::Person)),
    ("POST", "/people/{id}/maxes/{max}/remove", "removed a max of", Some(Kind::Person)),
    ("POST", "/groups", "made a group", None),
    ("POST", "/groups/{id}", "changed a group", Some(Kind::Group)),
    ("POST", "/groups/{id}/invitations", "invited somebody to", Some(Kind::Group)),
    ("POST", "/groups/{id}/invitations/{link}/withdraw", "withdrew an invitation to", Some(Kind::Group)),
    ("POST", "/groups/{id}/weeks/{monday}/publish", "published a week", Some(Kind::Group)),
    ("POST", "/groups/{id}/weeks/{monday}/unpublish", "took a week back", Some(Kind::Group)),
    ("POST", "/groups/{id}/weeks/{monday}/copy", "copied a week", Some(Kind::Group)),
    ("POST", "/groups/{id}/days/{date}/{slot}/delete", "deleted a session", Some(Kind::Group)),
    ("POST", "/groups/{id}/days/{date}/{slot}/video", "changed a video", Some(Kind::Group)),
    ("POST", "/groups/{id}/days/{date}/{slot}/video/file", "uploaded a video", Some(Kind::Group)),
    ("POST", "/groups/{id}/days/{date}/{slot}/video/fits", "said that a video still fits", Some(Kind::Group)),
    ("POST", "/groups/{id}/days/{date}/{slot}/video/chapters", "changed chapters", Some(Kind::Group)),
    ("POST", "/groups/{id}/days/{date}/{slot}/video/captions", "changed captions", Some(Kind::Group)),
    ("POST", "/groups/{id}/board-rules", "changed the rules of boards", Some(Kind::Group)),
    ("POST", "/sessions/{id}/parts/{part}/board-rules", "changed the rules of a board", Some(Kind::Session)),
    ("POST", "/results/{id}/correct", "corrected a result", Some(Kind::Result)),
    ("POST", "/results/{id}/settle", "said what a result means", Some(Kind::Result)),
    ("POST", "/groups/{id}/days/{date}/{slot}/pins", "chose a line for some members", Some(Kind::Group)),
    ("POST", "/groups/{id}/days/{date}/{slot}/versions", "wrote another version of a part", Some(Kind::Group)),
    ("POST", "/pins/{id}/remove", "took a choice for some members back", None),
    ("POST", "/fitting", "changed the rules of fitting", None),
    ("POST", "/fitting/reset", "put the rules of fitting back", None),
    ("POST", "/movements/new", "added a movement", None),
    ("POST", "/movements/{name}/edit", "changed a movement", None),
    ("POST", "/movements/{name}/reset", "reset a movement", None),
    ("POST", "/results/{id}", "changed a result", Some(Kind::Result)),
    ("POST", "/results/{id}/withdraw", "took a result back", Some(Kind::Result)),
    ("POST", "/questions/{id}/answer", "answered a question", None),
    ("POST", "/you/tokens/{id}/end", "ended a token", None),
    ("GET", "/you/data/bundle", "took their own data along", None),
    ("POST", "/you/data/delete", "deleted themself for good", None),
    ("GET", "/people/{id}/data/bundle", "took data along of", Some(Kind::Person)),
    ("POST", "/people/{id}/data/delete", "deleted somebody for good", None),
    ("GET", "/groups/{id}/results.csv", "took results out of", Some(Kind::Group)),
    ("GET", "/groups/{id}/members.csv", "took members out of", Some(Kind::Group)),
    ("GET", "/api/v1/groups/{id}/results", "took results out of", Some(Kind::Group)),
    ("GET", "/api/v1/groups/{id}/members", "took members out of", Some(Kind::Group)),
    ("GET", "/api/v1/members/{id}", "asked by program for", Some(Kind::Person)),
    ("GET", "/api/v1/members/{id}/results", "took results along of", Some(Kind::Person)),
    ("POST", "/groups/{id}/import", "brought a table into", Some(Kind::Group)),
];

/// Left out on purpose: each is kept where it belongs (a result, a draft, a profile), or is kept by its own handler.
pub const NOT_KEPT: &[&str] = &[
    "/you/tokens",
    "/you/passkeys",
    "/sign-in",
    "/sign-in/passkey",
    "/forgotten",
    "/sign-in/passkey/question",
    "/join/{token}",
    "/password/{token}",
    "/results/{id}/nod",
    "/results/{id}/seen",
    "/questions/{id}/seen",
    "/results/{id}/answer",
    "/sessions/{id}/questions",
    "/sessions/{id}/parts/{part}/result",
    "/sessions/{id}/parts/{part}/understood",
    "/sessions/{id}/parts/{part}/lines/{line}/change",
    "/welcome/kit",
    "/welcome/limits",
    "/you",
    "/you/kit",
    "/you/kit/still-true",
    "/you/limits",
    "/you/maxes",
    "/you/maxes/{max}/remove",
    "/groups/{id}/days/{date}/{slot}",
    "/groups/{id}/days/{date}/{slot}/reading",
    "/groups/{id}/days/{date}/{slot}/tidy",
    "/groups/{id}/days/{date}/{slot}/intents",
    "/groups/{id}/days/{date}/{slot}/video/uploads",
    "/uploads/{id}",
    "/offline/pages",
    "/people/{id}/spoken",
    "/api/v1/sessions/{id}/parts/{part}/results",
    "/api/v1/results/{id}",
];

/// Keeps an act; where that fails the log says so, and the act itself stays done.
pub async fn add(app: &App, person: Option<PersonId>, act: &'static str, about: Option<(Kind, i64)>, detail: &str) {
    tracing::info!(event = act, person = person.map(|p| p.0));
    let new = NewAct { person, act, about, detail: detail.to_owned() };
    if let Err(e) = app.store.add_act(&new, app.clock.now()).await {
        tracing::error!(error = ?e, act, "the trail could not be written");
    }
}

/// A wrong name or password; `person` where the name is somebody's.
pub async fn wrong_sign_in(app: &App, person: Option<PersonId>) {
    app.metrics.wrong_sign_ins.fetch_add(1, Ordering::Relaxed);
    add(app, None, "wrong password", person.map(|p| (Kind::Person, p.0)), "").await;
}

/// A passkey that was refused; `person` where it is somebody's.
pub async fn wrong_passkey(app: &App, person: Option<PersonId>, act: &'static str) {
    app.metrics.wrong_sign_ins.fetch_add(1, Ordering::Relaxed);
    add(app, None, act, person.map(|p| (Kind::Person, p.0)), "").await;
}

/// A try that was sent away: counted and logged, not kept, so that nobody can fill the disk with it.
pub fn limited(app: &App) {
    app.metrics.limited_sign_ins.fetch_add(1, Ordering::Relaxed);
    tracing::warn!(event = "sign-in limited");
}

/// What the address says beside the route: its first number, and a day.
fn places<'a>(route: &str, path: &'a str) -> (Option<i64>, &'a str) {
    let named = || route.split('/').zip(path.split('/')).filter(|(name, _)| name.starts_with('{'));
    let number = named().find_map(|(_, part)| part.parse().ok());
    let day = named().find(|(name, _)| matches!(*name, "{monday}" | "{date}")).map_or("", |(_, part)| part);
    (number, day)
}

/// A program that asks the same again and again is kept once an hour. Where that cannot be told, it is kept.
async fn done_lately(app: &App, person: PersonId, act: &str, about: Option<(Kind, i64)>) -> bool {
    let since = app.clock.now() - Duration::hours(1);
    app.store.acted_since(person, act, about, since).await.unwrap_or(false)
}

/// Keeps what was done, once it was done.
pub async fn keep(State(app): State<App>, request: Request, next: Next) -> Response {
    let method = request.method().clone();
    let route = request.extensions().get::<MatchedPath>().map_or(String::new(), |m| m.as_str().to_owned());
    let Some((_, _, act, kind)) = ACTS.iter().find(|(m, r, ..)| *m == method.as_str() && *r == route) else {
        return next.run(request).await;
    };
    let path = request.uri().path().to_owned();
    let note = request.extensions().get::<Note>().cloned().unwrap_or_default();
    let response = next.run(request).await;
    // a good post leads on; a file or a page that was asked for is there
    let done = if method == Method::GET { StatusCode::OK } else { StatusCode::SEE_OTHER };
    // signing out where nobody is signed in does nothing, and anybody could fill the disk with it
    if response.status() == done
        && let Some(person) = note.person()
    {
        let (number, day) = places(&route, &path);
        let about = kind.zip(number);
        if !route.starts_with("/api/") || !done_lately(&app, person, act, about).await {
            add(&app, Some(person), act, about, day).await;
        }
    }
    response
}

/// Acts on a page.
const PAGE: u32 = 100;

#[derive(Template, WebTemplate)]
#[template(path = "coach/trail.html")]
struct TrailPage {
    frame: Frame,
    acts: Vec<Line>,
    earlier: Option<i64>,
}

struct Line {
    when: String,
    who: String,
    what: String,
}

/// From which act on.
#[derive(Deserialize)]
pub struct Before {
    before: Option<i64>,
}

/// `GET /trail`
///
/// # Errors
/// Only the store's own.
pub async fn show_trail(State(app): State<App>, Coach(coach): Coach, Query(q): Query<Before>) -> Result<Response, Error> {
    let acts = app.store.acts(q.before, PAGE).await?;
    let earlier = (acts.len() == PAGE as usize).then(|| acts.last().map(|a| a.id)).flatten();
    let line = |a: crate::store::trail::Act| {
        let about = [a.about, a.detail].into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join(", ");
        let local = coach.zone.local(a.at);
        Line {
            when: format!("{} {} {}, {:02}:{:02}", local.day(), local.month(), local.year(), local.hour(), local.minute()),
            who: if a.who.is_empty() { "nobody signed in".to_owned() } else { a.who },
            what: if about.is_empty() { a.act } else { format!("{}: {about}", a.act) },
        }
    };
    let frame = Frame::of(&coach, "Who did what", "groups");
    Ok(TrailPage { frame, acts: acts.into_iter().map(line).collect(), earlier }.into_response())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_address_gives_a_number_and_a_day_and_nothing_that_was_typed() {
        let route = "/groups/{id}/weeks/{monday}/publish";
        assert_eq!(places(route, "/groups/3/weeks/2026-11-23/publish"), (Some(3), "2026-11-23"));
        assert_eq!(places("/join/{token}", "/join/1-abc"), (None, ""));
        assert_eq!(places("/movements/{name}/edit", "/movements/air%20squat/edit"), (None, ""));
    }
}
