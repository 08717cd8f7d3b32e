//! The form in which a part is logged: how it begins, and how it is read.

mod score_text;
mod sets;
mod understood;

use self::score_text::{at_least, minutes_of, read_score};
pub use self::understood::understood;
use super::day::view::Reader;
use super::day::words;
use crate::clock;
use crate::store::people::{Person, Units};
use crate::store::results::{NewResult, ResultRow};
use crate::store::weeks::Published;
use crate::training::calendar;
use crate::training::dose::Load;
use crate::training::score::{self, KG_PER_LB, MassUnit, Prompt, Score, ScoreRules};
use crate::training::session::{Part, ScoreKind};
use crate::training::tailor::{TailoredPart, lifted};
use crate::training::wording;
use crate::web::board::entries;
use crate::web::forms::Errors;
use crate::web::member::mass_unit;
use serde::Deserialize;
use serde_json::Value;
use time::Date;

/// Longest note, in characters.
const LONGEST: usize = 2000;
/// Longest words about where it hurt.
const LONGEST_PLACE: usize = 500;

/// What is typed, ticked and carried along.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct LogForm {
    /// the page's own id of this result
    pub client_id: String,
    /// the version that was on the page
    pub version_id: i64,
    /// the score as typed
    pub score: String,
    /// `full`, `lighter`, `adapted`, or the name of an option
    pub version: String,
    /// load used
    pub load: String,
    /// minutes
    pub minutes: String,
    /// 0 to 10
    pub rpe: String,
    /// to the coach
    pub note: String,
    /// something hurt
    pub hurt: Option<String>,
    /// where
    pub place: String,
    /// the day it was done
    pub done_on: String,
    /// on the leaderboard
    pub shown: Option<String>,
    /// grows with each edit on the device; 0 where a page without script sent it
    pub edit: i64,
}

/// The form as the page needs it.
#[derive(Clone, Debug)]
pub struct LogView {
    /// unique on the page
    pub id: String,
    /// where what is typed is read before it is saved
    pub reads: String,
    /// what a draft on the device is kept under: a person, a session and a part, so that it outlives a change of the session
    pub keep: String,
    /// where it is sent
    pub action: String,
    /// of the part, from 0
    pub part: usize,
    /// what is asked for; none where nothing is scored
    pub label: Option<String>,
    /// texts that are read
    pub examples: Vec<String>,
    /// the sets are asked for, where the part is plain sets of one lift
    pub asks_sets: bool,
    /// which keyboard
    pub inputmode: &'static str,
    /// the load is asked for beside the score
    pub asks_load: bool,
    /// `kg` or `lb`
    pub unit: &'static str,
    /// what a bare number is read as, where one is asked for and its unit is settled
    pub bare: Option<&'static str>,
    /// the day is asked for, because it may be another
    pub asks_day: bool,
    /// value and words
    pub versions: Vec<(String, String)>,
    /// what is typed
    pub form: LogForm,
    /// beside their fields
    pub errors: Errors,
}

/// A version as people say it, and how much of it was done where lines were left out.
#[must_use]
pub fn version_words(version: &str, given: Option<&Value>) -> String {
    let share = || entries::share(version, given).map(|share| format!(", {share}")).unwrap_or_default();
    match version {
        "full" => "as written".to_owned(),
        "adapted" => format!("changed for you{}", share()),
        other => other.to_owned(),
    }
}

fn versions(part: &Part, own: Option<&TailoredPart>) -> Vec<(String, String)> {
    let changed = own.is_some_and(|own| !own.is_as_written());
    let mut all = Vec::new();
    if changed {
        all.push(("adapted".to_owned(), "changed for me, as above".to_owned()));
    }
    all.push(("full".to_owned(), "as written".to_owned()));
    all.extend(part.options.iter().filter(|o| !o.name.is_empty()).map(|o| {
        let differs = wording::option(o);
        (o.name.clone(), if differs.is_empty() { o.name.clone() } else { format!("{}: {differs}", o.name) })
    }));
    all.push(("lighter".to_owned(), "lighter than written".to_owned()));
    if !changed {
        all.push(("adapted".to_owned(), "changed to what I have".to_owned()));
    }
    all
}

impl LogView {
    fn empty(reader: &Reader<'_>, p: &Published, i: usize, own: Option<&TailoredPart>, prompt: Option<Prompt>) -> Self {
        let part = &p.session.parts[i];
        let asks_sets = lifted::asked(part, own, reader.library);
        let sets = || {
            if asks_sets {
                score::sets::examples(lifted::plan(part, own), mass_unit(reader.person.units))
            } else {
                score::examples(part.score)
            }
        };
        Self {
            id: format!("log{}p{i}", p.session_id),
            keep: format!("{} {} p{i}", reader.person.id, p.session_id),
            action: format!("/sessions/{}/parts/{i}/result", p.session_id),
            reads: format!("/sessions/{}/parts/{i}/understood", p.session_id),
            part: i,
            examples: prompt.as_ref().map_or_else(sets, |prompt| prompt.examples.clone()),
            // several numbers need a comma, which a keyboard of digits does not have
            inputmode: match part.score {
                ScoreKind::Reps | ScoreKind::Calories if part.score_rule.is_none() => "numeric",
                _ => "text",
            },
            label: prompt.map(|prompt| prompt.label),
            asks_sets,
            bare: settled_unit(part, reader.person.units)
                .filter(|_| part.score == ScoreKind::Load || asks_sets)
                .map(MassUnit::word),
            asks_load: part.score != ScoreKind::Load && !asks_sets && part.lines.iter().any(|l| l.load.is_some()),
            unit: if reader.person.units == Units::Kg { "kg" } else { "lb" },
            asks_day: p.day < reader.person.zone.day(reader.now),
            versions: versions(part, own),
            form: LogForm::default(),
            errors: Errors::default(),
        }
    }

    /// The form of a part that is not on the day.
    fn alone(reader: &Reader<'_>, p: &Published, i: usize, own: Option<&TailoredPart>) -> Self {
        let part = &p.session.parts[i];
        Self::empty(reader, p, i, own, score::prompt(part, &rules(part, reader), reader.library))
    }

    /// A form that nothing was typed into yet, with what is asked for.
    #[must_use]
    pub fn fresh(reader: &Reader<'_>, p: &Published, i: usize, own: &TailoredPart, prompt: Option<Prompt>) -> Self {
        let part = &p.session.parts[i];
        let given = own.lines.iter().flat_map(|l| &l.given);
        let load = given.filter_map(|l| words::plain_load(l, reader.person.load_column)).next();
        let view = Self::empty(reader, p, i, Some(own), prompt);
        let form = LogForm {
            client_id: clock::new_uuid(reader.now),
            version_id: p.version_id.0,
            version: view.versions[0].0.clone(),
            score: if view.asks_sets { lifted::offered(part, own, reader.person.load_column) } else { String::new() },
            load: load.filter(|_| view.asks_load).unwrap_or_default(),
            done_on: calendar::iso(p.day.min(reader.person.zone.day(reader.now))),
            shown: reader.person.shown.then(|| "on".to_owned()),
            ..LogForm::default()
        };
        Self { form, ..view }
    }

    /// A form that came back, with what was typed and what is wrong with it.
    #[must_use]
    pub fn back(reader: &Reader<'_>, p: &Published, i: usize, own: Option<&TailoredPart>, form: LogForm, errors: Errors) -> Self {
        Self { form, errors, ..Self::alone(reader, p, i, own) }
    }

    /// The form of a result that stands.
    #[must_use]
    pub fn edit(reader: &Reader<'_>, p: &Published, own: Option<&TailoredPart>, result: &ResultRow) -> Self {
        let number = |n: Option<f64>| n.map(|n| n.to_string()).unwrap_or_default();
        let form = LogForm {
            client_id: result.client_id.clone(),
            version_id: result.version_id.0,
            score: score_again(reader, &p.session.parts[result.part], result),
            version: result.version_done.clone(),
            load: load_again(result, reader.person.units),
            minutes: number(result.minutes),
            rpe: number(result.rpe),
            note: result.note.clone(),
            hurt: result.hurt.as_ref().map(|_| "on".to_owned()),
            place: result.hurt.clone().unwrap_or_default(),
            done_on: calendar::iso(result.done_on),
            shown: (!result.hidden).then(|| "on".to_owned()),
            edit: 0,
        };
        let view = Self::alone(reader, p, result.part, own);
        Self { action: format!("/results/{}", result.id), asks_day: true, form, ..view }
    }

    /// This number of the scale is chosen.
    #[must_use]
    pub fn effort(&self, n: &usize) -> bool {
        self.form.rpe.parse() == Ok(*n)
    }
}

/// `12.5`, `12,5`; none for nothing typed.
fn number(text: &str, most: f64) -> Result<Option<f64>, ()> {
    let text = text.trim().replace(',', ".");
    if text.is_empty() {
        return Ok(None);
    }
    text.parse().ok().filter(|n: &f64| (0.0..=most).contains(n)).map(Some).ok_or(())
}

/// The load used, in kilograms; the field names the reader's unit, so a bare number is in it. Words such as `blue band` have none.
fn load_kg(text: &str, units: Units) -> Option<f64> {
    let rules = ScoreRules { mass_unit: Some(mass_unit(units)), ..ScoreRules::default() };
    // `25.5.5 kg` and `bar + 40` are kept as typed, and no number is made of them
    let clear = |r: &score::Reading| r.unread.is_empty() && r.held.is_none();
    heaviest_kg(&score::read(ScoreKind::Load, text, &rules).ok().filter(clear)?.score)
}

fn heaviest_kg(score: &Score) -> Option<f64> {
    match score {
        Score::Load { lifts } => lifts.iter().filter_map(score::Lift::kg).reduce(f64::max),
        _ => None,
    }
}

/// The load used, with its unit: a bare number was typed into a field that named one.
#[must_use]
pub fn load_words(load_text: &str, load_kg: Option<f64>, units: Units) -> String {
    match load_kg.filter(|_| !load_text.trim().is_empty() && number(load_text, f64::MAX).is_ok()) {
        Some(kg) => {
            let n = if units == Units::Kg { kg } else { kg / KG_PER_LB };
            format!("{} {}", (n * 10.0).round() / 10.0, mass_unit(units).word())
        }
        None => load_text.to_owned(),
    }
}

/// The load as it stands in the form of a change. Where the member's unit is another by now, a bare number gets its own.
fn load_again(result: &ResultRow, units: Units) -> String {
    let same = load_kg(&result.load_text, units) == result.load_kg;
    if same { result.load_text.clone() } else { load_words(&result.load_text, result.load_kg, units) }
}

/// The score as it stands in the form of a change: as typed, unless it would be read as another one by now.
fn score_again(reader: &Reader<'_>, part: &Part, result: &ResultRow) -> String {
    let stored: Option<Score> = result.score.clone().and_then(|s| serde_json::from_value(s).ok());
    let now = score::read(part.score, &result.score_text, &rules(part, reader)).ok().filter(|r| r.held.is_none());
    match stored {
        // sets carry their unit, whatever the member's own is by now
        Some(Score::Load { lifts }) if part.score == ScoreKind::None => score::sets::words(&lifts),
        Some(stored) if part.score != ScoreKind::None && now.is_some_and(|r| r.score != stored) => stored.words(),
        _ => result.score_text.clone(),
    }
}

/// The unit of a bare number: the member's own setting, unless the part is written in the other one. Then nothing settles it.
fn settled_unit(part: &Part, units: Units) -> Option<MassUnit> {
    let own = mass_unit(units);
    let written = part.lines.iter().filter_map(|l| match &l.load {
        Some(Load::Kg { .. }) => Some(MassUnit::Kg),
        Some(Load::Lb { .. }) => Some(MassUnit::Lb),
        _ => None,
    });
    let mut other = written.filter(|unit| *unit != own);
    other.next().is_none().then_some(own)
}

/// What a part and this member settle about a score.
pub(super) fn rules(part: &Part, reader: &Reader<'_>) -> ScoreRules {
    let lift = part.lines.first().map(|l| l.movement.as_str()).unwrap_or_default();
    ScoreRules {
        known_max_kg: reader.profile.known_maxes_kg.get(lift).copied(),
        mass_unit: settled_unit(part, reader.person.units),
        ..ScoreRules::of(part, reader.library)
    }
}

/// The part as it was done: an option's work, or what was given in its place. What is possible depends on it.
pub(super) fn as_done(part: &Part, version: &str, own: Option<&TailoredPart>) -> Part {
    if let Some(option) = part.options.iter().find(|o| o.name == version) {
        return entries::with(part, option);
    }
    match own.filter(|_| version == "adapted") {
        Some(own) => Part { lines: own.lines.iter().flat_map(|l| l.given.iter().cloned()).collect(), ..part.clone() },
        None => part.clone(),
    }
}

/// What a part is logged against.
pub struct Target<'a> {
    /// the version that was on the page
    pub version: &'a Published,
    /// of the part, from 0
    pub part: usize,
    /// as it was tailored
    pub own: Option<&'a TailoredPart>,
}

/// What the field of a score is for.
enum Asked {
    /// the sets of one lift, and how many were planned
    Sets(Option<score::sets::Plan>),
    /// the part's score, or that it was done
    Score,
}

/// What is asked for of a part that was `done` in this version.
fn asked(version: &str, to: &Target<'_>, done: &Part, reader: &Reader<'_>) -> Asked {
    let part = &to.version.session.parts[to.part];
    if !lifted::asked(part, to.own, reader.library) {
        return Asked::Score;
    }
    let option = part.options.iter().any(|o| o.name == version);
    let own = to.own.filter(|own| !option && lifted::is_same_lift(done, own));
    Asked::Sets(lifted::plan(done, own))
}

/// Reads the form; errors stand beside their fields.
pub fn read(form: &LogForm, to: &Target<'_>, reader: &Reader<'_>, errors: &mut Errors) -> Option<NewResult> {
    let part = &to.version.session.parts[to.part];
    let today = reader.person.zone.day(reader.now);
    if to.version.day > today {
        errors.add("done_on", format!("This is for {}. Read it now, and log it on the day.", calendar::long(to.version.day)));
    }
    let done = as_done(part, &form.version, to.own);
    let (score_text, score, doubt) = match asked(&form.version, to, &done, reader) {
        Asked::Sets(plan) => sets::read(form.score.trim(), plan, &rules(&done, reader), errors),
        Asked::Score => read_score(form, &done, reader, errors)?,
    };
    let allowed = versions(part, to.own);
    let version = if form.version.is_empty() { "full" } else { form.version.as_str() };
    errors.check(allowed.iter().any(|(v, _)| v == version), "version", "Choose one of these.");
    let minutes = number(&form.minutes, 600.0);
    errors.check(minutes.is_ok(), "minutes", "Minutes as a number, such as 12 or 12.5.");
    let rpe = number(&form.rpe, 10.0);
    errors.check(rpe.is_ok(), "rpe", "A number from 0 to 10.");
    errors.check(form.note.chars().count() <= LONGEST, "note", "At most 2000 characters.");
    errors.check(form.place.chars().count() <= LONGEST_PLACE, "place", "At most 500 characters.");
    errors.check(form.load.chars().count() <= 100, "load", "At most 100 characters.");
    let done_on = read_day(form, to.version.day, reader.person, reader.now, errors);
    if !errors.is_empty() {
        return None;
    }
    let load_text = form.load.trim().to_owned();
    let heaviest = score.as_ref().and_then(heaviest_kg);
    let taken = minutes_of(part, &score_text, reader);
    let given = to.own.filter(|_| version == "adapted").map(|own| own.lines.iter().map(|l| &l.given).collect::<Vec<_>>());
    Some(NewResult {
        client_id: client_id(form, reader),
        session_id: to.version.session_id,
        version_id: to.version.version_id,
        part: to.part,
        score_text,
        score: score.and_then(|s| serde_json::to_value(s).ok()),
        doubt,
        version_done: version.to_owned(),
        load_kg: heaviest.or_else(|| load_kg(&load_text, reader.person.units)),
        load_text,
        minutes: at_least(minutes.ok().flatten(), taken),
        rpe: rpe.ok().flatten(),
        note: form.note.trim().to_owned(),
        // words about where it hurt count, tick or no tick: pain is not lost by a slip
        hurt: (form.hurt.is_some() || !form.place.trim().is_empty()).then(|| where_it_hurt(form)),
        given: given.and_then(|g| serde_json::to_value(g).ok()),
        done_on: done_on?,
        edit: counter(form.edit, reader.now),
        hidden: form.shown.is_none(),
    })
}

/// The device's count of its edits, by its clock. A day ahead at most: a clock that is wrong must not outrank every later edit.
fn counter(edit: i64, now: time::OffsetDateTime) -> i64 {
    edit.clamp(0, crate::store::millis(now + time::Duration::days(1)))
}

/// The place as typed; without one the note, so that what was said about pain stands in the report.
fn where_it_hurt(form: &LogForm) -> String {
    let place = form.place.trim();
    if place.is_empty() { form.note.trim().chars().take(LONGEST_PLACE).collect() } else { place.to_owned() }
}

fn client_id(form: &LogForm, reader: &Reader<'_>) -> String {
    let own = form.client_id.trim();
    if (1..=64).contains(&own.len()) { own.to_owned() } else { clock::new_uuid(reader.now) }
}

/// The day it was done: the form's, today at the latest where the member lives.
fn read_day(form: &LogForm, session_day: Date, person: &Person, now: time::OffsetDateTime, errors: &mut Errors) -> Option<Date> {
    let today = person.zone.day(now);
    if form.done_on.trim().is_empty() {
        return Some(session_day.min(today));
    }
    let day = calendar::read_iso(form.done_on.trim()).filter(|d| *d <= today && d.year() > 2000);
    errors.check(day.is_some(), "done_on", "A day up to today, such as 2026-11-25.");
    day
}
