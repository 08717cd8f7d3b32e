//! What a member did, by week, by lift and by day.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::{DAY, log, publish, slow_then_fast, timed};
use dowel::store::ids::PersonId;
use dowel::store::results::NewResult;
use time::Duration;

struct Shelf {
    practice: Practice,
    ines: PersonId,
}

async fn shelf() -> (Shelf, crate::published::Place) {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let place = publish(&practice, group, coach, DAY, slow_then_fast()).await;
    (Shelf { practice, ines }, place)
}

#[tokio::test]
async fn strangers_and_coaches_have_no_history() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    assert!(location(&practice.browser().get("/history").await).starts_with("/sign-in"));
    assert_eq!(practice.as_person(coach).await.get("/history").await.status_code(), 404);
}

#[tokio::test]
async fn an_empty_history_says_how_to_begin() {
    let (s, _) = shelf().await;
    let page = s.practice.as_person(s.ines).await.get("/history").await;
    assert_eq!(attributes(&page, ".empty a", "href"), ["/today"]);
    assert!(texts(&page, "figure").is_empty());
}

#[tokio::test]
async fn results_stand_by_day_newest_first_and_only_ones_own() {
    let (s, place) = shelf().await;
    let group = s.practice.app.store.groups_of(s.ines).await.unwrap()[0].id;
    let odo = s.practice.member("Odo", group).await;
    log(&s.practice, odo, &timed(place, "o", "5:00", 300.0)).await;
    log(&s.practice, s.ines, &timed(place, "a", "7:42", 462.0)).await;
    let before = NewResult { done_on: DAY - Duration::days(1), ..timed(place, "b", "8:00", 480.0) };
    log(&s.practice, s.ines, &before).await;
    let page = s.practice.as_person(s.ines).await.get("/history").await;
    assert_eq!(texts(&page, "h3"), ["Wednesday 25 November", "Tuesday 24 November"]);
    assert_eq!(texts(&page, ".entry .result"), ["7:42", "8:00"]);
}

#[tokio::test]
async fn load_of_a_week_is_effort_times_minutes() {
    let (s, place) = shelf().await;
    let with = |client: &str, rpe: f64, minutes: f64| NewResult {
        rpe: Some(rpe),
        minutes: Some(minutes),
        ..timed(place, client, "7:42", 462.0)
    };
    log(&s.practice, s.ines, &with("a", 8.0, 10.0)).await;
    log(&s.practice, s.ines, &NewResult { part: 0, ..with("b", 5.0, 20.0) }).await;
    log(&s.practice, s.ines, &NewResult { done_on: DAY - Duration::days(7), ..with("c", 7.0, 30.0) }).await;
    let page = s.practice.as_person(s.ines).await.get("/history").await;
    let cells = texts(&page, ".why tbody th, .why tbody td");
    assert_eq!(cells[cells.len() - 6..], ["16 Nov", "210", "1", "23 Nov", "180", "1"]);
    assert_eq!(texts(&page, "figure").len(), 1);
}

#[tokio::test]
async fn a_lift_shows_its_heaviest_and_an_estimate_as_a_span() {
    let (s, place) = shelf().await;
    let lifts = serde_json::json!({"kind": "load", "lifts": [
        {"weight": 80.0, "unit": "kg", "reps": 5}, {"weight": 85.0, "unit": "kg", "reps": 0}
    ]});
    let squat = NewResult { part: 0, score: Some(lifts), ..timed(place, "a", "80 kg x 5, 85 kg x 0", 0.0) };
    log(&s.practice, s.ines, &squat).await;
    let page = s.practice.as_person(s.ines).await.get("/history").await;
    // Epley: 80 x (1 + 5/30) = 93.3; Brzycki: 80 x 36 / (37 - 5) = 90
    let cells = texts(&page, "[aria-label='Your lifts'] tbody th, [aria-label='Your lifts'] tbody td");
    assert_eq!(cells, ["goblet squat", "80 kg x 5Wed 25 Nov", "90 to 93 kg"]);
}

#[tokio::test]
async fn a_lift_done_in_place_of_another_is_not_compared_with_it() {
    let (s, place) = shelf().await;
    let lifts = serde_json::json!({"kind": "load", "lifts": [{"weight": 80.0, "unit": "kg", "reps": 5}]});
    let swapped = NewResult { part: 0, score: Some(lifts), version_done: "adapted".to_owned(), ..timed(place, "a", "80", 0.0) };
    log(&s.practice, s.ines, &swapped).await;
    let page = s.practice.as_person(s.ines).await.get("/history").await;
    assert!(texts(&page, "[aria-label='Your lifts']").is_empty());
}

#[tokio::test]
async fn a_long_history_is_paged_without_losing_or_repeating_one() {
    let (s, place) = shelf().await;
    for n in 0..35 {
        let result = NewResult { done_on: DAY - Duration::days(n / 3), ..timed(place, &n.to_string(), &format!("{n}:00"), 60.0) };
        s.practice.app.store.log_result(s.ines, &result, NOW).await.unwrap();
    }
    let browser = s.practice.as_person(s.ines).await;
    let first = browser.get("/history").await;
    let older = attributes(&first, "main .acts a", "href");
    let second = browser.get(&older[0]).await;
    let mut seen = attributes(&first, ".entry .who", "href");
    assert_eq!(seen.len(), 30);
    seen.extend(attributes(&second, ".entry .who", "href"));
    seen.sort();
    seen.dedup();
    assert_eq!(seen.len(), 35);
    assert_eq!(texts(&browser.get("/history?before=nonsense").await, ".entry").len(), 30);
}
