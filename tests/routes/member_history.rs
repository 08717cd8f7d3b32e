//! What a member did, by week, by lift and by day.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::{DAY, Place, log, publish, slow_then_fast, timed};
use dowel::store::ids::{PersonId, SessionId, VersionId};
use dowel::store::results::NewResult;
use dowel::training::dose::Amount;
use dowel::training::session::{Line, PartOption};
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
    let before = NewResult { part: 0, done_on: DAY - Duration::days(1), ..timed(place, "b", "8:00", 480.0) };
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
    log(&s.practice, s.ines, &NewResult { part: 2, done_on: DAY - Duration::days(7), ..with("c", 7.0, 30.0) }).await;
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
async fn an_option_with_another_movement_counts_for_that_movement() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let mut session = slow_then_fast();
    let front = Line { movement: "front squat".to_owned(), reps: Some(Amount::One(3.0)), ..Line::default() };
    session.parts[0].options = vec![PartOption { name: "with a bar".to_owned(), lines: vec![front], ..PartOption::default() }];
    let place = publish(&practice, group, coach, DAY, session).await;
    let lifts = serde_json::json!({"kind": "load", "lifts": [{"weight": 80.0, "unit": "kg"}]});
    let done = NewResult { part: 0, score: Some(lifts), version_done: "with a bar".to_owned(), ..timed(place, "a", "80", 0.0) };
    log(&practice, ines, &done).await;
    let page = practice.as_person(ines).await.get("/history").await;
    assert_eq!(texts(&page, "[aria-label='Your lifts'] tbody th"), ["front squat"]);
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
        let part = usize::try_from(n).unwrap() + 2;
        let timed = timed(place, &n.to_string(), &format!("{n}:00"), 60.0);
        let result = NewResult { part, done_on: DAY - Duration::days(n / 3), ..timed };
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

fn set(text: &str, kg: f64, reps: u32) -> NewResult {
    let lifts = serde_json::json!({"kind": "load", "lifts": [{"weight": kg, "unit": "kg", "reps": reps}]});
    NewResult {
        part: 0,
        score: Some(lifts),
        load_kg: Some(kg),
        ..timed(Place { id: SessionId(0), version: VersionId(0) }, text, text, 0.0)
    }
}

/// The squats of three weeks: 80 x 5, 85 x 3, 80 x 3.
async fn three_weeks() -> Shelf {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    for (weeks, set) in [(2, set("80 kg x 5", 80.0, 5)), (1, set("85 kg x 3", 85.0, 3)), (0, set("80 kg x 3", 80.0, 3))] {
        let day = DAY - Duration::weeks(weeks);
        let at = publish(&practice, group, coach, day, slow_then_fast()).await;
        log(&practice, ines, &NewResult { session_id: at.id, version_id: at.version, done_on: day, ..set }).await;
    }
    Shelf { practice, ines }
}

#[tokio::test]
async fn a_lift_has_its_best_for_each_rep_count_and_a_line_with_its_numbers() {
    let s = three_weeks().await;
    let browser = s.practice.as_person(s.ines).await;
    let page = browser.get("/history/lifts/goblet%20squat").await;
    let cells = texts(&page, "main section:first-of-type tbody th, main section:first-of-type tbody td");
    assert_eq!(cells, ["3", "85 kg x 3", "Wed 18 Nov", "5", "80 kg x 5", "Wed 11 Nov"]);
    // Epley 85 x (1 + 3/30) = 93.5, Brzycki 85 x 36/34 = 90; the set of five gives 90 to 93.3
    assert!(texts(&page, "main")[0].contains("90 to 94 kg"));
    assert_eq!(texts(&page, ".trend circle").len(), 3);
    assert_eq!(texts(&page, ".why tbody tr").len(), 3);
    assert!(texts(&page, "#sources")[0].contains("Epley, 1985") && texts(&page, "#sources")[0].contains("Brzycki, 1993"));
    assert_eq!(browser.get("/history/lifts/front%20squat").await.status_code(), 404);
    assert!(location(&s.practice.browser().get("/history/lifts/goblet%20squat").await).starts_with("/sign-in"));
    let odo = s.practice.member("Odo", s.practice.app.store.groups_of(s.ines).await.unwrap()[0].id).await;
    assert_eq!(s.practice.as_person(odo).await.get("/history/lifts/goblet%20squat").await.status_code(), 404);
}

#[tokio::test]
async fn a_heavy_triple_is_kept_as_a_max_in_one_tap() {
    let s = three_weeks().await;
    let browser = s.practice.as_person(s.ines).await;
    let page = browser.get("/history/lifts/goblet%20squat").await;
    let fields: Vec<(String, String)> = attributes(&page, "form[action='/you/maxes'] input", "name")
        .into_iter()
        .zip(attributes(&page, "form[action='/you/maxes'] input", "value"))
        .collect();
    assert_eq!(browser.post("/you/maxes").form(&fields).await.status_code(), 303);
    // the lower of the two estimates: Brzycki, 85 x 36 / (37 - 3) = 90 kg
    let known = s.practice.app.store.known_maxes(s.ines).await.unwrap();
    assert!((known["goblet squat"] - 90.0).abs() < 1e-9, "{known:?}");
    let page = browser.get("/history/lifts/goblet%20squat").await;
    assert!(texts(&page, "form[action='/you/maxes']").is_empty(), "nothing heavier to keep");
    assert!(texts(&page, "main")[0].contains("Your max is 90 kg, estimated from a set, Wednesday 18 November"));
}

#[tokio::test]
async fn the_same_work_stands_side_by_side_and_other_conditions_are_no_progress() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    for (weeks, text, seconds, version) in [(2, "9:00", 540.0, "full"), (1, "7:00", 420.0, "lighter"), (0, "8:00", 480.0, "full")]
    {
        let day = DAY - Duration::weeks(weeks);
        let at = publish(&practice, group, coach, day, slow_then_fast()).await;
        let version_done = version.to_owned();
        log(&practice, ines, &NewResult { done_on: day, version_done, ..timed(at, text, text, seconds) }).await;
    }
    let page = practice.as_person(ines).await.get("/history").await;
    let said = texts(&page, "#again .hint");
    assert_eq!(texts(&page, "#again .result"), ["8:00", "7:00", "9:00"]);
    assert!(said.iter().any(|s| s.contains("not comparable: another version")), "{said:?}");
    assert!(said.iter().any(|s| s.contains("comparable: better since")), "{said:?}");
}
