//! Not today: what a member says at a line, in two taps, and taking it back in one.

use super::clock::tailored;
use crate::store::ids::SessionId;
use crate::store::people::Person;
use crate::store::weeks::Published;
use crate::store::wishes::Wishes;
use crate::training::calendar;
use crate::training::tailor::{Wish, Wished};
use crate::web::App;
use crate::web::access::Member;
use crate::web::error::Error;
use axum::extract::{Path, State};
use axum::response::Redirect;
use axum_extra::extract::Form;
use serde::Deserialize;

/// What was said; empty for as before.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct WishForm {
    wish: String,
    /// where it was said, if not on the day's page
    on: On,
}

/// The page at whose line it was said; the answer leads back there.
#[derive(Deserialize, Default, Clone, Copy)]
#[serde(rename_all = "lowercase")]
enum On {
    #[default]
    Day,
    Clock,
}

/// `POST /sessions/{id}/parts/{part}/lines/{line}/change`
///
/// # Errors
/// A session that is not live or not theirs; a line that it does not have; a word that is none of ours.
pub async fn change_line(
    State(app): State<App>,
    Member(person): Member,
    Path((session, part, line)): Path<(i64, usize, usize)>,
    Form(form): Form<WishForm>,
) -> Result<Redirect, Error> {
    let live = app.store.live_for(person.id, SessionId(session)).await?;
    let written = live.session.parts.get(part).and_then(|p| p.lines.get(line)).ok_or(Error::NotFound)?;
    let said = if form.wish.is_empty() {
        app.store.drop_wish(person.id, live.session_id, part, line).await?;
        "as-before"
    } else {
        let wish = Wish::from_key(&form.wish).ok_or_else(|| Error::Bad("Choose one of the buttons at the line.".to_owned()))?;
        let movement = written.movement.clone();
        app.store.save_wish(person.id, live.session_id, &Wished { part, line, movement, wish }, app.clock.now()).await?;
        let stops = matches!(wish, Wish::Hurts | Wish::HurtsOther);
        if !stops && !changes(&app, &person, &live, (part, line)).await? {
            app.store.drop_wish(person.id, live.session_id, part, line).await?;
            "no-other"
        } else {
            "changed"
        }
    };
    if matches!(form.on, On::Clock) {
        return Ok(Redirect::to(&format!("/sessions/{session}/parts/{part}/clock")));
    }
    let day = calendar::iso(live.day);
    Ok(Redirect::to(&format!("/days/{day}?said={said}&part=s{session}p{part}#s{session}p{part}l{line}")))
}

/// What was said at a line gives something else than if nothing had been said there.
async fn changes(app: &App, person: &Person, live: &Published, at: (usize, usize)) -> Result<bool, Error> {
    let profile = app.store.profile(person).await?;
    let mut wishes = app.store.wishes_of(person.id).await?;
    let house = app.store.house(person.zone.day(app.clock.now())).await?;
    let given = |wishes: &Wishes| {
        let own = tailored(app, live, &profile, wishes, &house);
        own.parts.get(at.0).and_then(|p| p.lines.get(at.1)).map(|l| l.given.clone())
    };
    let now = given(&wishes);
    if let Some(said) = wishes.get_mut(&live.session_id) {
        said.retain(|w| (w.part, w.line) != at);
    }
    Ok(given(&wishes) != now)
}
