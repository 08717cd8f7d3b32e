//! What a member logged for a part, as the day shows it.

use super::view::Reader;
use crate::store::results::ResultRow;
use crate::store::weeks::Published;
use crate::training::score::{self, Score, ScoreRules};
use crate::training::session::Part;
use crate::web::member::log::{load_words, version_words};

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

/// Minutes and effort, where they were given.
#[must_use]
pub fn beside(result: &ResultRow, units: crate::store::people::Units) -> Vec<String> {
    let minutes = result.minutes.map(|m| format!("{m} min"));
    let effort = result.rpe.map(|r| format!("effort {r}"));
    let load = Some(load_words(&result.load_text, result.load_kg, units)).filter(|l| !l.is_empty());
    [load, minutes, effort].into_iter().flatten().collect()
}

impl Done {
    /// Something is still to be said about it.
    #[must_use]
    pub fn asks(&self) -> bool {
        self.question.is_some() || self.doubt.is_some()
    }

    /// A result of this part.
    #[must_use]
    pub fn of(result: &ResultRow, live: &Published, part: &Part, reader: &Reader<'_>) -> Self {
        let rules = ScoreRules::of(part, reader.library);
        let held = result.score.is_none().then(|| score::read(part.score, &result.score_text, &rules).ok()?.held).flatten();
        Self {
            id: result.id.0,
            words: score_words(result, reader.person.units),
            version: version_words(&result.version_done),
            beside: beside(result, reader.person.units),
            question: held.map(|q| (q.text, q.answers)),
            doubt: result.doubt.clone().filter(|_| result.score.is_some()),
            hurt: result.hurt.clone(),
            earlier: result.version_id != live.version_id,
            corrected: reader.since.corrected.get(&result.id).cloned(),
        }
    }
}
