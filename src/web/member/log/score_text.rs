//! The score of a part as it was typed, and what it says of the minutes.

use super::{LogForm, rules};
use crate::training::score::{self, Score};
use crate::training::session::{Part, ScoreKind};
use crate::web::forms::Errors;
use crate::web::member::day::view::Reader;

/// The text, the score where it has a clear meaning, and what is doubted or still asked.
pub(super) type ReadScore = (String, Option<Score>, Option<String>);

pub(super) fn read_score(form: &LogForm, part: &Part, reader: &Reader<'_>, errors: &mut Errors) -> Option<ReadScore> {
    if part.score == ScoreKind::None {
        let text = if form.score.trim().is_empty() { "done" } else { form.score.trim() };
        return Some((text.to_owned(), Some(Score::Done), None));
    }
    let text = form.score.trim();
    let rules = rules(part, reader);
    let such_as = || score::prompt(part, &rules, reader.library).map(|prompt| prompt.such_as()).unwrap_or_default();
    if text.is_empty() {
        errors.add("score", format!("{} is missing. Type it, {}.", missing(part.score), such_as()));
        return Some((String::new(), None, None));
    }
    match score::read(part.score, text, &rules) {
        Ok(reading) => match reading.held {
            Some(question) => Some((text.to_owned(), None, Some(question.text))),
            None => Some((text.to_owned(), Some(reading.score), reading.doubt)),
        },
        Err(e) => {
            errors.add("score", format!("{} Type it {}.", e.why, such_as()));
            Some((text.to_owned(), None, None))
        }
    }
}

/// What was not typed, where something is asked for.
fn missing(kind: ScoreKind) -> &'static str {
    match kind {
        ScoreKind::Time => "The time",
        ScoreKind::RoundsReps => "How many rounds",
        ScoreKind::Reps => "How many reps",
        ScoreKind::Load => "The load",
        ScoreKind::Distance => "The distance",
        ScoreKind::Calories => "How many calories",
        ScoreKind::HoldTime => "How long you held",
        ScoreKind::None => "The result",
    }
}

/// How long a part for time took by what was typed, also while it is asked whether that counts; none where it may be another
/// time.
pub(super) fn minutes_of(part: &Part, text: &str, reader: &Reader<'_>) -> Option<f64> {
    let reading = (part.score == ScoreKind::Time).then(|| score::read(part.score, text, &rules(part, reader)).ok())??;
    let open = reading.held.is_some_and(|question| question.answers.len() > 1);
    match reading.score {
        Score::Time { seconds } if !open => Some((seconds / 60.0 * 10.0).round() / 10.0),
        _ => None,
    }
}

/// The minutes as typed; the score's own where they are fewer by more than a rounding. A clock that was stopped early fills in
/// its minutes, and a time typed over it says that the work took longer.
pub(super) fn at_least(minutes: Option<f64>, taken: Option<f64>) -> Option<f64> {
    match (minutes, taken) {
        (Some(minutes), Some(taken)) if minutes + 1.0 < taken => Some(taken),
        _ => minutes,
    }
}
