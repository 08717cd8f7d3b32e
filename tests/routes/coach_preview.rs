//! A draft as one member will see it.

use crate::practice::{NOW, Practice, location, texts};
use crate::published::DAY;
use dowel::training::member::KitItem;

const DRAFT: &str = "Tide table\n\nFor time\n30 air squats\n10 dumbbell snatches, 15 kg\n";

#[tokio::test]
async fn a_preview_is_for_coaches_and_of_the_groups_own_members() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    let (group, other) = (practice.group("Harbour").await, practice.group("Lighthouse").await);
    practice.app.store.save_draft(group, DAY, 1, DRAFT, 0, NOW).await.unwrap();
    let (ines, otis) = (practice.member("Ines", group).await, practice.member("Otis", other).await);
    let otto = practice.coach("Otto").await;
    let of = |day: &str, id: i64| format!("/groups/{group}/days/{day}/1/as/{id}");
    let good = of("2026-11-25", ines.0);
    assert!(location(&practice.browser().get(&good).await).starts_with("/sign-in"));
    assert_eq!(practice.as_person(ines).await.get(&good).await.status_code(), 404);
    for bad in [of("2026-11-25", otis.0), of("2026-11-25", otto.0), of("2026-11-25", 999), of("2026-11-26", ines.0)] {
        assert_eq!(mara.get(&bad).await.status_code(), 404, "{bad}");
    }
    practice.app.store.end_membership(ines, NOW).await.unwrap();
    assert_eq!(mara.get(&good).await.status_code(), 404);
}

#[tokio::test]
async fn each_member_is_shown_with_their_own_lines_and_what_was_weighed_up() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    let group = practice.group("Harbour").await;
    practice.app.store.save_draft(group, DAY, 1, DRAFT, 0, NOW).await.unwrap();
    let (ines, bo) = (practice.member("Ines", group).await, practice.member("Bo", group).await);
    let kit = KitItem { item: "dumbbell".to_owned(), kg: vec![15.0], count: Some(1), ..KitItem::default() };
    practice.app.store.save_kit(ines, &[kit], NOW).await.unwrap();
    let served = mara.get(&format!("/groups/{group}/days/2026-11-25/1/as/{ines}")).await;
    assert_eq!(texts(&served, ".line .load"), ["15 kg"]);
    assert!(texts(&served, ".weighed").is_empty(), "nothing is changed");
    let bare = mara.get(&format!("/groups/{group}/days/2026-11-25/1/as/{bo}")).await;
    assert!(texts(&bare, ".line .load").is_empty());
    assert_eq!(texts(&bare, ".as-written b").len(), 1);
    let given = texts(&bare, ".line:last-child .move").remove(0);
    let beside = texts(&bare, ".line:first-child .move").remove(0);
    let weighed = texts(&bare, ".weighed li");
    let free = weighed.iter().find(|w| !w.contains(&format!(" {beside}:"))).unwrap();
    assert!(free.contains(&format!(" {given}:")), "{given} is the cheapest of {weighed:?} that the part does not have already");
    let struck = texts(&bare, ".line:last-child .why ul li");
    let rule = "dumbbell snatch: has not got a dumbbell for the dumbbell snatch";
    assert!(struck.iter().any(|s| s == rule), "the coach reads why it is not as written: {struck:?}");
    assert!(texts(&bare, "form.score").is_empty(), "nothing can be logged here");
}
