//! The coach's daily review.

use crate::practice::{NOW, Practice, location, texts};
use crate::published::{DAY, Place, log, publish, slow_then_fast, timed};
use dowel::store::ids::{GroupId, PersonId};
use dowel::store::results::NewResult;
use time::Duration;

struct Bench {
    practice: Practice,
    coach: PersonId,
    harbour: GroupId,
    ines: PersonId,
    at: Place,
}

async fn bench() -> Bench {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let harbour = practice.group("Harbour").await;
    let ines = practice.member("Ines", harbour).await;
    let at = publish(&practice, harbour, coach, DAY, slow_then_fast()).await;
    Bench { practice, coach, harbour, ines, at }
}

#[tokio::test]
async fn only_coaches_see_the_review() {
    let b = bench().await;
    let stranger = b.practice.browser();
    assert!(location(&stranger.get("/review").await).starts_with("/sign-in"));
    assert!(location(&stranger.post("/results/1/seen").await).starts_with("/sign-in"));
    let member = b.practice.as_person(b.ines).await;
    assert_eq!(member.get("/review").await.status_code(), 404);
    let id = log(&b.practice, b.ines, &timed(b.at, "one", "9:00", 540.0)).await;
    assert_eq!(member.post(&format!("/results/{id}/seen")).await.status_code(), 404);
}

#[tokio::test]
async fn a_quiet_day_says_so() {
    let b = bench().await;
    let page = b.practice.as_person(b.coach).await.get("/review").await;
    assert_eq!((texts(&page, ".empty").len(), texts(&page, ".entry").len()), (1, 0));
}

#[tokio::test]
async fn pain_says_who_where_and_in_which_part_and_leaves_when_answered() {
    let b = bench().await;
    let hurt = NewResult { hurt: Some("left knee".to_owned()), ..timed(b.at, "one", "9:00", 540.0) };
    log(&b.practice, b.ines, &hurt).await;
    let coach = b.practice.as_person(b.coach).await;
    let page = coach.get("/review").await;
    let told = &texts(&page, "#pain .entry")[0];
    for word in ["Ines", "left knee", "Wed 25 Nov, B. Ten rounds", "today 12:00", "private"] {
        assert!(told.contains(word), "{word} in {told}");
    }
    let id = b.practice.app.store.open_questions().await.unwrap()[0].id;
    let form = [("answer", "Stop the rounds, tell me tonight."), ("next", "/review")];
    assert_eq!(location(&coach.post(&format!("/questions/{id}/answer")).form(&form).await), "/review?said=answered");
    assert_eq!(texts(&coach.get("/review").await, "#pain .entry").len(), 0);
}

#[tokio::test]
async fn an_odd_result_stays_until_it_is_seen_and_comes_back_when_it_changes() {
    let b = bench().await;
    let odd = NewResult { doubt: Some("Even the fastest would need 4:10.".to_owned()), ..timed(b.at, "one", "0:54", 54.0) };
    let id = log(&b.practice, b.ines, &odd).await;
    let coach = b.practice.as_person(b.coach).await;
    assert!(texts(&coach.get("/review").await, "#odd .entry")[0].contains("Even the fastest would need 4:10."));
    assert_eq!(location(&coach.post(&format!("/results/{id}/seen")).await), "/review?said=seen");
    let page = coach.get("/review").await;
    assert_eq!((texts(&page, "#odd .entry").len(), texts(&page, "#first .entry").len()), (0, 0));
    b.practice.app.clock.set(NOW + Duration::hours(1));
    let changed = NewResult { edit: 2, note: "The watch says so too.".to_owned(), ..odd };
    b.practice.app.store.log_result(b.ines, &changed, NOW + Duration::hours(1)).await.unwrap();
    assert_eq!(texts(&coach.get("/review").await, "#odd .entry").len(), 1);
    assert_eq!(coach.post("/results/999/seen").await.status_code(), 404);
}

#[tokio::test]
async fn a_held_result_is_marked() {
    let b = bench().await;
    let held = NewResult { score: None, doubt: Some("60 kg or 60 lb?".to_owned()), ..timed(b.at, "one", "60", 0.0) };
    log(&b.practice, b.ines, &held).await;
    let page = b.practice.as_person(b.coach).await.get("/review").await;
    assert_eq!(texts(&page, "#odd .chip"), ["held"]);
}

#[tokio::test]
async fn the_first_result_of_a_member_is_a_first_and_the_second_is_not() {
    let b = bench().await;
    log(&b.practice, b.ines, &timed(b.at, "one", "9:00", 540.0)).await;
    log(&b.practice, b.ines, &NewResult { part: 0, ..timed(b.at, "two", "60 kg", 1.0) }).await;
    let page = b.practice.as_person(b.coach).await.get("/review").await;
    assert_eq!(texts(&page, "#first .result"), ["9:00"]);
}

#[tokio::test]
async fn members_are_quiet_only_where_there_was_something_to_do() {
    let b = bench().await;
    let coach = b.practice.as_person(b.coach).await;
    assert_eq!(texts(&coach.get("/review").await, "#quiet .entry").len(), 0, "today's session is not missed yet");
    log(&b.practice, b.ines, &timed(b.at, "one", "9:00", 540.0)).await;
    b.practice.member("Odo", b.harbour).await;
    let idle = b.practice.group("Lighthouse").await;
    b.practice.member("Pia", idle).await;
    publish(&b.practice, b.harbour, b.coach, DAY + Duration::days(2), slow_then_fast()).await;
    b.practice.app.clock.set(NOW + Duration::days(4));
    let gone = texts(&coach.get("/review").await, "#quiet .entry");
    assert_eq!(gone.len(), 1, "four days are not five, and Pia had nothing to do: {gone:?}");
    assert!(gone[0].contains("Odo") && gone[0].contains("never logged") && gone[0].contains("2 days with a session"));
    b.practice.app.clock.set(NOW + Duration::days(5));
    let gone = texts(&coach.get("/review").await, "#quiet .entry");
    assert!(gone.len() == 2 && gone[1].contains("Ines") && gone[1].contains("5 days ago"), "{gone:?}");
}
