//! One member as the coach sees them.

use super::decision::HeldWords;
use super::{member, moment};
use crate::store::groups::Group;
use crate::store::ids::{GroupId, PersonId};
use crate::store::people::Person;
use crate::store::results::ResultRow;
use crate::store::weeks::Published;
use crate::training::calendar;
use crate::training::member::{KitItem, Level};
use crate::training::movement::Demand;
use crate::training::wording;
use crate::web::App;
use crate::web::access::{Coach, Staff};
use crate::web::error::Error;
use crate::web::frame::{Frame, Said};
use crate::web::member::day::logged::done_words;
use crate::web::member::log::{load_words, version_words};
use crate::web::questions::Asked;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;
use std::collections::HashMap;
use std::collections::hash_map::Entry;
use time::Duration;

/// How far back results are shown here.
const RECENT: Duration = Duration::weeks(6);

#[derive(Template, WebTemplate)]
#[template(path = "coach/person.html")]
pub(super) struct PersonPage {
    frame: Frame,
    person: Person,
    groups: Vec<Group>,
    other_groups: Vec<Group>,
    kit_checked: Option<String>,
    maxes: Vec<String>,
    note: Option<String>,
    /// their words, what these hold back, and what was decided
    held: HeldWords,
    refused: Option<Refused>,
    next: String,
    cautions: Option<String>,
    joined: String,
    left: Option<String>,
    results: Vec<Recent>,
    /// reports of pain that nobody has answered
    pain: Vec<Asked>,
    work: super::work::Work,
    /// in words, and whether it is theirs
    levels: Vec<(&'static str, bool)>,
    /// address and until when, where one is open
    password_link: Option<(String, String)>,
}

/// A decision that was not taken, and why.
pub(in crate::web) struct Refused {
    pub text: &'static str,
    /// about whose words
    pub person: i64,
    /// the field that it is about: `said`, `part`, or none of them
    pub field: &'static str,
    /// the words to the member, as typed
    pub said: String,
    /// the parts of the body that were ticked
    pub parts: Vec<String>,
    /// what loads them, and not whatever touches them
    pub loads: bool,
}

impl Refused {
    /// It is about this field.
    pub fn is_about(&self, field: &str) -> bool {
        self.field == field
    }

    /// This part of the body was ticked.
    pub fn ticked(&self, part: &str) -> bool {
        self.parts.iter().any(|p| p == part)
    }
}

impl PersonPage {
    fn held_words(&self) -> &HeldWords {
        &self.held
    }

    fn reaches_loads(&self, held: &HeldWords) -> bool {
        self.refused_words(&held.person).map_or(held.loads, |refused| refused.loads)
    }

    fn refused_words(&self, _person: &i64) -> Option<&Refused> {
        self.refused.as_ref()
    }
}

/// One result in a row.
struct Recent {
    day: String,
    /// of which part of which session
    of: String,
    score: String,
    /// it waits for an answer, or is hard to believe
    mark: Option<&'static str>,
    version: String,
    effort: String,
    hurt: Option<String>,
    note: String,
    address: String,
}

/// Results with the parts that they are of, in the reader's words.
async fn recent(app: &App, rows: &[ResultRow], owner: &Person) -> Result<Vec<Recent>, Error> {
    let mut versions = HashMap::new();
    for row in rows {
        if let Entry::Vacant(place) = versions.entry(row.version_id) {
            place.insert(app.store.version(row.version_id).await?);
        }
    }
    Ok(rows.iter().map(|row| one_of(row, versions.get(&row.version_id), owner)).collect())
}

fn one_of(row: &ResultRow, version: Option<&Published>, owner: &Person) -> Recent {
    let number = |n: Option<f64>| n.map(|n| n.to_string());
    let part = version.and_then(|v| v.session.parts.get(row.part));
    let names = [version.map(|v| v.session.title.clone()), part.map(wording::part)];
    let load = Some(load_words(&row.load_text, row.load_kg, owner.units)).filter(|load| !load.is_empty());
    Recent {
        day: calendar::short(row.done_on),
        of: names.into_iter().flatten().collect::<Vec<_>>().join(": "),
        score: [Some(done_words(row, part, owner)), load].into_iter().flatten().collect::<Vec<_>>().join(", "),
        mark: row.doubt.as_ref().map(|_| if row.score.is_none() { "waits for an answer" } else { "asked about" }),
        version: version_words(&row.version_done, row.given.as_ref()),
        effort: number(row.rpe).unwrap_or_default(),
        hurt: row.hurt.as_ref().map(|h| if h.trim().is_empty() { "something hurt".to_owned() } else { h.clone() }),
        note: row.note.clone(),
        address: format!("/results/{}/correct", row.id),
    }
}

/// Levels in words.
#[must_use]
pub fn level_word(level: Level) -> &'static str {
    level.key()
}

/// The names of what is at home.
#[must_use]
pub fn kit_in_short(kit: &[KitItem]) -> String {
    kit.iter().map(|k| k.item.replace('_', " ")).collect::<Vec<_>>().join(", ")
}

/// What is kept out, in words.
#[must_use]
pub fn limits_in_words(avoid: &[Demand]) -> String {
    avoid.iter().map(|d| d.label()).collect::<Vec<_>>().join(", ")
}

/// `GET /people/{id}`
///
/// # Errors
/// No such member.
pub async fn show_person(
    State(app): State<App>,
    Staff(coach): Staff,
    Path(id): Path<i64>,
    Query(q): Query<Said>,
) -> Result<Response, Error> {
    let person = member(&app, PersonId(id)).await?;
    Ok(page(&app, &coach, person, q.said.as_deref(), None).await?.into_response())
}

pub(super) async fn page(
    app: &App,
    coach: &Person,
    person: Person,
    said: Option<&str>,
    refused: Option<Refused>,
) -> Result<PersonPage, Error> {
    let now = app.clock.now();
    let groups = app.store.groups_of(person.id).await?;
    let other_groups = app.store.groups().await?.into_iter().filter(|g| groups.iter().all(|o| o.id != g.id)).collect();
    let today = person.zone.day(now);
    let mut results = app.store.results_of_person(person.id, today - RECENT, today + Duration::days(1)).await?;
    results.reverse();
    let password_link = app.store.open_password_link(person.id, now).await?;
    let at = |at: Option<_>| at.map(|at| moment(coach, at));
    let note = app.store.private_note(person.id).await?;
    let standing = app.store.standing_decisions(person.id).await?;
    let pain = open_pain(app, coach, person.id, note.as_deref()).await?;
    let words = note.as_deref().unwrap_or_default();
    Ok(PersonPage {
        held: HeldWords::of((person.id, &person.name), words, &standing, coach),
        refused,
        next: format!("/people/{}", person.id),
        frame: Frame::of(coach, person.name.clone(), "groups").saying(said),
        groups,
        other_groups,
        kit_checked: at(person.kit_checked_at),
        maxes: crate::web::maxes::in_short(&app.store.known_maxes(person.id).await?, coach.units),
        note,
        cautions: at(person.cautions_at),
        joined: moment(coach, person.created_at),
        left: at(person.left_at),
        results: recent(app, &results, &person).await?,
        pain,
        work: super::work::of(app, &person).await?,
        levels: Level::ALL.map(|l| (level_word(l), l == person.level)).to_vec(),
        // with it somebody could become them: not for an assistant
        password_link: password_link
            .filter(|_| !coach.assistant)
            .map(|l| (app.links.password_address(&l), moment(coach, l.expires_at()))),
        person,
    })
}

/// Reports of pain that wait for an answer. Words of the private note stand beside, with what they hold back.
async fn open_pain(app: &App, coach: &Person, of: PersonId, note: Option<&str>) -> Result<Vec<Asked>, Error> {
    let now = app.clock.now();
    let asked = app.store.questions_of(of).await?.into_iter();
    let open = asked.filter(|q| q.pain && q.answer.is_none() && !(q.about.is_none() && note == Some(&q.text)));
    Ok(open.map(|q| Asked::new(q, coach, now)).collect())
}

fn back(id: PersonId, to: &str) -> Response {
    Redirect::to(&format!("/people/{id}?said={to}")).into_response()
}

/// A level, as chosen.
#[derive(Deserialize)]
pub struct LevelForm {
    #[serde(default)]
    level: String,
}

/// `POST /people/{id}/level`
///
/// # Errors
/// No such member, no such level.
pub async fn save_level(
    State(app): State<App>,
    Coach(_): Coach,
    Path(id): Path<i64>,
    Form(form): Form<LevelForm>,
) -> Result<Response, Error> {
    let person = member(&app, PersonId(id)).await?;
    let level = Level::from_key(&form.level).ok_or_else(|| Error::Bad("Choose one of the three levels.".to_owned()))?;
    app.store.save_level(person.id, level).await?;
    Ok(back(person.id, "saved"))
}

/// `POST /people/{id}/password-link`
///
/// # Errors
/// No such member, or one who left.
pub async fn create_password_link(State(app): State<App>, Coach(coach): Coach, Path(id): Path<i64>) -> Result<Response, Error> {
    let person = member(&app, PersonId(id)).await?;
    if person.left_at.is_some() {
        return Err(Error::Bad("They left. Take them back first.".to_owned()));
    }
    app.store.password_link(person.id, Some(coach.id), app.clock.now()).await?;
    Ok(back(person.id, "linked#password"))
}

/// A group, as chosen.
#[derive(Deserialize)]
pub struct GroupChoice {
    #[serde(default)]
    group: String,
}

/// `POST /people/{id}/groups`
///
/// # Errors
/// No such member, no such group.
pub async fn add_to_group(
    State(app): State<App>,
    Coach(_): Coach,
    Path(id): Path<i64>,
    Form(form): Form<GroupChoice>,
) -> Result<Response, Error> {
    let person = member(&app, PersonId(id)).await?;
    let group = form.group.parse().map(GroupId).map_err(|_| Error::Bad("Choose a group.".to_owned()))?;
    app.store.group(group).await?;
    app.store.join_group(group, person.id, app.clock.now()).await?;
    Ok(back(person.id, "saved"))
}

/// `POST /people/{id}/groups/{group}/remove`
///
/// # Errors
/// No such member.
pub async fn remove_from_group(
    State(app): State<App>,
    Coach(_): Coach,
    Path((id, group)): Path<(i64, i64)>,
) -> Result<Response, Error> {
    let person = member(&app, PersonId(id)).await?;
    app.store.leave_group(GroupId(group), person.id).await?;
    Ok(back(person.id, "saved"))
}

/// `POST /people/{id}/leave`
///
/// # Errors
/// No such member.
pub async fn end_membership(State(app): State<App>, Coach(_): Coach, Path(id): Path<i64>) -> Result<Response, Error> {
    let person = member(&app, PersonId(id)).await?;
    app.store.end_membership(person.id, app.clock.now()).await?;
    Ok(back(person.id, "left"))
}

/// `POST /people/{id}/return`
///
/// # Errors
/// No such member.
pub async fn resume_membership(State(app): State<App>, Coach(_): Coach, Path(id): Path<i64>) -> Result<Response, Error> {
    let person = member(&app, PersonId(id)).await?;
    app.store.resume_membership(person.id).await?;
    Ok(back(person.id, "returned"))
}
