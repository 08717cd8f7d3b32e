//! The coach's daily review.

use crate::practice::{NOW, Practice, attributes, location, texts};
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
async fn a_fold_stays_open_while_its_entries_are_dealt_with() {
    let b = bench().await;
    let id = log(&b.practice, b.ines, &timed(b.at, "one", "9:00", 540.0)).await;
    let coach = b.practice.as_person(b.coach).await;
    let page = coach.get("/review?open=first").await;
    assert_eq!((texts(&page, "#first details[open]").len(), texts(&page, "#notes details[open]").len()), (1, 0));
    let seen = attributes(&page, "#first form", "action")[0].clone();
    assert!(seen.starts_with(&format!("/results/{id}/seen")), "{seen}");
    assert_eq!(location(&coach.post(&seen).await), "/review?said=seen&open=first#first");
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
    assert!(gone.is_empty(), "four days are not five, for who never logged too: {gone:?}");
    b.practice.app.clock.set(NOW + Duration::days(5));
    let gone = texts(&coach.get("/review").await, "#quiet .entry");
    assert_eq!(gone.len(), 2, "Pia had nothing to do: {gone:?}");
    assert!(gone[0].contains("Odo") && gone[0].contains("never logged") && gone[0].contains("2 days with a session"));
    assert!(gone[1].contains("Ines") && gone[1].contains("5 days ago"), "{gone:?}");
}

#[tokio::test]
async fn an_effort_far_from_plan_and_a_note_are_shown_until_seen() {
    let b = bench().await;
    // ten rounds for time are meant to be hard (8): 3 is far from it, 7 is not
    let easy = NewResult { rpe: Some(3.0), note: "A walk in the park.".to_owned(), ..timed(b.at, "one", "9:00", 540.0) };
    let id = log(&b.practice, b.ines, &easy).await;
    let odo = b.practice.member("Odo", b.harbour).await;
    log(&b.practice, odo, &NewResult { rpe: Some(7.0), ..timed(b.at, "two", "9:10", 550.0) }).await;
    let coach = b.practice.as_person(b.coach).await;
    let page = coach.get("/review").await;
    let far = texts(&page, "#far .entry");
    assert!(far.len() == 1 && far[0].contains("Ines") && far[0].contains("effort 3, planned about"), "{far:?}");
    assert!(far[0].contains("A walk in the park.") && far[0].contains("first result"), "all there is to see of it: {far:?}");
    assert_eq!(texts(&page, ".entry .who").len(), 2, "each result stands there once");
    coach.post(&format!("/results/{id}/seen")).await;
    let page = coach.get("/review").await;
    assert_eq!((texts(&page, "#far .entry").len(), texts(&page, "#notes .entry").len()), (0, 0));
}

#[tokio::test]
async fn what_a_new_member_told_waits_until_the_coach_has_spoken_with_them() {
    let b = bench().await;
    let store = &b.practice.app.store;
    store.save_limits(b.ines, &[], Some("I like early mornings.")).await.unwrap();
    let coach = b.practice.as_person(b.coach).await;
    let told = texts(&coach.get("/review").await, "#told .entry");
    assert!(told.len() == 1 && told[0].contains("Ines") && told[0].contains("I like early mornings."), "{told:?}");
    coach.post(&format!("/people/{}/spoken", b.ines)).await;
    assert!(texts(&coach.get("/review").await, "#told").is_empty());
    let odo = b.practice.member("Odo", b.harbour).await;
    store.save_limits(odo, &[], Some("My back hurts.")).await.unwrap();
    store.report(odo, "My back hurts.", NOW).await.unwrap();
    let page = coach.get("/review").await;
    assert_eq!(
        (texts(&page, "#told").len(), texts(&page, "#pain .entry").len(), texts(&page, "#held .entry").len()),
        (0, 0, 1),
        "what holds something back stands there once"
    );
}

#[tokio::test]
async fn what_the_clock_wrote_is_no_note() {
    let b = bench().await;
    let note = "Stopped at 7:42. Splits: 1:20 for 2, 1:31. 7:40 moving, 0:02 paused.".to_owned();
    log(&b.practice, b.ines, &NewResult { note, ..timed(b.at, "one", "9:00", 540.0) }).await;
    let page = b.practice.as_person(b.coach).await.get("/review").await;
    assert_eq!((texts(&page, "#notes .entry").len(), texts(&page, "#first .entry").len()), (0, 1));
}

#[tokio::test]
async fn what_changed_while_the_coach_read_comes_back() {
    let b = bench().await;
    let noted = NewResult { note: "Fine.".to_owned(), ..timed(b.at, "one", "9:00", 540.0) };
    let id = log(&b.practice, b.ines, &noted).await;
    let coach = b.practice.as_person(b.coach).await;
    let seen = attributes(&coach.get("/review").await, "#notes form", "action")[0].clone();
    assert!(seen.starts_with(&format!("/results/{id}/seen?as_of=")), "{seen}");
    let later = NOW + Duration::minutes(1);
    let changed = NewResult { edit: 2, note: "Fine, but my shoulder is odd.".to_owned(), ..noted };
    b.practice.app.store.log_result(b.ines, &changed, later).await.unwrap();
    b.practice.app.clock.set(NOW + Duration::minutes(2));
    coach.post(&seen).await;
    assert!(texts(&coach.get("/review").await, "#notes .entry")[0].contains("shoulder"));
}

#[tokio::test]
async fn whom_the_coach_has_spoken_with_is_left_in_peace_for_a_week() {
    let b = bench().await;
    log(&b.practice, b.ines, &timed(b.at, "one", "9:00", 540.0)).await;
    publish(&b.practice, b.harbour, b.coach, DAY + Duration::days(2), slow_then_fast()).await;
    let (coach, ines) = (b.practice.as_person(b.coach).await, b.practice.as_person(b.ines).await);
    b.practice.app.clock.set(NOW + Duration::days(6));
    assert_eq!(attributes(&coach.get("/review").await, "#quiet .entry .row a", "href"), ["mailto:ines@example.org"]);
    let address = format!("/people/{}/spoken", b.ines);
    assert_eq!(location(&coach.post(&address).await), "/review?said=spoken");
    assert!(texts(&coach.get("/review").await, "#quiet .entry").is_empty());
    b.practice.app.clock.set(NOW + Duration::days(14));
    assert_eq!(texts(&coach.get("/review").await, "#quiet .entry").len(), 1);
    assert_eq!(coach.post("/people/999/spoken").await.status_code(), 404);
    assert_eq!(ines.post(&address).await.status_code(), 404);
    assert!(location(&b.practice.browser().post(&address).await).starts_with("/sign-in"));
}

#[tokio::test]
async fn the_coach_sees_a_members_weeks_without_streaks_and_strain_only_where_it_is_sound() {
    let b = bench().await;
    let last = DAY - Duration::days(7);
    let before = publish(&b.practice, b.harbour, b.coach, last, slow_then_fast()).await;
    let whole = NewResult { rpe: Some(8.0), minutes: Some(30.0), done_on: last, ..timed(before, "a", "9:00", 540.0) };
    log(&b.practice, b.ines, &whole).await;
    log(&b.practice, b.ines, &NewResult { version_done: "lighter".to_owned(), ..timed(b.at, "b", "9:00", 540.0) }).await;
    let page = b.practice.as_person(b.coach).await.get(&format!("/people/{}", b.ines)).await;
    let cells = texts(&page, "[aria-label='Week by week'] tbody tr:nth-last-child(-n+2) > *");
    // one day of 240 in a week: mean 34.3, population deviation 84.0, monotony 0.41, strain 98
    assert_eq!(cells, ["16 Nov", "1 of 1", "240", "0.41", "98", "23 Nov", "1 of 1", "not known", "–", "–"]);
    assert!(texts(&page, "main")[0].contains("Versions: as written 1, lighter 1."));
}

#[tokio::test]
async fn a_week_in_which_only_some_gave_their_minutes_is_more_than_its_number() {
    let b = bench().await;
    let rated = |id: &str, minutes| NewResult { rpe: Some(8.0), minutes, ..timed(b.at, id, "9:00", 540.0) };
    log(&b.practice, b.ines, &rated("one", Some(10.0))).await;
    log(&b.practice, b.ines, &NewResult { part: 0, ..rated("two", None) }).await;
    let page = b.practice.as_person(b.coach).await.get(&format!("/people/{}", b.ines)).await;
    assert_eq!(texts(&page, "[aria-label='Week by week'] tbody tr:last-child .num")[0], "over 80");
}

#[tokio::test]
async fn pain_that_nobody_has_answered_stands_on_the_members_page() {
    let b = bench().await;
    let hurt = NewResult { hurt: Some("left knee".to_owned()), ..timed(b.at, "one", "9:00", 540.0) };
    log(&b.practice, b.ines, &hurt).await;
    let coach = b.practice.as_person(b.coach).await;
    let page = coach.get(&format!("/people/{}", b.ines)).await;
    assert!(texts(&page, ".notice.bad")[0].contains("left knee"), "{:?}", texts(&page, ".notice"));
    let id = b.practice.app.store.open_questions().await.unwrap()[0].id;
    coach.post(&format!("/questions/{id}/answer")).form(&[("answer", "Rest it."), ("next", "/review")]).await;
    assert!(texts(&coach.get(&format!("/people/{}", b.ines)).await, ".notice.bad").is_empty());
}
