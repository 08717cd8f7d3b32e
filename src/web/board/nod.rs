//! A nod: one tap that says “seen, well done”.

use super::part::{Reader, version_for};
use crate::store::ids::ResultId;
use crate::web::App;
use crate::web::error::Error;
use axum::extract::{Path, State};
use axum::response::Redirect;

/// `POST /results/{id}/nod`: nods, or takes one's nod back.
///
/// # Errors
/// A result that is not on a board this reader can see, or their own.
pub async fn toggle_nod(State(app): State<App>, Reader(reader): Reader, Path(id): Path<i64>) -> Result<Redirect, Error> {
    let result = app.store.result_for_coach(ResultId(id)).await?;
    if !result.shown || result.withdrawn_at.is_some() || result.person_id == reader.id {
        return Err(Error::NotFound);
    }
    version_for(&app, &reader, result.session_id).await?;
    app.store.toggle_nod(result.id, reader.id, app.clock.now()).await?;
    app.store.tell(result.session_id);
    Ok(Redirect::to(&format!("/sessions/{}/parts/{}/board#result-{id}", result.session_id, result.part)))
}
