//! What a member logged for a part, as the day shows it.

use super::view::Reader;
use crate::store::results::ResultRow;
use crate::store::weeks::Published;
use crate::training::score::{self, Score};
use crate::training::session::{Format, Part};
use crate::training::tailor::lifted;
use crate::web::member::log::{as_done, load_words, rules, version_words};

/// A logged part.
pub struct Done {
    /// row
    pub id: i64,
    /// `7:42`, `done`, or what was typed while it is held
    pub words: String,
    /// which version: `as written`, `changed for you`
    pub version: String,
    /// minutes and effort
    pub beside: Vec<String>,
    /// what it waits for, and texts that would answer
    pub question: Option<(String, Vec<String>)>,
    /// hard to believe: one sentence
    pub doubt: Option<String>,
    /// where it hurt
    pub hurt: Option<String>,
    /// it was done on an earlier version of the session
    pub earlier: bool,
    /// the coach corrected it: why, and who and when
    pub corrected: Option<(String, String)>,
}

/// A score in words, in the reader's unit; what was typed where it has none yet.
#[must_use]
pub fn score_words(result: &ResultRow, units: crate::store::people::Units) -> String {
    let score: Option<Score> = result.score.clone().and_then(|s| serde_json::from_value(s).ok());
    match score {
        Some(Score::Done) => "done".to_owned(),
        Some(score) => score.words_in(crate::web::member::mass_unit(units)),
        None => result.score_text.clone(),
    }
}

/// What was done of plain sets without a load, where nothing but that they were done was logged: `3 x 8 push-up`.
#[must_use]
pub fn sets_done(result: &ResultRow, part: &Part) -> Option<String> {
    let score: Score = result.score.clone().and_then(|s| serde_json::from_value(s).ok())?;
    let as_written = score == Score::Done && result.version_done == "full" && result.score_text == "done";
    let [line] = &part.lines[..] else { return None };
    let plan = lifted::plan(part, None).filter(|_| as_written && part.format == Format::Sets && line.complex.is_empty())?;
    Some(format!("{} x {}, done", plan.sets, plan.reps))
}

/// Minutes and effort, where they were given.
#[must_use]
pub fn beside(result: &ResultRow, units: crate::store::people::Units) -> Vec<String> {
    let minutes = result.minutes.map(|m| format!("{m} min"));
    let effort = result.rpe.map(|r| format!("effort {r}"));
    let load = Some(load_words(&result.load_text, result.load_kg, units)).filter(|l| !l.is_empty());
    [load, minutes, effort].into_iter().flatten().collect()
}

/// What a result waits for, and texts that would answer. The question that was put when it was logged stays until it is
/// answered, also where the same words would raise none by now.
#[must_use]
pub fn question(result: &ResultRow, part: &Part, reader: &Reader<'_>) -> Option<(String, Vec<String>)> {
    let text = result.doubt.clone().filter(|_| result.score.is_none())?;
    let part = as_done(part, &result.version_done, None);
    let rules = rules(&part, reader);
    let held = score::read(part.score, &result.score_text, &rules).ok().and_then(|reading| reading.held);
    let answers = held.filter(|q| q.text == text).map(|q| q.answers).unwrap_or_default();
    Some((text, answers))
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
            words: part.and_then(|part| sets_done(result, part)).unwrap_or_else(|| score_words(result, reader.person.units)),
            version: version_words(&result.version_done),
            beside: beside(result, reader.person.units),
            question: part.and_then(|part| question(result, part, reader)),
            doubt: result.doubt.clone().filter(|_| result.score.is_some()),
            hurt: result.hurt.clone(),
            earlier,
            corrected: reader.since.corrected.get(&result.id).cloned(),
        }
    }
}
