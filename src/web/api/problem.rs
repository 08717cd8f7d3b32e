//! What a program is told where something is wrong: problem details of RFC 9457.

use crate::store::StoreError;
use crate::web::error::Error;
use crate::web::forms::Errors;
use axum::Json;
use axum::extract::rejection::{JsonRejection, PathRejection};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum_extra::extract::QueryRejection;
use serde::Serialize;
use time::Duration;
use utoipa::{IntoResponses, ToSchema};

/// What went wrong (RFC 9457).
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Problem {
    /// `about:blank`: the status says it all
    #[serde(rename = "type")]
    pub kind: &'static str,
    /// the status in words
    pub title: String,
    /// the HTTP status
    pub status: u16,
    /// one plain sentence
    pub detail: String,
    /// what is wrong with single fields
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(required = false)]
    pub errors: Vec<FieldProblem>,
}

/// What is wrong with a field.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct FieldProblem {
    /// its name
    pub field: String,
    /// one plain sentence
    pub text: String,
}

/// An answer that refuses.
#[derive(Debug)]
pub struct Refusal {
    problem: Box<Problem>,
    /// how to come back with rights, for `WWW-Authenticate` (RFC 6750)
    challenge: Option<String>,
    /// seconds
    retry_after: Option<i64>,
}

impl Refusal {
    pub(in crate::web) fn new(status: StatusCode, detail: impl Into<String>) -> Self {
        let title = status.canonical_reason().unwrap_or("Error").to_owned();
        let problem = Problem { kind: "about:blank", title, status: status.as_u16(), detail: detail.into(), errors: Vec::new() };
        Self { problem: Box::new(problem), challenge: None, retry_after: None }
    }

    /// Nothing there, or not yours.
    #[must_use]
    pub fn not_found() -> Self {
        Self::new(StatusCode::NOT_FOUND, "There is nothing at this address, or it is not yours to see.")
    }

    /// A method that this address does not take.
    #[must_use]
    pub fn wrong_method() -> Self {
        Self::new(StatusCode::METHOD_NOT_ALLOWED, "This address does not take this method.")
    }

    /// No token at all (RFC 6750, 3: no error code then).
    #[must_use]
    pub fn no_token() -> Self {
        let challenge = Some("Bearer realm=\"dowel\"".to_owned());
        Self {
            challenge,
            ..Self::new(StatusCode::UNAUTHORIZED, "Send a token: Authorization: Bearer dowel_... Make one under /you/tokens.")
        }
    }

    /// The header is not one token.
    #[must_use]
    pub fn malformed() -> Self {
        let challenge = Some("Bearer realm=\"dowel\", error=\"invalid_request\"".to_owned());
        Self { challenge, ..Self::new(StatusCode::BAD_REQUEST, "The Authorization header must be one Bearer and one token.") }
    }

    /// Unknown, ended or too old.
    #[must_use]
    pub fn wrong_token() -> Self {
        let challenge = Some("Bearer realm=\"dowel\", error=\"invalid_token\"".to_owned());
        Self { challenge, ..Self::new(StatusCode::UNAUTHORIZED, "This token is unknown, ended or ran out.") }
    }

    /// A good token that may not do this.
    #[must_use]
    pub fn scope(scope: &str) -> Self {
        let challenge = Some(format!("Bearer realm=\"dowel\", error=\"insufficient_scope\", scope=\"{scope}\""));
        Self { challenge, ..Self::new(StatusCode::FORBIDDEN, format!("This token may not do this: it needs {scope}.")) }
    }

    /// Somebody who may not, whatever the token.
    #[must_use]
    pub fn forbidden(detail: &str) -> Self {
        Self::new(StatusCode::FORBIDDEN, detail)
    }

    /// Too many wrong tokens.
    #[must_use]
    pub fn slow_down(wait: Duration) -> Self {
        Self {
            retry_after: Some(wait.whole_seconds().max(1)),
            ..Self::new(StatusCode::TOO_MANY_REQUESTS, "Too many wrong tokens. Wait a little.")
        }
    }

    /// Fields that could not be read; nothing was changed.
    #[must_use]
    pub fn fields(errors: &Errors) -> Self {
        let mut refusal = Self::new(StatusCode::UNPROCESSABLE_ENTITY, "Some fields need another look. Nothing was changed.");
        refusal.problem.errors =
            errors.all().map(|(field, text)| FieldProblem { field: field.to_owned(), text: text.to_owned() }).collect();
        refusal
    }

    /// One field that could not be read.
    #[must_use]
    pub fn field(field: &str, text: &str) -> Self {
        let mut errors = Errors::default();
        errors.add(field, text);
        Self::fields(&errors)
    }
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let status = StatusCode::from_u16(self.problem.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
        let mut response = (status, Json(self.problem)).into_response();
        let headers = response.headers_mut();
        headers.insert(header::CONTENT_TYPE, HeaderValue::from_static("application/problem+json"));
        if let Some(challenge) = self.challenge.and_then(|c| HeaderValue::from_str(&c).ok()) {
            headers.insert(header::WWW_AUTHENTICATE, challenge);
        }
        if let Some(seconds) = self.retry_after {
            headers.insert(header::RETRY_AFTER, HeaderValue::from(seconds));
        }
        response
    }
}

impl From<Error> for Refusal {
    fn from(e: Error) -> Self {
        match e {
            Error::NotFound | Error::Store(StoreError::NotFound) => Self::not_found(),
            Error::Bad(text) => Self::new(StatusCode::BAD_REQUEST, text),
            Error::Store(StoreError::Busy) => Self {
                retry_after: Some(5),
                ..Self::new(StatusCode::SERVICE_UNAVAILABLE, "Busy just now. Nothing was saved; send it again.")
            },
            Error::Store(StoreError::Unkept) => {
                Self { retry_after: Some(5), ..Self::new(StatusCode::SERVICE_UNAVAILABLE, "Nothing was saved; send it again.") }
            }
            Error::Store(StoreError::ReadOnly | StoreError::Broken(_)) => {
                Self::new(StatusCode::SERVICE_UNAVAILABLE, "Nothing can be saved just now.")
            }
            Error::Store(StoreError::Full) => Self::new(StatusCode::INSUFFICIENT_STORAGE, "The disk is full. Nothing was saved."),
            Error::Store(StoreError::Stale | StoreError::Taken(_)) => {
                Self::new(StatusCode::CONFLICT, "This stands against something that is there already. Nothing was changed.")
            }
            other => {
                // the one place where the detail is kept; the answer never shows it
                tracing::error!(error = ?other, "request failed");
                Self::new(StatusCode::INTERNAL_SERVER_ERROR, "Something went wrong on our side.")
            }
        }
    }
}

impl From<StoreError> for Refusal {
    fn from(e: StoreError) -> Self {
        Error::from(e).into()
    }
}

impl From<PathRejection> for Refusal {
    fn from(_: PathRejection) -> Self {
        Self::not_found()
    }
}

impl From<QueryRejection> for Refusal {
    fn from(e: QueryRejection) -> Self {
        Self::new(StatusCode::BAD_REQUEST, format!("The query could not be read: {e}"))
    }
}

impl From<JsonRejection> for Refusal {
    fn from(e: JsonRejection) -> Self {
        Self::new(e.status(), e.body_text())
    }
}

/// How any request with a token can be refused.
#[derive(IntoResponses)]
pub enum Refused {
    /// What was sent could not be read at all.
    #[response(status = 400, content_type = "application/problem+json")]
    Malformed(Problem),
    /// No token, or one that is unknown, ended or ran out.
    #[response(status = 401, content_type = "application/problem+json")]
    Unauthorized(Problem),
    /// The token may not do this, or its owner has not accepted the cautions.
    #[response(status = 403, content_type = "application/problem+json")]
    Forbidden(Problem),
    /// Nothing there, or not yours.
    #[response(status = 404, content_type = "application/problem+json")]
    NotFound(Problem),
    /// Too many wrong tokens.
    #[response(status = 429, content_type = "application/problem+json")]
    SlowDown(Problem),
    /// Busy, or nothing can be saved just now; nothing was saved, send it again.
    #[response(status = 503, content_type = "application/problem+json")]
    Busy(Problem),
    /// The disk is full; nothing was saved.
    #[response(status = 507, content_type = "application/problem+json")]
    Full(Problem),
}

/// How a request with fields can be refused besides.
#[derive(IntoResponses)]
pub enum BadFields {
    /// It stands against something that is there already.
    #[response(status = 409, content_type = "application/problem+json")]
    Conflict(Problem),
    /// More than 256 kB.
    #[response(status = 413, content_type = "application/problem+json")]
    TooLarge(Problem),
    /// Not `application/json`.
    #[response(status = 415, content_type = "application/problem+json")]
    NotJson(Problem),
    /// Fields that could not be read, each with a sentence. Nothing was changed.
    #[response(status = 422, content_type = "application/problem+json")]
    Fields(Problem),
}
