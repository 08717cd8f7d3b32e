//! Looking movements up.

use super::{address, skill_words, ways};
use crate::store::people::Role;
use crate::training::movement::{Implement, Library, Movement, Pattern};
use crate::web::App;
use crate::web::access::SignedIn;
use crate::web::error::Error;
use crate::web::frame::{Frame, Said};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Query;
use serde::Deserialize;

/// What is looked for, and what was just done.
#[derive(Deserialize, Default)]
pub struct Search {
    #[serde(default)]
    q: String,
    /// key of a pattern; empty: all
    #[serde(default)]
    pattern: String,
    /// key of an implement; empty: all
    #[serde(default)]
    with: String,
    said: Option<String>,
}

#[derive(Template, WebTemplate)]
#[template(path = "movements/search.html")]
struct SearchPage {
    frame: Frame,
    coach: bool,
    search: Search,
    found: Vec<Found>,
    all: usize,
}

struct Found {
    name: String,
    address: String,
    pattern: &'static str,
    ways: String,
    /// the alias through which it was found, where the name itself does not hold the words
    also: Option<String>,
}

impl SearchPage {
    fn patterns(&self) -> impl Iterator<Item = (&'static str, &'static str, bool)> {
        Pattern::ALL.iter().map(|p| (p.key(), p.label(), p.key() == self.search.pattern))
    }

    fn implements(&self) -> impl Iterator<Item = (&'static str, &'static str, bool)> {
        Implement::ALL.iter().map(|i| (i.key(), i.label(), i.key() == self.search.with))
    }
}

fn find(library: &Library, search: &Search) -> Vec<Found> {
    let pattern = Pattern::from_key(&search.pattern);
    let with = Implement::from_key(&search.with);
    let mut found: Vec<&Movement> = library
        .search(&search.q)
        .into_iter()
        .filter(|m| pattern.is_none_or(|p| m.pattern == p))
        .filter(|m| with.is_none_or(|i| m.equipment.iter().any(|set| set.contains(&i))))
        .collect();
    found.sort_by(|a, b| a.name.cmp(&b.name));
    let words: Vec<String> = search.q.split_whitespace().map(str::to_lowercase).collect();
    let holds = |name: &str| words.iter().all(|w| name.to_lowercase().contains(w));
    found
        .into_iter()
        .map(|m| Found {
            also: (!holds(&m.name)).then(|| m.aliases.iter().find(|a| holds(a)).cloned()).flatten(),
            name: m.name.clone(),
            address: address(&m.name),
            pattern: m.pattern.label(),
            ways: ways(m).join(", or "),
        })
        .collect()
}

/// `GET /movements`
///
/// # Errors
/// Only the store's own.
pub async fn list_movements(
    State(app): State<App>,
    SignedIn(person): SignedIn,
    Query(search): Query<Search>,
) -> Result<Response, Error> {
    let library = app.library();
    let frame = Frame::of(&person, "Movements", "movements").saying(search.said.as_deref());
    let found = find(&library, &search);
    let page = SearchPage { frame, coach: person.role == Role::Coach, search, found, all: library.all().len() };
    Ok(page.into_response())
}

#[derive(Template, WebTemplate)]
#[template(path = "movements/movement.html")]
struct MovementPage {
    frame: Frame,
    coach: bool,
    movement: Movement,
    address: String,
    ways: Vec<String>,
    skill: &'static str,
    easier: Vec<(String, String)>,
    harder: Vec<(String, String)>,
}

/// `GET /movements/{name}`; an alias leads to the name.
///
/// # Errors
/// A name that no movement has.
pub async fn show_movement(
    State(app): State<App>,
    SignedIn(person): SignedIn,
    Path(name): Path<String>,
    Query(said): Query<Said>,
) -> Result<Response, Error> {
    let library = app.library();
    let movement = library.find(&name).ok_or(Error::NotFound)?.clone();
    if movement.name != name {
        return Ok(Redirect::to(&address(&movement.name)).into_response());
    }
    let links = |names: &[String]| {
        // an easier or harder name may be an alias: the link says the name
        names.iter().filter_map(|n| library.find(n)).map(|m| (m.name.clone(), address(&m.name))).collect()
    };
    let page = MovementPage {
        frame: Frame::of(&person, capital(&movement.name), "movements").saying(said.said.as_deref()),
        coach: person.role == Role::Coach,
        address: address(&movement.name),
        ways: ways(&movement),
        skill: skill_words(movement.skill),
        easier: links(&movement.easier),
        harder: links(&movement.harder),
        movement,
    };
    Ok(page.into_response())
}

/// A name as a heading.
pub fn capital(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map(|c| c.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
