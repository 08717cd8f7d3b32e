//! Adding to the library and changing it; for the coach.

use super::address as page_of;
use super::form::MovementForm;
use super::look::capital;
use super::shelf::Turn;
use crate::store::StoreError;
use crate::store::people::Person;
use crate::training::movement::{BadMovement, Demand, Implement, Library, Movement, Pattern, Sided, StandIn, Unit};
use crate::web::App;
use crate::web::access::{Coach, Staff};
use crate::web::address;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;

#[derive(Template, WebTemplate)]
#[template(path = "movements/edit.html")]
struct EditPage {
    frame: Frame,
    form: MovementForm,
    errors: Errors,
    /// where it is sent to
    action: String,
    /// page of the movement, or of the library
    back: String,
    standing: Standing,
}

/// Where a movement comes from, as far as editing goes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Standing {
    /// not saved yet
    New,
    /// the practice's own
    Own,
    /// came with Dowel
    Shipped,
    /// came with Dowel and was changed here
    Changed,
}

type Choice = (&'static str, &'static str, bool);

impl EditPage {
    /// The page leads back to where one came from.
    fn from(mut self, from: &From) -> Self {
        if !from.back.is_empty() {
            let back = address::own(Some(&from.back));
            self.action = format!("{}?back={}", self.action, address::value(back));
            back.clone_into(&mut self.back);
        }
        self
    }

    fn fixed_name(&self) -> bool {
        matches!(self.standing, Standing::Shipped | Standing::Changed)
    }

    fn is_own(&self) -> bool {
        self.standing == Standing::Own
    }

    fn is_changed(&self) -> bool {
        self.standing == Standing::Changed
    }

    fn patterns(&self) -> impl Iterator<Item = Choice> {
        Pattern::ALL.iter().map(|x| (x.key(), x.label(), x.key() == self.form.pattern))
    }

    fn sides(&self) -> impl Iterator<Item = Choice> {
        Sided::ALL.iter().map(|x| (x.key(), x.label(), x.key() == self.form.sided))
    }

    fn units(&self) -> impl Iterator<Item = Choice> {
        Unit::ALL.iter().map(|x| (x.key(), x.label(), x.key() == self.form.unit))
    }

    fn stand_ins(&self) -> impl Iterator<Item = Choice> {
        StandIn::ALL.iter().map(|x| (x.key(), x.label(), x.key() == self.form.stand_in))
    }

    fn demands(&self) -> impl Iterator<Item = Choice> {
        Demand::ALL.iter().map(|x| (x.key(), x.label(), self.form.demands.iter().any(|d| d == x.key())))
    }

    fn skills(&self) -> impl Iterator<Item = (String, &'static str, bool)> {
        (1..=5_u8).map(|s| (s.to_string(), super::skill_words(s), s.to_string() == self.form.skill))
    }

    fn implements(&self) -> String {
        Implement::ALL.iter().map(|i| i.label()).collect::<Vec<_>>().join(", ")
    }
}

async fn standing(app: &App, name: &str) -> Result<Standing, Error> {
    let own = app.store.own_movements().await?.iter().any(|m| m.name == name);
    let shipped = Library::shipped().all().iter().any(|m| m.name == name);
    match (own, shipped) {
        (true, true) => Ok(Standing::Changed),
        (true, false) => Ok(Standing::Own),
        (false, true) => Ok(Standing::Shipped),
        (false, false) => Err(Error::NotFound),
    }
}

fn page(coach: &Person, was: Option<&str>, standing: Standing, form: MovementForm, errors: Errors) -> EditPage {
    let title = was.map_or("A new movement".to_owned(), |name| format!("Change {name}"));
    let back = was.map_or("/movements".to_owned(), page_of);
    let action = was.map_or("/movements/new".to_owned(), |name| format!("{}/edit", page_of(name)));
    EditPage { frame: Frame::of(coach, title, "movements"), form, errors, action, back, standing }
}

/// Whether the library holds together with it; what would not fit is an error beside the field it comes from.
fn fits(movement: &Movement, own: &[Movement], was: Option<&str>, errors: &mut Errors) -> bool {
    let mut own: Vec<Movement> = own.iter().filter(|m| Some(m.name.as_str()) != was).cloned().collect();
    own.push(movement.clone());
    match Library::shipped().with(own) {
        Ok(_) => true,
        Err(BadMovement { movement: other, why }) => {
            errors.add("aliases", format!("{} needs a name that you took away: {why}.", capital(&other)));
            false
        }
    }
}

/// The turn is over, and the library is read anew.
async fn changed(app: &App, turn: Turn) {
    drop(turn);
    // it is saved; where reading fails, whoever asks next reads it
    let _ = app.look_around().await;
}

async fn save(app: &App, coach: &Person, was: Option<&str>, mut form: MovementForm, from: &From) -> Result<Response, Error> {
    // from reading to saving nobody else changes it
    let turn = app.change_library().await?;
    let standing = match was {
        Some(name) => standing(app, name).await?,
        None => Standing::New,
    };
    if let (Some(was), Standing::Shipped | Standing::Changed) = (was, standing) {
        was.clone_into(&mut form.name);
    }
    let mut errors = Errors::default();
    let own = app.store.own_movements().await?;
    if let Some(movement) = form.read(&app.library(), was, &mut errors)
        && fits(&movement, &own, was, &mut errors)
    {
        match app.store.save_movement(was, &movement, coach.id, app.clock.now()).await {
            Ok(()) => {
                changed(app, turn).await;
                let page = page_of(&movement.name);
                let next = if from.back.is_empty() { &page } else { address::own(Some(&from.back)) };
                return Ok(Redirect::to(&address::saying(next, "saved")).into_response());
            }
            Err(StoreError::Taken(field)) => errors.add(field, format!("“{}” was just added by somebody else.", movement.name)),
            Err(e) => return Err(e.into()),
        }
    }
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page(coach, was, standing, form, errors).from(from)).into_response())
}

/// Where the wish for a new movement came from.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct From {
    /// as typed there
    name: String,
    /// an address within Dowel to go back to; empty: the movement's own page
    back: String,
}

/// `GET /movements/new`
///
/// # Errors
/// Only the store's own.
pub async fn new_movement(Staff(coach): Staff, Query(from): Query<From>) -> Result<Response, Error> {
    let form = MovementForm { name: from.name.trim().to_lowercase(), ..MovementForm::empty() };
    Ok(page(&coach, None, Standing::New, form, Errors::default()).from(&from).into_response())
}

/// `POST /movements/new`
///
/// # Errors
/// Only the store's own; wrong fields come back with the form.
pub async fn create_movement(
    State(app): State<App>,
    Coach(coach): Coach,
    Query(from): Query<From>,
    Form(form): Form<MovementForm>,
) -> Result<Response, Error> {
    save(&app, &coach, None, form, &from).await
}

/// `GET /movements/{name}/edit`
///
/// # Errors
/// A name that no movement has.
pub async fn edit_movement(State(app): State<App>, Staff(coach): Staff, Path(name): Path<String>) -> Result<Response, Error> {
    let movement = app.library().find(&name).ok_or(Error::NotFound)?.clone();
    let standing = standing(&app, &movement.name).await?;
    let form = MovementForm::of(&movement);
    Ok(page(&coach, Some(&movement.name), standing, form, Errors::default()).into_response())
}

/// `POST /movements/{name}/edit`
///
/// # Errors
/// A name that no movement has; wrong fields come back with the form.
pub async fn save_movement(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(name): Path<String>,
    Form(form): Form<MovementForm>,
) -> Result<Response, Error> {
    save(&app, &coach, Some(&name), form, &From::default()).await
}

/// `POST /movements/{name}/reset`: a changed movement is as it came again, an own one is gone.
///
/// # Errors
/// A movement that is not changed; one that another own movement names comes back with the form.
pub async fn reset_movement(State(app): State<App>, Coach(coach): Coach, Path(name): Path<String>) -> Result<Response, Error> {
    let turn = app.change_library().await?;
    let standing = standing(&app, &name).await?;
    if standing == Standing::Shipped {
        return Err(Error::NotFound);
    }
    let mut own = app.store.own_movements().await?;
    own.retain(|m| m.name != name);
    match Library::shipped().with(own) {
        Ok(_) => {
            app.store.delete_movement(&name).await?;
            changed(&app, turn).await;
            let next = if standing == Standing::Own {
                "/movements?said=deleted".to_owned()
            } else {
                format!("{}?said=reset", page_of(&name))
            };
            Ok(Redirect::to(&next).into_response())
        }
        Err(BadMovement { movement, why }) => {
            let form = app.library().find(&name).map(MovementForm::of).ok_or(Error::NotFound)?;
            let mut errors = Errors::default();
            errors.add("reset", format!("{} leans on it: {why}. Change that one first.", capital(&movement)));
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&coach, Some(&name), standing, form, errors)).into_response())
        }
    }
}
