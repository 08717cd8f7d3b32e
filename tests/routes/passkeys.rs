//! Passkeys: made, used, copied, asked for, lost.

use crate::practice::{NOW, PASSWORD, Practice, attributes, location, path, texts};
use crate::soft_key::{PRESENT, SoftKey};
use axum_test::{TestResponse, TestServer};
use dowel::store::ids::PersonId;
use serde_json::Value;
use time::Duration;

/// The question to make a passkey, and its name.
async fn asked_to_make(browser: &TestServer) -> (Value, String) {
    let page = browser.post("/you/passkeys").form(&[("name", "my phone"), ("password", PASSWORD)]).await;
    assert_eq!(page.status_code(), 200, "{}", page.text());
    let question = attributes(&page, "form[data-passkey=create]", "data-question").remove(0);
    (serde_json::from_str(&question).unwrap(), attributes(&page, "input[name=ask]", "value").remove(0))
}

async fn send_made(browser: &TestServer, ask: &str, answer: &str) -> TestResponse {
    browser.post("/you/passkeys/made").form(&[("ask", ask), ("answer", answer)]).await
}

async fn make(browser: &TestServer) -> SoftKey {
    let (question, ask) = asked_to_make(browser).await;
    let key = SoftKey::new(&question);
    assert_eq!(location(&send_made(browser, &ask, &key.made(&question)).await), "/you/passkeys?said=passkey");
    key
}

/// The question to sign in, and its name.
async fn asked_to_sign_in(browser: &TestServer) -> (Value, String) {
    let asked: Value = browser.post("/sign-in/passkey/question").await.json();
    (asked["question"].clone(), asked["ask"].as_str().unwrap().to_owned())
}

async fn send(browser: &TestServer, ask: &str, answer: &str) -> TestResponse {
    browser.post("/sign-in/passkey").form(&[("ask", ask), ("answer", answer), ("next", "/you/passkeys")]).await
}

async fn sign_in(browser: &TestServer, key: &mut SoftKey) -> TestResponse {
    let (question, ask) = asked_to_sign_in(browser).await;
    send(browser, &ask, &key.signs(&question)).await
}

fn refused(response: &TestResponse) {
    assert_eq!((response.status_code().as_u16(), texts(response, "#passkey-error").len()), (422, 1));
    assert!(response.headers().get("set-cookie").is_none());
}

async fn by_password(browser: &TestServer, name: &str) -> TestResponse {
    browser.post("/sign-in").form(&[("name", name), ("password", PASSWORD)]).await
}

/// A practice with a coach who has a passkey.
async fn with_key() -> (Practice, PersonId, TestServer, SoftKey) {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let browser = practice.as_person(coach).await;
    let key = make(&browser).await;
    (practice, coach, browser, key)
}

#[tokio::test]
async fn coach_assistant_and_member_sign_in_with_a_passkey_and_type_no_name() {
    let practice = Practice::new().await;
    let (coach, assistant) = (practice.coach("Mara").await, practice.coach("Lou").await);
    practice.app.store.set_assistant(assistant, true).await.unwrap();
    let group = practice.group("Harbour").await;
    let member = practice.member("Ines", group).await;
    for id in [coach, assistant, member] {
        let mut key = make(&practice.as_person(id).await).await;
        let browser = practice.browser();
        let answer = sign_in(&browser, &mut key).await;
        assert_eq!((answer.status_code().as_u16(), location(&answer)), (303, "/you/passkeys".to_owned()));
        let page = browser.get("/you/passkeys").await;
        assert_eq!(texts(&page, ".card h2"), ["my phone"]);
        assert!(page.text().contains("Last used on"));
        assert_eq!(location(&sign_in(&practice.browser(), &mut key).await), "/you/passkeys", "and again");
    }
}

#[tokio::test]
async fn the_question_asks_for_a_passkey_that_is_found_and_makes_sure_who_it_is() {
    let practice = Practice::new().await;
    let (question, _) = asked_to_make(&practice.as_coach("Mara").await).await;
    assert_eq!(question["rp"]["id"], "localhost");
    let choice = &question["authenticatorSelection"];
    assert_eq!((&choice["residentKey"], &choice["userVerification"]), (&"required".into(), &"required".into()));
    let (question, _) = asked_to_sign_in(&practice.browser()).await;
    assert_eq!((&question["rpId"], &question["userVerification"]), (&"localhost".into(), &"required".into()));
    assert!(question["allowCredentials"].as_array().is_none_or(Vec::is_empty));
}

#[tokio::test]
async fn the_site_is_the_one_of_the_settings_whatever_host_a_request_names() {
    let practice = Practice::at("https://training.example.org").await;
    let browser = practice.as_coach("Mara").await;
    let page = browser
        .post("/you/passkeys")
        .add_header("host", "evil.example")
        .add_header("x-forwarded-host", "evil.example")
        .form(&[("name", "my phone"), ("password", PASSWORD)])
        .await;
    let question: Value =
        serde_json::from_str(&attributes(&page, "form[data-passkey=create]", "data-question").remove(0)).unwrap();
    assert_eq!(question["rp"]["id"], "training.example.org");
    let ask = attributes(&page, "input[name=ask]", "value").remove(0);
    let mut key = SoftKey::new(&question);
    key.origin = "https://training.example.org";
    assert_eq!(send_made(&browser, &ask, &key.made(&question)).await.status_code(), 303);
    let visitor = practice.browser();
    let asked = visitor.post("/sign-in/passkey/question").add_header("host", "evil.example").await;
    let cookie = asked.headers()["set-cookie"].to_str().unwrap();
    assert!(cookie.starts_with("__Host-dowel-ask=") && cookie.contains("Secure") && cookie.contains("HttpOnly"), "{cookie}");
    let asked: Value = asked.json();
    assert_eq!(asked["question"]["rpId"], "training.example.org");
    for (origin, status) in [
        ("http://training.example.org", 422),
        ("https://training.example.org:444", 422),
        ("https://evil.training.example.org", 422),
        ("https://training.example.org", 303),
    ] {
        key.origin = origin;
        assert_eq!(sign_in(&visitor, &mut key).await.status_code(), status, "{origin}");
    }
}

#[tokio::test]
async fn without_tls_or_a_name_there_are_no_passkeys_and_the_page_says_why() {
    for address in ["http://training.example.org", "https://192.0.2.7", "http://192.0.2.7:8420"] {
        let practice = Practice::at(address).await;
        let browser = practice.as_coach("Mara").await;
        let visitor = practice.browser();
        assert_eq!(visitor.post("/sign-in/passkey/question").await.status_code(), 404, "{address}");
        assert!(texts(&visitor.get("/sign-in").await, "form[data-passkey]").is_empty(), "{address}");
        refused_without_words(&send(&visitor, "x", "{}").await);
        assert!(browser.get("/you/passkeys").await.text().contains("they need a name with https"), "{address}");
        let form = [("name", "my phone"), ("password", PASSWORD)];
        assert_eq!(browser.post("/you/passkeys").form(&form).await.status_code(), 422, "{address}");
    }
}

fn refused_without_words(response: &TestResponse) {
    assert_eq!(response.status_code(), 422);
    assert!(response.headers().get("set-cookie").is_none());
}

#[tokio::test]
async fn an_answer_counts_once_and_only_to_its_own_question() {
    let (practice, _, _, mut key) = with_key().await;
    let browser = practice.browser();
    let (question, ask) = asked_to_sign_in(&browser).await;
    let answer = key.signs(&question);
    assert_eq!(send(&browser, &ask, &answer).await.status_code(), 303);
    refused(&send(&browser, &ask, &answer).await);
    let thief = practice.browser();
    let (_, other) = asked_to_sign_in(&thief).await;
    refused(&send(&thief, &other, &answer).await);
    refused(&send(&thief, "", &answer).await);
}

#[tokio::test]
async fn a_question_is_answered_in_the_browser_that_asked() {
    let (practice, _, _, mut key) = with_key().await;
    let (asking, other) = (practice.browser(), practice.browser());
    let (question, ask) = asked_to_sign_in(&asking).await;
    refused(&send(&other, &ask, &key.signs(&question)).await);
    let (question, ask) = asked_to_sign_in(&asking).await;
    // also where that one asked something itself
    asked_to_sign_in(&other).await;
    refused(&send(&other, &ask, &key.signs(&question)).await);
}

#[tokio::test]
async fn a_question_that_is_too_old_is_not_answered() {
    let (practice, _, _, mut key) = with_key().await;
    let browser = practice.browser();
    let (question, ask) = asked_to_sign_in(&browser).await;
    practice.app.clock.set(NOW + Duration::minutes(6));
    refused(&send(&browser, &ask, &key.signs(&question)).await);
}

#[tokio::test]
async fn a_copy_of_a_passkey_is_refused_and_the_coach_reads_of_it() {
    let (practice, _, browser, mut key) = with_key().await;
    assert_eq!(sign_in(&practice.browser(), &mut key).await.status_code(), 303);
    let thief = practice.browser();
    let (question, ask) = asked_to_sign_in(&thief).await;
    refused(&send(&thief, &ask, &key.signs_again(&question)).await);
    key.counter -= 1;
    let (question, ask) = asked_to_sign_in(&thief).await;
    refused(&send(&thief, &ask, &key.signs_again(&question)).await);
    let trail = texts(&browser.get("/trail").await, "tbody tr td:nth-child(3)");
    assert_eq!(trail[0], "a passkey may have been copied: Mara");
}

#[tokio::test]
async fn two_answers_with_one_count_at_once_sign_in_one() {
    let (practice, _, _, mut key) = with_key().await;
    let (one, two) = (practice.browser(), practice.browser());
    let ((first, ask_one), (second, ask_two)) = (asked_to_sign_in(&one).await, asked_to_sign_in(&two).await);
    let (a, b) = (key.signs(&first), key.signs_again(&second));
    let (a, b) = tokio::join!(send(&one, &ask_one, &a), send(&two, &ask_two, &b));
    let mut both = [a.status_code().as_u16(), b.status_code().as_u16()];
    both.sort_unstable();
    assert_eq!(both, [303, 422]);
}

#[tokio::test]
async fn a_device_that_did_not_make_sure_who_it_is_is_refused() {
    let (practice, _, browser, mut key) = with_key().await;
    key.flags = PRESENT;
    refused(&sign_in(&practice.browser(), &mut key).await);
    let (question, ask) = asked_to_make(&browser).await;
    let mut lax = SoftKey::new(&question);
    lax.flags = PRESENT;
    let answer = send_made(&browser, &ask, &lax.made(&question)).await;
    assert_eq!((answer.status_code().as_u16(), texts(&answer, ".card h2").len()), (422, 1));
}

#[tokio::test]
async fn an_answer_made_on_another_site_is_refused() {
    let (practice, _, browser, mut key) = with_key().await;
    for origin in ["http://localhost:9999", "https://localhost.example", "http://127.0.0.1:8420"] {
        key.origin = origin;
        refused(&sign_in(&practice.browser(), &mut key).await);
    }
    let (question, ask) = asked_to_make(&browser).await;
    let mut other = SoftKey::new(&question);
    other.origin = "https://evil.example";
    assert_eq!(send_made(&browser, &ask, &other.made(&question)).await.status_code(), 422);
}

#[tokio::test]
async fn a_question_to_make_one_is_for_one_person_in_one_browser() {
    let practice = Practice::new().await;
    let (mara, lou) = (practice.coach("Mara").await, practice.coach("Lou").await);
    let (as_mara, as_lou) = (practice.as_person(mara).await, practice.as_person(lou).await);
    let (question, ask) = asked_to_make(&as_mara).await;
    let key = SoftKey::new(&question);
    assert_eq!(send_made(&as_lou, &ask, &key.made(&question)).await.status_code(), 422);
    assert_eq!(send_made(&as_mara, &ask, &key.made(&question)).await.status_code(), 422, "it was taken away");
    let (question, ask) = asked_to_make(&as_mara).await;
    let again = practice.browser();
    by_password(&again, "mara@example.org").await;
    assert_eq!(send_made(&again, &ask, &SoftKey::new(&question).made(&question)).await.status_code(), 422);
    assert!(practice.app.store.passkeys_of(mara).await.unwrap().is_empty());
    assert!(practice.app.store.passkeys_of(lou).await.unwrap().is_empty());
}

#[tokio::test]
async fn a_key_that_is_nobodys_and_a_key_with_a_foreign_handle_are_refused() {
    let (practice, _, browser, mut key) = with_key().await;
    let (question, _) = asked_to_make(&browser).await;
    let mut unknown = SoftKey::new(&question);
    refused(&sign_in(&practice.browser(), &mut unknown).await);
    // signed by one key under the name of another
    unknown.id.clone_from(&key.id);
    unknown.counter = 50;
    refused(&sign_in(&practice.browser(), &mut unknown).await);
    refused(&send(&practice.browser(), "x", "{").await);
    assert_eq!(sign_in(&practice.browser(), &mut key).await.status_code(), 303, "the right one still works");
}

#[tokio::test]
async fn making_and_removing_ask_for_the_password() {
    let (practice, coach, browser, mut key) = with_key().await;
    for form in [[("name", "x"), ("password", "guess")], [("name", ""), ("password", PASSWORD)]] {
        let answer = browser.post("/you/passkeys").form(&form).await;
        assert_eq!((answer.status_code().as_u16(), texts(&answer, ".error").len()), (422, 1));
    }
    let other = practice.browser();
    by_password(&other, "mara@example.org").await;
    let id = practice.app.store.passkeys_of(coach).await.unwrap()[0].id;
    let address = format!("/you/passkeys/{id}/remove");
    assert_eq!(browser.post(&address).form(&[("password", "guess")]).await.status_code(), 422);
    assert_eq!(location(&browser.post(&address).form(&[("password", PASSWORD)]).await), "/you/passkeys?said=passkey-gone");
    assert!(location(&other.get("/groups").await).starts_with("/sign-in"), "others are signed out");
    assert_eq!(browser.get("/groups").await.status_code(), 200);
    refused(&sign_in(&practice.browser(), &mut key).await);
}

#[tokio::test]
async fn somebody_who_left_does_not_come_in() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let member = practice.member("Ines", group).await;
    let mut key = make(&practice.as_person(member).await).await;
    practice.app.store.end_membership(member, NOW).await.unwrap();
    refused(&sign_in(&practice.browser(), &mut key).await);
    practice.app.store.resume_membership(member).await.unwrap();
    refused(&sign_in(&practice.browser(), &mut key).await);
    assert!(
        practice.app.store.credentials("ines@example.org").await.unwrap().unwrap().1.is_some(),
        "the password is theirs again"
    );
}

#[tokio::test]
async fn too_many_wrong_answers_from_one_address_wait() {
    let (practice, _, _, _) = with_key().await;
    let browser = practice.browser();
    for _ in 0..40 {
        refused(&send(&browser, "x", "{}").await);
    }
    assert_eq!(send(&browser, "x", "{}").await.status_code(), 429);
    assert_eq!(by_password(&browser, "mara@example.org").await.status_code(), 303, "passwords count by themselves");
}

async fn ask_for_passkey(browser: &TestServer, whose: PersonId, asked: &'static str) -> TestResponse {
    browser.post(&format!("/coaches/{whose}/passkey")).form(&[("asked", asked), ("password", PASSWORD)]).await
}

#[tokio::test]
async fn where_a_passkey_is_asked_for_the_password_alone_reads_as_wrong() {
    let (practice, mara, browser, mut key) = with_key().await;
    let wrong = practice.browser().post("/sign-in").form(&[("name", "mara@example.org"), ("password", "guess")]).await;
    assert_eq!(location(&ask_for_passkey(&browser, mara, "yes").await), "/coaches?said=passkey-asked");
    assert_eq!(browser.get("/groups").await.status_code(), 200, "this browser stays");
    let right = by_password(&practice.browser(), "mara@example.org").await;
    assert_eq!((right.status_code(), texts(&right, ".error")), (wrong.status_code(), texts(&wrong, ".error")));
    assert_eq!(sign_in(&practice.browser(), &mut key).await.status_code(), 303);
    ask_for_passkey(&browser, mara, "no").await;
    assert_eq!(by_password(&practice.browser(), "mara@example.org").await.status_code(), 303);
}

#[tokio::test]
async fn a_link_for_a_new_password_does_not_stand_in_for_the_passkey() {
    let (practice, mara, browser, mut key) = with_key().await;
    ask_for_passkey(&browser, mara, "yes").await;
    let link = practice.app.store.password_link(mara, None, NOW).await.unwrap();
    let address = practice.app.links.password_address(link);
    let fresh = practice.browser();
    let answer = fresh.post(path(&address)).form(&[("password", "harbour wall at dusk")]).await;
    assert_eq!(location(&answer), "/sign-in?said=password");
    assert!(location(&fresh.get("/groups").await).starts_with("/sign-in"));
    assert_eq!(sign_in(&fresh, &mut key).await.status_code(), 303);
}

#[tokio::test]
async fn whoever_is_asked_and_has_none_makes_one_before_anything_else() {
    let practice = Practice::new().await;
    let (mara, lou) = (practice.coach("Mara").await, practice.coach("Lou").await);
    practice.app.store.set_assistant(lou, true).await.unwrap();
    let (as_mara, as_lou) = (practice.as_person(mara).await, practice.as_person(lou).await);
    assert_eq!(ask_for_passkey(&as_lou, mara, "yes").await.status_code(), 403, "not an assistant's to ask");
    ask_for_passkey(&as_mara, lou, "yes").await;
    assert!(location(&as_lou.get("/week").await).starts_with("/sign-in"), "signed out with it");
    let as_lou = practice.browser();
    by_password(&as_lou, "lou@example.org").await;
    for address in ["/week", "/movements", "/you/tokens", "/trail"] {
        assert_eq!(location(&as_lou.get(address).await), "/you/passkeys", "{address}");
    }
    let mut key = make(&as_lou).await;
    assert_eq!(as_lou.get("/week").await.status_code(), 303);
    assert!(location(&as_lou.get("/week").await).starts_with("/groups"));
    assert_eq!(by_password(&practice.browser(), "lou@example.org").await.status_code(), 422);
    let id = practice.app.store.passkeys_of(lou).await.unwrap()[0].id;
    let last = as_lou.post(&format!("/you/passkeys/{id}/remove")).form(&[("password", PASSWORD)]).await;
    assert_eq!(last.status_code(), 422, "the last one stays");
    assert_eq!(sign_in(&practice.browser(), &mut key).await.status_code(), 303);
    // lost: whoever runs the machine forgets it
    practice.app.store.forget_passkeys(lou).await.unwrap();
    let back = practice.browser();
    assert_eq!(by_password(&back, "lou@example.org").await.status_code(), 303);
    assert_eq!(location(&back.get("/week").await), "/you/passkeys");
}

#[tokio::test]
async fn asking_needs_the_password_and_is_for_coaches_only() {
    let (practice, mara, browser, _) = with_key().await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let address = format!("/coaches/{mara}/passkey");
    let wrong = browser.post(&address).form(&[("asked", "yes"), ("password", "guess")]).await;
    assert_eq!((wrong.status_code().as_u16(), texts(&wrong, ".error").len()), (422, 1));
    assert_eq!(ask_for_passkey(&browser, ines, "yes").await.status_code(), 404);
}

#[tokio::test]
async fn a_coach_without_a_passkey_is_told_on_every_page() {
    let practice = Practice::new().await;
    let browser = practice.as_coach("Mara").await;
    let told = |page: &TestResponse| texts(page, "header.top a[href='/you/passkeys']").len();
    assert_eq!(told(&browser.get("/groups").await), 1);
    make(&browser).await;
    assert_eq!(told(&browser.get("/groups").await), 0);
}
