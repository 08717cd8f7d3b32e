//! Deleting a person for real, said before and confirmed.

use super::person;
use crate::web::App;
use crate::web::access::{self, Coach, Member};
use crate::web::account::confirm::{self, Confirmed};
use crate::web::client::Client;
use crate::web::error::Error;
use crate::web::forms::Errors;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;

/// What confirms it: one's own password, or for the coach the person's name.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Confirmation {
    confirm: String,
}

/// `POST /you/data/delete`
///
/// # Errors
/// Only the store's own; a wrong password comes back with the page.
pub async fn delete_myself(
    State(app): State<App>,
    Member(me): Member,
    from: Client,
    headers: HeaderMap,
    Form(form): Form<Confirmation>,
) -> Result<Response, Error> {
    if let Confirmed::Not(words) = confirm::password(&app, &me, from, &headers, form.confirm).await? {
        let mut errors = Errors::default();
        errors.add("confirm", format!("{words} Nothing was deleted."));
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, person::own(&app, &me, errors).await?).into_response());
    }
    app.store.erase_member(me.id).await?;
    let cookies = access::sign_out(&app, &headers).await?;
    // nothing stays in this browser either
    let clear = [("clear-site-data", "\"cache\", \"storage\"")];
    Ok((cookies, clear, Redirect::to("/sign-in?said=erased")).into_response())
}

/// `POST /people/{id}/data/delete`
///
/// # Errors
/// No such member; a wrong name comes back with the page.
pub async fn delete_person(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(id): Path<i64>,
    Form(form): Form<Confirmation>,
) -> Result<Response, Error> {
    let member = person::member(&app, id).await?;
    if form.confirm.trim() != member.name.trim() {
        let mut errors = Errors::default();
        errors.add("confirm", format!("Type {} exactly as it stands here. Nothing was deleted.", member.name));
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, person::of(&app, &coach, &member, errors).await?).into_response());
    }
    app.store.erase_member(member.id).await?;
    Ok(Redirect::to("/groups?said=erased").into_response())
}
