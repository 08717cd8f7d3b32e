//! A held result is settled at the review with one tap, and its member reads what was made of it.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::{DAY, Place, log, publish, slow_then_fast, timed};
use dowel::store::ids::{PersonId, ResultId};
use dowel::store::people::Units;
use dowel::training::dose::Load;
use time::Duration;

struct Bench {
    practice: Practice,
    coach: PersonId,
    ines: PersonId,
    at: Place,
    held: ResultId,
}

impl Bench {
    /// Ines counts in pounds, the part is written in kilograms, and she typed a bare number.
    async fn new() -> Self {
        let practice = Practice::new().await;
        let coach = practice.coach("Mara").await;
        let group = practice.group("Harbour").await;
        let ines = practice.member("Ines", group).await;
        let store = &practice.app.store;
        let person = store.person(ines).await.unwrap();
        store.save_person(&dowel::store::people::Person { units: Units::Lb, ..person }).await.unwrap();
        let mut session = slow_then_fast();
        session.parts[0].lines[0].load = Some(Load::Kg { values: vec![40.0], range: false });
        let at = publish(&practice, group, coach, DAY, session).await;
        let browser = practice.as_person(ines).await;
        let version = at.version.to_string();
        let form = [("score", "45"), ("version", "full"), ("note", "grip went"), ("rpe", "8"), ("version_id", &version)];
        browser.post(&format!("/sessions/{}/parts/0/result", at.id)).form(&form).await;
        let held = store.results_of_session(at.id).await.unwrap()[0].id;
        Self { practice, coach, ines, at, held }
    }
}

#[tokio::test]
async fn one_tap_says_which_unit_and_the_member_reads_it() {
    let b = Bench::new().await;
    let coach = b.practice.as_person(b.coach).await;
    let page = coach.get("/review").await;
    assert_eq!(attributes(&page, "#odd button[name=score]", "value"), ["45 kg", "45 lb"]);
    let action = attributes(&page, "#odd form", "action").into_iter().find(|a| a.contains("/settle")).unwrap();
    let answer = coach.post(&action).form(&[("score", "45 lb")]).await;
    assert_eq!(location(&answer), "/review?said=settled&open=odd#odd");
    let now = b.practice.app.store.result(b.ines, b.held).await.unwrap();
    assert_eq!((now.score_text.as_str(), now.note.as_str(), now.rpe), ("45 lb", "grip went", Some(8.0)));
    assert!(now.score.is_some() && now.doubt.is_none());
    let page = coach.get("/review").await;
    assert!(texts(&page, "#odd .entry").is_empty() && texts(&page, "#notes .entry").is_empty(), "dealt with");
    let ines = b.practice.as_person(b.ines).await;
    let told = texts(&ines.get("/history").await, "main").remove(0);
    assert!(told.contains("Corrected by Mara, today 12:00: “45” is read as 45 lb."), "{told}");
    assert!(texts(&ines.get(&format!("/results/{}", b.held)).await, "#versions .entry")[0].contains("45"));
}

#[tokio::test]
async fn only_what_was_asked_can_be_answered_and_only_of_what_is_on_the_page() {
    let b = Bench::new().await;
    let coach = b.practice.as_person(b.coach).await;
    let address = format!("/results/{}/settle", b.held);
    for other in ["450 kg", "", "7:42"] {
        assert_eq!(location(&coach.post(&address).form(&[("score", other)]).await), "/review?said=changed_since", "{other}");
    }
    let stale = coach.post(&format!("{address}?as_of=1")).form(&[("score", "45 kg")]).await;
    assert_eq!(location(&stale), "/review?said=changed_since");
    assert!(b.practice.app.store.result(b.ines, b.held).await.unwrap().score.is_none());
    assert_eq!(coach.post("/results/999/settle").form(&[("score", "45 kg")]).await.status_code(), 404);
    let store = &b.practice.app.store;
    let certain = log(&b.practice, b.ines, &timed(b.at, "sure", "9:00", 540.0)).await;
    coach.post(&format!("/results/{certain}/settle")).form(&[("score", "45 kg")]).await;
    assert_eq!(store.result(b.ines, certain).await.unwrap().score_text, "9:00", "it waits for nothing");
    store.withdraw_result(b.ines, b.held, NOW + Duration::minutes(1)).await.unwrap();
    assert_eq!(coach.post(&address).form(&[("score", "45 kg")]).await.status_code(), 404);
}

#[tokio::test]
async fn members_and_assistants_settle_nothing() {
    let b = Bench::new().await;
    let address = format!("/results/{}/settle", b.held);
    let form = [("score", "45 kg")];
    assert!(location(&b.practice.browser().post(&address).form(&form).await).starts_with("/sign-in"));
    assert_eq!(b.practice.as_person(b.ines).await.post(&address).form(&form).await.status_code(), 404);
    let helper = b.practice.coach("Rut").await;
    b.practice.app.store.set_assistant(helper, true).await.unwrap();
    let helper = b.practice.as_person(helper).await;
    assert!(texts(&helper.get("/review").await, "#odd button[name=score]").is_empty());
    assert_eq!(helper.post(&address).form(&form).await.status_code(), 403);
    assert!(b.practice.app.store.result(b.ines, b.held).await.unwrap().score.is_none());
}
