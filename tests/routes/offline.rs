//! The phone without a signal: what it installs, what it may keep, and what it sends later.

use crate::practice::{PASSWORD, Practice, location, texts};
use crate::published::{DAY, Place, publish, slow_then_fast};
use axum_test::{TestResponse, TestServer};
use dowel::store::ids::PersonId;
use serde_json::{Value, json};
use time::Duration;

struct Floor {
    practice: Practice,
    coach: PersonId,
    ines: PersonId,
    at: Place,
}

impl Floor {
    async fn new() -> Self {
        let practice = Practice::new().await;
        let coach = practice.coach("Mara").await;
        let group = practice.group("Harbour").await;
        let ines = practice.member("Ines", group).await;
        let at = publish(&practice, group, coach, DAY, slow_then_fast()).await;
        publish(&practice, group, coach, DAY + Duration::days(2), slow_then_fast()).await;
        Self { practice, coach, ines, at }
    }

    async fn phone(&self) -> TestServer {
        self.practice.as_person(self.ines).await
    }

    /// Sends a result as the phone does it later, in the name of `person`.
    async fn send(&self, phone: &TestServer, person: &str, score: &str, edit: i64) -> TestResponse {
        let (version, edit) = (self.at.version.to_string(), edit.to_string());
        let form = [("client_id", "c1"), ("version_id", version.as_str()), ("score", score), ("edit", edit.as_str())];
        phone.post(&format!("/sessions/{}/parts/1/result", self.at.id)).add_header("dowel-person", person).form(&form).await
    }
}

async fn pages(phone: &TestServer, have: &Value) -> Value {
    phone.post("/offline/pages").json(&json!({ "have": have })).await.json()
}

fn paths(answer: &Value) -> Vec<&str> {
    answer["pages"].as_array().unwrap().iter().map(|p| p["path"].as_str().unwrap()).collect()
}

fn header<'a>(response: &'a TestResponse, name: &str) -> Option<&'a str> {
    response.headers().get(name).and_then(|v| v.to_str().ok())
}

#[tokio::test]
async fn the_manifest_names_icons_that_are_there() {
    let practice = Practice::new().await;
    let browser = practice.browser();
    let response = browser.get("/manifest.webmanifest").await;
    assert_eq!(header(&response, "content-type"), Some("application/manifest+json"));
    let manifest: Value = serde_json::from_str(&response.text()).unwrap();
    for icon in manifest["icons"].as_array().unwrap() {
        assert_eq!(browser.get(icon["src"].as_str().unwrap()).await.status_code(), 200, "{icon}");
    }
    assert_eq!(manifest["shortcuts"].as_array().unwrap().len(), 2);
}

#[tokio::test]
async fn the_worker_is_looked_for_at_each_visit_and_every_file_that_it_keeps_is_there() {
    let practice = Practice::new().await;
    let browser = practice.browser();
    let response = browser.get("/sw.js").await;
    assert_eq!(header(&response, "cache-control"), Some("no-cache"));
    let text = response.text();
    let files: Vec<&str> = text.split('"').filter(|s| s.starts_with("/static/")).collect();
    assert!(files.len() > 10, "{text}");
    for file in files {
        assert_eq!(browser.get(file).await.status_code(), 200, "{file}");
    }
}

#[tokio::test]
async fn pages_say_where_the_worker_may_put_words_of_its_own() {
    let floor = Floor::new().await;
    let none = floor.practice.browser().get("/no-signal").await;
    assert_eq!(texts(&none, "h1"), ["No signal"]);
    assert!(none.text().contains("<title>No signal") && marked(&none.text(), "page").contains("<h1>"));
    let day = floor.phone().await.get("/today?said=logged").await.text();
    assert_eq!(marked(&day, "aged"), "");
    assert!(marked(&day, "said").contains("Your result is saved."), "{day}");
}

/// What stands between the marks of a place, as `static/js/offline/worker.js` finds it.
fn marked<'a>(html: &'a str, name: &str) -> &'a str {
    let (_, rest) = html.split_once(&format!("<!--{name}-->")).unwrap();
    rest.split_once(&format!("<!--/{name}-->")).unwrap().0
}

#[tokio::test]
async fn a_phone_gets_today_and_the_coming_days_with_their_clocks() {
    let floor = Floor::new().await;
    let phone = floor.phone().await;
    let answer = pages(&phone, &json!({})).await;
    let paths = paths(&answer);
    assert_eq!(paths.iter().filter(|p| p.starts_with("/days/")).collect::<Vec<_>>(), [&"/days/2026-11-25", &"/days/2026-11-27"]);
    assert!(paths.contains(&"/sessions/1/parts/1/clock") && paths.contains(&"/sessions/2/parts/1/clock"), "{paths:?}");
    assert!(answer["pages"][0]["html"].as_str().unwrap().contains("form"), "the log form is on it");
    assert_eq!((&answer["person"], &answer["zone"]), (&json!(floor.ines.0), &json!("Europe/London")));
}

#[tokio::test]
async fn what_a_phone_has_is_not_sent_again_until_it_changes() {
    let floor = Floor::new().await;
    let phone = floor.phone().await;
    let first = pages(&phone, &json!({})).await;
    let have: Value =
        first["pages"].as_array().unwrap().iter().map(|p| (p["path"].as_str().unwrap(), p["version"].clone())).collect();
    let again = pages(&phone, &have).await;
    assert!(again["pages"].as_array().unwrap().iter().all(|p| p["html"].is_null()), "nothing changed");
    assert_eq!(floor.send(&phone, &floor.ines.to_string(), "7:42", 5).await.status_code(), 200);
    let after = pages(&phone, &have).await;
    let sent: Vec<&Value> = after["pages"].as_array().unwrap().iter().filter(|p| !p["html"].is_null()).collect();
    assert!(sent.iter().any(|p| p["path"] == "/days/2026-11-25"), "{sent:?}");
    assert!(!sent.iter().any(|p| p["path"] == "/sessions/1/parts/1/clock"), "clocks are as they were");
}

#[tokio::test]
async fn nobody_gets_somebody_elses_days() {
    let floor = Floor::new().await;
    let nobody = floor.practice.browser().post("/offline/pages").json(&json!({})).await;
    assert!(location(&nobody).starts_with("/sign-in"));
    let group = floor.practice.group("Lighthouse").await;
    let odo = floor.practice.member("Odo", group).await;
    let theirs = pages(&floor.practice.as_person(odo).await, &json!({})).await;
    assert_eq!(paths(&theirs), ["/days/2026-11-25"]);
    assert!(!theirs.to_string().contains("Ten rounds"));
    let coach = pages(&floor.practice.as_person(floor.coach).await, &json!({})).await;
    assert_eq!(coach["pages"], json!([]));
}

#[tokio::test]
async fn pages_say_which_sign_in_may_keep_them() {
    let floor = Floor::new().await;
    let (one, two) = (floor.phone().await, floor.practice.browser());
    two.post("/sign-in").form(&[("name", "ines@example.org"), ("password", PASSWORD)]).await;
    let (first, second) = (one.get("/today").await, two.get("/today").await);
    let key = header(&first, "dowel-keep").unwrap();
    assert_ne!(Some(key), header(&second, "dowel-keep"), "another sign-in is another name");
    assert_eq!(pages(&one, &json!({})).await["key"], key);
    assert_eq!(header(&first, "content-location"), Some("/days/2026-11-25"));
    for never in ["/you", "/questions-of-mine", "/sessions/1/parts/1/board"] {
        assert_eq!(header(&one.get(never).await, "dowel-keep"), None, "{never}");
    }
    assert_eq!(header(&floor.practice.browser().get("/today").await, "dowel-keep"), None);
}

#[tokio::test]
async fn seals_differ_and_last_beyond_a_sign_in() {
    let floor = Floor::new().await;
    let seal = |answer: &Value| answer["seal"].as_str().unwrap().to_owned();
    let one = seal(&pages(&floor.phone().await, &json!({})).await);
    assert_eq!(one, seal(&pages(&floor.phone().await, &json!({})).await));
    assert_ne!(one, seal(&pages(&floor.practice.as_person(floor.coach).await, &json!({})).await));
    assert_eq!(one.len(), 43, "32 bytes");
}

#[tokio::test]
async fn a_result_that_waited_is_saved_once_with_its_last_edit() {
    let floor = Floor::new().await;
    let phone = floor.phone().await;
    let who = floor.ines.to_string();
    for (score, edit) in [("7:42", 10), ("7:40", 20), ("7:42", 10), ("7:40", 20)] {
        let answer = floor.send(&phone, &who, score, edit).await;
        assert_eq!(
            (answer.status_code().as_u16(), answer.json::<Value>()["saved"].clone()),
            (200, "/days/2026-11-25?said=logged".into())
        );
    }
    let results = floor.practice.app.store.results_of_session(floor.at.id).await.unwrap();
    assert_eq!(results.iter().map(|r| r.score_text.as_str()).collect::<Vec<_>>(), ["7:40"]);
}

#[tokio::test]
async fn a_result_that_waited_is_sent_as_nobody_else() {
    let floor = Floor::new().await;
    let signed_out = floor.send(&floor.practice.browser(), &floor.ines.to_string(), "7:42", 1).await;
    assert_eq!(signed_out.status_code(), 401);
    let mistaken = floor.send(&floor.phone().await, &floor.coach.to_string(), "7:42", 1).await;
    assert_eq!(mistaken.status_code(), 403);
    assert!(floor.practice.app.store.results_of_session(floor.at.id).await.unwrap().is_empty());
}

#[tokio::test]
async fn a_result_that_cannot_be_read_goes_back_with_the_reason() {
    let floor = Floor::new().await;
    let answer = floor.send(&floor.phone().await, &floor.ines.to_string(), "quick", 1).await;
    assert_eq!(answer.status_code(), 422);
    assert!(answer.json::<Value>()["errors"]["score"].is_string());
}

#[tokio::test]
async fn signing_out_clears_what_the_browser_kept_by_itself_and_leaves_others_unsent_results() {
    let floor = Floor::new().await;
    let answer = floor.phone().await.post("/sign-out").await;
    assert_eq!(header(&answer, "clear-site-data"), Some("\"cache\""));
}
