//! A part keeps what stands on it when an edit of the session moves it, takes it out or brings it back.

use crate::log::{Floor, publish_again};
use crate::practice::{NOW, texts};
use crate::published::{slow_then_fast, timed};
use axum_test::TestResponse;
use dowel::store::ids::VersionId;
use dowel::store::weeks::ToPublish;
use dowel::training::dose::Amount;
use dowel::training::session::{Format, Line, Part, ScoreKind, Session};
use time::Duration;

/// The session with a scored part in front.
fn with_plank_first() -> Session {
    let mut session = slow_then_fast();
    let hold = Line { movement: "plank".to_owned(), seconds: Some(Amount::One(40.0)), ..Line::default() };
    let plank =
        Part { name: "Plank".to_owned(), format: Format::ForTime, score: ScoreKind::Time, lines: vec![hold], ..Part::default() };
    session.parts.insert(0, plank);
    session
}

fn without(part: usize) -> Session {
    let mut session = slow_then_fast();
    session.parts.remove(part);
    session
}

/// The times on a part's board.
async fn board(floor: &Floor, part: usize) -> Vec<String> {
    let page = floor.browser.get(&format!("/sessions/{}/parts/{part}/board", floor.at.id)).await;
    assert_eq!(page.status_code(), 200, "part {part}");
    times(&page)
}

fn times(page: &TestResponse) -> Vec<String> {
    let text = page.text();
    ["7:42", "6:30"].iter().filter(|t| text.contains(**t)).map(|t| (*t).to_owned()).collect()
}

async fn newest(floor: &Floor) -> VersionId {
    floor.practice.app.store.versions(floor.at.id).await.unwrap()[0].version_id
}

#[tokio::test]
async fn a_part_that_is_inserted_in_front_is_open_and_what_was_logged_stays_where_it_was_done() {
    let floor = Floor::new().await;
    floor.log(1, &[("score", "7:42"), ("version", "full"), ("shown", "on")]).await;
    publish_again(&floor, with_plank_first()).await;
    let page = floor.browser.get("/today").await;
    assert_eq!(texts(&page, "#s1p2 .state"), ["✓ 7:42"]);
    assert!(texts(&page, "#s1p1 .state").is_empty(), "the squats are as open as before");
    assert_eq!(texts(&page, "#s1p0 form.score").len(), 1, "and the plank can be logged");
    assert_eq!(
        (board(&floor, 2).await, board(&floor, 1).await.len(), board(&floor, 0).await.len()),
        (vec!["7:42".to_owned()], 0, 0)
    );
}

#[tokio::test]
async fn a_new_part_in_an_old_place_takes_a_result_of_its_own() {
    let floor = Floor::new().await;
    floor.log(1, &[("score", "7:42"), ("version", "full"), ("shown", "on")]).await;
    publish_again(&floor, with_plank_first()).await;
    floor.log(0, &[("score", "6:30"), ("version", "full"), ("shown", "on")]).await;
    assert_eq!(board(&floor, 0).await, ["6:30"]);
    assert_eq!(board(&floor, 2).await, ["7:42"]);
}

#[tokio::test]
async fn what_was_typed_before_the_edit_and_comes_after_it_finds_its_part() {
    let floor = Floor::new().await;
    let old = floor.at.version.to_string();
    publish_again(&floor, with_plank_first()).await;
    floor.post(1, &[("version_id", old.as_str()), ("score", "7:42"), ("client_id", "phone"), ("shown", "on")]).await;
    // and again, as a phone does that heard no answer
    floor.post(1, &[("version_id", old.as_str()), ("score", "7:42"), ("client_id", "phone"), ("shown", "on")]).await;
    assert_eq!(board(&floor, 2).await, ["7:42"]);
    assert!(board(&floor, 1).await.is_empty());
    assert_eq!(floor.practice.app.store.results_of_session(floor.at.id).await.unwrap().len(), 1);
}

#[tokio::test]
async fn a_second_log_from_the_page_of_before_is_a_change_of_the_same_result() {
    let floor = Floor::new().await;
    let old = floor.at.version.to_string();
    publish_again(&floor, with_plank_first()).await;
    floor.log(2, &[("score", "7:42"), ("version", "full"), ("shown", "on")]).await;
    floor.post(1, &[("version_id", old.as_str()), ("score", "6:30"), ("client_id", "phone"), ("shown", "on")]).await;
    assert_eq!(board(&floor, 2).await, ["6:30"]);
    assert_eq!(floor.practice.app.store.results_of_session(floor.at.id).await.unwrap().len(), 1);
}

#[tokio::test]
async fn a_part_that_is_taken_out_leaves_its_result_in_sight_and_gets_it_back() {
    let floor = Floor::new().await;
    floor.log(1, &[("score", "7:42"), ("version", "full"), ("shown", "on")]).await;
    publish_again(&floor, without(1)).await;
    let page = floor.browser.get("/today").await;
    assert!(
        texts(&page, "p.note").iter().any(|w| w.starts_with("You logged B. Ten rounds: 7:42.")),
        "{:?}",
        texts(&page, "p.note")
    );
    assert!(texts(&floor.browser.get("/history").await, "main")[0].contains("7:42"));
    assert!(board(&floor, 0).await.is_empty(), "the squats did not inherit it");
    publish_again(&floor, slow_then_fast()).await;
    assert_eq!(board(&floor, 1).await, ["7:42"]);
    assert_eq!(texts(&floor.browser.get("/today").await, "#s1p1 .state"), ["✓ 7:42"]);
}

#[tokio::test]
async fn parts_that_change_places_take_results_and_rules_along() {
    let floor = Floor::new().await;
    floor.log(0, &[("score", "24 kg"), ("version", "full"), ("shown", "on")]).await;
    floor.log(1, &[("score", "7:42"), ("version", "full"), ("shown", "on")]).await;
    let coach = floor.practice.as_person(floor.coach).await;
    let rules = format!("/sessions/{}/parts/1/board-rules", floor.at.id);
    let kept = coach
        .post(&rules)
        .form(&[("list", "versions"), ("attempts", "best"), ("tie", "none"), ("step", "0.5"), ("grace", "24")])
        .await;
    assert_eq!(kept.status_code(), 303, "{}", kept.text());
    let mut turned = slow_then_fast();
    turned.parts.reverse();
    publish_again(&floor, turned).await;
    let page = floor.browser.get("/today").await;
    assert_eq!(
        (texts(&page, "#s1p0 .state"), texts(&page, "#s1p1 .state")),
        (vec!["✓ 7:42".to_owned()], vec!["✓ 24 kg".to_owned()])
    );
    assert!(!texts(&page, "#s1p0 form.score").is_empty(), "the rounds may still be tried again");
    assert!(texts(&page, "#s1p1 form.score").is_empty(), "the squats may not");
}

#[tokio::test]
async fn what_is_too_heavy_stays_too_heavy_when_its_part_moves() {
    let floor = Floor::new().await;
    let said =
        floor.browser.post(&format!("/sessions/{}/parts/1/lines/0/change", floor.at.id)).form(&[("wish", "too_heavy")]).await;
    assert_eq!(said.status_code(), 303, "{}", said.text());
    publish_again(&floor, with_plank_first()).await;
    let wishes = floor.practice.app.store.wishes_of(floor.ines).await.unwrap();
    let told: Vec<_> = wishes[&floor.at.id].iter().map(|w| (w.part, w.line, w.movement.as_str())).collect();
    assert_eq!(told, [(2, 0, "push-up")]);
}

#[tokio::test]
async fn a_question_stays_at_its_line_when_its_part_moves() {
    let floor = Floor::new().await;
    let asked = [("part", "1"), ("line", "0"), ("text", "On the knees?")];
    floor.browser.post(&format!("/sessions/{}/questions", floor.at.id)).form(&asked).await;
    a_plank_comes_in_front(&floor).await;
    let page = floor.browser.get("/today").await;
    assert!(texts(&page, "#s1p2")[0].contains("On the knees?"));
    assert!(!texts(&page, "#s1p1")[0].contains("On the knees?"));
}

#[tokio::test]
async fn several_edits_in_a_row_are_followed_and_the_program_is_told_both_numbers() {
    let floor = Floor::new().await;
    floor.practice.app.store.log_result(floor.ines, &timed(floor.at, "a", "7:42", 462.0), NOW).await.unwrap();
    publish_again(&floor, with_plank_first()).await;
    let second = newest(&floor).await;
    publish_again(&floor, without(0)).await;
    let mut late = timed(floor.at, "b", "6:30", 390.0);
    (late.version_id, late.part) = (second, 2);
    floor.practice.app.store.log_result(floor.ines, &late, NOW).await.unwrap();
    assert_eq!(board(&floor, 0).await, ["6:30"], "both are of the rounds, which are the only part now");
    let all = floor.practice.app.store.results_of_session(floor.at.id).await.unwrap();
    assert_eq!(all.iter().map(|r| (r.version_id, r.part, r.stands)).collect::<Vec<_>>(), [(floor.at.version, 1, 0)]);
}

/// Says something of the first line of a part.
async fn say(floor: &Floor, part: usize, wish: &str) {
    let said =
        floor.browser.post(&format!("/sessions/{}/parts/{part}/lines/0/change", floor.at.id)).form(&[("wish", wish)]).await;
    assert_eq!(said.status_code(), 303, "{}", said.text());
}

/// A minute later the coach publishes the session with a part in front.
async fn a_plank_comes_in_front(floor: &Floor) {
    let store = &floor.practice.app.store;
    let draft_edit = store.slot_by_id(floor.at.id).await.unwrap().draft_edit;
    let again = ToPublish { id: floor.at.id, draft_edit, session: with_plank_first(), change_note: String::new() };
    store.publish(&[again], floor.coach, NOW + Duration::minutes(1)).await.unwrap();
    floor.practice.app.clock.set(NOW + Duration::minutes(2));
}

#[tokio::test]
async fn what_hurts_at_another_line_reaches_the_coach_though_it_has_the_place_of_the_first() {
    let floor = Floor::new().await;
    say(&floor, 1, "hurts").await;
    a_plank_comes_in_front(&floor).await;
    let open = async || {
        let asked = floor.practice.app.store.questions_of(floor.ines).await.unwrap();
        let mut said: Vec<String> = asked.into_iter().filter(|q| q.pain).map(|q| q.text).collect();
        said.sort();
        said
    };
    say(&floor, 1, "hurts").await;
    let both = open().await;
    assert_eq!(both.len(), 2, "{both:?}");
    say(&floor, 2, "hurts").await;
    assert_eq!(open().await, both, "the same line again is the same report");
}

#[tokio::test]
async fn what_was_too_heavy_is_still_so_for_a_log_on_the_page_of_before() {
    let floor = Floor::new().await;
    say(&floor, 1, "too_heavy").await;
    let old = floor.at.version.to_string();
    let form = [("version_id", old.as_str()), ("score", "7:42"), ("version", "adapted"), ("shown", "on")];
    let fitted = |given: Option<&serde_json::Value>| given.map(ToString::to_string).unwrap_or_default();
    floor.post(1, &form).await;
    let before = fitted(floor.results(1).await[0].given.as_ref());
    a_plank_comes_in_front(&floor).await;
    floor.post(1, &form).await;
    assert_eq!(fitted(floor.results(1).await[0].given.as_ref()), before);
    assert!(before.contains("movement"), "{before}");
}

/// The practice as a program of before parts were followed left it: everything stands under its own number.
async fn as_before_parts_were_followed(floor: &Floor) {
    let file = sqlx::sqlite::SqliteConnectOptions::new().filename(floor.practice.app.config.data.join("dowel.db"));
    let mut db = sqlx::ConnectOptions::connect(&file).await.unwrap();
    sqlx::query("update results set stands = part").execute(&mut db).await.unwrap();
    sqlx::query("update session_versions set stands = '[]'").execute(&mut db).await.unwrap();
}

#[tokio::test]
async fn what_an_older_program_left_behind_the_last_part_is_in_nobodys_way() {
    let floor = Floor::new().await;
    floor.log(0, &[("score", "24 kg"), ("version", "full"), ("shown", "on")]).await;
    floor.log(1, &[("score", "7:42"), ("version", "full"), ("shown", "on")]).await;
    publish_again(&floor, without(1)).await;
    as_before_parts_were_followed(&floor).await;
    let mut session = with_plank_first();
    session.parts.truncate(2);
    publish_again(&floor, session).await;
    let page = floor.browser.get("/today").await;
    assert_eq!(texts(&page, "#s1p1 .state"), ["\u{2713} 24 kg"]);
    assert!(texts(&page, "p.note").iter().any(|w| w.starts_with("You logged B. Ten rounds: 7:42.")));
    assert!(board(&floor, 1).await.is_empty());
}
