//! Logging a part, changing it, taking it back.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::{DAY, Place, publish, slow_then_fast};
use axum_test::{TestResponse, TestServer};
use dowel::store::ids::PersonId;
use dowel::store::maxes::MaxSource;
use dowel::store::people::{Person, Units};
use dowel::store::results::ResultRow;
use dowel::store::weeks::ToPublish;
use dowel::training::dose::{Amount, Load};
use dowel::training::session::{Format, PartOption, ScoreKind, Session};
use time::Duration;

pub struct Floor {
    pub practice: Practice,
    pub coach: PersonId,
    pub ines: PersonId,
    pub browser: TestServer,
    pub at: Place,
}

impl Floor {
    pub async fn with(session: Session) -> Self {
        let practice = Practice::new().await;
        let coach = practice.coach("Mara").await;
        let group = practice.group("Harbour").await;
        let ines = practice.member("Ines", group).await;
        let at = publish(&practice, group, coach, DAY, session).await;
        let browser = practice.as_person(ines).await;
        Self { practice, coach, ines, browser, at }
    }

    pub async fn new() -> Self {
        Self::with(slow_then_fast()).await
    }

    /// Sends the form of a part as a browser would, with its hidden fields, and these on top.
    pub async fn log(&self, part: usize, fields: &[(&str, &str)]) -> TestResponse {
        let page = self.browser.get("/today").await;
        let hidden = format!("form[action='/sessions/{}/parts/{part}/result'].score input[type=hidden]", self.at.id);
        let (names, values) = (attributes(&page, &hidden, "name"), attributes(&page, &hidden, "value"));
        let mut form: Vec<(&str, &str)> = names.iter().map(String::as_str).zip(values.iter().map(String::as_str)).collect();
        form.extend(fields);
        self.post(part, &form).await
    }

    pub async fn post(&self, part: usize, form: &[(&str, &str)]) -> TestResponse {
        self.browser.post(&format!("/sessions/{}/parts/{part}/result", self.at.id)).form(&form).await
    }

    pub async fn results(&self, part: usize) -> Vec<ResultRow> {
        let mut all = self.practice.app.store.results_of_session(self.at.id).await.unwrap();
        all.retain(|r| r.part == part);
        all
    }
}

#[tokio::test]
async fn a_part_is_logged_and_marked_done() {
    let floor = Floor::new().await;
    let fields = [("score", "7:42"), ("version", "full"), ("minutes", "7,5"), ("rpe", "8"), ("note", "good"), ("shown", "on")];
    let response = floor.log(1, &fields).await;
    assert_eq!(location(&response), "/days/2026-11-25?said=logged");
    let result = &floor.results(1).await[0];
    assert_eq!(result.score, Some(serde_json::json!({"kind": "time", "seconds": 462.0})));
    assert_eq!((result.minutes, result.rpe, result.note.as_str(), result.done_on), (Some(7.5), Some(8.0), "good", DAY));
    assert!(result.shown && result.hurt.is_none());
    let page = floor.browser.get("/days/2026-11-25?said=logged").await;
    assert_eq!(texts(&page, "#s1p1 .state"), ["✓ 7:42"]);
    assert_eq!(attributes(&page, "#s1p1 .notice a", "href")[0], format!("/results/{}", result.id));
    assert!(texts(&page, "#s1p1 form.score").is_empty());
    assert_eq!(texts(&page, ".week-strip .done b"), ["25"]);
}

#[tokio::test]
async fn strangers_coaches_and_other_groups_cannot_log() {
    let floor = Floor::new().await;
    let address = "/sessions/1/parts/1/result";
    let version = floor.at.version.to_string();
    let form = [("score", "7:42"), ("version_id", version.as_str())];
    assert!(location(&floor.practice.browser().post(address).form(&form).await).starts_with("/sign-in"));
    let coach = floor.practice.as_person(floor.coach).await;
    assert_eq!(coach.post(address).form(&form).await.status_code(), 404);
    let group = floor.practice.group("Lighthouse").await;
    let odo = floor.practice.member("Odo", group).await;
    assert_eq!(floor.practice.as_person(odo).await.post(address).form(&form).await.status_code(), 404);
    assert!(floor.results(1).await.is_empty());
}

#[tokio::test]
async fn a_part_or_session_that_is_not_of_the_version_is_not_found() {
    let floor = Floor::new().await;
    let version = floor.at.version.to_string();
    let form = [("score", "7:42"), ("version_id", version.as_str())];
    assert_eq!(floor.browser.post("/sessions/1/parts/9/result").form(&form).await.status_code(), 404);
    assert_eq!(floor.browser.post("/sessions/2/parts/1/result").form(&form).await.status_code(), 404);
    assert_eq!(floor.browser.post("/sessions/1/parts/1/result").form(&[("score", "7:42")]).await.status_code(), 404);
}

#[tokio::test]
async fn what_cannot_be_read_comes_back_beside_its_field_with_everything_typed() {
    let floor = Floor::new().await;
    let fields = [("score", "quick"), ("minutes", "12"), ("rpe", "9"), ("note", "windy"), ("hurt", "on"), ("place", "left knee")];
    let response = floor.log(1, &fields).await;
    assert_eq!(response.status_code(), 422);
    assert_eq!(texts(&response, "#log1p1-score-error").len(), 1);
    assert_eq!(attributes(&response, "#log1p1-score, #log1p1-minutes, #log1p1-place", "value"), ["quick", "12", "left knee"]);
    assert_eq!(texts(&response, "#log1p1-note"), ["windy"]);
    assert_eq!(attributes(&response, "#s1p1 [name=rpe][checked]", "value"), ["9"]);
    assert_eq!(texts(&response, ".part[open] > summary .part-name"), ["Ten rounds"]);
    assert!(floor.results(1).await.is_empty());
}

#[tokio::test]
async fn wrong_minutes_are_said_beside_them() {
    let floor = Floor::new().await;
    let response = floor.log(1, &[("score", "7:42"), ("minutes", "soon")]).await;
    assert_eq!((response.status_code().as_u16(), texts(&response, "#log1p1-minutes-error").len()), (422, 1));
}

#[tokio::test]
async fn a_double_tap_makes_one_result() {
    let floor = Floor::new().await;
    let version = floor.at.version.to_string();
    let form = [("client_id", "from-this-page"), ("version_id", version.as_str()), ("score", "7:42")];
    let (one, two) = tokio::join!(floor.post(1, &form), floor.post(1, &form));
    assert_eq!((one.status_code().as_u16(), two.status_code().as_u16()), (303, 303));
    assert_eq!(floor.results(1).await.len(), 1);
}

#[tokio::test]
async fn logging_again_from_another_page_changes_the_same_result() {
    let floor = Floor::new().await;
    let version = floor.at.version.to_string();
    for (client, score) in [("a", "7:42"), ("b", "7:24")] {
        floor.post(1, &[("client_id", client), ("version_id", version.as_str()), ("score", score)]).await;
    }
    let results = floor.results(1).await;
    assert_eq!((results.len(), results[0].score_text.as_str()), (1, "7:24"));
    assert_eq!(floor.practice.app.store.edits_of(results[0].id).await.unwrap()[0].before.score_text, "7:42");
}

/// The squats of the session, written in pounds.
fn written_in_pounds() -> Session {
    let mut session = slow_then_fast();
    session.parts[0].lines[0].load = Some(Load::Lb { values: vec![135.0], range: false });
    session
}

#[tokio::test]
async fn a_bare_weight_is_in_the_members_own_unit_which_the_form_says() {
    // a unit is never guessed: without one, and with no setting that settles it, a weight waits; the member's setting settles it
    let floor = Floor::new().await;
    assert!(texts(&floor.browser.get("/today").await, "#log1p0-score-hint")[0].contains("A bare number is in kg"));
    floor.log(0, &[("score", "60"), ("version", "full")]).await;
    let result = &floor.results(0).await[0];
    assert_eq!((result.load_kg, result.score_text.as_str(), result.doubt.as_ref()), (Some(60.0), "60", None));
    assert_eq!(texts(&floor.browser.get("/today").await, "#s1p0 .state"), ["✓ 60 kg"]);
}

#[tokio::test]
async fn a_bare_weight_is_held_where_the_part_is_written_in_the_other_unit_until_one_tap_says_which() {
    let floor = Floor::with(written_in_pounds()).await;
    assert_eq!(floor.log(0, &[("score", "60"), ("version", "full")]).await.status_code(), 303);
    let held = &floor.results(0).await[0];
    assert_eq!((held.score.as_ref(), held.score_text.as_str(), held.doubt.is_some()), (None, "60", true));
    let page = floor.browser.get("/today").await;
    let answers = attributes(&page, "#s1p0 .notice button", "value");
    assert!(answers.contains(&"60 kg".to_owned()), "{answers:?}");
    let response = floor.browser.post(&format!("/results/{}/answer", held.id)).form(&[("score", "60 kg")]).await;
    assert_eq!(response.status_code(), 303);
    let result = &floor.results(0).await[0];
    assert!(result.score.is_some() && result.doubt.is_none());
    assert_eq!((result.load_kg, result.version_done.as_str()), (Some(60.0), "full"));
}

#[tokio::test]
async fn a_load_typed_without_its_unit_is_shown_with_it() {
    let mut session = slow_then_fast();
    session.parts[1].lines[0].load = Some(Load::Kg { values: vec![22.5, 15.0], range: false });
    let floor = Floor::with(session).await;
    floor.log(1, &[("score", "7:42"), ("load", "12"), ("version", "lighter")]).await;
    let page = floor.browser.get("/today").await;
    assert!(texts(&page, "#s1p1 .notice p")[0].contains("12 kg"), "{:?}", texts(&page, "#s1p1 .notice p"));
    assert!(texts(&floor.browser.get("/history").await, ".entry .hint")[0].contains("12 kg"));
}

#[tokio::test]
async fn a_member_who_changes_units_does_not_change_what_was_lifted() {
    let floor = Floor::new().await;
    floor.log(0, &[("score", "60"), ("version", "full")]).await;
    let store = &floor.practice.app.store;
    let person = store.person(floor.ines).await.unwrap();
    store.save_person(&Person { units: Units::Lb, ..person }).await.unwrap();
    let id = floor.results(0).await[0].id;
    let page = floor.browser.get(&format!("/results/{id}")).await;
    assert_eq!(attributes(&page, "#log1p0-score", "value"), ["60 kg"]);
}

/// Plain sets of one lift: nothing is scored, and there is a load to tell.
fn five_fives() -> Session {
    let mut session = slow_then_fast();
    let squats = &mut session.parts[0];
    squats.score = ScoreKind::None;
    squats.lines[0].reps = Some(Amount::One(5.0));
    session
}

#[tokio::test]
async fn sets_are_logged_with_their_load_and_stand_so_everywhere() {
    let floor = Floor::with(five_fives()).await;
    floor.log(0, &[("score", "4 x 5 at 60, 3 at 65"), ("version", "full")]).await;
    let said = "4 x 5 at 60 kg, 3 at 65 kg";
    assert_eq!(texts(&floor.browser.get("/today").await, "#s1p0 .state"), [format!("✓ {said}")]);
    assert!(texts(&floor.browser.get("/history").await, ".entry")[0].contains(said));
    let coach = floor.practice.as_person(floor.coach).await;
    let page = coach.get(&format!("/sessions/{}/results", floor.at.id)).await;
    assert!(texts(&page, "#logged td")[1].contains(said), "{:?}", texts(&page, "#logged td"));
}

#[tokio::test]
async fn a_weight_alone_stands_for_all_the_sets_and_the_lift_has_its_history() {
    let floor = Floor::with(five_fives()).await;
    floor.log(0, &[("score", "60"), ("version", "full")]).await;
    assert_eq!(texts(&floor.browser.get("/today").await, "#s1p0 .state"), ["✓ 5 x 5 at 60 kg"]);
    let page = floor.browser.get("/history").await;
    assert_eq!(texts(&page, "[aria-label='Your lifts'] tbody th"), ["goblet squat"]);
    assert_eq!(floor.results(0).await[0].load_kg, Some(60.0));
}

#[tokio::test]
async fn sets_without_a_load_come_back_and_no_sets_at_all_are_done() {
    let floor = Floor::with(five_fives()).await;
    let back = floor.log(0, &[("score", "5 x 5"), ("version", "full")]).await;
    assert_eq!(back.status_code(), 422);
    assert!(texts(&back, ".error")[0].starts_with("At what load?"), "{:?}", texts(&back, ".error"));
    floor.log(0, &[("score", ""), ("version", "full")]).await;
    assert_eq!(texts(&floor.browser.get("/today").await, "#s1p0 .state"), ["✓ 5 x 5, done"]);
}

#[tokio::test]
async fn a_list_of_reps_at_one_weight_is_logged_so_and_one_that_may_be_weights_comes_back_with_a_question() {
    let floor = Floor::with(five_fives()).await;
    let back = floor.log(0, &[("score", "5 5 5 4 3"), ("version", "full")]).await;
    assert_eq!((back.status_code().as_u16(), floor.results(0).await.len()), (422, 0));
    assert!(texts(&back, "#log1p0-score-error")[0].starts_with("Is 5, 5, 5, 4, 3 reps or weight?"));
    let back = floor.log(0, &[("score", "5, 5, 4 @ 8"), ("version", "full")]).await;
    assert_eq!(texts(&back, "#log1p0-score-error"), ["Is 8 the weight, or how hard it was? Type 2 x 5 at 8 kg, 4 at 8 kg."]);
    floor.log(0, &[("score", "5 5 5 4 3 @ 35"), ("version", "full")]).await;
    assert_eq!(texts(&floor.browser.get("/today").await, "#s1p0 .state"), ["✓ 3 x 5 at 35 kg, 4 at 35 kg, 3 at 35 kg"]);
}

#[tokio::test]
async fn what_is_shown_as_an_example_is_in_the_members_unit() {
    let floor = Floor::with(five_fives()).await;
    let store = &floor.practice.app.store;
    let person = store.person(floor.ines).await.unwrap();
    store.save_person(&Person { units: Units::Lb, ..person }).await.unwrap();
    let hint = texts(&floor.browser.get("/today").await, "#log1p0-score-hint").remove(0);
    assert!(hint.contains("at 135 lb") && hint.contains("A bare number is in lb") && !hint.contains("kg"), "{hint}");
}

#[tokio::test]
async fn the_page_of_a_result_of_a_session_without_a_title_is_named_by_its_day() {
    let floor = Floor::with(Session { title: String::new(), ..five_fives() }).await;
    floor.log(0, &[("score", "60"), ("version", "full")]).await;
    let page = floor.browser.get(&format!("/results/{}", floor.results(0).await[0].id)).await;
    assert_eq!(texts(&page, ".head .when a"), ["Wednesday 25 November"]);
}

#[tokio::test]
async fn sets_keep_their_unit_where_the_member_changes_theirs() {
    let floor = Floor::with(five_fives()).await;
    floor.log(0, &[("score", "60"), ("version", "full")]).await;
    let store = &floor.practice.app.store;
    let person = store.person(floor.ines).await.unwrap();
    store.save_person(&Person { units: Units::Lb, ..person }).await.unwrap();
    let id = floor.results(0).await[0].id;
    let page = floor.browser.get(&format!("/results/{id}")).await;
    assert_eq!(attributes(&page, "#log1p0-score", "value"), ["5 x 5 at 60 kg"]);
}

#[tokio::test]
async fn a_day_ahead_is_read_and_not_logged() {
    let floor = Floor::new().await;
    let group = floor.practice.app.store.groups_of(floor.ines).await.unwrap()[0].id;
    let tomorrow = publish(&floor.practice, group, floor.coach, DAY + Duration::days(1), slow_then_fast()).await;
    let page = floor.browser.get("/days/2026-11-26").await;
    assert!(texts(&page, "form.score").is_empty() && texts(&page, "form.do").is_empty());
    assert!(texts(&page, ".part .note").contains(&"You can log it on the day.".to_owned()));
    let version = tomorrow.version.to_string();
    let address = format!("/sessions/{}/parts/1/result", tomorrow.id);
    let early = floor.browser.post(&address).form(&[("version_id", version.as_str()), ("score", "7:42")]).await;
    assert_eq!(early.status_code(), 422);
    assert!(texts(&early, ".error").iter().any(|e| e.contains("Thursday 26 November")), "{:?}", texts(&early, ".error"));
    assert_eq!(attributes(&early, "[name=score]", "value"), ["7:42"], "what was typed is still there");
    let late = floor.log(1, &[("score", "7:42"), ("done_on", "2026-11-26")]).await;
    assert_eq!(late.status_code(), 422, "nothing was done tomorrow");
    assert!(floor.practice.app.store.results_of_session(tomorrow.id).await.unwrap().is_empty());
}

#[tokio::test]
async fn a_lift_far_above_the_known_max_is_kept_and_asked_about() {
    let floor = Floor::new().await;
    let known = (MaxSource::Tested, DAY);
    floor.practice.app.store.add_max(floor.ines, "goblet squat", 40.0, known, NOW).await.unwrap();
    // 1.3 x 40 = 52
    for (score, doubted) in [("52 kg", false), ("53 kg", true)] {
        floor.post(0, &[("version_id", floor.at.version.to_string().as_str()), ("score", score)]).await;
        let result = &floor.results(0).await[0];
        assert!(result.score.is_some());
        assert_eq!(result.doubt.is_some(), doubted, "{score}: {:?}", result.doubt);
    }
}

#[tokio::test]
async fn more_reps_than_the_window_holds_are_kept_and_asked_about() {
    let mut session = slow_then_fast();
    let part = &mut session.parts[1];
    (part.format, part.score) = (Format::Amrap, ScoreKind::RoundsReps);
    (part.rounds, part.time_cap_s, part.duration_s) = (None, None, Some(300.0));
    let floor = Floor::with(session).await;
    floor.log(1, &[("score", "60+3")]).await;
    let result = &floor.results(1).await[0];
    assert!(result.score.is_some() && result.doubt.as_ref().is_some_and(|d| d.contains("the most that anybody could do")));
    let coach = floor.practice.as_person(floor.coach).await;
    assert!(texts(&coach.get("/review").await, "#odd .entry")[0].contains("60+3"));
}

#[tokio::test]
async fn what_is_possible_depends_on_the_version_that_was_done() {
    let mut session = slow_then_fast();
    let rounds = Some(Amount::One(1.0));
    session.parts[1].options = vec![PartOption { name: "shorter".to_owned(), rounds, ..PartOption::default() }];
    let floor = Floor::with(session).await;
    floor.log(1, &[("score", "1:05"), ("version", "shorter")]).await;
    assert_eq!(floor.results(1).await[0].doubt, None, "one round takes no ten");
}

#[tokio::test]
async fn what_is_hard_to_believe_is_kept_and_asked_about() {
    let floor = Floor::new().await;
    floor.log(1, &[("score", "0:20")]).await;
    let result = &floor.results(1).await[0];
    assert!(result.score.is_some() && result.doubt.is_some());
    assert!(texts(&floor.browser.get("/today").await, "#s1p1 .notice.ask")[0].contains("Is that right?"));
}

#[tokio::test]
async fn pain_reaches_the_coach_and_the_page_says_so() {
    let floor = Floor::new().await;
    floor.log(1, &[("score", "7:42"), ("hurt", "on"), ("place", "left knee")]).await;
    let pain = floor.practice.app.store.recent_pain(NOW - Duration::days(1)).await.unwrap();
    assert_eq!(pain[0].hurt.as_deref(), Some("left knee"));
    assert!(texts(&floor.browser.get("/today").await, "#s1p1 .notice.bad")[0].contains("Your coach has been told"));
}

#[tokio::test]
async fn a_part_without_a_score_is_done_in_one_tap() {
    let mut session = slow_then_fast();
    session.parts[0].score = ScoreKind::None;
    let floor = Floor::with(session).await;
    let page = floor.browser.get("/today").await;
    let form = "#s1p0 form.do input";
    let (names, values) = (attributes(&page, form, "name"), attributes(&page, form, "value"));
    let fields: Vec<(String, String)> = names.into_iter().zip(values).collect();
    assert_eq!(floor.browser.post("/sessions/1/parts/0/result").form(&fields).await.status_code(), 303);
    let page = floor.browser.get("/today").await;
    assert_eq!(texts(&page, "#s1p0 .state"), ["✓ 5 x 5, done"]);
    assert_eq!(texts(&page, ".part[open] .part-name"), ["Ten rounds"]);
}

#[tokio::test]
async fn a_form_opened_before_a_change_still_logs_on_what_was_read() {
    let floor = Floor::new().await;
    let old = floor.at.version.to_string();
    let store = &floor.practice.app.store;
    let draft_edit = store.slot_by_id(floor.at.id).await.unwrap().draft_edit;
    let again = ToPublish { id: floor.at.id, draft_edit, session: slow_then_fast(), change_note: String::new() };
    store.publish(&[again], floor.coach, NOW).await.unwrap();
    floor.post(1, &[("version_id", old.as_str()), ("score", "7:42")]).await;
    assert_eq!(floor.results(1).await[0].version_id, floor.at.version);
    assert!(texts(&floor.browser.get("/today").await, "#s1p1 .notice")[0].contains("earlier version"));
}

/// The coach publishes an edit of the session.
pub async fn publish_again(floor: &Floor, session: Session) {
    let store = &floor.practice.app.store;
    let draft_edit = store.slot_by_id(floor.at.id).await.unwrap().draft_edit;
    let again = ToPublish { id: floor.at.id, draft_edit, session, change_note: String::new() };
    store.publish(&[again], floor.coach, NOW).await.unwrap();
}

#[tokio::test]
async fn a_question_is_answered_for_the_version_it_was_done_on_whatever_is_published_since() {
    let floor = Floor::new().await;
    floor.log(1, &[("score", "16:30"), ("version", "full")]).await;
    let mut longer = slow_then_fast();
    longer.parts[1].time_cap_s = Some(1200.0);
    publish_again(&floor, longer).await;
    let id = floor.results(1).await[0].id;
    let page = floor.browser.get("/today").await;
    assert_eq!(texts(&page, "#s1p1 .state"), ["? 16:30"]);
    assert!(texts(&page, "#s1p1 .notice.ask")[0].contains("The cap is 15:00, and this says 16:30."));
    assert!(attributes(&page, "#s1p1 .notice.ask a", "href").contains(&format!("/results/{id}")));
    let own = floor.browser.get(&format!("/results/{id}")).await;
    assert!(texts(&own, "#question")[0].contains("The cap is 15:00"));
    let answer = floor.browser.post(&format!("/results/{id}")).form(&[("score", "capped at 180"), ("version", "full")]).await;
    assert_eq!(answer.status_code(), 303);
    assert_eq!(texts(&floor.browser.get("/today").await, "#s1p1 .state"), ["✓ capped at 180 reps"]);
}

#[tokio::test]
async fn a_question_with_answers_keeps_them_when_the_session_is_published_anew() {
    let floor = Floor::with(written_in_pounds()).await;
    floor.log(0, &[("score", "60"), ("version", "full")]).await;
    publish_again(&floor, slow_then_fast()).await;
    let id = floor.results(0).await[0].id;
    for page in ["/today".to_owned(), format!("/results/{id}")] {
        let answers = attributes(&floor.browser.get(&page).await, ".notice.ask button[name=score]", "value");
        assert!(answers.contains(&"60 kg".to_owned()), "{page}: {answers:?}");
    }
}

#[tokio::test]
async fn an_emptied_time_is_said_to_be_missing() {
    let floor = Floor::new().await;
    let back = floor.log(1, &[("score", ""), ("version", "full")]).await;
    assert_eq!(back.status_code(), 422);
    assert!(texts(&back, "#log1p1-score-error")[0].starts_with("The time is missing."));
}

#[tokio::test]
async fn minutes_of_a_clock_that_was_stopped_early_give_way_to_the_time_that_is_typed() {
    let floor = Floor::new().await;
    floor.log(1, &[("score", "14:30"), ("version", "full"), ("minutes", "1")]).await;
    assert_eq!(floor.results(1).await[0].minutes, Some(14.5));
    // over the cap it is asked what that is, and the work took so long all the same
    let id = floor.results(1).await[0].id;
    floor.browser.post(&format!("/results/{id}")).form(&[("score", "16:30"), ("version", "full"), ("minutes", "1")]).await;
    assert_eq!((floor.results(1).await[0].minutes, floor.results(1).await[0].score.is_some()), (Some(16.5), false));
}

#[tokio::test]
async fn minutes_with_the_rest_of_the_part_in_them_stay_as_typed() {
    let floor = Floor::new().await;
    floor.log(1, &[("score", "7:42"), ("version", "full"), ("minutes", "20")]).await;
    assert_eq!(floor.results(1).await[0].minutes, Some(20.0));
}

#[tokio::test]
async fn a_weight_before_sets_and_reps_is_that_many_sets() {
    let floor = Floor::with(five_fives()).await;
    floor.log(0, &[("score", "60 kg x 5 x 5"), ("version", "full")]).await;
    assert_eq!(texts(&floor.browser.get("/today").await, "#s1p0 .state"), ["✓ 5 x 5 at 60 kg"]);
}

#[tokio::test]
async fn a_form_for_a_session_that_was_taken_back_is_not_lost() {
    let floor = Floor::new().await;
    let version = floor.at.version.to_string();
    floor.practice.app.store.unpublish(floor.at.id).await.unwrap();
    let response = floor.post(1, &[("version_id", version.as_str()), ("score", "quick")]).await;
    assert_eq!(
        (response.status_code().as_u16(), attributes(&response, "#log1p1-score", "value")),
        (422, vec!["quick".to_owned()])
    );
    assert_eq!(floor.post(1, &[("version_id", version.as_str()), ("score", "7:42")]).await.status_code(), 303);
    assert_eq!(floor.results(1).await.len(), 1);
}

#[tokio::test]
async fn a_result_is_changed_and_what_was_there_stays_listed() {
    let floor = Floor::new().await;
    floor.log(1, &[("score", "7:42"), ("rpe", "6"), ("shown", "on")]).await;
    let id = floor.results(1).await[0].id;
    let page = floor.browser.get(&format!("/results/{id}")).await;
    assert_eq!(attributes(&page, "[name=score]", "value"), ["7:42"]);
    let response = floor.browser.post(&format!("/results/{id}")).form(&[("score", "8:42"), ("version", "lighter")]).await;
    assert_eq!(response.status_code(), 303);
    let result = &floor.results(1).await[0];
    assert_eq!((result.score_text.as_str(), result.version_done.as_str(), result.shown), ("8:42", "lighter", false));
    let page = floor.browser.get(&format!("/results/{id}")).await;
    assert_eq!(texts(&page, ".entry .who"), ["7:42, effort 6"]);
}

#[tokio::test]
async fn a_wrong_change_comes_back_with_what_was_typed() {
    let floor = Floor::new().await;
    floor.log(1, &[("score", "7:42")]).await;
    let id = floor.results(1).await[0].id;
    let response = floor.browser.post(&format!("/results/{id}")).form(&[("score", "soonish")]).await;
    assert_eq!(
        (response.status_code().as_u16(), attributes(&response, "[name=score]", "value")),
        (422, vec!["soonish".to_owned()])
    );
    assert_eq!(floor.results(1).await[0].score_text, "7:42");
}

#[tokio::test]
async fn a_result_taken_back_leaves_the_day() {
    let floor = Floor::new().await;
    floor.log(1, &[("score", "7:42")]).await;
    let id = floor.results(1).await[0].id;
    let response = floor.browser.post(&format!("/results/{id}/withdraw")).await;
    assert_eq!(location(&response), "/history?said=withdrawn");
    assert!(texts(&floor.browser.get("/today").await, ".state").is_empty());
    assert!(texts(&floor.browser.get(&format!("/results/{id}")).await, ".notice")[0].contains("took this result back"));
}

#[tokio::test]
async fn somebody_elses_result_cannot_be_seen_changed_or_taken_back() {
    let floor = Floor::new().await;
    floor.log(1, &[("score", "7:42")]).await;
    let id = floor.results(1).await[0].id;
    let group = floor.practice.app.store.groups_of(floor.ines).await.unwrap()[0].id;
    let odo = floor.practice.member("Odo", group).await;
    let odo = floor.practice.as_person(odo).await;
    assert_eq!(odo.get(&format!("/results/{id}")).await.status_code(), 404);
    for end in ["", "/answer", "/withdraw"] {
        assert_eq!(odo.post(&format!("/results/{id}{end}")).form(&[("score", "1:00")]).await.status_code(), 404, "{end}");
    }
    assert!(location(&floor.practice.browser().get(&format!("/results/{id}")).await).starts_with("/sign-in"));
    assert_eq!(floor.results(1).await[0].score_text, "7:42");
}

#[tokio::test]
async fn what_was_done_yesterday_is_asked_for_and_kept_as_such() {
    let floor = Floor::new().await;
    floor.practice.app.clock.set(NOW + Duration::days(1));
    let page = floor.browser.get("/days/2026-11-25").await;
    assert_eq!(attributes(&page, "#log1p1-day", "value"), ["2026-11-25"]);
    let version = floor.at.version.to_string();
    let form = [("version_id", version.as_str()), ("score", "7:42"), ("done_on", "2026-11-26")];
    assert_eq!(floor.post(1, &form).await.status_code(), 303);
    assert_eq!(floor.results(1).await[0].done_on, DAY + Duration::days(1));
    let form = [("version_id", version.as_str()), ("score", "7:42"), ("done_on", "2030-01-01")];
    assert_eq!(floor.post(1, &form).await.status_code(), 422);
}

#[tokio::test]
async fn no_number_is_made_of_a_slip_in_the_load() {
    let floor = Floor::new().await;
    floor.log(1, &[("score", "7:42"), ("load", "25.5.5 kg")]).await;
    let result = &floor.results(1).await[0];
    assert_eq!((result.load_text.as_str(), result.load_kg), ("25.5.5 kg", None));
}

#[tokio::test]
async fn a_score_is_read_before_it_is_saved() {
    let floor = Floor::new().await;
    let version = floor.at.version.to_string();
    let said = async |part: usize, score: &str| {
        let form = [("score", score), ("version_id", version.as_str()), ("version", "full")];
        floor.browser.post(&format!("/sessions/{}/parts/{part}/understood", floor.at.id)).form(&form).await.text()
    };
    assert_eq!(said(1, "7.42").await, "Counts as 7 min 42 s (7.42 read as minutes and seconds).");
    assert!(said(1, "quickly").await.contains("7:42"), "an example is given where nothing can be read");
    assert!(said(0, "80, 85 lb or kg").await.ends_with('.'));
    assert_eq!(said(1, "").await, "");
    let minus = said(1, "-3").await;
    assert!(minus.starts_with("A score is not below nothing. Is that "), "{minus}");
    let run_together = said(1, "1230").await;
    assert_eq!(run_together, "Counts as 12 min 30 s (nothing else fits this part).");
    let open = said(1, "7,5").await;
    assert_eq!(open, "Is that 7:50, 7:30 or 7:05? Type the one you mean. Saved as it is, it waits for that and has no place.");
    assert!(floor.results(1).await.is_empty(), "nothing is saved");
}

#[tokio::test]
async fn a_score_is_read_for_nobody_else() {
    let floor = Floor::new().await;
    let version = floor.at.version.to_string();
    let form = [("score", "7:42"), ("version_id", version.as_str())];
    let address = format!("/sessions/{}/parts/1/understood", floor.at.id);
    assert!(location(&floor.practice.browser().post(&address).form(&form).await).starts_with("/sign-in"));
    let group = floor.practice.group("Lighthouse").await;
    let odo = floor.practice.member("Odo", group).await;
    assert_eq!(floor.practice.as_person(odo).await.post(&address).form(&form).await.status_code(), 404);
    assert_eq!(floor.browser.post(&address.replace("parts/1", "parts/9")).form(&form).await.status_code(), 404);
}

#[tokio::test]
async fn fewer_reps_than_written_are_offered_as_changed_and_have_no_place_beside_the_whole() {
    let mut session = slow_then_fast();
    session.parts[1].rounds = None;
    session.parts[1].lines.truncate(1);
    session.parts[1].lines[0] =
        dowel::training::session::Line { movement: "air squat".to_owned(), reps: Some(Amount::One(100.0)), ..Default::default() };
    let floor = Floor::with(session).await;
    floor.browser.post("/you/limits").form(&[("note", "half the reps please, short of time today")]).await;
    let given = texts(&floor.browser.get("/today").await, "#s1p1 .dose").remove(0);
    assert_ne!(given, "100", "the beginner's day asks for fewer");
    let first = attributes(&floor.browser.get("/today").await, "#s1p1 form.score[data-reads] [name=version]", "value").remove(0);
    assert_eq!(first, "adapted");
    floor.log(1, &[("score", "4:10"), ("version", "adapted"), ("shown", "on")]).await;
    let board = floor.browser.get("/sessions/1/parts/1/board").await;
    assert!(texts(&board, ".place .rank").iter().all(String::is_empty), "no place");
    let said = texts(&board, ".notice.mine").remove(0);
    assert!(said.contains("listed without a place") && said.contains(&format!("{given} air squat")), "{said}");
}
