//! Says when a board changed, so that it is fresh without a reload.

use super::part::version_for;
use crate::store::ids::SessionId;
use crate::web::App;
use crate::web::access::Joined;
use crate::web::error::Error;
use axum::extract::{Path, State};
use axum::response::Response;

/// `GET /sessions/{id}/parts/{part}/board/changes`: an event for each change, and nothing of what changed.
///
/// # Errors
/// A session or part that is not there or not theirs.
pub async fn follow_board(
    State(app): State<App>,
    Joined(reader): Joined,
    Path((id, part)): Path<(i64, usize)>,
) -> Result<Response, Error> {
    let shown = version_for(&app, &reader, SessionId(id)).await?;
    if part >= shown.session.parts.len() {
        return Err(Error::NotFound);
    }
    let session = shown.session_id;
    Ok(app.live.changes(app.store.news(), move |changed| *changed == session))
}
