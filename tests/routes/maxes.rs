//! Known maxes: the member's own page and the coach's.

use crate::practice::{Practice, attributes, location, texts};
use dowel::store::people::{Person, Units};

#[tokio::test]
async fn strangers_and_other_roles_see_no_maxes() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let coach = practice.as_coach("Mara").await;
    let of_ines = format!("/people/{ines}/maxes");
    for address in ["/you/maxes", &of_ines] {
        let response = practice.browser().get(address).await;
        assert!(location(&response).starts_with("/sign-in"), "{address}");
    }
    assert_eq!(coach.get("/you/maxes").await.status_code(), 404);
    let member = practice.as_person(ines).await;
    assert_eq!(member.get(&of_ines).await.status_code(), 404);
    assert_eq!(member.post(&of_ines).form(&[("movement", "deadlift"), ("weight", "100")]).await.status_code(), 404);
    assert_eq!(coach.get("/people/999/maxes").await.status_code(), 404);
}

#[tokio::test]
async fn a_member_keeps_a_max_and_takes_it_back() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let browser = practice.as_person(ines).await;
    let form = [("movement", "Deadlift"), ("weight", "100"), ("day", "2026-11-20")];
    assert_eq!(location(&browser.post("/you/maxes").form(&form).await), "/you/maxes?said=saved");
    // a double tap
    browser.post("/you/maxes").form(&form).await;
    let maxes = practice.app.store.maxes_of(ines).await.unwrap();
    assert_eq!((maxes.len(), maxes[0].kg), (1, 100.0));
    let page = browser.get("/you/maxes").await;
    assert_eq!(texts(&page, ".entry .result"), ["100 kg"]);
    let remove = attributes(&page, ".entry form", "action").remove(0);
    assert_eq!(location(&browser.post(&remove).await), "/you/maxes?said=deleted");
    assert!(practice.app.store.maxes_of(ines).await.unwrap().is_empty());
}

#[tokio::test]
async fn what_is_wrong_is_said_beside_it_and_what_was_typed_stays() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let browser = practice.as_person(ines).await;
    let form = [("movement", "air squat"), ("weight", "heavy"), ("day", "2026-11-26")];
    let response = browser.post("/you/maxes").form(&form).await;
    assert_eq!(response.status_code(), 422);
    assert_eq!(texts(&response, "#weight-error, #day-error").len(), 2);
    assert_eq!(attributes(&response, "#movement, #weight, #day", "value"), ["air squat", "heavy", "2026-11-26"]);
}

#[tokio::test]
async fn a_lift_that_could_be_several_is_asked_about_by_name() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let response = practice.as_person(ines).await.post("/you/maxes").form(&[("movement", "bench"), ("weight", "80")]).await;
    assert_eq!(response.status_code(), 422);
    let said = texts(&response, "#movement-error").remove(0);
    assert!(said.starts_with("Which one? ") && said.contains("bench press") && said.contains("dumbbell bench press"), "{said}");
}

#[tokio::test]
async fn nobody_removes_the_max_of_another() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let (ines, joao) = (practice.member("Ines", group).await, practice.member("Joao", group).await);
    let browser = practice.as_person(ines).await;
    browser.post("/you/maxes").form(&[("movement", "deadlift"), ("weight", "100")]).await;
    let id = practice.app.store.maxes_of(ines).await.unwrap()[0].id;
    let other = practice.as_person(joao).await;
    assert_eq!(other.post(&format!("/you/maxes/{id}/remove")).await.status_code(), 404);
    assert_eq!(practice.app.store.maxes_of(ines).await.unwrap().len(), 1);
}

#[tokio::test]
async fn the_coach_enters_a_max_in_pounds_and_the_member_reads_it_in_kilograms() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let mara = practice.coach("Mara").await;
    let person = practice.app.store.person(mara).await.unwrap();
    practice.app.store.save_person(&Person { units: Units::Lb, ..person }).await.unwrap();
    let coach = practice.as_person(mara).await;
    let address = format!("/people/{ines}/maxes");
    let form = [("movement", "back squat"), ("weight", "225")];
    assert_eq!(location(&coach.post(&address).form(&form).await), format!("{address}?said=saved"));
    assert_eq!(texts(&coach.get(&address).await, ".entry .result"), ["225 lb"]);
    let member = practice.as_person(ines).await;
    assert_eq!(texts(&member.get("/you/maxes").await, ".entry .result"), ["102.1 kg"]);
}
