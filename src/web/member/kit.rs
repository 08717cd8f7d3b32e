//! What a member has at home: when joining, and later.

use super::kit_form::{BANDS, KitForm, THINGS};
use super::{HOME, joining};
use crate::store::people::{Person, Units};
use crate::training::member::Level;
use crate::training::movement::Demand;
use crate::web::App;
use crate::web::access::{Member, Newcomer};
use crate::web::address;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::{StatusCode, Uri};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;
use time::Duration;

/// Kit is asked about again after this long.
const STILL_TRUE_FOR: Duration = Duration::days(30);

#[derive(Template, WebTemplate)]
#[template(path = "member/kit.html")]
struct KitPage {
    frame: Frame,
    joining: bool,
    unit: &'static str,
    form: KitForm,
    things: &'static [(&'static str, &'static str)],
    bands: &'static [(&'static str, &'static str)],
    home: Vec<(&'static str, &'static str)>,
    errors: Errors,
}

fn page(person: &Person, uri: &Uri, form: KitForm, errors: Errors) -> KitPage {
    let home = HOME.iter().map(|d| (d.key(), home_words(*d))).collect();
    let unit = if person.units == Units::Kg { "kg" } else { "lb" };
    let frame = Frame::of(person, "What you have at home", "you");
    KitPage { frame, joining: joining(uri), unit, form, things: THINGS, bands: BANDS, home, errors }
}

fn home_words(demand: Demand) -> &'static str {
    match demand {
        Demand::Ceiling => "The ceiling is low: nothing held high overhead",
        Demand::Noise => "Neighbours: no jumping, dropping or stamping",
        Demand::Space => "Little floor: nothing that travels or swings wide",
        other => other.label(),
    }
}

/// `GET /welcome/kit`, `GET /you/kit`
///
/// # Errors
/// Only the store's own.
pub async fn show_kit(Newcomer(person): Newcomer, uri: Uri) -> Result<Response, Error> {
    let mut form = KitForm::of(&person.kit, person.units);
    person.level.key().clone_into(&mut form.level);
    form.home = person.avoid.iter().filter(|d| HOME.contains(d)).map(|d| d.key().to_owned()).collect();
    Ok(page(&person, &uri, form, Errors::default()).into_response())
}

/// `POST /welcome/kit`, `POST /you/kit`
///
/// # Errors
/// Only the store's own; what is no weight comes back with the form.
pub async fn save_kit(
    State(app): State<App>,
    Newcomer(person): Newcomer,
    uri: Uri,
    Form(form): Form<KitForm>,
) -> Result<Response, Error> {
    let mut errors = Errors::default();
    let kit = form.kit(person.units, &person.kit, &mut errors);
    errors.check(form.other.chars().count() <= 500, "other", "At most 500 characters.");
    if !errors.is_empty() {
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&person, &uri, form, errors)).into_response());
    }
    let mut avoid: Vec<Demand> = person.avoid.iter().copied().filter(|d| !HOME.contains(d)).collect();
    avoid.extend(HOME.iter().filter(|d| form.home(d.key())));
    let column = match form.column.as_str() {
        "1" => Some(1),
        "2" => Some(2),
        _ => None,
    };
    if let Some(level) = Level::from_key(&form.level) {
        app.store.save_level(person.id, level).await?;
    }
    app.store.save_home(person.id, &kit, &avoid, column, app.clock.now()).await?;
    Ok(Redirect::to(if joining(&uri) { "/welcome/limits" } else { "/you?said=saved" }).into_response())
}

/// It is time to ask whether the kit is still what it was.
#[must_use]
pub fn asks_again(person: &Person, now: time::OffsetDateTime) -> bool {
    person.kit_checked_at.is_none_or(|at| at + STILL_TRUE_FOR < now)
}

/// When that time comes, where it has not come yet.
#[must_use]
pub fn asks_again_at(person: &Person, now: time::OffsetDateTime) -> Option<time::OffsetDateTime> {
    person.kit_checked_at.map(|at| at + STILL_TRUE_FOR).filter(|at| *at >= now)
}

/// Where to go on from here.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Back {
    back: Option<String>,
}

/// `POST /you/kit/still-true`
///
/// # Errors
/// Only the store's own.
pub async fn confirm_kit(State(app): State<App>, Member(person): Member, Form(form): Form<Back>) -> Result<Redirect, Error> {
    app.store.save_kit(person.id, &person.kit, app.clock.now()).await?;
    Ok(Redirect::to(address::own(form.back.as_deref())))
}
