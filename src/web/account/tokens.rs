//! The page on which one makes and ends one's tokens.

use super::confirm::{self, Confirmed};
use crate::store::ids::TokenId;
use crate::store::people::{Person, Role};
use crate::store::tokens::{Scope, Token};
use crate::training::calendar;
use crate::web::App;
use crate::web::access::Joined;
use crate::web::api::access::{hash, new_token};
use crate::web::client::Client;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::{Frame, Said};
use crate::web::trail;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;
use time::Duration;

/// Most tokens of one person.
const MOST: usize = 20;

#[derive(Template, WebTemplate)]
#[template(path = "account/tokens.html")]
struct TokensPage {
    frame: Frame,
    coach: bool,
    /// may look at everybody's results with one
    manages: bool,
    tokens: Vec<Row>,
    /// shown this once
    fresh: Option<String>,
    form: TokenForm,
    errors: Errors,
}

/// A token in the list.
struct Row {
    id: TokenId,
    name: String,
    may: String,
    made: String,
    until: String,
    used: Option<String>,
    over: bool,
}

/// What a token is to be, as typed.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct TokenForm {
    name: String,
    read: Option<String>,
    log: Option<String>,
    coach: Option<String>,
    days: String,
    /// the password once more; never sent back
    password: String,
}

impl TokenForm {
    fn scopes(&self, person: &Person) -> Vec<Scope> {
        let mut scopes = Vec::new();
        scopes.extend(self.read.is_some().then_some(Scope::Read));
        scopes.extend((self.log.is_some() && person.role == Role::Member).then_some(Scope::Log));
        scopes.extend((self.coach.is_some() && manages(person)).then_some(Scope::Coach));
        scopes
    }
}

/// A coach who is no assistant: who may take everybody's results out on the pages.
fn manages(person: &Person) -> bool {
    person.role == Role::Coach && !person.assistant
}

fn may(scopes: &[Scope]) -> String {
    let words = |s: &Scope| match s {
        Scope::Read => "look",
        Scope::Log => "log",
        Scope::Coach => "look at members",
    };
    scopes.iter().map(words).collect::<Vec<_>>().join(", ")
}

async fn page(app: &App, person: &Person, fresh: Option<String>, form: TokenForm, errors: Errors) -> Result<TokensPage, Error> {
    let now = app.clock.now();
    let day = |at| calendar::long(person.zone.day(at));
    let row = |t: Token| Row {
        id: t.id,
        may: may(&t.scopes),
        name: t.name,
        made: day(t.created_at),
        until: day(t.expires_at),
        used: t.used_at.map(day),
        over: t.expires_at <= now,
    };
    let coach = person.role == Role::Coach;
    Ok(TokensPage {
        frame: Frame::of(person, "Tokens for programs", if coach { "week" } else { "you" }),
        tokens: app.store.tokens_of(person.id).await?.into_iter().map(row).collect(),
        coach,
        manages: manages(person),
        fresh,
        form,
        errors,
    })
}

/// `GET /you/tokens`
///
/// # Errors
/// Only the store's own.
pub async fn list_tokens(State(app): State<App>, Joined(person): Joined, Query(q): Query<Said>) -> Result<Response, Error> {
    let form = TokenForm { read: Some("on".to_owned()), days: "90".to_owned(), ..TokenForm::default() };
    let mut page = page(&app, &person, None, form, Errors::default()).await?;
    page.frame = page.frame.saying(q.said.as_deref());
    Ok(page.into_response())
}

/// `POST /you/tokens`: the one answer that holds the token; it is not kept, so this page cannot be a redirect.
///
/// # Errors
/// Only the store's own; wrong fields come back with the form.
pub async fn create_token(
    State(app): State<App>,
    Joined(person): Joined,
    from: Client,
    headers: HeaderMap,
    Form(mut form): Form<TokenForm>,
) -> Result<Response, Error> {
    let mut errors = Errors::default();
    let scopes = form.scopes(&person);
    let name = form.name.trim();
    errors.check((1..=60).contains(&name.chars().count()), "name", "What it is for, in 1 to 60 letters.");
    errors.check(!scopes.is_empty(), "scopes", "Tick what it may do.");
    let days: Option<i64> = form.days.trim().parse().ok().filter(|d| (1..=365).contains(d));
    errors.check(days.is_some(), "days", "Days from 1 to 365.");
    let many = app.store.tokens_of(person.id).await?.len() >= MOST;
    errors.check(!many, "name", "You have twenty tokens. End one that is not used first.");
    let password = std::mem::take(&mut form.password);
    if errors.is_empty()
        && let Confirmed::Not(words) = confirm::password(&app, &person, from, &headers, password).await?
    {
        errors.add("password", words);
    }
    let (true, Some(days)) = (errors.is_empty(), days) else {
        let page = page(&app, &person, None, form, errors).await?;
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    let (token, now) = (new_token(), app.clock.now());
    app.store.add_token(person.id, &hash(&token), name, &scopes, (now, now + Duration::days(days))).await?;
    trail::add(&app, Some(person.id), "made a token", None, "").await;
    Ok(page(&app, &person, Some(token), TokenForm { days: "90".to_owned(), ..TokenForm::default() }, errors)
        .await?
        .into_response())
}

/// `POST /you/tokens/{id}/end`
///
/// # Errors
/// Somebody else's token is not found.
pub async fn end_token(State(app): State<App>, Joined(person): Joined, Path(id): Path<i64>) -> Result<Redirect, Error> {
    app.store.end_token(person.id, TokenId(id)).await?;
    Ok(Redirect::to("/you/tokens?said=ended"))
}
