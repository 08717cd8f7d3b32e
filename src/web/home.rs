//! The start: everybody is sent to the page that is theirs.

use super::access::SignedIn;
use super::error::Error;
use crate::store::people::Role;
use axum::response::Redirect;

/// `GET /`
pub async fn home(who: Option<SignedIn>) -> Redirect {
    let Some(SignedIn(person)) = who else { return Redirect::to("/sign-in") };
    Redirect::to(match person.role {
        Role::Coach => "/week",
        Role::Member => "/today",
    })
}

/// Any address that is not on the map.
pub async fn not_found() -> Error {
    Error::NotFound
}

/// An address that is on the map, asked in a way that is not.
pub async fn wrong_method() -> Error {
    Error::Method
}
