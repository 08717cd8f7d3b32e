//! Who sends a result: a form on a page, or a device that has kept it since there was no signal.

use crate::store::people::Person;
use crate::web::App;
use crate::web::access::Member;
use crate::web::error::Error;
use crate::web::forms::Errors;
use axum::Json;
use axum::extract::FromRequestParts;
use axum::http::StatusCode;
use axum::http::request::Parts;
use axum::response::{IntoResponse, Redirect, Response};
use serde_json::{Map, json};

/// Whose result is waiting; a device names them, so that it is never sent in somebody else's name.
const PERSON: &str = "dowel-person";

/// A member who sends a result.
#[derive(Debug)]
pub struct Sender {
    /// who is signed in
    pub person: Person,
    /// the device sends it by itself and reads the answer; nobody sees a page
    pub device: bool,
}

impl FromRequestParts<App> for Sender {
    type Rejection = Response;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Response> {
        let named = parts.headers.get(PERSON).cloned();
        match (Member::from_request_parts(parts, app).await, named) {
            (Ok(Member(person)), None) => Ok(Self { person, device: false }),
            (Ok(Member(person)), Some(named)) if named.as_bytes() == person.id.to_string().as_bytes() => {
                Ok(Self { person, device: true })
            }
            (Ok(_), Some(_)) => Err(StatusCode::FORBIDDEN.into_response()),
            (Err(Error::SignIn(_) | Error::First(_)), Some(_)) => Err(StatusCode::UNAUTHORIZED.into_response()),
            (Err(e), _) => Err(e.into_response()),
        }
    }
}

impl Sender {
    /// It is saved, and stands on this page.
    #[must_use]
    pub fn saved(&self, page: &str) -> Response {
        if self.device { Json(json!({ "saved": page })).into_response() } else { Redirect::to(page).into_response() }
    }
}

/// To a device: what is wrong, by field.
#[must_use]
pub fn refused(errors: &Errors) -> Response {
    let by_field: Map<_, _> = errors.all().map(|(field, text)| (field.to_owned(), text.into())).collect();
    (StatusCode::UNPROCESSABLE_ENTITY, Json(json!({ "errors": by_field }))).into_response()
}
