//! The store as a whole. Every query that touches results, boards, the review and questions goes by an index: nothing is read through as history
//! grows. The statements are those that the functions send, taken from the library's own log while they run.

#![allow(clippy::unwrap_used, missing_docs, reason = "a test says what it expects by unwrapping")]

use dowel::store::decisions::{Decided, NewDecision};
use dowel::store::ids::{GroupId, PersonId, ResultId, SessionId, VersionId};
use dowel::store::people::{NewPerson, Person, Role, Units};
use dowel::store::questions::{NewQuestion, Reply};
use dowel::store::results::{Editor, NewResult};
use dowel::store::weeks::ToPublish;
use dowel::store::{Store, StoreError};
use dowel::training::calendar::Zone;
use dowel::training::session::Session;
use dowel::training::standings::Policy;
use sqlx::SqlitePool;
use sqlx::sqlite::SqliteConnectOptions;
use std::collections::BTreeSet;
use std::sync::{Arc, Mutex};
use time::macros::{date, datetime};
use time::{Duration, OffsetDateTime};
use tracing::field::{Field, Visit};
use tracing_subscriber::Layer;
use tracing_subscriber::layer::{Context, SubscriberExt};

const NOW: OffsetDateTime = datetime!(2026-11-25 12:00 UTC);

/// Tables that grow with every day of training.
const BIG: [&str; 8] =
    ["results", "result_edits", "seen_results", "nods", "questions", "session_versions", "sessions", "memberships"];

/// Indexes that hold only what waits for somebody; to go through one of them is to go through what waits.
const SMALL: [&str; 2] = ["questions_open", "results_in_doubt"];

/// Keeps what `sqlx` logs as sent.
#[derive(Clone, Default)]
struct Sent(Arc<Mutex<BTreeSet<String>>>);

struct Words(Option<String>, Option<String>);

impl Visit for Words {
    fn record_str(&mut self, field: &Field, value: &str) {
        match field.name() {
            "summary" => self.0 = Some(value.to_owned()),
            "db.statement" => self.1 = Some(value.to_owned()).filter(|s| !s.trim().is_empty()),
            _ => {}
        }
    }

    fn record_debug(&mut self, field: &Field, value: &dyn std::fmt::Debug) {
        self.record_str(field, &format!("{value:?}"));
    }
}

impl<S: tracing::Subscriber> Layer<S> for Sent {
    fn on_event(&self, event: &tracing::Event<'_>, _: Context<'_, S>) {
        if event.metadata().target() == "sqlx::query" {
            let mut words = Words(None, None);
            event.record(&mut words);
            // a short statement is its own summary
            if let Some(statement) = words.1.or(words.0) {
                self.0.lock().unwrap().insert(statement.split_whitespace().collect::<Vec<_>>().join(" "));
            }
        }
    }
}

fn result(session: SessionId, version: VersionId) -> NewResult {
    NewResult {
        client_id: "a".to_owned(),
        session_id: session,
        version_id: version,
        part: 0,
        score_text: "7:42".to_owned(),
        score: None,
        doubt: None,
        version_done: "full".to_owned(),
        load_text: String::new(),
        load_kg: None,
        minutes: Some(8.0),
        rpe: Some(7.0),
        note: "fine".to_owned(),
        hurt: Some("knee".to_owned()),
        given: None,
        done_on: date!(2026 - 11 - 25),
        edit: 0,
        hidden: false,
    }
}

/// Runs every function that asks about results, boards, the review and questions.
async fn everything(store: &Store) -> Result<(), StoreError> {
    let person = |role, name: &str| NewPerson {
        role,
        sign_in: name.to_owned(),
        name: name.to_owned(),
        password_hash: None,
        zone: Zone::default(),
        units: Units::Kg,
    };
    let day = date!(2026 - 11 - 25);
    let coach = store.add_person(&person(Role::Coach, "Mara"), NOW).await?;
    let ines = store.add_person(&person(Role::Member, "Ines"), NOW).await?;
    let group = store.add_group("Harbour", "", NOW).await?;
    store.join_group(group, ines, NOW).await?;
    let (session, draft_edit) = store.save_draft(group, day, 1, "typed", 0, NOW).await?;
    let publish = ToPublish { id: session, draft_edit, session: Session::default(), change_note: String::new() };
    store.publish(&[publish], coach, NOW).await?;
    let version = store.versions(session).await?[0].version_id;
    let new = result(session, version);
    let id = store.log_result(ines, &new, NOW).await?;
    store.log_result(ines, &NewResult { client_id: "b".to_owned(), edit: 2, ..new.clone() }, NOW).await?;
    store.edit_result(Editor::Coach(coach, "why"), id, &NewResult { edit: 3, ..new.clone() }, NOW).await?;
    store.toggle_nod(id, coach, NOW).await?;
    boards(store, (group, session, id), &[ines, coach]).await?;
    review(store, (session, id), &[ines, coach]).await?;
    store.withdraw_result(ines, id, NOW).await?;
    store.log_result(ines, &NewResult { score_text: "8:00".to_owned(), edit: 9, ..new }, NOW).await?;
    Ok(())
}

async fn boards(
    store: &Store,
    (group, session, id): (GroupId, SessionId, ResultId),
    people: &[PersonId],
) -> Result<(), StoreError> {
    let (ines, coach, day) = (people[0], people[1], date!(2026 - 11 - 25));
    store.board_rows(session, 0).await?;
    store.board_rows_by_id(&[id.0]).await?;
    store.board_rows_of(session, 0, &[ines.0]).await?;
    store.lets_try_again(session).await?;
    store.group_ids_of(ines).await?;
    store.crowded_parts(day, 1).await?;
    store.nods_at(&[id], ines).await?;
    store.save_group_rules(group, &Policy::default(), coach, NOW).await?;
    store.save_part_rules(session, 0, Some(&Policy::default()), coach, NOW).await?;
    store.board_rules(group, session, 0).await?;
    store.save_part_rules(session, 0, None, coach, NOW).await?;
    store.group_rules(group).await?;
    store.live_beside(session, day).await?;
    store.live_in_week(group, day).await?;
    store.live_for(ines, session).await?;
    store.result(ines, id).await?;
    store.result_for_coach(id).await?;
    store.edits_of(id).await?;
    store.taken_back_beside(&store.result(ines, id).await?).await?;
    store.corrections(ines, &[id]).await?;
    store.results_of_session(session).await?;
    store.results_on(ines, day).await?;
    store.days_done(ines, day, day).await?;
    store.results_of_person(ines, day, day).await?;
    store.history(ines, None, 30).await?;
    store.lifted_by(ines).await?;
    store.recent_pain(NOW - Duration::days(1)).await?;
    store.week_results(group, day).await?;
    store.week_loggers(group, day).await?;
    store.maxes_of(ines).await?;
    store.known_maxes(ines).await?;
    Ok(())
}

async fn review(store: &Store, (session, id): (SessionId, ResultId), people: &[PersonId]) -> Result<(), StoreError> {
    let (ines, coach, day) = (people[0], people[1], date!(2026 - 11 - 25));
    store.doubtful_results(10).await?;
    store.first_results(NOW - Duration::days(14)).await?;
    store.noted_results(NOW - Duration::days(14), 10).await?;
    store.rated_results(NOW - Duration::days(7)).await?;
    store.mark_seen(id, coach, NOW).await?;
    store.quiet_members(day, 5, NOW).await?;
    store.save_limits(ines, &[], Some("my knee")).await?;
    store.undecided_words().await?;
    let new = NewDecision { words: "my knee", decided: &Decided::Hold, said: "", answer: "No." };
    store.decide(ines, &new, coach, NOW).await?;
    store.standing_decisions(ines).await?;
    store.decisions_of(ines).await?;
    store.take_decision_back(ines, false).await?;
    store.spoke_with(ines, coach, NOW).await?;
    let asked = NewQuestion {
        session_id: session,
        version: None,
        part: None,
        line: None,
        text: "Why?".to_owned(),
        client_id: Some("q".to_owned()),
    };
    let question = store.ask(ines, &asked, NOW).await?;
    store.questions_of(ines).await?;
    store.questions_about(ines, session).await?;
    store.shared_about_copies(ines, session).await?;
    store.copy_week((GroupId(1), date!(2026 - 11 - 23)), (GroupId(1), date!(2026 - 11 - 30)), NOW).await?;
    store.open_questions().await?;
    store.question(question).await?;
    store.answer(question, Reply { text: "So.", shared: true, stays_out: false }, coach, NOW).await?;
    store.answered_questions(10).await?;
    store.put_away(question, NOW).await?;
    let person = store.person(ines).await?;
    store.save_person(&Person { nickname: Some("Ivy".to_owned()), ..person }).await
}

/// The table that a name in a plan stands for: itself, or the one of which it is another name.
fn table<'a>(name: &'a str, statement: &'a str) -> &'a str {
    let words: Vec<&str> = statement.split(|c: char| !c.is_alphanumeric() && c != '_').filter(|w| !w.is_empty()).collect();
    let named = words.windows(2).find(|w| w[1] == name && BIG.contains(&w[0])).map(|w| w[0]);
    named.unwrap_or(name)
}

#[tokio::test]
async fn nothing_is_read_through_as_history_grows() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("dowel.db");
    let sent = Sent::default();
    // statements are sent from threads of their own: whoever listens listens to all of this program
    tracing::subscriber::set_global_default(tracing_subscriber::registry().with(sent.clone())).unwrap();
    let store = Store::open(&file).await.unwrap();
    sent.0.lock().unwrap().clear();
    everything(&store).await.unwrap();
    let statements = sent.0.lock().unwrap().clone();
    let asks = |s: &&String| ["select", "with", "insert", "update", "delete"].iter().any(|w| s.to_lowercase().starts_with(w));
    let statements: Vec<&String> = statements.iter().filter(asks).collect();
    assert!(statements.len() >= 40, "only {} statements were heard", statements.len());
    let pool = SqlitePool::connect_with(SqliteConnectOptions::new().filename(&file)).await.unwrap();
    let mut wrong = Vec::new();
    for statement in statements {
        let explain = sqlx::AssertSqlSafe(format!("explain query plan {statement}"));
        let plan: Vec<(i64, i64, i64, String)> = sqlx::query_as(explain).fetch_all(&pool).await.unwrap();
        for (.., line) in plan {
            let Some(rest) = line.strip_prefix("SCAN ") else { continue };
            let name = rest.split_whitespace().next().unwrap_or_default();
            // a plan also names tables whose rows point here: they are read only while a promise between tables is broken
            let asked = statement.split(|c: char| !c.is_alphanumeric() && c != '_').any(|w| w == name);
            if asked && BIG.contains(&table(name, statement)) && !SMALL.iter().any(|index| line.contains(index)) {
                wrong.push(format!("{line}: {statement}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
