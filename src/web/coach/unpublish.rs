//! Taking a week or one session back.

use super::{count, publish::day_of, read_monday, week_address, week_words};
use crate::store::groups::Group;
use crate::store::ids::{GroupId, SessionId};
use crate::store::weeks::Slot;
use crate::web::App;
use crate::web::access::{Coach, Staff};
use crate::web::error::Error;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;
use time::Date;

#[derive(Template, WebTemplate)]
#[template(path = "coach/unpublish.html")]
struct UnpublishPage {
    frame: Frame,
    group: Group,
    members: String,
    address: String,
    /// row, day, results
    sessions: Vec<(i64, String, String)>,
}

/// The group of an address and the sessions of its week that members see.
async fn published(app: &App, group: i64, monday: &str) -> Result<(Group, Date, Vec<Slot>), Error> {
    let monday = read_monday(monday)?;
    let group = app.store.group(GroupId(group)).await?;
    let slots = app.store.week(group.id, monday).await?.into_iter().filter(|s| s.live.is_some()).collect();
    Ok((group, monday, slots))
}

/// One session, or none for the whole week.
#[derive(Deserialize)]
pub struct Which {
    #[serde(default)]
    session: String,
}

/// `GET /groups/{id}/weeks/{monday}/unpublish`
///
/// # Errors
/// No such group; a day that is no Monday.
pub async fn show_unpublish(
    State(app): State<App>,
    Staff(coach): Staff,
    Path((group, monday)): Path<(i64, String)>,
) -> Result<Response, Error> {
    let (group, monday, slots) = published(&app, group, &monday).await?;
    let stands = app.store.week_results(group.id, monday).await?;
    let results = |slot: &Slot| stands.iter().filter(|s| s.session_id == slot.id).map(|s| s.results).sum::<i64>();
    let page = UnpublishPage {
        frame: Frame::of(&coach, format!("Take back {}, {}", group.name, week_words(monday)), "week"),
        members: count(group.members, "member", "members"),
        address: week_address(group.id, monday),
        sessions: slots.iter().map(|s| (s.id.0, day_of(s), count(results(s), "result", "results"))).collect(),
        group,
    };
    Ok(page.into_response())
}

/// `POST /groups/{id}/weeks/{monday}/unpublish`
///
/// # Errors
/// No such group; a session that is not published in that week.
pub async fn unpublish(
    State(app): State<App>,
    Coach(_): Coach,
    Path((group, monday)): Path<(i64, String)>,
    Form(which): Form<Which>,
) -> Result<Response, Error> {
    let (group, monday, slots) = published(&app, group, &monday).await?;
    if which.session.is_empty() {
        app.store.unpublish_week(group.id, monday).await?;
    } else {
        let id = which.session.parse().map(SessionId).map_err(|_| Error::NotFound)?;
        let slot = slots.into_iter().find(|s| s.id == id).ok_or(Error::NotFound)?;
        app.store.unpublish(slot.id).await?;
    }
    Ok(Redirect::to(&format!("{}?said=unpublished", week_address(group.id, monday))).into_response())
}
