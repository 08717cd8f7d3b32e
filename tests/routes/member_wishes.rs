//! Not today: a line changed on the spot, and back.

use crate::practice::{Practice, attributes, location, texts};
use crate::published::{self, DAY, Place};
use axum_test::{TestResponse, TestServer};
use dowel::store::ids::{GroupId, PersonId};

struct Day {
    practice: Practice,
    group: GroupId,
    ines: PersonId,
    browser: TestServer,
    at: Place,
}

impl Day {
    async fn new() -> Self {
        let practice = Practice::new().await;
        let group = practice.group("Harbour").await;
        let mara = practice.coach("Mara").await;
        let ines = practice.member("Ines", group).await;
        let at = published::publish(&practice, group, mara, DAY, published::slow_then_fast()).await;
        let browser = practice.as_person(ines).await;
        Self { practice, group, ines, browser, at }
    }

    fn address(&self, part: usize, line: usize) -> String {
        format!("/sessions/{}/parts/{part}/lines/{line}/change", self.at.id)
    }

    async fn say(&self, part: usize, line: usize, wish: &str) -> TestResponse {
        self.browser.post(&self.address(part, line)).form(&[("wish", wish)]).await
    }

    fn line(&self, part: usize, line: usize, inside: &str) -> String {
        format!("#s{}p{part}l{line} {inside}", self.at.id)
    }

    async fn day(&self) -> TestResponse {
        self.browser.get("/days/2026-11-25").await
    }

    async fn wishes(&self) -> usize {
        self.practice.app.store.wishes_of(self.ines).await.unwrap().values().map(Vec::len).sum()
    }
}

#[tokio::test]
async fn only_a_member_of_the_group_changes_a_line_that_is_there() {
    let d = Day::new().await;
    let form = [("wish", "too_loud")];
    assert!(location(&d.practice.browser().post(&d.address(1, 0)).form(&form).await).starts_with("/sign-in"));
    let other = d.practice.group("Lighthouse").await;
    let otis = d.practice.member("Otis", other).await;
    assert_eq!(d.practice.as_person(otis).await.post(&d.address(1, 0)).form(&form).await.status_code(), 404);
    assert_eq!(d.practice.as_coach("Otto").await.post(&d.address(1, 0)).form(&form).await.status_code(), 404);
    for (part, line) in [(9, 0), (1, 9)] {
        assert_eq!(d.say(part, line, "too_loud").await.status_code(), 404, "{part} {line}");
    }
    assert_eq!(d.say(1, 0, "bored").await.status_code(), 400);
    d.practice.app.store.unpublish(d.at.id).await.unwrap();
    assert_eq!(d.say(1, 0, "too_loud").await.status_code(), 404);
    assert_eq!(d.wishes().await, 0);
}

#[tokio::test]
async fn a_line_changes_in_place_and_one_tap_takes_it_back() {
    let d = Day::new().await;
    let push_up = d.line(1, 0, ".move");
    assert_eq!(texts(&d.day().await, &push_up), ["push-up"]);
    assert_eq!(texts(&d.day().await, &d.line(1, 0, "form button")).len(), 5);
    let response = d.say(1, 0, "too_heavy").await;
    assert_eq!(response.status_code(), 303);
    let page = d.browser.get(&location(&response)).await;
    assert_ne!(texts(&page, &push_up), ["push-up"]);
    assert!(texts(&page, &d.line(1, 0, ".changed"))[0].contains("too heavy today"));
    assert_eq!(attributes(&page, "details.part[open]", "id"), [format!("s{}p1", d.at.id)]);
    assert_eq!(texts(&page, &d.line(1, 1, ".move")), ["air squat"], "no other line moves");
    assert_eq!(d.say(1, 0, "").await.status_code(), 303);
    assert_eq!(texts(&d.day().await, &push_up), ["push-up"]);
    assert_eq!(d.wishes().await, 0);
}

#[tokio::test]
async fn another_members_page_does_not_move() {
    let d = Day::new().await;
    let bo = d.practice.member("Bo", d.group).await;
    d.say(1, 0, "too_heavy").await;
    let page = d.practice.as_person(bo).await.get("/days/2026-11-25").await;
    assert_eq!(texts(&page, &d.line(1, 0, ".move")), ["push-up"]);
}

#[tokio::test]
async fn what_hurts_stops_first_and_reaches_the_coach_once() {
    let d = Day::new().await;
    d.say(1, 0, "hurts").await;
    d.say(1, 0, "hurts").await;
    let page = d.day().await;
    assert!(texts(&page, &d.line(1, 0, ".dose")).is_empty(), "nothing is given");
    assert!(texts(&page, &d.line(1, 0, ".bad"))[0].starts_with("Stop this one."));
    assert_eq!(attributes(&page, &d.line(1, 0, "form button"), "value"), ["hurts_other", ""]);
    let asked = d.practice.app.store.questions_about(d.ines, d.at.id).await.unwrap();
    assert_eq!(asked.iter().map(|q| (q.pain, q.text.as_str())).collect::<Vec<_>>(), [(true, "It hurts: push-up.")]);
    d.say(1, 0, "hurts_other").await;
    let page = d.day().await;
    assert_ne!(texts(&page, &d.line(1, 0, ".move")), ["push-up"], "what hurt is not given again");
}

#[tokio::test]
async fn the_report_names_what_they_were_doing_when_it_hurt() {
    let d = Day::new().await;
    d.say(1, 0, "too_heavy").await;
    let doing = texts(&d.day().await, &d.line(1, 0, ".move")).remove(0);
    assert_ne!(doing, "push-up", "something else is given by now");
    d.say(1, 0, "hurts").await;
    let asked = d.practice.app.store.questions_about(d.ines, d.at.id).await.unwrap();
    assert_eq!(asked[0].text, format!("It hurts: {doing}, in place of push-up."));
}

#[tokio::test]
async fn a_changed_line_is_logged_as_adapted_with_what_was_given() {
    let d = Day::new().await;
    d.say(1, 0, "too_heavy").await;
    let page = d.day().await;
    let part = format!("#s{}p1 ", d.at.id);
    let chosen = attributes(&page, &format!("{part}[name=version][checked]"), "value");
    assert_eq!(chosen, ["adapted"]);
    let given = texts(&page, &d.line(1, 0, ".move")).remove(0);
    let version = d.at.version.to_string();
    let form = [("client_id", "a"), ("version_id", version.as_str()), ("score", "9:30"), ("version", "adapted")];
    let response = d.browser.post(&format!("/sessions/{}/parts/1/result", d.at.id)).form(&form).await;
    assert_eq!(response.status_code(), 303);
    let results = d.practice.app.store.results_on(d.ines, DAY).await.unwrap();
    assert!(results[0].given.as_ref().unwrap().to_string().contains(&given));
    assert!(texts(&d.day().await, &d.line(1, 0, "form")).is_empty(), "a part that is done is no longer changed");
}

#[tokio::test]
async fn said_at_the_clock_it_leads_back_to_the_clock_which_offers_to_take_it_back() {
    let d = Day::new().await;
    let clock = format!("/sessions/{}/parts/1/clock", d.at.id);
    let form = |line: usize| format!("[data-change] form[action='{}']", d.address(1, line));
    let before = d.browser.get(&clock).await;
    assert_eq!(attributes(&before, &form(0), "data-of"), ["0"]);
    assert_eq!(texts(&before, &format!("{} button", form(0))).len(), 5);
    let said = [("wish", "too_heavy"), ("on", "clock")];
    let response = d.browser.post(&d.address(1, 0)).form(&said).await;
    assert_eq!(location(&response), clock);
    let after = d.browser.get(&clock).await;
    assert_ne!(texts(&after, "[data-line]")[0], texts(&before, "[data-line]")[0]);
    assert_eq!(attributes(&after, &format!("{} button", form(0)), "value"), [""]);
    assert!(texts(&after, &format!("{} .note", form(0)))[0].contains("too heavy today"));
    let unknown = [("wish", "too_heavy"), ("on", "moon")];
    assert!(d.browser.post(&d.address(1, 0)).form(&unknown).await.status_code().is_client_error());
}
