//! How lines are fitted: the few rules in which coaches differ, and every line chosen for some members.

use super::pin;
use crate::store::house::KeptPin;
use crate::training::calendar;
use crate::training::movement::Library;
use crate::training::tailor::{OneForTwo, Rules};
use crate::web::App;
use crate::web::access::{Coach, Staff};
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::{Frame, Said};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;

/// Ages of a max and counts that make sense.
const WEEKS: std::ops::RangeInclusive<u32> = 1..=520;
const REPS: std::ops::RangeInclusive<u32> = 8..=40;

/// The rules as typed.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct RulesForm {
    max_age_weeks: String,
    one_for_two: String,
    most_reps: String,
    slower: String,
    never: String,
}

impl RulesForm {
    fn of(rules: &Rules) -> Self {
        Self {
            max_age_weeks: rules.max_age_weeks.to_string(),
            one_for_two: if rules.one_for_two == OneForTwo::EachSide { "each_side" } else { "split" }.to_owned(),
            most_reps: rules.most_reps.to_string(),
            slower: if rules.slower { "yes" } else { "" }.to_owned(),
            never: rules.never.join("\n"),
        }
    }
}

fn number(text: &str, within: std::ops::RangeInclusive<u32>) -> Result<u32, String> {
    text.trim()
        .parse()
        .ok()
        .filter(|n| within.contains(n))
        .ok_or_else(|| format!("A whole number from {} to {}.", within.start(), within.end()))
}

fn read(form: &RulesForm, library: &Library) -> Result<Rules, Errors> {
    let mut errors = Errors::default();
    let mut take =
        |field: &str, text: &str, within| number(text, within).map_err(|why| errors.add(field, why)).unwrap_or_default();
    let max_age_weeks = take("max_age_weeks", &form.max_age_weeks, WEEKS);
    let most_reps = take("most_reps", &form.most_reps, REPS);
    let mut never = Vec::new();
    for name in form.never.lines().map(str::trim).filter(|l| !l.is_empty()) {
        match library.find(name) {
            Some(m) if !never.contains(&m.name) => never.push(m.name.clone()),
            Some(_) => {}
            None => errors.add("never", format!("{name:?} is not in the movement library: one movement a line.")),
        }
    }
    let one_for_two = if form.one_for_two == "each_side" { OneForTwo::EachSide } else { OneForTwo::Split };
    let rules = Rules { max_age_weeks, one_for_two, most_reps, slower: !form.slower.is_empty(), never };
    if errors.is_empty() { Ok(rules) } else { Err(errors) }
}

#[derive(Template, WebTemplate)]
#[template(path = "coach/fitting.html")]
struct FittingPage {
    frame: Frame,
    form: RulesForm,
    errors: Errors,
    changed: bool,
    pins: Vec<PinRow>,
}

/// One choice in the list.
struct PinRow {
    id: i64,
    movement: String,
    intent: &'static str,
    becomes: String,
    whom: String,
    /// where: in words, and the page
    place: Option<(String, String)>,
}

fn row(kept: &KeptPin) -> PinRow {
    PinRow {
        id: kept.pin.id,
        movement: kept.pin.movement.clone(),
        intent: crate::training::wording::intent(kept.pin.intent),
        becomes: pin::becomes_words(&kept.pin.becomes),
        whom: pin::whom_words(kept.pin.whom, kept.name.as_deref()),
        place: kept.place.map(|(group, day, slot)| {
            (calendar::long(day), format!("/groups/{group}/days/{}/{slot}/coverage", calendar::iso(day)))
        }),
    }
}

async fn page(app: &App, frame: Frame, typed: Option<(RulesForm, Errors)>) -> Result<FittingPage, Error> {
    let rules = app.store.rules().await?;
    let changed = rules != Rules::default();
    let (form, errors) = typed.unwrap_or_else(|| (RulesForm::of(&rules), Errors::default()));
    let pins = app.store.pins().await?.iter().map(row).collect();
    Ok(FittingPage { frame, form, errors, changed, pins })
}

/// `GET /fitting`
///
/// # Errors
/// Only the store's own.
pub async fn show_fitting(State(app): State<App>, Staff(coach): Staff, Query(q): Query<Said>) -> Result<Response, Error> {
    let frame = Frame::of(&coach, "How lines are fitted", "movements").saying(q.said.as_deref());
    Ok(page(&app, frame, None).await?.into_response())
}

/// `POST /fitting`
///
/// # Errors
/// Only the store's own; wrong fields come back with the form.
pub async fn save_fitting(State(app): State<App>, Coach(coach): Coach, Form(form): Form<RulesForm>) -> Result<Response, Error> {
    match read(&form, &app.library()) {
        Ok(rules) => {
            app.store.save_rules(Some(&rules)).await?;
            Ok(Redirect::to("/fitting?said=saved").into_response())
        }
        Err(errors) => {
            let frame = Frame::of(&coach, "How lines are fitted", "movements");
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&app, frame, Some((form, errors))).await?).into_response())
        }
    }
}

/// `POST /fitting/reset`
///
/// # Errors
/// Only the store's own.
pub async fn reset_fitting(State(app): State<App>, Coach(_): Coach) -> Result<Redirect, Error> {
    app.store.save_rules(None).await?;
    Ok(Redirect::to("/fitting?said=saved"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_tells_the_rules_as_they_come() {
        let page = include_str!("../../../templates/coach/fitting.html");
        let usual = Rules::default();
        for number in [usual.max_age_weeks, usual.most_reps] {
            assert!(page.contains(&format!("As it comes: {number}.")), "{number}");
        }
        assert!(usual.slower && usual.one_for_two == OneForTwo::Split && usual.never.is_empty());
    }
}
