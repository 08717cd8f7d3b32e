//! Writing a session: typed on the left, what was understood on the right.
//!
//! # Design
//! Every save names the draft it began from. Where another tab or device saved meanwhile, nothing is overwritten: the page
//! comes back with both texts. The script beside this page saves through [`save_reading`] under the same rule.

use super::moment;
use super::place::{Place, SLOTS, SlotPath};
use super::reading::{self, Reading};
use crate::store::StoreError;
use crate::store::people::Person;
use crate::store::weeks::{Intents, Slot};
use crate::training::session::Intent;
use crate::training::wording;
use crate::web::App;
use crate::web::access::{Coach, Staff};
use crate::web::error::Error;
use crate::web::frame::{Frame, Said};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;

#[derive(Template, WebTemplate)]
#[template(path = "coach/editor.html")]
struct EditorPage {
    frame: Frame,
    address: String,
    week: String,
    /// chip class and words
    state: (&'static str, &'static str),
    live: Option<String>,
    text: String,
    edit: i64,
    /// what was saved elsewhere meanwhile
    theirs: Option<String>,
    reading: Reading,
    /// how the talk-through stands
    video: String,
    another: Option<String>,
    can_delete: bool,
}

#[derive(Template, WebTemplate)]
#[template(path = "coach/reading.html")]
struct ReadingFragment {
    reading: Reading,
    address: String,
}

/// What is typed, and which draft the typing began from.
#[derive(Deserialize, Default)]
pub struct WriteUpForm {
    #[serde(default)]
    text: String,
    #[serde(default)]
    edit: i64,
    /// `part:intent`, from a chip
    #[serde(default)]
    intent: String,
    /// `line:column:length:text`, from a suggestion
    #[serde(default)]
    mend: String,
}

impl WriteUpForm {
    /// The text as typed, with the mend where one was chosen. Browsers send line ends as CR LF (HTML, form submission).
    pub(super) fn text(&self) -> String {
        let text = self.text.replace("\r\n", "\n");
        let mut words = self.mend.splitn(4, ':');
        let mut number = || words.next()?.parse::<usize>().ok();
        let place = (|| Some((number()?, number()?, number()?)))();
        let mended = place.and_then(|(line, column, length)| {
            let new = self.mend.splitn(4, ':').nth(3)?;
            reading::mend(&text, line, column, length, new)
        });
        mended.unwrap_or(text)
    }

    fn chosen(&self) -> Option<(usize, Intent)> {
        let (part, word) = self.intent.split_once(':')?;
        let intent = reading::INTENTS.into_iter().find(|i| wording::intent(*i) == word)?;
        Some((part.parse().ok()?, intent))
    }
}

/// What a page of the editor shows beside what is stored.
#[derive(Default)]
pub(super) struct Shown {
    pub(super) text: Option<String>,
    pub(super) stale: bool,
    pub(super) said: Option<String>,
}

/// The editor's page.
pub(super) async fn editor_page(app: &App, coach: &Person, place: &Place, shown: Shown) -> Result<Response, Error> {
    let stored = place.stored(app).await?;
    let draft = stored.as_ref().map(|s| s.draft.clone()).unwrap_or_default();
    let intents = stored.as_ref().map(|s| s.intents.clone()).unwrap_or_default();
    let text = shown.text.unwrap_or_else(|| draft.clone());
    let status = if shown.stale { StatusCode::CONFLICT } else { StatusCode::OK };
    let page = EditorPage {
        frame: Frame::of(coach, format!("{}, {}", place.words(), place.group.name), "week").saying(shown.said.as_deref()),
        address: place.address(),
        week: place.week(),
        state: state(stored.as_ref()),
        live: stored
            .as_ref()
            .and_then(|s| s.live.as_ref())
            .map(|l| format!("version {}, {}", l.number, moment(coach, l.published_at))),
        reading: Reading::of(&text, &intents, &app.library()),
        edit: stored.as_ref().map_or(0, |s| s.draft_edit),
        theirs: shown.stale.then_some(draft),
        text,
        video: super::video::in_words(app, stored.as_ref()).await?,
        another: another(app, place).await?,
        can_delete: stored.as_ref().is_some_and(|s| s.live.is_none()),
    };
    Ok((status, page).into_response())
}

/// Where the day's next empty slot is, when this one has something.
async fn another(app: &App, place: &Place) -> Result<Option<String>, Error> {
    let monday = crate::training::calendar::monday(place.day);
    let taken: Vec<u8> =
        app.store.week(place.group.id, monday).await?.into_iter().filter(|s| s.day == place.day).map(|s| s.slot).collect();
    let free = (1..=SLOTS).find(|n| !taken.contains(n) && *n != place.slot);
    Ok(free.filter(|_| taken.contains(&place.slot)).map(|slot| Place { slot, ..place.clone() }.address()))
}

/// Chip class and words of how a slot stands.
pub(super) fn state(slot: Option<&Slot>) -> (&'static str, &'static str) {
    match slot {
        None => ("draft", "empty"),
        Some(Slot { live: None, draft, .. }) if draft.trim().is_empty() => ("draft", "empty"),
        Some(Slot { live: None, .. }) => ("draft", "draft"),
        Some(Slot { live: Some(live), .. }) if live.changed_since => ("ask", "changed since published"),
        Some(Slot { live: Some(_), .. }) => ("live", "published"),
    }
}

/// `GET /groups/{id}/days/{date}/{slot}`
///
/// # Errors
/// No such group or day.
pub async fn edit_session(
    State(app): State<App>,
    Staff(coach): Staff,
    Path(path): Path<(i64, String, u8)>,
    Query(q): Query<Said>,
) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    editor_page(&app, &coach, &place, Shown { said: q.said, ..Shown::default() }).await
}

/// Saves what was typed and chosen; returns the new edit number and the intents as they are now.
pub(super) async fn save(app: &App, place: &Place, form: &WriteUpForm, text: &str) -> Result<(i64, Intents), StoreError> {
    let stored = app.store.slot(place.group.id, place.day, place.slot).await?;
    let library = app.library();
    let mut intents = Intents::new();
    if let Some(stored) = &stored {
        let none = Intents::new();
        let (old, new) = (reading::session(&stored.draft, &none, &library), reading::session(text, &none, &library));
        intents = reading::carry_intents(&stored.intents, &old, &new);
        if stored.draft == text && intents == stored.intents && form.intent.is_empty() && stored.draft_edit == form.edit {
            return Ok((stored.draft_edit, intents));
        }
    } else if text.trim().is_empty() {
        return Ok((0, intents));
    }
    if let Some((part, intent)) = form.chosen() {
        intents.insert(part, intent);
    }
    let now = app.clock.now();
    let (_, edit) = app.store.save_writing(place.group.id, place.day, place.slot, text, Some(&intents), form.edit, now).await?;
    Ok((edit, intents))
}

/// The editor with both texts: what was typed here, and what was saved elsewhere meanwhile.
pub(super) async fn stale(app: &App, coach: &Person, place: &Place, text: String) -> Result<Response, Error> {
    editor_page(app, coach, place, Shown { text: Some(text), stale: true, ..Shown::default() }).await
}

/// `POST /groups/{id}/days/{date}/{slot}`
///
/// # Errors
/// No such group or day; a draft that was saved elsewhere meanwhile comes back beside this one.
pub async fn save_session(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(path): Path<SlotPath>,
    Form(form): Form<WriteUpForm>,
) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    let text = form.text();
    match save(&app, &place, &form, &text).await {
        Ok(_) => Ok(Redirect::to(&format!("{}?said=saved", place.address())).into_response()),
        Err(StoreError::Stale) => stale(&app, &coach, &place, text).await,
        Err(e) => Err(e.into()),
    }
}

/// `POST /groups/{id}/days/{date}/{slot}/reading`: saves, and answers with what was understood.
///
/// The header `dowel-edit` carries the new edit number. Where the draft was saved elsewhere meanwhile the answer is 409:
/// nothing was saved, and what was understood of the sent text comes all the same.
///
/// # Errors
/// No such group or day.
pub async fn save_reading(
    State(app): State<App>,
    Staff(_): Staff,
    Path(path): Path<SlotPath>,
    Form(form): Form<WriteUpForm>,
) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    let text = form.text();
    let (status, edit, intents) = match save(&app, &place, &form, &text).await {
        Ok((edit, intents)) => (StatusCode::OK, edit, intents),
        Err(StoreError::Stale) => (StatusCode::CONFLICT, form.edit, Intents::new()),
        Err(e) => return Err(e.into()),
    };
    let reading = Reading::of(&text, &intents, &app.library());
    let fragment = ReadingFragment { reading, address: place.address() };
    Ok((status, [("dowel-edit", edit.to_string())], fragment).into_response())
}

/// `POST /groups/{id}/days/{date}/{slot}/delete`: a draft that was never published.
///
/// # Errors
/// Nothing is there, or it was published once.
pub async fn delete_session(State(app): State<App>, Coach(_): Coach, Path(path): Path<SlotPath>) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    let stored = place.stored(&app).await?.ok_or(Error::NotFound)?;
    match app.store.delete_slot(stored.id).await {
        Ok(()) => Ok(Redirect::to(&format!("{}?said=deleted", place.week())).into_response()),
        Err(StoreError::NotFound) => {
            let why = "It was published once, so results may stand on it. Take it back instead; members no longer see it then.";
            Err(Error::Bad(why.to_owned()))
        }
        Err(e) => Err(e.into()),
    }
}
