//! Puts the invented practice of [`crate::demo`] into an empty data file, in one transaction.

use super::ids::{GroupId, PersonId, SessionId, VersionId};
use super::people::{NewPerson, Role, Units, insert_person};
use super::{Store, StoreError, millis};
use crate::demo::{Logged, Member, Practice, Question, Unit, Version};
use crate::store::writer::Pen;
use crate::training::calendar::{self, Zone};
use crate::training::member::Level;
use crate::training::session::Session;
use time::{OffsetDateTime, Time};

/// What was read from the practice's texts, one entry for each session and result.
#[derive(Clone, Debug)]
pub struct Read {
    /// one a session
    pub sessions: Vec<Session>,
    /// one a result: the score as JSON, and what is doubted about it
    pub scores: Vec<(Option<String>, Option<String>)>,
}

impl Store {
    /// Nobody is in this practice yet.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn is_empty(&self) -> Result<bool, StoreError> {
        let people: i64 = sqlx::query_scalar("select count(*) from people").fetch_one(&self.read).await?;
        Ok(people == 0)
    }

    /// Inserts the demo; everybody signs in with the same password.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn fill(&self, demo: &Practice, read: &Read, password_hash: &str, now: OffsetDateTime) -> Result<(), StoreError> {
        let mut tx = self.begin().await?;
        let coach = NewPerson {
            role: Role::Coach,
            sign_in: demo.coach.email.clone(),
            name: demo.coach.name.clone(),
            password_hash: Some(password_hash.to_owned()),
            zone: Zone::named(&demo.coach.zone).unwrap_or_default(),
            units: Units::Kg,
        };
        let first = demo.members.iter().map(|m| m.joined).min().unwrap_or(now.date());
        let coach = insert_person(&mut tx, &coach, first.with_time(Time::MIDNIGHT).assume_utc()).await?;
        let groups = insert_groups(&mut tx, demo, now).await?;
        let mut members = Vec::new();
        for member in &demo.members {
            members.push(insert_member(&mut tx, member, &groups, password_hash).await?);
        }
        let sessions = insert_sessions(&mut tx, demo, read, &groups, coach).await?;
        for (logged, score) in demo.results.iter().zip(&read.scores) {
            insert_result(&mut tx, logged, score, &members, &sessions, demo).await?;
        }
        for question in &demo.questions {
            insert_question(&mut tx, question, &members, &sessions, read, coach).await?;
        }
        tx.commit().await?;
        Ok(())
    }
}

async fn insert_groups(tx: &mut Pen, demo: &Practice, now: OffsetDateTime) -> Result<Vec<GroupId>, StoreError> {
    let mut ids = Vec::new();
    for group in &demo.groups {
        let id = sqlx::query_scalar("insert into groups (name, about, created_at) values ($1, $2, $3) returning id")
            .bind(&group.name)
            .bind(&group.about)
            .bind(millis(now))
            .fetch_one(&mut *tx)
            .await?;
        ids.push(id);
    }
    Ok(ids)
}

async fn insert_member(tx: &mut Pen, member: &Member, groups: &[GroupId], password_hash: &str) -> Result<PersonId, StoreError> {
    let joined = member.joined.with_time(Time::MIDNIGHT).assume_utc();
    let new = NewPerson {
        role: Role::Member,
        sign_in: member.email.clone(),
        name: member.name.clone(),
        password_hash: Some(password_hash.to_owned()),
        zone: Zone::named(&member.zone).unwrap_or_default(),
        units: if member.unit == Unit::Lb { Units::Lb } else { Units::Kg },
    };
    let id = insert_person(tx, &new, joined).await?;
    let level = match member.profile.level {
        Level::Beginner => "beginner",
        Level::Intermediate => "intermediate",
        Level::Advanced => "advanced",
    };
    sqlx::query(
        "update people set nickname = $2, level = $3, load_column = $4, kit = $5, kit_checked_at = $6, avoid = $7, note = $8,
         shown = $9, cautions_version = 1, cautions_at = $6 where id = $1",
    )
    .bind(id)
    .bind(&member.nickname)
    .bind(level)
    .bind(member.profile.column.unwrap_or(1))
    .bind(serde_json::to_string(&member.profile.kit)?)
    .bind(millis(joined))
    .bind(serde_json::to_string(&member.profile.avoid)?)
    .bind(Some(member.about.trim()).filter(|a| !a.is_empty()))
    .bind(member.shown)
    .execute(&mut *tx)
    .await?;
    for &group in &member.groups {
        sqlx::query("insert into memberships (group_id, person_id, joined_at) values ($1, $2, $3)")
            .bind(groups[group])
            .bind(id)
            .bind(millis(joined))
            .execute(&mut *tx)
            .await?;
    }
    for max in &member.maxes {
        sqlx::query("insert into maxes (person_id, movement, kg, source, day, created_at) values ($1, $2, $3, $4, $5, $6)")
            .bind(id)
            .bind(&max.lift)
            .bind(max.kg)
            .bind(if max.tested { "tested" } else { "estimated" })
            .bind(calendar::iso(max.on))
            .bind(millis(max.on.with_time(Time::MIDNIGHT).assume_utc()))
            .execute(&mut *tx)
            .await?;
    }
    Ok(id)
}

type Places = Vec<(SessionId, Option<VersionId>)>;

async fn insert_sessions(
    tx: &mut Pen,
    demo: &Practice,
    read: &Read,
    groups: &[GroupId],
    coach: PersonId,
) -> Result<Places, StoreError> {
    let mut places = Vec::new();
    for (written, session) in demo.sessions.iter().zip(&read.sessions) {
        // written the Saturday before its week
        let at = millis((calendar::monday(written.date) - time::Duration::days(2)).with_time(Time::MIDNIGHT).assume_utc());
        let id: SessionId = sqlx::query_scalar(
            "insert into sessions (group_id, day, slot, draft, draft_edit, draft_at, video_url, created_at)
             values ($1, $2, 1, $3, 1, $4, $5, $4) returning id",
        )
        .bind(groups[written.group])
        .bind(calendar::iso(written.date))
        .bind(&written.text)
        .bind(at)
        .bind(&written.video)
        .fetch_one(&mut *tx)
        .await?;
        let version = if written.published { Some(insert_version(tx, id, session, coach, at).await?) } else { None };
        places.push((id, version));
    }
    Ok(places)
}

async fn insert_version(
    tx: &mut Pen,
    id: SessionId,
    session: &Session,
    coach: PersonId,
    at: i64,
) -> Result<VersionId, StoreError> {
    let version: VersionId = sqlx::query_scalar(
        "insert into session_versions (session_id, number, text, intents, reading, video_url, published_at, published_by)
         select id, 1, draft, draft_intents, $2, video_url, $3, $4 from sessions where id = $1 returning id",
    )
    .bind(id)
    .bind(serde_json::to_string(session)?)
    .bind(at)
    .bind(coach)
    .fetch_one(&mut *tx)
    .await?;
    sqlx::query("update sessions set live_version_id = $2 where id = $1").bind(id).bind(version).execute(&mut *tx).await?;
    Ok(version)
}

async fn insert_result(
    tx: &mut Pen,
    logged: &Logged,
    (score, doubt): &(Option<String>, Option<String>),
    members: &[PersonId],
    sessions: &Places,
    demo: &Practice,
) -> Result<(), StoreError> {
    let (session, Some(version)) = sessions[logged.session] else { return Ok(()) };
    let person = members[logged.member];
    let done = match logged.version {
        Version::Full => "full",
        Version::Lighter => "lighter",
        Version::Shorter => "shorter",
        Version::Adapted => "adapted",
    };
    let at = millis(logged.at);
    let client_id = format!("demo-{}-{}", logged.session, logged.part);
    let load_text = logged.load_kg.map(|kg| format!("{kg} kg")).unwrap_or_default();
    let result: i64 = sqlx::query_scalar(
        "insert into results (client_id, person_id, session_id, version_id, part, score_text, score, doubt, version_done,
         load_text, load_kg, minutes, rpe, note, hurt, done_on, created_at, updated_at, stands)
         values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $17, $5) returning id",
    )
    .bind(client_id)
    .bind(person)
    .bind(session)
    .bind(version)
    .bind(i64::try_from(logged.part).unwrap_or(0))
    .bind(&logged.text)
    .bind(score)
    .bind(doubt)
    .bind(done)
    .bind(load_text)
    .bind(logged.load_kg)
    .bind(f64::from(logged.minutes))
    .bind(f64::from(logged.rpe))
    .bind(&logged.note)
    .bind(&logged.hurt)
    .bind(calendar::iso(demo.sessions[logged.session].date))
    .bind(at)
    .fetch_one(&mut *tx)
    .await?;
    if let Some(hurt) = &logged.hurt {
        sqlx::query(
            "insert into questions (person_id, session_id, part, kind, result_id, text, asked_at)
             values ($1, $2, $3, 'pain', $4, $5, $6)",
        )
        .bind(person)
        .bind(session)
        .bind(i64::try_from(logged.part).unwrap_or(0))
        .bind(result)
        .bind(hurt)
        .bind(at)
        .execute(&mut *tx)
        .await?;
    }
    Ok(())
}

async fn insert_question(
    tx: &mut Pen,
    question: &Question,
    members: &[PersonId],
    sessions: &Places,
    read: &Read,
    coach: PersonId,
) -> Result<(), StoreError> {
    let place = question.line.and_then(|line| place_of(&read.sessions[question.session], line));
    let answered = question.answer.as_ref();
    sqlx::query(
        "insert into questions (person_id, session_id, part, line, text, asked_at, answer, answered_at, answered_by, shared)
         values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)",
    )
    .bind(members[question.member])
    .bind(sessions[question.session].0)
    .bind(place.map(|(part, _)| i64::try_from(part).unwrap_or(0)))
    .bind(place.map(|(_, line)| i64::try_from(line).unwrap_or(0)))
    .bind(&question.text)
    .bind(millis(question.asked))
    .bind(answered.map(|a| &a.text))
    .bind(answered.map(|a| millis(a.at)))
    .bind(answered.map(|_| coach))
    .bind(answered.is_some() && question.line.is_some())
    .execute(&mut *tx)
    .await?;
    Ok(())
}

/// Part and line (from 0) of what stands on this line of the write-up (from 1).
fn place_of(session: &Session, written: usize) -> Option<(usize, usize)> {
    let at = |(part, p): (usize, &crate::training::session::Part)| {
        let line = p.lines.iter().position(|l| l.at.is_some_and(|at| at.line == written))?;
        Some((part, line))
    };
    session.parts.iter().enumerate().find_map(at)
}
