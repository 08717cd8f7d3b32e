//! What members ask, and what hurt. A pain report is a question that is never shared and is settled by its answer.

use super::ids::{GroupId, PersonId, QuestionId, SessionId, VersionId};
use super::results::UNSAID;
use super::weeks::day;
use super::{Store, StoreError, instant, millis};
use crate::training::session::Session;
use crate::training::tailor::{Waits, waits};
use sqlx::FromRow;
use time::{Date, OffsetDateTime};

/// A question with where it was asked.
#[derive(Clone, Debug)]
pub struct Question {
    /// row
    pub id: QuestionId,
    /// who asked
    pub person_id: PersonId,
    /// their name, as the coach knows it
    pub name: String,
    /// about which session, where about one
    pub about: Option<About>,
    /// opened by a result that hurt: for the coach and the owner alone
    pub pain: bool,
    /// as typed
    pub text: String,
    /// when
    pub asked_at: OffsetDateTime,
    /// what the coach said
    pub answer: Option<Answer>,
    /// others with the same session may read it
    pub shared: bool,
    /// what these words hold back
    pub waits: Waits,
    /// answered, and it stays out until a coach lets it back in
    pub stays_out: bool,
}

impl Question {
    /// What stays out of the member's sessions now.
    #[must_use]
    pub fn holds(&self) -> Option<&Waits> {
        Some(&self.waits).filter(|waits| !waits.is_empty() && (self.answer.is_none() || self.stays_out))
    }
}

/// The words of a question that hold something back, as the member would have said them. Private words on a profile have decisions
/// of their own; a line where something hurt is set aside there; and where it was not said where it hurts nothing is guessed.
pub(super) fn holding_words(pain: bool, of_result: bool, text: &str) -> Option<String> {
    match (pain, of_result) {
        (false, _) => Some(text.to_owned()),
        (true, true) => (text != UNSAID).then(|| format!("it hurts: {text}")),
        (true, false) => None,
    }
}

/// The session that a question is about, as it was when it was asked.
#[derive(Clone, Debug)]
pub struct About {
    /// the place in the week
    pub session_id: SessionId,
    /// whose week
    pub group_id: GroupId,
    /// its name
    pub group: String,
    /// the session's day
    pub day: Date,
    /// first, second ... of that day
    pub slot: u8,
    /// what was on the page
    pub session: Session,
    /// part, from 0
    pub part: Option<usize>,
    /// line of that part, from 0
    pub line: Option<usize>,
    /// under which part of the newest version that part stands
    pub stands: Option<usize>,
}

/// What the coach said.
#[derive(Clone, Debug)]
pub struct Answer {
    /// in words
    pub text: String,
    /// when
    pub at: OffsetDateTime,
    /// the coach's name
    pub by: Option<String>,
}

/// What the coach says to a question.
#[derive(Clone, Copy, Debug)]
pub struct Reply<'a> {
    /// 1 to 4000 characters
    pub text: &'a str,
    /// others with the same line may read it
    pub shared: bool,
    /// what the words hold back is not let back in
    pub stays_out: bool,
}

/// What a member asks about a session.
#[derive(Clone, Debug)]
pub struct NewQuestion {
    /// which
    pub session_id: SessionId,
    /// the version that was on the page; none: the newest one that is out
    pub version: Option<VersionId>,
    /// part of that version, from 0
    pub part: Option<usize>,
    /// line of that part, from 0
    pub line: Option<usize>,
    /// 1 to 4000 characters
    pub text: String,
    /// the form's own id: a double tap asks once
    pub client_id: Option<String>,
}

#[derive(FromRow)]
struct Row {
    id: QuestionId,
    person_id: PersonId,
    name: String,
    session_id: Option<SessionId>,
    part: Option<i64>,
    line: Option<i64>,
    kind: String,
    text: String,
    asked_at: i64,
    answer: Option<String>,
    answered_at: Option<i64>,
    answered_by: Option<String>,
    shared: bool,
    group_id: Option<GroupId>,
    group_name: Option<String>,
    day: Option<String>,
    slot: Option<u8>,
    reading: Option<String>,
    stands: Option<i64>,
    of_result: bool,
    stays_out: bool,
}

/// The version that was on the page: the result's where a result opened it, else the one it was asked on, else the newest one that
/// was out by then.
const QUESTION: &str = "select q.id, q.person_id, p.name, q.session_id, q.part, q.line, q.kind, q.text, q.asked_at, q.answer,
    q.answered_at, c.name as answered_by, q.shared, s.group_id, g.name as group_name, s.day, s.slot, v.reading,
    coalesce(v.stands ->> q.part, q.part) as stands, q.result_id is not null as of_result, q.stays_out
    from questions q join people p on p.id = q.person_id
    left join people c on c.id = q.answered_by
    left join sessions s on s.id = q.session_id
    left join groups g on g.id = s.group_id
    left join results r on r.id = q.result_id
    left join session_versions v on v.id = coalesce(r.version_id, q.version_id,
        (select max(id) from session_versions where session_id = q.session_id and published_at <= q.asked_at))";

impl Row {
    fn about(&self) -> Result<Option<About>, StoreError> {
        let (Some(session_id), Some(group_id), Some(on)) = (self.session_id, self.group_id, &self.day) else { return Ok(None) };
        let index = |n: Option<i64>| n.and_then(|n| usize::try_from(n).ok());
        Ok(Some(About {
            session_id,
            group_id,
            group: self.group_name.clone().unwrap_or_default(),
            day: day(on)?,
            slot: self.slot.unwrap_or(1),
            session: self.reading.as_deref().map(serde_json::from_str).transpose()?.unwrap_or_default(),
            part: index(self.part),
            line: index(self.line),
            stands: index(self.stands),
        }))
    }

    fn question(self) -> Result<Question, StoreError> {
        let about = self.about()?;
        let answer = self.answer.zip(self.answered_at).map(|(text, at)| Answer { text, at: instant(at), by: self.answered_by });
        let pain = self.kind == "pain";
        let words = holding_words(pain, self.of_result, &self.text);
        Ok(Question {
            waits: waits(words.as_slice()),
            stays_out: self.stays_out,
            id: self.id,
            person_id: self.person_id,
            name: self.name,
            about,
            pain,
            text: self.text,
            asked_at: instant(self.asked_at),
            answer,
            shared: self.shared,
        })
    }
}

fn questions(rows: Vec<Row>) -> Result<Vec<Question>, StoreError> {
    rows.into_iter().map(Row::question).collect()
}

fn select(rest: &str) -> sqlx::AssertSqlSafe<String> {
    sqlx::AssertSqlSafe(format!("{QUESTION} {rest}"))
}

impl Store {
    /// Members whom something hurt in this session, at a line of it or with a result.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn hurt_in(&self, session: SessionId) -> Result<Vec<PersonId>, StoreError> {
        Ok(sqlx::query_scalar("select distinct person_id from questions where session_id = $1 and kind = 'pain'")
            .bind(session)
            .fetch_all(&self.read)
            .await?)
    }

    /// Asks about a session that a member can see.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is not live or not theirs.
    pub async fn ask(&self, member: PersonId, new: &NewQuestion, now: OffsetDateTime) -> Result<QuestionId, StoreError> {
        let index = |n: Option<usize>| n.and_then(|n| i64::try_from(n).ok());
        let asked: Option<QuestionId> = sqlx::query_scalar(
            "insert into questions (person_id, session_id, part, line, text, asked_at, client_id, version_id)
             select $1, s.id, $3, $4, $5, $6, $7, (select id from session_versions where id = $8 and session_id = s.id)
             from sessions s join memberships m on m.group_id = s.group_id
             where s.id = $2 and s.live_version_id is not null and m.person_id = $1
             on conflict (person_id, client_id) where client_id is not null do update set client_id = excluded.client_id
             returning id",
        )
        .bind(member)
        .bind(new.session_id)
        .bind(index(new.part))
        .bind(index(new.line))
        .bind(new.text.trim())
        .bind(millis(now))
        .bind(&new.client_id)
        .bind(new.version)
        .fetch_optional(&self.write)
        .await?;
        asked.ok_or(StoreError::NotFound)
    }

    /// Puts a member's own words about their body before the coach, as a pain report does; once for the same words.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn report(&self, member: PersonId, text: &str, now: OffsetDateTime) -> Result<(), StoreError> {
        self.put_before(member, "pain", text, now).await
    }

    /// Puts any other private word of a member before the coach; once for the same words.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn word(&self, member: PersonId, text: &str, now: OffsetDateTime) -> Result<(), StoreError> {
        self.put_before(member, "question", text, now).await
    }

    async fn put_before(&self, member: PersonId, kind: &str, text: &str, now: OffsetDateTime) -> Result<(), StoreError> {
        sqlx::query(
            "insert into questions (person_id, kind, text, asked_at) select $1, $4, $2, $3
             where not exists (select 1 from questions where person_id = $1 and kind = $4 and session_id is null and text = $2)",
        )
        .bind(member)
        .bind(text.trim())
        .bind(millis(now))
        .bind(kind)
        .execute(&self.write)
        .await?;
        Ok(())
    }

    /// Everything a member asked, newest first; what hurt too.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn questions_of(&self, member: PersonId) -> Result<Vec<Question>, StoreError> {
        let sql = select("where q.person_id = $1 order by q.asked_at desc, q.id desc");
        questions(sqlx::query_as(sql).bind(member).fetch_all(&self.read).await?)
    }

    /// What a member may read about a session: their own, and what the coach shared with its group. Oldest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn questions_about(&self, member: PersonId, session: SessionId) -> Result<Vec<Question>, StoreError> {
        let sql = select(
            "where q.session_id = $2 and (q.person_id = $1 or (q.shared = 1 and q.kind = 'question' and q.answer is not null
             and s.group_id in (select group_id from memberships where person_id = $1))) order by q.asked_at, q.id",
        );
        questions(sqlx::query_as(sql).bind(member).bind(session).fetch_all(&self.read).await?)
    }

    /// What the coach shared about sessions that this one was copied from, or that were copied with it, as far as this member is
    /// in the group in which it was asked. Oldest first. Whether the same line stands here too is for the caller to say.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn shared_about_copies(&self, member: PersonId, session: SessionId) -> Result<Vec<Question>, StoreError> {
        let sql = select(
            "where q.session_id in (select coalesce(copied_from, id) from sessions where id = $2 union
             select o.id from sessions t join sessions o on o.copied_from = coalesce(t.copied_from, t.id) where t.id = $2)
             and q.session_id <> $2 and q.shared = 1 and q.kind = 'question' and q.answer is not null
             and s.group_id in (select group_id from memberships where person_id = $1) order by q.asked_at, q.id",
        );
        questions(sqlx::query_as(sql).bind(member).bind(session).fetch_all(&self.read).await?)
    }

    /// Everything that waits for an answer, longest first; for the coach.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn open_questions(&self) -> Result<Vec<Question>, StoreError> {
        let sql = select("where q.answered_at is null order by q.asked_at, q.id");
        questions(sqlx::query_as(sql).fetch_all(&self.read).await?)
    }

    /// What was answered last and not put away, newest first, but what keeps something out before all; for the coach.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn answered_questions(&self, at_most: u32) -> Result<Vec<Question>, StoreError> {
        let sql = select(
            "where q.answered_at is not null and q.put_away_at is null order by q.stays_out desc, q.answered_at desc, q.id desc limit $1",
        );
        questions(sqlx::query_as(sql).bind(at_most).fetch_all(&self.read).await?)
    }

    /// One question; for the coach.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn question(&self, id: QuestionId) -> Result<Question, StoreError> {
        sqlx::query_as::<_, Row>(select("where q.id = $1")).bind(id).fetch_one(&self.read).await?.question()
    }

    /// Answers a question, or changes its answer. What it holds back is let back in, or not. Pain is never shared, whatever
    /// was asked for.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn answer(&self, id: QuestionId, reply: Reply<'_>, by: PersonId, now: OffsetDateTime) -> Result<(), StoreError> {
        let done = sqlx::query(
            "update questions set answer = $2, shared = case when kind = 'pain' then 0 else $3 end, answered_by = $4,
             answered_at = $5, stays_out = $6, put_away_at = null where id = $1",
        )
        .bind(id)
        .bind(reply.text.trim())
        .bind(reply.shared)
        .bind(by)
        .bind(millis(now))
        .bind(reply.stays_out)
        .execute(&self.write)
        .await?;
        if done.rows_affected() == 1 { Ok(()) } else { Err(StoreError::NotFound) }
    }

    /// Puts an answered question away from the coaches' list; whoever asked keeps it.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] where it is not there, waits for an answer or keeps something out.
    pub async fn put_away(&self, id: QuestionId, now: OffsetDateTime) -> Result<(), StoreError> {
        let done =
            sqlx::query("update questions set put_away_at = $2 where id = $1 and answered_at is not null and stays_out = 0")
                .bind(id)
                .bind(millis(now))
                .execute(&self.write)
                .await?;
        if done.rows_affected() == 1 { Ok(()) } else { Err(StoreError::NotFound) }
    }
}
