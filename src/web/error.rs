//! One error for every handler, and the plain page it becomes.

use super::address;
use super::around;
use super::frame::Frame;
use crate::store::StoreError;
use askama::Template;
use askama_web::WebTemplate;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};

/// What a handler can fail with.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// No such page, or not yours.
    #[error("not found")]
    NotFound,
    /// Sign in first, then come back to this address.
    #[error("sign in first")]
    SignIn(String),
    /// Something else must be done first, at this address.
    #[error("first {0}")]
    First(&'static str),
    /// The request makes no sense; what is wrong in one plain sentence.
    #[error("{0}")]
    Bad(String),
    /// The address is there, but not for this method.
    #[error("wrong method")]
    Method,
    /// An assistant may see this and may not do it.
    #[error("for coaches")]
    ForCoaches,
    /// A one-time link that can no longer be used; why in one plain sentence.
    #[error("{0}")]
    Spent(String),
    /// The file is too large; the limit in megabytes.
    #[error("larger than {0} MB")]
    TooLarge(u64),
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// Anything that should not happen.
    #[error(transparent)]
    Internal(#[from] anyhow::Error),
}

#[derive(Template, WebTemplate)]
#[template(path = "error.html")]
struct ErrorPage {
    frame: Frame,
    text: String,
    number: Option<String>,
    next: &'static str,
    next_words: &'static str,
}

fn page(status: StatusCode, title: &str, text: impl Into<String>) -> Response {
    // where it is our fault, the number leads from the page to the log
    let number = around::number().filter(|_| status.is_server_error());
    let page = ErrorPage { frame: Frame::signed_out(title), text: text.into(), number, next: "/", next_words: "Go to the start" };
    (status, page).into_response()
}

/// A plain page for a status that came without one.
#[must_use]
pub fn plain(status: StatusCode) -> Response {
    let (title, text) = match status {
        StatusCode::NOT_FOUND => return Error::not_found(),
        StatusCode::METHOD_NOT_ALLOWED => return Error::Method.into_response(),
        StatusCode::FORBIDDEN => {
            ("Not from there", "This came from another site, so nothing was done. Open Dowel by its own address and do it there.")
        }
        StatusCode::PAYLOAD_TOO_LARGE => ("Too large", "That is more than fits in one form. Send a shorter one."),
        StatusCode::REQUEST_TIMEOUT => {
            ("Too slow", "It took too long to arrive. Go back, what you typed is still there, and send it again.")
        }
        s if s.is_client_error() => ("That could not be read", "Go back, what you typed is still there, and check it."),
        _ => ("That did not work", "Something went wrong on our side. Go back, what you typed is still there, and try again."),
    };
    page(status, title, text)
}

impl Error {
    fn not_found() -> Response {
        page(
            StatusCode::NOT_FOUND,
            "Not here",
            "There is no page at this address, or it is not yours to see. If somebody sent you this link, check that all of it is there, or ask them for a new one.",
        )
    }

    fn unwell(status: StatusCode, text: &str) -> Response {
        let mut response = page(status, "That did not work", text);
        response.headers_mut().insert(header::RETRY_AFTER, header::HeaderValue::from_static("5"));
        response
    }
}

impl IntoResponse for Error {
    fn into_response(self) -> Response {
        match self {
            Self::NotFound | Self::Store(StoreError::NotFound) => Self::not_found(),
            Self::SignIn(back) => Redirect::to(&format!("/sign-in?next={}", address::value(&back))).into_response(),
            Self::Method => {
                page(StatusCode::METHOD_NOT_ALLOWED, "Not this way", "This address cannot be used like that. Begin at the start.")
            }
            Self::ForCoaches => page(
                StatusCode::FORBIDDEN,
                "For a coach",
                "As an assistant you can see everything and answer. Changing this is for a coach: ask one.",
            ),
            Self::First(address) => Redirect::to(address).into_response(),
            Self::Bad(text) => page(StatusCode::BAD_REQUEST, "That could not be read", text),
            Self::Spent(text) => page(StatusCode::GONE, "This link cannot be used", text),
            Self::TooLarge(mb) => {
                page(StatusCode::PAYLOAD_TOO_LARGE, "Too large", format!("The file is larger than {mb} MB. Send a shorter one."))
            }
            Self::Store(StoreError::Busy) => Self::unwell(
                StatusCode::SERVICE_UNAVAILABLE,
                "Dowel is busy just now and nothing was saved. Go back, what you typed is still there, and send it again.",
            ),
            Self::Store(StoreError::Full) => Self::unwell(
                StatusCode::INSUFFICIENT_STORAGE,
                "The disk is full and nothing was saved. Tell your coach. Go back, what you typed is still there.",
            ),
            Self::Store(StoreError::ReadOnly) => Self::unwell(
                StatusCode::SERVICE_UNAVAILABLE,
                "Nothing can be saved just now: the data folder can only be read. Tell your coach. Go back, what you typed is still there.",
            ),
            Self::Store(StoreError::Broken(_)) => Self::unwell(
                StatusCode::SERVICE_UNAVAILABLE,
                "Nothing can be saved just now: the disk or the data file is damaged. Tell your coach. Go back, what you typed is still there.",
            ),
            Self::Store(StoreError::Unkept) => Self::unwell(
                StatusCode::SERVICE_UNAVAILABLE,
                "Nothing was saved. Go back, what you typed is still there, and send it again.",
            ),
            Self::Store(StoreError::Stale) => page(
                StatusCode::CONFLICT,
                "Changed meanwhile",
                "This was changed in another tab or on another device. Nothing was overwritten. Go back, look at both, and decide.",
            ),
            other => {
                // the one place where the detail is kept; the page never shows it
                tracing::error!(error = ?other, "request failed");
                Self::unwell(
                    StatusCode::INTERNAL_SERVER_ERROR,
                    "Something went wrong on our side. Go back, what you typed is still there, and try again.",
                )
            }
        }
    }
}
