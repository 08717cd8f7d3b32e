//! Pain opens a question by itself.

use super::NewResult;
use crate::store::ids::{PersonId, QuestionId, ResultId};
use crate::store::writer::Pen;
use crate::store::{StoreError, millis};
use time::OffsetDateTime;

/// The report of whoever did not say where.
pub(in crate::store) const UNSAID: &str = "Something hurt; where was not said.";

/// Pain reaches the coach by itself. A report that is taken back stays a question until the coach has read it.
pub(super) async fn report_pain(
    tx: &mut Pen,
    owner: PersonId,
    id: ResultId,
    new: &NewResult,
    now: OffsetDateTime,
) -> Result<(), StoreError> {
    let Some(hurt) = &new.hurt else { return Ok(()) };
    let text = if hurt.trim().is_empty() { UNSAID } else { hurt.trim() };
    let open: Option<(QuestionId, String)> = sqlx::query_as(
        "select id, text from questions where result_id = $1 and kind = 'pain' order by answered_at is not null, id desc",
    )
    .bind(id)
    .fetch_optional(&mut *tx)
    .await?;
    match open {
        Some((_, said)) if said == text => {}
        _ => {
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
        }
    }
    Ok(())
}
