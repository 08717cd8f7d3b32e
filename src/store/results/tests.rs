use super::*;
use crate::store::changes::Since;
use crate::store::ids::GroupId;
use crate::store::people::{NewPerson, Role, Units};
use crate::store::weeks::ToPublish;
use crate::store::{Store, millis};
use crate::training::calendar::Zone;
use crate::training::standings::{Attempts, Policy};
use time::macros::{date, datetime};

mod at_once;

const NOW: OffsetDateTime = datetime!(2026-11-25 12:00 UTC);
const LATER: OffsetDateTime = datetime!(2026-11-25 13:00 UTC);
const DAY: Date = date!(2026 - 11 - 25);

struct Bench {
    store: Store,
    session: SessionId,
    version: VersionId,
    coach: PersonId,
    ines: PersonId,
    outsider: PersonId,
    _folder: tempfile::TempDir,
}

async fn session(store: &Store, group: GroupId, coach: PersonId, day: Date) -> (SessionId, VersionId) {
    let (id, draft_edit) = store.save_draft(group, day, 1, "typed", 0, NOW).await.unwrap();
    let session = Session { title: "Slow and strong".to_owned(), ..Session::default() };
    store.publish(&[ToPublish { id, draft_edit, session, change_note: String::new() }], coach, NOW).await.unwrap();
    (id, store.versions(id).await.unwrap()[0].version_id)
}

async fn bench() -> Bench {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("dowel.db")).await.unwrap();
    let person = |role, name: &str| NewPerson {
        role,
        sign_in: name.to_owned(),
        name: name.to_owned(),
        password_hash: None,
        zone: Zone::default(),
        units: Units::Kg,
    };
    let coach = store.add_person(&person(Role::Coach, "Mara"), NOW).await.unwrap();
    let ines = store.add_person(&person(Role::Member, "Ines"), NOW).await.unwrap();
    let outsider = store.add_person(&person(Role::Member, "Odo"), NOW).await.unwrap();
    let group = store.add_group("Harbour", "", NOW).await.unwrap();
    store.join_group(group, ines, NOW).await.unwrap();
    let (session, version) = session(&store, group, coach, DAY).await;
    Bench { store, session, version, coach, ines, outsider, _folder: folder }
}

impl Bench {
    fn result(&self, client_id: &str) -> NewResult {
        NewResult {
            client_id: client_id.to_owned(),
            session_id: self.session,
            version_id: self.version,
            part: 0,
            score_text: "7:42".to_owned(),
            score: None,
            doubt: None,
            version_done: "full".to_owned(),
            load_text: String::new(),
            load_kg: None,
            minutes: Some(8.0),
            rpe: Some(7.0),
            note: String::new(),
            hurt: None,
            given: None,
            done_on: DAY,
            edit: 0,
            hidden: false,
        }
    }

    async fn pain_questions(&self) -> Vec<String> {
        sqlx::query_scalar("select text from questions where kind = 'pain' order by id")
            .fetch_all(&self.store.read)
            .await
            .unwrap()
    }
}

#[tokio::test]
async fn a_double_tap_is_one_result() {
    let b = bench().await;
    let first = b.store.log_result(b.ines, &b.result("a"), NOW).await.unwrap();
    let again = b.store.log_result(b.ines, &b.result("a"), LATER).await.unwrap();
    assert_eq!(first, again);
    assert!(b.store.edits_of(first).await.unwrap().is_empty());
    assert_eq!(b.store.results_of_session(b.session).await.unwrap().len(), 1);
}

#[tokio::test]
async fn the_same_form_sent_again_with_pain_is_not_thrown_away() {
    let b = bench().await;
    let first = b.store.log_result(b.ines, &b.result("a"), NOW).await.unwrap();
    let hurt = NewResult { hurt: Some("left knee, sharp".to_owned()), ..b.result("a") };
    assert_eq!(b.store.log_result(b.ines, &hurt, LATER).await.unwrap(), first);
    assert_eq!(b.pain_questions().await, ["left knee, sharp"]);
    assert_eq!(b.store.edits_of(first).await.unwrap().len(), 1);
}

#[tokio::test]
async fn a_higher_edit_replaces_and_keeps_what_was_there() {
    let b = bench().await;
    let id = b.store.log_result(b.ines, &b.result("a"), NOW).await.unwrap();
    let newer = NewResult { score_text: "7:24".to_owned(), edit: 3, ..b.result("a") };
    b.store.log_result(b.ines, &newer, LATER).await.unwrap();
    let stands = b.store.result(b.ines, id).await.unwrap();
    assert_eq!((stands.logged.clone(), stands.created_at, stands.updated_at), (newer, NOW, LATER));
    let edits = b.store.edits_of(id).await.unwrap();
    assert_eq!((edits.len(), &edits[0].before, edits[0].by.as_deref()), (1, &b.result("a"), Some("Ines")));
}

/// What stands, and every earlier state, oldest first.
async fn story(b: &Bench, id: ResultId) -> Vec<String> {
    let edits = b.store.edits_of(id).await.unwrap();
    let stands = b.store.result(b.ines, id).await.unwrap().logged.score_text;
    edits.into_iter().rev().map(|e| e.before.score_text).chain([stands]).collect()
}

#[tokio::test]
async fn sent_in_any_order_and_any_number_of_times_it_is_one_result_with_the_last_edit() {
    let edit = |b: &Bench, n: i64| NewResult { score_text: format!("7:0{n}"), edit: 100 + n, ..b.result("a") };
    for order in [[1, 2, 3], [1, 3, 2], [2, 1, 3], [2, 3, 1], [3, 1, 2], [3, 2, 1]] {
        let b = bench().await;
        for n in order.into_iter().chain(order) {
            b.store.log_result(b.ines, &edit(&b, n), NOW).await.unwrap();
        }
        let all = b.store.results_of_session(b.session).await.unwrap();
        assert_eq!(all.len(), 1, "{order:?}");
        let told = story(&b, all[0].id).await;
        assert_eq!((told.len(), told[2].as_str()), (3, "7:03"), "{order:?}: {told:?}");
    }
}

#[tokio::test]
async fn a_second_page_of_the_same_part_edits_the_one_result() {
    let b = bench().await;
    let id = b.store.log_result(b.ines, &NewResult { edit: 10, ..b.result("a") }, NOW).await.unwrap();
    let second = NewResult { score_text: "7:24".to_owned(), edit: 20, ..b.result("b") };
    let first_again = NewResult { edit: 10, ..b.result("a") };
    for sent in [&second, &first_again, &second] {
        assert_eq!(b.store.log_result(b.ines, sent, LATER).await.unwrap(), id);
    }
    assert_eq!(story(&b, id).await, ["7:42", "7:24"]);
    let third = NewResult { score_text: "7:20".to_owned(), edit: 30, ..b.result("a") };
    b.store.log_result(b.ines, &third, LATER).await.unwrap();
    // the second page's own replay comes last and changes nothing
    b.store.log_result(b.ines, &second, LATER).await.unwrap();
    assert_eq!(story(&b, id).await, ["7:42", "7:24", "7:20"]);
}

#[tokio::test]
async fn what_was_typed_earlier_and_arrives_later_is_kept_as_an_earlier_state() {
    let b = bench().await;
    let id = b.store.log_result(b.ines, &NewResult { edit: 50, ..b.result("laptop") }, NOW).await.unwrap();
    let phone = NewResult { score_text: "8:00".to_owned(), edit: 40, ..b.result("phone") };
    for _ in 0..2 {
        assert_eq!(b.store.log_result(b.ines, &phone, LATER).await.unwrap(), id);
    }
    assert_eq!(story(&b, id).await, ["8:00", "7:42"]);
}

#[tokio::test]
async fn two_pages_at_once_make_one_result() {
    let b = bench().await;
    let (one, two) = (b.result("a"), b.result("b"));
    let (x, y) = tokio::join!(b.store.log_result(b.ines, &one, NOW), b.store.log_result(b.ines, &two, NOW));
    assert_eq!(x.unwrap(), y.unwrap());
}

#[tokio::test]
async fn a_change_that_changes_nothing_leaves_no_trace() {
    let b = bench().await;
    let id = b.store.log_result(b.ines, &b.result("a"), NOW).await.unwrap();
    b.store.edit_result(Editor::Owner(b.ines), id, &b.result("a"), LATER).await.unwrap();
    assert!(b.store.edits_of(id).await.unwrap().is_empty());
}

#[tokio::test]
async fn a_device_id_of_another_part_is_refused() {
    let b = bench().await;
    b.store.log_result(b.ines, &b.result("a"), NOW).await.unwrap();
    let other = NewResult { part: 1, edit: 9, ..b.result("a") };
    assert!(matches!(b.store.log_result(b.ines, &other, NOW).await, Err(StoreError::Stale)));
}

#[tokio::test]
async fn nobody_logs_on_a_session_of_a_group_they_are_not_in() {
    let b = bench().await;
    assert!(matches!(b.store.log_result(b.outsider, &b.result("a"), NOW).await, Err(StoreError::NotFound)));
}

#[tokio::test]
async fn somebody_elses_result_is_not_found() {
    let b = bench().await;
    let id = b.store.log_result(b.ines, &b.result("a"), NOW).await.unwrap();
    assert!(matches!(b.store.result(b.outsider, id).await, Err(StoreError::NotFound)));
    assert!(matches!(b.store.withdraw_result(b.outsider, id, NOW).await, Err(StoreError::NotFound)));
    let edit = b.store.edit_result(Editor::Owner(b.outsider), id, &b.result("a"), NOW).await;
    assert!(matches!(edit, Err(StoreError::NotFound)));
}

#[tokio::test]
async fn a_coach_corrects_a_result_and_the_reason_is_kept() {
    let b = bench().await;
    let id = b.store.log_result(b.ines, &b.result("a"), NOW).await.unwrap();
    let right = NewResult { score_text: "17:42".to_owned(), ..b.result("a") };
    b.store.edit_result(Editor::Coach(b.coach, "A minute was missing."), id, &right, LATER).await.unwrap();
    let edit = &b.store.edits_of(id).await.unwrap()[0];
    assert_eq!((edit.reason.as_str(), edit.edited_by), ("A minute was missing.", Some(b.coach)));
    assert_eq!(b.store.result_for_coach(id).await.unwrap().edit, millis(LATER), "as an edit at that time");
}

#[tokio::test]
async fn an_edit_that_comes_again_does_not_undo_the_coachs_correction() {
    let b = bench().await;
    let id = b.store.log_result(b.ines, &b.result("a"), NOW).await.unwrap();
    let typed = |text: &str, at: i64| NewResult { score_text: text.to_owned(), edit: millis(NOW) + at, ..b.result("a") };
    b.store.edit_result(Editor::Owner(b.ines), id, &typed("7:24", 2), NOW).await.unwrap();
    b.store.edit_result(Editor::Coach(b.coach, "By the video."), id, &typed("8:24", 0), LATER).await.unwrap();
    // its answer was lost, so the device sends it again, and then one that waited without a signal
    b.store.edit_result(Editor::Owner(b.ines), id, &typed("7:24", 2), LATER).await.unwrap();
    assert_eq!(story(&b, id).await, ["7:42", "7:24", "8:24"]);
    b.store.edit_result(Editor::Owner(b.ines), id, &typed("7:22", 5), LATER).await.unwrap();
    b.store.log_result(b.ines, &typed("7:21", 6), LATER).await.unwrap();
    assert_eq!(story(&b, id).await, ["7:42", "7:24", "7:22", "7:21", "8:24"]);
    // whoever saw the correction changes it
    b.store.edit_result(Editor::Owner(b.ines), id, &typed("8:20", 2 * 3_600_000), LATER).await.unwrap();
    assert_eq!(story(&b, id).await.last().unwrap(), "8:20");
}

#[tokio::test]
async fn without_a_counter_every_save_counts() {
    let b = bench().await;
    let typed = |text: &str| NewResult { score_text: text.to_owned(), ..b.result("a") };
    let id = b.store.log_result(b.ines, &typed("7:40"), NOW).await.unwrap();
    for text in ["7:41", "7:42", "7:43"] {
        b.store.log_result(b.ines, &typed(text), LATER).await.unwrap();
    }
    assert_eq!(story(&b, id).await, ["7:40", "7:41", "7:42", "7:43"]);
}

#[tokio::test]
async fn the_highest_counter_there_is_still_lets_a_coach_correct() {
    let b = bench().await;
    let id = b.store.log_result(b.ines, &NewResult { edit: i64::MAX, ..b.result("a") }, NOW).await.unwrap();
    let right = NewResult { score_text: "17:42".to_owned(), ..b.result("a") };
    b.store.edit_result(Editor::Coach(b.coach, "A minute was missing."), id, &right, LATER).await.unwrap();
    assert_eq!(story(&b, id).await, ["7:42", "17:42"]);
}

#[tokio::test]
async fn pain_opens_a_question_once() {
    let b = bench().await;
    let hurt = NewResult { hurt: Some("left knee".to_owned()), ..b.result("a") };
    b.store.log_result(b.ines, &hurt, NOW).await.unwrap();
    b.store.log_result(b.ines, &NewResult { edit: 1, ..hurt.clone() }, NOW).await.unwrap();
    assert_eq!(b.pain_questions().await, ["left knee"]);
    b.store.log_result(b.ines, &NewResult { edit: 2, hurt: Some(String::new()), ..hurt }, NOW).await.unwrap();
    assert_eq!(b.pain_questions().await, ["left knee", "Something hurt; where was not said."]);
}

#[tokio::test]
async fn pain_is_listed_until_it_is_taken_back() {
    let b = bench().await;
    let hurt = NewResult { hurt: Some("left knee".to_owned()), ..b.result("a") };
    let id = b.store.log_result(b.ines, &hurt, NOW).await.unwrap();
    assert_eq!(b.store.recent_pain(NOW).await.unwrap()[0].name, "Ines");
    assert!(b.store.recent_pain(LATER).await.unwrap().is_empty());
    b.store.withdraw_result(b.ines, id, LATER).await.unwrap();
    assert!(b.store.recent_pain(NOW).await.unwrap().is_empty());
}

#[tokio::test]
async fn a_result_that_was_taken_back_leaves_every_list_and_stays_its_owners() {
    let b = bench().await;
    let id = b.store.log_result(b.ines, &b.result("a"), NOW).await.unwrap();
    b.store.withdraw_result(b.ines, id, LATER).await.unwrap();
    assert!(b.store.results_of_session(b.session).await.unwrap().is_empty());
    assert!(b.store.results_of_person(b.ines, DAY, DAY).await.unwrap().is_empty());
    assert_eq!(b.store.result(b.ines, id).await.unwrap().withdrawn_at, Some(LATER));
}

#[tokio::test]
async fn history_is_paged_newest_day_first() {
    let b = bench().await;
    let days = [("a", date!(2026 - 11 - 23)), ("b", DAY), ("c", date!(2026 - 11 - 24)), ("d", DAY)];
    for (part, (client, day)) in days.into_iter().enumerate() {
        b.store.log_result(b.ines, &NewResult { part, done_on: day, ..b.result(client) }, NOW).await.unwrap();
    }
    let clients = |page: &[Logged]| page.iter().map(|l| l.result.client_id.clone()).collect::<Vec<_>>();
    let first = b.store.history(b.ines, None, 3).await.unwrap();
    assert_eq!(clients(&first), ["d", "b", "c"]);
    assert_eq!((first[0].session.title.as_str(), first[0].day), ("Slow and strong", DAY));
    let last = first.last().map(|l| (l.result.done_on, l.result.id));
    assert_eq!(clients(&b.store.history(b.ines, last, 3).await.unwrap()), ["a"]);
}

#[tokio::test]
async fn a_person_who_is_not_shown_has_no_shown_result() {
    let b = bench().await;
    let id = b.store.log_result(b.ines, &b.result("a"), NOW).await.unwrap();
    assert!(b.store.result(b.ines, id).await.unwrap().shown);
    let person = b.store.person(b.ines).await.unwrap();
    b.store.save_person(&crate::store::people::Person { shown: false, ..person }).await.unwrap();
    assert!(!b.store.result(b.ines, id).await.unwrap().shown);
}

#[tokio::test]
async fn two_tabs_at_once_make_one_result_and_lose_nothing() {
    let b = bench().await;
    let (one, two) = (b.result("a"), NewResult { score_text: "7:24".to_owned(), ..b.result("b") });
    let (first, second) = tokio::join!(b.store.log_result(b.ines, &one, NOW), b.store.log_result(b.ines, &two, NOW));
    let id = first.unwrap();
    assert_eq!(id, second.unwrap());
    assert_eq!(b.store.results_of_session(b.session).await.unwrap().len(), 1);
    let mut seen = vec![b.store.result(b.ines, id).await.unwrap().score_text.clone()];
    seen.extend(b.store.edits_of(id).await.unwrap().into_iter().map(|e| e.before.score_text));
    seen.sort();
    assert_eq!(seen, ["7:24", "7:42"]);
}

#[tokio::test]
async fn the_database_itself_refuses_a_second_result_where_one_is_allowed() {
    let b = bench().await;
    b.store.log_result(b.ines, &b.result("a"), NOW).await.unwrap();
    let copy =
        "insert into results (client_id, person_id, session_id, version_id, part, score_text, done_on, created_at, updated_at)
        select 'other', person_id, session_id, version_id, part, score_text, done_on, created_at, updated_at from results";
    let refused = sqlx::query(copy).execute(&b.store.write).await.unwrap_err();
    assert!(refused.as_database_error().is_some_and(|e| e.is_unique_violation()), "{refused}");
}

#[tokio::test]
async fn where_more_attempts_are_allowed_each_is_a_result_and_another_tab_too() {
    let b = bench().await;
    let policy = Policy { attempts: Attempts::Best, ..Policy::default() };
    b.store.save_part_rules(b.session, 0, Some(&policy), b.coach, NOW).await.unwrap();
    for client in ["a", "b", "a"] {
        b.store.log_result(b.ines, &b.result(client), NOW).await.unwrap();
    }
    let attempts: Vec<u32> = b.store.board_rows(b.session, 0).await.unwrap().iter().map(|r| r.attempt).collect();
    assert_eq!(attempts, [1, 2]);
}

#[tokio::test]
async fn a_result_that_was_taken_back_comes_back_beside_nothing_and_into_what_stands() {
    let b = bench().await;
    let id = b.store.log_result(b.ines, &b.result("a"), NOW).await.unwrap();
    b.store.withdraw_result(b.ines, id, NOW).await.unwrap();
    let other = b.store.log_result(b.ines, &b.result("b"), NOW).await.unwrap();
    assert_ne!(id, other);
    let late = NewResult { score_text: "7:24".to_owned(), edit: 5, ..b.result("a") };
    assert_eq!(b.store.log_result(b.ines, &late, LATER).await.unwrap(), other);
    let standing = b.store.results_of_session(b.session).await.unwrap();
    assert_eq!((standing.len(), standing[0].score_text.as_str()), (1, "7:24"));
}

#[tokio::test]
async fn whoever_left_or_was_taken_out_of_the_group_is_on_no_board() {
    let b = bench().await;
    b.store.log_result(b.ines, &b.result("a"), NOW).await.unwrap();
    let group = b.store.groups_of(b.ines).await.unwrap()[0].id;
    let rows = async || b.store.board_rows(b.session, 0).await.unwrap().len();
    assert_eq!(rows().await, 1);
    b.store.leave_group(group, b.ines).await.unwrap();
    assert_eq!(rows().await, 0);
    b.store.join_group(group, b.ines, NOW).await.unwrap();
    b.store.end_membership(b.ines, NOW).await.unwrap();
    assert_eq!(rows().await, 0);
    b.store.resume_membership(b.ines).await.unwrap();
    assert_eq!(rows().await, 1);
}

#[tokio::test]
async fn every_change_that_a_board_could_show_is_told() {
    let b = bench().await;
    let nothing = Since::Some { results: vec![], people: vec![] };
    let mut mark = b.store.changes().mark();
    let mut told = |what: &str| {
        assert_ne!(b.store.changes().on_board(b.session, mark), nothing, "{what}");
        mark = b.store.changes().mark();
        assert_eq!(b.store.changes().on_board(b.session, mark), nothing, "after {what}");
    };
    let id = b.store.log_result(b.ines, &b.result("a"), NOW).await.unwrap();
    told("logged");
    b.store.edit_result(Editor::Owner(b.ines), id, &NewResult { hidden: true, ..b.result("a") }, NOW).await.unwrap();
    told("hidden");
    let person = b.store.person(b.ines).await.unwrap();
    b.store.save_person(&crate::store::people::Person { nickname: Some("Oak".to_owned()), ..person }).await.unwrap();
    told("another name");
    b.store.end_membership(b.ines, NOW).await.unwrap();
    told("left");
    b.store.withdraw_result(b.ines, id, NOW).await.unwrap();
    told("taken back");
}
