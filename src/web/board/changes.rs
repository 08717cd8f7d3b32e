//! Says when a board, or one of a week's, changed, so that it is fresh without a reload.

use super::part::version_for;
use super::week;
use super::wish::Wish;
use crate::store::ids::{GroupId, SessionId};
use crate::store::people::{Person, Role};
use crate::store::weeks::Published;
use crate::web::App;
use crate::web::access::Joined;
use crate::web::error::Error;
use axum::extract::{Path, State};
use axum::response::Response;
use axum_extra::extract::Query;
use std::collections::HashSet;

/// `GET /sessions/{id}/parts/{part}/board/changes`: an event for each change, and nothing of what changed.
///
/// # Errors
/// A session or part that is not there or not theirs.
pub async fn follow_board(
    State(app): State<App>,
    Joined(reader): Joined,
    Path((id, part)): Path<(i64, usize)>,
    Query(wish): Query<Wish>,
) -> Result<Response, Error> {
    let shown = version_for(&app, &reader, SessionId(id)).await?;
    if part >= shown.session.parts.len() {
        return Err(Error::NotFound);
    }
    let across = !wish.all_groups() || shows_across(&app, &reader, &shown, part).await?;
    let mut sessions = HashSet::from([shown.session_id]);
    if wish.which(&reader, across).all_groups {
        sessions.extend(beside(&app, &shown).await?);
    }
    Ok(app.live.changes(app.store.news(), move |changed| sessions.contains(changed)))
}

/// `GET /groups/{id}/weeks/{monday}/board/changes`: an event for each change of any board of the week. A session that is
/// published meanwhile is seen when the page reads itself anew, as it does now and then.
///
/// # Errors
/// A group that is not theirs, a day that is no Monday.
pub async fn follow_week(
    State(app): State<App>,
    Joined(reader): Joined,
    Path((id, monday)): Path<(i64, String)>,
    Query(wish): Query<Wish>,
) -> Result<Response, Error> {
    let (group, monday) = week::of_reader(&app, &reader, GroupId(id), &monday).await?;
    let live = app.store.live_in_week(group.id, monday).await?;
    let mut sessions: HashSet<SessionId> = live.iter().map(|shown| shown.session_id).collect();
    if wish.all_groups() {
        for shown in &live {
            let mut across = reader.role == Role::Coach;
            for part in 0..shown.session.parts.len() {
                across = across || shows_across(&app, &reader, shown, part).await?;
            }
            if across {
                sessions.extend(beside(&app, shown).await?);
            }
        }
    }
    Ok(app.live.changes(app.store.news(), move |changed| sessions.contains(changed)))
}

/// The reader may see all groups on this board.
pub(super) async fn shows_across(app: &App, reader: &Person, shown: &Published, part: usize) -> Result<bool, Error> {
    let coach = reader.role == Role::Coach;
    Ok(coach || app.store.board_rules(shown.group_id, shown.session_id, part).await?.policy.across_groups)
}

async fn beside(app: &App, shown: &Published) -> Result<impl Iterator<Item = SessionId>, Error> {
    Ok(app.store.live_beside(shown.session_id, shown.day).await?.into_iter().map(|(session, _)| session))
}
