//! Signing in, joining, passwords.

use crate::practice::{NOW, PASSWORD, Practice, attributes, location, path, texts};
use time::Duration;

#[tokio::test]
async fn the_start_leads_a_stranger_to_sign_in() {
    let practice = Practice::new().await;
    let response = practice.browser().get("/").await;
    assert_eq!((response.status_code().as_u16(), location(&response).as_str()), (303, "/sign-in"));
}

#[tokio::test]
async fn a_coach_signs_in_and_is_led_on() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    practice.as_person(coach).await;
    let browser = practice.browser();
    let form = [("name", "MARA@example.org"), ("password", PASSWORD), ("next", "/groups")];
    let response = browser.post("/sign-in").form(&form).await;
    assert_eq!((response.status_code().as_u16(), location(&response).as_str()), (303, "/groups"));
    assert_eq!(location(&browser.get("/").await), "/week");
}

#[tokio::test]
async fn wrong_words_come_back_with_what_was_typed() {
    let practice = Practice::new().await;
    let form = [("name", "mara@example.org"), ("password", "guess")];
    let response = practice.browser().post("/sign-in").form(&form).await;
    assert_eq!(response.status_code(), 422);
    assert_eq!(attributes(&response, "#name", "value"), ["mara@example.org"]);
    assert_eq!(texts(&response, "#password-error").len(), 1);
    assert_eq!(attributes(&response, "#password", "value"), [""]);
}

#[tokio::test]
async fn an_unknown_name_reads_the_same_as_a_wrong_password() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    practice.as_person(coach).await;
    let browser = practice.browser();
    let mut answers = Vec::new();
    for name in ["mara@example.org", "nobody@example.org"] {
        let response = browser.post("/sign-in").form(&[("name", name), ("password", "guess")]).await;
        answers.push((response.status_code(), texts(&response, ".error")));
    }
    assert_eq!(answers[0], answers[1]);
}

#[tokio::test]
async fn after_ten_wrong_tries_one_waits_and_then_may_try_again() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    practice.as_person(coach).await;
    let browser = practice.browser();
    for _ in 0..10 {
        browser.post("/sign-in").form(&[("name", "mara@example.org"), ("password", "guess")]).await;
    }
    let form = [("name", "mara@example.org"), ("password", PASSWORD)];
    assert_eq!(browser.post("/sign-in").form(&form).await.status_code(), 429);
    practice.app.clock.set(NOW + Duration::minutes(11));
    assert_eq!(browser.post("/sign-in").form(&form).await.status_code(), 303);
}

#[tokio::test]
async fn signing_out_ends_the_sign_in_on_the_server_too() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let cookie = practice.cookie_of(coach).await;
    let browser = practice.browser();
    assert_eq!(location(&browser.get("/").add_header("cookie", cookie.clone()).await), "/week");
    browser.post("/sign-out").add_header("cookie", cookie.clone()).await;
    assert_eq!(location(&browser.get("/").add_header("cookie", cookie).await), "/sign-in");
}

#[tokio::test]
async fn an_invitation_makes_a_member_once() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let link = practice.app.store.invite(group, "Ines", None, NOW).await.unwrap();
    let address = practice.app.links.invitation_address(link);
    let browser = practice.browser();
    assert_eq!(texts(&browser.get(path(&address)).await, "h1"), ["Join Harbour"]);
    let form = [("name", "Ines"), ("sign_in", "ines"), ("password", PASSWORD), ("zone", "azores"), ("units", "lb")];
    let response = browser.post(path(&address)).form(&form).await;
    assert_eq!((response.status_code().as_u16(), location(&response).as_str()), (303, "/welcome/kit"));
    let members = practice.app.store.members_of(group).await.unwrap();
    assert_eq!((members[0].name.as_str(), members[0].zone.name()), ("Ines", "Atlantic/Azores"));
    let again = practice.browser().get(path(&address)).await;
    assert_eq!(again.status_code(), 410);
    assert!(texts(&again, "main p")[0].contains("used already"));
}

#[tokio::test]
async fn a_wrong_invitation_form_keeps_everything_but_the_password() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let link = practice.app.store.invite(group, "", None, NOW).await.unwrap();
    let address = practice.app.links.invitation_address(link);
    let form = [("name", ""), ("sign_in", "ines"), ("password", "short"), ("zone", "Nowhere"), ("units", "lb")];
    let response = practice.browser().post(path(&address)).form(&form).await;
    assert_eq!(response.status_code(), 422);
    assert_eq!(texts(&response, ".error").len(), 3);
    assert_eq!(attributes(&response, "#zone", "value"), ["Nowhere"]);
    assert_eq!(attributes(&response, "#password", "value"), [""]);
    assert_eq!(attributes(&response, "input[value=lb][checked]", "name"), ["units"]);
}

#[tokio::test]
async fn a_taken_sign_in_name_is_said_beside_it_and_the_invitation_stays_open() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    practice.member("Ines", group).await;
    let link = practice.app.store.invite(group, "", None, NOW).await.unwrap();
    let address = practice.app.links.invitation_address(link);
    let mut form = [("name", "Ines"), ("sign_in", "INES@example.org"), ("password", PASSWORD), ("zone", "UTC"), ("units", "kg")];
    let browser = practice.browser();
    let response = browser.post(path(&address)).form(&form).await;
    assert_eq!((response.status_code().as_u16(), texts(&response, "#sign_in-error").len()), (422, 1));
    form[1].1 = "ines two";
    assert_eq!(browser.post(path(&address)).form(&form).await.status_code(), 303);
}

#[tokio::test]
async fn links_that_are_old_withdrawn_or_not_ours_say_so() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let browser = practice.browser();
    assert_eq!(browser.get("/join/1-AAAAAAAAAAAAAAAAAAAAAA").await.status_code(), 404);
    let link = practice.app.store.invite(group, "", None, NOW).await.unwrap();
    let address = practice.app.links.invitation_address(link);
    practice.app.store.withdraw_invitation(group, link, NOW).await.unwrap();
    assert_eq!(browser.get(path(&address)).await.status_code(), 410);
    let link = practice.app.store.invite(group, "", None, NOW).await.unwrap();
    let address = practice.app.links.invitation_address(link);
    practice.app.clock.set(NOW + Duration::days(15));
    assert_eq!(browser.get(path(&address)).await.status_code(), 410);
}

#[tokio::test]
async fn a_password_link_works_once_and_signs_other_browsers_out() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let old = practice.as_person(coach).await;
    let link = practice.app.store.password_link(coach, None, NOW).await.unwrap();
    let address = practice.app.links.password_address(link);
    let browser = practice.browser();
    assert_eq!(browser.post(path(&address)).form(&[("password", "short")]).await.status_code(), 422);
    assert_eq!(browser.post(path(&address)).form(&[("password", "another long one")]).await.status_code(), 303);
    assert_eq!(location(&old.get("/").await), "/sign-in");
    assert_eq!(browser.post(path(&address)).form(&[("password", "another long one")]).await.status_code(), 410);
}

#[tokio::test]
async fn a_post_from_another_site_is_refused() {
    let practice = Practice::new().await;
    let response = practice.browser().post("/sign-out").add_header("sec-fetch-site", "cross-site").await;
    assert_eq!(response.status_code(), 403);
}

#[tokio::test]
async fn a_file_loads_nothing_and_is_never_guessed_at() {
    let practice = Practice::new().await;
    let address = attributes(&practice.browser().get("/sign-in").await, "link[rel=stylesheet]", "href").remove(0);
    let response = practice.browser().get(&address).await;
    assert_eq!(response.status_code(), 200);
    assert_eq!(response.headers().get("content-security-policy").unwrap(), "default-src 'none'; frame-ancestors 'none'");
    assert_eq!(response.headers().get("x-content-type-options").unwrap(), "nosniff");
}

#[tokio::test]
async fn every_answer_carries_the_headers_that_keep_it_safe() {
    let practice = Practice::new().await;
    let browser = practice.browser();
    for address in ["/sign-in", "/no-such-page"] {
        let response = browser.get(address).await;
        let policy = response.headers().get("content-security-policy").unwrap().to_str().unwrap().to_owned();
        assert!(!policy.contains("unsafe-inline") && policy.contains("default-src 'none'"), "{address}");
        assert_eq!(response.headers().get("cache-control").unwrap(), "no-store", "{address}");
        assert_eq!(response.headers().get("x-content-type-options").unwrap(), "nosniff", "{address}");
    }
}
