//! The start: everybody is sent to the page that is theirs.

use super::App;
use super::access::{self, SignedIn};
use super::error::Error;
use crate::store::people::Role;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::Redirect;

/// `GET /`
///
/// # Errors
/// Only the store's own.
pub async fn home(State(app): State<App>, who: Option<SignedIn>, headers: HeaderMap) -> Result<Redirect, Error> {
    let Some(SignedIn(person)) = who else { return Ok(Redirect::to("/sign-in")) };
    access::renew(&app, &headers).await?;
    Ok(Redirect::to(match person.role {
        Role::Coach => "/week",
        Role::Member => "/today",
    }))
}

/// Any address that is not on the map.
pub async fn not_found() -> Error {
    Error::NotFound
}
