//! Pain opens a question by itself, and so do words in a note that are no training matter.

use super::NewResult;
use crate::store::ids::{PersonId, ResultId};
use crate::store::writer::Pen;
use crate::store::{StoreError, millis};
use crate::training::tailor::{needs_the_coach, no_training_matter};
use time::OffsetDateTime;

/// The report of whoever did not say where.
pub(in crate::store) const UNSAID: &str = "Something hurt; where was not said.";

/// What this result tells of a body, each by itself: where it hurt, and the note where that is a matter for the coach. Where nothing
/// was said to hurt, sore legs in a note are a training matter.
pub(super) fn told(result: &NewResult) -> Vec<&str> {
    let note = result.note.trim();
    let (hurt, asks) = match result.hurt.as_deref().map(str::trim) {
        Some("") => (Some(UNSAID), needs_the_coach(note)),
        Some(hurt) => (Some(hurt), needs_the_coach(note)),
        None => (None, no_training_matter(note)),
    };
    hurt.into_iter().chain(asks.then_some(note).filter(|note| hurt != Some(note))).collect()
}

/// Pain reaches the coach by itself. A report keeps the words that it was opened with, whatever becomes of the result, until the
/// coach has read them; an answer is for these words, and others are a report of their own.
pub(super) async fn report_pain(
    tx: &mut Pen,
    owner: PersonId,
    id: ResultId,
    new: &NewResult,
    now: OffsetDateTime,
) -> Result<(), StoreError> {
    for text in told(new) {
        sqlx::query(
            "insert into questions (person_id, session_id, part, kind, result_id, text, asked_at)
             select $1, $2, $3, 'pain', $4, $5, $6
             where not exists (select 1 from questions where result_id = $4 and kind = 'pain' and text = $5)",
        )
        .bind(owner)
        .bind(new.session_id)
        .bind(i64::try_from(new.part).unwrap_or(i64::MAX))
        .bind(id)
        .bind(text)
        .bind(millis(now))
        .execute(&mut *tx)
        .await?;
    }
    Ok(())
}
