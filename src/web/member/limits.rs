//! What a member keeps out for now, and a private word to the coach.

use super::{HOME, joining};
use crate::store::people::Person;
use crate::training::movement::Demand;
use crate::training::tailor::needs_the_coach;
use crate::web::App;
use crate::web::access::Newcomer;
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

/// Longest private note, in characters.
const LONGEST: usize = 2000;

#[derive(Template, WebTemplate)]
#[template(path = "member/limits.html")]
struct LimitsPage {
    frame: Frame,
    joining: bool,
    demands: Vec<(&'static str, &'static str)>,
    form: LimitsForm,
    errors: Errors,
}

/// What is ticked and typed.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct LimitsForm {
    avoid: Vec<String>,
    note: String,
}

impl LimitsForm {
    fn avoids(&self, key: &str) -> bool {
        self.avoid.iter().any(|k| k == key)
    }
}

/// A demand as a member would say it.
#[must_use]
pub fn words(demand: Demand) -> &'static str {
    match demand {
        Demand::Overhead => "Arms overhead",
        Demand::ShoulderLoad => "Load on the shoulders: push-ups, presses",
        Demand::SpinalLoad => "Load on the back: bar on the shoulders, heavy lifts from the floor",
        Demand::DeepKnee => "Deep knee bends",
        Demand::WristLoad => "Weight on the wrists",
        Demand::Kneeling => "Kneeling",
        Demand::Supine => "Lying on the back",
        Demand::Prone => "Lying face down",
        Demand::Hanging => "Hanging from a bar",
        Demand::Inverted => "Head below the hips",
        Demand::Impact => "Jumping and landing",
        Demand::Grip => "Gripping hard",
        Demand::SpinalFlexion => "Rounding the back, as in sit-ups",
        Demand::SpinalExtension => "Arching the back",
        Demand::Balance => "Balancing on one leg",
        Demand::FloorStart => "Getting down to the floor and up",
        Demand::Ceiling | Demand::Noise | Demand::Space => demand.label(),
    }
}

fn page(person: &Person, uri: &Uri, form: LimitsForm, errors: Errors) -> LimitsPage {
    let demands = Demand::ALL.iter().filter(|d| !HOME.contains(d)).map(|d| (d.key(), words(*d))).collect();
    LimitsPage { frame: Frame::of(person, "What to keep out for now", "you"), joining: joining(uri), demands, form, errors }
}

/// `GET /welcome/limits`, `GET /you/limits`
///
/// # Errors
/// Only the store's own.
pub async fn show_limits(State(app): State<App>, Newcomer(person): Newcomer, uri: Uri) -> Result<Response, Error> {
    let note = app.store.private_note(person.id).await?.unwrap_or_default();
    let form = LimitsForm { avoid: person.avoid.iter().map(|d| d.key().to_owned()).collect(), note };
    Ok(page(&person, &uri, form, Errors::default()).into_response())
}

/// `POST /welcome/limits`, `POST /you/limits`
///
/// # Errors
/// Only the store's own; a note that is too long comes back with the form.
pub async fn save_limits(
    State(app): State<App>,
    Newcomer(person): Newcomer,
    uri: Uri,
    Form(form): Form<LimitsForm>,
) -> Result<Response, Error> {
    let mut errors = Errors::default();
    errors.check(form.note.chars().count() <= LONGEST, "note", "At most 2000 characters.");
    if !errors.is_empty() {
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&person, &uri, form, errors)).into_response());
    }
    // what the home asks is set on the kit page and stays as it is
    let keep = |d: &&Demand| if HOME.contains(d) { person.avoid.contains(d) } else { form.avoids(d.key()) };
    let avoid: Vec<Demand> = Demand::ALL.iter().filter(keep).copied().collect();
    let told = needs_the_coach(&form.note);
    if told {
        // before it is saved: a session that stops is never between a member and the app alone
        app.store.report(person.id, &form.note, app.clock.now()).await?;
    }
    let before = app.store.private_note(person.id).await?.unwrap_or_default();
    let word = !told && !form.note.trim().is_empty() && form.note.trim() != before.trim();
    if word {
        // a word to the coach reaches the coach, whatever it says
        app.store.word(person.id, &form.note, app.clock.now()).await?;
    }
    app.store.save_limits(person.id, &avoid, Some(&form.note)).await?;
    // what a coach decided about the very same words still counts
    let decided = told && app.store.standing_decisions(person.id).await?.settles_words();
    let saved = match (told && !decided, word) {
        (true, _) => "/you?said=told",
        (_, true) => "/you?said=passed_on",
        (_, _) => "/you?said=saved",
    };
    Ok(Redirect::to(if joining(&uri) { "/welcome/cautions" } else { saved }).into_response())
}
