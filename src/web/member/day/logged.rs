//! What a member logged for a part, as the day shows it.

use super::view::Reader;
use super::words;
use crate::store::people::{Person, Units};
use crate::store::results::ResultRow;
use crate::store::weeks::Published;
use crate::training::retest::as_given;
use crate::training::score::{self, Question, Reading, Score};
use crate::training::session::{Format, Line, Part, ScoreKind};
use crate::training::tailor::{TailoredPart, lifted, recorded};
use crate::training::wording;
use crate::web::member::log::{as_done, load_words, rules, version_words};
use serde_json::Value;
use time::{Duration, OffsetDateTime};

/// What is hard to believe is asked about for so long after it was logged; the coach sees it marked until they have seen it.
const ASKED_FOR: Duration = Duration::hours(1);

/// When the last of these stops being asked about, where one is: until then a page that shows it may be kept.
#[must_use]
pub fn asked_until(results: &[ResultRow], now: OffsetDateTime) -> Option<OffsetDateTime> {
    let asked = results.iter().filter(|r| r.logged.doubt.is_some()).map(|r| r.updated_at + ASKED_FOR);
    asked.filter(|until| *until > now).min()
}

/// A logged part.
pub struct Done {
    /// row
    pub id: i64,
    /// `7:42`, `done`, or what was typed while it is held
    pub words: String,
    /// which version: `as written`, `changed for you`
    pub version: String,
    /// words of the score that changed nothing
    pub unread: Option<String>,
    /// minutes and effort
    pub beside: Vec<String>,
    /// what it waits for, and texts that would answer
    pub question: Option<Question>,
    /// hard to believe: what is said of it, and that the coach sees it
    pub doubt: Option<String>,
    /// where it hurt
    pub hurt: Option<String>,
    /// what was given then, a line each, where it would be something else by now
    pub then: Vec<String>,
    /// it was done on an earlier version of the session
    pub earlier: bool,
    /// the coach corrected it: why, and who and when
    pub corrected: Option<(String, String)>,
}

/// How a load is said: in whose unit, and in which column; none says both, to those who do not know it.
#[derive(Clone, Copy, Debug)]
pub struct Reads {
    /// of the reader
    pub units: Units,
    /// 1 or 2
    pub column: Option<u8>,
}

/// A score in words, in the reader's unit; what was typed where it has none yet.
#[must_use]
pub fn score_words(result: &ResultRow, units: Units) -> String {
    let score: Option<Score> = result.score.clone().and_then(|s| serde_json::from_value(s).ok());
    match score {
        Some(Score::Done) => "done".to_owned(),
        Some(score) => score.words_in(crate::web::member::mass_unit(units)),
        None => result.score_text.clone(),
    }
}

/// What was done of a part of sets, where nothing but that they were done was logged: `3 x 8, done`; for whom it was changed the
/// sets as they were given, with their load.
#[must_use]
pub fn sets_done(result: &ResultRow, part: &Part, reads: Reads) -> Option<String> {
    let score: Score = result.score.clone().and_then(|s| serde_json::from_value(s).ok())?;
    if score != Score::Done || result.score_text != "done" {
        return None;
    }
    sets_given(&result.version_done, result.given.as_ref(), part, reads).or_else(|| as_planned(result, part))
}

/// The sets of a part as they were given to whom it was changed for: `3 x 8 at 12 kg, done`.
#[must_use]
pub fn sets_given(version: &str, recorded: Option<&Value>, part: &Part, reads: Reads) -> Option<String> {
    let given = recorded::given(recorded.filter(|_| version == "adapted"))?;
    let load = |line: &Line| match reads.column {
        Some(column) => words::load(line, column, reads.units),
        None => line.load.as_ref().map(wording::load),
    };
    recorded::sets(part, &given, load).map(|sets| format!("{sets}, done"))
}

fn as_planned(result: &ResultRow, part: &Part) -> Option<String> {
    let [line] = &part.lines[..] else { return None };
    let plain = result.version_done == "full" && part.format == Format::Sets && line.complex.is_empty();
    let plan = lifted::plan(part, None).filter(|_| plain)?;
    Some(format!("{} x {}, done", plan.sets, plan.reps))
}

/// What was given when it was logged, a line each, where tailoring gives something else by now.
#[must_use]
pub fn given_then(result: &ResultRow, own: &TailoredPart, reader: &Reader<'_>) -> Vec<String> {
    let recorded = recorded::given(result.given.as_ref().filter(|_| result.version_done == "adapted"));
    let same = |given: &[Vec<Line>]| {
        let lines = |lines: &[Line]| lines.iter().map(as_given).collect::<Vec<_>>();
        given.iter().map(|g| lines(g)).eq(own.lines.iter().map(|line| lines(&line.given)))
    };
    let Some(given) = recorded.filter(|given| !same(given)) else { return Vec::new() };
    let (column, units) = (reader.person.load_column, reader.person.units);
    let told = |line: &Line| {
        let side = line.side.map(|side| side.words().to_owned());
        let all = [words::dose(line, column), wording::movement(line)].into_iter().filter(|words| !words.is_empty());
        let beside = side.into_iter().chain(words::load(line, column, units)).map(|words| format!(", {words}"));
        all.collect::<Vec<_>>().join(" ") + &beside.collect::<String>()
    };
    given.iter().flatten().map(told).collect()
}

/// A score in its owner's words; of sets that were only ticked off, the sets.
#[must_use]
pub fn done_words(result: &ResultRow, part: Option<&Part>, owner: &Person) -> String {
    let reads = Reads { units: owner.units, column: Some(owner.load_column) };
    part.and_then(|part| sets_done(result, part, reads)).unwrap_or_else(|| score_words(result, owner.units))
}

/// Minutes and effort, where they were given.
#[must_use]
pub fn beside(result: &ResultRow, units: Units) -> Vec<String> {
    let minutes = result.minutes.map(|m| format!("{m} min"));
    let effort = result.rpe.map(|r| format!("effort {r}"));
    let load = Some(load_words(&result.load_text, result.load_kg, units)).filter(|l| !l.is_empty());
    [load, minutes, effort].into_iter().flatten().collect()
}

/// What a result waits for, and texts that would answer. The question that was put when it was logged stays until it is
/// answered, also where the same words would raise none by now.
#[must_use]
pub fn question(result: &ResultRow, part: &Part, reader: &Reader<'_>) -> Option<Question> {
    let text = result.doubt.clone().filter(|_| result.score.is_none())?;
    let held = read_again(result, part, reader).and_then(|reading| reading.held);
    Some(held.filter(|q| q.text == text).unwrap_or(Question { text, answers: Vec::new(), at_cap: false }))
}

/// What was typed, as it is read by now.
fn read_again(result: &ResultRow, part: &Part, reader: &Reader<'_>) -> Option<Reading> {
    let part = as_done(part, &result.version_done, None);
    score::read(part.score, &result.score_text, &rules(&part, reader)).ok()
}

/// Words of a score that counts which changed nothing.
fn unread(result: &ResultRow, part: &Part, reader: &Reader<'_>) -> Option<String> {
    let scored = result.score.is_some() && part.score != ScoreKind::None;
    let words = scored.then(|| read_again(result, part, reader))??.unread;
    (!words.is_empty()).then(|| words.join(" "))
}

/// What is hard to believe is asked about once; leaving it as it is answers.
fn doubted(text: &str) -> String {
    let unless = if text.ends_with('?') { " If it is, leave it: your" } else { " Your" };
    format!("{text}{unless} coach sees it marked.")
}

/// It was logged or changed just now.
fn is_fresh(result: &ResultRow, reader: &Reader<'_>) -> bool {
    reader.now - result.updated_at < ASKED_FOR
}

impl Done {
    /// Something is still to be said about it.
    #[must_use]
    pub fn asks(&self) -> bool {
        self.question.is_some() || self.doubt.is_some()
    }

    /// A result of the version that it was done on; `earlier` where the page has another by now.
    #[must_use]
    pub fn of(result: &ResultRow, done_on: &Published, earlier: bool, reader: &Reader<'_>) -> Self {
        let part = done_on.session.parts.get(result.part);
        Self {
            id: result.id.0,
            words: done_words(result, part, reader.person),
            version: version_words(&result.version_done, result.given.as_ref()),
            then: Vec::new(),
            unread: part.and_then(|part| unread(result, part, reader)),
            beside: beside(result, reader.person.units),
            question: part.and_then(|part| question(result, part, reader)),
            doubt: result.doubt.as_deref().filter(|_| result.score.is_some() && is_fresh(result, reader)).map(doubted),
            hurt: result.hurt.clone(),
            earlier,
            corrected: reader.since.corrected.get(&result.id).cloned(),
        }
    }
}
