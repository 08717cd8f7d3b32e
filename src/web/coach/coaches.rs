//! Coaches and assistants: who may do what.

use crate::store::StoreError;
use crate::store::ids::PersonId;
use crate::store::people::{Person, Role};
use crate::web::App;
use crate::web::access::{self, Coach};
use crate::web::account::confirm::{self, Confirmed};
use crate::web::client::Client;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::{Frame, Said};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;

#[derive(Template, WebTemplate)]
#[template(path = "coach/coaches.html")]
struct CoachesPage {
    frame: Frame,
    you: PersonId,
    coaches: Vec<Person>,
    errors: Errors,
}

async fn page(app: &App, coach: &Person, said: Option<&str>, errors: Errors) -> Result<CoachesPage, Error> {
    let frame = Frame::of(coach, "Coaches and assistants", "groups").saying(said);
    Ok(CoachesPage { frame, you: coach.id, coaches: app.store.coaches().await?, errors })
}

/// `GET /coaches`
///
/// # Errors
/// Only the store's own.
pub async fn list_coaches(State(app): State<App>, Coach(coach): Coach, Query(q): Query<Said>) -> Result<Response, Error> {
    Ok(page(&app, &coach, q.said.as_deref(), Errors::default()).await?.into_response())
}

/// A role, as chosen.
#[derive(Deserialize)]
pub struct RoleForm {
    #[serde(default)]
    role: String,
}

/// `POST /coaches/{id}/role`
///
/// # Errors
/// No such coach; the last one stays a coach.
pub async fn save_role(
    State(app): State<App>,
    Coach(_): Coach,
    Path(id): Path<i64>,
    Form(form): Form<RoleForm>,
) -> Result<Response, Error> {
    let assistant = match form.role.as_str() {
        "assistant" => true,
        "coach" => false,
        _ => return Err(Error::Bad("Choose coach or assistant.".to_owned())),
    };
    match app.store.set_assistant(PersonId(id), assistant).await {
        Ok(()) => Ok(Redirect::to("/coaches?said=saved").into_response()),
        Err(StoreError::Stale) => Err(Error::Bad("Somebody must stay a coach. Make another one a coach first.".to_owned())),
        Err(e) => Err(e.into()),
    }
}

/// Whether a passkey is asked for, and one's own password once more.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct AskForm {
    asked: String,
    password: String,
}

/// `POST /coaches/{id}/passkey`: from now on a password alone does not sign them in, or it does again.
///
/// # Errors
/// No such coach; a wrong password comes back with the page.
pub async fn save_passkey_asked(
    State(app): State<App>,
    Coach(coach): Coach,
    from: Client,
    Path(id): Path<i64>,
    headers: HeaderMap,
    Form(form): Form<AskForm>,
) -> Result<Response, Error> {
    let whose = app.store.person(PersonId(id)).await?;
    if whose.role != Role::Coach {
        return Err(Error::NotFound);
    }
    let asked = form.asked == "yes";
    let mut errors = Errors::default();
    let field = format!("password-{id}");
    errors.check(!asked || app.challenges.site().is_some(), &field, "Passkeys cannot be made under this address.");
    if errors.is_empty()
        && let Confirmed::Not(words) = confirm::password(&app, &coach, from, &headers, form.password).await?
    {
        errors.add(field, words);
    }
    if !errors.is_empty() {
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&app, &coach, None, errors).await?).into_response());
    }
    // one's own browser stays: it goes on to make a passkey where there is none
    let this = access::this_browser(&app, &headers).unwrap_or_default();
    app.store.ask_for_passkey(whose.id, asked, &this).await?;
    Ok(Redirect::to(if asked { "/coaches?said=passkey-asked" } else { "/coaches?said=passkey-free" }).into_response())
}

/// One's own password once more.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct EndForm {
    password: String,
}

/// `POST /coaches/{id}/end`: somebody no longer works here.
///
/// # Errors
/// No such coach; oneself, or a wrong password, comes back with the page.
pub async fn end_access(
    State(app): State<App>,
    Coach(coach): Coach,
    from: Client,
    Path(id): Path<i64>,
    headers: HeaderMap,
    Form(form): Form<EndForm>,
) -> Result<Response, Error> {
    let whose = app.store.person(PersonId(id)).await?;
    if whose.role != Role::Coach || whose.left_at.is_some() {
        return Err(Error::NotFound);
    }
    let mut errors = Errors::default();
    let field = format!("end-{id}");
    errors.check(whose.id != coach.id, &field, "Nobody ends their own access. Another coach can.");
    if errors.is_empty()
        && let Confirmed::Not(words) = confirm::password(&app, &coach, from, &headers, form.password).await?
    {
        errors.add(field, words);
    }
    if !errors.is_empty() {
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&app, &coach, None, errors).await?).into_response());
    }
    match app.store.end_coach(whose.id, app.clock.now()).await {
        Ok(()) => Ok(Redirect::to("/coaches?said=access-ended").into_response()),
        Err(StoreError::Stale) => Err(Error::Bad("Somebody must stay a coach. Make another one a coach first.".to_owned())),
        Err(e) => Err(e.into()),
    }
}

/// `POST /people/{id}/sign-out`: a lost phone, or a doubt.
///
/// # Errors
/// No such person.
pub async fn delete_sign_ins(State(app): State<App>, Coach(_): Coach, Path(id): Path<i64>) -> Result<Response, Error> {
    let person = app.store.person(PersonId(id)).await?;
    app.store.end_sign_ins(person.id).await?;
    let back =
        if person.role == Role::Coach { "/coaches?said=signed-out".to_owned() } else { format!("/people/{id}?said=signed-out") };
    Ok(Redirect::to(&back).into_response())
}
