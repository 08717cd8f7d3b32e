//! A nod: one tap that says “seen, well done”.

use super::part::version_for;
use super::standing;
use super::wish::Wish;
use crate::store::ids::{ResultId, SessionId};
use crate::store::people::Role;
use crate::training::calendar;
use crate::web::App;
use crate::web::access::NoAssistant;
use crate::web::error::Error;
use axum::extract::{Path, State};
use axum::response::Redirect;
use axum_extra::extract::Query;
use serde::Deserialize;

/// The part on whose board it was tapped: on a board of all groups another than the result's own.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct On {
    session: Option<i64>,
    part: Option<usize>,
    /// on the page of a week
    week: Option<String>,
}

/// `POST /results/{id}/nod`: nods, or takes one's nod back, and leads to the board as it was shown, or to the week that it
/// stood on.
///
/// # Errors
/// A result that does not stand on that board in the eyes of this reader, or their own.
pub async fn toggle_nod(
    State(app): State<App>,
    NoAssistant(reader): NoAssistant,
    Path(id): Path<i64>,
    Query(on): Query<On>,
    Query(wish): Query<Wish>,
) -> Result<Redirect, Error> {
    let result = app.store.result_for_coach(ResultId(id)).await?;
    if !result.shown || result.withdrawn_at.is_some() || result.person_id == reader.id {
        return Err(Error::NotFound);
    }
    let (session, part) = (on.session.map_or(result.session_id, SessionId), on.part.unwrap_or(result.stands));
    let shown = version_for(&app, &reader, session).await?;
    let across = app.store.board_rules(shown.group_id, session, part).await?.policy.across_groups;
    // what waits for an answer is between its owner and the coach
    match standing::stands(&app, &shown, part, wish.which(&reader, across), &id.to_string()).await? {
        Some(waits) if !waits || reader.role == Role::Coach => {}
        _ => return Err(Error::NotFound),
    }
    app.store.toggle_nod(result.id, reader.id, app.clock.now()).await?;
    app.store.tell(result.session_id);
    let board = match on.week {
        Some(_) => super::week::address(shown.group_id, calendar::monday(shown.day)),
        None => format!("/sessions/{session}/parts/{part}/board"),
    };
    Ok(Redirect::to(&format!("{board}{}#result-{id}", wish.address())))
}
