//! The boards of a week on one page: who leads each part, and where the reader stands.

use super::part::{RowView, View, Wish, nod_on};
use super::standing::{self, Cut, Which};
use crate::store::ids::GroupId;
use crate::store::people::Role;
use crate::training::calendar;
use crate::training::session::ScoreKind;
use crate::training::wording;
use crate::web::App;
use crate::web::access::Joined;
use crate::web::error::Error;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use std::collections::HashMap;
use time::Duration;

/// Places of each list that stand here.
const LEADING: usize = 3;

#[derive(Template, WebTemplate)]
#[template(path = "board/week.html")]
struct WeekPage {
    frame: Frame,
    coach: bool,
    /// an assistant looks on
    may_nod: bool,
    group: String,
    before: String,
    after: String,
    days: Vec<DayView>,
}

struct DayView {
    day: String,
    parts: Vec<PartView>,
}

struct PartView {
    name: String,
    board: String,
    /// behind the address of a nod: the board of this part
    on: String,
    mine: Option<String>,
    /// title and how many; leading rows with the reader's own
    tables: Vec<(String, usize, Vec<RowView>)>,
    waiting: usize,
}

/// `GET /groups/{id}/weeks/{monday}/board`
///
/// # Errors
/// A group that is not theirs, a day that is no Monday.
pub async fn show_week_board(
    State(app): State<App>,
    Joined(reader): Joined,
    Path((id, monday)): Path<(i64, String)>,
) -> Result<Response, Error> {
    let monday = calendar::read_iso(&monday).filter(|day| calendar::monday(*day) == *day).ok_or(Error::NotFound)?;
    let group = app.store.group(GroupId(id)).await?;
    let coach = reader.role == Role::Coach;
    if !coach && !app.store.group_ids_of(reader.id).await?.contains(&group.id) {
        return Err(Error::NotFound);
    }
    let mut days: Vec<DayView> = Vec::new();
    for shown in app.store.live_in_week(group.id, monday).await? {
        let mut parts = Vec::new();
        for (i, part) in shown.session.parts.iter().enumerate().filter(|(_, p)| p.score != ScoreKind::None) {
            let standing = standing::standing(&app, &shown, i, Which::default(), &Cut::top(&reader, LEADING)).await?;
            if standing.tables.is_empty() && standing.listed.is_empty() {
                continue;
            }
            let mut view = View { standing: &standing, nods: HashMap::new(), part, reader: &reader };
            view.nods = app.store.nods_at(&view.on_the_page(), reader.id).await?;
            let tables = standing.tables.iter().enumerate().map(|(t, table)| {
                let seen = view.table(t, table, &Wish::default());
                (seen.title, seen.total, seen.rows)
            });
            parts.push(PartView {
                name: wording::part(part),
                board: format!("/sessions/{}/parts/{i}/board", shown.session_id),
                on: nod_on(shown.session_id.0, i, &Wish::default()),
                mine: view.mine(),
                tables: tables.collect(),
                waiting: standing.listed_total,
            });
        }
        if !parts.is_empty() {
            days.push(DayView { day: format!("{}: {}", calendar::long(shown.day), shown.session.title), parts });
        }
    }
    let week = |n: i64| format!("/groups/{id}/weeks/{}/board", calendar::iso(monday + Duration::weeks(n)));
    let page = WeekPage {
        frame: Frame::of(&reader, format!("Boards from {}", calendar::long(monday)), if coach { "week" } else { "today" }),
        group: group.name,
        before: week(-1),
        after: week(1),
        days,
        coach,
        may_nod: !reader.assistant,
    };
    Ok(page.into_response())
}
