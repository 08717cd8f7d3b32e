//! Pain opens a question by itself, and so do words in a note that are no training matter.

use super::NewResult;
use crate::store::ids::{PersonId, QuestionId, ResultId};
use crate::store::writer::Pen;
use crate::store::{StoreError, millis};
use crate::training::tailor::{no_training_matter, waits};
use time::OffsetDateTime;

/// The report of whoever did not say where.
const UNSAID: &str = "Something hurt; where was not said.";

/// What this result tells of a body, as a report says it; none where it tells of nothing.
pub(super) fn told(result: &NewResult) -> Option<&str> {
    match result.hurt.as_deref().map(str::trim) {
        Some("") => Some(UNSAID),
        Some(hurt) => Some(hurt),
        None => Some(result.note.trim()).filter(|note| no_training_matter(note)),
    }
}

/// A report with the note beside it, as the member would have said it; none where it was not said where it hurts.
pub(in crate::store) fn report_words(text: &str, note: &str) -> Option<String> {
    (text != UNSAID).then(|| format!("it hurts: {text}. {note}"))
}

fn words(result: &NewResult) -> Option<String> {
    report_words(told(result)?, &result.note)
}

/// The new words hold something back that the old ones did not.
fn holds_more(old: Option<&NewResult>, new: &NewResult) -> bool {
    let of = |result: Option<&NewResult>| waits(result.and_then(words).as_slice());
    of(Some(new)).holds_more_than(&of(old))
}

/// Pain reaches the coach by itself. A report that is taken back stays a question until the coach has read it, and an answer is for
/// the words that stood there: words that hold back more, also in the note alone, are a report of their own.
pub(super) async fn report_pain(
    tx: &mut Pen,
    owner: PersonId,
    id: ResultId,
    (old, new): (Option<&NewResult>, &NewResult),
    now: OffsetDateTime,
) -> Result<(), StoreError> {
    // what an open report holds back is read with the note: pages that were kept have to hear of it
    sqlx::query("update questions set text = text where result_id = $1 and answered_at is null")
        .bind(id)
        .execute(&mut *tx)
        .await?;
    let Some(text) = told(new) else { return Ok(()) };
    let known: Option<(QuestionId, String, bool)> = sqlx::query_as(
        "select id, text, answered_at is not null from questions where result_id = $1 and kind = 'pain'
         order by answered_at is not null, id desc",
    )
    .bind(id)
    .fetch_optional(&mut *tx)
    .await?;
    if known.is_some_and(|(_, said, answered)| said == text && !(answered && holds_more(old, new))) {
        return Ok(());
    }
    sqlx::query(
        "insert into questions (person_id, session_id, part, kind, result_id, text, asked_at)
         values ($1, $2, $3, 'pain', $4, $5, $6)",
    )
    .bind(owner)
    .bind(new.session_id)
    .bind(i64::try_from(new.part).unwrap_or(i64::MAX))
    .bind(id)
    .bind(text)
    .bind(millis(now))
    .execute(&mut *tx)
    .await?;
    Ok(())
}
