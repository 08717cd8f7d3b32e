//! A member's own settings.

use super::kit::asks_again;
use crate::store::people::{Person, Units};
use crate::training::calendar::{self, Zone};
use crate::training::member::Level;
use crate::training::movement::Demand;
use crate::web::App;
use crate::web::access::Member;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::{Frame, Said};
use crate::web::maxes;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;

#[derive(Template, WebTemplate)]
#[template(path = "member/you.html")]
struct YouPage {
    frame: Frame,
    form: YouForm,
    zones: &'static [&'static str],
    kit: Vec<String>,
    kit_checked: Option<String>,
    ask_kit: bool,
    maxes: Vec<String>,
    avoid: Vec<&'static str>,
    errors: Errors,
}

/// Settings as typed.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct YouForm {
    name: String,
    nickname: String,
    zone: String,
    units: String,
    column: String,
    level: String,
    shown: Option<String>,
}

/// An item as a person would say it: `dumbbell 10, 15 kg`.
fn kit_words(item: &crate::training::member::KitItem) -> String {
    let list = |list: &[f64]| list.iter().map(f64::to_string).collect::<Vec<_>>().join(", ");
    let mut words = item.item.replace('_', " ");
    if let Some(tension) = &item.tension {
        words = format!("{tension} {words}");
    }
    if item.count.unwrap_or(1) >= 2 {
        words += " pairs";
    }
    for (weights, unit) in [(&item.kg, "kg"), (&item.lb, "lb")] {
        if !weights.is_empty() {
            words += &format!(" {} {unit}", list(weights));
        }
    }
    for (plates, unit) in [(&item.plates_kg_pairs, "kg"), (&item.plates_lb_pairs, "lb")] {
        if !plates.is_empty() {
            words += &format!(", plates in pairs {} {unit}", list(plates));
        }
    }
    words
}

async fn page(app: &App, person: &Person, form: YouForm, errors: Errors) -> Result<YouPage, Error> {
    Ok(YouPage {
        frame: Frame::of(person, "You", "you"),
        form,
        zones: Zone::names(),
        kit: person.kit.iter().map(kit_words).collect(),
        kit_checked: person.kit_checked_at.map(|at| calendar::long(person.zone.day(at))),
        ask_kit: asks_again(person, app.clock.now()),
        maxes: maxes::in_short(&app.store.known_maxes(person.id).await?, person.units),
        avoid: person.avoid.iter().copied().map(Demand::label).collect(),
        errors,
    })
}

/// `GET /you`
///
/// # Errors
/// Only the store's own.
pub async fn show_you(State(app): State<App>, Member(person): Member, Query(q): Query<Said>) -> Result<Response, Error> {
    let form = YouForm {
        name: person.name.clone(),
        nickname: person.nickname.clone().unwrap_or_default(),
        zone: person.zone.name().to_owned(),
        units: if person.units == Units::Lb { "lb" } else { "kg" }.to_owned(),
        column: person.load_column.to_string(),
        level: person.level.key().to_owned(),
        shown: person.shown.then(|| "on".to_owned()),
    };
    let mut page = page(&app, &person, form, Errors::default()).await?;
    page.frame = page.frame.saying(q.said.as_deref());
    Ok(page.into_response())
}

/// `POST /you`
///
/// # Errors
/// Only the store's own; wrong fields come back with the form.
pub async fn save_you(State(app): State<App>, Member(person): Member, Form(form): Form<YouForm>) -> Result<Response, Error> {
    let mut errors = Errors::default();
    let (name, nickname) = (form.name.trim(), form.nickname.trim());
    errors.check((1..=100).contains(&name.chars().count()), "name", "Your name, as your coach knows you.");
    errors.check(nickname.chars().count() <= 60, "nickname", "At most 60 characters.");
    let new = !nickname.is_empty() && person.nickname.as_deref() != Some(nickname);
    let taken = new && app.store.is_called(person.id, nickname).await?;
    errors.check(!taken, "nickname", "Somebody here is called that already. Choose another.");
    let zone = Zone::of_place(&form.zone);
    errors.check(zone.is_some(), "zone", "Type a large city with your time, such as Lisbon or New York.");
    let (true, Some(zone)) = (errors.is_empty(), zone) else {
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&app, &person, form, errors).await?).into_response());
    };
    let changed = Person {
        name: name.to_owned(),
        nickname: Some(nickname.to_owned()).filter(|n| !n.is_empty()),
        zone,
        units: if form.units == "lb" { Units::Lb } else { Units::Kg },
        load_column: if form.column == "2" { 2 } else { 1 },
        shown: form.shown.is_some(),
        ..person
    };
    app.store.save_person(&changed).await?;
    if let Some(level) = Level::from_key(&form.level) {
        app.store.save_level(changed.id, level).await?;
    }
    Ok(Redirect::to("/you?said=saved").into_response())
}
