//! A line chosen for some members: where the coach says for whom it is and what they do instead.

use super::coverage::{self, Members};
use super::place::{Place, SlotPath};
use super::reading;
use crate::store::ids::{PersonId, PinId};
use crate::training::movement::{Demand, Implement, Library};
use crate::training::session::{Line, Session, Severity};
use crate::training::tailor::{Chosen, Pin, Tailor, Whom};
use crate::training::{wording, writeup};
use crate::web::App;
use crate::web::access::Coach;
use crate::web::address;
use crate::web::error::Error;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;

/// A choice as typed.
#[derive(Clone, Deserialize, Default)]
#[serde(default)]
pub struct PinForm {
    /// place of the part, from 0
    pub(super) part: usize,
    /// place of the line in its part, from 0
    pub(super) line: usize,
    /// the written movement; another is written since where it differs
    pub(super) movement: String,
    /// `member:3`, `lacks:barbell`, `avoids:overhead`
    pub(super) whom: String,
    /// what they do instead, as in a write-up
    pub(super) becomes: String,
    /// there for every session, not this one alone
    pub(super) always: String,
    /// where to go back to
    next: String,
}

/// A choice that was not kept, and why.
pub(super) struct Refused {
    pub(super) form: PinForm,
    pub(super) why: String,
}

/// Whom a form's word is about.
pub(super) fn read_whom(word: &str) -> Option<Whom> {
    let (kind, key) = word.split_once(':')?;
    match kind {
        "member" => key.parse().ok().map(Whom::Member),
        "lacks" => Implement::from_key(key).map(Whom::Lacking),
        "avoids" => Demand::from_key(key).map(Whom::Avoiding),
        _ => None,
    }
}

/// A form's word for whom.
pub(super) fn whom_key(whom: Whom) -> String {
    match whom {
        Whom::Member(id) => format!("member:{id}"),
        Whom::Lacking(tool) => format!("lacks:{}", tool.key()),
        Whom::Avoiding(demand) => format!("avoids:{}", demand.key()),
    }
}

/// For whom, as the coach reads it.
pub(super) fn whom_words(whom: Whom, name: Option<&str>) -> String {
    match whom {
        Whom::Member(_) => name.unwrap_or("a member").to_owned(),
        Whom::Lacking(Implement::None) => "everybody who has no kit".to_owned(),
        Whom::Lacking(_) => whom.words().replacen("for a home without", "everybody without", 1),
        Whom::Avoiding(demand) => format!("everybody who keeps out {}", demand.label()),
    }
}

/// One line as in a write-up, or a bare movement. `Err` says what is not understood.
fn read_line(text: &str, library: &Library) -> Result<Line, String> {
    let text = text.trim();
    if let Some(m) = library.find(text) {
        return Ok(Line { movement: m.name.clone(), ..Line::default() });
    }
    let session = writeup::read(&format!("Practice\n{text}"), library);
    let mut lines = session.parts.into_iter().flat_map(|p| p.lines);
    let hint = "One movement, as in a write-up: 10 goblet squats @ 16 kg. Without a number the written one is converted.";
    match (lines.next(), lines.next()) {
        (Some(line), None) if line.known && line.complex.is_empty() => {
            match session.problems.iter().find(|p| p.severity == Severity::Error) {
                Some(problem) => Err(problem.text.clone()),
                None => Ok(Line { alternatives: Vec::new(), ..line }),
            }
        }
        (Some(line), None) if !line.known => Err(format!("{:?} is not in the movement library. {hint}", line.movement)),
        _ => Err(hint.to_owned()),
    }
}

/// Reads a form against what is written now.
fn read(form: &PinForm, session: &Session, library: &Library, session_id: i64) -> Result<Pin, String> {
    let part = session.parts.get(form.part);
    let written = part.and_then(|p| p.lines.get(form.line)).filter(|l| l.movement == form.movement);
    let (Some(part), Some(written)) = (part, written) else {
        return Err("The write-up changed meanwhile: look at the line again.".to_owned());
    };
    if !written.known || !written.complex.is_empty() {
        return Err("A choice is for a movement of the library.".to_owned());
    }
    let whom = read_whom(&form.whom).ok_or("Say for whom it is.")?;
    Ok(Pin {
        id: 0,
        session: form.always.is_empty().then_some(session_id),
        whom,
        movement: written.movement.clone(),
        intent: part.intent,
        becomes: read_line(&form.becomes, library)?,
    })
}

/// What a pin comes to here, told to a coach: nobody gets it.
fn refusal(chosen: &Chosen, members: &Members) -> Option<String> {
    let reasons: Vec<String> = chosen.refused.iter().map(|(why, who)| format!("{} ({why})", members.names(who))).collect();
    (chosen.given.is_empty() && !reasons.is_empty()).then(|| format!("It would break a hard rule: {}.", reasons.join("; ")))
}

/// `POST /groups/{id}/days/{date}/{slot}/pins`
///
/// # Errors
/// Nothing is written there; a member who is not in the group is not found. What cannot be kept comes back with the form.
pub async fn create_pin(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(path): Path<SlotPath>,
    Form(form): Form<PinForm>,
) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    let stored = place.stored(&app).await?.ok_or(Error::NotFound)?;
    let library = app.library();
    let session = reading::session(&stored.draft, &stored.intents, &library);
    let pin = match read(&form, &session, &library, stored.id.0) {
        Ok(pin) => pin,
        Err(why) => return sent_back(&app, &coach, place, Refused { form, why }).await,
    };
    let members = match pin.whom {
        Whom::Member(id) => Members::with_one_pinned(&app, place.group.id, PersonId(id)).await?,
        _ => Members::of(&app, place.group.id).await?,
    };
    let mut house = app.store.house(coach.zone.day(app.clock.now())).await?.in_session(Some(stored.id.0));
    house.pins.insert(0, pin.clone());
    let tailor = Tailor::new(&library).in_house(house);
    let chosen = tailor.chosen(pin.id, &session, (form.part, form.line), members.homes());
    if let Some(why) = refusal(&chosen, &members) {
        return sent_back(&app, &coach, place, Refused { form, why }).await;
    }
    app.store.add_pin(&pin, app.clock.now()).await?;
    let coverage = format!("{}/coverage", place.address());
    let next = if form.next.is_empty() { &coverage } else { address::own(Some(&form.next)) };
    let line = format!("p{}l{}", form.part, form.line);
    Ok(Redirect::to(&address::saying_at(next, "chosen", &line)).into_response())
}

async fn sent_back(app: &App, coach: &crate::store::people::Person, place: Place, refused: Refused) -> Result<Response, Error> {
    let page = coverage::page(app, coach, place, Some(refused), None).await?;
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
}

/// Where to go back to.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct BackForm {
    next: String,
}

/// `POST /pins/{id}/remove`
///
/// # Errors
/// No such choice.
pub async fn remove_pin(
    State(app): State<App>,
    Coach(_): Coach,
    Path(id): Path<i64>,
    Form(form): Form<BackForm>,
) -> Result<Redirect, Error> {
    app.store.remove_pin(PinId(id)).await?;
    let next = if form.next.is_empty() { "/fitting" } else { address::own(Some(&form.next)) };
    Ok(Redirect::to(&address::saying(next, "deleted")))
}

/// What a pin gives, in words.
pub(super) fn becomes_words(line: &Line) -> String {
    wording::whole_line(line)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_choice_is_read_like_a_line_of_a_write_up_or_as_a_bare_movement() {
        let library = Library::shipped();
        let line = read_line("10 goblet squats @ 16 kg", library).unwrap();
        assert_eq!((line.movement.as_str(), line.reps.unwrap().high()), ("goblet squat", 10.0));
        assert_eq!(read_line("Goblet Squat", library).unwrap().reps, None);
        assert_eq!(read_line("8 split squats each side", library).unwrap().movement, "split squat");
    }

    #[test]
    fn what_is_no_movement_or_two_of_them_is_said() {
        for bad in ["", "10 flying carpets", "10 push-ups\n10 air squats"] {
            assert!(read_line(bad, Library::shipped()).is_err(), "{bad}");
        }
    }

    #[test]
    fn whom_is_read_back_from_its_word() {
        for whom in [Whom::Member(3), Whom::Lacking(Implement::Barbell), Whom::Avoiding(Demand::Overhead)] {
            assert_eq!(read_whom(&whom_key(whom)), Some(whom));
        }
        assert_eq!(read_whom("lacks:wings"), None);
    }
}
