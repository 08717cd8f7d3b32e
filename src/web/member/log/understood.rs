//! What a typed score would be read as, said under its field before anything is saved.

use super::sets::asked as asked_words;
use super::{Asked, LogForm, Target, as_done, asked, rules};
use crate::training::score::{self, Question, Reading, ScoreError};
use crate::training::session::ScoreKind;
use crate::web::member::day::view::Reader;

/// One or two plain sentences; none where nothing is typed or the part asks for nothing.
#[must_use]
pub fn understood(form: &LogForm, to: &Target<'_>, reader: &Reader<'_>) -> Option<String> {
    let part = &to.version.session.parts[to.part];
    let done = as_done(part, &form.version, to.own);
    let text = form.score.trim();
    let rules = rules(&done, reader);
    let counts = text.contains(|c: char| c.is_ascii_digit());
    let reading = match asked(&form.version, to, &done, reader) {
        // words alone say that it was done
        Asked::Sets(_) if !counts => return None,
        // what is open about sets comes back with the form, and is never held
        Asked::Sets(plan) => match score::sets::read(text, plan, &rules) {
            Ok(Reading { held: Some(question), .. }) => return Some(asked_words(&question)),
            reading => reading,
        },
        Asked::Score if text.is_empty() || part.score == ScoreKind::None => return None,
        Asked::Score => score::read(done.score, text, &rules),
    };
    Some(reading.map_or_else(|e| refused(&e), |reading| said(&reading)))
}

fn said(reading: &Reading) -> String {
    match &reading.held {
        Some(question) => held(question),
        None => {
            let counts = [format!("Counts as {}.", reading.understood)];
            let left =
                (!reading.unread.is_empty()).then(|| format!("Not read: {}. Put that into the note.", reading.unread.join(" ")));
            counts.into_iter().chain(left).chain(reading.doubt.clone()).collect::<Vec<_>>().join(" ")
        }
    }
}

/// What is asked, what to type instead, and what becomes of it as it is.
fn held(question: &Question) -> String {
    let says_all = |text: &str| !question.answers.is_empty() && question.answers.iter().all(|a| text.contains(a.as_str()));
    let asked = match &question.text {
        text if says_all(text) => format!("{text} Type the one you mean."),
        _ => asked_words(question),
    };
    format!("{asked} Saved as it is, it waits for that and has no place.")
}

fn refused(e: &ScoreError) -> String {
    format!("{} Type it as in {}.", e.why, e.examples.join(", or "))
}
