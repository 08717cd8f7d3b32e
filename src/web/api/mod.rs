//! The same practice for programs: JSON, personal tokens, the rights and functions of the pages.
//!
//! # Design
//! A token in the header is the only key here; cookies are not looked at, so no other site can use a browser's sign-in.
//! What is not yours is not found, as on the pages. Errors are problems of RFC 9457, and the OpenAPI document is made from
//! the code that answers ([`doc`]).

pub mod access;
pub mod board;
pub mod doc;
pub mod me;
pub mod members;
pub mod movements;
pub mod problem;
pub mod results;
pub mod sessions;

use problem::Refusal;

/// A method that this address does not take.
///
/// # Errors
/// Always.
pub async fn wrong_method() -> Result<(), Refusal> {
    Err(Refusal::wrong_method())
}

/// An address that is none of ours.
///
/// # Errors
/// Always.
pub async fn not_found() -> Result<(), Refusal> {
    Err(Refusal::not_found())
}
