//! The sets of a part as they were typed.

use super::score_text::ReadScore;
use crate::training::score::sets::{self, Plan};
use crate::training::score::{Question, Score, ScoreRules};
use crate::web::forms::Errors;

/// Sets as typed; words without a number say that it was done.
pub(super) fn read(text: &str, plan: Option<Plan>, rules: &ScoreRules, errors: &mut Errors) -> ReadScore {
    if !text.contains(|c: char| c.is_ascii_digit()) {
        let said = if text.is_empty() { "done" } else { text };
        return (said.to_owned(), Some(Score::Done), None);
    }
    match sets::read(text, plan, rules) {
        Ok(reading) => match reading.held {
            Some(question) => {
                errors.add("score", asked(&question));
                (text.to_owned(), None, None)
            }
            None => (text.to_owned(), Some(reading.score), reading.doubt),
        },
        Err(e) => {
            errors.add("score", format!("{} Such as {}; or leave it empty.", e.why, e.examples.join(", or ")));
            (text.to_owned(), None, None)
        }
    }
}

/// What may have been meant, each as it is to be typed.
pub(super) fn asked(question: &Question) -> String {
    let meant = question.answers.join(", or ");
    if meant.is_empty() { question.text.clone() } else { format!("{} Type {meant}.", question.text) }
}
