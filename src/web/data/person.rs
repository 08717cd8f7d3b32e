//! What Dowel keeps of one person: to take along, or to delete.

use crate::store::erase::Traces;
use crate::store::ids::PersonId;
use crate::store::people::{Person, Role};
use crate::web::App;
use crate::web::access::{Coach, Member};
use crate::web::data::{bundle, sheet};
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};

#[derive(Template, WebTemplate)]
#[template(path = "data/person.html")]
pub(super) struct DataPage {
    frame: Frame,
    /// whose; none for one's own
    of: Option<String>,
    /// what is typed to confirm, for the coach
    name: String,
    traces: Traces,
    bundle: String,
    delete: String,
    back: (String, &'static str),
    errors: Errors,
}

/// The page of one's own data.
pub(super) async fn own(app: &App, person: &Person, errors: Errors) -> Result<DataPage, Error> {
    Ok(DataPage {
        frame: Frame::of(person, "Your data", "you"),
        of: None,
        name: person.name.clone(),
        traces: app.store.traces(person.id).await?,
        bundle: "/you/data/bundle".to_owned(),
        delete: "/you/data/delete".to_owned(),
        back: ("/you".to_owned(), "Back to you"),
        errors,
    })
}

/// The page of a member's data, for the coach.
pub(super) async fn of(app: &App, coach: &Person, person: &Person, errors: Errors) -> Result<DataPage, Error> {
    Ok(DataPage {
        frame: Frame::of(coach, format!("Data of {}", person.name), "groups"),
        of: Some(person.name.clone()),
        name: person.name.clone(),
        traces: app.store.traces(person.id).await?,
        bundle: format!("/people/{}/data/bundle", person.id),
        delete: format!("/people/{}/data/delete", person.id),
        back: (format!("/people/{}", person.id), "Back to the person"),
        errors,
    })
}

/// A member, for the coach; a coach's own data is not deleted here.
pub(super) async fn member(app: &App, id: i64) -> Result<Person, Error> {
    let person = app.store.person(PersonId(id)).await?;
    if person.role == Role::Member { Ok(person) } else { Err(Error::NotFound) }
}

/// `GET /you/data`
///
/// # Errors
/// Only the store's own.
pub async fn show_own_data(State(app): State<App>, Member(person): Member) -> Result<Response, Error> {
    Ok(own(&app, &person, Errors::default()).await?.into_response())
}

/// `GET /people/{id}/data`
///
/// # Errors
/// No such member.
pub async fn show_data(State(app): State<App>, Coach(coach): Coach, Path(id): Path<i64>) -> Result<Response, Error> {
    let person = member(&app, id).await?;
    Ok(of(&app, &coach, &person, Errors::default()).await?.into_response())
}

async fn file(app: &App, person: &Person) -> Result<Response, Error> {
    let bytes = bundle::of(app, person).await?;
    Ok(sheet::download(&format!("dowel-{}.zip", sheet::file_name(&person.name)), "application/zip", bytes))
}

/// `GET /you/data/bundle`
///
/// # Errors
/// Only the store's own.
pub async fn download_own_data(State(app): State<App>, Member(person): Member) -> Result<Response, Error> {
    file(&app, &person).await
}

/// `GET /people/{id}/data/bundle`
///
/// # Errors
/// No such member.
pub async fn download_data(State(app): State<App>, Coach(_): Coach, Path(id): Path<i64>) -> Result<Response, Error> {
    file(&app, &member(&app, id).await?).await
}
