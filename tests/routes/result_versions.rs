//! Every version of a result stays in sight of its owner and the coach: changed, taken back, logged anew, come late.

use crate::log::Floor;
use crate::practice::{NOW, attributes, texts};
use crate::published::timed;
use dowel::store::results::NewResult;
use time::Duration;

/// What stands under "Before" for the owner and for the coach.
async fn before(floor: &Floor, id: i64) -> [Vec<String>; 2] {
    let coach = floor.practice.as_person(floor.coach).await;
    [
        texts(&floor.browser.get(&format!("/results/{id}")).await, "#versions .entry"),
        texts(&coach.get(&format!("/results/{id}/correct")).await, "#versions .entry"),
    ]
}

#[tokio::test]
async fn what_was_taken_back_stands_under_what_was_logged_in_its_stead() {
    let floor = Floor::new().await;
    floor.log(1, &[("score", "7:42")]).await;
    let first = floor.results(1).await[0].id.0;
    floor.browser.post(&format!("/results/{first}/withdraw")).await;
    floor.log(1, &[("score", "8:10")]).await;
    let second = floor.results(1).await[0].id.0;
    assert_ne!(first, second);
    let [own, coachs] = before(&floor, second).await;
    assert_eq!(own, ["7:42 as written · logged today 12:00, taken back by you, today 12:00"]);
    assert_eq!(coachs, ["7:42 as written · logged today 12:00, taken back by Ines, today 12:00"]);
    let page = floor.browser.get(&format!("/results/{second}")).await;
    assert_eq!(attributes(&page, "#versions a", "href"), [format!("/results/{first}")]);
    assert!(texts(&page, "#versions .note")[0].contains("First logged today 12:00"));
    let old = floor.browser.get(&format!("/results/{first}")).await;
    assert!(texts(&old, ".notice")[0].contains("took this result back, today 12:00"), "{:?}", texts(&old, ".notice"));
    // and nobody else's
    let group = floor.practice.app.store.groups_of(floor.ines).await.unwrap()[0].id;
    let odo = floor.practice.member("Odo", group).await;
    let odos = crate::published::log(&floor.practice, odo, &timed(floor.at, "odo", "9:00", 540.0)).await;
    let odo = floor.practice.as_person(odo).await;
    assert!(texts(&odo.get(&format!("/results/{odos}")).await, "#versions .entry").is_empty());
}

#[tokio::test]
async fn a_result_that_comes_back_says_that_it_was_away() {
    let floor = Floor::new().await;
    let store = &floor.practice.app.store;
    let sent = timed(floor.at, "phone", "7:42", 462.0);
    let id = store.log_result(floor.ines, &sent, NOW - Duration::hours(3)).await.unwrap();
    store.withdraw_result(floor.ines, id, NOW - Duration::hours(2)).await.unwrap();
    let again = NewResult { score_text: "7:50".to_owned(), edit: 9, ..sent };
    assert_eq!(store.log_result(floor.ines, &again, NOW - Duration::hours(1)).await.unwrap(), id, "the same form");
    let [own, coachs] = before(&floor, id.0).await;
    assert_eq!(own, ["7:42 as written · taken back by you, today 10:00; logged again by you, today 11:00"]);
    assert_eq!(coachs, ["7:42 as written · taken back by Ines, today 10:00; logged again by Ines, today 11:00"]);
}

#[tokio::test]
async fn what_came_late_says_that_it_never_stood_and_hides_no_correction() {
    let floor = Floor::new().await;
    let store = &floor.practice.app.store;
    let sent = NewResult { edit: 5, ..timed(floor.at, "phone", "7:42", 462.0) };
    let id = store.log_result(floor.ines, &sent, NOW).await.unwrap();
    let mended = NewResult { score_text: "7:40".to_owned(), ..sent.clone() };
    let coach = dowel::store::results::Editor::Coach(floor.coach, "I saw the clock.");
    store.edit_result(coach, id, &mended, NOW).await.unwrap();
    let late = NewResult { score_text: "7:44".to_owned(), edit: 4, ..sent };
    store.log_result(floor.ines, &late, NOW).await.unwrap();
    let [own, _] = before(&floor, id.0).await;
    assert_eq!(own[0], "7:42 as written · sent by you, came today 12:00, after a later change; it never stood");
    assert!(texts(&floor.browser.get("/history").await, "main")[0].contains("Corrected by Mara, today 12:00: I saw the clock."));
    let first = &store.all_results_of(floor.ines).await.unwrap()[0].first;
    assert_eq!(first.as_ref().unwrap().score_text, "7:42", "what came late was not logged first");
}
