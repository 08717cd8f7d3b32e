//! Publishing a week in one act, with what it will do said first.
//!
//! # Design
//! The page carries a mark of everything it showed. Where anything changed before the button is pressed, nothing is published
//! and the page says anew what would happen.

use super::coverage::{Members, summary};
use super::place::Place;
use super::{count, read_monday, reading, week_address, week_words};
use crate::store::StoreError;
use crate::store::groups::Group;
use crate::store::ids::GroupId;
use crate::store::overview::StandsOn;
use crate::store::people::Person;
use crate::store::weeks::{Slot, ToPublish};
use crate::training::calendar;
use crate::training::difference;
use crate::training::session::{Problem, Session};
use crate::web::App;
use crate::web::access::{Coach, Staff};
use crate::web::error::Error;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;
use sha2::{Digest, Sha256};
use similar::{ChangeTag, TextDiff};
use std::collections::HashMap;
use time::Date;

#[derive(Template, WebTemplate)]
#[template(path = "coach/publish.html")]
struct PublishPage {
    frame: Frame,
    group: String,
    words: String,
    members: String,
    address: String,
    plan: Plan,
    /// the week changed after the page was shown
    moved: bool,
    notes: HashMap<i64, String>,
}

impl PublishPage {
    fn note(&self, id: &i64) -> &str {
        self.notes.get(id).map_or("", String::as_str)
    }
}

/// What publishing would do.
struct Plan {
    new: Vec<Item>,
    changed: Vec<Item>,
    blocked: Vec<Item>,
    /// days that stay as they are
    same: Vec<Item>,
    /// of everything above
    mark: String,
}

struct Item {
    id: i64,
    day: String,
    title: String,
    address: String,
    /// `+`, `-` or a space, and the line
    diff: Vec<(char, String)>,
    /// what members read of the change where the coach writes nothing
    says: Vec<String>,
    /// what else is different
    also: Vec<&'static str>,
    /// how it fits the group, in one line; none where nobody is in it
    fits: Option<String>,
    /// results on the version that members see now
    results: Option<i64>,
    /// line:column and what is wrong
    errors: Vec<(String, String)>,
    /// line:column and what is still asked: none of it holds publishing up
    asked: Vec<(String, String)>,
    to_publish: ToPublish,
}

async fn plan(app: &App, coach: &Person, group: &Group, monday: Date) -> Result<Plan, Error> {
    let library = app.library();
    let stands = app.store.week_results(group.id, monday).await?;
    let mut plan = Plan { new: vec![], changed: vec![], blocked: vec![], same: vec![], mark: String::new() };
    let mut mark = Sha256::new();
    for slot in app.store.week(group.id, monday).await? {
        let fresh = slot.live.is_none();
        if slot.draft.trim().is_empty() && fresh {
            continue;
        }
        let session = reading::session(&slot.draft, &slot.intents, &library);
        mark.update(
            serde_json::to_vec(&(slot.id, slot.draft_edit, &slot.intents, &slot.video.url, slot.video.media, &session))
                .map_err(StoreError::from)?,
        );
        mark.update(serde_json::to_vec(&slot.live.as_ref().map(|l| l.version)).map_err(StoreError::from)?);
        let item = item(app, group, &slot, session, &stands).await?;
        if slot.live.as_ref().is_some_and(|l| !l.changed_since) {
            plan.same.push(item);
        } else if !item.errors.is_empty() {
            plan.blocked.push(item);
        } else if fresh {
            plan.new.push(item);
        } else {
            plan.changed.push(item);
        }
    }
    fit(app, coach, group, &mut plan).await?;
    plan.mark = mark.finalize().iter().take(12).map(|b| format!("{b:02x}")).collect();
    Ok(plan)
}

/// Says of each session that would be published how it fits the group.
async fn fit(app: &App, coach: &Person, group: &Group, plan: &mut Plan) -> Result<(), Error> {
    let members = Members::of(app, group.id).await?;
    let house = app.store.house(coach.zone.day(app.clock.now())).await?;
    let sessions = plan.new.iter().chain(&plan.changed).map(|i| (i.to_publish.id, i.to_publish.session.clone())).collect();
    let seen = members.cover(app, &house, sessions).await?;
    for (item, seen) in plan.new.iter_mut().chain(&mut plan.changed).zip(&seen) {
        item.fits = (seen.members > 0).then(|| summary(seen, &members));
    }
    Ok(())
}

async fn item(app: &App, group: &Group, slot: &Slot, session: Session, stands: &[StandsOn]) -> Result<Item, Error> {
    let place = Place { group: group.clone(), day: slot.day, slot: slot.slot };
    let (mut diff, mut says, mut also) = (Vec::new(), Vec::new(), Vec::new());
    if let Some(live) = &slot.live {
        let before = app.store.version(live.version).await?;
        diff = changed_lines(&before.text, &slot.draft);
        says = difference::in_short(&before.session, &session);
        if diff.is_empty() && live.changed_since {
            also.push("What a part is for, or the talk-through, is different.");
        }
    }
    let said = |p: &Problem| (format!("{}:{}", p.line, p.column), p.text.clone());
    let mut errors: Vec<(String, String)> = session.errors().map(said).collect();
    let asked = session.questions().map(said).collect();
    if session.parts.is_empty() {
        errors.push(("1:1".to_owned(), "There is no part in it: nothing that anybody could do.".to_owned()));
    }
    let results: i64 = stands.iter().filter(|s| s.session_id == slot.id).map(|s| s.results).sum();
    Ok(Item {
        id: slot.id.0,
        day: place.words(),
        title: if session.title.is_empty() { "Untitled".to_owned() } else { session.title.clone() },
        address: place.address(),
        diff,
        says,
        also,
        results: Some(results).filter(|n| *n > 0),
        errors,
        asked,
        fits: None,
        to_publish: ToPublish { id: slot.id, draft_edit: slot.draft_edit, session, change_note: String::new() },
    })
}

/// Lines that are gone, new, or stand beside one that is, in order.
pub(super) fn changed_lines(before: &str, after: &str) -> Vec<(char, String)> {
    let diff = TextDiff::from_lines(before, after);
    let mut all = Vec::new();
    for group in diff.grouped_ops(1) {
        for change in group.iter().flat_map(|op| diff.iter_changes(op)) {
            let sign = match change.tag() {
                ChangeTag::Delete => '-',
                ChangeTag::Insert => '+',
                ChangeTag::Equal => ' ',
            };
            all.push((sign, change.value().trim_end().to_owned()));
        }
    }
    all
}

async fn page(
    app: &App,
    coach: &Person,
    group: Group,
    monday: Date,
    typed: Option<HashMap<i64, String>>,
) -> Result<Response, Error> {
    let moved = typed.is_some();
    let page = PublishPage {
        frame: Frame::of(coach, format!("Publish {}, {}", group.name, week_words(monday)), "week"),
        words: week_words(monday),
        members: count(group.members, "member", "members"),
        address: week_address(group.id, monday),
        plan: plan(app, coach, &group, monday).await?,
        moved,
        notes: typed.unwrap_or_default(),
        group: group.name,
    };
    Ok((if moved { StatusCode::CONFLICT } else { StatusCode::OK }, page).into_response())
}

/// `GET /groups/{id}/weeks/{monday}/publish`
///
/// # Errors
/// No such group; a day that is no Monday.
pub async fn show_publish(
    State(app): State<App>,
    Staff(coach): Staff,
    Path((group, monday)): Path<(i64, String)>,
) -> Result<Response, Error> {
    let monday = read_monday(&monday)?;
    let group = app.store.group(GroupId(group)).await?;
    page(&app, &coach, group, monday, None).await
}

/// The mark of what was shown, and a note for each changed session (`note-{session}`).
#[derive(Deserialize)]
pub struct PublishForm {
    #[serde(default)]
    mark: String,
    #[serde(flatten)]
    rest: HashMap<String, String>,
}

impl PublishForm {
    fn notes(&self) -> HashMap<i64, String> {
        let id = |name: &str| name.strip_prefix("note-")?.parse().ok();
        self.rest.iter().filter_map(|(name, words)| Some((id(name)?, words.chars().take(1000).collect()))).collect()
    }
}

/// `POST /groups/{id}/weeks/{monday}/publish`
///
/// # Errors
/// No such group; a week that changed after it was shown comes back with what would happen now.
pub async fn create_versions(
    State(app): State<App>,
    Coach(coach): Coach,
    Path((group, monday)): Path<(i64, String)>,
    Form(form): Form<PublishForm>,
) -> Result<Response, Error> {
    let monday = read_monday(&monday)?;
    let group = app.store.group(GroupId(group)).await?;
    let notes = form.notes();
    let plan = plan(&app, &coach, &group, monday).await?;
    if plan.mark != form.mark {
        return page(&app, &coach, group, monday, Some(notes)).await;
    }
    let blocked = !plan.blocked.is_empty();
    let sessions: Vec<ToPublish> = plan
        .new
        .into_iter()
        .chain(plan.changed)
        .map(|i| ToPublish { change_note: notes.get(&i.id).cloned().unwrap_or_default(), ..i.to_publish })
        .collect();
    let said = match (sessions.is_empty(), blocked) {
        (true, _) => "unchanged",
        (false, true) => "published-some",
        (false, false) => "published",
    };
    match app.store.publish(&sessions, coach.id, app.clock.now()).await {
        Ok(()) => Ok(Redirect::to(&format!("{}?said={said}", week_address(group.id, monday))).into_response()),
        Err(StoreError::Stale) => page(&app, &coach, group, monday, Some(notes)).await,
        Err(e) => Err(e.into()),
    }
}

/// The day of a session for a sentence.
pub(super) fn day_of(slot: &Slot) -> String {
    calendar::long(slot.day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_diff_shows_what_changed_and_the_line_beside_it() {
        let lines = changed_lines("Title\n\nA. Squat\n5x5\nCool-down\n", "Title\n\nA. Squat\n5x3\nCool-down\n");
        let signs: String = lines.iter().map(|(sign, _)| *sign).collect();
        assert_eq!(signs, " -+ ");
        assert_eq!(lines[2].1, "5x3");
        assert!(changed_lines("same", "same").is_empty());
    }
}
