//! The JSON API: tokens, scopes, the rights of the pages, problems as RFC 9457 says.

use crate::practice::{NOW, PASSWORD, Practice, attributes, location, texts};
use crate::published::{DAY, Place, log, publish, slow_then_fast, timed};
use axum::http::StatusCode;
use axum_test::{TestRequest, TestServer};
use dowel::store::ids::{GroupId, PersonId, ResultId};
use dowel::store::results::NewResult;
use dowel::store::tokens::Scope;
use dowel::web::api::access::{hash, new_token};
use serde_json::{Value, json};
use time::Duration;

const ID: &str = "01939f5a-7e1c-7b1e-8000-000000000001";

struct Harbour {
    practice: Practice,
    coach: PersonId,
    group: GroupId,
    ines: PersonId,
    at: Place,
    server: TestServer,
}

impl Harbour {
    async fn new() -> Self {
        let practice = Practice::new().await;
        let coach = practice.coach("Mara").await;
        let group = practice.group("Harbour").await;
        let ines = practice.member("Ines", group).await;
        let at = publish(&practice, group, coach, DAY, slow_then_fast()).await;
        let server = practice.browser();
        Self { practice, coach, group, ines, at, server }
    }

    async fn token(&self, who: PersonId, scopes: &[Scope]) -> String {
        let token = new_token();
        let until = NOW + Duration::days(30);
        self.practice.app.store.add_token(who, &hash(&token), "test", scopes, (NOW, until)).await.unwrap();
        token
    }

    fn get(&self, path: &str, token: &str) -> TestRequest {
        self.server.get(&format!("/api/v1{path}")).authorization_bearer(token)
    }

    fn body(&self) -> Value {
        json!({ "client_id": ID, "version_id": self.at.version, "score": "7:42", "rpe": 8, "minutes": 7.7, "note": "warm" })
    }

    fn log(&self, token: &str, part: usize, body: &Value) -> TestRequest {
        self.server.post(&format!("/api/v1/sessions/{}/parts/{part}/results", self.at.id)).authorization_bearer(token).json(body)
    }
}

const ALL: [Scope; 2] = [Scope::Read, Scope::Log];

#[tokio::test]
async fn without_a_good_token_there_is_nothing() {
    let h = Harbour::new().await;
    let none = h.server.get("/api/v1/me").await;
    assert_eq!(
        (none.status_code().as_u16(), none.headers()["www-authenticate"].to_str().unwrap()),
        (401, "Bearer realm=\"dowel\"")
    );
    assert_eq!(none.headers()["content-type"], "application/problem+json");
    assert_eq!(none.json::<Value>()["status"], 401);
    let wrong = h.get("/me", "dowel_guessed").await;
    assert_eq!(wrong.status_code(), 401);
    assert!(wrong.headers()["www-authenticate"].to_str().unwrap().contains("error=\"invalid_token\""));
    let basic = h.server.get("/api/v1/me").add_header("authorization", "Basic aW5lczp4").await;
    assert_eq!(basic.status_code(), 400);
    // a browser that is signed in has no key here
    let browser = h.practice.as_person(h.ines).await;
    assert_eq!(browser.get("/api/v1/me").await.status_code(), 401);
}

#[tokio::test]
async fn a_token_ends_by_time_by_its_owner_and_when_they_leave() {
    let h = Harbour::new().await;
    let store = &h.practice.app.store;
    let token = h.token(h.ines, &ALL).await;
    let me = h.get("/me", &token).await;
    assert_eq!(me.json::<Value>()["name"], "Ines");
    assert_eq!(me.headers()["cache-control"], "no-store");
    assert_eq!(store.tokens_of(h.ines).await.unwrap()[0].used_at, Some(NOW));
    h.practice.app.clock.set(NOW + Duration::days(31));
    assert_eq!(h.get("/me", &token).await.status_code(), 401);
    h.practice.app.clock.set(NOW);
    store.end_membership(h.ines, NOW).await.unwrap();
    assert_eq!(h.get("/me", &token).await.status_code(), 401);
    store.resume_membership(h.ines).await.unwrap();
    assert_eq!(h.get("/me", &token).await.status_code(), 401, "it ended for good");
    let token = h.token(h.ines, &ALL).await;
    h.practice.as_person(h.ines).await;
    assert_eq!(h.get("/me", &token).await.status_code(), 401, "a new password ends tokens");
}

#[tokio::test]
async fn too_many_wrong_tokens_wait_and_a_right_one_passes() {
    let h = Harbour::new().await;
    let token = h.token(h.ines, &ALL).await;
    for _ in 0..60 {
        assert_eq!(h.get("/me", "dowel_guessed").await.status_code(), 401);
    }
    let slow = h.get("/me", "dowel_guessed").await;
    assert_eq!((slow.status_code().as_u16(), slow.headers()["retry-after"].to_str().unwrap()), (429, "60"));
    assert_eq!(h.get("/me", &token).await.status_code(), 200);
}

#[tokio::test]
async fn a_token_does_what_its_scopes_say_and_no_more() {
    let h = Harbour::new().await;
    let (reads, logs) = (h.token(h.ines, &[Scope::Read]).await, h.token(h.ines, &[Scope::Log]).await);
    let refused = h.log(&reads, 1, &h.body()).await;
    assert_eq!(refused.status_code(), 403);
    assert!(refused.headers()["www-authenticate"].to_str().unwrap().contains("insufficient_scope"));
    assert_eq!(h.get("/results", &logs).await.status_code(), 403);
    let coach = h.token(h.coach, &[Scope::Read]).await;
    assert_eq!(h.get(&format!("/groups/{}/members", h.group), &coach).await.status_code(), 403);
    // a scope does not make a coach of a member
    let forged = h.token(h.ines, &[Scope::Coach]).await;
    for path in ["members", "results"].map(|p| format!("/groups/{}/{p}", h.group)) {
        assert_eq!(h.get(&path, &forged).await.status_code(), 404);
    }
    assert_eq!(h.get(&format!("/members/{}", h.ines), &forged).await.status_code(), 404);
}

#[tokio::test]
async fn a_result_is_logged_once_changed_by_the_later_edit_and_taken_back() {
    let h = Harbour::new().await;
    let token = h.token(h.ines, &ALL).await;
    let first = h.log(&token, 1, &h.body()).await;
    assert_eq!(first.status_code(), 201);
    let first = first.json::<Value>();
    assert_eq!((&first["score"], &first["note"]), (&json!({ "kind": "time", "seconds": 462.0 }), &json!("warm")));
    let mut live = h.body();
    live.as_object_mut().unwrap().remove("version_id");
    assert_eq!(h.log(&token, 1, &live).await.json::<Value>()["version_id"], first["version_id"]);
    let again = h.log(&token, 1, &h.body()).await.json::<Value>();
    assert_eq!((&again["id"], &again["stands"]), (&first["id"], &json!(true)));
    let path = format!("/api/v1/results/{}", first["id"]);
    let put = |edit: i64, score: &str| {
        let body = json!({ "client_id": ID, "version_id": h.at.version, "score": score, "edit": edit });
        h.server.put(&path).authorization_bearer(&token).json(&body)
    };
    let later = put(3, "7:30").await.json::<Value>();
    assert_eq!((&later["score_text"], &later["stands"]), (&json!("7:30"), &json!(true)));
    for _ in 0..2 {
        let late = put(2, "9:09").await.json::<Value>();
        assert_eq!((&late["score_text"], &late["stands"]), (&json!("7:30"), &json!(false)), "an earlier edit comes late");
    }
    let id = ResultId(first["id"].as_i64().unwrap());
    let edits = h.practice.app.store.edits_of(id).await.unwrap();
    let kept: Vec<(&str, bool)> = edits.iter().map(|e| (e.before.score_text.as_str(), e.late)).collect();
    assert_eq!(kept, [("9:09", true), ("7:42", false)], "and is kept, once");
    assert_eq!(h.practice.app.store.results_of_session(h.at.id).await.unwrap().len(), 1);
    assert!(h.server.delete(&path).authorization_bearer(&token).await.json::<Value>()["withdrawn_at"].is_string());
    assert_eq!(h.get("/results", &token).await.json::<Value>(), json!([]));
}

#[tokio::test]
async fn fields_that_cannot_be_read_are_named_and_nothing_is_changed() {
    let h = Harbour::new().await;
    let token = h.token(h.ines, &ALL).await;
    let mut body = h.body();
    body["score"] = json!("fast");
    body["done_on"] = json!("2027-01-01");
    let answer = h.log(&token, 1, &body).await;
    assert_eq!(
        (answer.status_code().as_u16(), answer.headers()["content-type"].to_str().unwrap()),
        (422, "application/problem+json")
    );
    let fields: Vec<Value> = answer.json::<Value>()["errors"].as_array().unwrap().iter().map(|e| e["field"].clone()).collect();
    assert_eq!(fields, ["score", "done_on"]);
    assert_eq!(h.log(&token, 1, &json!({ "score": "7:42" })).await.status_code(), 422, "no client_id");
    assert_eq!(h.log(&token, 1, &json!({ "client_id": ID, "score": "7:42", "version_id": 99 })).await.status_code(), 404);
    assert_eq!(h.log(&token, 9, &h.body()).await.status_code(), 404);
    let typed = h.server.post(&format!("/api/v1/sessions/{}/parts/1/results", h.at.id)).authorization_bearer(&token).text("{");
    assert_eq!(typed.await.status_code(), 415);
    assert!(h.practice.app.store.results_of_session(h.at.id).await.unwrap().is_empty());
}

#[tokio::test]
async fn what_is_not_yours_is_not_found() {
    let h = Harbour::new().await;
    let elsewhere = h.practice.group("Evenings").await;
    let odd = h.practice.member("Odd", elsewhere).await;
    let result = log(&h.practice, h.ines, &timed(h.at, "one", "7:42", 462.0)).await;
    let token = h.token(odd, &ALL).await;
    let session = h.at.id;
    for path in [
        format!("/sessions/{session}"),
        format!("/sessions/{session}/parts/1/leaderboard"),
        format!("/groups/{}/weeks/2026-11-23", h.group),
        format!("/results/{result}"),
        "/days/yesterday".to_owned(),
        "/nowhere".to_owned(),
    ] {
        let answer = h.get(&path, &token).await;
        assert_eq!(answer.status_code(), 404, "{path}");
        assert_eq!(answer.headers()["content-type"], "application/problem+json", "{path}");
    }
    assert_eq!(h.log(&token, 1, &h.body()).await.status_code(), 404);
    assert_eq!(h.server.delete(&format!("/api/v1/results/{result}")).authorization_bearer(&token).await.status_code(), 404);
    let coach = h.token(h.coach, &[Scope::Read, Scope::Coach, Scope::Log]).await;
    assert_eq!(h.log(&coach, 1, &h.body()).await.status_code(), 404, "a coach logs for nobody");
}

#[tokio::test]
async fn a_member_reads_week_session_day_and_board_as_on_the_pages() {
    let h = Harbour::new().await;
    let private = NewResult { hidden: true, ..timed(h.at, "two", "6:00", 360.0) };
    let odd = h.practice.member("Odd", h.group).await;
    log(&h.practice, odd, &private).await;
    log(&h.practice, h.ines, &timed(h.at, "one", "7:42", 462.0)).await;
    let token = h.token(h.ines, &ALL).await;
    let week = h.get(&format!("/groups/{}/weeks/2026-11-23", h.group), &token).await.json::<Value>();
    assert_eq!(week["sessions"][0]["session"]["parts"][1]["name"], "Ten rounds");
    assert_eq!(h.get(&format!("/groups/{}/weeks/2026-11-24", h.group), &token).await.status_code(), 404);
    let day = h.get("/days/2026-11-25", &token).await.json::<Value>();
    assert!(day["sessions"][0]["tailored"]["parts"][1]["lines"][0]["action"].is_string());
    let board = h.get(&format!("/sessions/{}/parts/1/leaderboard", h.at.id), &token).await.json::<Value>();
    let rows = board["tables"][0]["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 1, "what is private is not there");
    assert_eq!((&rows[0]["who"], &rows[0]["place"], &rows[0]["you"]), (&json!("Ines"), &json!(1), &json!(true)));
    let found = h.get("/movements?q=push-up", &token).await.json::<Value>();
    assert!(found.as_array().unwrap().iter().any(|m| m["name"] == "push-up"));
    assert_eq!(h.get("/movements/push-up", &token).await.json::<Value>()["name"], "push-up");
}

#[tokio::test]
async fn a_coach_reads_members_and_private_words_only_when_asked_for() {
    let h = Harbour::new().await;
    let new = NewResult { note: "sore".to_owned(), hurt: Some("wrist".to_owned()), ..timed(h.at, "one", "7:42", 462.0) };
    log(&h.practice, h.ines, &new).await;
    let token = h.token(h.coach, &[Scope::Read, Scope::Coach]).await;
    let members = h.get(&format!("/groups/{}/members", h.group), &token).await.json::<Value>();
    assert_eq!(members[0]["sign_in"], "ines@example.org");
    for path in [format!("/groups/{}/results", h.group), format!("/members/{}/results", h.ines)] {
        assert_eq!(h.get(&path, &token).await.json::<Value>()[0]["hurt"], Value::Null);
        assert_eq!(h.get(&format!("{path}?private=true"), &token).await.json::<Value>()[0]["hurt"], "wrist");
        assert_eq!(h.get(&format!("{path}?from=2026-11-26"), &token).await.json::<Value>().as_array().unwrap().len(), 0);
        assert_eq!(h.get(&format!("{path}?from=soon"), &token).await.status_code(), 422);
    }
}

#[tokio::test]
async fn the_document_is_public_and_every_path_in_it_answers() {
    let h = Harbour::new().await;
    let document = h.server.get("/api/v1/openapi.json").await.json::<Value>();
    assert_eq!(document["openapi"].as_str().unwrap().split('.').take(2).collect::<Vec<_>>(), ["3", "1"]);
    let paths = document["paths"].as_object().unwrap();
    assert!(paths.len() >= 14);
    for path in paths.keys() {
        let real = path.replace("{id}", "1").replace("{part}", "1").replace("{monday}", "2026-11-23");
        let answer = h.server.get(&real.replace("{date}", "2026-11-25").replace("{name}", "x")).await;
        assert!([401, 405].contains(&answer.status_code().as_u16()), "{path}: {}", answer.status_code());
    }
}

fn token_form(password: &str) -> [(&'static str, String); 5] {
    [("name", "my watch"), ("read", "on"), ("log", "on"), ("days", "30"), ("password", password)].map(|(k, v)| (k, v.to_owned()))
}

#[tokio::test]
async fn a_token_needs_the_password_and_stands_in_the_trail() {
    let h = Harbour::new().await;
    let browser = h.practice.as_person(h.ines).await;
    for guess in ["", "guessed"] {
        let refused = browser.post("/you/tokens").form(&token_form(guess)).await;
        assert_eq!((refused.status_code().as_u16(), texts(&refused, "#password-error").len()), (422, 1));
        assert_eq!(attributes(&refused, "#name, #password", "value"), ["my watch", ""]);
    }
    assert!(h.practice.app.store.tokens_of(h.ines).await.unwrap().is_empty());
    assert_eq!(browser.post("/you/tokens").form(&token_form(PASSWORD)).await.status_code(), 200);
    let acts = h.practice.app.store.acts(None, 9).await.unwrap();
    assert_eq!((acts[0].who.as_str(), acts[0].act.as_str()), ("Ines", "made a token"));
}

#[tokio::test]
async fn an_assistants_program_takes_out_no_more_than_they_may_on_the_pages() {
    let h = Harbour::new().await;
    h.practice.coach("Lou").await;
    h.practice.app.store.set_assistant(h.coach, true).await.unwrap();
    let token = h.token(h.coach, &[Scope::Read, Scope::Coach]).await;
    let (group, ines) = (h.group, h.ines);
    for path in [
        format!("/groups/{group}/results?private=true"),
        format!("/groups/{group}/members"),
        format!("/members/{ines}"),
        format!("/members/{ines}/results"),
    ] {
        assert_eq!(h.get(&path, &token).await.status_code(), 403, "{path}");
    }
    assert_eq!(h.get("/me", &token).await.status_code(), 200);
    let browser = h.practice.as_person(h.coach).await;
    assert!(attributes(&browser.get("/you/tokens").await, "[type=checkbox]", "name") == ["read"]);
    let form = [("name", "x"), ("coach", "on"), ("days", "30"), ("password", PASSWORD)];
    assert_eq!(browser.post("/you/tokens").form(&form).await.status_code(), 422);
}

#[tokio::test]
async fn what_a_program_takes_out_stands_in_the_trail_once_an_hour() {
    let h = Harbour::new().await;
    let token = h.token(h.coach, &[Scope::Coach]).await;
    let acts = async || {
        let acts = h.practice.app.store.acts(None, 50).await.unwrap();
        acts.iter().filter(|a| a.who == "Mara").map(|a| format!("{}: {}", a.act, a.about)).collect::<Vec<_>>()
    };
    for _ in 0..3 {
        h.get(&format!("/groups/{}/results?private=true", h.group), &token).await;
    }
    assert_eq!(acts().await, ["took results out of: Harbour"]);
    h.get(&format!("/members/{}/results", h.ines), &token).await;
    h.practice.app.clock.set(NOW + Duration::hours(2));
    h.get(&format!("/groups/{}/results", h.group), &token).await;
    assert_eq!(acts().await, ["took results out of: Harbour", "took results along of: Ines", "took results out of: Harbour"]);
    h.get("/groups/99/results", &token).await;
    assert_eq!(acts().await.len(), 3, "what is not there was not taken");
}

#[tokio::test]
async fn a_token_is_made_on_its_page_shown_once_and_ended_by_its_owner() {
    let h = Harbour::new().await;
    let browser = h.practice.as_person(h.ines).await;
    assert!(location(&h.server.get("/you/tokens").await).starts_with("/sign-in"));
    let bad = browser.post("/you/tokens").form(&[("name", ""), ("days", "0")]).await;
    assert_eq!(bad.status_code(), 422);
    assert_eq!((texts(&bad, ".error").len(), texts(&bad, "section.notice").len()), (3, 0));
    let made = browser.post("/you/tokens").form(&token_form(PASSWORD)).await;
    let token = texts(&made, "section.notice code").remove(0);
    assert_eq!(h.get("/me", &token).await.json::<Value>()["scopes"], json!(["read", "log"]));
    let page = browser.get("/you/tokens").await;
    assert!(!page.text().contains(&token), "it is shown once");
    let end = attributes(&page, "form[action$='/end']", "action").remove(0);
    let odd = h.practice.member("Odd", h.group).await;
    assert_eq!(h.practice.as_person(odd).await.post(&end).await.status_code(), 404);
    assert_eq!(location(&browser.post(&end).await), "/you/tokens?said=ended");
    assert_eq!(h.get("/me", &token).await.status_code(), 401);
}

#[tokio::test]
async fn a_member_cannot_make_a_coachs_token() {
    let h = Harbour::new().await;
    let browser = h.practice.as_person(h.ines).await;
    let answer =
        browser.post("/you/tokens").form(&[("name", "x"), ("coach", "on"), ("days", "30"), ("password", PASSWORD)]).await;
    assert_eq!(answer.status_code(), 422);
    assert!(h.practice.app.store.tokens_of(h.ines).await.unwrap().is_empty());
}

#[tokio::test]
async fn a_counter_beyond_any_clock_does_not_outrank_every_later_edit() {
    let h = Harbour::new().await;
    let token = h.token(h.ines, &ALL).await;
    let with = |score: &str, edit: i64| json!({ "client_id": ID, "version_id": h.at.version, "score": score, "edit": edit });
    let made = h.log(&token, 1, &with("7:42", i64::MAX)).await;
    made.assert_status(StatusCode::CREATED);
    let kept = made.json::<Value>()["edit"].as_i64().unwrap();
    assert!(kept <= (NOW + Duration::days(1)).unix_timestamp() * 1000, "{kept}");
    for (score, edit) in [("7:43", i64::MAX), ("7:44", 0)] {
        let again = h.log(&token, 1, &with(score, edit)).await;
        assert_eq!(again.json::<Value>()["score_text"], score);
    }
}
