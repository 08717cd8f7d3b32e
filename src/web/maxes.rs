//! Known maxes of a lift: the member's own page, and the same page for their coach.

use super::App;
use super::access::{Coach, Member, Staff};
use super::error::Error;
use super::forms::Errors;
use super::frame::{Frame, Said};
use crate::store::ids::{MaxId, PersonId};
use crate::store::maxes::{KnownMax, MaxSource};
use crate::store::people::{Person, Role, Units};
use crate::training::calendar;
use crate::training::load::{self, Mass};
use crate::training::movement::{Library, Movement};
use crate::training::score::{self, MassUnit, Score, ScoreRules};
use crate::training::session::ScoreKind;
use crate::training::strength::{self, Estimate};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::Arc;
use time::Date;

/// Nobody's bar is heavier, kilograms.
const HEAVIEST_KG: f64 = 600.0;
/// Most lifts that are named where it is not clear which is meant.
const MOST_NAMED: usize = 6;

#[derive(Template, WebTemplate)]
#[template(path = "maxes.html")]
struct MaxesPage {
    frame: Frame,
    /// where the forms go
    here: String,
    back: (&'static str, String),
    /// the coach looks at this member
    of: Option<String>,
    lifts: Vec<LiftRow>,
    library: Arc<Library>,
    form: MaxForm,
    errors: Errors,
}

/// One lift: what counts, and what was before.
struct LiftRow {
    movement: String,
    now: MaxRow,
    before: Vec<MaxRow>,
}

struct MaxRow {
    id: MaxId,
    words: String,
    how: &'static str,
    day: String,
}

/// A max as typed.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct MaxForm {
    movement: String,
    weight: String,
    day: String,
}

fn in_words(kg: f64, units: Units) -> String {
    let unit = if units == Units::Lb { load::MassUnit::Lb } else { load::MassUnit::Kg };
    let mass = Mass::of_kg(kg, unit);
    // to a tenth: a weight kept in kilograms comes back in pounds as it was typed
    Mass { value: (mass.value * 10.0).round() / 10.0, unit }.to_string()
}

/// Each lift with its max, in the reader's unit: `back squat 100 kg`.
#[must_use]
pub fn in_short(maxes: &BTreeMap<String, f64>, units: Units) -> Vec<String> {
    maxes.iter().map(|(lift, kg)| format!("{lift} {}", in_words(*kg, units))).collect()
}

fn row(max: &KnownMax, units: Units) -> MaxRow {
    MaxRow {
        id: max.id,
        words: in_words(max.kg, units),
        how: match max.source {
            MaxSource::Tested => "lifted once",
            MaxSource::Estimated => "estimated from a set",
        },
        day: calendar::long(max.day),
    }
}

fn lifts(maxes: &[KnownMax], units: Units) -> Vec<LiftRow> {
    maxes
        .chunk_by(|a, b| a.movement == b.movement)
        .filter_map(|of_one| {
            let (newest, before) = of_one.split_first()?;
            Some(LiftRow {
                movement: newest.movement.clone(),
                now: row(newest, units),
                before: before.iter().map(|m| row(m, units)).collect(),
            })
        })
        .collect()
}

/// What the form says, ready to be kept.
struct Told {
    movement: String,
    kg: f64,
    source: MaxSource,
    day: Date,
}

fn read_weight(text: &str, units: Units) -> Result<(f64, MaxSource), String> {
    let unit = if units == Units::Lb { MassUnit::Lb } else { MassUnit::Kg };
    let rules = ScoreRules { mass_unit: Some(unit), reps: Some(1), ..ScoreRules::default() };
    let reading = score::read(ScoreKind::Load, text, &rules).map_err(|e| format!("{e} Type it as in 100 kg, or 3 x 90 kg."))?;
    if let Some(question) = reading.held {
        return Err(question.text);
    }
    let Score::Load { lifts } = reading.score else { return Err("There is no weight here.".to_owned()) };
    let [lift] = lifts.as_slice() else { return Err("One weight at a time.".to_owned()) };
    let reps = lift.reps.unwrap_or(1);
    let kg = lift.kg().filter(|kg| *kg > 0.0 && *kg <= HEAVIEST_KG && !lift.added && lift.implements == 1 && reps > 0);
    let kg = kg.ok_or("The weight of one lift, with the bar: 100 kg, or 3 x 90 kg.")?;
    let Estimate { low, .. } = strength::estimate(kg, reps).ok_or("A set of more than ten reps says too little about one.")?;
    Ok((low, if reps == 1 { MaxSource::Tested } else { MaxSource::Estimated }))
}

/// The lift that is meant. `bench` could be several: they are named, and none is guessed.
fn lift<'l>(typed: &str, library: &'l Library) -> Result<&'l Movement, String> {
    if let Some(lift) = library.find(typed).filter(|m| m.loadable) {
        return Ok(lift);
    }
    let near: Vec<&Movement> = library.search(typed).into_iter().filter(|m| m.loadable).collect();
    let names = near.iter().take(MOST_NAMED).map(|m| m.name.as_str()).collect::<Vec<_>>().join(", ");
    Err(match near.as_slice() {
        [] => "Choose a lift of the movement library that is done with a weight.".to_owned(),
        _ if typed.trim().is_empty() => "Which lift? For example back squat.".to_owned(),
        [one] => format!("Do you mean {}? Type it in full.", one.name),
        _ => format!("Which one? {names}{}.", if near.len() > MOST_NAMED { " or another" } else { "" }),
    })
}

fn read(form: &MaxForm, library: &Library, units: Units, today: Date) -> Result<Told, Errors> {
    let mut errors = Errors::default();
    let movement = lift(&form.movement, library).map_err(|why| errors.add("movement", why)).ok();
    let weight = read_weight(&form.weight, units).map_err(|why| errors.add("weight", why)).ok();
    let day = if form.day.trim().is_empty() { Some(today) } else { calendar::read_iso(form.day.trim()) };
    let day = day.filter(|d| *d <= today && *d > today - time::Duration::days(20 * 366));
    errors.check(day.is_some(), "day", "The day it was lifted, not later than today.");
    match (movement, weight, day) {
        (Some(movement), Some((kg, source)), Some(day)) => Ok(Told { movement: movement.name.clone(), kg, source, day }),
        _ => Err(errors),
    }
}

/// Whose maxes, and who looks at them.
struct View {
    reader: Person,
    owner: Person,
}

impl View {
    async fn of_member(app: &App, coach: Person, id: i64) -> Result<Self, Error> {
        let owner = app.store.person(PersonId(id)).await?;
        if owner.role == Role::Member { Ok(Self { reader: coach, owner }) } else { Err(Error::NotFound) }
    }

    fn own(&self) -> bool {
        self.reader.id == self.owner.id
    }

    fn address(&self) -> String {
        if self.own() { "/you/maxes".to_owned() } else { format!("/people/{}/maxes", self.owner.id) }
    }

    async fn page(self, app: &App, form: MaxForm, errors: Errors, said: Option<&str>) -> Result<MaxesPage, Error> {
        let maxes = app.store.maxes_of(self.owner.id).await?;
        let (title, menu) =
            if self.own() { ("Your maxes".to_owned(), "you") } else { (format!("Maxes of {}", self.owner.name), "groups") };
        Ok(MaxesPage {
            frame: Frame::of(&self.reader, title, menu).saying(said),
            here: self.address(),
            back: if self.own() {
                ("You", "/you".to_owned())
            } else {
                ("Back to the member", format!("/people/{}", self.owner.id))
            },
            of: (!self.own()).then(|| self.owner.name.clone()),
            lifts: lifts(&maxes, self.reader.units),
            library: app.library(),
            form,
            errors,
        })
    }

    async fn add(self, app: &App, form: MaxForm) -> Result<Response, Error> {
        let now = app.clock.now();
        match read(&form, &app.library(), self.reader.units, self.owner.zone.day(now)) {
            Ok(told) => {
                app.store.add_max(self.owner.id, &told.movement, told.kg, (told.source, told.day), now).await?;
                Ok(Redirect::to(&format!("{}?said=saved", self.address())).into_response())
            }
            Err(errors) => Ok((StatusCode::UNPROCESSABLE_ENTITY, self.page(app, form, errors, None).await?).into_response()),
        }
    }

    async fn remove(self, app: &App, max: i64) -> Result<Response, Error> {
        app.store.remove_max(self.owner.id, MaxId(max)).await?;
        Ok(Redirect::to(&format!("{}?said=deleted", self.address())).into_response())
    }
}

fn own(person: Person) -> View {
    View { reader: person.clone(), owner: person }
}

/// `GET /you/maxes`
///
/// # Errors
/// Only the store's own.
pub async fn show_own_maxes(State(app): State<App>, Member(person): Member, Query(q): Query<Said>) -> Result<Response, Error> {
    Ok(own(person).page(&app, MaxForm::default(), Errors::default(), q.said.as_deref()).await?.into_response())
}

/// `POST /you/maxes`
///
/// # Errors
/// Only the store's own; wrong fields come back with the form.
pub async fn add_own_max(State(app): State<App>, Member(person): Member, Form(form): Form<MaxForm>) -> Result<Response, Error> {
    own(person).add(&app, form).await
}

/// `POST /you/maxes/{max}/remove`
///
/// # Errors
/// No such max of theirs.
pub async fn remove_own_max(State(app): State<App>, Member(person): Member, Path(max): Path<i64>) -> Result<Response, Error> {
    own(person).remove(&app, max).await
}

/// `GET /people/{id}/maxes`
///
/// # Errors
/// No such member.
pub async fn show_maxes(
    State(app): State<App>,
    Staff(coach): Staff,
    Path(id): Path<i64>,
    Query(q): Query<Said>,
) -> Result<Response, Error> {
    let view = View::of_member(&app, coach, id).await?;
    Ok(view.page(&app, MaxForm::default(), Errors::default(), q.said.as_deref()).await?.into_response())
}

/// `POST /people/{id}/maxes`
///
/// # Errors
/// No such member; wrong fields come back with the form.
pub async fn add_max(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(id): Path<i64>,
    Form(form): Form<MaxForm>,
) -> Result<Response, Error> {
    View::of_member(&app, coach, id).await?.add(&app, form).await
}

/// `POST /people/{id}/maxes/{max}/remove`
///
/// # Errors
/// No such member, no such max of theirs.
pub async fn remove_max(
    State(app): State<App>,
    Coach(coach): Coach,
    Path((id, max)): Path<(i64, i64)>,
) -> Result<Response, Error> {
    View::of_member(&app, coach, id).await?.remove(&app, max).await
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_single_is_tested_and_a_set_is_estimated_by_the_careful_formula() {
        assert_eq!(read_weight("100", Units::Kg), Ok((100.0, MaxSource::Tested)));
        // 90 x (1 + 3/30) = 99 (Epley), 90 x 36/(37 - 3) = 95.3 (Brzycki)
        let (kg, source) = read_weight("3 x 90 kg", Units::Lb).unwrap();
        assert!((kg - 95.294).abs() < 0.01 && source == MaxSource::Estimated, "{kg}");
    }

    #[test]
    fn what_is_no_lift_is_said() {
        for bad in ["", "heavy", "80 kg, 90 kg", "2 x 20 kg each", "15 x 60 kg", "9000 kg"] {
            assert!(read_weight(bad, Units::Kg).is_err(), "{bad}");
        }
    }

    #[test]
    fn pounds_come_back_as_they_were_typed() {
        let (kg, _) = read_weight("225", Units::Lb).unwrap();
        assert_eq!(in_words(kg, Units::Lb), "225 lb");
    }
}
