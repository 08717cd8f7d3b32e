//! Not today: what a member says at a line, in two taps, and taking it back in one.

use super::own::Own;
use crate::store::ids::SessionId;
use crate::store::people::Person;
use crate::store::weeks::Published;
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

/// The movement that they were given at a line when they said something there.
async fn doing(app: &App, person: &Person, live: &Published, (part, line): (usize, usize)) -> Result<Option<String>, Error> {
    let own = Own::of(app, person).await?;
    let tailored = own.tailored(live, &own.reader(app, person));
    let given = tailored.parts.get(part).and_then(|p| p.lines.get(line)).and_then(|l| l.given.first());
    Ok(given.map(|l| l.movement.clone()))
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
        let doing = doing(&app, &person, &live, (part, line)).await?.unwrap_or_else(|| movement.clone());
        app.store.save_wish(person.id, live.session_id, &Wished { part, line, movement, wish }, &doing, app.clock.now()).await?;
        "changed"
    };
    if matches!(form.on, On::Clock) {
        return Ok(Redirect::to(&format!("/sessions/{session}/parts/{part}/clock")));
    }
    let day = calendar::iso(live.day);
    Ok(Redirect::to(&format!("/days/{day}?said={said}&part=s{session}p{part}#s{session}p{part}l{line}")))
}
