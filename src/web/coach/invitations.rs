//! Invitations to a group: made, shown, withdrawn.

use super::groups::{Typed, group_page};
use crate::store::ids::{GroupId, LinkId};
use crate::web::App;
use crate::web::access::Coach;
use crate::web::error::Error;
use crate::web::forms::Errors;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;

/// For whom, as typed.
#[derive(Deserialize)]
pub struct InvitationForm {
    #[serde(default)]
    label: String,
    /// the page's own id of this invitation: sent twice, it is one
    client_id: Option<String>,
}

/// `POST /groups/{id}/invitations`
///
/// # Errors
/// No such group; a wrong field comes back with the page.
pub async fn create_invitation(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(id): Path<i64>,
    Form(form): Form<InvitationForm>,
) -> Result<Response, Error> {
    let group = GroupId(id);
    app.store.group(group).await?;
    let mut errors = Errors::default();
    errors.check(
        (1..=100).contains(&form.label.trim().chars().count()),
        "label",
        "For whom is it? A name, so that you know it again.",
    );
    if !errors.is_empty() {
        return group_page(&app, &coach, group, None, Typed { whom: form.label, errors, ..Typed::default() }).await;
    }
    let client_id = form.client_id.as_deref().filter(|id| (1..=64).contains(&id.len()));
    let link = app.store.invite_once(group, &form.label, Some(coach.id), client_id, app.clock.now()).await?;
    Ok(Redirect::to(&format!("/groups/{group}?said=invited#invitation-{}", link.id)).into_response())
}

/// `POST /groups/{id}/invitations/{link}/withdraw`
///
/// # Errors
/// No such group.
pub async fn withdraw_invitation(
    State(app): State<App>,
    Coach(_): Coach,
    Path((group, link)): Path<(i64, i64)>,
) -> Result<Response, Error> {
    let group = GroupId(group);
    app.store.group(group).await?;
    app.store.withdraw_invitation(group, LinkId(link), app.clock.now()).await?;
    Ok(Redirect::to(&format!("/groups/{group}?said=withdrawn#invitations")).into_response())
}
