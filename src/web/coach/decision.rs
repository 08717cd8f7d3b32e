//! A coach decides about the private words of a member that hold a session back.

use super::people::{self, Refused};
use super::{member, moment};
use crate::store::decisions::{Decided, Decision, NewDecision, Standing, UNPROMPTED};
use crate::store::ids::PersonId;
use crate::store::people::Person;
use crate::training::member::KeptOut;
use crate::training::tailor::{Waits, body_parts, waits};
use crate::web::access::Coach;
use crate::web::address;
use crate::web::error::Error;
use crate::web::review::{self, Look};
use crate::web::{App, held};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;
use sha2::{Digest, Sha256};

/// Longest words to the member, in characters.
const LONGEST: usize = 500;

/// Somebody's words, what they hold back and what was decided, as a coach reads them; `templates/coach/held.html`.
pub struct HeldWords {
    /// whose
    pub person: i64,
    /// their name
    pub who: String,
    /// as they wrote them; may be empty
    pub words: String,
    /// names these exact words in the form
    pub mark: String,
    /// `everything`, `whatever touches the knee`, where they hold something back and nothing is decided about them
    pub holds: Option<String>,
    /// hold and train can be decided: the words hold something back by themselves
    pub stops: bool,
    /// what counts now
    pub standing: Vec<Counts>,
    /// the reader may decide
    pub may: bool,
    /// parts of the body, and whether the words name them or they are kept out already
    pub parts: Vec<(&'static str, bool)>,
    /// what loads them is enough to keep out: old matters
    pub loads: bool,
}

/// A decision that counts now.
pub struct Counts {
    /// what the member reads
    pub sentence: String,
    /// the coach's words to them; may be empty
    pub said: String,
    /// who, when, and for how long
    pub by: String,
    /// it keeps something out, and is no word on what they wrote
    pub keeps_out: bool,
}

impl Counts {
    fn of(decision: &Decision, waits: &Waits, reader: &Person) -> Self {
        let by = decision.by.as_deref().unwrap_or("A coach");
        let lasts = match &decision.decided {
            Decided::KeepOut(_) if decision.words_stand || decision.words == UNPROMPTED => {
                "It stays until a coach lifts it, whatever they write.".to_owned()
            }
            Decided::KeepOut(_) => {
                format!("It was about “{}” and stays until a coach lifts it, whatever they write.", decision.words)
            }
            Decided::Train | Decided::Hold => "It counts for exactly these words.".to_owned(),
        };
        Self {
            sentence: held::sentence(&decision.decided, waits),
            said: decision.said.clone(),
            by: format!("{by}, {}. {lasts}", moment(reader, decision.at)),
            keeps_out: matches!(decision.decided, Decided::KeepOut(_)),
        }
    }
}

impl HeldWords {
    /// What a coach reads of these words.
    #[must_use]
    pub fn of((person, who): (PersonId, &str), words: &str, standing: &Standing, reader: &Person) -> Self {
        let waits = waits(&[words.to_owned()]);
        let out = standing.kept_out().cloned().unwrap_or_default();
        let kept = |part: &str| out.touches.iter().chain(&out.loads).any(|p| p == part);
        let named = |part: &&'static str| waits.touches.contains(part) || waits.loads.contains(part) || kept(part);
        let settled = waits.is_empty() || standing.settles_words();
        let touches = !waits.touches.is_empty() || !out.touches.is_empty();
        Self {
            person: person.0,
            who: who.to_owned(),
            words: words.to_owned(),
            mark: mark(words),
            holds: (!settled).then(|| waits.words()),
            stops: !waits.is_empty(),
            standing: standing.0.iter().map(|d| Counts::of(d, &waits, reader)).collect(),
            may: !reader.assistant,
            parts: body_parts().map(|part| (part, named(&part))).collect(),
            loads: !(touches || waits.loads.is_empty() && out.loads.is_empty()),
        }
    }
}

/// Names exact words without repeating them.
fn mark(words: &str) -> String {
    Sha256::digest(words).iter().fold(String::new(), |mark, byte| format!("{mark}{byte:02x}"))
}

/// A decision, as chosen and typed.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct DecisionForm {
    /// of the words that were on the page
    mark: String,
    act: String,
    part: Vec<String>,
    /// `loads`, else whatever touches
    reach: String,
    said: String,
    next: Option<String>,
}

impl DecisionForm {
    /// What was decided; else the field that is wrong, and why.
    fn read(&self) -> Result<Decided, (&'static str, &'static str)> {
        if self.said.trim().chars().count() > LONGEST {
            return Err(("said", "Say it in at most 500 characters."));
        }
        match self.act.as_str() {
            "train" => Ok(Decided::Train),
            "hold" => Ok(Decided::Hold),
            "keep_out" => self.kept_out().map(Decided::KeepOut),
            _ => Err(("act", "Choose one of the three: hold, keep out, or train.")),
        }
    }

    fn kept_out(&self) -> Result<KeptOut, (&'static str, &'static str)> {
        let parts: Vec<String> = body_parts().filter(|p| self.part.iter().any(|c| c == p)).map(str::to_owned).collect();
        if parts.is_empty() {
            return Err(("part", "Tick what is to stay out. Nothing was decided."));
        }
        Ok(match self.reach.as_str() {
            "loads" => KeptOut { loads: parts, touches: Vec::new() },
            _ => KeptOut { touches: parts, loads: Vec::new() },
        })
    }
}

/// `POST /people/{id}/decision`: by a coach alone, and about the words that were on the page alone.
///
/// # Errors
/// No such member; what cannot be kept comes back on the page that it was decided on.
pub async fn save_decision(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(id): Path<i64>,
    Form(form): Form<DecisionForm>,
) -> Result<Response, Error> {
    let person = member(&app, PersonId(id)).await?;
    let words = app.store.private_note(person.id).await?.unwrap_or_default();
    let waits = waits(std::slice::from_ref(&words));
    let read = match form.read() {
        // what stays out needs no word of theirs
        _ if mark(&words) != form.mark || waits.is_empty() && form.act != "keep_out" => {
            Err(("mark", "Their words changed meanwhile. Read them again first."))
        }
        read => read,
    };
    let decided = match read {
        Ok(decided) => decided,
        Err((field, text)) => {
            let loads = form.reach == "loads";
            let refused = Refused { text, person: person.id.0, field, said: form.said, parts: form.part, loads };
            let page = refused_on(&app, &coach, person, form.next.as_deref(), refused).await?;
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
    let answer = format!("{} {}", held::sentence(&decided, &waits), form.said.trim());
    let now = app.clock.now();
    let new = NewDecision { words: &words, decided: &decided, said: form.said.trim(), answer: answer.trim() };
    app.store.decide(person.id, &new, coach.id, now).await?;
    Ok(on(form.next.as_deref(), person.id, "decided"))
}

/// The page that it was decided on, with what is wrong beside these words; the member's own where the words are not there any more.
async fn refused_on(app: &App, coach: &Person, person: Person, on: Option<&str>, refused: Refused) -> Result<Response, Error> {
    if on == Some("/review") {
        let review = review::page(app, coach, Look::default()).await?;
        if review.holds(person.id) {
            return Ok(review.refusing(refused).into_response());
        }
    }
    Ok(people::page(app, coach, person, None, Some(refused)).await?.into_response())
}

/// Where to go then.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Back {
    next: Option<String>,
    /// `yes` lifts what is kept out; else it is what was decided about their words
    kept_out: String,
}

/// `POST /people/{id}/decision/take-back`: the words hold back again what they did, or nothing is kept out any more.
///
/// # Errors
/// No such member, or nothing that counts.
pub async fn take_back(
    State(app): State<App>,
    Coach(_): Coach,
    Path(id): Path<i64>,
    Form(form): Form<Back>,
) -> Result<Response, Error> {
    let person = member(&app, PersonId(id)).await?;
    app.store.take_decision_back(person.id, form.kept_out == "yes").await?;
    Ok(on(form.next.as_deref(), person.id, "undecided"))
}

fn on(next: Option<&str>, id: PersonId, said: &str) -> Response {
    let own = format!("/people/{id}");
    let next = address::own(next.or(Some(&own)));
    Redirect::to(&address::saying(next, said)).into_response()
}
