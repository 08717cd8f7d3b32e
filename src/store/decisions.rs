//! What coaches decided about the private words of members that hold a session back.
//!
//! # Design
//! A decision is about exact words. To train or to hold ends when they change, by a trigger, and does not come back with them:
//! whoever writes the same again writes it of another day. What is kept out stays out until a coach lifts it or decides anew about
//! the same words: other words, and what is decided about them, may hold more back, and never less.

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
}

/// A decision.
#[derive(Clone, Debug)]
pub struct Decision {
    /// the words that it is about; [`UNPROMPTED`] where there were none
    pub words: String,
    /// they are what the member's note has said ever since
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

impl Decision {
    /// Puts it into what tailoring reads.
    pub(super) fn put_into(&self, profile: &mut Profile) {
        if self.words_stand && self.decided != Decided::Hold {
            profile.open_words = Some(Vec::new());
        }
        if let Decided::KeepOut(kept) = &self.decided {
            profile.kept_out = kept.clone();
        }
    }
}

/// What counts now for one member: at most one decision to train or to hold, about their words as they are, and at most one to
/// keep something out.
#[derive(Clone, Debug, Default)]
pub struct Standing(pub Vec<Decision>);

impl Standing {
    /// Their words as they are were decided about.
    #[must_use]
    pub fn settles_words(&self) -> bool {
        self.0.iter().any(|d| d.words_stand)
    }

    /// What is kept out.
    #[must_use]
    pub fn kept_out(&self) -> Option<&KeptOut> {
        self.0.iter().find_map(|d| match &d.decided {
            Decided::KeepOut(kept) => Some(kept),
            _ => None,
        })
    }
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
    person_id: PersonId,
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

/// The columns of a [`Row`], of every decision.
const DECISION: &str =
    "select d.person_id, d.words, d.outlived = 0 and p.note is d.words as words_stand, d.act, d.kept_out, d.said,
    d.decided_at, c.name as by, d.ended
    from decisions d join people p on p.id = d.person_id left join people c on c.id = d.decided_by";
/// It counts.
const COUNTS: &str = "d.ended is null and (p.note = d.words or d.act = 'keep_out')";

impl Store {
    /// What counts now for a member.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn standing_decisions(&self, member: PersonId) -> Result<Standing, StoreError> {
        let rows: Vec<Row> =
            sqlx::query_as(sqlx::AssertSqlSafe(format!("{DECISION} where d.person_id = $1 and {COUNTS} order by d.id")))
                .bind(member)
                .fetch_all(&self.read)
                .await?;
        Ok(Standing(rows.into_iter().map(Row::decision).collect::<Result<_, _>>()?))
    }

    /// Everything that was ever decided about words of this person, oldest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn decisions_of(&self, member: PersonId) -> Result<Vec<Decision>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(sqlx::AssertSqlSafe(format!("{DECISION} where d.person_id = $1 order by d.id")))
            .bind(member)
            .fetch_all(&self.read)
            .await?;
        rows.into_iter().map(Row::decision).collect()
    }

    /// What counts now in a group, by person.
    pub(super) async fn decisions_in(&self, group: super::ids::GroupId) -> Result<Vec<(PersonId, Decision)>, StoreError> {
        let of_group = format!("{DECISION} join memberships m on m.person_id = d.person_id where m.group_id = $1 and {COUNTS}");
        let rows: Vec<Row> = sqlx::query_as(sqlx::AssertSqlSafe(of_group)).bind(group).fetch_all(&self.read).await?;
        rows.into_iter().map(|row| Ok((row.person_id, row.decision()?))).collect()
    }

    /// Private words on which nothing was decided, of members who are here; the caller knows which of them hold something back.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn undecided_words(&self) -> Result<Vec<Undecided>, StoreError> {
        Ok(sqlx::query_as(
            "select p.id as person_id, p.name, p.note as words from people p
             where p.role = 'member' and p.left_at is null and p.note is not null
             and not exists (select 1 from decisions d where d.person_id = p.id and d.ended is null and d.outlived = 0
                             and d.words = p.note)
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
        // what is kept out for other words is not lifted by what is decided about these
        sqlx::query(
            "update decisions set ended = 'decided anew' where person_id = $1 and ended is null
             and (act <> 'keep_out' or $2 = 'keep_out' or (outlived = 0 and words = $3))",
        )
        .bind(member)
        .bind(new.decided.key())
        .bind(new.words)
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

    /// Takes back what was decided about their words, which hold back again what they did; or what is kept out.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where nothing of it counts.
    pub async fn take_decision_back(&self, member: PersonId, kept_out: bool) -> Result<(), StoreError> {
        let done = sqlx::query(
            "update decisions set ended = 'taken back' where person_id = $1 and ended is null and (act = 'keep_out') = $2",
        )
        .bind(member)
        .bind(kept_out)
        .execute(&self.write)
        .await?;
        if done.rows_affected() == 1 { Ok(()) } else { Err(StoreError::NotFound) }
    }
}
