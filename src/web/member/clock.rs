//! The clock of a part, made from what this member does.

mod noting;

use self::noting::Noting;
use crate::store::ids::SessionId;
use crate::store::people::Person;
use crate::store::weeks::Published;
use crate::store::wishes::Wishes;
use crate::training::clock;
use crate::training::dose::Load;
use crate::training::member::Profile;
use crate::training::movement::Library;
use crate::training::session::{Line, Part};
use crate::training::tailor::{House, Tailor, Tailored, TailoredLine, TailoredPart, Wish, Wished};
use crate::training::{calendar, wording};
use crate::web::App;
use crate::web::access::Member;
use crate::web::error::Error;
use crate::web::frame::Frame;
use crate::web::member::day::words;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Serialize;
use time::Date;

#[derive(Template, WebTemplate)]
#[template(path = "member/clock.html")]
struct ClockPage {
    frame: Frame,
    name: String,
    /// how the part is organised: `every 2:30 min x 5`
    how: String,
    /// JSON of [`Shown`]
    plan: String,
    /// what the device keeps its taps under: another member is another clock
    key: String,
    /// row of the version; a clock that was started on an earlier one goes on as it was started
    version: i64,
    /// what can be noted set by set: `load`, `reps`
    notes: Option<&'static str>,
    /// where the part is logged
    back: String,
    /// one a line of the plan
    lines: Vec<String>,
    /// one a line of the write-up
    changes: Vec<Change>,
    /// where they are sent: `{here}/lines/{line}/change`
    here: String,
    /// one a movement
    cues: Vec<Cues>,
}

/// What to think of while one does it.
struct Cues {
    /// name
    movement: String,
    /// set-up, execution, finish
    list: Vec<String>,
    /// lines of the plan
    given: Vec<usize>,
}

/// A plan with the words of its lines.
#[derive(Serialize)]
struct Shown {
    #[serde(flatten)]
    plan: clock::Plan,
    /// of each line: one for each turn where they differ, else none; of a line that climbs, what stands after the count
    says: Vec<Vec<String>>,
    #[serde(flatten)]
    noting: Noting,
}

/// Everything that a clock is made with.
struct Maker<'a> {
    person: &'a Person,
    profile: &'a Profile,
    library: &'a Library,
}

/// What can be said at a line while the clock runs.
struct Change {
    /// of the write-up
    line: usize,
    /// as written
    written: String,
    /// what is done now; empty where nothing is given
    now: String,
    /// lines of the plan that stand for it
    given: Vec<usize>,
    /// what was said already
    wish: Option<Wish>,
    /// what came of it, in one sentence
    why: String,
}

/// `GET /sessions/{id}/parts/{part}/clock`
///
/// # Errors
/// A session that is not live or not theirs, or a part that is not there.
pub async fn show_clock(
    State(app): State<App>,
    Member(person): Member,
    Path((id, number)): Path<(SessionId, usize)>,
) -> Result<Response, Error> {
    let published = app.store.live_for(person.id, id).await?;
    let profile = app.store.profile(&person).await?;
    let wishes = app.store.wishes_of(person.id).await?;
    let house = app.store.house(person.zone.day(app.clock.now())).await?;
    let own = tailored(&app, &published, &profile, &wishes, &house);
    let said = wishes.get(&published.session_id).map_or(&[][..], Vec::as_slice);
    let maker = Maker { person: &person, profile: &profile, library: &app.library() };
    match page(&maker, &published, number, &own, said)? {
        Some(page) => Ok(page.into_response()),
        None => Ok(Redirect::to(&back(&published, number)).into_response()),
    }
}

/// Address and page of every clock of a day, for a device to keep.
///
/// # Errors
/// Only the store's own.
pub async fn kept(app: &App, person: &Person, day: Date) -> Result<Vec<(String, String)>, Error> {
    let profile = app.store.profile(person).await?;
    let wishes = app.store.wishes_of(person.id).await?;
    let house = app.store.house(person.zone.day(app.clock.now())).await?;
    let mut pages = Vec::new();
    let maker = Maker { person, profile: &profile, library: &app.library() };
    for published in app.store.live_on(person.id, day).await? {
        let own = tailored(app, &published, &profile, &wishes, &house);
        let said = wishes.get(&published.session_id).map_or(&[][..], Vec::as_slice);
        for number in 0..published.session.parts.len() {
            if let Some(page) = page(&maker, &published, number, &own, said)? {
                let html = page.render().map_err(|e| Error::Internal(e.into()))?;
                pages.push((format!("/sessions/{}/parts/{number}/clock", published.session_id), html));
            }
        }
    }
    Ok(pages)
}

fn tailored(app: &App, published: &Published, profile: &Profile, wishes: &Wishes, house: &House) -> Tailored {
    let said = wishes.get(&published.session_id).map_or(&[][..], Vec::as_slice);
    let house = house.in_session(Some(published.session_id.0));
    Tailor::new(&app.library()).in_house(house).tailor_wished(&published.session, profile, said)
}

fn back(published: &Published, number: usize) -> String {
    format!("/days/{}#s{}p{number}", calendar::iso(published.day), published.session_id)
}

/// The part as this member does it, and what stands behind each of its lines; none where everything is left out.
fn as_given<'a>(person: &Person, written: &Part, own: Option<&'a TailoredPart>) -> Option<(Part, Vec<&'a TailoredLine>)> {
    let all = own.map_or(&[][..], |p| p.lines.as_slice());
    let of = |l: &TailoredLine, g: &Line| clock::climbing_on(words::own(g, person.load_column), &l.written);
    let (lines, behind): (Vec<Line>, Vec<_>) = all.iter().flat_map(|l| l.given.iter().map(move |g| (of(l, g), l))).unzip();
    let mut part = Part { lines, ..written.clone() };
    if let Some(rounds) = own.and_then(|p| p.rounds_given.clone()) {
        clock::with_rounds(&mut part, rounds);
    }
    // a part of which everything is left out has nothing to be timed
    (!part.lines.is_empty() || written.lines.is_empty()).then_some((part, behind))
}

/// There is something to time or to count in a part, as this member does it.
#[must_use]
pub fn is_timed(person: &Person, written: &Part, own: &TailoredPart) -> bool {
    as_given(person, written, Some(own)).is_some_and(|(part, _)| clock::plan(&part).is_some())
}

/// The clock of a part; none where there is nothing to time or count.
fn page(
    maker: &Maker<'_>,
    published: &Published,
    number: usize,
    own: &Tailored,
    said: &[Wished],
) -> Result<Option<ClockPage>, Error> {
    let person = maker.person;
    let written = published.session.parts.get(number).ok_or(Error::NotFound)?;
    let tailored = own.parts.get(number);
    let Some((part, behind)) = as_given(person, written, tailored) else { return Ok(None) };
    let Some(plan) = clock::plan(&part) else { return Ok(None) };
    let given = || part.lines.iter().zip(&behind);
    let words: Vec<String> = given().map(|(line, own)| line_words(line, words::plates(own), person)).collect();
    let says = given()
        .enumerate()
        .map(|(i, (line, own))| turns(line, own, (clock::turns_in(&part, line), plan.climbs.contains(&i)), person))
        .collect();
    let noting = Noting::of(maker, &plan, (&part, written), tailored);
    let notes = noting.what();
    let plan = Shown { plan, says, noting };
    Ok(Some(ClockPage {
        frame: Frame::of(person, format!("Clock: {}", wording::title(&part).1), "today"),
        how: wording::format(&part),
        plan: serde_json::to_string(&plan).map_err(|e| Error::Internal(e.into()))?,
        key: format!("dowel clock {} {} p{number}", person.id, published.session_id),
        version: published.version_id.0,
        notes,
        changes: changes(tailored.map_or(&[][..], |p| p.lines.as_slice()), number, said, &words),
        lines: words,
        here: format!("/sessions/{}/parts/{number}", published.session_id),
        back: back(published, number),
        name: wording::title(&part).1,
        cues: cues(&part.lines, maker.library),
    }))
}

/// Of each movement that the library knows, once.
fn cues(lines: &[Line], library: &Library) -> Vec<Cues> {
    let mut all: Vec<Cues> = Vec::new();
    for (i, line) in lines.iter().enumerate() {
        let Some(known) = library.find(&line.movement).filter(|m| !m.cues.is_empty()) else { continue };
        match all.iter_mut().find(|c| c.movement == known.name) {
            Some(there) => there.given.push(i),
            None => all.push(Cues { movement: known.name.clone(), list: known.cues.clone(), given: vec![i] }),
        }
    }
    all
}

/// What can be said at each line; nothing where the coach and a doctor come first.
fn changes(own: &[TailoredLine], part: usize, said: &[Wished], words: &[String]) -> Vec<Change> {
    let mut next = 0;
    let mut all = Vec::new();
    for (line, own) in own.iter().enumerate() {
        let given: Vec<usize> = (next..next + own.given.len()).collect();
        next += own.given.len();
        let here = said.iter().find(|w| w.part == part && w.line == line && w.movement == own.written.movement);
        if here.is_some() || !given.is_empty() {
            let written = wording::whole_line(&own.written);
            let now = given.iter().filter_map(|i| words.get(*i)).cloned().collect::<Vec<_>>().join(", ");
            all.push(Change { line, written, now, given, wish: here.map(|w| w.wish), why: own.why.clone() });
        }
    }
    all
}

/// The words of each turn of a line whose turns differ; of one that climbs, those after the count.
fn turns(line: &Line, own: &TailoredLine, (n, climbs): (usize, bool), person: &Person) -> Vec<String> {
    if n < 2 {
        return Vec::new();
    }
    let all: Vec<Line> = (0..n).map(|turn| clock::at_turn(line, turn)).collect();
    let heaviest = all.iter().map(mass).fold(0.0, f64::max);
    let mut said: Vec<String> = all
        .into_iter()
        .map(|line| {
            // plates are told for the heaviest of several loads
            let plates = words::plates(own).filter(|_| mass(&line) >= heaviest);
            let line = Line { open: false, step: None, ..line };
            let line = if climbs { Line { reps: None, ..line } } else { line };
            line_words(&line, plates, person)
        })
        .collect();
    if climbs && said.iter().all(|words| *words == said[0]) {
        said.truncate(1);
    }
    said
}

/// The one number of a load; 0 where it is none.
fn mass(line: &Line) -> f64 {
    match &line.load {
        Some(Load::Kg { values, .. } | Load::Lb { values, .. }) => values.iter().copied().fold(0.0, f64::max),
        _ => 0.0,
    }
}

/// `12 air squats` in one breath.
fn line_words(line: &Line, plates: Option<String>, person: &Person) -> String {
    let dose = words::dose(line, person.load_column);
    let movement = wording::movement(line);
    let side = line.side.map(|s| format!(", {}", s.words())).unwrap_or_default();
    let load = words::load(line, person.load_column, person.units).map(|l| format!(", {l}")).unwrap_or_default();
    let load = match plates {
        Some(plates) if !load.is_empty() => format!("{load}: {plates}"),
        _ => load,
    };
    let pace: String =
        line.tempo.as_deref().map(words::tempo).into_iter().chain(wording::slowed(line)).map(|p| format!(", {p}")).collect();
    if dose.is_empty() { format!("{movement}{side}{load}{pace}") } else { format!("{dose} {movement}{side}{load}{pace}") }
}
