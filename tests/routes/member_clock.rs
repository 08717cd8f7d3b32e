//! The clock of a part.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::{DAY, Place, publish, slow_then_fast};
use dowel::store::ids::{GroupId, PersonId};
use dowel::training::dose::{Amount, Load};
use dowel::training::member::KitItem;
use dowel::training::session::{Format, Line, Part, ScoreKind};

async fn practice() -> (Practice, GroupId, PersonId, Place) {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let at = publish(&practice, group, coach, DAY, slow_then_fast()).await;
    (practice, group, coach, at)
}

fn clock(at: Place, part: &str) -> String {
    format!("/sessions/{}/parts/{part}/clock", at.id)
}

#[tokio::test]
async fn a_member_of_the_group_gets_the_clock_of_the_part() {
    let (practice, group, _, at) = practice().await;
    let ines = practice.member("Ines", group).await;
    let page = practice.as_person(ines).await.get(&clock(at, "1")).await;
    let plan: serde_json::Value = serde_json::from_str(&attributes(&page, "[data-clock]", "data-clock")[0]).unwrap();
    assert_eq!((&plan["cap_s"], &plan["steps"][0]["count_to"]), (&900.0.into(), &10.into()));
    assert_eq!(attributes(&page, "[data-clock]", "data-back"), [format!("/days/2026-11-25#s{}p1", at.id)]);
}

#[tokio::test]
async fn the_line_on_the_clock_says_how_slow_each_rep_is() {
    let (practice, _, coach, _) = practice().await;
    let group = practice.group("Lighthouse").await;
    let mut slow = slow_then_fast();
    slow.parts[0].lines = vec![Line {
        movement: "push-up".to_owned(),
        reps: Some(Amount::One(8.0)),
        tempo: Some("3-1-1-0".to_owned()),
        ..Line::default()
    }];
    let at = publish(&practice, group, coach, DAY, slow).await;
    let ines = practice.member("Ines", group).await;
    let page = practice.as_person(ines).await.get(&clock(at, "0")).await;
    assert_eq!(texts(&page, "[data-lines] li"), ["8 push-up, 3 s down, 1 s hold, 1 s up"]);
}

#[tokio::test]
async fn strangers_sign_in_first_and_coaches_have_no_clock() {
    let (practice, _, coach, at) = practice().await;
    assert!(location(&practice.browser().get(&clock(at, "1")).await).starts_with("/sign-in"));
    assert_eq!(practice.as_person(coach).await.get(&clock(at, "1")).await.status_code(), 404);
}

#[tokio::test]
async fn another_groups_session_is_not_found() {
    let (practice, _, _, at) = practice().await;
    let other = practice.group("Lighthouse").await;
    let timo = practice.member("Timo", other).await;
    assert_eq!(practice.as_person(timo).await.get(&clock(at, "1")).await.status_code(), 404);
}

#[tokio::test]
async fn a_part_that_is_not_there_is_not_found() {
    let (practice, group, _, at) = practice().await;
    let ines = practice.as_person(practice.member("Ines", group).await).await;
    assert_eq!(ines.get(&clock(at, "9")).await.status_code(), 404);
    assert!(ines.get(&clock(at, "x")).await.status_code().is_client_error());
}

/// A part that was published to a member who has a kettlebell of 12 kg, and their browser.
async fn given(part: Part) -> (Practice, axum_test::TestServer, Place) {
    let (practice, _, coach, _) = practice().await;
    let group = practice.group("Lighthouse").await;
    let mut session = slow_then_fast();
    session.parts[0] = part;
    let at = publish(&practice, group, coach, DAY, session).await;
    let ines = practice.member("Ines", group).await;
    let kit = [KitItem { item: "kettlebell".to_owned(), kg: vec![12.0], count: Some(1), ..KitItem::default() }];
    practice.app.store.save_kit(ines, &kit, NOW).await.unwrap();
    let ines = practice.as_person(ines).await;
    (practice, ines, at)
}

fn plan_of(page: &axum_test::TestResponse) -> serde_json::Value {
    serde_json::from_str(&attributes(page, "[data-clock]", "data-clock")[0]).unwrap()
}

fn push_ups(reps: Option<f64>) -> Line {
    Line { movement: "push-up".to_owned(), known: true, reps: reps.map(Amount::One), ..Line::default() }
}

#[tokio::test]
async fn words_alone_offer_no_clock_on_the_day() {
    let (_practice, ines, at) = given(Part { name: "Cool-down".to_owned(), format: Format::Practice, ..Part::default() }).await;
    let clocks = attributes(&ines.get("/days/2026-11-25").await, "a[href$='/clock']", "href");
    assert!(!clocks.contains(&clock(at, "0")) && clocks.contains(&clock(at, "1")), "{clocks:?}");
}

#[tokio::test]
async fn the_clock_of_plain_sets_knows_what_to_log_after_each() {
    let squat = Line {
        movement: "goblet squat".to_owned(),
        load: Some(Load::Kg { values: vec![12.0], range: false }),
        ..push_ups(Some(3.0))
    };
    let (_practice, ines, at) =
        given(Part { format: Format::Sets, rounds: Some(Amount::One(3.0)), lines: vec![squat], ..Part::default() }).await;
    let plan = plan_of(&ines.get(&clock(at, "0")).await);
    assert_eq!(plan["sets"], serde_json::json!(["1 x 3 at 12 kg", "2 x 3 at 12 kg", "3 x 3 at 12 kg"]));
    let offered = attributes(&ines.get("/days/2026-11-25").await, "form.do [name=score]", "value");
    assert_eq!(offered, ["3 x 3 at 12 kg"], "the log offers all of them");
}

#[tokio::test]
async fn reps_that_nobody_knows_beforehand_can_be_noted_set_by_set() {
    let most = Part {
        format: Format::MaxEffort,
        rounds: Some(Amount::One(3.0)),
        duration_s: Some(60.0),
        score: ScoreKind::Reps,
        lines: vec![Line { max: true, ..push_ups(None) }],
        ..Part::default()
    };
    let (_practice, ines, at) = given(most.clone()).await;
    let page = ines.get(&clock(at, "0")).await;
    assert_eq!(
        (plan_of(&page)["unit"].as_str(), attributes(&page, "[data-mass]", "aria-label")),
        (Some("reps"), vec!["reps".to_owned()])
    );
    let (_practice, ines, at) = given(Part { rounds: None, ..most }).await;
    assert_eq!(plan_of(&ines.get(&clock(at, "0")).await)["unit"].as_str(), None, "one go is what is logged");
}

#[tokio::test]
async fn the_clock_has_three_cues_of_each_movement() {
    let (_practice, ines, at) = given(Part { format: Format::Rounds, lines: vec![push_ups(Some(5.0))], ..Part::default() }).await;
    let page = ines.get(&clock(at, "0")).await;
    assert_eq!((texts(&page, ".clock-cues b"), texts(&page, ".clock-cues li").len()), (vec!["push-up".to_owned()], 3));
    assert_eq!(attributes(&page, ".clock-cues [data-of]", "data-of"), ["0"]);
}
