//! A published session for tests of what happens after it.

use crate::practice::{NOW, Practice};
use dowel::store::ids::{GroupId, PersonId, ResultId, SessionId, VersionId};
use dowel::store::results::NewResult;
use dowel::store::weeks::ToPublish;
use dowel::training::dose::Amount;
use dowel::training::session::{Format, Line, Part, ScoreKind, Session};
use time::Date;
use time::macros::date;

pub const DAY: Date = date!(2026 - 11 - 25);

#[derive(Clone, Copy)]
pub struct Place {
    pub id: SessionId,
    pub version: VersionId,
}

/// Two parts: heavy squats without a clock, then ten rounds of two movements for time.
#[must_use]
pub fn slow_then_fast() -> Session {
    let line =
        |movement: &str, reps: f64| Line { movement: movement.to_owned(), reps: Some(Amount::One(reps)), ..Line::default() };
    let squats = Part {
        name: "Squats".to_owned(),
        label: Some("A".to_owned()),
        format: Format::Sets,
        rounds: Some(Amount::One(5.0)),
        score: ScoreKind::Load,
        lines: vec![line("goblet squat", 3.0)],
        ..Part::default()
    };
    let fast = Part {
        name: "Ten rounds".to_owned(),
        label: Some("B".to_owned()),
        format: Format::ForTime,
        rounds: Some(Amount::One(10.0)),
        time_cap_s: Some(900.0),
        score: ScoreKind::Time,
        lines: vec![line("push-up", 8.0), line("air squat", 12.0)],
        ..Part::default()
    };
    Session { title: "Slow, then fast".to_owned(), parts: vec![squats, fast], ..Session::default() }
}

/// Publishes a session on a day of a group.
pub async fn publish(practice: &Practice, group: GroupId, coach: PersonId, day: Date, session: Session) -> Place {
    let store = &practice.app.store;
    let (id, draft_edit) = store.save_draft(group, day, 1, "typed", 0, NOW).await.unwrap();
    store.publish(&[ToPublish { id, draft_edit, session, change_note: String::new() }], coach, NOW).await.unwrap();
    Place { id, version: store.versions(id).await.unwrap()[0].version_id }
}

/// A result of the timed part, to be changed with `..`.
#[must_use]
pub fn timed(at: Place, client_id: &str, text: &str, seconds: f64) -> NewResult {
    NewResult {
        client_id: client_id.to_owned(),
        session_id: at.id,
        version_id: at.version,
        part: 1,
        score_text: text.to_owned(),
        score: Some(serde_json::json!({ "kind": "time", "seconds": seconds })),
        doubt: None,
        version_done: "full".to_owned(),
        load_text: String::new(),
        load_kg: None,
        minutes: None,
        rpe: None,
        note: String::new(),
        hurt: None,
        given: None,
        done_on: DAY,
        edit: 1,
        hidden: false,
    }
}

/// Logs it now.
pub async fn log(practice: &Practice, who: PersonId, new: &NewResult) -> ResultId {
    practice.app.store.log_result(who, new, NOW).await.unwrap()
}
