//! A forgotten password: a link by mail, where the settings name a mail server.
//!
//! # Design
//! Whether an account is there is never said. The answer is the same page for every address, and it is given before
//! anything is looked up: finding the account, making the link and sending it follow by themselves. The link goes to the
//! address that the account has, not to the one that was typed.

use crate::store::StoreError;
use crate::store::people::Person;
use crate::store::trail::Kind;
use crate::web::App;
use crate::web::access::SignedIn;
use crate::web::client::Client;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::Frame;
use crate::web::limits;
use crate::web::trail;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use lettre::Address;
use serde::Deserialize;
use time::OffsetDateTime;

#[derive(Template, WebTemplate)]
#[template(path = "account/forgotten.html")]
struct ForgottenPage {
    frame: Frame,
    name: String,
    errors: Errors,
}

fn page(name: String, errors: Errors) -> ForgottenPage {
    ForgottenPage { frame: Frame::signed_out("Forgot your password?"), name, errors }
}

/// `GET /forgotten`
///
/// # Errors
/// Not found where no mail is sent.
pub async fn show_forgotten(State(app): State<App>, who: Option<SignedIn>) -> Result<Response, Error> {
    if app.post.is_none() {
        return Err(Error::NotFound);
    }
    if who.is_some() {
        return Ok(Redirect::to("/you/password").into_response());
    }
    Ok(page(String::new(), Errors::default()).into_response())
}

/// With which address they sign in.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct ForgottenForm {
    name: String,
}

const NO_ADDRESS: &str = "An e-mail address, such as ada@example.org. If you sign in with a name, ask your coach for a link.";

/// `POST /forgotten`
///
/// # Errors
/// Not found where no mail is sent; busy where too much is under way. What is no address comes back with the form.
pub async fn mail_link(State(app): State<App>, Client(from): Client, Form(form): Form<ForgottenForm>) -> Result<Response, Error> {
    let post = app.post.as_ref().ok_or(Error::NotFound)?;
    let mut errors = Errors::default();
    if form.name.trim().parse::<Address>().is_err() {
        errors.add("name", NO_ADDRESS);
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page(form.name, errors)).into_response());
    }
    if let Err(wait) = app.mailed.count_mail(&form.name, from, app.clock.now()) {
        trail::limited(&app);
        errors.add("name", format!("Asked too often. Wait {}, or ask your coach for a link.", limits::minutes(wait)));
        return Ok((StatusCode::TOO_MANY_REQUESTS, [limits::retry_after(wait)], page(form.name, errors)).into_response());
    }
    let room = post.room().ok_or(StoreError::Busy)?;
    let going = app.clone();
    tokio::spawn(async move {
        deliver(&going, &form.name).await;
        drop(room);
    });
    Ok(Redirect::to("/sign-in?said=mailed").into_response())
}

/// Looks for the account and sends it a link; nobody waits for it.
async fn deliver(app: &App, typed: &str) {
    let (Some(post), Ok(found)) = (&app.post, letter(app, typed).await.inspect_err(|e| tracing::error!(error = %e, "no link")))
    else {
        return;
    };
    let Some((person, to, text)) = found else { return };
    match post.send(to, "A new password for Dowel", &text).await {
        Ok(()) => {
            trail::add(app, None, "a link for a new password was mailed", Some((Kind::Person, person.id.0)), "").await;
        }
        Err(e) => tracing::error!(event = "mail failed", error = %e),
    }
}

/// Whom to write to, and what; none where nobody signs in so.
async fn letter(app: &App, typed: &str) -> Result<Option<(Person, Address, String)>, StoreError> {
    let Some((id, _)) = app.store.credentials(typed).await? else { return Ok(None) };
    let person = app.store.person(id).await?;
    let Ok(to) = person.sign_in.parse() else { return Ok(None) };
    let link = app.store.link_to_mail(id, app.clock.now()).await?;
    let text = words(&app.config.public_address(), &app.links.password_address(&link), &person, link.expires_at());
    Ok(Some((person, to, text)))
}

fn words(site: &str, address: &str, person: &Person, until: OffsetDateTime) -> String {
    let until = person.zone.local(until);
    format!(
        "Somebody, most likely you, asked for a new password for Dowel at {site}.\r\n\r\n\
         Set it here. The link works once, until {:02}:{:02} on {} ({}):\r\n\r\n\
         {address}\r\n\r\n\
         If it was not you, leave this mail alone: nothing changes, and your password goes on working.\r\n",
        until.hour(),
        until.minute(),
        crate::training::calendar::long(until.date()),
        person.zone.name(),
    )
}
