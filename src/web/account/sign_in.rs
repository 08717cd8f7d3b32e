//! Signing in and out.

use crate::web::App;
use crate::web::access::{self, SignedIn};
use crate::web::error::Error;
use crate::web::forms::{Errors, own_address};
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;

#[derive(Template, WebTemplate)]
#[template(path = "account/sign_in.html")]
struct SignInPage {
    frame: Frame,
    name: String,
    next: String,
    errors: Errors,
}

/// Where to go after signing in, and what was just done.
#[derive(Deserialize)]
pub struct Next {
    next: Option<String>,
    said: Option<String>,
}

/// `GET /sign-in`
///
/// # Errors
/// Only the store's own.
pub async fn show_sign_in(who: Option<SignedIn>, Query(q): Query<Next>) -> Result<Response, Error> {
    let next = own_address(q.next.as_deref()).to_owned();
    if who.is_some() {
        return Ok(Redirect::to(&next).into_response());
    }
    let frame = Frame::signed_out("Sign in").saying(q.said.as_deref());
    Ok(SignInPage { frame, name: String::new(), next, errors: Errors::default() }.into_response())
}

/// What is typed to sign in.
#[derive(Deserialize)]
pub struct SignInForm {
    #[serde(default)]
    name: String,
    #[serde(default)]
    password: String,
    next: Option<String>,
}

/// `POST /sign-in`
///
/// # Errors
/// Only the store's own; wrong words come back with the form.
pub async fn create_sign_in(State(app): State<App>, headers: HeaderMap, Form(form): Form<SignInForm>) -> Result<Response, Error> {
    let now = app.clock.now();
    let next = own_address(form.next.as_deref()).to_owned();
    let mut errors = Errors::default();
    let mut status = StatusCode::UNPROCESSABLE_ENTITY;
    if form.name.trim().is_empty() {
        errors.add("name", "Type the e-mail address or name you chose when you joined.");
    } else if let Some(wait) = app.limits.wait(&form.name, now) {
        status = StatusCode::TOO_MANY_REQUESTS;
        let minutes = (wait.whole_seconds() + 59) / 60;
        errors.add("password", format!("Too many tries. Wait {minutes} minutes, or ask your coach for a new link."));
    } else {
        let (person, hash) = app.store.credentials(&form.name).await?.map_or((None, None), |(id, hash)| (Some(id), hash));
        let right = app.passwords.verify(form.password, hash).await?;
        if let (Some(person), true) = (person, right) {
            app.limits.forget(&form.name);
            let cookies = access::sign_in(&app, person, &headers).await?;
            return Ok((cookies, Redirect::to(&next)).into_response());
        }
        app.limits.count(&form.name, now);
        errors.add("password", "Name and password do not fit together. Your coach can give you a link to set a new password.");
    }
    let page = SignInPage { frame: Frame::signed_out("Sign in"), name: form.name, next, errors };
    Ok((status, page).into_response())
}

/// `POST /sign-out`
///
/// # Errors
/// Only the store's own.
pub async fn delete_sign_in(State(app): State<App>, headers: HeaderMap) -> Result<Response, Error> {
    let cookies = access::sign_out(&app, &headers).await?;
    // nothing of this person stays in the browser's own stores
    let clear = [("clear-site-data", "\"cache\", \"storage\"")];
    Ok((cookies, clear, Redirect::to("/sign-in")).into_response())
}
