//! What coaches decided about the private words of members that hold a session back.
//!
//! # Design
//! A decision is about exact words. To train or to hold ends when they change, by a trigger, and does not come back with them:
//! whoever writes the same again writes it of another day. What is kept out stays out until a coach lifts it: other words may
//! hold more back, and never less.

use super::ids::PersonId;
use super::{Store, StoreError, instant, millis};
use crate::training::member::{KeptOut, Profile};
use sqlx::FromRow;
use time::OffsetDateTime;

/// What a coach decided.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Decided {
    /// nothing is held for these words
    Train,
    /// these parts of the body stay out of the sessions, the rest is given
    KeepOut(KeptOut),
    /// what the words hold back stays held
    Hold,
}

impl Decided {
    fn key(&self) -> &'static str {
        match self {
            Self::Train => "train",
            Self::KeepOut(_) => "keep_out",
            Self::Hold => "hold",
        }
    }

    /// As tailoring reads it; `words_stand` where the profile still has the words that it is about.
    pub(super) fn put_into(&self, words_stand: bool, profile: &mut Profile) {
        if words_stand && *self != Self::Hold {
            profile.open_words = Some(Vec::new());
        }
        if let Self::KeepOut(kept) = self {
            profile.kept_out = kept.clone();
        }
    }
}

/// A decision.
#[derive(Clone, Debug)]
pub struct Decision {
    /// the words that it is about; [`UNPROMPTED`] where there were none
    pub words: String,
    /// they are what the member's note says now
    pub words_stand: bool,
    /// what
    pub decided: Decided,
    /// to the member; may be empty
    pub said: String,
    /// when
    pub at: OffsetDateTime,
    /// the coach's name
    pub by: Option<String>,
    /// why it no longer counts; none while it does
    pub ended: Option<String>,
}

/// Stands for the words where somebody had written none and the coach kept something out all the same.
pub const UNPROMPTED: &str = "(nothing)";

/// A decision to be kept.
#[derive(Clone, Copy, Debug)]
pub struct NewDecision<'a> {
    /// the words as the coach read them; may be empty
    pub words: &'a str,
    /// what
    pub decided: &'a Decided,
    /// to the member; may be empty
    pub said: &'a str,
    /// to the report that these words opened, where it waits
    pub answer: &'a str,
}

/// Somebody's words, on which a coach may have to decide.
#[derive(Clone, Debug, FromRow)]
pub struct Undecided {
    /// who
    pub person_id: PersonId,
    /// their name
    pub name: String,
    /// as they wrote them
    pub words: String,
}

#[derive(FromRow)]
struct Row {
    words: String,
    words_stand: bool,
    act: String,
    kept_out: String,
    said: String,
    decided_at: i64,
    by: Option<String>,
    ended: Option<String>,
}

impl Row {
    fn decision(self) -> Result<Decision, StoreError> {
        Ok(Decision {
            decided: decided(&self.act, &self.kept_out)?,
            words: self.words,
            words_stand: self.words_stand,
            said: self.said,
            at: instant(self.decided_at),
            by: self.by,
            ended: self.ended,
        })
    }
}

fn decided(act: &str, kept_out: &str) -> Result<Decided, StoreError> {
    Ok(match act {
        "train" => Decided::Train,
        "keep_out" => Decided::KeepOut(serde_json::from_str(kept_out)?),
        _ => Decided::Hold,
    })
}

impl Store {
    /// What counts now.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn decision_on(&self, member: PersonId) -> Result<Option<Decision>, StoreError> {
        let row: Option<Row> = sqlx::query_as(
            "select d.words, p.note is d.words as words_stand, d.act, d.kept_out, d.said, d.decided_at, c.name as by, d.ended
             from decisions d join people p on p.id = d.person_id and (p.note = d.words or d.act = 'keep_out')
             left join people c on c.id = d.decided_by where d.person_id = $1 and d.ended is null",
        )
        .bind(member)
        .fetch_optional(&self.read)
        .await?;
        row.map(Row::decision).transpose()
    }

    /// Everything that was ever decided about words of this person, oldest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn decisions_of(&self, member: PersonId) -> Result<Vec<Decision>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select d.words, p.note is d.words as words_stand, d.act, d.kept_out, d.said, d.decided_at, c.name as by, d.ended
             from decisions d join people p on p.id = d.person_id
             left join people c on c.id = d.decided_by where d.person_id = $1 order by d.id",
        )
        .bind(member)
        .fetch_all(&self.read)
        .await?;
        rows.into_iter().map(Row::decision).collect()
    }

    /// What counts now in a group, by person, and whether their words are still those it is about.
    pub(super) async fn decisions_in(&self, group: super::ids::GroupId) -> Result<Vec<(PersonId, Decided, bool)>, StoreError> {
        let rows: Vec<(PersonId, String, String, bool)> = sqlx::query_as(
            "select d.person_id, d.act, d.kept_out, p.note is d.words from memberships m
             join decisions d on d.person_id = m.person_id and d.ended is null
             join people p on p.id = d.person_id and (p.note = d.words or d.act = 'keep_out') where m.group_id = $1",
        )
        .bind(group)
        .fetch_all(&self.read)
        .await?;
        rows.into_iter().map(|(id, act, kept, stand)| Ok((id, decided(&act, &kept)?, stand))).collect()
    }

    /// Private words on which nothing was decided, of members who are here; the caller knows which of them hold something back.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn undecided_words(&self) -> Result<Vec<Undecided>, StoreError> {
        Ok(sqlx::query_as(
            "select p.id as person_id, p.name, p.note as words from people p
             where p.role = 'member' and p.left_at is null and p.note is not null
             and not exists (select 1 from decisions d where d.person_id = p.id and d.ended is null and d.words = p.note)
             order by p.name, p.id",
        )
        .fetch_all(&self.read)
        .await?)
    }

    /// Decides about a member's words as they were read, and answers the report that those words opened, where it waits.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is no member, or the words are others by now.
    pub async fn decide(
        &self,
        member: PersonId,
        new: &NewDecision<'_>,
        by: PersonId,
        now: OffsetDateTime,
    ) -> Result<(), StoreError> {
        let kept = if let Decided::KeepOut(kept) = new.decided { serde_json::to_string(kept)? } else { "{}".to_owned() };
        let mut tx = self.begin().await?;
        sqlx::query("update decisions set ended = 'decided anew' where person_id = $1 and ended is null")
            .bind(member)
            .execute(&mut *tx)
            .await?;
        let done = sqlx::query(
            "insert into decisions (person_id, words, act, kept_out, said, decided_at, decided_by)
             select id, coalesce(note, $8), $3, $4, $5, $6, $7 from people
             where id = $1 and role = 'member' and coalesce(note, '') = $2",
        )
        .bind(member)
        .bind(new.words)
        .bind(new.decided.key())
        .bind(kept)
        .bind(new.said)
        .bind(millis(now))
        .bind(by)
        .bind(UNPROMPTED)
        .execute(&mut *tx)
        .await?;
        if done.rows_affected() == 0 {
            return Err(StoreError::NotFound);
        }
        sqlx::query(
            "update questions set answer = $3, answered_by = $4, answered_at = $5
             where person_id = $1 and kind = 'pain' and session_id is null and text = $2 and answered_at is null",
        )
        .bind(member)
        .bind(new.words)
        .bind(new.answer)
        .bind(by)
        .bind(millis(now))
        .execute(&mut *tx)
        .await?;
        tx.commit().await?;
        Ok(())
    }

    /// Takes back what was decided: the words hold back again what they did.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where nothing counts.
    pub async fn take_decision_back(&self, member: PersonId) -> Result<(), StoreError> {
        let done = sqlx::query("update decisions set ended = 'taken back' where person_id = $1 and ended is null")
            .bind(member)
            .execute(&self.write)
            .await?;
        if done.rows_affected() == 1 { Ok(()) } else { Err(StoreError::NotFound) }
    }
}
