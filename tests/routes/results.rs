//! What a result says after it was logged: over the cap, changed for its member, asked about, of a part that is gone.

use crate::log::{Floor, publish_again};
use crate::practice::{attributes, location, texts};
use crate::published::{DAY, log, publish, slow_then_fast, timed};
use dowel::store::results::NewResult;
use dowel::training::dose::Amount;
use dowel::training::session::{Format, Line, Part, Place as WriteUpPlace, ScoreKind, Session};
use serde_json::json;
use time::Duration;

/// Ines logged this time of the part under a cap of 15 minutes.
async fn typed(score: &str) -> (Floor, i64) {
    let floor = Floor::new().await;
    floor.log(1, &[("score", score), ("version", "full"), ("shown", "on")]).await;
    let id = floor.results(1).await[0].id.0;
    (floor, id)
}

fn board(floor: &Floor, part: usize) -> String {
    format!("/sessions/{}/parts/{part}/board", floor.at.id)
}

#[tokio::test]
async fn a_time_over_the_cap_is_confirmed_in_one_tap_and_listed_and_marked_for_the_coach() {
    let (floor, id) = typed("16:20").await;
    let page = floor.browser.get("/today").await;
    let answers = attributes(&page, "#s1p1 .notice button[name=score]", "value");
    assert_eq!(answers, ["16:20 over the cap"]);
    let response = floor.browser.post(&format!("/results/{id}/answer")).form(&[("score", answers[0].as_str())]).await;
    assert_eq!(response.status_code(), 303);
    assert_eq!(texts(&floor.browser.get("/today").await, "#s1p1 .state"), ["? 16:20"]);
    let seen = floor.browser.get(&board(&floor, 1)).await;
    assert_eq!((texts(&seen, "#listed .rank"), texts(&seen, "#held").len()), (vec![String::new()], 0));
    assert!(texts(&seen, "#listed .why p")[0].contains("over the cap of 15:00"), "{:?}", texts(&seen, "#listed .why p"));
    let coach = floor.practice.as_person(floor.coach).await;
    assert!(texts(&coach.get("/review").await, "#odd .entry")[0].contains("over the cap of 15:00"));
}

#[tokio::test]
async fn who_was_capped_after_all_says_at_how_many_reps() {
    let (floor, id) = typed("16:20").await;
    assert_eq!(texts(&floor.browser.get(&format!("/results/{id}")).await, "#question label"), ["Reps done at the cap"]);
    floor.browser.post(&format!("/results/{id}/answer")).form(&[("at_cap", "180")]).await;
    assert_eq!(texts(&floor.browser.get("/today").await, "#s1p1 .state"), ["✓ capped at 180 reps"]);
    let before = &floor.practice.app.store.edits_of(floor.results(1).await[0].id).await.unwrap()[0].before;
    assert_eq!(before.score_text, "16:20", "what was typed first is kept");
}

#[tokio::test]
async fn words_at_the_cap_that_are_no_number_come_back() {
    let (floor, id) = typed("16:20").await;
    let back = floor.browser.post(&format!("/results/{id}/answer")).form(&[("at_cap", "lots")]).await;
    assert_eq!(back.status_code(), 422);
    assert_eq!(floor.results(1).await[0].score_text, "16:20");
}

/// Sets without a score: squats, which some do as split squats.
fn plain_sets() -> Session {
    let mut session = slow_then_fast();
    session.parts[0].score = ScoreKind::None;
    session
}

/// Split squats with a dumbbell in the place of the squats, ticked off.
fn split_squats(floor: &Floor) -> NewResult {
    let given = json!([[{ "movement": "split squat", "reps": 8, "side": "per side", "load": { "kg": [12.0] } }]]);
    let done = Some(json!({ "kind": "done" }));
    let new = timed(floor.at, "sets", "done", 0.0);
    NewResult { part: 0, score: done, version_done: "adapted".to_owned(), given: Some(given), ..new }
}

#[tokio::test]
async fn sets_that_were_changed_say_reps_and_load_on_the_day_the_board_and_in_history() {
    let floor = Floor::with(plain_sets()).await;
    log(&floor.practice, floor.ines, &split_squats(&floor)).await;
    let said = "5 x 8 per side at 12 kg, done";
    assert_eq!(texts(&floor.browser.get("/today").await, "#s1p0 .state"), [format!("✓ {said}")]);
    assert_eq!(texts(&floor.browser.get(&board(&floor, 0)).await, "#listed .result"), [said]);
    assert!(texts(&floor.browser.get("/history").await, ".entry")[0].contains(said));
}

#[tokio::test]
async fn the_day_says_what_was_given_when_it_was_logged_and_not_what_would_be_now() {
    let floor = Floor::with(plain_sets()).await;
    log(&floor.practice, floor.ines, &split_squats(&floor)).await;
    let page = floor.browser.get("/today").await;
    assert_eq!(texts(&page, "#s1p0 .notice li"), ["8 split squat, per side, 12 kg"]);
    assert!(texts(&page, "#s1p0 .lines")[0].contains("squat"), "what it would be now stands below");
}

#[tokio::test]
async fn where_lines_were_left_out_the_board_and_the_day_say_how_much_was_done() {
    let floor = Floor::new().await;
    let given = json!([[], [{ "movement": "reverse lunge", "reps": 12 }]]);
    let some = NewResult { version_done: "adapted".to_owned(), given: Some(given), ..timed(floor.at, "a", "3:40", 220.0) };
    log(&floor.practice, floor.ines, &some).await;
    let page = floor.browser.get(&board(&floor, 1)).await;
    assert_eq!(texts(&page, "#listed .how"), ["adapted: reverse lunge, 1 of 2 lines"]);
    assert!(texts(&page, "#listed .why p")[0].contains("1 of 2 lines done, with reverse lunge"));
    let day = texts(&floor.browser.get("/today").await, "#s1p1 .notice p");
    assert!(day[0].contains("changed for you, 1 of 2 lines"), "{day:?}");
}

#[tokio::test]
async fn what_is_asked_about_is_marked_for_its_owner_and_the_coach_alone_and_keeps_its_place() {
    let (floor, _) = typed("0:20").await;
    let odo = floor.practice.member("Odo", floor.practice.app.store.groups().await.unwrap()[0].id).await;
    for (reader, mark) in [(floor.ines, 1), (floor.coach, 1), (odo, 0)] {
        let page = floor.practice.as_person(reader).await.get(&board(&floor, 1)).await;
        assert_eq!(texts(&page, ".place .chip.ask").len(), mark);
        assert_eq!(texts(&page, ".rank"), ["Place 1"]);
    }
    let own = floor.practice.as_person(floor.ines).await.get(&board(&floor, 1)).await;
    assert!(texts(&own, ".place .why")[0].contains("Even the fastest"), "{:?}", texts(&own, ".place"));
}

#[tokio::test]
async fn a_held_result_is_marked_as_waiting() {
    let (floor, _) = typed("16:20").await;
    let page = floor.browser.get(&board(&floor, 1)).await;
    assert_eq!(texts(&page, "#held .chip.ask"), ["waits for an answer"]);
}

#[tokio::test]
async fn the_board_of_a_part_that_was_taken_out_says_so_and_leads_to_the_day_and_to_what_was_logged() {
    let (floor, id) = typed("7:42").await;
    let mut without = slow_then_fast();
    without.parts.remove(1);
    publish_again(&floor, without).await;
    let page = floor.browser.get(&board(&floor, 1)).await;
    assert_eq!(page.status_code(), 410);
    let said = texts(&page, "main").remove(0);
    for words in ["B. Ten rounds was taken out of this session, today", "7:42", "history"] {
        assert!(said.contains(words), "{words} in {said}");
    }
    let links = attributes(&page, "main a", "href");
    assert!(links.contains(&"/days/2026-11-25".to_owned()) && links.contains(&format!("/results/{id}")), "{links:?}");
    assert!(texts(&floor.browser.get("/history").await, ".entry")[0].contains("7:42"));
    assert_eq!(floor.browser.get(&board(&floor, 7)).await.status_code(), 404, "there never was such a part");
}

#[tokio::test]
async fn the_board_of_a_part_that_moved_leads_to_where_it_is() {
    let (floor, _) = typed("7:42").await;
    let mut without = slow_then_fast();
    without.parts.remove(0);
    publish_again(&floor, without).await;
    let response = floor.browser.get(&board(&floor, 1)).await;
    assert_eq!((response.status_code().as_u16(), location(&response)), (303, board(&floor, 0)));
}

#[tokio::test]
async fn a_part_that_only_stands_on_another_line_of_the_write_up_keeps_its_places() {
    let (floor, _) = typed("7:42").await;
    let mut moved = slow_then_fast();
    moved.parts[1].said = vec![WriteUpPlace { line: 12, column: 1, length: 16 }];
    publish_again(&floor, moved).await;
    assert_eq!(texts(&floor.browser.get(&board(&floor, 1)).await, ".rank"), ["Place 1"]);
}

#[tokio::test]
async fn a_question_from_the_page_of_before_stays_with_its_part() {
    let floor = Floor::new().await;
    let old = floor.at.version.to_string();
    let mut plank_first = slow_then_fast();
    let hold = Line { movement: "plank".to_owned(), seconds: Some(Amount::One(40.0)), ..Line::default() };
    plank_first.parts.insert(0, Part { name: "Plank".to_owned(), lines: vec![hold], ..Part::default() });
    publish_again(&floor, plank_first).await;
    let ask = format!("/sessions/{}/questions", floor.at.id);
    let page = floor.browser.get(&format!("{ask}?version={old}&part=1&line=0")).await;
    assert!(texts(&page, ".head p")[1].contains("B. Ten rounds: push-up"), "{:?}", texts(&page, ".head p"));
    assert_eq!(attributes(&page, "input[name=version]", "value").join(" "), old);
    let form = [("version", old.as_str()), ("part", "1"), ("line", "0"), ("text", "On the knees?")];
    assert_eq!(floor.browser.post(&ask).form(&form).await.status_code(), 303);
    let page = floor.browser.get("/today").await;
    assert!(texts(&page, "#s1p2")[0].contains("On the knees?"));
    assert!(!texts(&page, "#s1p1")[0].contains("On the knees?"));
    let coach = floor.practice.as_person(floor.coach).await;
    assert!(texts(&coach.get("/questions").await, ".entry")[0].contains("B. Ten rounds: push-up"));
}

/// A session whose second part is nobody's business but its own group's.
fn secret() -> Session {
    let mut session = slow_then_fast();
    session.parts[1].name = "Secret hang".to_owned();
    session
}

#[tokio::test]
async fn the_version_of_another_session_or_group_is_no_page_of_before() {
    let floor = Floor::new().await;
    let own = floor.practice.app.store.groups_of(floor.ines).await.unwrap()[0].id;
    let other = floor.practice.group("Lighthouse").await;
    let tomorrow = publish(&floor.practice, own, floor.coach, DAY + Duration::days(1), secret()).await;
    let theirs = publish(&floor.practice, other, floor.coach, DAY, secret()).await;
    let ask = format!("/sessions/{}/questions", floor.at.id);
    for version in [tomorrow.version.to_string(), theirs.version.to_string()] {
        let page = floor.browser.get(&format!("{ask}?version={version}&part=1&line=0")).await;
        assert_eq!(attributes(&page, "input[name=version]", "value"), [floor.at.version.to_string()]);
        assert!(texts(&page, ".head p")[1].contains("Ten rounds"), "{:?}", texts(&page, ".head p"));
        let form = [
            ("version", version.as_str()),
            ("part", "1"),
            ("line", "0"),
            ("text", "On the knees?"),
            ("client_id", version.as_str()),
        ];
        assert_eq!(floor.browser.post(&ask).form(&form).await.status_code(), 303);
    }
    let asked = floor.practice.app.store.questions_of(floor.ines).await.unwrap();
    assert_eq!(asked.iter().map(|q| q.about.as_ref().unwrap().part).collect::<Vec<_>>(), [Some(1), Some(1)]);
    let coach = floor.practice.as_person(floor.coach).await;
    let entries = texts(&coach.get("/questions").await, ".entry");
    assert!(entries.iter().all(|e| e.contains("Ten rounds") && !e.contains("Secret hang")), "{entries:?}");
}

#[tokio::test]
async fn what_was_given_is_said_again_only_where_it_would_be_something_else_by_now() {
    let at = |line| Some(WriteUpPlace { line, column: 1, length: 9 });
    let typed = |line| {
        let mut session = plain_sets();
        session.parts[0].lines[0].at = at(line);
        session
    };
    let floor = Floor::with(typed(3)).await;
    floor.log(0, &[("score", ""), ("version", "adapted")]).await;
    assert!(floor.results(0).await[0].given.is_some());
    publish_again(&floor, typed(7)).await;
    let page = floor.browser.get("/today").await;
    assert!(texts(&page, "#s1p0 .notice li").is_empty(), "{:?}", texts(&page, "#s1p0 .notice"));
}

#[tokio::test]
async fn a_coach_reads_of_a_members_versions_as_theirs_however_much_was_left_out() {
    let floor = Floor::new().await;
    let given = json!([[], [{ "movement": "reverse lunge", "reps": 12 }]]);
    let some = NewResult { version_done: "adapted".to_owned(), given: Some(given), ..timed(floor.at, "a", "3:40", 220.0) };
    log(&floor.practice, floor.ines, &some).await;
    let coach = floor.practice.as_person(floor.coach).await;
    let page = texts(&coach.get(&format!("/people/{}", floor.ines)).await, "main").remove(0);
    assert!(page.contains("Versions: changed for them 1."), "{page}");
}

/// A part of the session in the place of the second.
async fn with_part(part: Part) -> Floor {
    let mut session = slow_then_fast();
    session.parts[1] = part;
    Floor::with(session).await
}

fn push_ups(reps: f64) -> Line {
    Line { movement: "push-up".to_owned(), reps: Some(Amount::One(reps)), ..Line::default() }
}

#[tokio::test]
async fn the_field_says_in_one_line_what_to_type_where_the_lowest_round_counts() {
    let floor = with_part(Part {
        name: "Rounds".to_owned(),
        format: Format::Rounds,
        rounds: Some(Amount::One(4.0)),
        score: ScoreKind::Reps,
        score_rule: Some("Score is your lowest round".to_owned()),
        lines: vec![Line { max: true, reps: None, ..push_ups(0.0) }],
        ..Part::default()
    })
    .await;
    let page = floor.browser.get("/today").await;
    assert_eq!(texts(&page, "label[for=log1p1-score]"), ["Reps of your lowest round"]);
    assert!(texts(&page, "#s1p1 .part-how")[0].ends_with("score: reps of your lowest round"));
    assert!(texts(&page, "#s1p1 > .note").is_empty(), "the rule is said once: {:?}", texts(&page, "#s1p1 > .note"));
    floor.log(1, &[("score", "14, 12, 11, 9"), ("version", "full")]).await;
    assert_eq!(texts(&floor.browser.get("/today").await, "#s1p1 .state"), ["✓ 9 reps"]);
}

/// One more each minute until one is missed.
fn one_more_each_minute() -> Part {
    let format = Format::Emom;
    let line = Line { open: true, step: Some(1.0), ..push_ups(1.0) };
    Part { name: "One more".to_owned(), format, score: ScoreKind::RoundsReps, lines: vec![line], ..Part::default() }
}

#[tokio::test]
async fn one_more_each_minute_is_logged_as_minutes_and_reps_without_a_doubt() {
    let floor = with_part(one_more_each_minute()).await;
    let page = floor.browser.get("/today").await;
    assert_eq!(texts(&page, "label[for=log1p1-score]"), ["Minutes you kept up + reps of the next"]);
    floor.log(1, &[("score", "11+4"), ("version", "full")]).await;
    assert_eq!(floor.results(1).await[0].doubt, None);
    floor.log(1, &[("score", "11 minutes + 4"), ("version", "full")]).await;
    assert_eq!(texts(&floor.browser.get("/today").await, "#s1p1 .state"), ["✓ 11 rounds + 4 reps"]);
}

#[tokio::test]
async fn the_example_of_a_time_is_one_that_this_part_may_take() {
    let floor = Floor::new().await;
    let hint = texts(&floor.browser.get("/today").await, "#log1p1-score-hint").remove(0);
    assert!(hint.contains("capped at 175 reps") && !hint.contains("1:02:30") && !hint.contains("12+5"), "{hint}");
}

#[tokio::test]
async fn the_coach_is_led_from_a_part_that_is_gone_to_all_results_and_strangers_see_nothing() {
    let (floor, _) = typed("7:42").await;
    let mut without = slow_then_fast();
    without.parts.remove(1);
    publish_again(&floor, without).await;
    let coach = floor.practice.as_person(floor.coach).await.get(&board(&floor, 1)).await;
    assert_eq!(coach.status_code(), 410);
    assert!(attributes(&coach, "main a", "href").contains(&format!("/sessions/{}/results", floor.at.id)));
    let stranger = floor.practice.member("Pia", floor.practice.group("Lighthouse").await).await;
    assert_eq!(floor.practice.as_person(stranger).await.get(&board(&floor, 1)).await.status_code(), 404);
}
