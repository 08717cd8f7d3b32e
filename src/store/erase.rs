//! Taking a person out for good.

use super::ids::{LinkId, PersonId, SessionId};
use super::{Store, StoreError};
use crate::store::writer::Pen;

/// What there is of a person, counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, sqlx::FromRow)]
pub struct Traces {
    /// results, taken back or not
    pub results: i64,
    /// results from before Dowel
    pub past: i64,
    /// questions and reports
    pub questions: i64,
    /// known maxes
    pub maxes: i64,
    /// signed-in browsers
    pub sign_ins: i64,
    /// tokens for programs
    pub tokens: i64,
}

/// Invitations that nobody used are of nobody; what the coach wrote on those for this member names them all the same.
async fn blank_labels(tx: &mut Pen, id: PersonId) -> Result<(), StoreError> {
    let found: Option<(String, Option<String>, String)> =
        sqlx::query_as("select name, nickname, sign_in from people where id = $1").bind(id).fetch_optional(&mut *tx).await?;
    let Some((name, nickname, sign_in)) = found else { return Ok(()) };
    let names: Vec<Vec<String>> = [name, nickname.unwrap_or_default(), sign_in].iter().map(|n| words(n)).collect();
    let labels: Vec<(LinkId, String)> =
        sqlx::query_as("select id, label from links where person_id is null and label <> ''").fetch_all(&mut *tx).await?;
    for (link, label) in labels {
        let label = words(&label);
        let said = |name: &Vec<String>| !name.is_empty() && name.iter().all(|w| label.contains(w));
        let shortened = !label.is_empty() && names.iter().any(|name| label.iter().all(|w| name.contains(w)));
        if shortened || names.iter().any(said) {
            sqlx::query("update links set label = '' where id = $1").bind(link).execute(&mut *tx).await?;
        }
    }
    Ok(())
}

fn words(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).map(str::to_lowercase).collect()
}

impl Store {
    /// What there is of a person.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn traces(&self, id: PersonId) -> Result<Traces, StoreError> {
        Ok(sqlx::query_as(
            "select (select count(*) from results where person_id = $1) as results,
             (select count(*) from past_results where person_id = $1) as past,
             (select count(*) from questions where person_id = $1) as questions,
             (select count(*) from maxes where person_id = $1) as maxes,
             (select count(*) from sign_ins where person_id = $1) as sign_ins,
             (select count(*) from tokens where person_id = $1) as tokens",
        )
        .bind(id)
        .fetch_one(&self.read)
        .await?)
    }

    /// Deletes a member and all there is of them. Every table that holds something of a person goes with its row
    /// (`on delete cascade`), freed pages are overwritten (`secure_delete`), and the log is written back and cut, so that
    /// nothing stays in the files either.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is no member.
    pub async fn erase_member(&self, id: PersonId) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        let sessions: Vec<SessionId> = sqlx::query_scalar("select distinct session_id from results where person_id = $1")
            .bind(id)
            .fetch_all(&mut *tx)
            .await?;
        // the trail keeps that something was done, and no longer by whom or about whom: a row's number can be another's one day
        sqlx::query("update trail set who = '' where person_id = $1").bind(id).execute(&mut *tx).await?;
        sqlx::query(
            "update trail set about_kind = null, about_id = null where about_kind = 'person' and about_id = $1
             or about_kind = 'result' and about_id in (select id from results where person_id = $1)",
        )
        .bind(id)
        .execute(&mut *tx)
        .await?;
        blank_labels(&mut tx, id).await?;
        sqlx::query(
            "insert into settings (key, value) select 'last_person', max(id) from people where true
             on conflict (key) do update set value = max(cast(value as integer), cast(excluded.value as integer))",
        )
        .execute(&mut *tx)
        .await?;
        let gone = sqlx::query("delete from people where id = $1 and role = 'member'").bind(id).execute(&mut *tx).await?;
        if gone.rows_affected() == 0 {
            return Err(StoreError::NotFound);
        }
        tx.commit().await?;
        for session in sessions {
            self.tell(session);
        }
        self.write.cut_log().await;
        Ok(())
    }
}
