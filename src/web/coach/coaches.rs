//! Coaches and assistants: who may do what.

use super::Said;
use crate::store::StoreError;
use crate::store::ids::PersonId;
use crate::store::people::Person;
use crate::web::App;
use crate::web::access::Manager;
use crate::web::error::Error;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;

#[derive(Template, WebTemplate)]
#[template(path = "coach/coaches.html")]
struct CoachesPage {
    frame: Frame,
    you: PersonId,
    coaches: Vec<Person>,
}

/// `GET /coaches`
///
/// # Errors
/// Only the store's own.
pub async fn list_coaches(State(app): State<App>, Manager(coach): Manager, Query(q): Query<Said>) -> Result<Response, Error> {
    let frame = Frame::of(&coach, "Coaches and assistants", "groups").saying(q.said.as_deref());
    Ok(CoachesPage { frame, you: coach.id, coaches: app.store.coaches().await? }.into_response())
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
    Manager(_): Manager,
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

/// `POST /people/{id}/sign-out`: a lost phone, or a doubt.
///
/// # Errors
/// No such person.
pub async fn delete_sign_ins(State(app): State<App>, Manager(_): Manager, Path(id): Path<i64>) -> Result<Response, Error> {
    let person = app.store.person(PersonId(id)).await?;
    app.store.end_sign_ins(person.id).await?;
    let back = if person.role == crate::store::people::Role::Coach {
        "/coaches?said=signed-out".to_owned()
    } else {
        format!("/people/{id}?said=signed-out")
    };
    Ok(Redirect::to(&back).into_response())
}
