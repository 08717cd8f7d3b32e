//! The coach's five minutes a day: what hurt, what was asked, what looks odd, who has gone quiet, who began.

use super::App;
use super::access::{Coach, Staff};
use super::board::settle;
use super::coach::decision::HeldWords;
use super::coach::people::Refused;
use super::error::Error;
use super::frame::Frame;
use super::questions::{Asked, place, when};
use crate::store::ids::{PersonId, ResultId};
use crate::store::people::Person;
use crate::store::review::{Quiet, ToSee, Told};
use crate::training::calendar;
use crate::training::effort;
use crate::training::tailor::{needs_the_coach, waits};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Query;
use serde::Deserialize;
use std::collections::HashSet;
use time::{Date, Duration, OffsetDateTime};

/// Days without a result after which a member stands in the review.
const QUIET_DAYS: i64 = 5;
/// First results stay in the review for so long, where nobody ticks them off.
const FIRST_DAYS: i64 = 14;
/// At most so many odd results, or notes, on one page.
const ODD: u32 = 100;
/// Of the held ones so many, the newest, can be settled here: each is read anew for its buttons.
const SETTLED: usize = 25;
/// Efforts and notes stay in the review for so long, where nobody ticks them off.
const RECENT_DAYS: i64 = 7;
/// An effort so far from what the part is meant to be is far from plan (*common practice*).
const FAR: f64 = 3.0;
/// Whom the coach has spoken with is left in peace for so long.
const SPOKEN_DAYS: i64 = 7;

#[derive(Template, WebTemplate)]
#[template(path = "review.html")]
pub(in crate::web) struct ReviewPage {
    frame: Frame,
    /// a decision that was not taken
    refused: Option<Refused>,
    /// an answer that was not kept
    answer: Option<RefusedAnswer>,
    today: String,
    held: Vec<HeldWords>,
    pain: Vec<Asked>,
    questions: Vec<Asked>,
    odd: Vec<Seen>,
    far: Vec<Seen>,
    notes: Vec<Seen>,
    told: Vec<Told>,
    quiet: Vec<Gone>,
    first: Vec<Seen>,
    next: &'static str,
    /// the fold that was asked for
    open: Option<String>,
}

/// An answer that cannot be kept.
pub(in crate::web) struct RefusedAnswer {
    /// the question
    pub to: i64,
    pub typed: String,
    /// everybody may read it
    pub shared: bool,
    /// what it holds back is let back in
    pub back_in: bool,
    pub error: String,
}

/// The folds of the page, by their ids.
const FOLDS: [&str; 8] = ["pain", "told", "questions", "odd", "far", "notes", "quiet", "first"];

/// Which fold stands open, and what was just done.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Look {
    said: Option<String>,
    open: Option<String>,
}

/// Back to the page, with the fold open that the coach is in.
pub(in crate::web) fn back(said: &str, from: Option<&str>) -> Response {
    let fold = from.filter(|f| FOLDS.contains(f)).map(|f| format!("&open={f}#{f}")).unwrap_or_default();
    Redirect::to(&format!("/review?said={said}{fold}")).into_response()
}

impl ReviewPage {
    /// What hurts and who is new always stand open; the rest is a line with its count until it is asked for.
    fn opens(&self, fold: &str) -> bool {
        matches!(fold, "pain" | "told") || self.open.as_deref() == Some(fold)
    }

    fn nothing(&self) -> bool {
        let results = [&self.odd, &self.far, &self.notes, &self.first];
        self.held.is_empty()
            && self.pain.is_empty()
            && self.told.is_empty()
            && self.questions.is_empty()
            && self.quiet.is_empty()
            && results.iter().all(|r| r.is_empty())
    }

    fn reaches_loads(&self, held: &HeldWords) -> bool {
        self.refused_words(&held.person).map_or(held.loads, |refused| refused.loads)
    }

    fn refused_words(&self, person: &i64) -> Option<&Refused> {
        self.refused.as_ref().filter(|r| r.person == *person)
    }

    /// Words of this member wait for a decision here.
    pub(in crate::web) fn holds(&self, person: PersonId) -> bool {
        self.held.iter().any(|h| h.person == person.0)
    }

    /// The page again, with what is wrong beside the words that were decided about.
    pub(in crate::web) fn refusing(self, refused: Refused) -> Self {
        Self { refused: Some(refused), ..self }
    }

    fn typed(&self, id: &i64) -> &str {
        self.answer.as_ref().filter(|a| a.to == *id).map_or("", |a| a.typed.as_str())
    }

    fn shares(&self, id: &i64) -> bool {
        self.answer.as_ref().is_some_and(|a| a.to == *id && a.shared)
    }

    fn lets_in(&self, id: &i64) -> bool {
        self.answer.as_ref().is_some_and(|a| a.to == *id && a.back_in)
    }

    fn refused(&self, id: &i64) -> Option<&str> {
        self.answer.as_ref().filter(|a| a.to == *id).map(|a| a.error.as_str())
    }

    /// The page again with an answer that cannot be kept; none where the question does not wait here any more.
    pub(in crate::web) fn refusing_answer(self, answer: RefusedAnswer) -> Option<Self> {
        let among = |list: &[Asked]| list.iter().any(|q| q.id == answer.to);
        let open = if among(&self.pain) { "pain" } else { "questions" };
        (open == "pain" || among(&self.questions)).then(|| Self { answer: Some(answer), open: Some(open.to_owned()), ..self })
    }
}

/// A result to look at.
struct Seen {
    id: i64,
    who: String,
    person: String,
    /// where all results of that session are
    results: String,
    about: String,
    when: String,
    score: String,
    held: bool,
    /// what it may mean, a button each
    answers: Vec<String>,
    doubt: Option<String>,
    note: String,
    /// effort beside what was planned: `effort 9, planned 6`
    effort: Option<String>,
    /// how far the two are apart
    far: f64,
    /// their first
    first: bool,
    /// the state that is on the page, UTC milliseconds
    as_of: i64,
}

impl Seen {
    fn new(r: ToSee, coach: &Person, now: OffsetDateTime) -> Self {
        let planned = r.session.parts.get(r.part).map(|p| f64::from(effort::part(p)));
        let rated = r.rpe.zip(planned);
        Self {
            effort: rated.map(|(rpe, planned)| format!("effort {rpe}, planned about {planned}")),
            far: rated.map_or(0.0, |(rpe, planned)| (rpe - planned).abs()),
            as_of: crate::store::millis(r.updated_at),
            note: if by_the_clock(&r.note) { String::new() } else { r.note },
            first: false,
            id: r.id.0,
            who: r.name,
            person: format!("/people/{}", r.person_id),
            results: format!("/sessions/{}/results", r.session_id),
            about: format!("{}, {}", calendar::short(r.day), place(&r.session, Some(r.part), None)),
            when: when(coach, r.logged_at, now),
            score: if r.score_text.trim().is_empty() { "done".to_owned() } else { r.score_text },
            held: r.held,
            answers: Vec::new(),
            doubt: r.doubt,
        }
    }
}

impl Seen {
    /// The effort is far from what the part was meant to be.
    fn is_far(&self) -> bool {
        self.far >= FAR
    }
}

/// Words that the clock wrote into a note, which nobody typed: splits, pauses, where it was stopped.
fn by_the_clock(note: &str) -> bool {
    let own = |word: &str| {
        let word = word.trim_matches([',', '.']);
        ["Stopped", "at", "Splits:", "for", "moving", "paused"].contains(&word)
            || word.chars().all(|c| c.is_ascii_digit() || c == ':')
    };
    let signs = ["Splits:", "Stopped at", "moving"];
    note.is_empty() || (signs.iter().any(|s| note.contains(s)) && note.split_whitespace().all(own))
}

/// Each result in the first list that has it, with what the others would say of it.
fn once([odd, far, notes, first]: [&mut Vec<Seen>; 4]) {
    let firsts: HashSet<i64> = first.iter().map(|r| r.id).collect();
    let mut shown = HashSet::new();
    for list in [odd, far, notes, first] {
        list.retain_mut(|r| {
            r.first = firsts.contains(&r.id);
            shown.insert(r.id)
        });
    }
}

/// A member gone quiet.
struct Gone {
    who: String,
    person: String,
    last: String,
    missed: String,
    id: i64,
    /// where they can be written to, where they sign in with an e-mail
    mail: Option<String>,
}

/// `1 day ago`, `6 days ago`.
fn ago(days: i64) -> String {
    format!("{days} {} ago", if days == 1 { "day" } else { "days" })
}

impl Gone {
    fn new(q: Quiet, coach: &Person, today: Date) -> Self {
        let last = match q.last {
            Some(day) => format!("last logged {}, {}", calendar::short(day), ago((today - day).whole_days())),
            None => format!("never logged; joined {}", calendar::short(coach.zone.day(q.joined_at))),
        };
        let missed = if q.missed == 1 {
            "1 day with a session since".to_owned()
        } else {
            format!("{} days with a session since", q.missed)
        };
        Self {
            mail: Some(q.sign_in).filter(|s| s.contains('@')),
            id: q.person_id.0,
            who: q.name,
            person: format!("/people/{}", q.person_id),
            last,
            missed,
        }
    }
}

/// `GET /review`
///
/// # Errors
/// Only the store's own.
pub async fn show_review(State(app): State<App>, Staff(coach): Staff, Query(q): Query<Look>) -> Result<Response, Error> {
    Ok(page(&app, &coach, q).await?.into_response())
}

/// Words on which nothing was decided and that hold something back. There are few, and only of these is asked what else counts.
async fn held(app: &App, coach: &Person) -> Result<Vec<HeldWords>, Error> {
    let mut held = Vec::new();
    for u in app.store.undecided_words().await? {
        if !waits(std::slice::from_ref(&u.words)).is_empty() {
            let standing = app.store.standing_decisions(u.person_id).await?;
            held.push(HeldWords::of((u.person_id, &u.name), &u.words, &standing, coach));
        }
    }
    Ok(held)
}

/// Everything that waits for a coach.
pub(in crate::web) async fn page(app: &App, coach: &Person, q: Look) -> Result<ReviewPage, Error> {
    let now = app.clock.now();
    let today = coach.zone.day(now);
    let held = held(app, coach).await?;
    let mut open = app.store.open_questions().await?;
    // a report that these words opened stands there with them, and is answered by what is decided
    open.retain(|q| !(q.pain && q.about.is_none() && held.iter().any(|h| h.person == q.person_id.0 && h.words == q.text)));
    let (mut pain, questions): (Vec<Asked>, Vec<Asked>) =
        open.into_iter().map(|q| Asked::new(q, coach, now)).partition(|q| q.pain);
    // pain newest first, because it is the one that may still be acute; questions by how long they wait
    pain.reverse();
    let recent = now - Duration::days(RECENT_DAYS);
    let seen = |list: Vec<ToSee>| list.into_iter().map(|r| Seen::new(r, coach, now)).collect::<Vec<_>>();
    let mut far = seen(app.store.rated_results(recent).await?);
    far.retain(Seen::is_far);
    let mut odd = seen(app.store.doubtful_results(ODD).await?);
    let mut notes = seen(app.store.noted_results(now - Duration::days(FIRST_DAYS), ODD).await?);
    notes.retain(|r| !r.note.is_empty());
    let mut first = seen(app.store.first_results(now - Duration::days(FIRST_DAYS)).await?);
    let mut told = app.store.told_at_joining(now - Duration::days(FIRST_DAYS)).await?;
    told.retain(|t| !needs_the_coach(&t.note));
    once([&mut odd, &mut far, &mut notes, &mut first]);
    for r in odd.iter_mut().filter(|r| r.held && !coach.assistant).take(SETTLED) {
        r.answers = settle::answers(app, ResultId(r.id)).await?;
    }
    Ok(ReviewPage {
        frame: Frame::of(coach, "Review", "review").saying(q.said.as_deref()),
        refused: None,
        answer: None,
        today: calendar::long(today),
        held,
        pain,
        questions,
        odd,
        far,
        notes,
        first,
        told,
        quiet: app
            .store
            .quiet_members(today, QUIET_DAYS, now - Duration::days(SPOKEN_DAYS))
            .await?
            .into_iter()
            .map(|q| Gone::new(q, coach, today))
            .collect(),
        next: "/review",
        open: if q.said.as_deref() == Some("answered") { Some("questions".to_owned()) } else { q.open },
    })
}

/// The state that was on the page, and the fold that it stood in.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct AsOf {
    pub(in crate::web) as_of: Option<i64>,
    pub(in crate::web) from: Option<String>,
}

/// `POST /results/{id}/seen?as_of=`: what was on the page is seen; what changed meanwhile comes back.
///
/// # Errors
/// A result that is not there.
pub async fn save_seen(
    State(app): State<App>,
    Staff(coach): Staff,
    Path(id): Path<i64>,
    Query(q): Query<AsOf>,
) -> Result<Response, Error> {
    let now = app.clock.now();
    let as_of = q.as_of.map_or(now, crate::store::instant).min(now);
    app.store.mark_seen(ResultId(id), coach.id, as_of).await?;
    Ok(back("seen", q.from.as_deref()))
}

/// `POST /people/{id}/spoken`
///
/// # Errors
/// No such member.
pub async fn save_spoken(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(id): Path<i64>,
    Query(q): Query<AsOf>,
) -> Result<Response, Error> {
    app.store.spoke_with(PersonId(id), coach.id, app.clock.now()).await?;
    Ok(back("spoken", q.from.as_deref()))
}
