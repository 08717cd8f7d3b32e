//! The clock of a part.

use crate::practice::{Practice, attributes, location, texts};
use crate::published::{DAY, Place, publish, slow_then_fast};
use dowel::store::ids::{GroupId, PersonId};
use dowel::training::dose::Amount;
use dowel::training::session::Line;

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
